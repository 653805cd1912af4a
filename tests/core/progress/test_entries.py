"""Entries: what is one, what is none and why, and which of them hold."""

from __future__ import annotations

import json
import random
from typing import Any
from uuid import UUID

import pytest
from hypothesis import given
from hypothesis import strategies as st

from firstpush.core.errors import EntryError
from firstpush.core.progress.entries import FORMAT, KINDS, Entry, read_entry, standing

RUN = "0193657c-0000-7000-8000-000000000001"
WHOLE: dict[str, dict[str, Any]] = {
    "begin": {"checksum": "ab", "device": "x", "late": False},
    "before": {
        "answers": {"illness": "as usual"},
        "pains": [{"place": "wrist", "side": "left", "level_0_10": 1, "feeling": "as usual"}],
    },
    "done": {"exercise": "low_row", "as_planned": True, "variant": "planned", "repetitions": 12, "sets": 2},
    "skipped": {"exercise": "low_row", "reason": "no time"},
    "swapped": {"exercise": "low_row", "to": "easier"},
    "effort": {"part": "strength", "effort_6_20": 13},
    "pain": {"place": "neck", "level_0_10": 2, "feeling": "as usual", "outcome": "go on with care"},
    "stopped": {"card": "band", "sign": "Band nicked, sticky, torn, or its knot slips"},
    "note": {"words": "left wheel needs air"},
    "ended": {"session_effort_0_10": 4, "minutes": 18},
    "undo": {"corrects": "0193657c-0000-7000-8000-00000000000f"},
}
"""One of each kind, as docs/why/on-court.md describes it."""


def text(kind: str, /, *, number: int = 1, **values: Any) -> str:
    """Return an entry as a page writes it."""
    head = {
        "format": FORMAT,
        "id": f"0193657c-0000-7000-8000-{number + 255:012x}",
        "run": RUN,
        "sequence": number,
        "plan": 3,
        "version": 1,
        "athlete": 7,
        "at": "2026-11-25T18:05:00.000+01:00",
        "kind": kind,
    }
    return json.dumps(head | WHOLE[kind] | values)


@pytest.mark.parametrize("kind", KINDS)
def test_one_of_each_kind_is_read(kind: str) -> None:
    """Nothing that was said is lost on the way."""
    entry = read_entry(text(kind))
    assert entry.kind == kind
    assert (entry.plan, entry.version, entry.athlete) == (3, 1, 7)
    assert entry.at.isoformat() == "2026-11-25T18:05:00+01:00"
    assert entry.exercise == WHOLE[kind].get("exercise")
    said = {key: value for key, value in WHOLE[kind].items() if key not in ("exercise", "corrects")}
    assert entry.values == said


@pytest.mark.parametrize(
    ("kind", "values", "says"),
    [
        ("effort", {"effort_6_20": 5}, "“effort_6_20” is 5; allowed is 6 to 20"),
        ("effort", {"effort_6_20": 21}, "allowed is 6 to 20"),
        ("effort", {"effort_6_20": 12.5}, "12.5"),  # whole numbers only
        ("effort", {"effort_6_20": True}, "True"),
        ("effort", {"feel": "heavy"}, "“feel” is 'heavy'; allowed is easy, right, hard"),
        ("effort", {"feel": "easy", "effort_6_20": 9}, "one of them is asked"),
        ("ended", {"session_effort_0_10": 11}, "allowed is 0 to 10"),
        ("ended", {"minutes": -1}, "“minutes” is -1"),
        ("pain", {"level_0_10": 11}, "allowed is 0 to 10"),
        ("pain", {"place": "ear"}, "“place” is 'ear'"),
        ("pain", {"feeling": "dull"}, "as usual, more than usual, new, sharp"),
        ("before", {"pains": [{"place": "wrist", "side": "up", "level_0_10": 1, "feeling": "new"}]}, "left, right"),
        ("before", {"pains": ["wrist"]}, "“pains” must be a list of pains"),
        ("done", {"exercise": None}, "“exercise” is missing"),
        ("done", {"repetitions": 501}, "allowed is 0 to 500"),
        ("skipped", {"reason": "lazy"}, "no time"),
        ("swapped", {"to": "other"}, "planned, easier, harder"),
        ("note", {"words": ""}, "1 to 500 characters"),
        ("undo", {"corrects": None}, "“corrects” is missing"),
        ("note", {"at": "2026-11-25T18:05:00"}, "with its zone"),
        ("note", {"sequence": 0}, "counted 1, 2, 3"),
        ("note", {"id": "7"}, "must be a UUID"),
        ("note", {"kind": "shout"}, "“kind” is 'shout'"),
        ("begin", {"plan": "x"}, "“plan” is 'x'"),
        ("done", {"athlete": None}, "“athlete” is None; it must be a number from 1, in every entry"),
        ("done", {"version": 2**60}, "“version”"),
        ("done", {"sequence": 10**9}, "“sequence”"),
        ("done", {"at": "0001-01-01T00:00:00+14:00"}, "“at”"),
    ],
)
def test_what_is_none_says_what_is_wrong(kind: str, values: dict[str, Any], says: str) -> None:
    """With the value, and what is allowed."""
    with pytest.raises(EntryError) as caught:
        read_entry(text(kind, **values))
    assert says in str(caught.value)


