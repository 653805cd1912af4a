"""The rule after a session: every edge as a table, and what must hold whatever was logged."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from itertools import pairwise
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from firstpush.core.errors import OutOfRangeError
from firstpush.core.exercises.loader import exercise_named
from firstpush.core.people.pain import OUTCOMES
from firstpush.core.progress.decide import WHATS, WeekLoad, decide
from firstpush.core.progress.effort_bands import EffortBand, effort_band
from firstpush.core.progress.entries import FEELS
from firstpush.core.progress.history import Done
from firstpush.core.progress.rules import Rules

MONDAY = date(2026, 11, 2)
RULES = Rules()
ONE_OF = {"strength": "low_row", "control": "ball_circles", "mobility": "open_book_turn", "court": "slalom_cones"}
"""An exercise of the library for each part."""


def band_of(part: str, rules: Rules = RULES) -> EffortBand:
    """Return the band of an exercise of this part."""
    return effort_band(exercise_named(ONE_OF[part]), rules)


STRENGTH = band_of("strength")


def done(effort: Any = 13, *, day: int = 0, **more: Any) -> Done:
    """Return one exercise as done on a day, finished and clean unless said otherwise."""
    return Done(exercise="low_row", on=MONDAY + timedelta(days=day), effort=effort, **more)


def twice(effort: Any, **more: Any) -> tuple[Done, Done]:
    """Return two sessions in a row that say the same."""
    return done(effort, **more), done(effort, day=3, **more)


@pytest.mark.parametrize(
    ("part", "effort", "what", "asks"),
    [
        # Common practice (10.01-10.02): below 11 harder, 12 to 15 keep, above 15 easier, exactly 11 keep and ask.
        ("strength", 6, "progress", False),
        ("strength", 10, "progress", False),
        ("strength", 11, "keep", True),
        ("strength", 12, "keep", False),
        ("strength", 15, "keep", False),
        ("strength", 16, "regress", False),
        ("strength", 20, "regress", False),
        # Control exercises: below 12.
        ("control", 11, "progress", False),
        ("control", 12, "keep", False),
        ("control", 15, "keep", False),
        ("control", 16, "regress", False),
        # What moves and warms is never made harder for a low effort (common practice); too hard is too hard.
        ("mobility", 6, "keep", False),
        ("mobility", 10, "keep", False),
        ("mobility", 11, "keep", False),
        ("mobility", 15, "keep", False),
        ("mobility", 16, "regress", False),
        ("mobility", "easy", "keep", False),
        ("mobility", "hard", "regress", False),
        # Words of their own, never turned into numbers.
        ("strength", "easy", "progress", False),
        ("strength", "right", "keep", False),
        ("strength", "hard", "regress", False),
        ("strength", None, "keep", True),
    ],
)
def test_every_edge_of_effort(part: str, effort: Any, what: str, asks: bool) -> None:
    """Twice in a row, finished and clean, so that effort alone decides."""
    found = decide(twice(effort), band=band_of(part), rules=RULES)
    assert found.what == what
    assert bool(found.ask) == asks


@pytest.mark.parametrize(
    ("last", "what", "because"),
    [
        # Not finished: easier, even at low effort (common practice).
        (done(8, day=3, finished=False), "regress", "not finished"),
        # One fault keeps, even at low effort; twice in a row is easier.
        (done(8, day=3, faults=("hunched shoulders",)), "keep", "not clean (hunched shoulders)"),
        # The one rule about pain (evidence 13.2).
        (done(8, day=3, pain="go on"), "progress", "effort 8"),
        (done(8, day=3, pain="go on with care"), "keep", "familiar pain"),
        (done(8, day=3, pain="easier"), "regress", "pain"),
        (done(8, day=3, pain="stop the exercise"), "stop", "new or sharp"),
        (done(8, day=3, pain="stop the arm"), "stop", "more than 5"),
        (done(8, day=3, stopped=True, finished=False), "stop", "broken off"),
        (done(17, day=3, pain="go on with care"), "regress", "effort 17"),
        # Want of time is neither too hard nor a fault of form, and does not count; what was felt or hurt still does.
        (done(8, day=3, finished=False, no_time=True), "keep", "no time to finish it"),
        (done(13, day=3, finished=False, no_time=True), "keep", "no time to finish it"),
        (done(16, day=3, finished=False, no_time=True), "regress", "effort 16"),
        (done(8, day=3, finished=False, no_time=True, pain="easier"), "regress", "pain"),
        (done(8, day=3, finished=False, no_time=True, faults=("hunched shoulders",)), "keep", "not clean"),
    ],
)
def test_pain_and_form_come_before_effort(last: Done, what: str, because: str) -> None:
    """The session before it was easy and clean."""
    found = decide((done(8), last), band=STRENGTH, rules=RULES)
    assert found.what == what
    assert because in found.because


def test_faults_twice_in_a_row_are_easier() -> None:
    """A movement that is not clean at any effort is too hard in another way."""
    faults = twice(9, faults=("the trunk rocking back",))
    assert decide(faults, band=STRENGTH, rules=RULES).what == "regress"


def test_a_step_waits_for_two_sessions_that_agree() -> None:
    """One easy session is not enough, nor one easy after one that was right (evidence 13.3)."""
    assert decide([done(9)], band=STRENGTH, rules=RULES).what == "keep"
    assert decide([done(13), done(9, day=3)], band=STRENGTH, rules=RULES).what == "keep"
    assert decide([done(9), done(10, day=3)], band=STRENGTH, rules=RULES).what == "progress"
    assert decide([done(9, finished=False), done(9, day=3)], band=STRENGTH, rules=RULES).what == "keep"
    # One session is enough where the practitioner says so for this athlete.
    assert decide([done(9)], band=STRENGTH, rules=Rules(concordant=1)).what == "progress"


def test_down_at_once() -> None:
    """Too hard needs no second session."""
    assert decide([done(16)], band=STRENGTH, rules=RULES).what == "regress"


@pytest.mark.parametrize(
    ("days", "what"), [(0, "keep"), (6, "keep"), (7, "progress"), (30, "progress"), (None, "progress")]
)
def test_one_step_a_week(days: int | None, what: str) -> None:
    """Seven days after the last step the next may come (evidence 13.3)."""
    sessions = twice(9)
    stepped = None if days is None else sessions[-1].on - timedelta(days=days)
    assert decide(sessions, band=STRENGTH, rules=RULES, last_step_on=stepped).what == what


@pytest.mark.parametrize(
    ("with_step", "mean", "what"),
    [
        # Up to and with +20 % of the mean of the four weeks before (evidence 13.3).
        (119.0, 100.0, "progress"),
        (120.0, 100.0, "progress"),
        (121.0, 100.0, "keep"),
        (50.0, 0.0, "keep"),
        (50.0, None, "progress"),  # four weeks are not known yet: the other rules hold
    ],
)
def test_a_weeks_load_rises_slowly(with_step: float, mean: float | None, what: str) -> None:
    """The step waits, and the number that holds it back is said."""
    week = WeekLoad(with_step=with_step, mean_of_four_weeks=mean)
    found = decide(twice(9), band=STRENGTH, rules=RULES, week=week)
    assert found.what == what
    if with_step == 121.0:
        assert "by 21 %, more than 20 %" in found.because


def test_at_most_two_exercises_are_made_harder_in_a_week() -> None:
    """An ache after more could not be traced (our choice)."""
    assert decide(twice(9), band=STRENGTH, rules=RULES, others_stepped=1).what == "progress"
    found = decide(twice(9), band=STRENGTH, rules=RULES, others_stepped=2)
    assert found.what == "keep"
    assert "2 other exercises" in found.because


def test_after_a_gap_it_is_counted_anew() -> None:
    """Two weeks later an easy session still counts, a day more and it does not (our choice)."""
    for days, what in ((14, "progress"), (15, "keep")):
        assert decide([done(9), done(9, day=days)], band=STRENGTH, rules=RULES).what == what


def test_every_reason_that_waits_is_said_with_its_date() -> None:
    """Whoever reads it knows when the next step may come."""
    stepped = MONDAY - timedelta(days=2)
    found = decide([done(9)], band=STRENGTH, rules=RULES, last_step_on=stepped, others_stepped=2)
    assert "2 sessions in a row" in found.because
    assert "harder at the earliest on 7 November" in found.because
    assert "2 other exercises" in found.because


def test_whether_it_could_be_harder_is_not_asked_while_it_may_not() -> None:
    """At 11 it is kept; the question comes when a step may follow from the answer."""
    asked = decide([done(11)], band=STRENGTH, rules=RULES, last_step_on=MONDAY - timedelta(days=7))
    waits = decide([done(11)], band=STRENGTH, rules=RULES, last_step_on=MONDAY - timedelta(days=6))
    assert asked.ask and not waits.ask
    assert "harder at the earliest on 3 November" in waits.because


@pytest.mark.parametrize(
    ("efforts", "what"),
    [
        ((9, "cut 9"), "keep"),  # the last one does not count
        (("cut 9", 9), "keep"),  # one that counts is not two
        ((9, "cut 9", 9), "progress"),  # it says nothing between two that agree
        ((9, "cut None", 9), "progress"),
        ((9, "cut 13", 9), "keep"),  # half of it was right: the whole was not easy
        ((13, "cut 9", 9), "keep"),
    ],
)
def test_a_session_cut_short_does_not_count_towards_two(efforts: tuple[Any, ...], what: str) -> None:
    """Want of time is no evidence for a step (our choice)."""
    sessions = []
    for day, each in enumerate(efforts):
        cut = isinstance(each, str)
        effort = (None if each == "cut None" else int(each[4:])) if cut else each
        sessions.append(done(effort, day=3 * day, finished=not cut, no_time=cut))
    assert decide(sessions, band=STRENGTH, rules=RULES).what == what


@pytest.mark.parametrize(("days", "what"), [(0, "keep"), (6, "keep"), (7, "progress"), (None, "progress")])
def test_a_load_that_was_raised_by_a_try_out_waits_a_week(days: int | None, what: str) -> None:
    """A try-out that goes on on a later day raises the load like a step (our choice); one of the first day does not."""
    sessions = twice(9)
    known = None if days is None else sessions[-1].on - timedelta(days=days)
    found = decide(sessions, band=STRENGTH, rules=RULES, known_on=known)
    assert found.what == what
    if what == "keep":
        assert "its first load was found on" in found.because


def test_no_step_is_made_while_a_first_load_is_looked_for() -> None:
    """A try-out set is asked for; pain and what is not clean go before it."""
    asked = "effort 8 is still light"
    found = decide(twice(8), band=STRENGTH, rules=RULES, try_out=asked)
    assert (found.what, found.because) == ("keep", asked) and "try-out set" in found.ask
    hurt = decide(twice(8, pain="easier"), band=STRENGTH, rules=RULES, try_out=asked)
    assert hurt.what == "regress"
    held = decide(twice(8), band=STRENGTH, rules=RULES, try_out=asked, held_back="pain came at the neck")
    assert held.what == "keep" and not held.ask and "neck" in held.because


EFFORTS = st.none() | st.integers(6, 20) | st.sampled_from(FEELS)
DONES = st.builds(
    Done,
    exercise=st.just("low_row"),
    on=st.dates(MONDAY, MONDAY + timedelta(days=60)),
    effort=EFFORTS,
    finished=st.booleans(),
    faults=st.lists(st.just("hunched shoulders"), max_size=1).map(tuple),
    pain=st.none() | st.sampled_from(OUTCOMES),
    no_time=st.booleans(),
    stopped=st.booleans(),
).map(lambda each: replace(each, no_time=each.no_time and not each.finished))
HISTORY = st.lists(DONES, min_size=1, max_size=5).map(lambda found: tuple(sorted(found, key=lambda each: each.on)))
PARTS = st.sampled_from(("mobility", "strength", "control", "court"))


def test_an_easy_set_on_a_lighter_day_is_no_step() -> None:
    """Before a match or after a break it neither proposes a step nor counts towards one; too hard is too hard."""
    light = done(8, day=6, lighter="before a match")
    assert decide([*twice(8), light], band=STRENGTH, rules=RULES).what == "keep"
    assert "lighter before a match" in decide([light], band=STRENGTH, rules=RULES).because
    usual, later = done(8), done(8, day=9)
    assert decide([usual, light, later], band=STRENGTH, rules=RULES).what == "progress", "it does not stand between"
    assert decide([light, later], band=STRENGTH, rules=RULES).what == "keep", "nor count"
    nearly = decide([done(11, lighter="after a break")], band=STRENGTH, rules=RULES)
    assert (nearly.what, nearly.ask) == ("keep", "")
    assert decide([done(17, lighter="before a match")], band=STRENGTH, rules=RULES).what == "regress"
    hard = done(13, day=6, lighter="before a match")
    assert decide([usual, hard, later], band=STRENGTH, rules=RULES).what == "keep"


@given(HISTORY, PARTS, st.integers(6, 19))
def test_more_effort_never_leads_to_a_harder_step(history: tuple[Done, ...], part: str, effort: int) -> None:
    """Everything else being equal, one number more is never bolder."""

    def bold(number: int) -> int:
        changed = (*history[:-1], replace(history[-1], effort=number))
        return WHATS.index(decide(changed, band=band_of(part), rules=RULES).what)

    assert bold(effort + 1) <= bold(effort)


@given(HISTORY, PARTS)
def test_pain_never_progresses(history: tuple[Done, ...], part: str) -> None:
    """Whatever effort was: with pain that asks for care, or more, nothing is made harder."""
    last = history[-1]
    for pain in OUTCOMES[1:]:
        found = decide((*history[:-1], replace(last, pain=pain)), band=band_of(part), rules=RULES)
        assert found.what != "progress"
    graver = [
        WHATS.index(decide((*history[:-1], replace(last, pain=pain)), band=band_of(part), rules=RULES).what)
        for pain in OUTCOMES
    ]
    assert all(later <= earlier for earlier, later in pairwise(graver[1:]))


@given(HISTORY, PARTS, st.none() | st.dates(MONDAY, MONDAY + timedelta(days=60)), st.floats(0, 500), st.floats(1, 500))
def test_a_step_keeps_every_limit(
    history: tuple[Done, ...], part: str, stepped: date | None, with_step: float, mean: float
) -> None:
    """Where a step is proposed, the two sessions, the week between steps and the week's load all hold."""
    week = WeekLoad(with_step=with_step, mean_of_four_weeks=mean)
    found = decide(history, band=band_of(part), rules=RULES, last_step_on=stepped, week=week)
    assert found == decide(history, band=band_of(part), rules=RULES, last_step_on=stepped, week=week)
    if found.what == "progress":
        assert len(history) >= 2
        assert all(each.finished and not each.faults for each in history[-2:])
        assert stepped is None or history[-1].on - stepped >= timedelta(days=7)
        assert with_step <= 1.2 * mean + 1e-6
    assert found.because
    assert not found.because.endswith(".")


