"""Where a band can be tied and the chair can stand: heights the posts offer, distances that a tape can be laid to.

Distances are counted along the floor from the front of the footplate, or from the tyre, to the post:
never from the axle, which nobody can reach with a tape under a cambered wheel.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from firstpush.core.body.posture import SIGN, Skeleton
from firstpush.core.body.rotations import Array
from firstpush.core.exercises.definition import AnchorSide, BandUse
from firstpush.core.kit.venue import Venue
from firstpush.core.measured import Measured
from firstpush.core.people.athlete import Chair, Side

DISTANCE_STEP = Measured(
    name="step of distances that are laid with a tape", value=0.05, unit="m", spread=0.0, source="", known="our choice"
)
ROOM_BEHIND = Measured(
    name="free floor kept behind or beside the chair", value=0.30, unit="m", spread=0.0, source="", known="our choice"
)


@dataclass(frozen=True, kw_only=True)
class Anchors:
    """All places A where the band may be tied, in the world, with how to lay them out.

    Parameters
    ----------
    points : array (A, 3)
        [m]
    distance, height : array (A,)
        Along the floor from `measured_from`, and above the floor [m].
    post : tuple of str
        Name of the post of each.
    measured_from : str
        "the footplate" (its front edge), "the rear of the chair" or "the tyre".
    chair_words : str
        How the chair stands.
    """

    points: Array
    distance: Array
    height: Array
    post: tuple[str, ...]
    measured_from: str
    chair_words: str


def no_post(use: BandUse) -> Anchors:
    """Return the one "place" of a band that is fixed to the chair or held in the other hand: nothing to be laid out."""
    words = f"anywhere; band tied to the {use.chair_point}" if use.fixed_to == "chair" else "anywhere"
    return Anchors(
        points=np.zeros((1, 3)),
        distance=np.zeros(1),
        height=np.zeros(1),
        post=("",),
        measured_from="",
        chair_words=words,
    )


def anchors(use: BandUse, bones: Skeleton, chair: Chair, venue: Venue, *, side: Side) -> Anchors:
    """Return where the band may be tied for one exercise in one venue.

    Parameters
    ----------
    use : BandUse
    bones : Skeleton
        Of the movement; heights are counted from its first frame.
    chair : Chair
    venue : Venue
    side : str
        Working side: a post at the side stands there.

    Returns
    -------
    Anchors
        Possibly none: no post at such a height, or no room before it.
    """
    base = _height_of(use, bones, side)
    low, high = (base + end for end in use.height_window)
    step = DISTANCE_STEP.value
    points, distances, heights, posts = [], [], [], []
    for post in venue.posts:
        space = _space(use, chair)
        nearest, farthest = use.distance_window[0], min(use.distance_window[1], post.room_in_front - space)
        count = int(np.floor((farthest - nearest) / step + 1e-9)) + 1
        for height in post.heights:
            if not low - 1e-9 <= height <= high + 1e-9 or count < 1:
                continue
            for distance in np.round(nearest + step * np.arange(count), 3):
                points.append(_point(use, bones, chair, side, distance, height))
                distances.append(distance)
                heights.append(height)
                posts.append(post.name)
    return Anchors(
        points=np.array(points).reshape(-1, 3),
        distance=np.array(distances),
        height=np.array(heights),
        post=tuple(posts),
        measured_from=_MEASURED_FROM[use.anchor_side],
        chair_words=_chair_words(use),
    )


def heights_wanted(use: BandUse, bones: Skeleton, *, side: Side) -> tuple[float, float]:
    """Return the lowest and highest anchor that suits, above the floor [m]."""
    base = _height_of(use, bones, side)
    return base + use.height_window[0], base + use.height_window[1]


def _height_of(use: BandUse, bones: Skeleton, side: Side) -> float:
    arm = bones.arms[side]
    match use.height_from:
        case "shoulder":
            return float(arm.shoulder[0, 2])
        case "elbow":
            return float(arm.elbow[:, 2].mean())
        case "hips":
            return float(bones.hip_centre[0, 2])
        case "floor":
            return 0.0
        case _:
            return float(0.8 * arm.shoulder[0, 2] + 0.2 * bones.hip_centre[0, 2])


def _space(use: BandUse, chair: Chair) -> float:
    """Return the floor that chair and a free margin take up beyond the distance itself [m]."""
    along = use.anchor_side in ("front", "behind")
    return (chair.overall_length if along else chair.overall_width) + ROOM_BEHIND.value


def _point(use: BandUse, bones: Skeleton, chair: Chair, side: Side, distance: float, height: float) -> Array:
    s = SIGN[side]
    if use.anchor_side in ("working side", "other side"):
        toward = s if use.anchor_side == "working side" else -s
        return np.array([chair.wheelbase, toward * (chair.overall_width / 2 + distance), height])
    across = float(bones.arms[side].shoulder[0, 1]) if use.grip == "working" else 0.0
    across += s * use.sideways
    ahead = chair.footplate_reach + distance
    if use.anchor_side == "behind":
        ahead = chair.footplate_reach - chair.overall_length - distance
    return np.array([ahead, across, height])


_MEASURED_FROM: dict[AnchorSide, str] = {
    "front": "the footplate",
    "behind": "the rear of the chair",
    "working side": "the tyre",
    "other side": "the tyre",
}
_CHAIR_WORDS: dict[AnchorSide, str] = {
    "front": "facing the post",
    "behind": "back to the post",
    "working side": "side-on, front casters level with the post",
    "other side": "other side to the post, front casters level with it",
}


def _chair_words(use: BandUse) -> str:
    """Return how the chair stands, in words that hold for both sides."""
    words = _CHAIR_WORDS[use.anchor_side]
    if use.grip != "working" or use.anchor_side not in ("front", "behind"):
        return words
    if use.sideways:
        where = "outside" if use.sideways > 0 else "inside"
        return f"{words}, post {abs(use.sideways):.2f} m {where} the working shoulder"
    return f"{words}, working shoulder in line with it"
