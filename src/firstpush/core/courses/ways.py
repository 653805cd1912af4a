"""The ways of each leg that a chair can take: belts smoothed until the swept floor keeps the margin to every cone."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from firstpush.core.courses.chair_outline import ChairOutline
from firstpush.core.courses.clearance import Poses, cone_clearances
from firstpush.core.courses.course import MARGIN, Array, Cone, Course, Leg, Place
from firstpush.core.courses.smooth import Track, smoothed, track_of
from firstpush.core.courses.way import TooCloseError, lay_belt

BOXES = (0.43, 0.8, 1.2, 1.6, 2.0, 2.5)
"""Lengths of the box that smooths a way [m]; the first one hugs the cones."""
TIGHT_BOXES = BOXES[:2]
"""Those of a course that a wide line would take the sense out of."""
EVERY = 2
"""Speeds are reckoned at each second point of a smoothed way: the change of curvature between all of them is noise."""
NEAR_ENOUGH = 0.002
"""By how much the room to a cone may stay below what is asked [m]."""
_ROUNDS = 8


@dataclass(frozen=True, kw_only=True)
class Candidate:
    """One smoothed way of a leg: clear of all cones, or as near to it as it came.

    Parameters
    ----------
    box : float
        Length it was smoothed with [m]; 0 for a straight way.
    fine, track : Track
        With all points, and with those that speeds are reckoned at.
    passing : tuple of float
        How far along each cone is passed [m].
    short : float
        By how much the nearest cone is nearer than asked [m]; 0 when clear.
    """

    box: float
    fine: Track
    track: Track
    passing: tuple[float, ...]
    short: float


def candidates(
    course: Course, outline: ChairOutline, *, margin: float = MARGIN.value, boxes: Sequence[float] | None = None
) -> tuple[tuple[Candidate, ...], ...]:
    """Return the smoothed ways of every leg, those that are clear of all cones, tightest first.

    Parameters
    ----------
    course : Course
    outline : ChairOutline
    margin : float
        Room asked between chair and every cone [m].
    boxes : sequence of float or None
        Lengths to smooth with [m]; None takes what suits the course.

    Returns
    -------
    tuple of tuple of Candidate
        Where none of a leg's ways is clear, the one that comes nearest to it.

    Raises
    ------
    TooCloseError
        Where no way fits between two cones.
    """
    boxes = boxes or (TIGHT_BOXES if course.tight else BOXES)
    found = []
    start = course.start
    for leg in course.legs:
        found.append(_of_leg(course, outline, start=start, leg=leg, margin=margin, boxes=boxes))
        start = leg.to
    return tuple(found)


def _of_leg(
    course: Course, outline: ChairOutline, *, start: Place, leg: Leg, margin: float, boxes: Sequence[float]
) -> tuple[Candidate, ...]:
    radii = {cone.name: outline.width / 2.0 + cone.radius + margin for cone in course.cones}
    found: list[Candidate] = []
    nearest: Candidate | None = None
    for box in boxes:
        # A longer box cuts corners more: what the shorter one needed is where it begins.
        try:
            found_, radii = _inflated(course, outline, start, leg, radii, margin=margin, box=box)
        except TooCloseError:
            if not found and nearest is None:
                raise
            break
        if nearest is None or found_.short < nearest.short:
            nearest = found_
        if found_.short <= NEAR_ENOUGH:
            found.append(found_)
        if found_.box == 0.0:
            break
    assert nearest is not None, "there is at least one box"
    return tuple(found) or (nearest,)


def _inflated(
    course: Course,
    outline: ChairOutline,
    start: Place,
    leg: Leg,
    radii: dict[str, float],
    *,
    margin: float,
    box: float,
) -> tuple[Candidate, dict[str, float]]:
    """Return a way smoothed with `box` round circles made larger until the swept floor is clear, and their radii."""
    best: Candidate | None = None
    kept = radii
    for _ in range(_ROUNDS):
        try:
            belt = lay_belt(course, start=start, leg=leg, radii=radii)
        except TooCloseError:
            if best is None:
                raise
            break
        step = float(np.hypot(*(belt.points[1] - belt.points[0])))
        points = belt.points if belt.straight else smoothed(belt.points, box=box, step=step)
        fine = track_of(points)
        poses = rolled(fine, leg)
        room = cone_clearances(poses, outline, course.cones)
        missing = np.where(_same_way_round(belt.points, points, course), margin - room, margin + outline.width / 2.0)
        short = max(0.0, float(missing.max())) if len(room) else 0.0
        if best is None or short < best.short:
            best = Candidate(
                box=0.0 if belt.straight else box,
                fine=fine,
                track=track_of(points, every=EVERY),
                passing=tuple(float(fine.along[each]) for each in belt.passing),
                short=short,
            )
            kept = radii
        if short <= NEAR_ENOUGH or belt.straight:
            break
        radii = {
            cone.name: radii[cone.name] + max(0.0, float(lack) + 0.0005)
            for cone, lack in zip(course.cones, missing, strict=True)
        }
    assert best is not None, "the first round either raises or finds a way"
    return best, kept


def _same_way_round(belt: Array, points: Array, course: Course) -> NDArray[np.bool_]:
    """Return for each cone whether both ways turn about it alike: smoothing must not draw the line over a cone."""
    return np.array([abs(_swept_about(belt, cone) - _swept_about(points, cone)) < 1.0 for cone in course.cones])


def _swept_about(points: Array, cone: Cone) -> float:
    """Return the angle that points turn through, seen from a cone [rad]."""
    sight = (points[:, 0] - cone.x) + 1j * (points[:, 1] - cone.y)
    return float(np.angle(sight[1:] * sight[:-1].conj()).sum())


def rolled(track: Track, leg: Leg) -> Poses:
    """Return the poses of a chair along a track: facing backwards where it is pulled."""
    return Poses(x=track.x, y=track.y, heading=track.direction + (math.pi if leg.backward else 0.0))
