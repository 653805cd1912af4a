"""How fast a chair can follow a track: the quickest speed that both wheels and the athlete allow at every place.

The square of the speed, β, is what is reckoned with: along the track its slope is twice the acceleration, so every
limit of a wheel is a straight line in slope and β.  First, from the finish backwards, the largest β at each place from
which the finish can still be reached; then, from the start, as fast as push and that bound allow.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from firstpush.core.courses.course import Array
from firstpush.core.courses.limits import Limits
from firstpush.core.courses.smooth import Track

_EPS = 1e-9
_FAR = 1e6


@dataclass(frozen=True, kw_only=True)
class Profile:
    """Speed along a track: (n,) each.

    Parameters
    ----------
    speed : array
        Of the middle of the axle [m/s].
    time : array
        Since the start of the track [s].
    held_back : array of bool
        Whether the turn holds the speed back there, and not the push or the brake.
    """

    speed: Array
    time: Array
    held_back: NDArray[np.bool_]

    @property
    def duration(self) -> float:
        """From start to finish [s]."""
        return float(self.time[-1])


def profile_of(
    track: Track, limits: Limits, *, wheel_track: float, start_speed: float | None = 0.0, end_speed: float | None = 0.0
) -> Profile:
    """Return the quickest speed along `track`.

    Parameters
    ----------
    track : Track
        Its points at least 1.5 times as far apart as those it was smoothed with: closer, the change of curvature is
        noise.
    limits : Limits
        For this leg: see `Limits.at`.
    wheel_track : float
        Between the rear contacts [m].
    start_speed, end_speed : float or None
        0 from and to standstill; None leaves it free [m/s].

    Returns
    -------
    Profile

    Notes
    -----
    With curvature κ, track b, radius of gyration k and k_I = 2 k²/b, right and left wheel give per half of the mass
    u = s̈ (1 ± k_I κ) ± k_I κ′ β, and −braking ≤ u ≤ push (1 − v (1 ± κ b/2) / maximal speed); the chair turns with
    |κ s̈ + κ′ β| ≤ turning acceleration; β ≤ lateral/|κ| and (turning rate/κ)².
    """
    steps = np.diff(track.along)
    curvature, change = _between(track)
    ceiling = _ceiling(track.curvature, limits)
    lower = _lower_lines(curvature, change, limits, wheel_track)
    upper = _upper_curves(curvature, change, limits, wheel_track)
    ceiling = np.minimum(ceiling, _most_beta(lower, upper, len(ceiling)))
    on_a_line = np.where(np.abs(curvature) < _EPS, np.abs(change), 0.0)
    ceiling = np.minimum(ceiling, limits.turning_acceleration / np.maximum(on_a_line, 1e-6))
    most = _reachable(ceiling, lower, steps, end=end_speed)
    first = math.inf if start_speed is None else start_speed * start_speed
    beta = _greedy(most, upper, steps, first=first)
    held = (beta >= 0.98 * ceiling) & (ceiling < 0.95 * limits.maximal_speed**2)
    speed = np.sqrt(beta)
    time = np.concatenate([[0.0], np.cumsum(2.0 * steps / np.maximum(speed[1:] + speed[:-1], 1e-6))])
    return Profile(speed=speed, time=time, held_back=held)


def turn_duration(angle: float, limits: Limits, *, wheel_track: float) -> float:
    """Return how long a turn on the spot takes, from rest to rest [s].

    Parameters
    ----------
    angle : float
        Turned through, of either sign [rad].
    limits : Limits
        Push and speed of the wheels bound it too: the rims go half a track from the middle.
    wheel_track : float
        Between the rear contacts [m].
    """
    rate, gain = _turning_bounds(limits, wheel_track)
    angle = abs(angle)
    if angle > rate * rate / gain:
        return angle / rate + rate / gain
    return 2.0 * math.sqrt(angle / gain)


def turn_progress(angle: float, since: Array, limits: Limits, *, wheel_track: float) -> Array:
    """Return how far a turn on the spot by `angle` has come `since` seconds after it began [rad]."""
    rate, gain = _turning_bounds(limits, wheel_track)
    whole = abs(angle)
    end = turn_duration(angle, limits, wheel_track=wheel_track)
    ramp = min(rate / gain, end / 2.0)
    since = np.clip(since, 0.0, end)
    first = 0.5 * gain * np.minimum(since, ramp) ** 2 + gain * ramp * np.clip(since - ramp, 0.0, None)
    late = 0.5 * gain * (end - since) ** 2
    return np.asarray(math.copysign(1.0, angle) * np.where(since > end - ramp, whole - late, np.minimum(first, whole)))


def turn_peak(angle: float, limits: Limits, *, wheel_track: float) -> float:
    """Return the highest turning rate of a turn on the spot [rad/s]."""
    rate, gain = _turning_bounds(limits, wheel_track)
    return min(rate, math.sqrt(abs(angle) * gain))


def _turning_bounds(limits: Limits, wheel_track: float) -> tuple[float, float]:
    rate = min(limits.turning_rate, 2.0 * limits.maximal_speed / wheel_track)
    hardest = min(limits.push, limits.braking) * wheel_track / (2.0 * limits.gyration**2)
    return rate, min(limits.turning_acceleration, hardest)


def _between(track: Track) -> tuple[Array, Array]:
    """Return curvature and its change per length on every step, the last one repeated for the end."""
    steps = np.diff(track.along)
    curvature = 0.5 * (track.curvature[1:] + track.curvature[:-1])
    change = np.diff(track.curvature) / steps
    return np.append(curvature, curvature[-1]), np.append(change, change[-1])


def _ceiling(curvature: Array, limits: Limits) -> Array:
    bend = np.maximum(np.abs(curvature), 1e-6)
    turning = np.minimum(limits.lateral / bend, (limits.turning_rate / bend) ** 2)
    return np.minimum(turning, limits.maximal_speed**2)


def _rows(curvature: Array, change: Array, limits: Limits, wheel_track: float) -> list[tuple[Array, ...]]:
    """Return each limit as coefficients (c, d, low, high, e): low ≤ c s̈ + d β, and c s̈ + d β + e √β ≤ high."""
    k = 2.0 * limits.gyration**2 / wheel_track
    ones = np.ones_like(curvature)
    rows: list[tuple[Array, ...]] = []
    for side in (1.0, -1.0):
        slows = limits.push / limits.maximal_speed * (1.0 + side * curvature * wheel_track / 2.0)
        low, high = -limits.braking * ones, limits.push * ones
        rows.append((1.0 + side * k * curvature, side * k * change, low, high, slows))
    bound = limits.turning_acceleration * ones
    rows.append((curvature, change, -bound, bound, 0.0 * ones))
    return rows


def _lower_lines(curvature: Array, change: Array, limits: Limits, wheel_track: float) -> Array:
    """Return (limits, n, 3): a, b, g of every bound s̈ ≥ a + b β + g √β."""
    return _bounds(curvature, change, limits, wheel_track, lower=True)


def _upper_curves(curvature: Array, change: Array, limits: Limits, wheel_track: float) -> Array:
    """Return (limits, n, 3): a, b, g of every bound s̈ ≤ a + b β + g √β."""
    return _bounds(curvature, change, limits, wheel_track, lower=False)


def _bounds(curvature: Array, change: Array, limits: Limits, wheel_track: float, *, lower: bool) -> Array:
    found = []
    for c, d, low, high, e in _rows(curvature, change, limits, wheel_track):
        # Where c is negative (inner wheel in a turn tighter than k_I), dividing by it exchanges both bounds.
        straight = (c > 0.0) == lower
        none = np.abs(c) < _EPS
        by = np.where(none, 1.0, c)
        a = np.where(none, -_FAR if lower else _FAR, np.where(straight, low, high) / by)
        b = np.where(none, 0.0, -d / by)
        g = np.where(none | straight, 0.0, -e / by)
        found.append(np.stack([a, b, g], axis=-1))
    return np.stack(found)


def _most_beta(lower: Array, upper: Array, number: int) -> Array:
    """Return up to which β every lower bound stays below every upper one: the first crossing from standstill up."""
    most = np.full(number, np.inf)
    for one in lower:
        for two in upper:
            a, b, g = (one - two).T
            # a + g z + b z² with z = √β, a ≤ 0: the smallest positive zero.
            root = g * g - 4.0 * a * b
            with np.errstate(divide="ignore", invalid="ignore"):
                half = -0.5 * (g + np.where(g >= 0.0, 1.0, -1.0) * np.sqrt(root))
                zeros = np.stack([half / b, a / half])
            zeros = np.where(np.isfinite(zeros) & (zeros > 0.0), zeros, np.inf)
            most = np.minimum(most, np.where(root < 0.0, np.inf, zeros.min(axis=0)) ** 2)
    # From a step to its two ends: both obey it.
    most[1:] = np.minimum(most[1:], most[:-1])
    return most


def _reachable(ceiling: Array, lower: Array, steps: Array, *, end: float | None) -> Array:
    """Return the largest β at every point from which the end can be reached, by one pass from there."""
    rows = [each.tolist() for each in lower]
    most = ceiling.tolist()
    if end is not None:
        most[-1] = min(most[-1], end * end)
    lengths = steps.tolist()
    for i in range(len(lengths) - 1, -1, -1):
        after, twice = most[i + 1], 2.0 * lengths[i]
        best = most[i]
        root = math.sqrt(after)
        for row in rows:
            a, b, g = row[i]
            slope = 1.0 + twice * b
            if slope > _EPS:
                best = min(best, (after - twice * (a + g * root)) / slope)
        most[i] = max(best, 0.0)
    return np.array(most)


def _greedy(most: Array, upper: Array, steps: Array, *, first: float) -> Array:
    """Return β from the start on, as large as push and `most` allow."""
    rows = [each.tolist() for each in upper]
    bound, lengths = most.tolist(), steps.tolist()
    beta = [min(first, bound[0])]
    for i, length in enumerate(lengths):
        now = beta[-1]
        here = [row[i] for row in rows]
        root = math.sqrt(now)
        gain = min(a + b * now + g * root for a, b, g in here)
        # The push falls within a step: what holds in its middle counts for all of it.
        middle = max(now + length * gain, 0.0)
        root = math.sqrt(middle)
        gain = min(a + b * middle + g * root for a, b, g in here)
        beta.append(min(bound[i + 1], max(now + 2.0 * length * gain, 0.0)))
    return np.array(beta)
