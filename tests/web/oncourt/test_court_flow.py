"""Where a session stands, from its entries alone: worked out by hand, and by properties that hold for every session."""

from __future__ import annotations

import random
from itertools import product
from typing import TYPE_CHECKING, Any

import pytest
from court_engines import an_engine  # noqa: F401

from firstpush.core.people.pain import FEELINGS, PAIN_LEVELS, pain_answer, pain_table

if TYPE_CHECKING:
    from court_engines import Engine

SEED = 20261125
FLOW = """
([pack, entries, passed]) => {
  const state = m.flowState(pack, entries);
  return {
    items: state.items.map(({ part, number, entry, ...each }) => each),
    next: m.nextOf(pack, state, passed ?? {}), pains: state.pains, progress: state.progress,
    words: [m.progressWords(state), ...state.items.map((each) => state.wordsOf(each.exercise))],
  };
}
"""


def one_set(side: str | None = None) -> dict[str, Any]:
    """Return a set of ten."""
    return {
        "kind": "set",
        "seconds": 40,
        "side": side,
        "words": "set 1 of 1",
        "repetitions": 10,
        "out_s": 2,
        "back_s": 2,
    }


def pack(limit: int | None = None, usual: int | None = 3) -> dict[str, Any]:
    """Return a package of four exercises in three parts: both arms, both arms, left then right, left only."""
    rows = [
        ("circles", "mobility", [None], False),
        ("row", "strength", [None], True),
        ("raise", "strength", ["left", "right"], True),
    ]
    rows.append(("press", "control", ["left"], False))
    answers: list[tuple[str, str]] = []

    def indices(table: dict[Any, list[list[Any]]]) -> dict[str, list[list[int]]]:
        def index(answer: Any) -> int:
            pair = (answer.outcome, answer.because)
            if pair not in answers:
                answers.append(pair)
            return answers.index(pair)

        return {feeling: [[index(each) for each in row] for row in rows] for feeling, rows in table.items()}

    tables = {
        "": indices(pain_table(usual=None, limit=limit)),
        "left shoulder top": indices(pain_table(usual=usual, limit=limit)),
    }
    return {
        "plan": 1,
        "version": 1,
        "pain": {"answers": answers, "tables": tables},
        "cards": [
            {"id": "heart", "ends": "session", "signs": ["chest"]},
            {"id": "band", "ends": "exercise", "signs": ["torn"]},
        ],
        "items": [
            {
                "exercise": name,
                "part": part,
                "number": number,
                "variants": {"planned": {"steps": [one_set(side) for side in sides]}}
                | ({"easier": {"steps": [one_set(side) for side in sides]}} if easier else {}),
            }
            for number, (name, part, sides, easier) in enumerate(rows, 1)
        ],
    }


class Log:
    """The entries of a run, numbered."""

    def __init__(self) -> None:
        self.entries: list[dict[str, Any]] = []

    def say(self, kind: str, **values: Any) -> str:
        number = len(self.entries) + 1
        self.entries.append({"id": f"entry-{number}", "run": "r", "sequence": number, "kind": kind, **values})
        return f"entry-{number}"


def flow(engine: Engine, log: Log, *, of: dict[str, Any] | None = None, **passed: list[str]) -> Any:
    """Return where a run stands, and what comes next."""
    return engine.evaluate(FLOW, [of or pack(), log.entries, passed])


def shown(engine: Engine, log: Log, **passed: list[str]) -> tuple[Any, ...]:
    """Return what comes next in short."""
    found = flow(engine, log, **passed)["next"]
    return tuple(found[key] for key in ("show", "exercise", "variant", "part") if key in found)


def test_a_plain_session_from_its_start_to_its_end(engine: Engine) -> None:
    """Before, four exercises, an effort after each part, the end: what comes next at every step, by hand."""
    log = Log()
    log.say("begin")
    assert shown(engine, log) == ("before",)
    log.say("before", answers={}, effects=[])
    for exercise, effort_after in (("circles", "mobility"), ("row", None), ("raise", "strength"), ("press", "control")):
        assert shown(engine, log) == ("exercise", exercise, "planned")
        log.say("done", exercise=exercise, variant="planned", as_planned=True)
        if effort_after:
            assert shown(engine, log) == ("effort", effort_after)
            log.say("effort", part=effort_after, effort_6_20=12)
    found = flow(engine, log)
    assert found["next"] == {"show": "finish"}
    assert found["progress"] == {"closed": 4, "done": 4, "of": 4}
    assert found["words"] == ["4 of 4", "done", "done", "done", "done"]
    log.say("ended", minutes=17)
    assert shown(engine, log) == ("done",)


