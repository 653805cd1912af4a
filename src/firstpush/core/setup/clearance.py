"""How near the band comes to body and chair, and where it flies if it slips off its anchor."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from firstpush.core.errors import OutOfRangeError
from firstpush.core.measured import Measured

Array = NDArray[np.float64]

BAND_CLEARANCE = Measured(
    name="smallest distance of a band to body and chair",
    value=0.02,
    unit="m",
    spread=0.0,
    source="a band that does not rub over the movement",
    known="our choice",
)
RECOIL_CLEARANCE = Measured(
    name="smallest distance of the recoil ray to the head",
    value=0.10,
    unit="m",
    spread=0.0,
    source="a band that slips flies along its own line, with some spread",
    known="our choice",
)


@dataclass(frozen=True, kw_only=True)
class Capsules:
    """Rods with round ends that stand for trunk, thighs, other arm, head, wheels, backrest, handles, side guards.

    Parameters
    ----------
    names : tuple of str
        One for each capsule.
    start, end : array (..., n, 3)
        Ends of the middle lines; the same point for a sphere [m].
    radius : array (..., n)
        [m]
    """

    names: tuple[str, ...]
    start: Array
    end: Array
    radius: Array

    def __post_init__(self) -> None:
        counts = {len(self.names), self.start.shape[-2], self.end.shape[-2], np.shape(self.radius)[-1]}
        if len(counts) > 1:
            raise OutOfRangeError(
                f"names, starts, ends and radii of the capsules count {sorted(counts)}; they must be as many; "
                "give one of each for every capsule."
            )


def segment_to_capsules_distance(start: ArrayLike, end: ArrayLike, capsules: Capsules) -> Array:
    """Return the distance between a straight band and the surface of each capsule.

    Parameters
    ----------
    start, end : array (..., 3)
        Ends of the band, in either order [m].
    capsules : Capsules
        Leading shape that broadcasts with the band's.

    Returns
    -------
    array (..., n)
        Negative inside a capsule [m].

    Source
    ------
    Two segments are nearest either at an end of one of them, or at the feet of their common normal: the smallest of
    the four ends and of that pair is taken, so parallel lines and points need no case of their own. Feet that lie
    outside are moved to an end, where the distance is still one between two points, never below the smallest.
    Exact within 1e-7 m, the rounding of squares.

    Examples
    --------
    A band crossing 0.5 m above a rod of 0.1 m radius:

    >>> rod = Capsules(
    ...     names=("thigh",), start=np.array([[-1.0, 0, 0]]), end=np.array([[1.0, 0, 0]]), radius=np.array([0.1])
    ... )
    >>> segment_to_capsules_distance([0, -1, 0.5], [0, 1, 0.5], rod)
    array([0.4])
    """
    a, c = np.asarray(start, dtype=float)[..., None, :], capsules.start
    u, v, w = np.asarray(end, dtype=float)[..., None, :] - a, capsules.end - c, a - c
    uu, vv, uv, uw, vw = _dot(u, u), _dot(v, v), _dot(u, v), _dot(u, w), _dot(v, w)
    ww = _dot(w, w)

    def squared(on_band: Array | float, on_rod: Array | float) -> Array:
        return ww + on_band * (on_band * uu + 2 * uw) + on_rod * (on_rod * vv - 2 * vw - 2 * on_band * uv)

    def nearest_on_band(on_rod: Array | float) -> Array:
        return np.clip((uv * on_rod - uw) / np.where(uu > 0, uu, 1.0), 0.0, 1.0)

    def nearest_on_rod(on_band: Array | float) -> Array:
        return np.clip((uv * on_band + vw) / np.where(vv > 0, vv, 1.0), 0.0, 1.0)

    spread = uu * vv - uv * uv
    foot_on_band = np.clip((uv * vw - vv * uw) / np.where(spread > 0, spread, 1.0), 0.0, 1.0)
    foot_on_rod = nearest_on_rod(foot_on_band)
    smallest = squared(nearest_on_band(foot_on_rod), foot_on_rod)
    for end_of_it in (0.0, 1.0):
        smallest = np.minimum(smallest, squared(end_of_it, nearest_on_rod(end_of_it)))
        smallest = np.minimum(smallest, squared(nearest_on_band(end_of_it), end_of_it))
    # The rounding of the squares can fall below 0 where the lines cross.
    return np.asarray(np.sqrt(np.maximum(smallest, 0.0)) - capsules.radius)


def band_clearance(*, hand: ArrayLike, anchor: ArrayLike, capsules: Capsules, leave_out_at_hand: float = 0.0) -> Array:
    """Return the distance of the band from hand to anchor to each capsule.

    Parameters
    ----------
    hand, anchor : array (..., 3)
        [m]
    capsules : Capsules
        What the band must not touch, without the hand that holds it.
    leave_out_at_hand : float
        Length of band next to the hand that is not looked at; a shorter band is looked at in its end point [m].

    Returns
    -------
    array (..., n)
        [m]
    """
    hand, anchor = np.asarray(hand, dtype=float), np.asarray(anchor, dtype=float)
    length = np.linalg.norm(anchor - hand, axis=-1, keepdims=True)
    share = np.minimum(leave_out_at_hand / np.where(length > 0, length, np.inf), 1.0)
    return segment_to_capsules_distance(hand + share * (anchor - hand), anchor, capsules)


def recoil_distance(
    *,
    anchor: ArrayLike,
    hand: ArrayLike,
    slack_length: ArrayLike,
    head_centre: ArrayLike,
    head_radius: ArrayLike,
) -> Array:
    """Return how far from the head a band passes that slips off its anchor.

    It flies along anchor to hand and up to one slack length beyond; with the hand at the anchor the direction is not
    known, and every direction counts.

    Parameters
    ----------
    anchor, hand, head_centre : array (..., 3)
        [m]
    slack_length : array (...)
        Length of one strand without pull [m].
    head_radius : array (...)
        [m]

    Returns
    -------
    array (...)
        Distance to the surface of the head, negative inside; `RECOIL_CLEARANCE` is asked [m].

    Examples
    --------
    The hand 1 m before the post, the head 0.5 m behind the hand, 0.3 m to the side:

    >>> float(recoil_distance(
    ...     anchor=[1, 0, 1], hand=[0, 0, 1], slack_length=0.8, head_centre=[-0.5, 0.3, 1], head_radius=0.1
    ... ))
    0.2
    """
    anchor, hand = np.asarray(anchor, dtype=float), np.asarray(hand, dtype=float)
    head, slack = np.asarray(head_centre, dtype=float), np.asarray(slack_length, dtype=float)
    stretch = hand - anchor
    length = np.linalg.norm(stretch, axis=-1)
    known = length > 0
    beyond = (1.0 + slack / np.where(known, length, 1.0))[..., None] * stretch
    far = anchor + beyond
    head, anchor, far = np.broadcast_arrays(head, anchor, far)
    off_the_ray = np.sqrt(_point_to_segment_squared(head, anchor, far))
    off_the_hand = np.maximum(np.linalg.norm(head - anchor, axis=-1) - slack, 0.0)
    return np.asarray(np.where(known, off_the_ray, off_the_hand) - np.asarray(head_radius, dtype=float))


def _dot(one: Array, other: Array) -> Array:
    return np.asarray(np.einsum("...x,...x->...", one, other))


def _point_to_segment_squared(point: Array, start: Array, end: Array) -> Array:
    along = end - start
    length = np.sum(along * along, axis=-1)
    share = np.sum((point - start) * along, axis=-1) / np.where(length > 0, length, 1.0)
    off = point - start - np.clip(share, 0.0, 1.0)[..., None] * along
    return np.asarray(np.sum(off * off, axis=-1))
