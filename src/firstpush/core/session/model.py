"""The session as a model of whole numbers for CP-SAT: which exercises, in which dose, in which order.

A circuit runs from the start through the chosen exercises and back; each arc costs the change from one set-up to the
next.  The wishes are solved one after the other, and what one reaches is kept by all that follow.
"""

from __future__ import annotations

import hashlib
import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any

from firstpush.core.exercises.definition import PARTS
from firstpush.core.people.athlete import Side
from firstpush.core.session.candidate import Candidate, Chosen
from firstpush.core.session.changes import BEFORE_WE_START, change, whole_seconds
from firstpush.core.session.order import can_be_ordered, cheapest_order
from firstpush.core.session.timeline import doing_seconds, side_change_seconds, timeline, work_seconds
from firstpush.core.session.wishes import (
    POSTERIOR_RATIO,
    WISHES,
    Served,
    WishName,
    aim_weight,
    balanced_sides,
    fit_of,
    is_anterior,
    is_posterior,
    place_in_order,
    served_by,
)

_ALL_TIES = 2**24
"""Upper end of the weights that choose among equally good sessions: large enough that two choices rarely tie."""


@dataclass(frozen=True, kw_only=True)
class Level:
    """What one wish reached.

    Parameters
    ----------
    wish : str
        One of `WISHES`.
    reached : int
        The number reached, as in `Served.rank`: larger is better, and 0 or less where little is wished for.
    bound : int
        No session that serves the wishes before it as well can reach more.
    """

    wish: WishName
    reached: int
    bound: int

    @property
    def proven(self) -> bool:
        """Whether nothing better exists."""
        return self.reached >= self.bound


@dataclass(kw_only=True)
class Budget:
    """Work that may still be spent, in CP-SAT's deterministic seconds, which are the same on every machine."""

    left: float


@dataclass(frozen=True, kw_only=True)
class Solved:
    """The best session found: its items in order, how it serves the wishes, and what is proven of it.

    `levels` ends early where a solve was stopped at the first wish that got worse.
    """

    items: tuple[Chosen, ...]
    served: Served
    levels: tuple[Level, ...]

    @property
    def proven(self) -> bool:
        """Whether every wish solved is at its best."""
        return all(level.proven for level in self.levels)


@dataclass(kw_only=True)
class _Variables:
    """The CP-SAT model, its variables, and one expression for each wish (larger is better)."""

    model: Any
    options: dict[tuple[int, int], Any]
    arcs: dict[tuple[int, int], Any]
    wishes: dict[WishName, Any]
    highest: dict[WishName, int]