@pytest.mark.parametrize(
    "given_text", ["", "[]", "7", "{", '{"format": "firstpush entry 2"}', "null", "x" * 9000, "[" * 7000]
)
def test_what_is_no_entry_at_all(given_text: str) -> None:
    """Something else, something too long, a later format."""
    with pytest.raises(EntryError):
        read_entry(given_text)


@given(st.text() | st.recursive(st.none() | st.booleans() | st.integers() | st.text(), st.lists).map(json.dumps))
def test_nothing_makes_it_fall_over(given_text: str) -> None:
    """Whatever is sent: an entry, or a sentence."""
    with pytest.raises(EntryError):
        read_entry(given_text)


@given(
    st.sampled_from(KINDS),
    st.dictionaries(
        st.sampled_from(["id", "at", "sequence", "answers", "pains", "effort_6_20", "words", "exercise", "plan", "to"]),
        st.none() | st.integers() | st.text() | st.lists(st.integers()) | st.dictionaries(st.text(), st.integers()),
    ),
)
def test_an_entry_with_anything_in_its_places(kind: str, values: dict[str, Any]) -> None:
    """Either it is read, or every fault has its sentence; nothing else happens."""
    try:
        read_entry(text(kind, **values))
    except EntryError as error:
        assert str(error).endswith(".")  # noqa: PT017


def chain(*links: tuple[str, int | None]) -> list[Entry]:
    """Return entries 1, 2, … of one run, each (kind, number of the one it corrects)."""
    return [
        read_entry(
            text(
                kind,
                number=number,
                **({} if about is None else {"corrects": f"0193657c-0000-7000-8000-{about + 255:012x}"}),
            )
        )
        for number, (kind, about) in enumerate(links, start=1)
    ]


@pytest.mark.parametrize(
    ("links", "holds"),
    [
        ([("effort", None)], [1]),
        ([("effort", None), ("effort", 1)], [2]),  # corrected
        ([("effort", None), ("effort", 1), ("effort", 2)], [3]),
        ([("effort", None), ("undo", 1)], []),  # undone
        ([("effort", None), ("undo", 1), ("undo", 2)], [1]),  # undoing undone
        ([("effort", None), ("effort", 1), ("undo", 2)], [1]),  # the correction undone
        ([("effort", None), ("effort", 1), ("undo", 2), ("undo", 3)], [2]),
        ([("effort", None), ("note", None), ("undo", 1)], [2]),
    ],
)
def test_what_holds(links: list[tuple[str, int | None]], holds: list[int]) -> None:
    """Worked out by hand, and the order in which entries arrive does not matter."""
    entries = chain(*links)
    assert [each.sequence for each in standing(entries)] == holds
    mixed = entries * 2
    random.Random(3).shuffle(mixed)
    assert standing(mixed) == standing(entries)


def test_a_correction_of_what_has_not_arrived_stands() -> None:
    """It is not thrown away; when the other arrives it takes its place."""
    first, second = chain(("effort", None), ("effort", 1))
    assert standing([second]) == (second,)
    assert standing([second, first]) == (second,)
    assert isinstance(second.corrects, UUID)
