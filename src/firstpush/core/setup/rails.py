"""Which bar of a venue the hands can hold: of wall bars or a railing, never of an upright."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from firstpush.core.body.posture import Skeleton
from firstpush.core.kit.venue import Post, Venue
from firstpush.core.kit.venue_file import CONTINUOUS_STEP
from firstpush.core.measured import Measured

NEAR_ENOUGH = Measured(
    name="height between the hands and the bar that they take",
    value=0.08,
    unit="m",
    spread=0.0,
    source="of bars 0.15 m from each other one is always so near; nothing else of the movement changes by it",
    known="our choice",
)


@dataclass(frozen=True, kw_only=True)
class RailPlace:
    """What the hands hold: the name in the venue, and how high its bar is above the floor [m]."""

    name: str
    height: float


def rail_place(venue: Venue, bones: Skeleton) -> RailPlace | None:
    """Return the bar of the venue that is nearest to the hands at the start.

    Parameters
    ----------
    venue : Venue
        What can be tied to at any height is an upright: nothing there to put two hands on.
    bones : Skeleton
        Of the movement.

    Returns
    -------
    RailPlace or None
        None where no bar is within `NEAR_ENOUGH`.
    """
    wanted = float(np.mean([arm.hand[0, 2] for arm in bones.arms.values()]))
    offered = [
        (abs(height - wanted), height, post.name) for post in venue.posts if _has_bars(post) for height in post.heights
    ]
    far, height, name = min(offered, default=(np.inf, 0.0, ""))
    return RailPlace(name=name, height=height) if far <= NEAR_ENOUGH.value else None


def _has_bars(post: Post) -> bool:
    return all(high - low > CONTINUOUS_STEP + 1e-6 for low, high in pairwise(post.heights))
