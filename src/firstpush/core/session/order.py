"""The order of chosen exercises in which setting up takes least time, by exact search inside each part."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from itertools import groupby

from firstpush.core.session.candidate import Candidate, Chosen
from firstpush.core.session.timing import Timing
from firstpush.core.session.wishes import place_in_order

_Ends = dict[int, tuple[int, tuple[int, ...]]]
"""The last exercise so far, with the seconds of changes and the order that led to it; -1 is start and end."""

LARGEST_EXACT = 9
"""Exercises in one part up to which every order is weighed: 9 · 9 · 2⁹ changes, a few hundredths of a second."""


def canonical(items: Sequence[Chosen]) -> list[Chosen]:
    """Return `items` by part and name, whatever their order was."""
    return sorted(items, key=lambda each: (place_in_order(each.candidate.exercise), each.candidate.id))


def can_be_ordered(items: Sequence[Chosen]) -> bool:
    """Whether every part is small enough for `cheapest_order`."""
    places = [place_in_order(each.candidate.exercise) for each in items]
    return all(places.count(place) <= LARGEST_EXACT for place in places)


def cheapest_order(items: Sequence[Chosen], timing: Timing | None = None) -> tuple[Chosen, ...]:
    """Return `items` in the order of the parts with the least setting up; of equal orders the first by name.

    Source
    ------
    Held and Karp 1962, part by part (from memory): only the last exercise of a part matters to the next part.
    """
    known = canonical(items)
    times = timing if timing is not None else Timing()

    def cost(one: int, two: int) -> int:
        return times.change(_at(known, one), _at(known, two))

    ends: _Ends = {-1: (0, ())}
    groups = groupby(range(len(known)), key=lambda i: place_in_order(known[i].candidate.exercise))
    for _, group in groups:
        ends = _through(list(group), ends, cost)
    _, order = min((seconds + cost(last, -1), order) for last, (seconds, order) in ends.items())
    return tuple(known[i] for i in order)


def _at(known: Sequence[Chosen], index: int) -> Candidate | None:
    return None if index < 0 else known[index].candidate


def _through(group: Sequence[int], ends: _Ends, cost: Callable[[int, int], int]) -> _Ends:
    """Return the best orders after all of `group`, by their last exercise."""
    reached: dict[frozenset[int], _Ends] = {frozenset(): ends}
    for _ in group:
        longer: dict[frozenset[int], _Ends] = {}
        for done, lasts in reached.items():
            for new in group:
                if new not in done:
                    found = min((seconds + cost(last, new), (*order, new)) for last, (seconds, order) in lasts.items())
                    longer.setdefault(done | {new}, {})[new] = found
        reached = longer
    return reached[frozenset(group)]
