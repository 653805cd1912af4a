"""What the page makes is what core reads: entries, their names, and which of them hold."""

from __future__ import annotations

import json
import random
import uuid
from datetime import UTC, datetime
from typing import TYPE_CHECKING, Any
from zoneinfo import ZoneInfo

import pytest
from court_engines import an_engine, new_home, two_devices  # noqa: F401
from court_servers import StandInServer

from firstpush.core.errors import EntryError
from firstpush.core.people.athlete import PAIN_PLACES, SIDES
from firstpush.core.people.before_start import EFFECTS
from firstpush.core.people.pain import FEELINGS, OUTCOMES
from firstpush.core.progress.entries import KINDS, SKIP_REASONS, VARIANTS, read_entry, standing

if TYPE_CHECKING:
    from court_device import Device
    from court_engines import Engine

SEED = 20261125
RUN = "01932f0a-0000-7000-8000-000000000001"
ID = "01932f0a-0000-7000-8000-000000000002"
MAKE = """
(cases) => cases.map((given) => {
  try { return m.makeEntry({ ...given, at: new Date(given.at) }).text; } catch (error) {
    if (!(error instanceof m.EntryRefused)) throw error;
    return error.faults;
  }
})
"""


def pain(rng: random.Random) -> dict[str, Any]:
    """Return a pain that may be said."""
    found = {"place": rng.choice(PAIN_PLACES), "level_0_10": rng.randint(0, 10), "feeling": rng.choice(FEELINGS)}
    return found | ({"side": rng.choice(SIDES)} if rng.random() < 0.5 else {})


def values_of(kind: str, rng: random.Random) -> dict[str, Any]:
    """Return the keys of an entry that may be stored."""
    words = rng.choice(["as usual", "wind from the pier", 'é ☃ 𝄞 \u2028 \u0000 " \\', "x" * 500])
    return {
        "begin": {"checksum": "ab12", "device": "tablet"},
        "before": {
            "answers": {"ill": "no", "bladder": words},
            "pains": [pain(rng) for _ in range(rng.randint(0, 3))],
            "effects": rng.sample(EFFECTS, 2),
        },
        "done": {
            "exercise": "seated_row",
            "as_planned": rng.random() < 0.5,
            "variant": rng.choice(VARIANTS),
            "sets": rng.choice([0, 20, None]),
            "repetitions": rng.choice([0, 500, None]),
            "seconds": rng.choice([0, 7200, None]),
            "faults": ["shoulder up"],
        },
        "skipped": {"exercise": "seated_row", "reason": rng.choice(SKIP_REASONS)},
        "swapped": {"exercise": "seated_row", "to": rng.choice(VARIANTS)},
        "effort": {"effort_6_20": rng.randint(6, 20), "part": "strength"},
        "pain": {"exercise": "seated_row", "outcome": rng.choice(OUTCOMES), **pain(rng)},
        "stopped": {"card": "heart", "sign": "Pressure or pain in the chest"},
        "note": {"words": words},
        "ended": {"session_effort_0_10": rng.choice([0, 10, None]), "minutes": rng.choice([0, 600])},
        "undo": {"corrects": ID},
    }[kind]


WRONG: tuple[tuple[str, str, Any], ...] = (
    *(
        ("done", key, wrong)
        for key, most in (("sets", 20), ("repetitions", 500), ("seconds", 7200))
        for wrong in (-1, most + 1, 1.5, "3", True)
    ),
    *(
        (kind, key, wrong)
        for kind in ("done", "note")
        for key in ("plan", "version", "athlete")
        for wrong in (0, -1, None, 2.5, "7", True, 2**60)
    ),
    *(("note", "sequence", wrong) for wrong in (0, -1, None, 1.5, 100_001)),
    *(("note", "run", wrong) for wrong in ("", "run", RUN.upper(), RUN.replace("-", ""), None, 3)),
    *(("undo", "corrects", wrong) for wrong in (None, "", "x")),
    *(("note", "words", wrong) for wrong in ("", "y" * 501, None, 5, ["a"])),
    *((kind, "exercise", None) for kind in ("done", "skipped", "swapped")),
    *(("effort", "exercise", wrong) for wrong in ("", 3)),
    *(("done", "variant", wrong) for wrong in ("", "hardest", None, 1)),
    *(("swapped", "to", wrong) for wrong in ("", "hardest", None)),
    *(("skipped", "reason", wrong) for wrong in ("", "rain", None)),
    *(("effort", "effort_6_20", wrong) for wrong in (5, 21, None, "12", 12.5, True)),
    *(("pain", "place", wrong) for wrong in ("knee", "", None)),
    *(("pain", "side", wrong) for wrong in ("both", "")),
    *(("pain", "level_0_10", wrong) for wrong in (-1, 11, None, True, "3")),
    *(("pain", "feeling", wrong) for wrong in ("old", None)),
    *(("before", "answers", wrong) for wrong in (None, [], "no")),
    *(("before", "pains", wrong) for wrong in ("none", [3], [{"place": "knee"}])),
    ("stopped", "card", None),
    ("stopped", "card", 3),
    *(("ended", "minutes", wrong) for wrong in (-1, 601, None, 1.5)),
    *(("ended", "session_effort_0_10", wrong) for wrong in (-1, 11, "5", True)),
    ("hug", "words", "x"),
)
"""Kind, key and a value that core refuses there."""


