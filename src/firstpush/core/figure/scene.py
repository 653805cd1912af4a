"""What is to be drawn: a body, a chair and things around them in world coordinates, over the frames of a movement."""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import cached_property
from typing import Literal

import numpy as np

from firstpush.core.body.legs import Leg
from firstpush.core.body.posture import Skeleton
from firstpush.core.body.rotations import Array
from firstpush.core.errors import OutOfRangeError
from firstpush.core.figure.palette import Look
from firstpush.core.kit.kit import Ball
from firstpush.core.people.athlete import SIDES, Chair, Side, Strap
from firstpush.core.people.body_size import BodySize

AttachPoint = Literal["hand", "wrist_cuff", "forearm_cuff", "upper_arm_cuff"]
Blocking = Literal["chocks", "brakes", "free"]
BandFixing = Literal["post", "chair", "other hand"]

ALONG_FOREARM_CUFF = 0.25
ALONG_UPPER_ARM_CUFF = 0.80
"""Where a cuff sits, as a share of the segment from its proximal end: below the elbow, and above it."""


@dataclass(frozen=True, kw_only=True)
class BandDrawing:
    """How the band is drawn.

    Parameters
    ----------
    hands : tuple of str
        Sides that pull; each has its own line, or one together where the hands are joined.
    attach : str, or dict of side to str
        "hand", "wrist_cuff", "forearm_cuff" or "upper_arm_cuff"; one for both sides, or one for each.
    stretch : dict of side to array (F,)
        Length over slack length in every frame.
    strands : int
        1 or 2 lines beside each other.
    grip : str
        "handle" (a strap handle in the fist) or "wrapped" (the band itself goes round the hand).
    pull_from : dict of side to array (F, 3) or None
        Where the band pulls [m]; None takes the hand, or the cuff's usual place.
    fixed_to : str
        "post", "chair" (a small tie is drawn on it) or "other hand" (which holds the other end).
    ends : dict of side to array (F, 3) or None
        Where each line ends, unless that is the scene's anchor [m].
    """

    hands: tuple[Side, ...]
    attach: AttachPoint | dict[Side, AttachPoint]
    stretch: dict[Side, Array]
    strands: int = 1
    grip: Literal["handle", "wrapped"] = "handle"
    pull_from: dict[Side, Array] | None = None
    fixed_to: BandFixing = "post"
    ends: dict[Side, Array] | None = None

    def attach_of(self, side: Side) -> AttachPoint:
        """Return where the band pulls on `side`, or is tied there for the other; the hand where nothing is said."""
        if isinstance(self.attach, dict):
            return self.attach.get(side, "hand")
        return self.attach if side in self.hands else "hand"

    @property
    def tied_to(self) -> tuple[Side, ...]:
        """Arms that the band is on: those that pull, and the one that has the other end."""
        return SIDES if self.fixed_to == "other hand" else self.hands

    @property
    def holding(self) -> tuple[Side, ...]:
        """Hands that are closed round the band: those that pull by hand, and the one that holds the other end."""
        return tuple(side for side in self.tied_to if self.attach_of(side) == "hand")


@dataclass(frozen=True, kw_only=True)
class Dimension:
    """A length to be lettered: between two world points (3,) [m], with its text."""

    from_point: Array
    to_point: Array
    text: str
    kind: Literal["distance", "height"]


@dataclass(frozen=True, kw_only=True)
class PoseShown:
    """A pose of a chain with a panel of its own: the frame it is reached in, and its name."""

    frame: int
    name: str


@dataclass(frozen=True, kw_only=True)
class Rail:
    """A fixed rail on two posts that the hands hold: its two ends (3,) [m]."""

    left: Array
    right: Array


@dataclass(frozen=True, kw_only=True)
class Wall:
    """An upright wall that a ball is bounced against: a point on it and the direction to the athlete, (3,)."""

    point: Array
    normal: Array


