"""What an exercise needs of the place and is not known of it: room on the floor, and somebody who helps."""

from __future__ import annotations

from collections.abc import Iterable

from firstpush.core.exercises.definition import Exercise
from firstpush.core.kit.venue import Venue
from firstpush.core.notices import Notice

FLOOR_UNKNOWN = "floor-unknown"
HELPER_UNKNOWN = "helper-unknown"
BEFORE_START = frozenset({FLOOR_UNKNOWN, HELPER_UNKNOWN})
"""Ids of what is looked at, or asked, before the start; a session's sheet says it there once."""


def place_notices(exercise: Exercise, venue: Venue) -> list[Notice]:
    """Return what is not known of `venue` that `exercise` needs."""
    needs, found = exercise.needs, []
    asked = ((needs.floor_length, venue.floor_length), (needs.floor_width, venue.floor_width))
    if any(need and has is None for need, has in asked):
        found.append(_floor(needs.floor_length, needs.floor_width, about=exercise.title))
    if exercise.contact == "partner" and venue.helpers is None:
        found.append(_helper(about=exercise.title))
    return found


def place_notices_together(exercises: Iterable[tuple[Exercise, Iterable[Notice]]]) -> tuple[Notice, ...]:
    """Return what a session asks of the place, once: the largest floor that one of its exercises needs.

    Parameters
    ----------
    exercises : iterable of (Exercise, iterable of Notice)
        With what is told of each.
    """
    told = [(exercise, {notice.id for notice in notices}) for exercise, notices in exercises]
    floors = [exercise.needs for exercise, ids in told if FLOOR_UNKNOWN in ids]
    found = []
    if floors:
        found.append(_floor(max(each.floor_length for each in floors), max(each.floor_width for each in floors)))
    if any(HELPER_UNKNOWN in ids for _, ids in told):
        found.append(_helper())
    return tuple(found)


def _floor(length: float, width: float, *, about: str = "") -> Notice:
    return Notice(
        id=FLOOR_UNKNOWN,
        level="caution",
        what=f"not known whether {length:g} × {width:g} m of floor are free",
        do="Look before the start",
        about=about,
    )


def _helper(*, about: str = "") -> Notice:
    return Notice(
        id=HELPER_UNKNOWN,
        level="caution",
        what="not known whether somebody is there who can help",
        do="Ask who can be the partner",
        about=about,
    )
