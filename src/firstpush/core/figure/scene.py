"""What is to be drawn: a body, a chair and things around them in world coordinates, over the frames of a movement."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal

from firstpush.core.body.legs import Leg
from firstpush.core.body.posture import Skeleton
from firstpush.core.body.rotations import Array
from firstpush.core.errors import OutOfRangeError
from firstpush.core.figure.palette import Look
from firstpush.core.kit.kit import Ball
from firstpush.core.people.athlete import Chair, Side, Strap
from firstpush.core.people.body_size import BodySize

AttachPoint = Literal["hand", "wrist_cuff", "forearm_cuff", "upper_arm_cuff"]
Blocking = Literal["chocks", "brakes", "free"]

ALONG_FOREARM_CUFF = 0.25
ALONG_UPPER_ARM_CUFF = 0.80
"""Where a cuff sits, as a share of the segment from its proximal end: below the elbow, and above it."""


@dataclass(frozen=True, kw_only=True)
class BandDrawing:
    """How the band is drawn.

    Parameters
    ----------
    hands : tuple of str
        Sides that pull; each has its own line to the anchor.
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
    """

    hands: tuple[Side, ...]
    attach: AttachPoint | dict[Side, AttachPoint]
    stretch: dict[Side, Array]
    strands: int = 1
    grip: Literal["handle", "wrapped"] = "handle"
    pull_from: dict[Side, Array] | None = None

    def attach_of(self, side: Side) -> AttachPoint:
        """Return where the band pulls on `side`."""
        return self.attach[side] if isinstance(self.attach, dict) else self.attach


@dataclass(frozen=True, kw_only=True)
class Dimension:
    """A length to be lettered: between two world points (3,) [m], with its text."""

    from_point: Array
    to_point: Array
    text: str
    kind: Literal["distance", "height"]


@dataclass(frozen=True, kw_only=True)
class Scene:
    """Everything one drawing needs, in world coordinates [m].

    Parameters
    ----------
    skeleton : Skeleton
        Stacked over frames: points (F, 3), frames (F, 3, 3).
    anchor : array (3,) or None
        Where the band is tied.
    anchor_post : bool
        Draw a post with a base plate; otherwise a rail on a wall.
    post_contact : array (2,) or None
        Foot (x, y) of an upright post that the forearm lies against.
    active_sides : tuple of str
        Arms that move; the view keeps them near and visible.
    start, end : int
        Frames shown as the first and the second picture.
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
    blocking: Blocking = "free"
    strap: Strap = "none"
    dimensions: tuple[Dimension, ...] = ()
    look: Look = field(default_factory=Look)
    start: int = 0
    end: int = -1

    def __post_init__(self) -> None:
        count = self.frames
        for name, frame in (("start", self.start), ("end", self.end)):
            if not -count <= frame < count:
                raise OutOfRangeError(
                    f"the {name} frame {frame} is not one of {count} frames; "
                    f"give a number from {-count} to {count - 1}."
                )
        if self.band is not None and self.anchor is None:
            raise OutOfRangeError("a band is drawn to an anchor and the scene has none; give the anchor's place.")

    @property
    def frames(self) -> int:
        """How many frames the movement has."""
        return int(self.skeleton.neck.shape[0])

    def pull_point(self, side: Side) -> Array:
        """Return where the band pulls on `side`, (F, 3) [m]."""
        arm = self.skeleton.arms[side]
        attach = "hand" if self.band is None or side not in self.band.hands else self.band.attach_of(side)
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
