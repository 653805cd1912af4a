"""The page of a course plan: its scale, where on the paper a place lies, and which lengths are dimensioned."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Literal

import numpy as np

from firstpush.core.body.rotations import Array
from firstpush.core.courses import Area, Cone, Course, Extent, OnFloor, Place
from firstpush.core.courses.course import between
from firstpush.core.errors import OutOfRangeError

SCALES = (20, 25, 50, 100, 150, 200, 250, 300)
"""1:20 to 1:300: scales that rulers and tables of a drawing office know."""
SAME_ROW = 0.02
"""Places nearer than this to one line stand in one row [m]."""
BESIDE_ROW = 1.5
"""Starts and stops nearer than this to a row of marks are those that the marks are for [m]."""
MOST_CHORDS = 8

Way = Literal["across", "up"]
Box = tuple[float, float, float, float]
"""Left, top, right and bottom on the paper [mm]."""


@dataclass(frozen=True, kw_only=True)
class Page:
    """Paper on which floor is drawn: `scale` 50 for 1:50; `left` and `top` where the floor's (0, 0) lies [mm]."""

    scale: float
    width: float
    height: float
    left: float
    top: float

    @property
    def per_metre(self) -> float:
        """Millimetres of paper for a metre of floor."""
        return 1000.0 / self.scale

    def at(self, x: float, y: float) -> tuple[float, float]:
        """Return where a place of the floor [m] lies on the paper [mm]; up the floor is up the paper."""
        return self.left + self.per_metre * x, self.top - self.per_metre * y

    def points(self, x: Array, y: Array) -> Array:
        """Return places of the floor on the paper, (n, 2) [mm]."""
        return np.stack([self.left + self.per_metre * x, self.top - self.per_metre * y], axis=-1)

    def box(self, extent: Extent) -> tuple[float, float, float, float]:
        """Return left, top, right and bottom on the paper of a rectangle of floor [mm]."""
        (left, bottom), (right, top) = self.at(extent.left, extent.low), self.at(extent.right, extent.high)
        return left, top, right, bottom


@dataclass(frozen=True, kw_only=True)
class Row:
    """A row of points that a chain of dimensions measures.

    Parameters
    ----------
    way : str
        "across": from left to right; "up": from low to high.
    level : float
        Where the row lies: its y, or its x [m].
    stations : tuple of float
        Where along it the points stand, rising [m].
    before : bool
        Whether the chain stands on the low or left side of the course.
    """

    way: Way
    level: float
    stations: tuple[float, ...]
    before: bool

    @property
    def gaps(self) -> tuple[float, ...]:
        """From each point to the next [m]."""
        return tuple(two - one for one, two in pairwise(self.stations))


@dataclass(frozen=True, kw_only=True)
class Chains:
    """Every length that is dimensioned: rows of cones, a row of starts and stops, and pairs that stand in no row."""

    rows: tuple[Row, ...]
    chords: tuple[tuple[Place, Place], ...]


def extent_of(area: Area, *, first: Area) -> Extent:
    """Return where an area lies in the frame of the first one: about the same middle."""
    x, y = first.length / 2.0, first.width / 2.0
    return Extent(
        left=x - area.length / 2.0, right=x + area.length / 2.0, low=y - area.width / 2.0, high=y + area.width / 2.0
    )


def shown_extent(on_floor: OnFloor) -> Extent:
    """Return the rectangle of floor that a plan must show: what is swept, and all cones."""
    size, cones = on_floor.line.extent, on_floor.line.course.cones
    return Extent(
        left=min([size.left, *(cone.x - cone.radius for cone in cones)]),
        right=max([size.right, *(cone.x + cone.radius for cone in cones)]),
        low=min([size.low, *(cone.y - cone.radius for cone in cones)]),
        high=max([size.high, *(cone.y + cone.radius for cone in cones)]),
    )


def scale_for(extent: Extent, *, width_mm: float, height_mm: float) -> int:
    """Return the largest of `SCALES` at which a rectangle of floor fits on paper.

    Parameters
    ----------
    extent : Extent
        What must be seen [m].
    width_mm, height_mm : float
        Paper that is free for it [mm].

    Raises
    ------
    OutOfRangeError
        Where it is too large for 1:300.

    Examples
    --------
    >>> scale_for(Extent(left=0, right=8.1, low=0, high=5.8), width_mm=186, height_mm=128)
    50
    """
    for scale in SCALES:
        if 1000.0 * extent.width <= scale * width_mm and 1000.0 * extent.depth <= scale * height_mm:
            return scale
    raise OutOfRangeError(
        f"a course of {extent.width:.1f} by {extent.depth:.1f} m cannot be drawn on {width_mm:.0f} by"
        f" {height_mm:.0f} mm of paper; allowed is up to 1:{SCALES[-1]}; use fewer cones or a smaller spacing."
    )


