"""A training week as a model of whole numbers for CP-SAT: which exercises, in which dose, on which day.

The time of a day is exact: every exercise pays for being set up from nowhere and for being freed at its end, and every
pair that follows each other gets back what the change between them saves.  Few pairs save anything, so the order costs
the model little.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass, field
from itertools import pairwise
from typing import Any, Literal

from firstpush.core.exercises.definition import PARTS
from firstpush.core.programme.solving import Found, solve
from firstpush.core.programme.worth import (
    AIM_DAYS,
    BACK_MISSING,
    PART_MISSING,
    REPEATED_DAY,
    STRENGTH_DAY_MISSING,
    WeekRules,
    is_full,
    is_full_strength,
    learning_cost,
    major_aims_of,
    muscles_of,
    side_classes,
    work_worth,
    worth_of,
)
from firstpush.core.session.candidate import Candidate, Chosen
from firstpush.core.session.changes import BEFORE_WE_START, whole_seconds
from firstpush.core.session.order import can_be_ordered, cheapest_order
from firstpush.core.session.timing import Timing
from firstpush.core.session.wishes import RATIO_STEP, aim_weight, balanced_sides, is_anterior, is_posterior
from firstpush.core.session.wishes import place_in_order as place

DayStatus = Literal["proven best", "best found", "impossible", "not found"]


@dataclass(frozen=True, kw_only=True)
class SolvedDays:
    """The best week found, its days in order; `bound` is what no week exceeds."""

    days: tuple[tuple[Chosen, ...], ...]
    worth: int
    bound: int
    status: DayStatus


@dataclass(kw_only=True)
class _Variables:
    """Booleans by day and candidate: whether it is done, in which dose, and which pairs follow each other."""

    options: dict[tuple[int, int, int], Any] = field(default_factory=dict)
    present: dict[tuple[int, int], Any] = field(default_factory=dict)
    pairs: dict[tuple[int, int, int], Any] = field(default_factory=dict)
    worth: list[Any] = field(default_factory=list)


class DayModel:
    """All training weeks that keep the rules.

    Parameters
    ----------
    rules : WeekRules
        Candidates in any order; they are sorted, so that the order given changes nothing.
    seed : int
        Chooses among weeks that are worth the same.
    """

    def __init__(self, rules: WeekRules, *, seed: int = 0) -> None:
        self.rules = rules
        self.candidates = tuple(sorted(rules.offered, key=lambda each: (place(each.exercise), each.id)))
        self.seed = seed
        self.timing = Timing()

    def solve(self, *, budget: float, gap: float) -> SolvedDays:
        """Return the best week found within `budget` deterministic seconds, or within `gap` of its bound."""
        from ortools.sat.python import cp_model

        model = cp_model.CpModel()
        variables = _Variables()
        for day in range(self.rules.days):
            self._add_day(model, variables, day)
        self._add_week(model, variables)
        model.maximize(sum(variables.worth))
        found = solve(model, budget=budget, gap=gap, seed=self.seed)
        if not found.has_solution:
            return SolvedDays(days=(), worth=0, bound=0, status="impossible" if found.impossible else "not found")
        days = tuple(self._day(found, variables, day) for day in range(self.rules.days))
        worth = worth_of(days, self.rules, timing=self.timing).total
        bound = max(worth, found.bound)
        return SolvedDays(days=days, worth=worth, bound=bound, status="proven best" if worth == bound else "best found")

    def _chosen(self, index: int, dose: int) -> Chosen:
        candidate = self.candidates[index]
        return Chosen(candidate=candidate, dose=candidate.exercise.doses[dose])

    def _add_day(self, model: Any, variables: _Variables, day: int) -> None:
        known = self.candidates
        seconds = [whole_seconds(BEFORE_WE_START.value)]
        for index, candidate in enumerate(known):
            doses = [model.new_bool_var("") for _ in candidate.exercise.doses]
            present = variables.present[day, index] = model.new_bool_var("")
            model.add(sum(doses) == present)
            for number, taken in enumerate(doses):
                chosen = self._chosen(index, number)
                variables.options[day, index, number] = taken
                seconds.append(taken * self.timing.doing(chosen))
                variables.worth.append(taken * (work_worth(chosen) - self.timing.side_changes(chosen)))
        model.add_bool_or([variables.present[day, index] for index in range(len(known))])
        changing = self._changing(model, variables, day)
        variables.worth.append(-changing)
        model.add(sum(seconds) + changing <= self.rules.limit_s)
        for family in sorted({each.family for each in known if each.family is not None}):
            mine = [variables.present[day, index] for index, each in enumerate(known) if each.family == family]
            model.add_at_most_one(mine)
        for part in PARTS:
            mine = [variables.present[day, index] for index, each in enumerate(known) if each.exercise.part == part]
            if mine:
                missing = model.new_bool_var("")
                model.add_bool_or([*mine, missing])
                variables.worth.append(-int(PART_MISSING.value) * missing)

    def _changing(self, model: Any, variables: _Variables, day: int) -> Any:
        """Return the seconds of all changes of a day, the freeing at the end included."""
        known, present = self.candidates, variables.present
        alone = [self.timing.change(None, each) + self.timing.change(each, None) for each in known]
        seconds = sum(present[day, index] * each for index, each in enumerate(alone))
        savings = self.savings()
        for nodes in _connected(savings):
            number = {index: at for at, index in enumerate(nodes, start=1)}
            arcs = [(at, at, ~present[day, index]) for index, at in number.items()]
            for at in number.values():
                arcs += [(0, at, model.new_bool_var("")), (at, 0, model.new_bool_var(""))]
            for (one, two), saved in savings.items():
                if one in number:
                    pair = variables.pairs[day, one, two] = model.new_bool_var("")
                    arcs.append((number[one], number[two], pair))
                    seconds -= saved * pair
            # Chains of neighbours, as many as there are, each from the depot 0 and back. One node is always visited:
            # where nothing else can be, the solver's presolve takes a depot without a way for a contradiction.
            arcs += [(0, len(nodes) + 1, model.new_constant(1)), (len(nodes) + 1, 0, model.new_constant(1))]
            model.add_multiple_circuit(arcs)
        self._keep_order(model, variables, day)
        return seconds

    def savings(self) -> dict[tuple[int, int], int]:
        """Return what each pair of neighbours in an allowed order saves, where it saves anything [s]."""
        change, known = self.timing.change, self.candidates
        found = {}
        for one, before in enumerate(known):
            for two, after in enumerate(known):
                if one == two or place(before.exercise) > place(after.exercise):
                    continue
                saved = change(before, None) + change(None, after) - change(before, after)
                assert saved >= 0, "coming from another exercise never costs more than coming from nowhere"
                if saved:
                    found[one, two] = saved
        return found

    def _keep_order(self, model: Any, variables: _Variables, day: int) -> None:
        """Let only one pair lead from one part to another, and none over the head of a part between them."""
        places = [place(each.exercise) for each in self.candidates]
        leaving: dict[int, list[tuple[int, Any]]] = {}
        entering: dict[int, list[tuple[int, Any]]] = {}
        for (on, one, two), pair in variables.pairs.items():
            if on != day or places[one] == places[two]:
                continue
            leaving.setdefault(places[one], []).append((one, pair))
            entering.setdefault(places[two], []).append((two, pair))
            for index, between in enumerate(places):
                if places[one] < between < places[two]:
                    model.add_implication(pair, ~variables.present[day, index])
        for pairs in (*leaving.values(), *entering.values()):
            model.add_at_most_one([pair for _, pair in pairs])
        for here in sorted(set(leaving) & set(entering)):
            first, last = self._add_path(model, variables, day, [i for i, p in enumerate(places) if p == here])
            for index, pair in entering[here]:
                model.add_implication(pair, first[index])
            for index, pair in leaving[here]:
                model.add_implication(pair, last[index])

    def _add_path(
        self, model: Any, variables: _Variables, day: int, nodes: Sequence[int]
    ) -> tuple[dict[int, Any], dict[int, Any]]:
        """Put what is done of a part into one whole order; return what is its first and what its last.

        Asked only of a part that can be both entered and left by a pair: its first and its last may be one exercise
        only where nothing else is done of it.
        """
        at = {index: number for number, index in enumerate(nodes, start=1)}
        first = {index: model.new_bool_var("") for index in nodes}
        last = {index: model.new_bool_var("") for index in nodes}
        arcs = [(0, 0, model.new_bool_var(""))]
        for one in nodes:
            arcs += [
                (0, at[one], first[one]),
                (at[one], 0, last[one]),
                (at[one], at[one], ~variables.present[day, one]),
            ]
            for two in nodes:
                if one != two:
                    arcs.append((at[one], at[two], step := model.new_bool_var("")))
                    if (day, one, two) in variables.pairs:
                        model.add_implication(variables.pairs[day, one, two], step)
        model.add_circuit(arcs)
        return first, last

    def _add_week(self, model: Any, variables: _Variables) -> None:
        for group in side_classes(self.rules.offered):
            mine = {index for index, each in enumerate(self.candidates) if each.id in group.ids}
            both = len(group.sides)
            self._add_aims(model, variables, mine, both)
            for aim in major_aims_of(group, self.rules):
                self._add_strength_days(model, variables, mine, aim, both)
            self._add_rest(model, variables, mine)
            if set(group.sides) & set(balanced_sides(self.rules.offered)):
                self._add_balance(model, variables, mine, both)
        self._add_learning(model, variables)
        self._add_order_of_days(model, variables)

    def _add_order_of_days(self, model: Any, variables: _Variables) -> None:
        """Put days that are all alike in one order, which saves trying every exchange of days.

        Ordered by full work for one aim, because that has few values and fixes much; without such work by its length.
        """
        days = range(self.rules.days)
        groups = [
            (group, aim) for group in side_classes(self.rules.offered) for aim in major_aims_of(group, self.rules)
        ]
        if groups:
            ids, aim = groups[0][0].ids, groups[0][1]
            mine = {index for index, each in enumerate(self.candidates) if each.id in ids}
            rank = [sum(self._full(variables, day, mine, aim)) for day in days]
        else:
            rank = [
                sum(
                    taken * work_worth(self._chosen(i, n))
                    for (on, i, n), taken in variables.options.items()
                    if on == day
                )
                for day in days
            ]
        for alike in interchangeable(self.rules.days, self.rules.in_a_row):
            for one, two in pairwise(alike):
                model.add(rank[one] >= rank[two])

    def _full(self, variables: _Variables, day: int, mine: Collection[int], aim: str) -> list[Any]:
        """Return the options of a day that are full strength work for `aim`."""
        return [
            taken
            for (on, index, dose), taken in variables.options.items()
            if on == day and index in mine and is_full_strength(self._chosen(index, dose), aim)
        ]

    def _add_aims(self, model: Any, variables: _Variables, mine: Collection[int], both: int) -> None:
        for aim in sorted({aim for index in mine for aim in self.candidates[index].exercise.aims}):
            training = [index for index in mine if aim in self.candidates[index].exercise.aims]
            days = sum(
                _any_of(model, [variables.present[day, index] for index in training]) for day in range(self.rules.days)
            )
            # Each further day is worth less, so the first ones are taken first.
            counted = [model.new_bool_var("") for _ in AIM_DAYS[: self.rules.days]]
            model.add(sum(counted) <= days)
            weight = both * aim_weight(aim)
            variables.worth += [weight * int(each.value) * on for each, on in zip(AIM_DAYS, counted, strict=False)]

    def _add_strength_days(self, model: Any, variables: _Variables, mine: Collection[int], aim: str, both: int) -> None:
        full = []
        for day in range(self.rules.days):
            taken = self._full(variables, day, mine, aim)
            if taken:
                full.append(_any_of(model, taken))
        missing = model.new_int_var(0, self.rules.full_days, "")
        model.add(missing + sum(full) >= self.rules.full_days)
        variables.worth.append(-both * int(STRENGTH_DAY_MISSING.value) * missing)

    def _add_rest(self, model: Any, variables: _Variables, mine: Collection[int]) -> None:
        """Let no muscle group have a full strength dose on two days in a row."""
        if not self.rules.in_a_row:
            return
        for muscle in sorted({muscle for index in mine for muscle in muscles_of(self.candidates[index].exercise)}):
            loaded = [model.new_bool_var("") for _ in range(self.rules.days)]
            for (day, index, dose), taken in variables.options.items():
                chosen = self._chosen(index, dose)
                if index in mine and is_full(chosen.dose) and muscle in muscles_of(chosen.candidate.exercise):
                    model.add_implication(taken, loaded[day])
            for one, two in self.rules.in_a_row:
                model.add_at_most_one([loaded[one], loaded[two]])

    def _add_balance(self, model: Any, variables: _Variables, mine: Collection[int], both: int) -> None:
        lacking = []
        for day in range(self.rules.days):
            tenths = []
            for (on, index, dose), taken in variables.options.items():
                exercise = self.candidates[index].exercise
                if on == day and index in mine:
                    worth = self.rules.tenths_of_ratio * is_anterior(exercise) - RATIO_STEP * is_posterior(exercise)
                    tenths.append(taken * worth * self._chosen(index, dose).dose.sets)
            lacking.append(sum(tenths))
            missing = model.new_int_var(0, 1_000_000, "")
            model.add(missing >= lacking[-1])
            variables.worth.append(-both * round(BACK_MISSING.value / RATIO_STEP) * missing)
        model.add(sum(lacking) <= 0)

    def _add_learning(self, model: Any, variables: _Variables) -> None:
        for index, candidate in enumerate(self.candidates):
            days = [variables.present[day, index] for day in range(self.rules.days)]
            used = model.new_bool_var("")
            for present in days:
                model.add_implication(present, used)
            variables.worth.append(-learning_cost(candidate, self.rules) * used)
            if candidate.exercise.part == "strength" and self.rules.days > self.rules.free_repeats:
                repeated = model.new_int_var(0, self.rules.days, "")
                model.add(repeated + self.rules.free_repeats >= sum(days))
                variables.worth.append(-int(REPEATED_DAY.value) * repeated)

    def _day(self, found: Found, variables: _Variables, day: int) -> tuple[Chosen, ...]:
        dose_of = {
            index: dose for (on, index, dose), taken in variables.options.items() if on == day and found.is_on(taken)
        }
        following = {one: two for (on, one, two), pair in variables.pairs.items() if on == day and found.is_on(pair)}
        order = _in_order(dose_of, following, [place(each.exercise) for each in self.candidates])
        items = tuple(self._chosen(index, dose_of[index]) for index in order)
        return cheapest_order(items, self.timing) if can_be_ordered(items) else items


def _any_of(model: Any, group: Sequence[Any]) -> Any:
    """Return a variable that may be 1 only where one of `group` is; worth pushes it up."""
    if len(group) == 1:
        return group[0]
    one = model.new_bool_var("")
    model.add_bool_or([*group, ~one])
    return one


def _connected(pairs: dict[tuple[int, int], int]) -> list[list[int]]:
    """Return the groups of indices that `pairs` connect, each sorted."""
    group: dict[int, set[int]] = {}
    for one, two in pairs:
        joined = group.get(one, {one}) | group.get(two, {two})
        for index in joined:
            group[index] = joined
    return [list(each) for each in sorted({tuple(sorted(joined)) for joined in group.values()})]


def interchangeable(days: int, in_a_row: Sequence[tuple[int, int]]) -> list[list[int]]:
    """Return the groups of days that can be exchanged without changing which days follow each other."""
    pairs = {frozenset(pair) for pair in in_a_row}

    def swapped(one: int, two: int) -> set[frozenset[int]]:
        other = {one: two, two: one}
        return {frozenset(other.get(day, day) for day in pair) for pair in pairs}

    groups: list[list[int]] = []
    for day in range(days):
        group = next((each for each in groups if swapped(each[0], day) == pairs), None)
        if group is None:
            groups.append([day])
        else:
            group.append(day)
    return groups


def _in_order(present: dict[int, int], following: dict[int, int], places: Sequence[int]) -> list[int]:
    """Return the indices by part, neighbours of a pair side by side; a chain that goes on into a later part last."""
    before = {two: one for one, two in following.items()}
    order: list[int] = []
    for here in sorted({places[index] for index in present}):
        chains = []
        for start in sorted(index for index in present if places[index] == here):
            if start in before and places[before[start]] == here:
                continue
            chain = [start]
            while chain[-1] in following and places[following[chain[-1]]] == here:
                chain.append(following[chain[-1]])
            chains.append(chain)
        # What came over from the part before stands first, what leads on stands last.
        chains.sort(key=lambda chain: (chain[0] not in before, chain[-1] in following, chain[0]))
        order += [index for chain in chains for index in chain]
    return order


def shortest_alone(candidate: Candidate, timing: Timing) -> int:
    """Return the time of a session of `candidate` alone in its shortest dose [s]."""
    return min(timing.total([Chosen(candidate=candidate, dose=dose)]) for dose in candidate.exercise.doses)
