"""The pose convention and forward kinematics: joint angles and sizes in, points and frames out.

World X forward, Y left, Z up, origin on the floor under the middle of the rear axle.
Side sign s is +1 left and -1 right. Everything is stacked: a leading shape (...) of frames or samples.
The algebra, with pictures of each angle, is in docs/why/poses.md.
"""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import ArrayLike

from firstpush.core.body.rotations import Array, about_axis, about_x, about_y, about_z, turn
from firstpush.core.measured import Measured
from firstpush.core.people.athlete import SIDES, Chair, Side
from firstpush.core.people.body_size import HIP_CENTRE_ABOVE_SEAT, BodySize

SIGN: dict[Side, float] = {"left": 1.0, "right": -1.0}

CLAVICLE_RISE = Measured(
    name="clavicle elevation per angle of arm elevation beyond 30 degrees",
    value=0.15,
    unit="1",
    spread=0.05,
    source="about 22 degrees at full elevation",
    known="from memory",
)
CLAVICLE_RISE_FROM = Measured(
    name="arm elevation at which the clavicle begins to rise",
    value=np.radians(30.0),
    unit="rad",
    spread=np.radians(10.0),
    source="setting phase",
    known="from memory",
)
STERNOCLAVICULAR = Measured(
    name="sternoclavicular joint in front of the shoulder centres, and from the midline, fraction of stature",
    value=0.025,
    unit="1",
    spread=0.008,
    source="",
    known="from memory",
)
HEAD_CENTRE_ABOVE_SHOULDERS = Measured(
    name="head centre above the shoulder centres, fraction of stature",
    value=0.936 - 0.818 + 0.021,
    unit="1",
    spread=0.01,
    source="eye height 0.936, acromion 0.818, joint centre 0.021 below it",
    known="from memory",
)
NECK_ABOVE_SHOULDERS = Measured(
    name="base of the neck above the shoulder centres, fraction of stature",
    value=0.03,
    unit="1",
    spread=0.005,
    source="",
    known="our choice",
)
HEAD_BEFORE_NECK = Measured(
    name="head centre in front of the neck, fraction of stature",
    value=0.012,
    unit="1",
    spread=0.005,
    source="",
    known="our choice",
)
HEAD_SHARE_OF_TRUNK_LEAN = Measured(
    name="share of the trunk's lean that the head follows: it looks ahead",
    value=0.5,
    unit="1",
    spread=0.2,
    source="",
    known="our choice",
)
HEAD_SHARE_OF_TRUNK_TURN = Measured(
    name="share of the trunk's turn that the head follows",
    value=0.25,
    unit="1",
    spread=0.0,
    source="",
    known="our choice",
)


@dataclass(frozen=True, kw_only=True)
class ArmAngles:
    """Angles of one arm, stacked over (...).

    Parameters
    ----------
    humerus : array (..., 3, 3)
        Humerus to thorax; see `humerus_rotation`.
    elbow : array (...)
        Flexion, 0 straight [rad].
    pronation : array (...)
        Forearm pronation, 0 thumb up with the elbow bent and the forearm forward [rad].
    protraction, lift : array (...)
        Clavicle forward and up, on top of the default rise with the arm [rad].
    wrist : array (...)
        Extension, towards the back of the hand [rad].
    """

    humerus: Array
    elbow: Array
    pronation: Array
    protraction: Array
    lift: Array
    wrist: Array = field(default_factory=lambda: np.zeros(()))


@dataclass(frozen=True, kw_only=True)
class Posture:
    """Angles of the trunk and both arms, stacked over (...).

    `trunk_turn` is positive to the left, `trunk_flexion` forward, `trunk_side_bend` to the right [rad]; the head's
    angles are the same, on top of what it follows of the trunk; `head_forward` slides it, as a share of stature [1].
    """

    trunk_turn: Array
    trunk_flexion: Array
    trunk_side_bend: Array
    arms: dict[Side, ArmAngles]
    head_turn: Array = field(default_factory=lambda: np.zeros(()))
    head_nod: Array = field(default_factory=lambda: np.zeros(()))
    head_side_bend: Array = field(default_factory=lambda: np.zeros(()))
    head_forward: Array = field(default_factory=lambda: np.zeros(()))


