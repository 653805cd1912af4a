"""The shortest way round cones: a belt laid round circles, each with a sense of rotation.

A cone on the left hand is a circle gone round anticlockwise (sign +1), one on the right hand clockwise (-1).  Start and
finish are circles of radius 0.  Between two neighbours the belt runs straight along their common tangent.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np

from firstpush.core.courses.course import Array, Cone, Course, CourseError, Leg, Place, between

STEP = 0.025
"""Between two points of a way [m]; small against the shortest box that smooths it."""
_TOUCH = 1e-9
_MOST_ROUNDS = 60
FREEST = 2.0
"""A cone farther than this beside its circle is not passed in a sense an athlete sees: the belt goes to it [m]."""


class TooCloseError(CourseError):
    """Two neighbours of a way leave no room for a line between them; `needed` is the distance that would [m]."""

    def __init__(self, message: str, *, needed: float, has: float) -> None:
        self.needed = needed
        self.has = has
        super().__init__(message)


@dataclass(frozen=True, kw_only=True)
class Circle:
    """One circle of the belt: sign +1 gone round anticlockwise, -1 clockwise.

    Parameters
    ----------
    passed : int or None
        Its number among the passes; None for a cone that only stands in the way, -1 for start and finish.
    out : bool
        Whether the straight line between its neighbours passes it as asked, so that the belt does not touch it.
    stays : bool
        Whether it was left out once in vain.
    """

    x: float
    y: float
    radius: float
    sign: float
    name: str
    passed: int | None = -1
    out: bool = False
    stays: bool = False

    @property
    def signed(self) -> float:
        """Radius with the sign of its sense [m]."""
        return self.sign * self.radius


@dataclass(frozen=True, kw_only=True)
class Belt:
    """A way of lines and arcs as points [m], `STEP` apart or a little less.

    Parameters
    ----------
    points : array (n, 2)
        From start to finish.
    passing : tuple of int
        For each pass, the number of the point where the cone is passed.
    straight : bool
        Whether there is no arc in it.
    """

    points: Array
    passing: tuple[int, ...]
    straight: bool


def lay_belt(course: Course, *, start: Place, leg: Leg, radii: Mapping[str, float]) -> Belt:
    """Return the belt of one leg.

    Parameters
    ----------
    course : Course
        Gives the cones; those that are not passed are gone round on the nearer side where they stand in the way.
    start : Place
        Where the leg begins.
    leg : Leg
    radii : mapping of cone name to float
        How far the middle of the axle keeps from the middle of each cone [m].

    Returns
    -------
    Belt

    Raises
    ------
    TooCloseError
        For neighbours whose circles overlap: no line passes between them.

    Notes
    -----
    A cone is left out where the straight line past it keeps the hand and the distance asked, in the order asked, and
    not farther away than `FREEST`; otherwise the belt goes all the way round it.
    """
    circles = [_point(start, "start")]
    for number, each in enumerate(leg.passes):
        circles.append(_circle(course.cone(each.cone), radii, 1.0 if each.hand == "left" else -1.0, number))
    circles.append(_point(leg.to, "finish" if leg is course.legs[-1] else "stop"))
    for _ in range(_MOST_ROUNDS):
        changed = _reinstated(circles) or _one_left_out(circles) or _with_detour(circles, course.cones, radii)
        if changed is None:
            break
        circles = changed
    return _points(circles, passes=len(leg.passes))


def _point(place: Place, name: str) -> Circle:
    return Circle(x=place.x, y=place.y, radius=0.0, sign=1.0, name=name)


def _circle(cone: Cone, radii: Mapping[str, float], sign: float, passed: int | None) -> Circle:
    return Circle(x=cone.x, y=cone.y, radius=radii[cone.name], sign=sign, name=cone.name, passed=passed)


@dataclass(frozen=True, kw_only=True)
class _Tangent:
    """A straight piece: from where, in which direction [rad], how long [m]."""

    x: float
    y: float
    direction: float
    length: float


def _tangent(one: Circle, two: Circle) -> _Tangent:
    dx, dy = two.x - one.x, two.y - one.y
    apart, rise = math.hypot(dx, dy), two.signed - one.signed
    if apart <= abs(rise):
        raise _too_close(one, two, apart=apart, needed=abs(rise))
    direction = math.atan2(dy, dx) - math.asin(rise / apart)
    x = one.x + one.signed * math.sin(direction)
    y = one.y - one.signed * math.cos(direction)
    return _Tangent(x=x, y=y, direction=direction, length=math.sqrt(apart * apart - rise * rise))


def _too_close(one: Circle, two: Circle, *, apart: float, needed: float) -> TooCloseError:
    if one.passed == -1 or two.passed == -1:
        what = f"cone {two.name if one.passed == -1 else one.name} stands {apart:.2f} m from the {one.name}"
        if two.passed == -1:
            what = f"cone {one.name} stands {apart:.2f} m from the {two.name}"
        return TooCloseError(
            f"{what}; this chair needs {needed:.2f} m there; move the {one.name if one.passed == -1 else two.name}.",
            needed=needed,
            has=apart,
        )
    return TooCloseError(
        f"cones {one.name} and {two.name} stand {apart:.2f} m apart; to pass between them this chair needs"
        f" {needed:.2f} m; set them farther apart.",
        needed=needed,
        has=apart,
    )


def _sweep(circle: Circle, into: float, out_of: float) -> float:
    """Return the angle of the arc on `circle`, 0 to below 2π [rad]."""
    sweep = math.fmod(circle.sign * (out_of - into), math.tau)
    sweep += math.tau if sweep < 0.0 else 0.0
    return 0.0 if sweep > math.tau - 1e-7 else sweep


def _offset(x: float, y: float, line: _Tangent) -> tuple[float, float]:
    """Return how far along a line a point lies, and how far to its left [m]."""
    dx, dy = x - line.x, y - line.y
    c, s = math.cos(line.direction), math.sin(line.direction)
    return c * dx + s * dy, c * dy - s * dx


def _touched(circles: Sequence[Circle]) -> list[int]:
    """Return the numbers of the circles that the belt touches."""
    return [i for i, circle in enumerate(circles) if not circle.out]


def _reinstated(circles: list[Circle]) -> list[Circle] | None:
    """Return the circles with one put back that the line no longer passes as asked; None where all are."""
    for before, after in pairwise(_touched(circles)):
        outs = circles[before + 1 : after]
        if outs and not _pass_as_asked(outs, circles[before], circles[after]):
            back = replace(circles[before + 1], out=False, stays=True)
            return [*circles[: before + 1], back, *circles[before + 2 :]]
    return None


def _one_left_out(circles: list[Circle]) -> list[Circle] | None:
    """Return the circles with the largest loop left out that the straight line makes needless; None without one."""
    touched = _touched(circles)
    tangents = [_tangent(circles[a], circles[b]) for a, b in pairwise(touched)]
    loops = []
    for k in range(1, len(touched) - 1):
        before, here, after = touched[k - 1 : k + 2]
        sweep = _sweep(circles[here], tangents[k - 1].direction, tangents[k].direction)
        needless = sweep > math.pi and not circles[here].stays
        if needless and _pass_as_asked(circles[before + 1 : after], circles[before], circles[after]):
            loops.append((sweep, here))
    if not loops:
        return None
    _, gone = max(loops)
    # A cone that only stood in the way and does so no longer is none of the passes.
    kept = [] if circles[gone].passed is None else [replace(circles[gone], out=True)]
    return [*circles[:gone], *kept, *circles[gone + 1 :]]


def _pass_as_asked(outs: Sequence[Circle], before: Circle, after: Circle) -> bool:
    """Whether the line between two circles passes all others between them: in order, on their hand, near enough."""
    try:
        line = _tangent(before, after)
    except TooCloseError:
        return False
    come = 0.0
    for circle in outs:
        along, left = _offset(circle.x, circle.y, line)
        beside = circle.sign * left - circle.radius
        if not (come <= along <= line.length and -_TOUCH <= beside <= FREEST):
            return False
        come = along
    return True


def _with_detour(circles: list[Circle], cones: Sequence[Cone], radii: Mapping[str, float]) -> list[Circle] | None:
    """Return the circles with the cone that stands most in the way of a straight piece put in; None when none does."""
    worst: tuple[float, int, Circle] | None = None
    for before, after in pairwise(_touched(circles)):
        one, two = circles[before], circles[after]
        line = _tangent(one, two)
        ends = [Place(x=each.x, y=each.y) for each in (one, two) if each.radius == 0.0]
        for cone in cones:
            along, left = _offset(cone.x, cone.y, line)
            short = radii[cone.name] - abs(left)
            in_the_way = cone.name not in (one.name, two.name) and 0.0 < along < line.length and short > 1e-6
            # Nearer to start or finish than its circle no belt leads round it: the swept floor will tell.
            if not in_the_way or any(between(cone, end) <= radii[cone.name] for end in ends):
                continue
            if worst is None or short > worst[0]:
                # Behind the cones that are passed on the straight line before it.
                put = before + 1 + sum(_offset(c.x, c.y, line)[0] < along for c in circles[before + 1 : after])
                worst = (short, put, _circle(cone, radii, 1.0 if left >= 0.0 else -1.0, None))
    if worst is None:
        return None
    _, put, detour = worst
    return [*circles[:put], detour, *circles[put:]]


def _points(all_circles: Sequence[Circle], *, passes: int) -> Belt:
    """Return the points of the belt, evenly spaced over all its lines and arcs."""
    touched = _touched(all_circles)
    circles = [all_circles[i] for i in touched]
    tangents = [_tangent(a, b) for a, b in pairwise(circles)]
    sweeps = [0.0] + [
        _sweep(circles[i], tangents[i - 1].direction, tangents[i].direction) for i in range(1, len(circles) - 1)
    ]
    lengths: list[float] = []
    for i, line in enumerate(tangents):
        lengths += [sweeps[i] * circles[i].radius, line.length]
    ends = np.cumsum(lengths)
    total = float(ends[-1])
    number = max(8, math.ceil(total / STEP)) + 1
    s = np.linspace(0.0, total, number)
    piece = np.clip(np.searchsorted(ends, s, side="left"), 0, len(lengths) - 1)
    within = s - (ends[piece] - np.asarray(lengths)[piece])
    points = np.empty((number, 2))
    passing = [0.0] * passes
    for i, line in enumerate(tangents):
        circle = circles[i]
        on_arc, on_line = piece == 2 * i, piece == 2 * i + 1
        if on_arc.any() and circle.radius > 0.0:
            direction = line.direction - circle.sign * (sweeps[i] - within[on_arc] / circle.radius)
            points[on_arc, 0] = circle.x + circle.signed * np.sin(direction)
            points[on_arc, 1] = circle.y - circle.signed * np.cos(direction)
        elif on_arc.any():
            points[on_arc] = (circle.x, circle.y)
        points[on_line, 0] = line.x + within[on_line] * math.cos(line.direction)
        points[on_line, 1] = line.y + within[on_line] * math.sin(line.direction)
        if circle.passed is not None and circle.passed >= 0:
            passing[circle.passed] = float(ends[2 * i] - lengths[2 * i] / 2.0)
        for out in all_circles[touched[i] + 1 : touched[i + 1]]:
            if out.passed is not None:
                passing[out.passed] = float(ends[2 * i]) + _offset(out.x, out.y, line)[0]
    return Belt(
        points=points,
        passing=tuple(round(each / total * (number - 1)) for each in passing),
        straight=max(sweeps) == 0.0,
    )
