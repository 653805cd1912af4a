"""A try-out goes on in the second and third session while it is surely too light, and never with pain."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from lever_cases import RUNA, case_of

from firstpush.core.exercises.loader import exercise_named
from firstpush.core.people.pain import OUTCOMES
from firstpush.core.progress.entries import FEELS
from firstpush.core.progress.history import Done
from firstpush.core.progress.try_out_again import LARGEST_LATER, Trying, goes_on_words, why_it_is_over
from firstpush.core.progress.trying import Heard, try_out

DAY = date(2026, 11, 25)
LIGHT = Trying(last=Done(exercise="low_row", on=DAY, effort=8), sessions=1)


def with_last(**more: Any) -> Trying:
    """Return a first session that was light, but for what is said."""
    return replace(LIGHT, last=replace(LIGHT.last, **more))


@pytest.mark.parametrize(
    ("trying", "says"),
    [
        (LIGHT, ""),
        (with_last(effort=6), ""),
        (with_last(effort=9), ""),
        # Up to 9 and up to three sessions are our choice; from 10 on it goes by steps.
        (with_last(effort=10), "effort 10 is above 9"),
        (replace(LIGHT, sessions=2), ""),
        (replace(LIGHT, sessions=3), "looked for in 3 sessions"),
        # Words are no numbers, and nobody knows how light easy is.
        (with_last(effort="easy"), "no number"),
        (with_last(effort=None), "no number"),
        # Pain and what is not clean end it (common practice), even a pain that may go on.
        (with_last(pain="go on"), "pain"),
        (with_last(pain="easier"), "pain"),
        (with_last(stopped=True), "pain"),
        (with_last(finished=False, no_time=True), "not done cleanly"),
        (with_last(faults=("hunched shoulders",)), "not done cleanly"),
        (with_last(variant="easier"), "not done cleanly"),
        (replace(LIGHT, held_back="pain came in another exercise"), "pain came in another"),
        (replace(LIGHT, share=0.6), "less than usual"),
    ],
)
def test_every_edge(trying: Trying, says: str) -> None:
    """One thing at a time."""
    found = why_it_is_over(trying)
    assert (found == "") == (says == "") and says in found
    assert bool(goes_on_words(trying)) == (says == "")


@pytest.mark.parametrize(("days", "over"), [(1, False), (14, False), (15, True)])
def test_after_two_weeks_it_begins_anew(days: int, over: bool) -> None:
    """As every earlier session says nothing then (our choice)."""
    assert bool(why_it_is_over(LIGHT, on=DAY + timedelta(days=days))) == over


@given(
    st.none() | st.integers(6, 20) | st.sampled_from(FEELS),
    st.none() | st.sampled_from(OUTCOMES),
    st.integers(1, 6),
    st.booleans(),
    st.booleans(),
)
def test_it_goes_on_only_light_clean_and_without_pain(
    effort: Any, pain: Any, sessions: int, finished: bool, held: bool
) -> None:
    """Whatever was logged."""
    last = Done(exercise="low_row", on=DAY, effort=effort, pain=pain, finished=finished)
    trying = Trying(last=last, sessions=sessions, held_back="pain came" if held else "")
    if not why_it_is_over(trying):
        assert isinstance(effort, int) and effort <= 9 and sessions < 3
        assert pain is None and finished and not held


def test_it_begins_with_the_load_of_last_time_and_rises_by_no_more_than_a_half() -> None:
    """However easy it feels: half as heavy again is the most of a later day (our choice)."""
    exercise, case = exercise_named("low_row"), case_of(RUNA)
    first = try_out(exercise, case, [Heard(effort=7)] * 3, on=DAY)
    assert first.agreed is not None
    again = try_out(exercise, case, [Heard(effort=6)] * 3, on=DAY + timedelta(days=2), goes_on_from=first.agreed)
    loads = [each.load for each in again.rounds]
    start = first.agreed.sides["right"].load
    assert start is not None and loads[0] == pytest.approx(start, rel=1e-6)
    assert again.over and max(loads) <= start * (1 + LARGEST_LATER.value) * 1.001
    assert max(loads) > 1.15 * start
    hurt = try_out(exercise, case, [Heard(effort=6, pain=True)], on=DAY, goes_on_from=first.agreed)
    assert hurt.over and hurt.agreed is None
