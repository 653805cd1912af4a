"""What the joints carried in a week: load times time under load, counted from what was done."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date

from firstpush.core.people.athlete import SIDES, Side
from firstpush.core.progress.decide import WeekLoad

WEEK, WEEKS_BEFORE = 7, 4
"""Days of a week; weeks that a week is compared with, at most."""


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


def week_with(
    carried: Iterable[Carried],
    *,
    exercise: str,
    change: float,
    on: date,
    middle: float | None = None,
    others: Mapping[str, float] | None = None,
    known_since: date | None = None,
) -> WeekLoad | None:
    """Return what a harder step of one exercise makes of the week to come, where it would rise most.

    Looked at are each arm that does it, with all that the arm carries, and the exercise alone on that arm.

    Parameters
    ----------
    carried : iterable of Carried
        Of the athlete, in any order.
    exercise : str
        That is to be made harder.
    change : float
        Of its load or its time, 0.1 for a tenth more: the upper end of its range.
    on : date
        The last day of the week that is looked at.
    middle : float, optional
        The change itself, without its range: by it the exercise alone is judged, where one step is a large share.
    others : mapping of exercise to float, optional
        Changes of other exercises that are agreed or proposed and were not carried yet.
    known_since : date, optional
        From which day the exercise's own days are compared: since its first load was known, or it was made easier.

    Returns
    -------
    WeekLoad or None
        None where the exercise has no load that is stated.  The mean is that of the four weeks before, of those of them
        that are known while there are fewer, and of this very week while there is none.

    Source
    ------
    The comparison with the mean of the four weeks before is that of Moller 2017 (read), who counted hours of handball;
    to count load times time, the same for one exercise alone, and fewer weeks at the beginning are our choice.
    """
    every = list(carried)
    changes = {**(others or {}), exercise: change}
    first = min((each.on for each in every), default=on)
    found = []
    for side in SIDES:
        of_arm = [each for each in every if each.side == side]
        mine = [each for each in of_arm if each.exercise == exercise]
        if not any(0 <= (on - each.on).days < WEEK and each.amount > 0 for each in mine):
            continue
        known = [each for each in mine if known_since is None or each.on >= known_since] or mine
        found.append(_compared(of_arm, changes, on, first=first, of="the week's load of the arm"))
        alone = min(each.on for each in known)
        found.append(_compared_alone(known, change if middle is None else middle, on, first=alone))
    return max(found, key=lambda each: each.rise or 0.0, default=None)


def _compared(carried: list[Carried], changes: Mapping[str, float], on: date, *, first: date, of: str) -> WeekLoad:
    """Return the week to come against the mean of the weeks since `first`, four at most [N·m·s]."""
    week = [each for each in carried if 0 <= (on - each.on).days < WEEK]
    weeks = _whole_weeks(first, on)
    last = WEEK * (weeks + 1)
    before = sum(each.amount for each in carried if WEEK <= (on - each.on).days < last)
    mean = before / weeks if weeks > 0 else _as_it_goes_on(week, {})
    return WeekLoad(with_step=_as_it_goes_on(week, changes), mean_of_four_weeks=mean, of=of)


def _compared_alone(carried: list[Carried], change: float, on: date, *, first: date) -> WeekLoad:
    """Return a day of one exercise to come against its largest days of the weeks since `first` [N·m·s].

    How often it was done is the arm's affair: a session that was missed or cut short makes no day of it lighter.
    """
    weeks = _whole_weeks(first, on)
    largest = [
        _largest_day(each for each in carried if (on - each.on).days // WEEK == week) for week in range(weeks + 1)
    ]
    before = [each for each in largest[1:] if each > 0] or largest[:1]
    with_step = largest[0] * (1.0 + change)
    return WeekLoad(
        with_step=with_step, mean_of_four_weeks=sum(before) / len(before), of="the load of a day in this exercise"
    )


def _whole_weeks(first: date, on: date) -> int:
    """Return how many weeks before this one are known whole: the one in which somebody began was no week of theirs."""
    return max(0, min(((on - first).days + 1) // WEEK - 1, WEEKS_BEFORE))


def _largest_day(carried: Iterable[Carried]) -> float:
    days: dict[date, float] = {}
    for each in carried:
        days[each.on] = days.get(each.on, 0.0) + each.amount
    return max(days.values(), default=0.0)


def _as_it_goes_on(week: list[Carried], changes: Mapping[str, float]) -> float:
    """Return the week done once more as it is done last, with its changes: of each exercise its largest day counts.

    What was made harder in the middle of the week has only begun to count, and an easy day makes no room.
    """
    days: dict[str, dict[date, float]] = {}
    for each in week:
        of_day = days.setdefault(each.exercise, {})
        of_day[each.on] = of_day.get(each.on, 0.0) + each.amount
    return sum(
        len(of_day) * max(of_day.values()) * (1.0 + changes.get(exercise, 0.0)) for exercise, of_day in days.items()
    )