def test_a_part_of_which_nothing_was_done_is_asked_for_no_effort(engine: Engine) -> None:
    """Left out altogether: nobody can say how hard it was. What was passed over is not asked again."""
    log = Log()
    log.say("before", answers={}, effects=[])
    log.say("skipped", exercise="circles", reason="no time")
    assert shown(engine, log) == ("exercise", "row", "planned")
    log.say("done", exercise="row", variant="planned")
    log.say("skipped", exercise="raise", reason="other")
    assert shown(engine, log) == ("effort", "strength")
    assert shown(engine, log, notAsked=["strength"]) == ("exercise", "press", "planned")


def test_pain_holds_an_exercise_until_the_easier_one_is_taken(engine: Engine) -> None:
    """Too much: the easier one is offered, once. Too much there as well, or none prepared: the exercise is over."""
    log = Log()
    log.say("before", answers={}, effects=[])
    log.say("skipped", exercise="circles", reason="other")
    sore = {"place": "shoulder top", "side": "left", "level_0_10": 3, "feeling": "as usual", "outcome": "easier"}
    log.say("pain", exercise="row", **sore)
    held = flow(engine, log)["next"]
    assert held["held"] == {"offer": "easier", "because": "pain, left shoulder top 3 of 10"}
    log.say("swapped", exercise="row", to="easier")
    assert flow(engine, log)["next"] | {"index": 0} == {
        "show": "exercise", "index": 0, "exercise": "row", "variant": "easier", "held": None,
    }  # fmt: skip
    again = log.say("pain", exercise="row", **sore)
    assert flow(engine, log)["items"][1]["state"] == "stopped"
    assert shown(engine, log) == ("exercise", "raise", "planned")
    log.say("undo", corrects=again)
    assert shown(engine, log) == ("exercise", "row", "easier")
    log.say("done", exercise="row", variant="easier", as_planned=True)
    log.say("done", exercise="raise", variant="planned", as_planned=False)
    log.say("pain", exercise="press", **sore)
    found = flow(engine, log, notAsked=["strength"])
    assert found["items"][3]["state"] == "stopped", "no easier one is prepared"
    assert found["next"]["show"] == "finish"
    assert found["words"][2:4] == ["done, the easier one", "done, otherwise than planned"]


def test_an_arm_that_pain_stopped_is_loaded_no_more(engine: Engine) -> None:
    """Right: what works with the left alone stays. Left, or the neck: everything that is left is over."""
    for place, side, left_over in (
        ("elbow inside", "right", ["press"]),
        ("elbow inside", "left", []),
        ("neck", None, []),
    ):
        log = Log()
        log.say("before", answers={}, effects=[])
        log.say("done", exercise="circles", variant="planned")
        where = {"place": place, "level_0_10": 7, "feeling": "as usual", "outcome": "stop the arm"}
        log.say("pain", exercise="row", **where, **({"side": side} if side else {}))
        found = flow(engine, log)["items"]
        assert [each["exercise"] for each in found if each["state"] == "open"] == left_over
        assert found[0]["state"] == "done", "what was done stays done"


def test_a_first_aid_card_stays_until_it_was_read(engine: Engine) -> None:
    """It comes again after the page was loaded anew; the exercise in hand is over, and nothing else is."""
    log = Log()
    log.say("before", answers={}, effects=[])
    stopped = log.say("stopped", card="band", sign="torn", exercise="circles")
    found = flow(engine, log)["next"]
    assert (found["show"], found["card"]["id"], found["sign"]) == ("card", "band", "torn")
    assert shown(engine, log, read=[stopped]) == ("exercise", "row", "planned")
    log.say("undo", corrects=stopped)
    assert shown(engine, log) == ("exercise", "circles", "planned")
    log.say("stopped", card="heart", sign="chest")
    log.say("ended", minutes=4)
    assert shown(engine, log) == ("done",)