class SessionModel:
    """All sessions from `candidates` that take no longer than `limit_s`.

    Parameters
    ----------
    candidates : sequence of Candidate
        In any order; they are sorted, so that the order given changes nothing.
    limit_s : int
        Time from the check before the start to the chair that is free again [s].
    seed : int
        Chooses among sessions that serve every wish equally well.
    """

    def __init__(self, candidates: Sequence[Candidate], *, limit_s: int, seed: int = 0) -> None:
        self.candidates = tuple(sorted(candidates, key=lambda each: (place_in_order(each.exercise), each.id)))
        self.limit_s = limit_s
        self.seed = seed
        self._built: _Variables | None = None

    def shortest(self, candidate: Candidate) -> Chosen:
        """Return `candidate` in the dose that takes least time."""
        doses = [Chosen(candidate=candidate, dose=dose) for dose in candidate.exercise.doses]
        return min(doses, key=doing_seconds)

    def solve(
        self,
        *,
        budget: Budget,
        required: Candidate | None = None,
        excluded: Candidate | None = None,
        compare_with: Served | None = None,
    ) -> Solved | None:
        """Return the best session, wish after wish; None when none exists or the budget is spent before one is found.

        Parameters
        ----------
        budget : Budget
            What may be spent; what was spent is taken off.
        required, excluded : Candidate or None
            A candidate that must be in the session, or must not.
        compare_with : Served or None
            Stop at the first wish that is served worse than here; ties at that wish are still broken by `seed`.
        """
        start = self._start(required=required, excluded=excluded)
        if start is None or budget.left <= 0:
            return None
        variables = self._variables()
        model = variables.model.clone()
        for index, candidate in enumerate(self.candidates):
            if candidate is required or candidate is excluded:
                model.add(variables.arcs[index + 1, index + 1] == int(candidate is excluded))
        items: tuple[Chosen, ...] = start
        levels: list[Level] = []
        for position, wish in enumerate(WISHES):
            expression, bound = variables.wishes[wish], variables.highest[wish]
            reached = served_by(items, offered=self.candidates).rank[position]
            if reached < bound and budget.left > 0:
                model.maximize(expression)
                items, bound = self._improve(model, items, budget=budget, bound=bound)
                reached = served_by(items, offered=self.candidates).rank[position]
            levels.append(Level(wish=wish, reached=reached, bound=bound))
            model.add(expression >= reached)
            if compare_with is not None and reached < compare_with.rank[position]:
                break
        items = self._one_of_equals(model, items, budget=budget)
        if can_be_ordered(items):
            items = cheapest_order(items)
        served = served_by(items, offered=self.candidates)
        if len(levels) == len(WISHES):
            # Where time ran out, the exact order may have saved some setting up.
            levels[-1] = replace(levels[-1], reached=served.rank[-1])
        return Solved(items=items, served=served, levels=tuple(levels))

    def _start(self, *, required: Candidate | None, excluded: Candidate | None) -> tuple[Chosen, ...] | None:
        """Return the shortest session of one exercise that is allowed, to start from."""
        allowed = [required] if required is not None else [each for each in self.candidates if each is not excluded]
        ones = [(self.shortest(each),) for each in allowed]
        best = min(ones, key=lambda items: timeline(items).total_s, default=None)
        return best if best is not None and timeline(best).total_s <= self.limit_s else None

    def _one_of_equals(self, model: Any, items: tuple[Chosen, ...], *, budget: Budget) -> tuple[Chosen, ...]:
        """Return the session that `seed` picks among those that serve the wishes as `items` does."""
        variables = self._variables()
        if budget.left <= 0:
            return items
        model.minimize(
            sum(variable * self._weight(index, dose) for (index, dose), variable in variables.options.items())
        )
        return self._improve(model, items, budget=budget, bound=0)[0]

    def _weight(self, index: int, dose: int) -> int:
        candidate = self.candidates[index]
        text = f"{self.seed}|{candidate.id}|{candidate.exercise.doses[dose].name}|{dose}"
        return int.from_bytes(hashlib.sha256(text.encode()).digest()[:8], "big") % _ALL_TIES

    def _improve(
        self, model: Any, items: tuple[Chosen, ...], *, budget: Budget, bound: int
    ) -> tuple[tuple[Chosen, ...], int]:
        """Solve from `items`; return what was found and CP-SAT's bound (or the one given, where it has none)."""
        from ortools.sat.python import cp_model

        variables = self._variables()
        self._hint(model, items)
        solver = cp_model.CpSolver()
        solver.parameters.num_workers = 1
        solver.parameters.random_seed = self.seed
        solver.parameters.max_deterministic_time = budget.left
        # The time is a path through the chosen: only its linear relaxation proves that no more fits (ten times faster).
        solver.parameters.linearization_level = 2
        status = solver.solve(model)
        budget.left -= solver.response_proto.deterministic_time
        if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
            return items, bound
        following = {one: two for (one, two), arc in variables.arcs.items() if one != two and solver.boolean_value(arc)}
        found, node = [], following.get(0, 0)
        while node:
            index = node - 1
            dose = next(
                dose for (which, dose), on in variables.options.items() if which == index and solver.boolean_value(on)
            )
            candidate = self.candidates[index]
            found.append(Chosen(candidate=candidate, dose=candidate.exercise.doses[dose]))
            node = following[node]
        return tuple(found), math.floor(solver.best_objective_bound + 1e-6)

    def _hint(self, model: Any, items: tuple[Chosen, ...]) -> None:
        variables = self._variables()
        index_of = {candidate.id: index for index, candidate in enumerate(self.candidates)}
        nodes = [index_of[each.candidate.id] + 1 for each in items]
        path = set(zip([0, *nodes], [*nodes, 0], strict=True))
        doses = {index_of[each.candidate.id]: each.candidate.exercise.doses.index(each.dose) for each in items}
        model.clear_hints()
        for (index, dose), variable in variables.options.items():
            model.add_hint(variable, doses.get(index) == dose)
        for (one, two), arc in variables.arcs.items():
            if one != two:
                model.add_hint(arc, (one, two) in path)

    def _variables(self) -> _Variables:
        if self._built is None:
            self._built = self._build()
        return self._built

    def _build(self) -> _Variables:
        from ortools.sat.python import cp_model

        model = cp_model.CpModel()
        known = self.candidates
        options, present = {}, []
        chosen: dict[tuple[int, int], Chosen] = {}
        for index, candidate in enumerate(known):
            for dose, option in enumerate(candidate.exercise.doses):
                options[index, dose] = model.new_bool_var("")
                chosen[index, dose] = Chosen(candidate=candidate, dose=option)
            present.append(model.new_bool_var(""))
            model.add(sum(options[index, dose] for dose in range(len(candidate.exercise.doses))) == present[index])

        arcs: dict[tuple[int, int], Any] = {}
        changing = []
        for one in range(len(known) + 1):
            for two in range(len(known) + 1):
                before, after = (known[node - 1] if node else None for node in (one, two))
                if one == two:
                    arcs[one, two] = ~present[one - 1] if one else model.new_constant(0)
                elif not _in_order(before, after):
                    continue
                else:
                    arcs[one, two] = model.new_bool_var("")
                    changing.append(arcs[one, two] * change(before=before, after=after).total_s)
        for family in sorted({each.family for each in known if each.family is not None}):
            model.add_at_most_one(present[index] for index, each in enumerate(known) if each.family == family)
        # The start has no loop of its own: the empty session is no session.
        model.add_circuit([(one, two, arc) for (one, two), arc in arcs.items() if one or two])
        doing = sum(variable * doing_seconds(chosen[key]) for key, variable in options.items())
        model.add(whole_seconds(BEFORE_WE_START.value) + sum(changing) + doing <= self.limit_s)

        wishes: dict[WishName, Any] = {}
        highest: dict[WishName, int] = {}

        filled = []
        for part in PARTS:
            group = [present[index] for index, each in enumerate(known) if each.exercise.part == part]
            if group:
                filled.append(_any_of(model, group))
        wishes["parts"], highest["parts"] = sum(filled), len(filled)

        lacking = []
        for side in balanced_sides(known):
            mine = [key for key in options if side in known[key[0]].sides]
            back = sum(options[key] * chosen[key].dose.sets for key in mine if is_posterior(known[key[0]].exercise))
            front = sum(options[key] * chosen[key].dose.sets for key in mine if is_anterior(known[key[0]].exercise))
            most = int(POSTERIOR_RATIO.value) * sum(chosen[key].dose.sets for key in mine)
            lacking.append(model.new_int_var(0, most, ""))
            model.add(lacking[-1] >= int(POSTERIOR_RATIO.value) * front - back)
        wishes["balance"], highest["balance"] = -sum(lacking), 0

        training: dict[tuple[str, Side], list[Any]] = {}
        for index, candidate in enumerate(known):
            for aim in candidate.exercise.aims:
                for side in candidate.sides:
                    training.setdefault((aim, side), []).append(present[index])
        wishes["aims"] = sum(aim_weight(aim) * _any_of(model, group) for (aim, _), group in training.items())
        highest["aims"] = sum(aim_weight(aim) for aim, _ in training)

        wishes["fit"] = sum(variable * fit_of(chosen[key]) for key, variable in options.items())
        wishes["work"] = sum(variable * work_seconds(chosen[key]) for key, variable in options.items())
        inside = sum(variable * side_change_seconds(chosen[key]) for key, variable in options.items())
        wishes["setting up"] = -(sum(changing) + inside)
        longest = {index: max(map(fit_of, _of(chosen, index))) for index in range(len(known))}
        highest["fit"] = sum(longest.values())
        highest["work"] = sum(max(map(work_seconds, _of(chosen, index))) for index in range(len(known)))
        highest["setting up"] = 0
        return _Variables(model=model, options=options, arcs=arcs, wishes=wishes, highest=highest)


def _in_order(before: Candidate | None, after: Candidate | None) -> bool:
    if before is None or after is None:
        return True
    return place_in_order(before.exercise) <= place_in_order(after.exercise)


def _any_of(model: Any, group: Sequence[Any]) -> Any:
    """Return a variable that may be 1 only where one of `group` is; a wish pushes it up."""
    if len(group) == 1:
        return group[0]
    one = model.new_bool_var("")
    model.add_bool_or([*group, ~one])
    return one


def _of(chosen: dict[tuple[int, int], Chosen], index: int) -> list[Chosen]:
    return [each for (which, _), each in chosen.items() if which == index]