@dataclass(frozen=True, kw_only=True)
class ArmPoints:
    """Points [m] and frames of one arm in the world, stacked over (...).

    `hand` is the grip centre, the one definition for physics and picture.
    `humerus_frame` and `forearm_frame` turn segment coordinates into world coordinates:
    Z to the shoulder end, X of the forearm to the thumb in neutral rotation.
    """

    sternoclavicular: Array
    shoulder: Array
    elbow: Array
    wrist: Array
    hand: Array
    humerus_frame: Array
    forearm_frame: Array
    elevation: Array
    plane: Array


@dataclass(frozen=True, kw_only=True)
class Skeleton:
    """Where the body is, stacked over (...): points [m] in the world and frames (segment to world)."""

    hip_centre: Array
    thorax_frame: Array
    neck: Array
    head: Array
    head_frame: Array
    arms: dict[Side, ArmPoints]


def humerus_rotation(*, plane: ArrayLike, elevation: ArrayLike, rotation: ArrayLike, side: Side) -> Array:
    """Return humerus to thorax from clinical angles, as a swing and a twist.

    Parameters
    ----------
    plane : array (...)
        Plane of elevation: 0 to the side, pi/2 forward, -pi/2 behind [rad].
    elevation : array (...)
        0 arm by the side, pi/2 horizontal [rad].
    rotation : array (...)
        External rotation positive; 0 with the elbow bent points the forearm forward when the arm hangs
        or is abducted [rad].
    side : str
        "left" or "right".

    Returns
    -------
    array (..., 3, 3)

    Holds for
    ---------
    Elevation below pi, where plane and rotation become one.

    Examples
    --------
    Abduction 90, rotation 90: the bent forearm points up.

    >>> R = humerus_rotation(plane=0, elevation=np.pi / 2, rotation=np.pi / 2, side="right")
    >>> turn(R, [1, 0, 0]).round(9) + 0.0
    array([0., 0., 1.])
    """
    s = SIGN[side]
    plane, elevation, rotation = np.broadcast_arrays(
        np.asarray(plane, float), np.asarray(elevation, float), np.asarray(rotation, float)
    )
    axis = np.stack([s * np.cos(plane), -np.sin(plane), np.zeros_like(plane)], axis=-1)
    return np.asarray(about_axis(axis, elevation) @ about_z(s * rotation))


def plane_and_elevation(humerus: Array, side: Side) -> tuple[Array, Array]:
    """Return plane and elevation [rad] of `humerus` (..., 3, 3), humerus to thorax; plane 0 when the arm hangs."""
    direction = -humerus[..., :, 2]
    across = SIGN[side] * direction[..., 1]
    elevation = np.arctan2(np.hypot(direction[..., 0], across), -direction[..., 2])
    plane = np.where(elevation > 1e-9, np.arctan2(direction[..., 0], across), 0.0)
    return plane, elevation


def external_rotation(humerus: Array, side: Side) -> Array:
    """Return the external rotation [rad] of `humerus` (..., 3, 3), the twist left when the swing is taken off."""
    plane, elevation = plane_and_elevation(humerus, side)
    swing = humerus_rotation(plane=plane, elevation=elevation, rotation=np.zeros_like(plane), side=side)
    twist = np.swapaxes(swing, -1, -2) @ humerus
    return np.asarray(SIGN[side] * np.arctan2(twist[..., 1, 0], twist[..., 0, 0]))


def thorax_rotation(posture: Posture) -> Array:
    """Return thorax to world, (..., 3, 3)."""
    return np.asarray(about_z(posture.trunk_turn) @ about_y(posture.trunk_flexion) @ about_x(posture.trunk_side_bend))


def hip_centre(chair: Chair) -> Array:
    """Return the middle between the hip joints [m], shape (3,): the trunk turns about it."""
    return np.array([chair.hip_to_axle, 0.0, chair.seat_height + HIP_CENTRE_ABOVE_SEAT.value])