def _rests(stops: Sequence[Place], way: Way, level: float, *, within: float) -> tuple[float, ...]:
    """Return where starts and stops lie along a row of cones, as far as they are no farther from it than `within`."""
    return _distinct([_along(each, way) for each in stops if abs(_across(each, way) - level) < within])


def _alike(ones: Sequence[float], others: Sequence[float]) -> bool:
    """Return whether two rows have the same gaps: one line of lengths says both."""
    gaps, other_gaps = np.diff(ones), np.diff(_distinct(list(others)))
    return len(gaps) == len(other_gaps) and bool(np.allclose(gaps, other_gaps, atol=SAME_ROW))


def chains_of(course: Course) -> Chains:
    """Return which lengths of a course are dimensioned.

    Returns
    -------
    Chains
        The longest row of cones across and the one up, those at the edge before those in the middle; starts and stops
        that lie in a row; and for cones in no row the distance to the next one of the list.
    """
    cones = list(course.cones)
    size = _bounds([*cones, course.start])
    rows: list[Row] = []
    measured: set[str] = set()
    at: dict[Way, tuple[float, ...]] = {"across": (), "up": ()}
    stops = [course.start, *(leg.to for leg in course.legs)]
    ways: tuple[Way, ...] = ("across", "up")
    for way in ways:
        found = _longest_row(cones, way, size)
        if found is None:
            continue
        level, names = found
        measured |= set(names)
        low, high = (size.low, size.high) if way == "across" else (size.left, size.right)
        before = level - low <= high - level
        standing = [_along(cone, way) for cone in cones if cone.name in names]
        at[way] = _distinct(standing)
        resting = _rests(stops, way, level, within=SAME_ROW)
        # Marks may stand beside the way: what is driven lies next to their row.
        beside = _rests(stops, way, level, within=BESIDE_ROW) if len(resting) < 2 else ()
        resting = beside if len(beside) > 1 and not _alike(beside, standing) else resting
        resting = tuple(each for each in resting if all(abs(each - other) > SAME_ROW for other in standing))
        if len(resting) < 2 or _outside(resting, standing):
            rows.append(Row(way=way, level=level, stations=_distinct([*resting, *standing]), before=before))
        else:
            rows.append(Row(way=way, level=level, stations=resting, before=before))
            rows.append(Row(way=way, level=level, stations=_distinct(standing), before=before))
    # A cone where a measured column meets a measured row needs no length of its own.
    for cone in cones:
        if all(any(abs(_along(cone, way) - each) < SAME_ROW for each in at[way]) for way in ways):
            measured.add(cone.name)
    return Chains(rows=tuple(rows), chords=_chords(course, measured))


def _outside(resting: tuple[float, ...], standing: list[float]) -> bool:
    """Whether starts and stops lie outside all cones of a row, so that one chain measures them all."""
    return all(each < min(standing) or each > max(standing) for each in resting)


def _chords(course: Course, measured: set[str]) -> tuple[tuple[Place, Place], ...]:
    """Return pairs of neighbours that no row measures; one pair where the cones stand on a regular arc."""
    found = []
    for one, two in pairwise(course.cones):
        if one.name not in measured or two.name not in measured:
            found.append((one, two))
    lengths = {round(between(*pair), 2) for pair in found[1:-1]}
    if len(found) > 2 and len(lengths) == 1:
        alike = [pair for pair in found if round(between(*pair), 2) in lengths]
        return (alike[0],)
    return tuple(found[:MOST_CHORDS])


def _longest_row(cones: Sequence[Cone], way: Way, size: Extent) -> tuple[float, list[str]] | None:
    low, high = (size.low, size.high) if way == "across" else (size.left, size.right)
    best: tuple[tuple[float, ...], float, list[str]] | None = None
    for cone in cones:
        level = _across(cone, way)
        names = [each.name for each in cones if abs(_across(each, way) - level) < SAME_ROW]
        rank = (float(len(names)), -min(level - low, high - level))
        if len(names) > 1 and (best is None or rank > best[0]):
            best = (rank, level, names)
    return None if best is None else (best[1], best[2])


def _along(place: Place, way: Way) -> float:
    return place.x if way == "across" else place.y


def _across(place: Place, way: Way) -> float:
    return place.y if way == "across" else place.x


def _distinct(values: list[float]) -> tuple[float, ...]:
    found: list[float] = []
    for value in sorted(values):
        if not found or value - found[-1] > SAME_ROW:
            found.append(value)
    return tuple(found)


def _bounds(places: Sequence[Place]) -> Extent:
    xs, ys = [each.x for each in places], [each.y for each in places]
    return Extent(left=min(xs), right=max(xs), low=min(ys), high=max(ys))
