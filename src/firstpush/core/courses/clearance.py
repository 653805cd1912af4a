"""How near a moving chair comes to cones, walls and lines: the distance to its outline, pose by pose."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from firstpush.core.courses.chair_outline import ChairOutline
from firstpush.core.courses.course import Array, Cone


@dataclass(frozen=True, kw_only=True)
class Poses:
    """Where the rear axle is and where the chair faces, one after the other: (n,) each [m, m, rad]."""

    x: Array
    y: Array
    heading: Array

    @staticmethod
    def joined(parts: Sequence[Poses]) -> Poses:
        """Return several runs of poses as one."""
        return Poses(
            x=np.concatenate([part.x for part in parts]),
            y=np.concatenate([part.y for part in parts]),
            heading=np.concatenate([part.heading for part in parts]),
        )


@dataclass(frozen=True, kw_only=True)
class Extent:
    """The smallest upright rectangle round all floor that is swept [m]."""

    left: float
    right: float
    low: float
    high: float

    @property
    def width(self) -> float:
        """Left to right [m]."""
        return self.right - self.left

    @property
    def depth(self) -> float:
        """Low to high [m]."""
        return self.high - self.low


def to_polygon(polygon: Array, points: Array) -> Array:
    """Return the signed distance of points to a convex polygon, negative inside.

    Parameters
    ----------
    polygon : array (m, 2)
        Corners, anticlockwise [m].
    points : array (..., 2)
        In the frame of the polygon [m].

    Returns
    -------
    array (...)
        Outside: distance to the nearest point of the edge; inside: minus the distance to the nearest side [m].
    """
    ends = np.roll(polygon, -1, axis=0) - polygon
    lengths = np.hypot(ends[:, 0], ends[:, 1])
    along = ends / lengths[:, None]
    px = points[..., 0, None] - polygon[:, 0]
    py = points[..., 1, None] - polygon[:, 1]
    outward = px * along[:, 1] - py * along[:, 0]
    forward = px * along[:, 0] + py * along[:, 1]
    past = forward - np.clip(forward, 0.0, lengths)
    deepest = outward.max(axis=-1)
    nearest = np.sqrt((outward * outward + past * past).min(axis=-1))
    return np.asarray(np.where(deepest <= 0.0, deepest, nearest))


def cone_clearances(poses: Poses, outline: ChairOutline, cones: Sequence[Cone]) -> Array:
    """Return how near the chair comes to each cone over all poses.

    Parameters
    ----------
    poses : Poses
        2 to 3 cm apart, 2 degrees in turns: what is missed between two of them is below 1 mm at the margins asked for.
    outline : ChairOutline
    cones : sequence of Cone

    Returns
    -------
    array (cones,)
        From outline to the edge of the cone, negative where the cone would be hit [m].
    """
    found = np.empty(len(cones))
    for i, cone in enumerate(cones):
        dx, dy = cone.x - poses.x, cone.y - poses.y
        apart = np.hypot(dx, dy)
        # The outline reaches no farther than its swing: from poses beyond that no cone is nearest.
        near = apart <= apart.min() + outline.swing
        c, s = np.cos(poses.heading[near]), np.sin(poses.heading[near])
        x, y = dx[near], dy[near]
        in_chair = np.stack([c * x + s * y, c * y - s * x], axis=-1)
        found[i] = to_polygon(outline.polygon, in_chair).min() - cone.radius
    return found


def corners_swept(poses: Poses, outline: ChairOutline) -> Array:
    """Return all corners of the chair over all poses, (poses, corners, 2) [m]."""
    c, s = np.cos(poses.heading)[:, None], np.sin(poses.heading)[:, None]
    x, y = outline.polygon[:, 0], outline.polygon[:, 1]
    return np.stack([poses.x[:, None] + c * x - s * y, poses.y[:, None] + s * x + c * y], axis=-1)


def extent(poses: Poses, outline: ChairOutline) -> Extent:
    """Return the rectangle round all floor that the chair sweeps."""
    corners = corners_swept(poses, outline)
    return Extent(
        left=float(corners[..., 0].min()),
        right=float(corners[..., 0].max()),
        low=float(corners[..., 1].min()),
        high=float(corners[..., 1].max()),
    )
