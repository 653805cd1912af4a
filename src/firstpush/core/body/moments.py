"""Joint moments by vector statics: the moment the muscles must give about clavicle, shoulder, elbow, wrist and hips.

    muscle moment about a joint = − Σ (r − joint) × force

over the segments beyond the joint and what acts on the hand. The free-body diagram is in docs/why/statics.md.
Quasi-static: what moves slower than 1.5 s a phase; docs/why/statics.md gives the error of faster ones.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from firstpush.core.body.posture import SIGN, ArmPoints, Skeleton
from firstpush.core.body.rotations import Array
from firstpush.core.errors import OutOfRangeError
from firstpush.core.measured import GRAVITY
from firstpush.core.people.athlete import SIDES, Side
from firstpush.core.people.body_size import ARM_SEGMENTS, ArmSegment, BodySize

DOWN = np.array([0.0, 0.0, -GRAVITY.value])


@dataclass(frozen=True, kw_only=True)
class Segment:
    """A segment's `mass` [kg] and centre of mass `com` (..., 3) [m]."""

    name: str
    mass: float
    com: Array


@dataclass(frozen=True, kw_only=True)
class ShoulderMoment:
    """Muscle moment about the shoulder [N·m], stacked over (...): three orthogonal parts whose squares add up.

    Parameters
    ----------
    world : array (..., 3)
    elevation, horizontal_adduction, external_rotation : array (...)
        In the humerus frame.
    flexion, abduction, axial : array (...)
        In the thorax frame: for movements that pass the arm by the side.
    """

    world: Array
    elevation: Array
    horizontal_adduction: Array
    external_rotation: Array
    flexion: Array
    abduction: Array
    axial: Array

    @property
    def magnitude(self) -> Array:
        """Length of the moment [N·m]."""
        return np.asarray(np.linalg.norm(self.world, axis=-1))


@dataclass(frozen=True, kw_only=True)
class ArmMoments:
    """Muscle moments of one arm [N·m], stacked over (...).

    `retraction` is hand force times clavicle lever about the upright axis of the thorax, positive when the muscles
    pull the shoulder blade back; the weight of the arm has no part in it.
    """

    shoulder: ShoulderMoment
    elbow_world: Array
    elbow_flexion: Array
    wrist_world: Array
    retraction: Array


@dataclass(frozen=True, kw_only=True)
class TrunkMoment:
    """Muscle moment about the hip centre [N·m]: `turn` to the left, `flexion` forward, `side_bend` to the right."""

    world: Array
    turn: Array
    flexion: Array
    side_bend: Array


def arm_segments(body: BodySize, arm: ArmPoints, side: Side) -> dict[ArmSegment, Segment]:
    """Return upper arm, forearm and hand with mass and centre of mass."""
    ends = {
        "upper arm": (arm.shoulder, arm.elbow),
        "forearm": (arm.elbow, arm.wrist),
        "hand": (arm.wrist, arm.hand),
    }
    found: dict[ArmSegment, Segment] = {}
    for name in ARM_SEGMENTS:
        near, far = ends[name]
        com = near + body.arm_com(name, side) * (far - near)
        found[name] = Segment(name=name, mass=body.arm_mass(name, side), com=com)
    return found


def upper_body_segments(body: BodySize, bones: Skeleton) -> list[Segment]:
    """Return head, trunk and both arms with mass and centre of mass.

    The trunk's is fixed in the thorax, from the resting shoulders to the hips: a lifted arm lifts no trunk.
    """
    above_hips = (1 - body.segment_com["trunk"]) * body.shoulder_height.value
    trunk = bones.hip_centre + above_hips * bones.thorax_frame[..., :, 2]
    found = [
        Segment(name="head", mass=body.segment_mass["head", None], com=bones.head),
        Segment(name="trunk", mass=body.segment_mass["trunk", None], com=trunk),
    ]
    for side in SIDES:
        found.extend(arm_segments(body, bones.arms[side], side).values())
    return found


def moment_about(joint: Array, segments: list[Segment], *, at: Array | None, force: ArrayLike | None) -> Array:
    """Return the muscle moment about `joint` (..., 3) [N·m].

    Parameters
    ----------
    joint : array (..., 3)
        [m].
    segments : list of Segment
        All that hangs beyond the joint.
    at : array (..., 3) or None
        Where the outside force acts [m].
    force : array (..., 3) or None
        Outside force on the body, for example of band and ball on the hand [N].
    """
    total = np.zeros(np.broadcast_shapes(joint.shape, *(s.com.shape for s in segments)))
    for segment in segments:
        total = total - np.cross(segment.com - joint, segment.mass * DOWN)
    if at is not None and force is not None:
        total = total - np.cross(at - joint, np.asarray(force, dtype=float))
    return total