@pytest.mark.parametrize(
    "numbers",
    [
        {"progress_below": 6},
        {"progress_below": 13},
        {"control_progress_below": 14},
        {"keep_from": 16},
        {"keep_up_to": 20},
        {"concordant": 0},
        {"days_between_steps": -1},
        {"weekly_rise": 0.0},
        {"weekly_rise": 1.5},
    ],
)
def test_rules_that_contradict_each_other_are_refused(numbers: dict[str, Any]) -> None:
    """Each with a sentence that says what is allowed."""
    with pytest.raises(OutOfRangeError, match=r"allowed|must be"):
        Rules(**numbers)


def test_rules_of_ones_own_are_followed() -> None:
    """A band of 13 to 16 for one athlete moves every edge by one."""
    own = Rules(progress_below=12, control_progress_below=13, keep_from=13, keep_up_to=16)
    for effort in range(7, 21):
        for part in ("strength", "control"):
            mine = decide(twice(effort), band=band_of(part, own), rules=own).what
            usual = decide(twice(effort - 1), band=band_of(part), rules=RULES).what
            assert mine == usual


def test_nothing_done_is_nothing_to_decide() -> None:
    """The message says when to come back."""
    with pytest.raises(OutOfRangeError, match="after it was done once"):
        decide([], band=STRENGTH, rules=RULES)
