"""Who starts how many minutes later, so that what there is suffices: searched, not guessed."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from firstpush.core.squad.claims import Claim, Resource
from firstpush.core.squad.clashes import Clash, clashes

BUDGET = 3.0
"""Deterministic seconds of CP-SAT for one question: the same answer on every machine."""


@dataclass(frozen=True, kw_only=True)
class Stagger:
    """Starts, and what still clashes with them.

    Parameters
    ----------
    starts_min : mapping of athlete to int
        Minutes after the first [min]; somebody starts at 0.
    left : tuple of Clash
        What clashes all the same; empty when the starts remove everything.
    proven : bool
        Whether it is proven that no smaller stagger does as much.
    """

    starts_min: Mapping[str, int]
    left: tuple[Clash, ...]
    proven: bool

    @property
    def last_min(self) -> int:
        """When the last athlete starts [min]."""
        return max(self.starts_min.values(), default=0)


def smallest_stagger(
    claims: Iterable[Claim], there: Mapping[Resource, int], *, athletes: Iterable[str], longest_min: int
) -> Stagger:
    """Return the smallest stagger of starts, in whole minutes, that leaves the fewest clashes.

    Parameters
    ----------
    claims : iterable of Claim
        Of all athletes; those of nobody named in `athletes` are refused.
    there : mapping of Resource to int
        As `clashes` takes it.
    athletes : iterable of str
        Who trains, those who hold nothing included.
    longest_min : int
        Nobody starts later than this [min].

    Returns
    -------
    Stagger
        Smallest means: fewest resources that still clash, then least that is missing of them, then the earliest last
        start, then the fewest minutes waited by all together.  Where `left` is empty, nothing clashes.
    """
    kept, names = tuple(claims), tuple(dict.fromkeys(athletes))
    none = dict.fromkeys(names, 0)
    if not clashes(kept, there):
        return Stagger(starts_min=none, left=(), proven=True)
    for spare in (False, True):
        found = _solved(kept, there, names, longest_min, spare=spare)
        if found is not None:
            starts, proven = found
            return Stagger(starts_min=starts, left=clashes(kept, there, starts_min=starts), proven=proven)
    return Stagger(starts_min=none, left=clashes(kept, there), proven=False)


def _solved(
    claims: tuple[Claim, ...], there: Mapping[Resource, int], names: tuple[str, ...], longest: int, *, spare: bool
) -> tuple[dict[str, int], bool] | None:
    """Return starts and whether they are proven best; with `spare` more than there is may be wanted, at a price."""
    from ortools.sat.python import cp_model

    model = cp_model.CpModel()
    starts = {name: model.new_int_var(0, longest, name) for name in names}
    missing, short = [], []
    kinds = {resource.kind for resource in there}
    for resource, held in _by_resource(claims).items():
        limit = there.get(resource, 0)
        at_once = sum(_most_at_once(own) for own in _by_athlete(held))
        if resource.kind not in kinds or at_once <= limit:
            continue
        more: Any = 0
        if spare:
            more = model.new_int_var(0, at_once - limit, "")
            is_short = model.new_bool_var("")
            model.add(more <= (at_once - limit) * is_short)
            missing.append(more)
            short.append(is_short)
        intervals = [
            model.new_fixed_size_interval_var(
                claim.start_s + 60 * starts[claim.athlete], claim.end_s - claim.start_s, ""
            )
            for claim in held
        ]
        model.add_cumulative(intervals, [claim.count for claim in held], limit + more)
    last = model.new_int_var(0, longest, "last")
    model.add_max_equality(last, list(starts.values()))
    waited = sum(starts.values())
    of_last = longest * len(names) + 1
    of_missing = of_last * (longest + 1)
    of_short = of_missing * (1 + sum(claim.count for claim in claims))
    model.minimize(of_short * sum(short) + of_missing * sum(missing) + of_last * last + waited)
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.random_seed = 0
    solver.parameters.max_deterministic_time = BUDGET
    status = solver.solve(model)
    if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        return None
    found = {name: int(solver.value(start)) for name, start in starts.items()}
    return found, status == cp_model.OPTIMAL


def _by_resource(claims: Iterable[Claim]) -> dict[Resource, list[Claim]]:
    found: dict[Resource, list[Claim]] = defaultdict(list)
    for claim in claims:
        found[claim.resource].append(claim)
    return found


def _by_athlete(held: Iterable[Claim]) -> list[list[Claim]]:
    found: dict[str, list[Claim]] = defaultdict(list)
    for claim in held:
        found[claim.athlete].append(claim)
    return list(found.values())


def _most_at_once(own: list[Claim]) -> int:
    """Return the most that one athlete holds at one time, whenever the session begins."""
    return max(sum(each.count for each in own if each.start_s <= begun.start_s < each.end_s) for begun in own)