def test_answers_before_the_start_ease_or_stop(engine: Engine) -> None:
    """Eased: the easier one is in hand where there is one, until somebody swaps. Stopped: there is only the end."""
    log = Log()
    first = log.say("before", answers={}, effects=["ease"])
    assert [each["variant"] for each in flow(engine, log)["items"]] == ["planned", "easier", "easier", "planned"]
    log.say("swapped", exercise="row", to="planned")
    assert flow(engine, log)["items"][1]["variant"] == "planned"
    log.say("before", answers={}, effects=["stop"], corrects=first)
    assert shown(engine, log) == ("finish",)


@pytest.mark.parametrize(("limit", "usual"), [(None, 3), (4, 3), (0, 0)])
def test_the_page_answers_a_pain_as_core_does(engine: Engine, limit: int | None, usual: int) -> None:
    """Every feeling, earlier level and level, at a known place and at another: 726 answers each."""
    asked = [
        (side, feeling, before, level)
        for side, feeling, before, level in product(("left", "right"), FEELINGS, (None, *PAIN_LEVELS), PAIN_LEVELS)
    ]
    source = """
    ([pack, asked]) => asked.map(([side, feeling, before, level]) => {
      const state = { pains: before === null ? {} : { [`${side} shoulder top`]: before } };
      return m.painOutcome(pack, state, "shoulder top", side, feeling, level);
    })
    """
    found = engine.evaluate(source, [pack(limit, usual), asked])
    for (side, feeling, before, level), told in zip(asked, found, strict=True):
        known = usual if side == "left" else None
        answer = pain_answer(level, feeling=feeling, usual=known, limit=limit, before=before)
        assert told == {"outcome": answer.outcome, "because": answer.because}


def test_pain_said_before_counts_at_its_own_place_only(engine: Engine) -> None:
    """The last level at a place, from the answers before the start and from the exercises."""
    log = Log()
    pains = [{"place": "shoulder top", "side": "left", "level_0_10": 2, "feeling": "as usual"}]
    log.say("before", answers={}, effects=[], pains=[*pains, {"place": "neck", "level_0_10": 1, "feeling": "as usual"}])
    log.say("pain", place="shoulder top", side="left", level_0_10=1, feeling="as usual", outcome="go on with care")
    assert flow(engine, log)["pains"] == {"left shoulder top": 1, "neck": 1}


def test_undoing_whatever_was_said_leads_back(engine: Engine) -> None:
    """150 sessions at random, and an entry of every kind on top of each: undone, all stands as before."""
    rng = random.Random(SEED)
    cases = []
    for _ in range(150):
        log = Log()
        log.say("begin")
        for _ in range(rng.randint(0, 12)):
            add_random(log, rng)
        before = list(log.entries)
        taken_back = add_random(log, rng)
        log.say("undo", corrects=taken_back)
        cases += [[pack(), before, {}], [pack(), log.entries, {}]]
    source = f"(cases) => cases.map({FLOW})"
    found = engine.evaluate(source, cases)
    for first, second in zip(found[::2], found[1::2], strict=True):
        assert first == second
    assert {each["next"]["show"] for each in found} >= {"before", "exercise", "effort", "card", "finish", "done"}


def add_random(log: Log, rng: random.Random) -> str:
    """Say something at random, and return its id."""
    exercise = rng.choice(["circles", "row", "raise", "press"])
    outcome = rng.choice(["go on", "easier", "stop the exercise", "stop the arm"])
    pain = {"place": "shoulder top", "side": rng.choice(["left", "right"]), "level_0_10": 4, "feeling": "as usual"}
    kinds: dict[str, dict[str, Any]] = {
        "before": {"answers": {}, "effects": rng.choice([[], [], [], ["ease"], ["stop"]])},
        "done": {"exercise": exercise, "variant": "planned"},
        "skipped": {"exercise": exercise, "reason": "other"},
        "swapped": {"exercise": exercise, "to": "easier"},
        "pain": {"exercise": exercise, "outcome": outcome, **pain},
        "effort": {"part": rng.choice(["mobility", "strength"]), "effort_6_20": 11},
        "stopped": {"card": "band", "exercise": exercise},
        "ended": {"minutes": 9},
    }
    kind = rng.choices(list(kinds), weights=[4, 8, 3, 2, 2, 2, 1, 1])[0]
    return log.say(kind, **kinds[kind])
