"""One way to ask CP-SAT: one worker, a fixed seed, a limit in its own deterministic time, and the bound kept."""

from __future__ import annotations

import math
from dataclasses import dataclass
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

    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.random_seed = seed
    solver.parameters.max_deterministic_time = budget
    solver.parameters.relative_gap_limit = gap
    # Times and loads are knapsacks: without the linear relaxation the bound stays far off.
    solver.parameters.linearization_level = 2
    status = solver.solve(model)
    if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        impossible = status == cp_model.INFEASIBLE
        return Found(solver=solver, has_solution=False, impossible=impossible, worth=0, bound=0)
    worth = round(solver.objective_value)
    bound = max(worth, math.floor(solver.best_objective_bound + 1e-6))
    return Found(solver=solver, has_solution=True, impossible=False, worth=worth, bound=bound)
