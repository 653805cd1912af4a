"""The floor a chair covers, seen from above: a convex polygon about the middle of its rear axle."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np

from firstpush.core.courses.course import Array
from firstpush.core.errors import OutOfRangeError
from firstpush.core.measured import Measured
from firstpush.core.people.athlete import Chair
from firstpush.core.people.chair_presets import track_at_floor

FOOTPLATE_HALF_WIDTH = Measured(
    name="half the width over the feet", value=0.16, unit="m", spread=0.03, source="two shoes", known="our choice"
)
_CORNERS_DEG = (15.0, 45.0, 75.0, 105.0, 135.0, 165.0)
"""Where the polygon about a wheel has its corners: its sides touch the tyre every 30 degrees, from outside."""


@dataclass(frozen=True, kw_only=True)
class ChairOutline:
    """What a chair covers of the floor, in its own frame: x forward from the middle of the rear axle, y left [m].

    Parameters
    ----------
    name : str
        Whose chair, as it is named when it decides a spacing.
    polygon : array (n, 2)
        Corners of the convex hull, anticlockwise.
    width, track : float
        Overall width at the floor, and between the rear contacts [m].
    front, back : float
        How far it reaches before and behind the axle [m].
    """

    name: str
    polygon: Array
    width: float
    track: float
    front: float
    back: float

    @property
    def length(self) -> float:
        """From the foremost to the rearmost point [m]."""
        return self.front + self.back

    @property
    def swing(self) -> float:
        """Radius of the circle that a turn on the spot sweeps [m]."""
        return float(np.hypot(self.polygon[:, 0], self.polygon[:, 1]).max())

    def reach_outside(self, radius: float) -> float:
        """Return how far from the middle of a circle the chair reaches while its axle goes round on `radius` [m]."""
        return float(np.hypot(self.polygon[:, 0], np.abs(self.polygon[:, 1]) + radius).max())


def outline_of(chair: Chair, *, name: str = "") -> ChairOutline:
    """Return the floor that `chair` covers.

    Parameters
    ----------
    chair : Chair
        Overall width is that at the floor.
    name : str
        Whose it is; empty takes the chair's own name.

    Returns
    -------
    ChairOutline
        Each cambered wheel from above is an ellipse, wheel radius long and radius × sin(camber) deep, standing out to
        the overall width; guards and rims ride on the same shape.  Casters lie inside the hull.

    Raises
    ------
    OutOfRangeError
        For sizes that no chair has.

    Notes
    -----
    Holds for rigid chairs with two large wheels on one axle, which is also the line about which they turn.
    """
    for word, value in (("width", chair.overall_width), ("length", chair.overall_length)):
        if not 0.3 <= value <= 2.0:
            raise OutOfRangeError(
                f"a chair of {value:g} m {word} cannot be placed on a course; allowed is 0.3 to 2 m; measure it again."
            )
    radius = chair.wheel_diameter / 2.0
    depth = radius * math.sin(chair.camber)
    inner = chair.overall_width / 2.0 - depth
    front = max(chair.footplate_reach, chair.overall_length - radius)
    stretch = 1.0 / math.cos(math.radians(15.0))
    half = [(front, FOOTPLATE_HALF_WIDTH.value)]
    for corner in _CORNERS_DEG:
        angle = math.radians(corner)
        half.append((radius * stretch * math.cos(angle), inner + depth * stretch * math.sin(angle)))
    points = np.array(half + [(x, -y) for x, y in half])
    track = track_at_floor(hub_width=chair.hub_width, wheel_diameter=chair.wheel_diameter, camber=chair.camber)
    return ChairOutline(
        name=name or chair.name,
        polygon=hull(points),
        width=chair.overall_width,
        track=min(track, chair.overall_width),
        front=front,
        back=radius,
    )


def widest(outlines: Iterable[ChairOutline]) -> ChairOutline:
    """Return the widest of several chairs, the longest among equally wide ones."""
    return max(outlines, key=lambda each: (each.width, each.length))


def covering(outlines: Sequence[ChairOutline]) -> ChairOutline:
    """Return the outline that covers several chairs: where they all start and stop, none stands too near to a cone."""
    return ChairOutline(
        name=", ".join(each.name for each in outlines),
        polygon=hull(np.concatenate([each.polygon for each in outlines])),
        width=max(each.width for each in outlines),
        track=max(each.track for each in outlines),
        front=max(each.front for each in outlines),
        back=max(each.back for each in outlines),
    )


def hull(points: Array) -> Array:
    """Return the corners of the convex hull of `points` (n, 2), anticlockwise, by Andrew's monotone chain."""
    rows = sorted({(float(x), float(y)) for x, y in points})

    def chain(ordered: Iterable[tuple[float, float]]) -> list[tuple[float, float]]:
        kept: list[tuple[float, float]] = []
        for point in ordered:
            while len(kept) > 1 and _turn(kept[-2], kept[-1], point) <= 1e-12:
                kept.pop()
            kept.append(point)
        return kept[:-1]

    return np.array(chain(rows) + chain(reversed(rows)))


def _turn(a: tuple[float, float], b: tuple[float, float], c: tuple[float, float]) -> float:
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])