def case(kind: str, rng: random.Random, **other: Any) -> dict[str, Any]:
    """Return what `makeEntry` is given, with some of it another."""
    at_ms = rng.randint(0, 4_000_000_000_000)
    given = {"run": RUN, "sequence": rng.randint(1, 100_000), "plan": 3, "version": rng.randint(1, 9), "athlete": 7}
    return {**given, "kind": kind, "at": at_ms, **(values_of(kind, rng) if kind in KINDS else {}), **other}


def test_core_reads_every_entry_that_the_page_makes(engine: Engine) -> None:
    """440 entries of all kinds: the same numbers and words arrive, and none has more keys than the contract names."""
    rng = random.Random(SEED)
    cases = [case(kind, rng) for kind in KINDS for _ in range(40)]
    for given, text in zip(cases, engine.evaluate(MAKE, cases), strict=True):
        assert isinstance(text, str), (given, text)
        entry = read_entry(text)
        assert (str(entry.run), entry.sequence, entry.kind) == (RUN, given["sequence"], given["kind"])
        assert (entry.plan, entry.version, entry.athlete) == (3, given["version"], 7)
        assert round(entry.at.timestamp() * 1000) == given["at"]
        assert entry.exercise == given.get("exercise")
        named = {"run", "sequence", "plan", "version", "athlete", "kind", "at", "exercise", "corrects"}
        assert entry.values == {key: value for key, value in given.items() if key not in named and value is not None}
        assert list(json.loads(text))[:9] == [
            "format",
            "id",
            "run",
            "sequence",
            "plan",
            "version",
            "athlete",
            "at",
            "kind",
        ]


def test_what_core_refuses_is_never_stored(engine: Engine) -> None:
    """One value wrong: core refuses the text, and the page refuses before it is one; both say which key."""
    rng = random.Random(SEED)
    cases = [case(kind, rng, **{key: wrong}) for kind, key, wrong in WRONG]
    for (kind, key, wrong), given, said in zip(WRONG, cases, engine.evaluate(MAKE, cases), strict=True):
        at = datetime.fromtimestamp(given["at"] / 1000, UTC).isoformat()
        with pytest.raises(EntryError):
            read_entry(json.dumps({"format": "firstpush entry 1", "id": ID, **given, "at": at}))
        assert isinstance(said, list), f"{kind} with {key} {wrong!r} was made: {said}"
        assert said
        assert all(each.endswith(".") for each in said)


def test_a_key_of_no_entry_is_refused_and_half_a_letter_is_mended(engine: Engine) -> None:
    """A misspelled key would be lost without a word; half a pair of surrogates can be stored by no database."""
    rng = random.Random(SEED)
    cases = [
        case("note", rng, wrods="x"),
        case("note", rng, words="a\ud83d b"),
        case("ended", rng, minutes=5, effort=3),
    ]
    misspelled, mended, other = engine.evaluate(MAKE, cases)
    assert "wrods" in misspelled[0]
    assert read_entry(mended).values["words"] == "a\ufffd b"
    assert "effort" in other[0]
    long = case("before", rng, answers={str(number): "z" * 400 for number in range(30)})
    assert "characters" in engine.evaluate(MAKE, [long])[0][0]


