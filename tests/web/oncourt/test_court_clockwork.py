"""The clock of an exercise: what it says, and when, worked out by hand; a device that slept, a clock that jumped."""

from __future__ import annotations

import random
from typing import TYPE_CHECKING, Any

import pytest
from court_engines import an_engine  # noqa: F401

from firstpush.core.exercises.loader import library
from firstpush.core.people.athlete import SIDES
from firstpush.core.session.candidate import Candidate, Chosen
from firstpush.core.session.timeline import timeline

if TYPE_CHECKING:
    from court_engines import Engine

SEED = 20261125
LISTEN = """
([steps, looks]) => {
  const schedule = m.makeSchedule(steps);
  let clock = m.startedClock(looks[0]);
  const heard = [];
  const shown = [];
  for (const now of looks) {
    const look = m.lookAtClock(clock, schedule, now);
    clock = look.clock;
    const { kind, secondsLeft, announcements } = look.told;
    heard.push(...announcements.map((each) => [each.atMs / 1000, each.words]));
    shown.push([kind, secondsLeft, clock.running, look.gap, clock.elapsedMs, announcements.length]);
  }
  const calls = schedule.spans.flatMap((each) => each.calls).map((each) => [each.atMs / 1000, each.words]);
  return { heard, shown, calls };
}
"""
TELL = "([steps, at]) => at.map((each) => m.tell(m.makeSchedule(steps), each * 1000))"


def step(kind: str, seconds: float, words: str = "", **other: Any) -> dict[str, Any]:
    """Return a step as in the package."""
    return {"kind": kind, "seconds": seconds, "side": None, "words": words or kind, **other}


def listen(engine: Engine, steps: list[dict[str, Any]], looks_ms: list[float]) -> Any:
    """Return what is shown and called at looks on the clock."""
    return engine.evaluate(LISTEN, [steps, looks_ms])


def every(milliseconds: int, until_s: float, start_ms: int = 1_795_000_000_000) -> list[float]:
    """Return looks at regular times."""
    return [start_ms + at for at in range(0, int(until_s * 1000) + milliseconds, milliseconds)]


def test_a_rest_is_called_as_it_is_written(engine: Engine) -> None:
    """Of 40 s: 30 seconds left, 10, 3, 2, 1, rest over; of 30 s at once; of 8 s only the count."""
    calls = ["30 seconds left", "10 seconds left", "3", "2", "1", "Rest over"]
    heard = listen(engine, [step("pause", 40, "Pause 40 s")], every(250, 40))["heard"]
    assert heard == [[0, "Pause 40 s"], *map(list, zip((10, 30, 37, 38, 39, 40), calls, strict=True)), [40, "Done"]]
    heard = listen(engine, [step("pause", 30, "Pause 30 s")], every(250, 30))["heard"]
    assert heard[:3] == [[0, "Pause 30 s"], [0, "30 seconds left"], [20, "10 seconds left"]]
    heard = listen(engine, [step("pause", 8, "Pause 8 s")], every(250, 8))["heard"]
    assert [words for _, words in heard] == ["Pause 8 s", "3", "2", "1", "Rest over", "Done"]


def test_repetitions_are_counted_with_their_hold(engine: Engine) -> None:
    """Three of 2 s out, 3 s held, 2 s back: 1 at 0 s, hold at 2 s, 2 at 7 s, hold at 9 s, 3 at 14 s, hold at 16 s."""
    row = step("set", 21, "set 1 of 1, 3 times", repetitions=3, out_s=2, hold_s=3, back_s=2)
    heard = listen(engine, [row], every(200, 21))["heard"]
    assert heard[0] == [0, "set 1 of 1, 3 times"]
    assert heard[1:-1] == [[0, "1"], [2, "Hold"], [7, "2"], [9, "Hold"], [14, "3"], [16, "Hold"]]
    told = engine.evaluate(TELL, [[row], [1, 4, 6.5, 20.9]])
    assert [(each["phase"], each["repetition"]) for each in told] == [("out", 1), ("hold", 1), ("back", 1), ("back", 3)]
    assert [each["phaseSecondsLeft"] for each in told] == [1, 1, 1, 1]


