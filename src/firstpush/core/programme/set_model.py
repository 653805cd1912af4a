"""How many sets of what was chosen are done in each week: as many as light weeks, breaks and the weekly rise allow.

Loads are held at their lowest here: steps come after, with the sets as they are (`step_model`).
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Any

from firstpush.core.programme.load import (
    LIGHT_LOAD,
    LIGHT_SHARE,
    WEEKLY_RISE,
    Return,
    WeekOfWork,
    training_weeks_before,
)
from firstpush.core.programme.solving import Found, SideLoads, solve

FIRST_OF_WEEK, FIRST_OF_DAY, FURTHER = 100, 10, 1
"""Worth of the first set of an exercise in a week, its first on another day, and any further one."""


@dataclass(frozen=True, kw_only=True)
class SetsFound:
    """Sets by (week, day, place in the day), all from 0, and what they are worth."""

    sets: dict[tuple[int, int, int], int]
    worth: int
    bound: int


class SetModel:
    """All ways to keep or leave sets.

    Parameters
    ----------
    weeks : sequence of WeekOfWork
        The whole programme, weeks already done too.
    done : int
        So many of them are done; their loads are in `side_loads`.
    lowest : mapping of (exercise, week) to int
        Load in thousandths of the first load, without any step.
    weights : mapping of exercise to int
        How much an exercise counts.
    returning : mapping of week to Return
        Weeks that come back after a break.
    side_loads : sequence of SideLoads
        Shoulders that are loaded alike, with what they did.
    """

    def __init__(
        self,
        weeks: Sequence[WeekOfWork],
        *,
        done: int,
        lowest: Mapping[tuple[str, int], int],
        weights: Mapping[str, int],
        returning: Mapping[int, Return],
        side_loads: Sequence[SideLoads],
    ) -> None:
        self.weeks = weeks
        self.done = done
        self.lowest = lowest
        self.weights = weights
        self.returning = returning
        self.side_loads = side_loads

    def solve(self, *, budget: float, gap: float, seed: int) -> SetsFound:
        """Return the most valuable sets found."""
        from ortools.sat.python import cp_model

        model = cp_model.CpModel()
        taken: dict[tuple[int, int, int], list[Any]] = {}
        worth: list[Any] = []
        for week in range(self.done, len(self.weeks)):
            self._add_week(model, week, taken, worth)
        for one in self.side_loads:
            self._add_caps(model, one, taken)
        model.maximize(sum(worth))
        found: Found = solve(model, budget=budget, gap=gap, seed=seed)
        assert found.has_solution, "no sets at all keep every rule"
        sets = {key: sum(found.is_on(each) for each in those) for key, those in taken.items()}
        return SetsFound(sets=sets, worth=found.worth, bound=found.bound)

    def _add_week(self, model: Any, week: int, taken: dict[tuple[int, int, int], list[Any]], worth: list[Any]) -> None:
        firsts: dict[str, list[Any]] = {}
        for day, works in enumerate(self.weeks[week].days):
            for place, work in enumerate(works):
                sets = [model.new_bool_var("") for _ in range(work.sets)]
                for one, two in pairwise(sets):
                    model.add_implication(two, one)
                taken[week, day, place] = sets
                firsts.setdefault(work.exercise, []).append(sets[0])
                weight = self.weights[work.exercise]
                worth += [weight * (FIRST_OF_DAY if at == 0 else FURTHER) * each for at, each in enumerate(sets)]
        for exercise, days in firsts.items():
            any_day = model.new_bool_var("")
            model.add_bool_or([*days, ~any_day])
            worth.append(self.weights[exercise] * (FIRST_OF_WEEK - FIRST_OF_DAY) * any_day)
        if self.weeks[week].kind in ("light", "test"):
            every = [each for (on, _, _), sets in taken.items() if on == week for each in sets]
            model.add(sum(every) <= int(LIGHT_SHARE.value * len(every) + 0.5))

    def _add_caps(self, model: Any, one: SideLoads, taken: dict[tuple[int, int, int], list[Any]]) -> None:
        loads: list[Any] = list(one.done)
        for week in range(self.done, len(self.weeks)):
            terms, usual = [], 0
            for day, works in enumerate(self.weeks[week].days):
                for place, work in enumerate(works):
                    if work.exercise in one.exercises:
                        load = work.counted_seconds * self.lowest[work.exercise, week]
                        terms += [load * each for each in taken[week, day, place]]
                        usual += load * work.sets
            loads.append(sum(terms))
            if self.weeks[week].kind in ("light", "test"):
                model.add(loads[week] <= max(int(LIGHT_LOAD.value * usual), one.least[week]))
            keep_below(model, loads, one, week, returning=self.returning)


def keep_below(
    model: Any,
    loads: Sequence[Any],
    one: SideLoads,
    week: int,
    *,
    returning: Mapping[int, Return],
) -> None:
    """Hold the load of a week within the rise over the weeks before it, and within the return after a break.

    The shortest set is always allowed.
    """
    limits = []
    before = training_weeks_before(one.trains, week)
    if before:
        limits.append((100 + round(100 * WEEKLY_RISE.value), before))
    if week in returning:
        before = training_weeks_before(one.trains, first_week_back(returning, week))
        if before:
            limits.append((round(100 * returning[week].share), before))
    if not one.trains[week] or not limits:
        return
    least = model.new_bool_var("")
    model.add(loads[week] <= one.least[week]).only_enforce_if(least)
    for percent, weeks in limits:
        allowed = percent * sum(loads[each] for each in weeks)
        model.add(loads[week] * 100 * len(weeks) <= allowed).only_enforce_if(~least)


def first_week_back(returning: Mapping[int, Return], week: int) -> int:
    """Return the week in which the return that `week` belongs to began."""
    while returning[week].back > 1:
        week -= 1
    return week