def test_a_clock_of_no_year_is_said(engine: Engine) -> None:
    """Before 1970 and after 2199 the device's clock is wrong by more than anybody can mean."""
    cases = [case("note", random.Random(1), words="x", at=at) for at in (-86_400_000 * 400, 8_000_000_000_000)]
    for said in engine.evaluate(MAKE, cases):
        assert "set the clock" in said[0]


def chain(rng: random.Random) -> list[dict[str, Any]]:
    """Return entries of up to three runs that correct and undo one another at random."""
    entries: list[dict[str, Any]] = []
    runs = [str(uuid.UUID(int=rng.getrandbits(128))) for _ in range(rng.randint(1, 3))]
    counts = dict.fromkeys(runs, 0)
    for _ in range(rng.randint(1, 14)):
        run = rng.choice(runs)
        counts[run] += 1
        there = [each["id"] for each in entries if each["run"] == run] + [str(uuid.UUID(int=rng.getrandbits(128)))]
        kind = rng.choice(["note", "undo", "note"])
        corrects = rng.choice(there) if kind == "undo" or rng.random() < 0.4 else None
        common = {
            "format": "firstpush entry 1",
            "run": run,
            "sequence": counts[run],
            "plan": 1,
            "version": 1,
            "athlete": 7,
        }
        entry = {
            **common,
            "id": str(uuid.UUID(int=rng.getrandbits(128))),
            "at": "2026-11-25T18:05:00.000+01:00",
            "kind": kind,
        }
        entries.append(
            entry | ({"words": "x"} if kind == "note" else {}) | ({"corrects": corrects} if corrects else {})
        )
    rng.shuffle(entries)
    return entries


def test_the_page_and_core_agree_on_what_holds(engine: Engine) -> None:
    """400 chains of corrections and undoings, in any order of arrival: the same entries, in the same order."""
    rng = random.Random(SEED)
    chains = [chain(rng) for _ in range(400)]
    source = "(chains) => chains.map((each) => m.standingEntries(each).map((entry) => entry.id))"
    longest = 0
    for entries, found in zip(chains, engine.evaluate(source, chains), strict=True):
        expected = [str(each.id) for each in standing(read_entry(json.dumps(entry)) for entry in entries)]
        assert found == expected
        longest = max(longest, len(entries) - len(expected))
    assert longest > 3, "chains in which nothing is taken back would prove nothing"


def test_names_sort_by_their_time_and_never_repeat(engine: Engine) -> None:
    """20,000 within one millisecond, and over a clock that goes back: UUID version 7 by RFC 9562, read by `uuid`."""
    at_ms = 1_795_000_000_000
    source = """
    ([at, many]) => [
      ...Array.from({ length: many }, () => m.newId(at)),
      m.newId(at - 3000), m.newId(at + 1), m.newId(at - 86400000 * 3),
    ]
    """
    names = [uuid.UUID(each) for each in engine.evaluate(source, [at_ms, 20_000])]
    assert len(set(names)) == len(names)
    assert {each.version for each in names} == {7}
    assert {each.variant for each in names} == {uuid.RFC_4122}
    assert names[:-1] == sorted(names[:-1]), "a clock put right by three seconds keeps the order"
    times = [each.int >> 80 for each in names]
    assert set(times[:-2]) == {at_ms}
    assert times[-2:] == [at_ms + 1, at_ms - 86_400_000 * 3]


@pytest.mark.parametrize("zone", ["Asia/Kathmandu", "America/St_Johns", "Europe/Berlin", "Pacific/Apia", "UTC"])
def test_the_time_has_the_zone_of_the_device(zone: str, devices: list[Device], home: StandInServer) -> None:
    """Winter, summer and the hour that comes twice: instant and offset as `zoneinfo` has them."""
    device = devices[0]
    device.start()
    page = device.open(home.url)
    page.context.new_cdp_session(page).send("Emulation.setTimezoneOverride", {"timezoneId": zone})
    instants = [datetime(2026, month, 25, 0, 30, 1, 250_000, tzinfo=UTC) for month in (1, 3, 7, 10)]
    source = "(times) => times.map((each) => m.localTime(new Date(each)))"
    for instant, told in zip(instants, page.evaluate(source, [each.isoformat() for each in instants]), strict=True):
        read = datetime.fromisoformat(told)
        assert read == instant
        assert read.utcoffset() == instant.astimezone(ZoneInfo(zone)).utcoffset()
