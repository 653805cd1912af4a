"""The load an exercise names, linear in the force of the band: load = gravity part + Σ force · lever."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from firstpush.core.body.moments import (
    ArmMoments,
    TrunkMoment,
    arm_moments,
    shoulder_axes,
    trunk_moment,
)
from firstpush.core.body.posture import SIGN, Skeleton
from firstpush.core.body.rotations import Array
from firstpush.core.exercises.definition import Attach
from firstpush.core.people.athlete import SIDES, Side
from firstpush.core.people.body_size import BodySize
from firstpush.core.setup.pull_points import BEYOND, pull_point

_SHOULDER: dict[str, tuple[str, float]] = {
    "external rotation": ("external_rotation", 1.0),
    "internal rotation": ("external_rotation", -1.0),
    "elevation": ("elevation", 1.0),
    "depression": ("elevation", -1.0),
    "horizontal adduction": ("horizontal_adduction", 1.0),
    "horizontal abduction": ("horizontal_adduction", -1.0),
    "flexion": ("flexion", 1.0),
    "extension": ("flexion", -1.0),
    "abduction": ("abduction", 1.0),
    "adduction": ("abduction", -1.0),
}


@dataclass(frozen=True, kw_only=True)
class NamedLoad:
    """One load over F frames: `gravity` (F,) [N·m], and for each arm the `lever` (F, 3) [m] of a force on it.

    A force (F, 3) on an arm adds its dot product with that arm's lever; positive is what the exercise means to load.
    In a chain the axis changes from link to link: `scale` (F,) brings each link to the target of the first, and
    `counted` (F,) leaves out the links that only pass through. Both are None for a single movement.
    """

    gravity: Array
    levers: dict[Side, Array]
    scale: Array | None = None
    counted: NDArray[np.bool_] | None = None

    def compared(self, load: Array) -> Array:
        """Return `load` (..., F) on the scale of the first link, the frames that count alone (..., F')."""
        if self.counted is None or self.scale is None:
            return load
        return np.asarray((load * self.scale)[..., self.counted])

    def limiting_frame(self, load: Array) -> int:
        """Return the frame of `load` (F,) at which the load is nearest to what is wanted of its link."""
        if self.counted is None or self.scale is None:
            return int(np.argmax(load))
        return int(np.argmax(np.where(self.counted, load * self.scale, -np.inf)))

    def of(self, forces: dict[Side, Array]) -> Array:
        """Return the load (F,) under `forces` on the arms [N·m]."""
        total = self.gravity
        for side, force in forces.items():
            if side in self.levers:
                total = total + np.sum(force * self.levers[side], axis=-1)
        return total


def named_load(
    loads: str, body: BodySize, bones: Skeleton, *, side: Side, attach: dict[Side, Attach]
) -> NamedLoad | None:
    """Return the load named `loads` of an exercise on `side`, or None for "none".

    Parameters
    ----------
    loads : str
        One of `firstpush.core.exercises.definition.LOADS`.
    body : BodySize
    bones : Skeleton
        Over F frames.
    side : str
        Working side.
    attach : dict of side to str
        Where the band pulls on each arm.

    Returns
    -------
    NamedLoad or None

    Source
    ------
    Moment of a force about a line: n · (−(r − joint) × F) = F · (−n × (r − joint)); docs/why/statics.md.
    """
    arm = bones.arms[side]
    s = SIGN[side]
    if loads == "none":
        return None
    if loads == "trunk turn":
        # Away from the working side, where the post stands.
        normal = -s * bones.thorax_frame[..., :, 2]
        levers = {
            each: -np.cross(normal, pull_point(bones, each, attach.get(each, "hand")) - bones.hip_centre)
            for each in SIDES
        }
        resting = trunk_moment(body, bones)
        return NamedLoad(gravity=-s * resting.turn, levers=levers)
    hand = pull_point(bones, side, attach.get(side, "hand"))
    resting_arm = arm_moments(body, bones, side=side)
    if loads in ("retraction", "protraction"):
        sign = 1.0 if loads == "retraction" else -1.0
        normal = sign * s * bones.thorax_frame[..., :, 2]
        lever = -np.cross(normal, arm.shoulder - arm.sternoclavicular)
        return NamedLoad(gravity=np.zeros(lever.shape[:-1]), levers={side: lever})
    if loads in ("elbow flexion", "elbow extension"):
        sign = 1.0 if loads == "elbow flexion" else -1.0
        normal = -sign * arm.humerus_frame[..., :, 1]
        felt = BEYOND[attach.get(side, "hand")] != "upper arm"
        lever = -np.cross(normal, hand - arm.elbow) * float(felt)
        return NamedLoad(gravity=sign * resting_arm.elbow_flexion, levers={side: lever})
    if loads == "wrist extension":
        normal = s * arm.forearm_frame[..., :, 0]
        felt = BEYOND[attach.get(side, "hand")] == "hand"
        lever = -np.cross(normal, hand - arm.wrist) * float(felt)
        return NamedLoad(gravity=np.sum(resting_arm.wrist_world * normal, axis=-1), levers={side: lever})
    name, sign = _SHOULDER[loads]
    normal = sign * shoulder_axes(arm, bones.thorax_frame, side)[name]
    return NamedLoad(
        gravity=sign * getattr(resting_arm.shoulder, name), levers={side: -np.cross(normal, hand - arm.shoulder)}
    )


def chain_load(parts: Sequence[tuple[slice, NamedLoad, float]], *, frames: int) -> NamedLoad:
    """Return the load of a chain over `frames` frames from its loaded links.

    Parameters
    ----------
    parts : sequence of (frames, load, wanted)
        For each link that loads something, its frames, its load over all frames, and the load wanted of it [N·m].
        The link with the largest share of its wanted load sets the band: no link is ever beyond its own.
    frames : int
        F.
    """
    first_wanted = parts[0][2]
    gravity, scale = np.zeros(frames), np.zeros(frames)
    counted = np.zeros(frames, dtype=bool)
    sides = dict.fromkeys(side for _, load, _ in parts for side in load.levers)
    levers = {side: np.zeros((frames, 3)) for side in sides}
    for where, load, wanted in parts:
        gravity[where] = load.gravity[where]
        scale[where] = first_wanted / wanted
        counted[where] = True
        for side, lever in load.levers.items():
            levers[side][where] = lever[where]
    return NamedLoad(gravity=gravity, levers=levers, scale=scale, counted=counted)


@dataclass(frozen=True, kw_only=True)
class AllMoments:
    """Moments of both arms and the trunk over F frames."""

    arms: dict[Side, ArmMoments]
    trunk: TrunkMoment


def all_moments(body: BodySize, bones: Skeleton, forces: dict[Side, Array], attach: dict[Side, Attach]) -> AllMoments:
    """Return every moment under `forces` (F, 3) on the arms [N]."""
    arms = {
        side: arm_moments(
            body,
            bones,
            side=side,
            force=forces.get(side),
            at=pull_point(bones, side, attach.get(side, "hand")),
            beyond=BEYOND[attach.get(side, "hand")],
        )
        for side in SIDES
    }
    on_trunk = [(pull_point(bones, side, attach.get(side, "hand")), force) for side, force in forces.items()]
    return AllMoments(arms=arms, trunk=trunk_moment(body, bones, on_trunk))
