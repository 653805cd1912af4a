"""What the joints carried in a week: load times time under load, counted from what was done."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from firstpush.core.people.athlete import SIDES, Side
from firstpush.core.progress.decide import WeekLoad

WEEK, WEEKS_BEFORE = 7, 4
"""Days of a week; weeks that a week is compared with."""


@dataclass(frozen=True, kw_only=True)
class Carried:
    """What one arm carried in one exercise on one day: largest load [N·m] and seconds under load [s]."""

    on: date
    exercise: str
    side: Side
    load: float
    seconds: float

    @property
    def amount(self) -> float:
        """Load times time [N·m·s]."""
        return self.load * self.seconds


def week_with(carried: Iterable[Carried], *, exercise: str, change: float, on: date) -> WeekLoad | None:
    """Return what a harder step of one exercise makes of a week, for the arm on which it would rise most.

    Parameters
    ----------
    carried : iterable of Carried
        Of the athlete, in any order.
    exercise : str
        That is to be made harder.
    change : float
        Of its load or its time, 0.1 for a tenth more.
    on : date
        The last day of the week that is looked at.

    Returns
    -------
    WeekLoad or None
        None where the exercise has no load that is stated.  The mean is None until there are five weeks of entries.

    Source
    ------
    The comparison with the mean of the four weeks before is that of Moller 2017 (read), who counted hours of handball;
    to count load times time is our choice.
    """
    every = list(carried)
    days = WEEK * (WEEKS_BEFORE + 1)
    known = any((on - each.on).days >= days - WEEK for each in every)
    found = [_of_arm([each for each in every if each.side == side], exercise, change, on) for side in SIDES]
    loaded = [each for each in found if each is not None]
    if not loaded:
        return None
    if not known:
        return WeekLoad(with_step=max(week for week, _ in loaded), mean_of_four_weeks=None)
    week, mean = max(loaded, key=lambda pair: pair[0] / pair[1] if pair[1] > 0 else float("inf"))
    return WeekLoad(with_step=week, mean_of_four_weeks=mean)


def _of_arm(carried: list[Carried], exercise: str, change: float, on: date) -> tuple[float, float] | None:
    """Return the week with the step and the mean of the weeks before [N·m·s]; None without the exercise in the week."""
    week = [each for each in carried if 0 <= (on - each.on).days < WEEK]
    mine = sum(each.amount for each in week if each.exercise == exercise)
    if mine <= 0:
        return None
    last = WEEK * (WEEKS_BEFORE + 1)
    before = sum(each.amount for each in carried if WEEK <= (on - each.on).days < last)
    return sum(each.amount for each in week) + change * mine, before / WEEKS_BEFORE
