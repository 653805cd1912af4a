"""From candidates to the training week: which exercises on which day, in which dose and order."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise, permutations

from firstpush.core.errors import OutOfRangeError
from firstpush.core.measured import Measured
from firstpush.core.notices import worst
from firstpush.core.programme.day_model import DayModel, interchangeable, shortest_alone
from firstpush.core.programme.worth import WeekRules, WeekWorth, is_full, muscles_of, worth_of
from firstpush.core.session.candidate import Candidate, Chosen
from firstpush.core.session.session import Status
from firstpush.core.session.timeline import Timeline, timeline

DAY_NAMES = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")
LARGEST_MINUTES = 180
"""A session longer than three hours is several sessions."""
DAYS_BUDGET = 5.0
"""Deterministic seconds of CP-SAT for the week; on the clock somewhat more."""
GAP = Measured(
    name="distance from its bound at which the search for a better plan ends",
    value=0.005,
    unit="1",
    spread=0.0,
    source="the weights themselves are not known any better",
    known="our choice",
)


@dataclass(frozen=True, kw_only=True)
class TrainingDay:
    """What is done on one training day of the week.

    Parameters
    ----------
    weekday : int
        0 for Monday to 6 for Sunday.
    items : tuple of Chosen
        In the order in which they are done.
    """

    weekday: int
    items: tuple[Chosen, ...]

    @property
    def timeline(self) -> Timeline:
        """Every step of the day, to the second."""
        return timeline(self.items)


@dataclass(frozen=True, kw_only=True)
class TrainingWeek:
    """The week that a programme repeats.

    Parameters
    ----------
    minutes : float
        Time given for each day [min].
    days : tuple of TrainingDay
        From Monday to Sunday.
    worth : WeekWorth
        What it is worth, wish by wish [s of setting up saved].
    bound : int
        No week that keeps the rules is worth more [s].
    status : str
        "proven best", or "best found" where the bound is higher than the worth.
    """

    minutes: float
    days: tuple[TrainingDay, ...]
    worth: WeekWorth
    bound: int
    status: Status

    @property
    def gap(self) -> float:
        """How far the bound is above the worth, as a share of the worth [1]."""
        return gap_of(self.worth.total, self.bound)

    @property
    def candidates(self) -> tuple[Candidate, ...]:
        """Every exercise of the week, once, in the order in which they first come."""
        return tuple({each.candidate.id: each.candidate for day in self.days for each in day.items}.values())

    def days_of(self, exercise: str) -> tuple[int, ...]:
        """Return the weekdays on which an exercise is done."""
        return tuple(day.weekday for day in self.days if any(each.candidate.id == exercise for each in day.items))


def choose_days(
    candidates: Sequence[Candidate],
    *,
    minutes: float,
    weekdays: Iterable[int],
    familiar: Iterable[str] = (),
    back_to_front: float = 2.0,
    repeats: bool = True,
    seed: int = 0,
) -> TrainingWeek:
    """Choose the exercises of every training day of a week.

    Parameters
    ----------
    candidates : sequence of Candidate
        Exercises that have a set-up, each once, in any order.  One with a notice of level "stop" is never chosen.
    minutes : float
        Time for each day from the check before the start to the end, above 0 and at most 180 [min].
    weekdays : iterable of int
        Training days, 0 for Monday to 6 for Sunday, each once.
    familiar : iterable of str, optional
        Ids of exercises that the athlete has done before.
    back_to_front : float, optional
        Sets at the back of the shoulder for each at its front, over the week.
    repeats : bool, optional
        Whether a week like it follows, so that its last day comes before its first.
    seed : int, optional
        Chooses among weeks that are worth the same.

    Returns
    -------
    TrainingWeek
        The same for the same arguments, in whatever order the candidates come.

    Raises
    ------
    OutOfRangeError
        For days or minutes out of range, a candidate given twice, or when no week keeps the rules.

    Holds for
    ---------
    One athlete.  Up to 60 candidates; with more days or longer sessions the bound is less near.

    Examples
    --------
    >>> from firstpush.core.exercises.loader import library
    >>> free = [Candidate(exercise=library()[id_], sides=("left", "right"))
    ...         for id_ in ("ball_circles", "wall_dribble", "graded_push_lengths")]
    >>> week = choose_days(free, minutes=8, weekdays=(0, 3))
    >>> [[item.candidate.id for item in day.items] for day in week.days]
    [['ball_circles', 'graded_push_lengths'], ['ball_circles', 'graded_push_lengths']]
    >>> week.status
    'proven best'
    """
    days = _checked_days(weekdays)
    _check_minutes(minutes)
    ids = [each.id for each in candidates]
    twice = sorted({each for each in ids if ids.count(each) > 1})
    if twice:
        raise OutOfRangeError(
            f"{', '.join(twice)} is offered more than once; each exercise may be offered once. Keep its best set-up."
        )
    if not 0.0 <= back_to_front <= 10.0:
        raise OutOfRangeError(
            f"{back_to_front:g} sets at the back for each at the front is out of range; allowed are 0 to 10. "
            "Give 2 when nothing else is known."
        )
    rules = WeekRules(
        offered=tuple(each for each in candidates if worst(each.notices) != "stop"),
        days=len(days),
        limit_s=math.floor(minutes * 60),
        familiar=frozenset(familiar),
        back_to_front=back_to_front,
        in_a_row=days_in_a_row(days, repeats=repeats),
    )
    model = DayModel(rules, seed=seed)
    _check_time(model, minutes=minutes)
    found = model.solve(budget=DAYS_BUDGET, gap=GAP.value)
    if found.status == "impossible":
        raise OutOfRangeError(_why_impossible(days, rules, minutes=minutes))
    if found.status == "not found":
        raise OutOfRangeError(
            f"no week was found among {len(rules.offered)} exercises on {len(days)} days within the work allowed for "
            "the search; allowed are about 60 exercises. Offer fewer."
        )
    spread = _spread(found.days, rules)
    return TrainingWeek(
        minutes=minutes,
        days=tuple(TrainingDay(weekday=day, items=items) for day, items in zip(days, spread, strict=True)),
        worth=worth_of(spread, rules),
        bound=found.bound,
        status="proven best" if found.status == "proven best" else "best found",
    )


def _why_impossible(weekdays: Sequence[int], rules: WeekRules, *, minutes: float) -> str:
    names = ", ".join(DAY_NAMES[day] for day in weekdays)
    rule = f"{rules.back_to_front:g} sets at the back of a shoulder for each at its front"
    do = "Give more minutes, or offer mobility or control exercises too."
    if rules.in_a_row:
        rule += ", and the same muscles not in full on two days in a row"
        do = "Choose days further apart, give more minutes, or offer mobility or control exercises too."
    return (
        f"no choice of the exercises offered fills {names} with {minutes:g} minutes each and keeps the rules; allowed "
        f"are {rule}. {do}"
    )


def days_in_a_row(weekdays: Sequence[int], *, repeats: bool) -> tuple[tuple[int, int], ...]:
    """Return the numbers of training days that follow each other without a day between.

    Parameters
    ----------
    weekdays : sequence of int
        Rising, 0 for Monday to 6 for Sunday.
    repeats : bool
        Whether a week like it follows.

    Examples
    --------
    >>> days_in_a_row((0, 1, 4), repeats=True)
    ((0, 1),)
    >>> days_in_a_row((0, 2, 6), repeats=True), days_in_a_row((0, 2, 6), repeats=False)
    (((0, 2),), ())
    """
    found = [(i, i + 1) for i in range(len(weekdays) - 1) if weekdays[i + 1] - weekdays[i] == 1]
    if repeats and len(weekdays) > 1 and weekdays[0] + 7 - weekdays[-1] == 1:
        found.append((0, len(weekdays) - 1))
    return tuple(found)


def _spread(days: Sequence[tuple[Chosen, ...]], rules: WeekRules) -> tuple[tuple[Chosen, ...], ...]:
    """Exchange days that are all alike so that full work for one muscle group lies far apart; nothing else changes."""
    full = [
        {muscle for each in day if is_full(each.dose) for muscle in muscles_of(each.candidate.exercise)} for day in days
    ]

    def shared(order: Sequence[int]) -> int:
        return sum(len(full[one] & full[two]) for one, two in pairwise(order))

    best = list(range(len(days)))
    for alike in interchangeable(len(days), rules.in_a_row):
        tried = []
        for other in permutations(alike):
            order = list(best)
            for place, day in zip(alike, other, strict=True):
                order[place] = best[day]
            tried.append((shared(order), order))
        best = min(tried)[1]
    return tuple(days[day] for day in best)


def gap_of(worth: int, bound: int) -> float:
    """Return how far `bound` is above `worth`, as a share of the worth; 0 where they are equal [1]."""
    return 0.0 if bound == worth else (bound - worth) / max(abs(worth), 1)


def _checked_days(weekdays: Iterable[int]) -> tuple[int, ...]:
    given = list(weekdays)
    days = tuple(sorted(set(given)))
    if not days or len(days) != len(given) or not set(days) <= set(range(7)):
        raise OutOfRangeError(
            f"{given} are no training days of a week; allowed are 1 to 7 different days, 0 for Monday to 6 for Sunday. "
            "Give each day once."
        )
    return days


def _check_minutes(minutes: float) -> None:
    if not 0 < minutes <= LARGEST_MINUTES:
        raise OutOfRangeError(
            f"{minutes:g} minutes are no time for a session; allowed is above 0 and at most {LARGEST_MINUTES} minutes. "
            "Give the minutes that there are."
        )


def _check_time(model: DayModel, *, minutes: float) -> None:
    if not model.candidates:
        raise OutOfRangeError(
            "no exercise can be done here, so there is no programme; at least one is needed. "
            "See the session of one day for what is in the way."
        )
    shortest = min(shortest_alone(each, model.timing) for each in model.candidates)
    if shortest > model.rules.limit_s:
        raise OutOfRangeError(
            f"{minutes:g} minutes are too short for any exercise here; the shortest session takes "
            f"{shortest // 60}:{shortest % 60:02d}. Give {math.ceil(shortest / 60)} minutes or more."
        )
