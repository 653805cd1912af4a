"""The two-bone arm solution: from a hand target and an elbow direction to the angles of the arm."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np

from firstpush.core.body.posture import SIGN, ArmAngles, plane_and_elevation, shoulder_in_thorax
from firstpush.core.body.rotations import Array
from firstpush.core.errors import OutOfRangeError
from firstpush.core.people.athlete import Side
from firstpush.core.people.body_size import BodySize

_PASSES = 60  # bracketed, so it always ends; 4 to 13 passes in practice
_CLOSE = 1e-13  # [rad]


def direction(words: Iterable[str], side: Side) -> Array:
    """Return the unit vector in the thorax frame for words such as ("out", "down"), (3,)."""
    s = SIGN[side]
    unit = {
        "out": (0.0, s, 0.0),
        "in": (0.0, -s, 0.0),
        "up": (0.0, 0.0, 1.0),
        "down": (0.0, 0.0, -1.0),
        "forward": (1.0, 0.0, 0.0),
        "back": (-1.0, 0.0, 0.0),
    }
    total = np.sum([unit[word] for word in words], axis=0)
    return np.asarray(total / np.linalg.norm(total))


def solve_arm(
    body: BodySize,
    *,
    side: Side,
    hand: Array,
    elbow_towards: Array,
    pronation: Array,
    protraction: Array,
    lift: Array,
) -> ArmAngles:
    """Return the arm angles that put the grip centre at `hand`, with the elbow on the side of `elbow_towards`.

    Parameters
    ----------
    body : BodySize
    side : str
    hand : array (..., 3)
        Grip centre from the hip centre in the thorax frame [m].
    elbow_towards : array (..., 3)
        Direction from the line shoulder-hand to the elbow, thorax frame.
    pronation, protraction, lift : array (...)
        As in `ArmAngles` [rad].

    Returns
    -------
    ArmAngles

    Raises
    ------
    OutOfRangeError
        When the hand is farther than the straight arm, or nearer than the folded one.

    Source
    ------
    Law of cosines; wrist neutral, so forearm and hand are one bone. See docs/why/poses.md.
    """
    reach = _Reach(
        body, side=side, hand=hand, elbow_towards=np.asarray(elbow_towards), protraction=protraction, lift=lift
    )
    # The clavicle rises with the arm, and the arm starts at the clavicle. Where the arm is nearly straight a small
    # rise changes its elevation much, so repeating the sum need not settle; the root is kept between two bounds.
    low, high = np.zeros(hand.shape[:-1]), np.full(hand.shape[:-1], np.pi)
    above, below = reach.error(low), reach.error(high)
    rose, fell = np.zeros_like(low, dtype=bool), np.zeros_like(low, dtype=bool)
    for _ in range(_PASSES):
        span = below - above
        guess = np.where(span < 0, (low * below - high * above) / np.where(span < 0, span, 1.0), low)
        error = reach.error(guess)
        if np.all(np.abs(error) < _CLOSE):
            break
        up = error > 0
        # Illinois rule: the error of a bound that stays twice running is halved, so that it is left soon.
        below = np.where(up, np.where(rose, below / 2, below), error)
        above = np.where(up, error, np.where(fell, above / 2, above))
        low, high, rose, fell = np.where(up, guess, low), np.where(up, high, guess), up, ~up
    return reach.angles(guess, pronation=pronation)


class _Reach:
    """The arm's triangle shoulder-elbow-hand for a guessed arm elevation, which sets where the shoulder is."""

    def __init__(
        self, body: BodySize, *, side: Side, hand: Array, elbow_towards: Array, protraction: Array, lift: Array
    ) -> None:
        self.body, self.side, self.hand, self.elbow_towards = body, side, hand, elbow_towards
        self.protraction, self.lift = protraction, lift
        self.upper, self.fore = body.upper_arm.value, body.forearm.value + body.hand.value

    def error(self, elevation: Array) -> Array:
        """Return the elevation the arm takes when the shoulder is where `elevation` puts it, less `elevation`."""
        _, taken = plane_and_elevation(self.solve(elevation)[0], self.side)
        return np.asarray(taken - elevation)

    def solve(self, elevation: Array) -> tuple[Array, Array, Array]:
        """Return the humerus, the distance shoulder to hand, and how far the pole stands off that line."""
        _, shoulder = shoulder_in_thorax(
            self.body, side=self.side, elevation=elevation, protraction=self.protraction, lift=self.lift
        )
        way = self.hand - shoulder
        distance = np.maximum(np.linalg.norm(way, axis=-1), 1e-9)
        along = way / distance[..., None]
        pole = self.elbow_towards - np.sum(self.elbow_towards * along, axis=-1, keepdims=True) * along
        off = np.linalg.norm(pole, axis=-1)
        pole = pole / np.maximum(off, 1e-9)[..., None]
        cosine = np.clip((self.upper**2 + distance**2 - self.fore**2) / (2 * self.upper * distance), -1.0, 1.0)
        sine = np.sqrt(1 - cosine**2)
        c, s = cosine[..., None], sine[..., None]
        # X to where the forearm bends, square to the humerus in the plane of the triangle; Z to the shoulder.
        x, z = s * along - c * pole, -(c * along + s * pole)
        return np.stack([x, np.cross(z, x), z], axis=-1), distance, off

    def angles(self, elevation: Array, *, pronation: Array) -> ArmAngles:
        """Return the angles of the arm; raise where the hand is out of reach or the elbow has no place."""
        humerus, distance, off = self.solve(elevation)
        _refuse_out_of_reach(distance, self.upper + self.fore, abs(self.upper - self.fore), self.side)
        _refuse_elbow_along_the_arm(off, self.side)
        bend = np.clip((self.upper**2 + self.fore**2 - distance**2) / (2 * self.upper * self.fore), -1.0, 1.0)
        return ArmAngles(
            humerus=humerus,
            elbow=np.pi - np.arccos(bend),
            pronation=pronation,
            protraction=self.protraction,
            lift=self.lift,
            wrist=np.zeros_like(bend),
        )


def _refuse_out_of_reach(distance: Array, longest: float, shortest: float, side: Side) -> None:
    slack = 1e-9
    if np.any(distance > longest + slack) or np.any(distance < shortest - slack):
        worst = np.max(distance) if np.any(distance > longest + slack) else np.min(distance)
        raise OutOfRangeError(
            f"the {side} hand is asked to be {float(worst):.3f} m from the shoulder; this arm reaches "
            f"{shortest:.3f} to {longest:.3f} m. Change the hand target in the exercise, or the arm lengths if wrong."
        )


def _refuse_elbow_along_the_arm(off: Array, side: Side) -> None:
    if np.any(off < 1e-6):
        raise OutOfRangeError(
            f"the {side} elbow is asked to point along the line from shoulder to hand, which leaves its place open; "
            f"any direction across that line is allowed. Name another one in elbow_points."
        )