def test_a_court_drill_says_when_the_direction_changes(engine: Engine) -> None:
    """One set of two rounds changes in its middle; sets of one round each change with every second set."""
    rolling = step("set", 120, "easy rolling", rounds=2, rounds_words="easy minutes, the second the other way round")
    heard = listen(engine, [rolling], every(250, 120))["heard"]
    assert [60, "The other way round"] in heard
    assert sum("way round" in words for _, words in heard) == 1
    words = "once round the half circle, every second set the other way round"
    circles = [each for _ in range(4) for each in (step("set", 30, rounds=1, rounds_words=words), step("pause", 30))][
        :-1
    ]
    heard = listen(engine, circles, every(250, 210))["heard"]
    turns = [each for each in heard if "way round" in each[1]]
    assert turns == [[60, "The other way round"], [120, "One way round"], [180, "The other way round"]]


def test_lengths_of_a_push_lane_take_time_by_their_speed(engine: Engine) -> None:
    """At 25, 50, 75 and 100 % time goes as 12 : 6 : 4 : 3; of 70 s that is 33.6, 50.4, 61.6 and 70 s."""
    lane = step("set", 70, rounds=4, rounds_words="lengths at 25, 50, 75, 100 % of your fastest")
    heard = listen(engine, [lane], every(100, 70))["heard"]
    lengths = [(at, words) for at, words in heard if words.startswith("Length")]
    assert lengths == [
        (pytest.approx(70 * 12 / 25), "Length 2 of 4"),
        (pytest.approx(70 * 18 / 25), "Length 3 of 4"),
        (pytest.approx(70 * 22 / 25), "Length 4 of 4"),
    ]
    assert engine.evaluate("() => m.roundEnds(3, 'there and back')") == [pytest.approx(1 / 3), pytest.approx(2 / 3), 1]


def test_sides_are_said_and_a_hand_ends_what_a_hand_does(engine: Engine) -> None:
    """Setting up takes as long as it takes: the clock waits there, however late the next look comes."""
    steps = [step("set up", 20, "Tie the band"), step("set", 10, "left side", side="left", seconds_=1)]
    shown = listen(engine, steps, every(500, 60))["shown"]
    assert {kind for kind, *_ in shown} == {"set up"}
    ahead = engine.evaluate(
        """(steps) => { const schedule = m.makeSchedule(steps);
          const clock = m.clockAhead(m.startedClock(0), schedule, 5000);
          return m.lookAtClock(clock, schedule, 5000).told; }""",
        steps,
    )
    assert (ahead["kind"], ahead["side"], ahead["secondsLeft"]) == ("set", "left", 10)
    assert [each["words"] for each in ahead["announcements"]] == ["left side"]


def test_every_call_comes_once_however_often_the_clock_is_looked_at(engine: Engine) -> None:
    """Looks at random moments up to 1.5 s apart hear each call of the schedule once, in order: 30 exercises."""
    rng = random.Random(SEED)
    for _ in range(30):
        rows = [("set", {"repetitions": 5, "out_s": 2, "hold_s": 1, "back_s": 2}), ("set", {}), ("pause", {})]
        steps = [step(kind, rng.randint(1, 50), **other) for kind, other in rng.choices(rows, k=rng.randint(1, 6))]
        looks, at = [], 1_795_000_000_000.0
        while at < 1_795_000_000_000 + 1000 * sum(each["seconds"] for each in steps) + 2000:
            looks.append(at)
            at += rng.uniform(5, 1500)
        found = listen(engine, steps, looks)
        assert found["heard"] == found["calls"]
        assert found["shown"][-1][0] == "over"


def test_a_device_that_slept_calls_once_and_goes_no_further_than_the_step_in_hand(engine: Engine) -> None:
    """Ten minutes of sleep in a rest: "rest over", once, and the clock stands where the next set begins."""
    steps = [step("pause", 40), step("set", 30), step("pause", 60), step("set", 30)]
    start = 1_795_000_000_000
    found = listen(engine, steps, [start, start + 5000, start + 605_000, start + 605_250])
    assert found["heard"][-1] == [40, "set"], "what is called is what comes now"
    assert [each[5] for each in found["shown"]] == [1, 0, 1, 0]
    assert found["shown"][2][2:5] == [False, True, 40_000]
    assert found["shown"][3][4] == 40_000, "and it stands"


