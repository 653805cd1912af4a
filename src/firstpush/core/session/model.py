"""The session as a model of whole numbers for CP-SAT: which exercises, in which dose, in which order.

A circuit runs from the start through the chosen exercises and back; each arc costs the change from one set-up to the
next.  The wishes are solved in groups, one after the other, and what a group reaches is kept by all that follow.
"""

from __future__ import annotations

import hashlib
import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any

from firstpush.core.exercises.definition import Part
from firstpush.core.people.athlete import Side
from firstpush.core.session.asked import Asked
from firstpush.core.session.candidate import Candidate, Chosen
from firstpush.core.session.changes import BEFORE_WE_START, change, whole_seconds
from firstpush.core.session.kinds import Kind, kind_named, most_exercises
from firstpush.core.session.model_wishes import Variables, any_of, training, write_wishes
from firstpush.core.session.order import can_be_ordered, cheapest_order
from firstpush.core.session.timeline import doing_seconds, timeline
from firstpush.core.session.wishes import (
    WISHES,
    Measure,
    Served,
    WishName,
    place_in_order,
    served_by,
)

GROUPS: tuple[tuple[WishName, ...], ...] = (
    ("due", "parts", "balance", "unchanged"),
    ("aims", "even sides", "familiar", "care", "change"),
    ("fit", "work", "setting up"),
)
"""Wishes solved at once: inside a group each weighs more than all that the later ones can reach together."""
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
    """The best session found: its items in order, how it serves the wishes, and what is proven of it."""

    items: tuple[Chosen, ...]
    served: Served
    levels: tuple[Level, ...]

    @property
    def proven(self) -> bool:
        """Whether every wish is at its best."""
        return all(level.proven for level in self.levels)