def shoulder_in_thorax(
    body: BodySize, *, side: Side, elevation: ArrayLike, protraction: ArrayLike, lift: ArrayLike
) -> tuple[Array, Array]:
    """Return sternoclavicular joint and shoulder centre from the hip centre in the thorax frame [m].

    Parameters
    ----------
    body : BodySize
    side : str
    elevation : array (...)
        Of the humerus [rad]; the clavicle rises with it.
    protraction, lift : array (...)
        Clavicle forward and up on top of that [rad].

    Returns
    -------
    sternoclavicular : array (3,)
    shoulder : array (..., 3)
    """
    s = SIGN[side]
    ahead = STERNOCLAVICULAR.value * body.stature.value
    joint = np.array([ahead, s * ahead, body.shoulder_height.value])
    rest = np.array([0.0, s * body.shoulder_half_width.value, body.shoulder_height.value]) - joint
    rise = CLAVICLE_RISE.value * np.maximum(np.asarray(elevation) - CLAVICLE_RISE_FROM.value, 0.0)
    frame = about_z(-s * np.asarray(protraction)) @ about_x(s * (rise + np.asarray(lift)))
    return joint, joint + turn(frame, rest)


def forearm_rotation(*, elbow: ArrayLike, pronation: ArrayLike, side: Side) -> Array:
    """Return forearm to humerus, (..., 3, 3), from elbow flexion and pronation [rad]."""
    return np.asarray(about_y(-np.asarray(elbow, float)) @ about_z(-SIGN[side] * np.asarray(pronation, float)))


def skeleton(body: BodySize, chair: Chair, posture: Posture) -> Skeleton:
    """Return where every joint is, in the world.

    Parameters
    ----------
    body : BodySize
    chair : Chair
        Gives the hip centre; the pelvis stays on the seat.
    posture : Posture
        Angles stacked over (...).

    Returns
    -------
    Skeleton
        Points (..., 3) [m] and frames (..., 3, 3).
    """
    thorax = thorax_rotation(posture)
    hip = hip_centre(chair)
    arms: dict[Side, ArmPoints] = {}
    for side in SIDES:
        angles = posture.arms[side]
        plane, elevation = plane_and_elevation(angles.humerus, side)
        joint, shoulder = shoulder_in_thorax(
            body, side=side, elevation=elevation, protraction=angles.protraction, lift=angles.lift
        )
        humerus_frame = np.asarray(thorax @ angles.humerus)
        forearm_frame = np.asarray(
            humerus_frame @ forearm_rotation(elbow=angles.elbow, pronation=angles.pronation, side=side)
        )
        shoulder_world = hip + turn(thorax, shoulder)
        elbow = shoulder_world - body.upper_arm.value * humerus_frame[..., :, 2]
        wrist = elbow - body.forearm.value * forearm_frame[..., :, 2]
        # The wrist bends about the line through the thumb side: X of the forearm.
        hand_frame = np.asarray(forearm_frame @ about_x(SIGN[side] * np.asarray(angles.wrist, float)))
        arms[side] = ArmPoints(
            sternoclavicular=hip + turn(thorax, joint),
            shoulder=shoulder_world,
            elbow=elbow,
            wrist=wrist,
            hand=wrist - body.hand.value * hand_frame[..., :, 2],
            humerus_frame=humerus_frame,
            forearm_frame=forearm_frame,
            elevation=elevation,
            plane=plane,
        )
    follow = HEAD_SHARE_OF_TRUNK_TURN.value
    head_frame = (
        about_z(follow * posture.trunk_turn + posture.head_turn)
        @ about_y(HEAD_SHARE_OF_TRUNK_LEAN.value * posture.trunk_flexion + posture.head_nod)
        @ about_x(posture.head_side_bend)
    )
    H = body.stature.value
    neck_base = np.array([0.0, 0.0, body.shoulder_height.value + NECK_ABOVE_SHOULDERS.value * H])
    neck = hip + turn(thorax, neck_base)
    up = (HEAD_CENTRE_ABOVE_SHOULDERS.value - NECK_ABOVE_SHOULDERS.value) * H
    slide = np.asarray(posture.head_forward)[..., None] * H * np.asarray(head_frame)[..., :, 0] * (1.0, 1.0, 0.0)
    return Skeleton(
        hip_centre=np.broadcast_to(hip, neck.shape),
        thorax_frame=thorax,
        neck=neck,
        head=neck + turn(np.asarray(head_frame), (HEAD_BEFORE_NECK.value * H, 0.0, up)) + slide,
        head_frame=np.asarray(head_frame),
        arms=arms,
    )