def test_a_late_look_within_a_step_is_no_sleep(engine: Engine) -> None:
    """A page in the background is looked at once a minute: the rest goes on, and old counts are not called after."""
    start = 1_795_000_000_000
    found = listen(
        engine, [step("pause", 120), step("set", 30)], [start, start + 60_000, start + 91_000, start + 110_500]
    )
    assert [each[:3] for each in found["shown"]] == [
        ["pause", 120, True], ["pause", 60, True], ["pause", 29, True], ["pause", 10, True],
    ]  # fmt: skip
    assert found["heard"] == [[0, "pause"], [90, "30 seconds left"], [110, "10 seconds left"]]


def test_a_clock_that_is_set_back_stops_nothing(engine: Engine) -> None:
    """Set back by two days in the middle of a rest: no second is lost or given beyond the one between two looks."""
    start = 1_795_000_000_000
    looks = [start + at for at in range(0, 20_250, 250)]
    looks += [each - 86_400_000 * 2 for each in range(start + 20_250, start + 41_000, 250)]
    found = listen(engine, [step("pause", 40)], looks)
    assert [words for _, words in found["heard"]] == [
        "pause", "30 seconds left", "10 seconds left", "3", "2", "1", "Rest over", "Done",
    ]  # fmt: skip


def test_pause_and_back_are_arithmetic(engine: Engine) -> None:
    """Standing for an hour changes nothing; back goes to the start of the step, and from there to the one before."""
    source = """(steps) => {
      const schedule = m.makeSchedule(steps);
      let clock = m.lookAtClock(m.startedClock(0), schedule, 4000).clock;
      clock = m.pausedClock(clock, schedule, 4500);
      const standing = m.lookAtClock(clock, schedule, 3604500).clock.elapsedMs;
      clock = m.lookAtClock(m.resumedClock(clock, 3604500), schedule, 3608500).clock;
      const gone = clock.elapsedMs;
      const ahead = m.clockAhead(clock, schedule, 3608500);
      const back = m.clockBack({ ...ahead, elapsedMs: ahead.elapsedMs + 5000 }, schedule, 0).elapsedMs;
      return [standing, gone, ahead.elapsedMs, back, m.clockBack(ahead, schedule, 0).elapsedMs];
    }"""
    assert engine.evaluate(source, [step("set", 30), step("pause", 20)]) == [4500, 8500, 30_000, 30_000, 0]


def test_the_clock_takes_as_long_as_the_plan(engine: Engine) -> None:
    """Every dose of every exercise: the schedule is as long as core's timeline, and no call lies outside it."""
    cases = []
    for exercise in library().values():
        for dose in exercise.doses:
            found = timeline([Chosen(candidate=Candidate(exercise=exercise, sides=SIDES), dose=dose)])
            names = ("repetitions", "out_s", "hold_s", "back_s", "rounds", "rounds_words")
            told = {name: getattr(dose, name) for name in names}
            steps = [each for each in found.steps if each.exercise is not None]
            cases.append(
                [
                    step(each.kind, each.seconds, each.words, side=each.side, **(told if each.kind == "set" else {}))
                    for each in steps
                ]
            )
    assert len(cases) >= 30, "too few to prove anything"
    source = "(cases) => cases.map((each) => m.makeSchedule(each))"
    for steps, schedule in zip(cases, engine.evaluate(source, cases), strict=True):
        assert schedule["totalMs"] == 1000 * sum(each["seconds"] for each in steps)
        for span in schedule["spans"]:
            assert all(span["startMs"] <= each["atMs"] <= span["endMs"] for each in span["calls"])
            ends = [each["endMs"] for each in span["phases"]]
            assert ends == sorted(ends)
            assert not ends or ends[-1] == span["endMs"]
