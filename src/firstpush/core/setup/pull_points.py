"""Where the band pulls on an arm, and the lines it makes: one a hand, one for joined hands, one between the hands."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from firstpush.core.body.posture import SIGN, Skeleton
from firstpush.core.body.rotations import Array
from firstpush.core.exercises.definition import Attach, BandUse, ChairPoint
from firstpush.core.people.athlete import SIDES, Chair, Side
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
    """One stretched line over F frames.

    Parameters
    ----------
    start : array (..., F, 3)
        Where it begins, at the hand [m].
    shares : dict of side to float
        Shares of its tension that pull on each arm.
    end : array (..., F, 3) or None
        Where it ends when that is on the chair or in the other hand; None for a post, which is given apart [m].
    reaction : str or None
        Arm that holds the other end and is pulled the other way.
    """

    start: Array
    shares: dict[Side, float]
    end: Array | None = None
    reaction: Side | None = None

    def way_to(self, anchor: Array | None) -> Array:
        """Return the vector from hand to anchor (..., F, 3) [m]; `anchor` (..., 3) is the place on a post."""
        if self.end is not None:
            return np.asarray(self.end - self.start)
        assert anchor is not None, "a line to a post needs the place on the post"
        return np.asarray(anchor[..., None, :] - self.start)


def lines(use: BandUse, bones: Skeleton, chair: Chair, *, side: Side, attach: dict[Side, Attach]) -> tuple[Line, ...]:
    """Return the stretched lines of a band in use.

    Parameters
    ----------
    use : BandUse
    bones : Skeleton
    chair : Chair
        For bands fixed to it.
    side : str
        Working side.
    attach : dict of side to str
        Where the band pulls on each arm.
    """
    points = {each: pull_point(bones, each, attach.get(each, "hand")) for each in SIDES}
    other: Side = "left" if side == "right" else "right"
    if use.fixed_to == "other hand":
        return (Line(start=points[side], shares={side: 1.0}, end=points[other], reaction=other),)

    def ended(each: Side, start: Array) -> Array | None:
        if use.fixed_to == "post":
            return None
        across: Side = "left" if each == "right" else "right"
        on = across if use.chair_point_opposite else each
        return np.broadcast_to(chair_point(chair, use.chair_point, on), start.shape)

    if use.grip == "working":
        return (Line(start=points[side], shares={side: 1.0}, end=ended(side, points[side])),)
    if use.grip == "each":
        return tuple(Line(start=points[each], shares={each: 1.0}, end=ended(each, points[each])) for each in SIDES)
    middle = np.asarray((points["left"] + points["right"]) / 2)
    return (Line(start=middle, shares={"left": 0.5, "right": 0.5}, end=ended(side, middle)),)


def chair_point(chair: Chair, name: ChairPoint, side: Side) -> Array:
    """Return where a band is tied on the chair, (3,) [m]; reachable places of a rigid frame, our choice."""
    s, radius = SIGN[side], chair.wheel_diameter / 2
    hub_height = radius * np.cos(chair.camber)
    places = {
        "backrest": (chair.hip_to_axle - 0.14, s * 0.17, chair.seat_height + 0.8 * chair.backrest_height),
        "side rail": (0.6 * chair.wheelbase, s * 0.18, chair.seat_height - 0.06),
        "axle": (0.0, s * (chair.hub_width / 2 - 0.06), hub_height),
        "footplate": (chair.footplate_reach - 0.08, s * 0.10, 0.12),
    }
    return np.array(places[name])


def forces_on_arms(pull_lines: tuple[Line, ...], anchor: Array | None, tension: tuple[Array, ...]) -> dict[Side, Array]:
    """Return the force of the band on each arm (..., F, 3) [N].

    Parameters
    ----------
    pull_lines : tuple of Line
    anchor : array (..., 3) or None
        Place on the post; None when the band is fixed to the chair or the other hand [m].
    tension : tuple of array (..., F)
        Of each line [N].
    """
    forces: dict[Side, Array] = {}
    for line, pull in zip(pull_lines, tension, strict=True):
        way = line.way_to(anchor)
        force = pull[..., None] * way / np.linalg.norm(way, axis=-1, keepdims=True)
        for side, share in line.shares.items():
            forces[side] = forces.get(side, 0.0) + share * force
        if line.reaction is not None:
            forces[line.reaction] = forces.get(line.reaction, 0.0) - force
    return forces
