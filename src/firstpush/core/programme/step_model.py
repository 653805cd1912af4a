"""In which week which exercise takes its next step of load, with the sets of every week as they are."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from firstpush.core.measured import Measured
from firstpush.core.programme.load import SESSIONS_BEFORE_STEP, Return, WeekOfWork, share_after
from firstpush.core.programme.set_model import keep_below
from firstpush.core.programme.solving import Found, SideLoads, solve

FIRST_STEP_WORTH = Measured(
    name="worth of a week at the first step above the start of an exercise; each further step is worth one less",
    value=10.0,
    unit="1",
    spread=5.0,
    source="so that every exercise moves on, and not a few far ahead",
    known="our choice",
)


def worth_of_step(step: int) -> int:
    """Return the worth of a week at this step, over a week at the step below it; never nothing.

    Examples
    --------
    >>> worth_of_step(1), worth_of_step(2), worth_of_step(30), worth_of_step(0)
    (10, 9, 1, 10)
    """
    return max(1, int(FIRST_STEP_WORTH.value) - max(0, step - 1))


@dataclass(frozen=True, kw_only=True)
class Course:
    """What is fixed of the course of one exercise.

    Parameters
    ----------
    exercise : str
    start : int
        Load at its start, in thousandths of its first load.
    lowest, highest : int
        Steps from the start between which it may move.
    weight : int
        How much it counts.
    sessions : tuple of int
        In each week of the programme, on how many days it is done.
    at_start : int
        Sessions already done at the load of the start.
    """

    exercise: str
    start: int
    lowest: int
    highest: int
    weight: int
    sessions: tuple[int, ...]
    at_start: int = 0


@dataclass(frozen=True, kw_only=True)
class StepsFound:
    """Steps from the start of each exercise in each planned week, by (exercise, week), and what they are worth."""

    steps: dict[tuple[str, int], int]
    worth: int
    bound: int


@dataclass(kw_only=True)
class _Variables:
    """`above[exercise, week, step]`: whether the exercise is at `step` or above; `taken`: whether a step is taken."""

    above: dict[tuple[str, int, int], Any] = field(default_factory=dict)
    taken: dict[tuple[str, int], Any] = field(default_factory=dict)


class StepModel:
    """All courses of load that keep the rules.

    Parameters
    ----------
    weeks : sequence of WeekOfWork
        The whole programme with the sets that are done.
    done : int
        So many weeks are over.
    courses : sequence of Course
    returning : mapping of week to Return
    side_loads : sequence of SideLoads
    """

    def __init__(
        self,
        weeks: Sequence[WeekOfWork],
        *,
        done: int,
        courses: Sequence[Course],
        returning: Mapping[int, Return],
        side_loads: Sequence[SideLoads],
    ) -> None:
        self.weeks = weeks
        self.done = done
        self.courses = {each.exercise: each for each in courses}
        self.returning = returning
        self.side_loads = side_loads

    def solve(self, *, budget: float, gap: float, seed: int) -> StepsFound:
        """Return the most valuable courses found."""
        from ortools.sat.python import cp_model

        model = cp_model.CpModel()
        variables = _Variables()
        for course in self.courses.values():
            self._add_course(model, variables, course)
            self._add_sessions_before(model, variables, course)
        for one in self.side_loads:
            self._add_caps(model, variables, one)
        model.maximize(
            sum(
                self.courses[exercise].weight * worth_of_step(step) * above
                for (exercise, week, step), above in variables.above.items()
                if self.courses[exercise].sessions[week]
            )
        )
        found: Found = solve(model, budget=budget, gap=gap, seed=seed)
        assert found.has_solution, "taking no step at all keeps every rule"
        steps = {
            (each.exercise, week): each.lowest
            + sum(found.is_on(variables.above[each.exercise, week, step]) for step in _steps(each))
            for each in self.courses.values()
            for week in range(self.done, len(self.weeks))
        }
        return StepsFound(steps=steps, worth=found.worth, bound=found.bound)

    def _may_step(self, course: Course, week: int) -> bool:
        """Whether a step may be taken at the beginning of a week at all."""
        return self.weeks[week].kind == "training" and week not in self.returning and course.sessions[week] > 0

    def _add_course(self, model: Any, variables: _Variables, course: Course) -> None:
        """Let the load stay, take one step, or come back lower after a break."""
        name = course.exercise
        for week in range(self.done, len(self.weeks)):
            for step in _steps(course):
                here = variables.above[name, week, step] = model.new_bool_var("")
                if step - 1 > course.lowest:
                    model.add_implication(here, variables.above[name, week, step - 1])
            may, taken = self._may_step(course, week), model.new_bool_var("")
            variables.taken[name, week] = taken
            if not may:
                model.add(taken == 0)
            lost = self._lost(week)
            for step in _steps(course):
                here, before = variables.above[name, week, step], self._before(variables, course, week, step)
                if lost:
                    higher = self._before(variables, course, week, step + lost)
                    model.add(here <= higher)
                    continue
                model.add(here >= before)
                # One step: from just below, and only where one is taken.
                model.add(here <= self._before(variables, course, week, step - 1))
                model.add(here <= before + taken)
            if not lost:
                gained = sum(variables.above[name, week, step] for step in _steps(course)) - sum(
                    self._before(variables, course, week, step) for step in _steps(course)
                )
                model.add(gained == taken)

    def _before(self, variables: _Variables, course: Course, week: int, step: int) -> Any:
        """Return whether the exercise was at `step` or above in the week before; fixed at the start and the ends."""
        if step <= course.lowest:
            return 1
        if step > course.highest:
            return 0
        if week == self.done:
            return int(step <= 0)
        return variables.above[course.exercise, week - 1, step]

    def _lost(self, week: int) -> int:
        """Return the steps that are gone at the beginning of this week."""
        back = self.returning.get(week)
        return back.lost if back is not None and back.back == 1 else 0

    def _add_sessions_before(self, model: Any, variables: _Variables, course: Course) -> None:
        """Let two sessions at one load come before the next step."""
        name, needed = course.exercise, int(SESSIONS_BEFORE_STEP.value)
        for week in range(self.done, len(self.weeks)):
            so_far = 0
            for earlier in range(week - 1, self.done - 1, -1):
                so_far += course.sessions[earlier]
                if so_far >= needed:
                    break
                if self._lost(earlier):
                    model.add(variables.taken[name, week] == 0)
                    break
                model.add_at_most_one([variables.taken[name, week], variables.taken[name, earlier]])
            else:
                if so_far + course.at_start < needed:
                    model.add(variables.taken[name, week] == 0)

    def _add_caps(self, model: Any, variables: _Variables, one: SideLoads) -> None:
        loads: list[Any] = list(one.done)
        for week in range(self.done, len(self.weeks)):
            terms: list[Any] = []
            for work in (each for day in self.weeks[week].days for each in day):
                if work.exercise not in one.exercises or not work.sets:
                    continue
                course, seconds = self.courses[work.exercise], work.sets * work.counted_seconds
                terms.append(seconds * share_after(course.lowest, start=course.start))
                for step in _steps(course):
                    more = share_after(step, start=course.start) - share_after(step - 1, start=course.start)
                    terms.append(seconds * more * variables.above[course.exercise, week, step])
            loads.append(sum(terms))
            keep_below(model, loads, one, week, returning=self.returning)


def _steps(course: Course) -> range:
    """Return the steps above the lowest."""
    return range(course.lowest + 1, course.highest + 1)
