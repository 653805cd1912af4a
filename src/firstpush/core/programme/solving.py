"""One way to ask CP-SAT: one worker, a fixed seed, a limit in its own deterministic time, and the bound kept."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import Any


@dataclass(frozen=True, kw_only=True)
class SideLoads:
    """Shoulders that are loaded by the same exercises, and the weekly loads they did so far.

    Parameters
    ----------
    exercises : frozenset of str
        Ids of the exercises that load them.
    done : tuple of int
        Their load in each week done: seconds under load times thousandths of the first load.
    trains : tuple of bool
        For each week of the programme whether they train in it; the other weeks are no part of any mean.
    least : tuple of int
        For each week the load of its shortest set: so much is always allowed, or a small programme would never go on.
    """

    exercises: frozenset[str]
    done: tuple[int, ...]
    trains: tuple[bool, ...]
    least: tuple[int, ...]


INACTIVE_CUTS = (20, 100)
"""After how many solves of the relaxation a cut that does nothing is dropped: one way after the other, because each
proves within a few seconds what the other does not (measured over the club)."""


@dataclass(frozen=True, kw_only=True)
class Found:
    """What a solve came to; `worth` and `bound` mean nothing without a solution."""

    solver: Any
    has_solution: bool
    impossible: bool
    worth: int
    bound: int

    def is_on(self, literal: Any) -> bool:
        """Whether a boolean is true in the solution."""
        return bool(self.solver.boolean_value(literal))


def solve(model: Any, *, budget: float, gap: float, seed: int) -> Found:
    """Solve `model`, which maximises, until it is within `gap` of its bound or `budget` is spent.

    Parameters
    ----------
    model : cp_model.CpModel
    budget : float
        Deterministic seconds of CP-SAT, the same on every machine.
    gap : float
        Share of the worth at which a better solution is no longer sought [1].
    seed : int
        Chooses among solutions of the same worth.
    """
    from ortools.sat.python import cp_model

    best: Found | None = None
    for inactive in INACTIVE_CUTS:
        if best is not None:
            _begin_from(model, best)
        solver = cp_model.CpSolver()
        solver.parameters.num_workers = 1
        solver.parameters.random_seed = seed
        solver.parameters.max_deterministic_time = budget / len(INACTIVE_CUTS)
        solver.parameters.relative_gap_limit = gap
        # Times and loads are knapsacks: without the linear relaxation the bound stays far off.
        solver.parameters.linearization_level = 2
        solver.parameters.max_consecutive_inactive_count = inactive
        best = _better(best, _found(solver, solver.solve(model)))
        if best.impossible or (best.has_solution and best.bound - best.worth <= gap * abs(best.worth)):
            break
    assert best is not None, "there is at least one way to solve"
    return best


def _found(solver: Any, status: Any) -> Found:
    from ortools.sat.python import cp_model

    if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        impossible = status == cp_model.INFEASIBLE
        return Found(solver=solver, has_solution=False, impossible=impossible, worth=0, bound=0)
    worth = round(solver.objective_value)
    bound = max(worth, math.floor(solver.best_objective_bound + 1e-6))
    return Found(solver=solver, has_solution=True, impossible=False, worth=worth, bound=bound)


def _better(one: Found | None, two: Found) -> Found:
    """Return the better solution, with the lower of both bounds."""
    if one is None or not one.has_solution:
        return two
    if not two.has_solution:
        return one
    better = one if one.worth >= two.worth else two
    return replace(better, bound=min(one.bound, two.bound))


def _begin_from(model: Any, found: Found) -> None:
    """Let the next solve begin from a solution."""
    if found.has_solution:
        model.clear_hints()
        for index in range(len(model.proto.variables)):
            variable = model.get_int_var_from_proto_index(index)
            model.add_hint(variable, found.solver.value(variable))
