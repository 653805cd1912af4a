"""The wishes as expressions over the variables of the session's model."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any

from firstpush.core.exercises.definition import PARTS
from firstpush.core.people.athlete import Side
from firstpush.core.session.candidate import Candidate, Chosen
from firstpush.core.session.timeline import side_change_seconds, work_seconds
from firstpush.core.session.wishes import (
    PART_WORTH,
    RATIO_STEP,
    Measure,
    WishName,
    balanced_sides,
    fit_of,
    is_anterior,
    is_posterior,
)


@dataclass(kw_only=True)
class Variables:
    """The CP-SAT model, its variables, its length [s], and for each wish its expression, lowest and highest value.

    `nodes` of the circuit: 0 is start and end, every other one stands for these candidates, done one after the other.
    """

    model: Any
    present: list[Any]
    options: dict[tuple[int, int], Any]
    arcs: dict[tuple[int, int], Any]
    nodes: tuple[tuple[int, ...], ...]
    length: Any
    wishes: dict[WishName, tuple[Any, int, int]] = field(default_factory=dict)


def training(known: Sequence[Candidate], aim: str) -> dict[Side, list[int]]:
    """Return the numbers of the candidates that train `aim`, by side; only sides that something can train."""
    found: dict[Side, list[int]] = {}
    for index, candidate in enumerate(known):
        if aim in candidate.exercise.aims:
            for side in candidate.sides:
                found.setdefault(side, []).append(index)
    return found


def write_wishes(
    variables: Variables, chosen: dict[tuple[int, int], Chosen], *, measure: Measure, changing: Any, limit_s: int
) -> None:
    """Write the wishes as expressions, with the least and the most that each can be.

    Parameters
    ----------
    variables : Variables
        Their `wishes` are filled.
    chosen : dict of (candidate, dose) to Chosen
        What each option stands for.
    measure : Measure
        What the wishes are measured against.
    changing : expression
        Seconds of all changes from one exercise to the next [s].
    limit_s : int
        The time there is [s].
    """
    model, known, options, present = variables.model, measure.offered, variables.options, variables.present
    wishes = variables.wishes

    filled = []
    for part in PARTS:
        group = [present[index] for index, each in enumerate(known) if each.exercise.part == part]
        if group:
            filled.append((PART_WORTH[part], any_of(model, group)))
    wishes["parts"] = (sum(worth * each for worth, each in filled), 0, sum(worth for worth, _ in filled))

    lacking, most_lacking = [], 0
    ratio = round(RATIO_STEP * measure.asked.back_to_front)
    for side in balanced_sides(known):
        mine = [key for key in options if side in known[key[0]].sides]
        back = sum(options[key] * chosen[key].dose.sets for key in mine if is_posterior(known[key[0]].exercise))
        front = sum(options[key] * chosen[key].dose.sets for key in mine if is_anterior(known[key[0]].exercise))
        most = ratio * sum(chosen[key].dose.sets for key in mine)
        lacking.append(model.new_int_var(0, most, ""))
        most_lacking += most
        model.add(lacking[-1] >= ratio * front - RATIO_STEP * back)
    wishes["balance"] = (-sum(lacking), -most_lacking, 0)

    kept = {key: measure.kept(each) for key, each in chosen.items()}
    most_kept = sum(max(kept[key] for key in kept if key[0] == index) for index in range(len(known)))
    wishes["unchanged"] = (sum(options[key] * worth for key, worth in kept.items() if worth), 0, most_kept)

    due, aims, due_most = [], [], 0
    for aim in sorted({aim for each in known for aim in each.exercise.aims}):
        for group in training(known, aim).values():
            trained = any_of(model, [present[index] for index in group])
            if aim in measure.due:
                due.append(trained)
                due_most += 1
            weight = measure.weight(aim)
            if weight:
                aims += [weight * trained, weight * _in_full(variables, chosen, group, measure)]
    most_aims = 2 * sum(
        measure.weight(aim) * len(training(known, aim)) for aim in {aim for each in known for aim in each.exercise.aims}
    )
    wishes["due"] = (sum(due), 0, due_most)
    wishes["aims"] = (sum(aims), 0, most_aims)

    wishes["even sides"] = _even_sides(variables, chosen, measure)
    new = [present[index] for index, each in enumerate(known) if measure.is_new(each)]
    wishes["familiar"] = (-sum(new), -len(new), 0)
    care = [(each.cautions, present[index]) for index, each in enumerate(known) if each.cautions]
    wishes["care"] = (-sum(count * there for count, there in care), -sum(count for count, _ in care), 0)
    stale = measure.stale
    old = [present[index] for index, each in enumerate(known) if each.id in stale]
    wishes["change"] = (-sum(old), -len(old), 0)

    all_of = {index: [each for (which, _), each in chosen.items() if which == index] for index in range(len(known))}
    wishes["fit"] = (
        sum(variable * fit_of(chosen[key]) for key, variable in options.items()),
        0,
        sum(max(map(fit_of, each)) for each in all_of.values()),
    )
    wishes["work"] = (
        sum(variable * work_seconds(chosen[key]) for key, variable in options.items()),
        0,
        min(limit_s, sum(max(map(work_seconds, each)) for each in all_of.values())),
    )
    inside = sum(variable * side_change_seconds(chosen[key]) for key, variable in options.items())
    wishes["setting up"] = (-(changing + inside), -limit_s, 0)


def _in_full(
    variables: Variables, chosen: dict[tuple[int, int], Chosen], group: Sequence[int], measure: Measure
) -> Any:
    """Return a variable that may be 1 only where the exercises of `group` have the sets of a fully trained aim."""
    keys = [key for key in chosen if key[0] in group]
    enough = measure.kind.full_sets
    if enough == 1:
        return any_of(variables.model, [variables.present[index] for index in group])
    full = variables.model.new_bool_var("")
    credit = sum(variables.options[key] * measure.credit(chosen[key]) for key in keys)
    variables.model.add(credit >= enough * full)
    return full


def _even_sides(variables: Variables, chosen: dict[tuple[int, int], Chosen], measure: Measure) -> tuple[Any, int, int]:
    sign = measure.uneven
    worth = {
        key: sum(sign[side] * each.dose.sets for side in each.candidate.sides)
        for key, each in chosen.items()
        if sign is not None and each.candidate.exercise.part == "strength" and len(each.candidate.sides) == 1
    }
    if not worth:
        return 0, 0, 0
    most = sum(abs(each) for each in worth.values())
    difference = variables.model.new_int_var(0, most, "")
    more = sum(variables.options[key] * each for key, each in worth.items())
    variables.model.add(difference >= more)
    variables.model.add(difference >= -more)
    return -difference, -most, 0


def any_of(model: Any, group: Sequence[Any]) -> Any:
    """Return a variable that may be 1 only where one of `group` is; a wish pushes it up."""
    if len(group) == 1:
        return group[0]
    one = model.new_bool_var("")
    model.add_bool_or([*group, ~one])
    return one
