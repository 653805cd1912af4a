"""The week with a harder step in it against the four weeks before, by hand arithmetic."""

from __future__ import annotations

from datetime import date, timedelta

import pytest

from firstpush.core.progress.decide import Rules, decide
from firstpush.core.progress.history import Done
from firstpush.core.progress.week_load import Carried, week_with

TODAY = date(2026, 11, 25)


def carried(weeks_ago: int, amount: float, exercise: str = "row", side: str = "right") -> Carried:
    """Return what was carried on this day of an earlier week."""
    return Carried(on=TODAY - timedelta(weeks=weeks_ago), exercise=exercise, side=side, load=amount, seconds=1.0)  # type: ignore[arg-type]


def test_the_week_is_compared_with_the_mean_of_four() -> None:
    """Weeks of 80, 90, 100 and 130 are 100 in the mean; 60 + 50 with a tenth more of the 60 is 116."""
    before = [carried(1, 80), carried(2, 90), carried(3, 100), carried(4, 130)]
    week = week_with([*before, carried(0, 60), carried(0, 50, "press")], exercise="row", change=0.1, on=TODAY)
    assert week is not None
    assert (week.with_step, week.mean_of_four_weeks) == (pytest.approx(116), pytest.approx(100))


def test_the_arm_that_rises_most_counts() -> None:
    """The left arm did nothing in four weeks: its week rises from nothing, and the rule then waits."""
    rows = [carried(weeks, 100) for weeks in range(5)] + [carried(0, 10, side="left")]
    week = week_with(rows, exercise="row", change=0.1, on=TODAY)
    assert week is not None and week.mean_of_four_weeks == 0
    easy = [Done(exercise="row", on=TODAY, effort=8)] * 2
    assert decide(easy, part="strength", rules=Rules(), week=week).what == "keep"


def test_before_five_weeks_of_entries_the_mean_is_not_known() -> None:
    """Then only the size of the step holds the rise."""
    week = week_with([carried(0, 60), carried(1, 60)], exercise="row", change=0.1, on=TODAY)
    assert week is not None and week.mean_of_four_weeks is None


def test_what_carries_nothing_has_no_week() -> None:
    """An exercise without a stated load is held by other rules."""
    assert week_with([carried(0, 60)], exercise="ball circles", change=0.1, on=TODAY) is None