class SessionModel:
    """All sessions from `candidates` that take no longer than `limit_s` and do what is asked.

    Parameters
    ----------
    candidates : sequence of Candidate
        In any order; they are sorted, so that the order given changes nothing.
    limit_s : int
        Time from the check before the start to the chair that is free again [s].
    kind : Kind, optional
    asked : Asked, optional
        What must be there, or must not, is held to; names that no candidate has make the model infeasible.
    seed : int
        Chooses among sessions that serve every wish equally well.
    """

    def __init__(
        self,
        candidates: Sequence[Candidate],
        *,
        limit_s: int,
        kind: Kind | None = None,
        asked: Asked | None = None,
        seed: int = 0,
    ) -> None:
        self.candidates = tuple(sorted(candidates, key=lambda each: (place_in_order(each.exercise), each.id)))
        self.limit_s = limit_s
        self.asked = asked if asked is not None else Asked()
        kind = kind if kind is not None else kind_named("before training")
        self.measure = Measure(offered=self.candidates, kind=kind, asked=self.asked)
        self.seed = seed
        self.most_sets = self._most_sets()
        self._built: Variables | None = None

    @property
    def most_exercises(self) -> int:
        """How many exercises it has at most; more only when more are asked for."""
        return max(most_exercises(self.limit_s), len(self.asked.wanted))

    def over_sets(self, items: Iterable[Chosen]) -> tuple[Side, Part] | None:
        """Return the first arm, and the part, in which it would get more sets than it may."""
        items = tuple(items) if self.most_sets else ()
        for side, part, most in self.most_sets:
            mine = (each for each in items if each.candidate.exercise.part == part)
            if sum(each.candidate.side_sets(each.dose).get(side, 0) for each in mine) > most:
                return side, part
        return None

    def _most_sets(self) -> tuple[tuple[Side, Part, int], ...]:
        """Return how many sets an arm gets at most; more only when more are asked for by hand."""
        by_hand = [each for each in self.candidates if each.id in self.asked.wanted]
        found = []
        for side, part, most in self.asked.most_sets:
            mine = [each for each in by_hand if side in each.sides and each.exercise.part == part]
            found.append((side, part, max(most, sum(max(d.sets for d in each.exercise.doses) for each in mine))))
        return tuple(found)

    def shortest(self, candidate: Candidate) -> Chosen:
        """Return `candidate` in the dose that takes least time."""
        doses = [Chosen(candidate=candidate, dose=dose) for dose in candidate.exercise.doses]
        return min(doses, key=doing_seconds)

    def solve(self, *, budget: Budget) -> Solved | None:
        """Return the best session, wish after wish; None when none exists or the budget is spent before one is found.

        Parameters
        ----------
        budget : Budget
            What may be spent; what was spent is taken off.
        """
        if not self.candidates or set(self.asked.wanted) - {each.id for each in self.candidates}:
            return None
        variables = self._variables()
        model = variables.model.clone()
        items, levels = self._start(), []
        for group in GROUPS:
            found, bounds = self._best_of(model, group, items, budget=budget)
            if found is None:
                return None
            items, served = found, served_by(found, measure=self.measure)
            for wish, bound in zip(group, bounds, strict=True):
                reached = served.rank[WISHES.index(wish)]
                levels.append(Level(wish=wish, reached=reached, bound=max(bound, reached)))
                model.add(variables.wishes[wish][0] >= reached)
        assert items is not None
        items = self._one_of_equals(model, items, budget=budget)
        if can_be_ordered(items):
            items = cheapest_order(items)
        served = served_by(items, measure=self.measure)
        # Where the budget ran out, the exact order may have saved some setting up.
        levels[-1] = Level(wish=levels[-1].wish, reached=served.rank[-1], bound=max(levels[-1].bound, served.rank[-1]))
        return Solved(items=items, served=served, levels=tuple(levels))

    def shortest_session(self, *, budget: Budget) -> tuple[Chosen, ...] | None:
        """Return the shortest session that does what is asked, whatever its wishes and the time; None without one."""
        if not self.candidates or set(self.asked.wanted) - {each.id for each in self.candidates}:
            return None
        variables = self._variables(limited=False)
        model = variables.model.clone()
        model.minimize(variables.length)
        found, _ = self._improve(model, None, budget=budget, bound=0)
        if found is None or not can_be_ordered(found):
            return found
        return cheapest_order(found)

    def _start(self) -> tuple[Chosen, ...] | None:
        """Return the shortest session of one exercise, to start from where nothing is asked by hand."""
        if self.asked.wanted or self.asked.aims:
            return None
        ones = [
            (self.shortest(each),)
            for each in self.candidates
            if each.id not in self.asked.without and not each.exercise.after_any
        ]
        ones = [each for each in ones if self.over_sets(each) is None]
        best = min(ones, key=lambda items: timeline(items).total_s, default=None)
        return best if best is not None and timeline(best).total_s <= self.limit_s else None

    def _best_of(
        self, model: Any, group: Sequence[WishName], items: tuple[Chosen, ...] | None, *, budget: Budget
    ) -> tuple[tuple[Chosen, ...] | None, list[int]]:
        """Return the session that serves the wishes of `group` best, and a bound for each of them."""
        wishes = [self._variables().wishes[wish] for wish in group]
        highest = [high for _, _, high in wishes]
        if items is not None:
            rank = served_by(items, measure=self.measure).rank
            if all(rank[WISHES.index(wish)] >= high for wish, high in zip(group, highest, strict=True)):
                return items, highest
        weights = [math.prod(high - low + 1 for _, low, high in wishes[place + 1 :]) for place in range(len(group))]
        model.maximize(sum(weight * (wish - low) for weight, (wish, low, _) in zip(weights, wishes, strict=True)))
        most = sum(weight * (high - low) for weight, (_, low, high) in zip(weights, wishes, strict=True))
        found, bound = self._improve(model, items, budget=budget, bound=most)
        if found is None:
            return None, highest
        rank = served_by(found, measure=self.measure).rank
        bounds, exact = [], True
        for wish, weight, (_, low, high) in zip(group, weights, wishes, strict=True):
            reached = rank[WISHES.index(wish)]
            bounds.append(min(high, low + bound // weight) if exact else high)
            # A later wish is bounded only where those before it can reach no more than they do.
            exact = exact and reached == bounds[-1]
            bound -= weight * (reached - low)
        return found, bounds

    def _one_of_equals(self, model: Any, items: tuple[Chosen, ...], *, budget: Budget) -> tuple[Chosen, ...]:
        """Return the session that `seed` picks among those that serve the wishes as `items` does."""
        variables = self._variables()
        if budget.left <= 0:
            return items
        model.minimize(
            sum(variable * self._weight(index, dose) for (index, dose), variable in variables.options.items())
        )
        return self._improve(model, items, budget=budget, bound=0)[0] or items

    def _weight(self, index: int, dose: int) -> int:
        candidate = self.candidates[index]
        text = f"{self.seed}|{candidate.id}|{candidate.exercise.doses[dose].name}|{dose}"
        return int.from_bytes(hashlib.sha256(text.encode()).digest()[:8], "big") % _ALL_TIES

    def _improve(
        self, model: Any, items: tuple[Chosen, ...] | None, *, budget: Budget, bound: int
    ) -> tuple[tuple[Chosen, ...] | None, int]:
        """Solve from `items`; return what was found and CP-SAT's bound (or the one given, where it has none)."""
        from ortools.sat.python import cp_model

        if budget.left <= 0:
            return items, bound
        variables = self._variables()
        if items is not None:
            self._hint(model, items)
        solver = cp_model.CpSolver()
        solver.parameters.num_workers = 1
        solver.parameters.random_seed = self.seed
        solver.parameters.max_deterministic_time = budget.left
        # The time is a path through the chosen: only its linear relaxation proves that no more fits (ten times faster).
        solver.parameters.linearization_level = 2
        # Cuts cost more than they prove here: without them the same optima take a third less.
        solver.parameters.cut_level = 0
        status = solver.solve(model)
        budget.left -= solver.response_proto.deterministic_time
        if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
            return items, bound
        following = {one: two for (one, two), arc in variables.arcs.items() if one != two and solver.boolean_value(arc)}
        doses = {index: dose for (index, dose), on in variables.options.items() if solver.boolean_value(on)}
        found, node = [], following.get(0, 0)
        while node:
            for index in variables.nodes[node]:
                if index in doses:
                    candidate = self.candidates[index]
                    found.append(Chosen(candidate=candidate, dose=candidate.exercise.doses[doses[index]]))
            node = following[node]
        return tuple(found), math.floor(solver.best_objective_bound + 1e-6)

    def _hint(self, model: Any, items: tuple[Chosen, ...]) -> None:
        variables = self._variables()
        index_of = {candidate.id: index for index, candidate in enumerate(self.candidates)}
        node_of = {index: node for node, inside in enumerate(variables.nodes) for index in inside}
        nodes = list(dict.fromkeys(node_of[index_of[each.candidate.id]] for each in items))
        path = set(zip([0, *nodes], [*nodes, 0], strict=True))
        doses = {index_of[each.candidate.id]: each.candidate.exercise.doses.index(each.dose) for each in items}
        model.clear_hints()
        for (index, dose), variable in variables.options.items():
            model.add_hint(variable, doses.get(index) == dose)
        for (one, two), arc in variables.arcs.items():
            if one != two:
                model.add_hint(arc, (one, two) in path)

    def _variables(self, *, limited: bool = True) -> Variables:
        if self._built is None:
            self._built = self._build(limited=limited)
        return self._built

    def _build(self, *, limited: bool) -> Variables:
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

        nodes = _nodes(known)
        there = [model.new_constant(1), *(any_of(model, [present[index] for index in node]) for node in nodes[1:])]
        for node, inside in enumerate(nodes):
            # Unlike a wish, nothing pushes a node up: what is done must pass it.
            for index in inside if len(inside) > 1 else ():
                model.add_implication(present[index], there[node])
        arcs: dict[tuple[int, int], Any] = {}
        changing = [present[index] * _own_setting_up(known[index]) for node in nodes if len(node) > 1 for index in node]
        for one in range(len(nodes)):
            for two in range(len(nodes)):
                before, after = (known[nodes[node][0]] if node else None for node in (one, two))
                if one == two:
                    arcs[one, two] = ~there[one] if one else model.new_constant(0)
                elif not _in_order(before, after):
                    continue
                else:
                    arcs[one, two] = model.new_bool_var("")
                    seconds = change(before=before, after=after).total_s
                    if after is not None and len(nodes[two]) > 1:
                        seconds -= _own_setting_up(after)
                    changing.append(arcs[one, two] * seconds)
        for family in sorted({each.family for each in known if each.family is not None}):
            model.add_at_most_one(present[index] for index, each in enumerate(known) if each.family == family)
        if limited:
            model.add(sum(present) <= self.most_exercises)
        by_id = {each.id: present[index] for index, each in enumerate(known)}
        for index, candidate in enumerate(known):
            if candidate.exercise.after_any:
                openers = [by_id[id_] for id_ in candidate.exercise.after_any if id_ in by_id]
                model.add_bool_or([*openers, ~present[index]])
        # The start has no loop of its own: the empty session is no session.
        model.add_circuit([(one, two, arc) for (one, two), arc in arcs.items() if one or two])
        doing = sum(variable * doing_seconds(chosen[key]) for key, variable in options.items())
        variables = Variables(
            model=model,
            present=present,
            options=options,
            arcs=arcs,
            nodes=nodes,
            length=whole_seconds(BEFORE_WE_START.value) + sum(changing) + doing,
        )
        if limited:
            model.add(variables.length <= self.limit_s)
        if limited:
            for side, part, most in self.most_sets:
                sets = [
                    variable * chosen[key].dose.sets
                    for key, variable in options.items()
                    if side in known[key[0]].sides and known[key[0]].exercise.part == part
                ]
                model.add(sum(sets) <= most)
        self._ask(variables)
        write_wishes(variables, chosen, measure=self.measure, changing=sum(changing), limit_s=self.limit_s)
        return variables

    def _ask(self, variables: Variables) -> None:
        """Hold the model to what is asked by hand."""
        model, doses = variables.model, dict(self.asked.doses)
        for index, candidate in enumerate(self.candidates):
            if candidate.id in self.asked.wanted:
                model.add(variables.present[index] == 1)
            if candidate.id in self.asked.without:
                model.add(variables.present[index] == 0)
            if candidate.id in doses:
                names = [dose.name for dose in candidate.exercise.doses]
                for dose, name in enumerate(names):
                    if name != doses[candidate.id]:
                        model.add(variables.options[index, dose] == 0)
        for aim in self.asked.aims:
            for group in training(self.candidates, aim).values():
                model.add_bool_or([variables.present[index] for index in group])
            if not training(self.candidates, aim):
                model.add_bool_or([])


def _in_order(before: Candidate | None, after: Candidate | None) -> bool:
    if before is None or after is None:
        return True
    return place_in_order(before.exercise) <= place_in_order(after.exercise)


def _nodes(known: Sequence[Candidate]) -> tuple[tuple[int, ...], ...]:
    """Return the nodes of the circuit: what is done without post, cuff and strap stands together, by its place.

    A change to such an exercise depends on what was before only by freeing the chair, and a change from it on nothing:
    in a cheapest order they can be done in a row, whatever their order.
    """
    alone: list[tuple[int, ...]] = []
    loose: dict[int, list[int]] = {}
    for index, each in enumerate(known):
        if each.post is None and not each.blocked and each.attach == "hand" and each.strap == "none":
            loose.setdefault(place_in_order(each.exercise), []).append(index)
        else:
            alone.append((index,))
    return ((), *alone, *(tuple(together) for together in loose.values()))


def _own_setting_up(candidate: Candidate) -> int:
    """Return what setting up takes after an exercise that left nothing to take away [s]."""
    return change(before=None, after=candidate).total_s
