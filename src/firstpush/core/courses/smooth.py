"""A way that wheels can follow: the points of a belt, smoothed by two box filters, and what it asks of a chair.

Filtering positions twice gives a curvature without jumps; filtering curvature instead would not end at the finish.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from firstpush.core.courses.course import Array


@dataclass(frozen=True, kw_only=True)
class Track:
    """Where the middle of the rear axle goes: (n,) each.

    Parameters
    ----------
    x, y : array
        Places [m].
    along : array
        Distance from the start [m].
    direction : array
        Of travel, without jumps [rad].
    curvature : array
        Change of direction per length, positive to the left [1/m].
    """

    x: Array
    y: Array
    along: Array
    direction: Array
    curvature: Array

    @property
    def length(self) -> float:
        """From start to finish [m]."""
        return float(self.along[-1])

    @property
    def turned_left(self) -> float:
        """Sum of all turning to the left [rad]."""
        return float(np.clip(np.diff(self.direction), 0.0, None).sum())

    @property
    def turned_right(self) -> float:
        """Sum of all turning to the right [rad]."""
        return float(np.clip(-np.diff(self.direction), 0.0, None).sum())


def smoothed(points: Array, *, box: float, step: float) -> Array:
    """Return points filtered twice by a box.

    Parameters
    ----------
    points : array (n, 2)
        Evenly spaced [m].
    box : float
        Length of the box [m]; a way shorter than it is filtered by a box as long as itself.
    step : float
        Between two points [m].

    Returns
    -------
    array (n, 2)
        Begins and ends where `points` do: both ends are continued by their reflection in the end point.
    """
    half = min(round(box / step / 2.0), (len(points) - 1) // 2)
    if half < 1:
        return points
    reach = 2 * half
    before = 2.0 * points[0] - points[reach:0:-1]
    after = 2.0 * points[-1] - points[-2 : -reach - 2 : -1]
    run = np.concatenate([before, points, after])
    for _ in range(2):
        run = _boxed(run, half)
    # Rounding aside these are the ends already.
    run[0], run[-1] = points[0], points[-1]
    return run


def _boxed(run: Array, half: int) -> Array:
    """Return the means over 2 half + 1 neighbours; shorter by 2 half points."""
    width = 2 * half + 1
    sums = np.concatenate([np.zeros((1, 2)), np.cumsum(run - run[0], axis=0)])
    return np.asarray((sums[width:] - sums[:-width]) / width + run[0])


def track_of(points: Array, *, every: int = 1) -> Track:
    """Return the track through `points`, or through each `every`-th of them and the last.

    Direction at a point is that of the chord between its neighbours, curvature the turn between the two sides that meet
    there over their mean length; at both ends the neighbour's curvature counts.
    """
    if every > 1:
        points = points[np.unique(np.append(np.arange(0, len(points), every), len(points) - 1))]
    sides = np.diff(points, axis=0)
    lengths = np.hypot(sides[:, 0], sides[:, 1])
    way = np.unwrap(np.arctan2(sides[:, 1], sides[:, 0]))
    curvature = np.empty(len(points))
    curvature[1:-1] = np.diff(way) / (0.5 * (lengths[1:] + lengths[:-1]))
    curvature[0], curvature[-1] = curvature[1], curvature[-2]
    direction = np.empty(len(points))
    direction[1:-1] = way[:-1] + 0.5 * np.diff(way)
    direction[0] = way[0] - 0.5 * curvature[0] * lengths[0]
    direction[-1] = way[-1] + 0.5 * curvature[-1] * lengths[-1]
    return Track(
        x=points[:, 0],
        y=points[:, 1],
        along=np.concatenate([[0.0], np.cumsum(lengths)]),
        direction=direction,
        curvature=curvature,
    )
