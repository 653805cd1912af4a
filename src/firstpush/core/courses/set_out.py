"""How to set out a course with two tapes: each point by its distances from the widest pair of cones, and its side."""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import combinations
from typing import Literal

from firstpush.core.courses.course import Course, CourseError, Place, between

FULL_ORDER = 4
SAME_POINT = 0.005
"""Points nearer than this are one [m]: no tape tells them apart."""
ON_THE_LINE = 0.03
"""A point nearer than this to the straight line between both cones lies on it [m]."""


@dataclass(frozen=True, kw_only=True)
class Row:
    """One point, a cone or a place where the axle stands.

    Its distances are from both ends of the base [m], and its side is seen from the first end.

    `along` is how far along the base it lies [m]: what is measured where two tapes cross too flatly.
    """

    name: str
    from_first: float
    from_second: float
    along: float
    side: Literal["left", "right", "on the line"]


@dataclass(frozen=True, kw_only=True)
class SetOut:
    """The base, laid first, and every other point from it; lengths in m."""

    first: str
    second: str
    base: float
    rows: tuple[Row, ...]


def set_out(course: Course, *, with_ends: bool = True) -> SetOut:
    """Return the two-tape table of a course.

    Parameters
    ----------
    course : Course
    with_ends : bool
        Whether start, stops and finish, where the axle stands, have rows too.

    Raises
    ------
    CourseError
        With fewer than two cones: there is no base.

    Notes
    -----
    The base is the widest pair, the first of equally wide ones: a long base makes the tapes cross at a good angle.
    """
    if len(course.cones) < 2:
        raise CourseError(
            f"{course.name} with {len(course.cones)} cone has no base to measure from; two cones or more are needed;"
            " set it out from a corner of the court."
        )
    pairs = list(combinations(course.cones, 2))
    widest = max(between(a, b) for a, b in pairs)
    first, second = next(pair for pair in pairs if between(*pair) > widest - 0.005)
    others: list[tuple[str, Place]] = [(c.name, c) for c in course.cones if c.name not in (first.name, second.name)]
    if with_ends:
        same = between(course.start, course.finish) < SAME_POINT
        others.append(("start and finish" if same else "start", course.start))
        others += stops_of(course)
        if not same:
            others.append(("finish", course.finish))
    return SetOut(
        first=first.name,
        second=second.name,
        base=between(first, second),
        rows=tuple(_row(name, place, first, second) for name, place in others),
    )


def stops_of(course: Course) -> tuple[tuple[str, Place], ...]:
    """Return where the axle stands between start and finish, each place once, by its name: "1st, 3rd stop".

    Where a pull backwards ends, another push begins: "2nd start".
    """
    found: list[tuple[Place, list[int], list[int]]] = []
    pushed = 0
    for leg in course.legs:
        pushed += 0 if leg.backward else 1
        if min(between(leg.to, course.start), between(leg.to, course.finish)) < SAME_POINT:
            continue
        here = next((each for each in found if between(each[0], leg.to) < SAME_POINT), None)
        if here is None:
            here = (leg.to, [], [])
            found.append(here)
        _, stops, starts = here
        if leg.backward:
            starts.append(pushed + 1)
        else:
            stops.append(pushed)
    return tuple(
        (f"{order_words(stops)} stop" if stops else f"{order_words(starts)} start", place)
        for place, stops, starts in found
    )


def order_words(places: list[int]) -> str:
    """Return when something is passed: "2nd, 4th"; of many the first two and the last.

    Examples
    --------
    >>> order_words([1]), order_words([2, 12, 23])
    ('1st', '2nd, 12th, 23rd')
    >>> order_words([1, 3, 5, 7, 9])
    '1st, 3rd … 9th'
    """
    words = [f"{each}{_ending(each)}" for each in places]
    return ", ".join(words) if len(words) <= FULL_ORDER else f"{words[0]}, {words[1]} … {words[-1]}"


def _ending(place: int) -> str:
    if place % 100 in (11, 12, 13):
        return "th"
    return {1: "st", 2: "nd", 3: "rd"}.get(place % 10, "th")


def _row(name: str, place: Place, first: Place, second: Place) -> Row:
    base = between(first, second)
    ux, uy = (second.x - first.x) / base, (second.y - first.y) / base
    dx, dy = place.x - first.x, place.y - first.y
    along, left = ux * dx + uy * dy, ux * dy - uy * dx
    side: Literal["left", "right", "on the line"] = "left" if left > 0.0 else "right"
    return Row(
        name=name,
        from_first=between(place, first),
        from_second=between(place, second),
        along=along,
        side="on the line" if abs(left) < ON_THE_LINE else side,
    )


def placed(table: SetOut) -> dict[str, tuple[float, float]]:
    """Return where the points of a table come to lie: the first end at (0, 0), the second at (base, 0) [m].

    What two people with tapes do on the floor; it tells whether the table, rounded as printed, gives the course back.
    """
    found = {table.first: (0.0, 0.0), table.second: (table.base, 0.0)}
    for row in table.rows:
        if row.side == "on the line":
            found[row.name] = (row.along, 0.0)
            continue
        x = (row.from_first**2 - row.from_second**2 + table.base**2) / (2.0 * table.base)
        y = math.sqrt(max(row.from_first**2 - x * x, 0.0))
        found[row.name] = (x, y if row.side == "left" else -y)
    return found
