"""Undo and redo over versions that are only ever added: each is a return to an earlier state as a new version."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass


@dataclass(frozen=True, kw_only=True)
class Step:
    """What history needs of a version: its number, what it was changed from, and what it is a return to."""

    number: int
    changed_from: int | None = None
    back_to: int | None = None


def state_of(steps: Sequence[Step]) -> int | None:
    """Return the number of the version whose content the newest one has; None without any version."""
    if not steps:
        return None
    newest = steps[-1]
    return newest.number if newest.back_to is None else newest.back_to


def undone(steps: Sequence[Step]) -> int | None:
    """Return the version that an undo goes back to; None at the first.

    A version that does not say what it was changed from was changed from the state before it.
    """
    return _parents(steps).get(state_of(steps) or 0)


def redone(steps: Sequence[Step]) -> int | None:
    """Return the version that a redo goes to: the newest change made from the present state; None where none is."""
    now = state_of(steps)
    children = [number for number, parent in _parents(steps).items() if parent == now and number != now]
    return max(children, default=None)


def _parents(steps: Sequence[Step]) -> dict[int, int | None]:
    """Return of each version that is no return, what it was changed from."""
    found: dict[int, int | None] = {}
    state: int | None = None
    for step in steps:
        if step.back_to is None:
            found[step.number] = state if step.changed_from is None else step.changed_from
        state = step.number if step.back_to is None else step.back_to
    return found