def shoulder_axes(arm: ArmPoints, thorax_frame: Array, side: Side) -> dict[str, Array]:
    """Return the world directions of the six shoulder axes, each (..., 3).

    The first three are orthogonal in the humerus frame, the last three in the thorax frame.
    """
    s = SIGN[side]
    plane = arm.plane
    swing = np.stack([s * np.cos(plane), -np.sin(plane), np.zeros_like(plane)], axis=-1)
    elevation = np.einsum("...ij,...j->...i", thorax_frame, swing)
    along = arm.humerus_frame[..., :, 2]
    return {
        "elevation": elevation,
        "horizontal_adduction": s * np.cross(elevation, along),
        "external_rotation": s * along,
        "flexion": -thorax_frame[..., :, 1],
        "abduction": s * thorax_frame[..., :, 0],
        "axial": s * thorax_frame[..., :, 2],
    }


def shoulder_moment(world: Array, axes: dict[str, Array]) -> ShoulderMoment:
    """Return the clinical parts of a shoulder moment `world` (..., 3) [N·m] on `shoulder_axes`."""
    parts = {name: np.sum(world * axis, axis=-1) for name, axis in axes.items()}
    return ShoulderMoment(world=world, **parts)


def arm_moments(
    body: BodySize,
    bones: Skeleton,
    *,
    side: Side,
    force: ArrayLike | None = None,
    at: Array | None = None,
    beyond: ArmSegment = "hand",
) -> ArmMoments:
    """Return the muscle moments of one arm.

    Parameters
    ----------
    body : BodySize
    bones : Skeleton
        Stacked over (...).
    side : str
    force : array (..., 3) or None
        Outside force on the arm (band and ball) [N].
    at : array (..., 3) or None
        Where it acts; None is the grip centre [m].
    beyond : str
        Segment it acts on: a joint beyond that segment does not feel it (a cuff on the upper arm spares the elbow).

    Returns
    -------
    ArmMoments

    Raises
    ------
    OutOfRangeError
        When the force acts on another segment than the hand and no place is given.
    """
    arm = bones.arms[side]
    if at is None and beyond != "hand":
        raise OutOfRangeError(
            f"a force on the {beyond} needs its place, none was given; give at=, for example the middle of a cuff."
        )
    at = arm.hand if at is None else at
    parts = arm_segments(body, arm, side)
    reaches_elbow = beyond in ("forearm", "hand")
    shoulder = moment_about(arm.shoulder, list(parts.values()), at=at, force=force)
    elbow = moment_about(arm.elbow, [parts["forearm"], parts["hand"]], at=at, force=force if reaches_elbow else None)
    wrist = moment_about(arm.wrist, [parts["hand"]], at=at, force=force if beyond == "hand" else None)
    pull = np.zeros(3) if force is None else np.asarray(force, dtype=float)
    clavicle = -np.cross(arm.shoulder - arm.sternoclavicular, pull)
    upright = bones.thorax_frame[..., :, 2]
    return ArmMoments(
        shoulder=shoulder_moment(shoulder, shoulder_axes(arm, bones.thorax_frame, side)),
        elbow_world=elbow,
        elbow_flexion=-np.sum(elbow * arm.humerus_frame[..., :, 1], axis=-1),
        wrist_world=wrist,
        retraction=SIGN[side] * np.sum(clavicle * upright, axis=-1),
    )


def trunk_moment(body: BodySize, bones: Skeleton, forces: Sequence[tuple[Array, ArrayLike]] = ()) -> TrunkMoment:
    """Return the muscle moment about the hip centre.

    Parameters
    ----------
    body : BodySize
    bones : Skeleton
    forces : sequence of (at, force)
        Where each outside force acts (..., 3) [m] and the force (..., 3) [N].
    """
    world = moment_about(bones.hip_centre, upper_body_segments(body, bones), at=None, force=None)
    for at, force in forces:
        world = world - np.cross(at - bones.hip_centre, np.asarray(force, dtype=float))
    frame = bones.thorax_frame
    return TrunkMoment(
        world=world,
        turn=np.sum(world * frame[..., :, 2], axis=-1),
        flexion=np.sum(world * frame[..., :, 1], axis=-1),
        side_bend=np.sum(world * frame[..., :, 0], axis=-1),
    )