@dataclass(frozen=True, kw_only=True)
class Scene:
    """Everything one drawing needs, in world coordinates [m].

    Parameters
    ----------
    skeleton : Skeleton
        Stacked over frames: points (F, 3), frames (F, 3, 3).
    anchor : array (3,) or None
        Where the band is tied, as drawn: `cut` nearer than it is.
    anchor_post : bool
        Draw a post with a base plate; otherwise a rail on a wall.
    post_contact : array (2,) or None
        Foot (x, y) of an upright post that the forearm lies against.
    rail, wall, partner, cones
        What the hands hold, what the ball bounces on, the arm a partner pushes against, cones on the floor (x, y) [m].
    active_sides : tuple of str
        Arms that move; the view keeps them near and visible.
    start, end : int
        Frames shown as the first and the second picture.
    poses : tuple of PoseShown
        For a chain: a panel each.
    cut : array (3,) or None
        What is left out of the floor between athlete and post, along the floor towards the post [m].
    post_shown : bool
        False draws the band as far as the break only.
    """

    body: BodySize
    chair: Chair
    skeleton: Skeleton
    legs: dict[Side, Leg]
    active_sides: tuple[Side, ...]
    anchor: Array | None = None
    anchor_post: bool = True
    band: BandDrawing | None = None
    ball: tuple[Ball, Side] | None = None
    post_contact: Array | None = None
    rail: Rail | None = None
    wall: Wall | None = None
    partner: Side | None = None
    cones: tuple[Array, ...] = ()
    blocking: Blocking = "free"
    strap: Strap = "none"
    dimensions: tuple[Dimension, ...] = ()
    look: Look = field(default_factory=Look)
    start: int = 0
    end: int = -1
    poses: tuple[PoseShown, ...] = ()
    cut: Array | None = None
    post_shown: bool = True

    def __post_init__(self) -> None:
        count = self.frames
        shown = (("start", self.start), ("end", self.end), *((pose.name, pose.frame) for pose in self.poses))
        for name, frame in shown:
            if not -count <= frame < count:
                raise OutOfRangeError(
                    f"the {name} frame {frame} is not one of {count} frames; "
                    f"give a number from {-count} to {count - 1}."
                )
        if self.band is not None and self.anchor is None and self.band.ends is None:
            raise OutOfRangeError("a band is drawn to an anchor and the scene has none; give the anchor's place.")
        if self.wall is not None and self.ball is None:
            raise OutOfRangeError("a wall is there for a ball and the scene has none; give the ball.")

    @cached_property
    def judged(self) -> dict[str, float]:
        """What is known of how well a view shows the movement, by its name, whatever the panel; see `view`."""
        return {}

    @property
    def frames(self) -> int:
        """How many frames the movement has."""
        return int(self.skeleton.neck.shape[0])

    @property
    def true_anchor(self) -> Array | None:
        """Where the band is tied in the hall (3,) [m]; None without a post."""
        if self.anchor is None or self.cut is None:
            return self.anchor
        return np.asarray(self.anchor + self.cut)

    def pull_point(self, side: Side) -> Array:
        """Return where the band pulls on `side`, (F, 3) [m]."""
        arm = self.skeleton.arms[side]
        attach = "hand" if self.band is None else self.band.attach_of(side)
        if attach == "hand":
            default = arm.hand
        elif attach == "wrist_cuff":
            default = arm.wrist
        elif attach == "forearm_cuff":
            default = arm.elbow + ALONG_FOREARM_CUFF * (arm.wrist - arm.elbow)
        else:
            default = arm.shoulder + ALONG_UPPER_ARM_CUFF * (arm.elbow - arm.shoulder)
        if self.band is not None and self.band.pull_from is not None:
            return self.band.pull_from.get(side, default)
        return default

    def band_end(self, side: Side) -> Array:
        """Return where the line of `side` ends in the hall, (F, 3) [m]."""
        if self.band is not None and self.band.ends is not None and side in self.band.ends:
            return self.band.ends[side]
        anchor = self.true_anchor
        assert anchor is not None, "a band without ends of its own goes to the anchor"
        return np.broadcast_to(anchor, (self.frames, 3))
