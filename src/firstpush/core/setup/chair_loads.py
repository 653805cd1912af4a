"""Loads on the wheels of a chair, as straight lines in the factor of the pulls.

What the weight gives stays, what the pulls give grows with them; docs/why/stability.md draws the free bodies.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from firstpush.core.errors import OutOfRangeError

Array = NDArray[np.float64]
Linear = tuple[Array, Array]
"""A quantity that is first + factor * second: what the weight gives, and what all pulls give together."""


@dataclass(frozen=True, kw_only=True)
class Footprint:
    """Where the chair stands on the floor; lengths in m.

    Parameters
    ----------
    wheelbase : float
        Rear axle to the caster contacts, as the casters stand now.
    track : float
        Distance between the contacts of the rear wheels.
    axle_height : float
        Height of the wheel centres.
    anti_tip : float or None
        Contact of the anti-tip wheel behind the rear axle, taken in the middle plane; None when there is none.
    caster_track : float
        Distance between the caster contacts; 0, the safe side, where it was not measured.
    """

    wheelbase: float
    track: float
    axle_height: float
    anti_tip: float | None
    caster_track: float = 0.0

    def __post_init__(self) -> None:
        for name in ("wheelbase", "track", "axle_height"):
            if not getattr(self, name) > 0:
                raise OutOfRangeError(
                    f"the {name.replace('_', ' ')} is {getattr(self, name)} m; it must be above 0 m; measure it again."
                )
        if self.anti_tip is not None and not self.anti_tip > 0:
            raise OutOfRangeError(
                f"the anti-tip wheel is {self.anti_tip} m behind the axle; it must be above 0 m; "
                "leave it out if there is none."
            )


def factor_of(held: Linear) -> Array:
    """Return the factor at which first + factor * second falls to 0: 0 if it has already, infinite if it never does."""
    constant, per_pull = np.broadcast_arrays(*held)
    falling = per_pull < 0
    with np.errstate(over="ignore"):
        out = np.where(falling, np.maximum(constant, 0.0) / np.where(falling, -per_pull, 1.0), np.inf)
    return np.where(constant < 0, 0.0, out)


def limit_of(push: Array, *, hold: float, loads: list[Linear]) -> Array:
    """Return the factor at which `push` exceeds `hold` times the smallest of `loads`."""
    if np.isinf(hold):
        return np.full(push.shape, np.inf)
    return smallest([factor_of((hold * load[0], hold * load[1] - push)) for load in loads])


def smallest(candidates: list[Array]) -> Array:
    """Return the smallest of several arrays, element by element."""
    return np.asarray(np.min(np.stack(candidates), axis=0))


@dataclass(frozen=True, kw_only=True)
class Balance:
    """Weight and pulls, before it is said at what height the horizontal reaction acts."""

    W: Array
    C: Array
    P: Array
    F: Array
    footprint: Footprint

    @property
    def total(self) -> Array:
        """Return the sum of all pulls, (..., 3)."""
        return np.asarray(self.F.sum(axis=-2))

    @property
    def wheel_push(self) -> Array:
        """Return the forward force of the floor on the left and on the right wheel, (2, ...), at factor 1.

        Casters give no hold, so the two are fixed by the forward balance and the moment about the vertical.
        """
        turning = np.sum(self.P[..., 0] * self.F[..., 1] - self.P[..., 1] * self.F[..., 0], axis=-1)
        couple = 2 * turning / self.footprint.track
        forward = self.total[..., 0]
        return np.stack([(couple - forward) / 2, (-couple - forward) / 2])

    def at(self, height: float) -> WheelLoads:
        """Return the loads when the fore-and-aft reaction acts at `height`: 0 on brakes, the axle between chocks."""
        P, F = self.P, self.F
        forward = np.sum(F[..., 0] * (P[..., 2] - height) - F[..., 2] * P[..., 0], axis=-1)
        left = np.sum(F[..., 1] * P[..., 2] - F[..., 2] * P[..., 1], axis=-1)
        return WheelLoads(
            balance=self,
            load=(self.W, -self.total[..., 2]),
            forward_moment=(self.W * self.C[..., 0], forward),
            left_moment=(self.W * self.C[..., 1], left),
        )


def _plus(*terms: tuple[float, Linear]) -> Linear:
    """Return the sum of weighted linear quantities."""
    first = sum((weight * term[0] for weight, term in terms), start=np.zeros(()))
    second = sum((weight * term[1] for weight, term in terms), start=np.zeros(()))
    return np.asarray(first), np.asarray(second)


@dataclass(frozen=True, kw_only=True)
class WheelLoads:
    """Vertical load and its moments about the middle of the axle, each linear in the factor of the pulls."""

    balance: Balance
    load: Linear
    forward_moment: Linear
    left_moment: Linear

    @property
    def edges(self) -> dict[str, list[Linear]]:
        """Return distance inside times load, for each edge of the polygon of contacts, in the order of `MODES`."""
        foot = self.balance.footprint
        left_rear, left_front = (0.0, foot.track / 2), (foot.wheelbase, foot.caster_track / 2)
        right_rear, right_front = (0.0, -foot.track / 2), (foot.wheelbase, -foot.caster_track / 2)
        tail = [] if foot.anti_tip is None else [(-foot.anti_tip, 0.0)]
        rear = [left_rear, *tail, right_rear]
        return {
            "tips backward": [self._inside(a, b) for a, b in pairwise(rear)],
            "tips forward": [_plus((foot.wheelbase, self.load), (-1, self.forward_moment))],
            "tips left": [self._inside(left_front, left_rear)],
            "tips right": [self._inside(right_rear, right_front)],
        }

    def _inside(self, start: tuple[float, float], end: tuple[float, float]) -> Linear:
        """Return load times distance to the left of the line from `start` to `end`."""
        ahead, side = end[0] - start[0], end[1] - start[1]
        length = float(np.hypot(ahead, side))
        return _plus(
            (ahead / length, self.left_moment),
            (-side / length, self.forward_moment),
            ((side * start[0] - ahead * start[1]) / length, self.load),
        )

    @property
    def rear(self) -> list[Linear]:
        """Return the load on the rear wheels: the smallest of these (casters carry, or the anti-tip wheel does)."""
        foot = self.balance.footprint
        loads = [_plus((1, self.load), (-1 / foot.wheelbase, self.forward_moment))]
        if foot.anti_tip is not None:
            loads.append(_plus((1, self.load), (1 / foot.anti_tip, self.forward_moment)))
        return loads

    def wheel(self, side: int) -> list[Linear]:
        """Return the load on one rear wheel, `side` +1 left, -1 right; the smallest of these."""
        return [_plus((0.5, rear), (side / self.balance.footprint.track, self.left_moment)) for rear in self.rear]

    @property
    def zero_moment_point(self) -> Array:
        """Return where the upward reaction acts at factor 1, (..., 2); not a number once the chair is lifted."""
        load = self.load[0] + self.load[1]
        moments = np.stack([np.add(*self.forward_moment), np.add(*self.left_moment)], axis=-1)
        with np.errstate(divide="ignore", invalid="ignore"):
            return np.asarray(np.where(load[..., None] > 0, moments / load[..., None], np.nan))

    @property
    def margin(self) -> Array:
        """Return the distance of that point inside the polygon of contacts."""
        load = self.load[0] + self.load[1]
        inside = smallest([np.add(*edge) for edges in self.edges.values() for edge in edges])
        with np.errstate(divide="ignore", invalid="ignore"):
            return np.asarray(np.where(load > 0, inside / load, -np.inf))

    @property
    def casters_lift(self) -> NDArray[np.bool_]:
        """Whether the anti-tip wheel carries instead of the casters at factor 1."""
        if self.balance.footprint.anti_tip is None:
            return np.zeros(self.balance.W.shape, dtype=bool)
        return np.asarray(np.add(*self.forward_moment) < 0)

    def climbs_at_a_wheel(self, stop: float) -> Array:
        """Return the factor at which the first wheel climbs its chock."""
        push = np.abs(self.balance.wheel_push)
        return np.minimum(
            limit_of(push[0], hold=stop, loads=self.wheel(+1)), limit_of(push[1], hold=stop, loads=self.wheel(-1))
        )

    def slips_at_a_wheel(self, friction: float) -> Array:
        """Return the factor at which the braked rear wheels can no longer hold, each with its own fore-and-aft push.

        The sideways force may be shared between the wheels in any way; the share is found by bisection, and every
        share tried is a hold that exists, so the result is never above the true one.
        """
        push = np.abs(self.balance.wheel_push)
        across = np.abs(self.balance.total[..., 1])
        loads = self.wheel(+1), self.wheel(-1)
        low, high = np.zeros(push.shape[1:]), np.ones(push.shape[1:])
        best = np.zeros(push.shape[1:])
        for _ in range(24 if np.any(across > 0) else 1):
            share = (low + high) / 2
            left = limit_of(np.hypot(push[0], share * across), hold=friction, loads=loads[0])
            right = limit_of(np.hypot(push[1], (1 - share) * across), hold=friction, loads=loads[1])
            best = np.maximum(best, np.minimum(left, right))
            low, high = np.where(left > right, share, low), np.where(left > right, high, share)
        return best
