"""From the work of each week as it was chosen to sets and loads: what is planned, and what allows it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Literal

from firstpush.core.errors import OutOfRangeError
from firstpush.core.people.athlete import SIDES, Side
from firstpush.core.programme.load import (
    FIRST_LOAD,
    Done,
    DoneWork,
    Return,
    WeekKind,
    WeekOfWork,
    WorkOnDay,
    largest_load,
    returns,
    share_after,
    training_weeks_before,
)
from firstpush.core.programme.set_model import SetModel, first_week_back
from firstpush.core.programme.solving import SideLoads
from firstpush.core.programme.step_model import Course, StepModel

LoadChange = Literal["first load", "as before", "one step", "lower", "light"]
WEEKS_BUDGET = 2.0
"""Deterministic seconds of CP-SAT for sets and for steps, each."""
WEEKS_GAP = 0.005
"""Share of the worth at which a better plan of the weeks is no longer sought."""
MOST_STEPS = 12
"""Steps above the start: 1.1 to the twelfth is three times the first load, and then another exercise is due."""


@dataclass(frozen=True, kw_only=True)
class PlannedWork:
    """The work of one exercise on one day, as it is planned.

    Parameters
    ----------
    exercise : str
    sides : tuple of str
    sets, chosen_sets : int
        Sets to be done, 0 for none, and sets as they were chosen for an ordinary week.
    load_share : float
        Load over the first load of the exercise [1].
    change : str
        Against the load before: "first load", "as before", "one step", "lower" after a break, or "light" before a
        match.
    """

    exercise: str
    sides: tuple[Side, ...]
    sets: int
    chosen_sets: int
    load_share: float
    change: LoadChange


@dataclass(frozen=True, kw_only=True)
class PlannedWeek:
    """One week to come.

    Parameters
    ----------
    number : int
        From 1.
    kind : str
        "training", "light", "test" or "break".
    days : tuple of tuples of PlannedWork
        The work with a load of each day, as it came.
    loads, largest : dict of side to float
        Weekly load of each shoulder, in seconds under load times load share, and what was allowed; None without limit.
    back : Return or None
        Where it comes back after a break.
    """

    number: int
    kind: WeekKind
    days: tuple[tuple[PlannedWork, ...], ...]
    loads: dict[Side, float]
    largest: dict[Side, float | None]
    back: Return | None = None


@dataclass(frozen=True, kw_only=True)
class PlanOfWeeks:
    """The weeks to come, and how good the plan is.

    Parameters
    ----------
    weeks : tuple of PlannedWeek
    done_loads : dict of side to tuple of float
        Weekly load of each shoulder in the weeks done [s].
    sets_worth, sets_bound : int
        Worth of the sets kept, and what no plan exceeds.
    steps_worth, steps_bound : int
        Worth of the progress with these sets, and what no plan exceeds.
    """

    weeks: tuple[PlannedWeek, ...]
    done_loads: dict[Side, tuple[float, ...]]
    sets_worth: int
    sets_bound: int
    steps_worth: int
    steps_bound: int


def plan_weeks(
    weeks: Sequence[WeekOfWork],
    *,
    weights: Mapping[str, int] | None = None,
    largest_share: Mapping[str, float] | None = None,
    done: Done | None = None,
    seed: int = 0,
) -> PlanOfWeeks:
    """Plan sets and load steps of the weeks that are not done yet.

    First as many sets are kept as light weeks, returns and the weekly rise allow at the lowest loads; then the steps
    are chosen that bring most, with those sets.

    Parameters
    ----------
    weeks : sequence of WeekOfWork
        All weeks of the programme, those done too, with the exercises that have a load.
    weights : mapping of exercise to int, optional
        How much an exercise counts; 1 where nothing is said.
    largest_share : mapping of exercise to float, optional
        Largest load over the first load [1].
    done : Done, optional
        Weeks that are over, with what was really done in them; the rest is planned from there.
    seed : int, optional
        Chooses among plans of the same worth.

    Returns
    -------
    PlanOfWeeks
        The same for the same arguments.

    Raises
    ------
    OutOfRangeError
        When more weeks are done than the programme has, or an exercise is done twice on one day.
    """
    over = done if done is not None else Done()
    _check(weeks, over)
    trains = [
        any(each.week == at + 1 and each.sets for each in over.work) if at < over.weeks else week.works
        for at, week in enumerate(weeks)
    ]
    returning = {at: back for at, back in returns(trains).items() if at >= over.weeks}
    names = sorted({each.exercise for week in weeks for day in week.days for each in day})
    courses = {name: _course(name, weeks, over, weights or {}, largest_share or {}) for name in names}
    lowest = _lowest_loads(courses, weeks, over.weeks, returning)
    side_loads = _side_loads(weeks, over, lowest)
    # In an order that no mirror changes, and shoulders that are loaded alike once.
    different = sorted(
        set(side_loads.values()), key=lambda one: (sorted(one.exercises), one.done, one.trains, one.least)
    )
    sets = SetModel(
        weeks,
        done=over.weeks,
        lowest=lowest,
        weights={name: course.weight for name, course in courses.items()},
        returning=returning,
        side_loads=different,
    ).solve(budget=WEEKS_BUDGET, gap=WEEKS_GAP, seed=seed)
    reduced = _with_sets(weeks, sets.sets, over.weeks)
    courses = {name: replace(course, sessions=_sessions(name, reduced)) for name, course in courses.items()}
    steps = StepModel(
        reduced,
        done=over.weeks,
        courses=tuple(courses.values()),
        returning=returning,
        side_loads=different,
    ).solve(budget=WEEKS_BUDGET, gap=WEEKS_GAP, seed=seed)
    shares = {(name, week): share_after(step, start=courses[name].start) for (name, week), step in steps.steps.items()}
    return PlanOfWeeks(
        weeks=_planned(weeks, reduced, shares, over, side_loads, returning),
        done_loads={side: tuple(load / FIRST_LOAD for load in one.done) for side, one in side_loads.items()},
        sets_worth=sets.worth,
        sets_bound=sets.bound,
        steps_worth=steps.worth,
        steps_bound=steps.bound,
    )


def _check(weeks: Sequence[WeekOfWork], done: Done) -> None:
    if done.weeks > len(weeks):
        raise OutOfRangeError(
            f"{done.weeks} weeks are done of a programme of {len(weeks)}; allowed are as many as it has. "
            "Make the programme longer, or begin a new one."
        )
    for number, week in enumerate(weeks, start=1):
        for day in week.days:
            names = [each.exercise for each in day]
            twice = sorted({name for name in names if names.count(name) > 1})
            if twice:
                raise OutOfRangeError(
                    f"{', '.join(twice)} stands twice on one day of week {number}; an exercise may come once a day. "
                    "Put its sets together."
                )


def _course(
    name: str,
    weeks: Sequence[WeekOfWork],
    done: Done,
    weights: Mapping[str, int],
    largest_share: Mapping[str, float],
) -> Course:
    mine = sorted((each for each in done.work if each.exercise == name and each.sets), key=lambda each: each.week)
    start = mine[-1].thousandths if mine else FIRST_LOAD
    lowest = 0
    while share_after(lowest - 1, start=start) >= FIRST_LOAD:
        lowest -= 1
    most = largest_share.get(name, float("inf")) * FIRST_LOAD
    highest = 0
    while highest < MOST_STEPS and share_after(highest + 1, start=start) <= most:
        highest += 1
    return Course(
        exercise=name,
        start=start,
        lowest=lowest,
        highest=highest,
        weight=weights.get(name, 1),
        sessions=_sessions(name, weeks),
        at_start=_sessions_at(mine),
    )


def _sessions_at(mine: Sequence[DoneWork]) -> int:
    """Return how many of the last sessions of an exercise were at its last load, to the half percent."""
    count = 0
    for each in reversed(mine):
        if abs(each.thousandths - mine[-1].thousandths) > 0.005 * mine[-1].thousandths:
            break
        count += 1
    return count


def _sessions(name: str, weeks: Sequence[WeekOfWork]) -> tuple[int, ...]:
    """Return on how many days of each week an exercise is done at its load; a match is no day to judge it by."""
    return tuple(
        sum(any(each.exercise == name and each.sets and each.share == FIRST_LOAD for each in day) for day in week.days)
        for week in weeks
    )


def _side_loads(
    weeks: Sequence[WeekOfWork], done: Done, lowest: Mapping[tuple[str, int], int]
) -> dict[Side, SideLoads]:
    """Return what loads each shoulder, and what did; equal where both are loaded alike."""
    found: dict[Side, SideLoads] = {}
    for side in SIDES:
        ids = frozenset(each.exercise for week in weeks for day in week.days for each in day if side in each.sides)
        loads = tuple(
            sum(each.weekly_load for each in done.work if each.week == week and side in each.sides)
            for week in range(1, done.weeks + 1)
        )
        planned = [bool(_works(week, side)) for week in weeks[done.weeks :]]
        trains = (*(load > 0 for load in loads), *planned)
        if any(trains):
            least = (0,) * done.weeks + tuple(
                min((one.counted_seconds * lowest[one.exercise, at] for one in _works(weeks[at], side)), default=0)
                for at in range(done.weeks, len(weeks))
            )
            found[side] = SideLoads(exercises=ids, done=loads, trains=trains, least=least)
    return found


def _works(week: WeekOfWork, side: Side) -> list[WorkOnDay]:
    """Return what loads a shoulder in a week."""
    return [each for day in week.days for each in day if side in each.sides]


def _lowest_loads(
    courses: Mapping[str, Course], weeks: Sequence[WeekOfWork], done: int, returning: Mapping[int, Return]
) -> dict[tuple[str, int], int]:
    """Return the load of each exercise in each week to come when no step is taken."""
    found = {}
    for name, course in courses.items():
        step = 0
        for week in range(done, len(weeks)):
            if week in returning and returning[week].back == 1:
                step = max(course.lowest, step - returning[week].lost)
            found[name, week] = share_after(step, start=course.start)
    return found


def _with_sets(
    weeks: Sequence[WeekOfWork], sets: Mapping[tuple[int, int, int], int], done: int
) -> tuple[WeekOfWork, ...]:
    return tuple(
        week
        if at < done
        else replace(
            week,
            days=tuple(
                tuple(replace(each, sets=sets[at, day, place]) for place, each in enumerate(works))
                for day, works in enumerate(week.days)
            ),
        )
        for at, week in enumerate(weeks)
    )


def _planned(
    chosen: Sequence[WeekOfWork],
    reduced: Sequence[WeekOfWork],
    shares: Mapping[tuple[str, int], int],
    done: Done,
    side_loads: Mapping[Side, SideLoads],
    returning: Mapping[int, Return],
) -> tuple[PlannedWeek, ...]:
    last = {each.exercise: each.thousandths for each in sorted(done.work, key=lambda each: each.week) if each.sets}
    loads = {side: list(one.done) for side, one in side_loads.items()}
    planned = []
    for at in range(done.weeks, len(chosen)):
        days = []
        for before, after in zip(chosen[at].days, reduced[at].days, strict=True):
            works = []
            for one, two in zip(before, after, strict=True):
                share = shares[two.exercise, at]
                works.append(_work(one, two, share, last.get(two.exercise)))
                if two.sets and two.share == FIRST_LOAD:
                    last[two.exercise] = share
            days.append(tuple(works))
        for side in loads:
            loads[side].append(_load_of(reduced[at], side, shares, at))
        planned.append(
            PlannedWeek(
                number=at + 1,
                kind=chosen[at].kind,
                days=tuple(days),
                loads={side: each[at] / FIRST_LOAD for side, each in loads.items()},
                largest={side: _largest(each, side_loads[side], at, returning) for side, each in loads.items()},
                back=returning.get(at),
            )
        )
    return tuple(planned)


def _work(chosen: WorkOnDay, reduced: WorkOnDay, share: int, before: int | None) -> PlannedWork:
    change: LoadChange = "as before"
    if chosen.share < FIRST_LOAD:
        change = "light"
    elif before is None:
        change = "first load"
    elif share > before:
        change = "one step"
    elif share < before:
        change = "lower"
    return PlannedWork(
        exercise=chosen.exercise,
        sides=chosen.sides,
        sets=reduced.sets,
        chosen_sets=chosen.sets,
        load_share=share * chosen.share / FIRST_LOAD**2,
        change=change,
    )


def _load_of(week: WeekOfWork, side: Side, shares: Mapping[tuple[str, int], int], at: int) -> int:
    return sum(each.sets * each.counted_seconds * shares[each.exercise, at] for each in _works(week, side))


def _largest(loads: Sequence[int], one: SideLoads, at: int, returning: Mapping[int, Return]) -> float | None:
    """Return the largest load allowed to a shoulder in a week, given all weeks before [s]."""
    if not one.trains[at]:
        return None
    allowed = largest_load([loads[each] for each in training_weeks_before(one.trains, at)])
    if allowed is None:
        return None
    if at in returning:
        before = training_weeks_before(one.trains, first_week_back(returning, at))
        back = largest_load([loads[each] for each in before], rise=returning[at].share - 1.0)
        allowed = allowed if back is None else min(allowed, back)
    return max(allowed, one.least[at]) / FIRST_LOAD
