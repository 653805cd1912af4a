"""Where the band pulls on an arm, and the lines it makes: one a hand, or one for both hands joined."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from firstpush.core.body.posture import Skeleton
from firstpush.core.body.rotations import Array
from firstpush.core.exercises.definition import Attach, BandUse
from firstpush.core.people.athlete import SIDES, Side
from firstpush.core.people.body_size import ArmSegment

BEYOND: dict[Attach, ArmSegment] = {
    "hand": "hand",
    "wrist_cuff": "forearm",
    "forearm_cuff": "forearm",
    "upper_arm_cuff": "upper arm",
}
"""The segment that each attachment pulls on."""

_SHARE_OF_SEGMENT = {"wrist_cuff": 0.95, "forearm_cuff": 0.25, "upper_arm_cuff": 0.80}
"""How far along its segment a cuff sits, from the shoulder end (our choice: where a cuff is worn)."""


def pull_point(bones: Skeleton, side: Side, attach: Attach) -> Array:
    """Return where the band pulls on the arm on `side`, (..., 3) [m]."""
    arm = bones.arms[side]
    if attach == "hand":
        return arm.hand
    near, far = (arm.elbow, arm.wrist) if attach != "upper_arm_cuff" else (arm.shoulder, arm.elbow)
    return near + _SHARE_OF_SEGMENT[attach] * (far - near)


@dataclass(frozen=True, kw_only=True)
class Line:
    """One stretched line over F frames: from `start` (F, 3) [m]; `shares` of its tension pull on each arm."""

    start: Array
    shares: dict[Side, float]


def lines(use: BandUse, bones: Skeleton, *, side: Side, attach: dict[Side, Attach]) -> tuple[Line, ...]:
    """Return the stretched lines of a band in use: one a hand, or one from between the joined hands (half each)."""
    points = {each: pull_point(bones, each, attach.get(each, "hand")) for each in SIDES}
    if use.grip == "working":
        return (Line(start=points[side], shares={side: 1.0}),)
    if use.grip == "each":
        return tuple(Line(start=points[each], shares={each: 1.0}) for each in SIDES)
    middle = np.asarray((points["left"] + points["right"]) / 2)
    return (Line(start=middle, shares={"left": 0.5, "right": 0.5}),)
