"""What a session is today: a set less, a first time set by set, and a stop that holds; by hand, in two engines."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import pytest
from court_engines import an_engine  # noqa: F401

if TYPE_CHECKING:
    from court_engines import Engine


def step(kind: str, side: str | None = None, seconds: int = 40) -> dict[str, Any]:
    """Return one step of an exercise."""
    return {"kind": kind, "side": side, "seconds": seconds, "words": kind}


def kinds(steps: list[dict[str, Any]]) -> list[str]:
    """Return what the steps are, in short."""
    return [each["kind"] + (f" {each['side']}" if each["side"] else "") for each in steps]


TOGETHER = [step("set up"), step("block the chair"), step("set"), step("pause"), step("set"), step("free the chair")]
IN_TURN = [step("set up"), step("set", "left"), step("change sides", "right"), step("set", "right")]
IN_TURN += [step("change sides", "left"), step("set", "left"), step("change sides", "right"), step("set", "right")]
ONE_SIDE_FIRST = [
    step("set up"),
    step("set", "left"),
    step("pause"),
    step("set", "left"),
    step("change sides", "right"),
]
ONE_SIDE_FIRST += [step("set", "right"), step("pause"), step("set", "right"), step("free the chair")]


@pytest.mark.parametrize(
    ("steps", "left"),
    [
        (TOGETHER, ["set up", "block the chair", "set", "free the chair"]),
        (IN_TURN, ["set up", "set left", "change sides right", "set right"]),
        (ONE_SIDE_FIRST, ["set up", "set left", "change sides right", "set right", "free the chair"]),
    ],
)
def test_one_set_less_takes_the_last_set_of_each_side(engine: Engine, steps: Any, left: list[str]) -> None:
    """With its pause, and what would be set up for it; the dose in large says so."""
    found = engine.evaluate("(v) => m.oneSetLess(v)", {"steps": steps, "dose_large": "2 × 8", "dose_small": "slow"})
    assert kinds(found["steps"]) == left
    assert (found["dose_large"], found["one_set_less"]) == ("1 × 8", True)


def test_what_has_one_set_stays_as_it_is(engine: Engine) -> None:
    """Two rounds of 30 s are one set: "2 × 30 s" does not become one round."""
    variant = {"steps": [step("set up"), step("set")], "dose_large": "2 × 30 s", "dose_small": ""}
    assert engine.evaluate("(v) => m.oneSetLess(v)", variant) == variant


BEFORE = {
    "questions": [
        {
            "id": "illness",
            "asks": "How do you feel today?",
            "answers": [
                {"says": "as usual", "effect": "none"},
                {"says": "more tired", "effect": "ease", "one_set_less": True, "effort_ceiling": 13},
                {"says": "ill", "effect": "stop", "what": "ill or feverish"},
            ],
        }
    ],
    "pains": [],
}
ANSWERS = [{"effort_6_20": 12, "then": "keep", "words": "12 is right"}]
ANSWERS += [{"effort_6_20": 9, "then": "harder", "words": "9 is light"}]
ANSWERS += [{"effort_6_20": 17, "then": "stop", "words": "17 is too hard"}]


def pack(*, easier: bool = True) -> dict[str, Any]:
    """Return a package of one exercise that is tried out, two sets as planned."""
    one = {"steps": [step("set up"), step("set")], "dose_large": "5 to 8", "dose_small": "", "arms": ["left"]}
    planned = {**one, "steps": TOGETHER}
    return {
        "plan": 1,
        "version": 1,
        "athlete": {"id": 7},
        "before": BEFORE,
        "pain": {"answers": [], "tables": {}},
        "effort_ceiling": {"effort_6_20": 15, "what": "{effort} above {ceiling}", "do": "easier"},
        "cards": [
            {"id": "dysreflexia", "title": "Signs of it", "ends": "session", "may_go_on": True, "signs": ["headache"]},
            {"id": "heart", "title": "Chest", "ends": "session", "may_go_on": False, "signs": ["chest"]},
            {"id": "band", "title": "A band tore", "ends": "exercise", "may_go_on": True, "signs": ["torn"]},
        ],
        "items": [
            {
                "exercise": "row",
                "part": "strength",
                "number": 1,
                "first_time": True,
                "first_time_answers": ANSWERS,
                "variants": {"planned": planned, "harder": one} | ({"easier": one} if easier else {}),
            }
        ],
    }


class Log:
    """Entries of one run."""

    def __init__(self) -> None:
        self.entries: list[dict[str, Any]] = []
        self.say("before", answers={}, effects=[])

    def say(self, kind: str, **values: Any) -> str:
        number = len(self.entries) + 1
        entry = {"id": f"e{number}", "run": "r", "sequence": number, "at": "2026-11-25T02:17:00.000+01:00"}
        self.entries.append({**entry, "kind": kind, **values})
        return f"e{number}"


FIRST = "([pack, entries]) => m.flowState(pack, entries).items[0].first"
NEXT = "([pack, entries, read]) => m.nextOf(pack, m.flowState(pack, entries), { read })"


def test_after_the_first_set_that_was_right_the_second_follows(engine: Engine) -> None:
    """One set, how hard, then the second set by the answer; the clock runs one set at a time.

    The chair stays blocked between the two sets: freed and blocked again, the second set would start from another
    place, and the band would pull otherwise.
    """
    log = Log()
    steps = (
        "([pack, entries]) => m.stepsOfFirstTime(pack.items[0].variants.planned.steps,"
        " m.flowState(pack, entries).items[0].first)"
    )
    assert engine.evaluate(FIRST, [pack(), log.entries])["next"] == "ask"
    first_set = ["set up", "block the chair", "set"]
    assert kinds(engine.evaluate(steps, [pack(), log.entries])) == first_set
    log.say("effort", exercise="row", effort_6_20=12)
    found = engine.evaluate(FIRST, [pack(), log.entries])
    assert (found["next"], found["sets"], found["of"], found["words"]) == ("rest", 1, 2, "12 is right")
    assert kinds(engine.evaluate(steps, [pack(), log.entries])) == ["pause", "set", "free the chair"]


def test_what_follows_a_first_set_stays_asked_when_the_page_was_closed(engine: Engine) -> None:
    """Too light or too hard: an answer is due, from the entries alone; another way to do it is asked about anew."""
    log = Log()
    log.say("effort", exercise="row", effort_6_20=9)
    found = engine.evaluate(FIRST, [pack(), log.entries])
    assert (found["next"], found["to"], found["then"]) == ("answer", "harder", "harder")
    log.say("swapped", exercise="row", to="harder")
    assert engine.evaluate(FIRST, [pack(), log.entries])["next"] == "ask"
    log.say("effort", exercise="row", effort_6_20=12)
    found = engine.evaluate(FIRST, [pack(), log.entries])
    assert (found["next"], found["sets"]) == ("over", 2), "two sets were planned, two are done"
    hard = Log()
    hard.say("effort", exercise="row", effort_6_20=17)
    found = engine.evaluate(FIRST, [pack(easier=False), hard.entries])
    assert (found["next"], found["to"], found["notice"]["what"]) == ("answer", None, "17 above 15")


def test_a_set_less_today_leaves_one_set_of_a_first_time(engine: Engine) -> None:
    """More tired than usual: the first set is the only one."""
    source = "([pack, before]) => m.todaysPack(pack, before).items[0].variants.planned"
    tired = {"answers": {"illness": "more tired"}, "effects": ["ease"]}
    assert kinds(engine.evaluate(source, [pack(), tired])["steps"]).count("set") == 1
    plain = {"answers": {"illness": "as usual"}, "effects": []}
    assert kinds(engine.evaluate(source, [pack(), plain])["steps"]).count("set") == 2
    assert kinds(engine.evaluate(source, [pack(), None])["steps"]).count("set") == 2


def test_a_card_that_ends_the_session_lets_nothing_follow_but_its_answer(engine: Engine) -> None:
    """Not by reading it, not by another card after it: somebody says that it passed, and of some cards nobody can."""
    log = Log()
    log.say("stopped", card="dysreflexia", sign="headache")
    band = log.say("stopped", card="band", sign="torn", exercise="row")

    def shown(*read: str) -> tuple[str, str | None]:
        found = engine.evaluate(NEXT, [pack(), log.entries, list(read)])
        return found["show"], (found.get("card") or {}).get("id")

    assert shown() == ("card", "band"), "the newest first"
    assert shown(band, "e2") == ("card", "dysreflexia")
    log.say("note", words="some words")
    assert shown(band) == ("card", "dysreflexia"), "any note is no answer"
    passed = log.say("note", words="All of it passed, after “Signs of it”: the practitioner says so")
    assert shown(band)[0] != "card"
    log.say("undo", corrects=passed)
    chest = log.say("stopped", card="heart", sign="chest")
    log.say("note", words="All of it passed, after “Chest”: the practitioner says so")
    assert shown(band, chest) == ("card", "heart")
    log.say("undo", corrects=chest)
    log.say("ended", minutes=3)
    assert shown() == ("done", None)


def test_what_was_to_be_put_right_first_is_asked_again(engine: Engine) -> None:
    """Undoing the end of a session that never began leads to the questions, not into the exercises."""
    log = Log()
    log.say("before", answers={}, effects=["first"], corrects="e1")
    assert engine.evaluate(NEXT, [pack(), log.entries, []])["show"] == "before"


def test_a_stop_of_today_is_found_in_any_doing_of_the_athlete(engine: Engine) -> None:
    """The last of the day counts, here or as a package told it; not yesterday's, another athlete's, or a torn band."""
    source = """
    ([sessions, told, athlete, now]) =>
      m.stopToday(sessions.map(({ pack, standing }) => ({ pack, state: { standing } })), told, athlete, new Date(now))
    """
    log = Log()
    log.say("stopped", card="dysreflexia", sign="headache")
    log.say("stopped", card="band", sign="torn")
    mine = {"pack": pack(), "standing": log.entries}
    day = engine.evaluate("() => m.localTime(new Date(2026, 10, 25, 12)).slice(0, 10)")
    assert day == "2026-11-25"
    noon = engine.evaluate("() => new Date(2026, 10, 25, 12).getTime()")
    found = engine.evaluate(source, [[mine], [], 7, noon])
    assert found == {"date": "2026-11-25", "at": "02:17", "what": "signs of it"}
    assert engine.evaluate(source, [[mine], [], 8, noon]) is None
    next_day = engine.evaluate("() => new Date(2026, 10, 26, 12).getTime()")
    assert engine.evaluate(source, [[mine], [], 7, next_day]) is None
    told = {"date": "2026-11-25", "at": "09:30", "what": "too hot"}
    assert engine.evaluate(source, [[mine], [told], 7, noon])["what"] == "too hot"
