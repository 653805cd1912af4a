"""From the poses of an exercise to a movement: postures over frames, for one body, chair and side."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from firstpush.core.body.hands import direction, solve_arm
from firstpush.core.body.legs import legs
from firstpush.core.body.posture import (
    SIGN,
    ArmAngles,
    Posture,
    Skeleton,
    hip_centre,
    humerus_rotation,
    plane_and_elevation,
    shoulder_in_thorax,
    skeleton,
    thorax_rotation,
)
from firstpush.core.body.rotations import Array, about_axis, geodesic, turn
from firstpush.core.exercises.definition import ArmPose, Exercise, HandTarget, Pose
from firstpush.core.people.athlete import SIDES, Chair, Side
from firstpush.core.people.body_size import BodySize

FRAMES_PER_PHASE = 21


@dataclass(frozen=True, kw_only=True)
class Movement:
    """A movement over F frames, from the start pose to the last; the way back is the same in reverse.

    Parameters
    ----------
    share : array (F,)
        Share of the time of the movement, 0 to 1.
    posture : Posture
        Stacked over F.
    skeleton : Skeleton
        Stacked over F.
    start_of_pose : tuple of int
        Frame at which each pose is reached.
    """

    share: Array
    posture: Posture
    skeleton: Skeleton
    start_of_pose: tuple[int, ...]


def minimum_jerk(share: Array) -> Array:
    """Return how far a movement has come at `share` of its time, both 0 to 1, (n,).

    Source
    ------
    Flash and Hogan 1985, quintic of minimum jerk between rests (from memory).
    """
    return np.asarray(share**3 * (10 - 15 * share + 6 * share**2))


def movement(
    exercise: Exercise, body: BodySize, chair: Chair, *, side: Side, frames: int = FRAMES_PER_PHASE
) -> Movement:
    """Return the movement of `exercise` on `side` for one body in one chair.

    Parameters
    ----------
    exercise : Exercise
    body : BodySize
    chair : Chair
    side : str
        The working side.
    frames : int
        Frames a phase (pose to pose, or once round a circle).

    Returns
    -------
    Movement

    Raises
    ------
    OutOfRangeError
        When a hand target cannot be reached by this arm.
    """
    maker = _PoseMaker(body, chair, side)
    first = maker.pose(exercise.poses[0], before=None)
    starts: tuple[int, ...] = (0,)
    if exercise.circle is not None:
        posture = _circle(first, exercise.circle, side, frames)
        share = np.linspace(0.0, 1.0, frames)
    elif len(exercise.poses) == 1:
        posture, share = _stack([first]), np.zeros(1)
    else:
        parts: list[Posture] = []
        starts_list, held = [0], first
        for pose_from, pose_to in zip(exercise.poses, exercise.poses[1:], strict=False):
            reached = maker.pose(pose_to, before=held)
            part = maker.between(pose_from, held, pose_to, reached, frames)
            parts.append(part if not parts else _frames(part, slice(1, None)))
            starts_list.append(starts_list[-1] + frames - 1)
            held = reached
        posture, starts = _join(parts), tuple(starts_list)
        share = np.linspace(0.0, 1.0, starts[-1] + 1)
    return Movement(share=share, posture=posture, skeleton=skeleton(body, chair, posture), start_of_pose=starts)


class _PoseMaker:
    """Turns poses into postures for one body, chair and working side."""

    def __init__(self, body: BodySize, chair: Chair, side: Side) -> None:
        self.body, self.chair, self.side = body, chair, side

    def pose(self, pose: Pose, *, before: Posture | None) -> Posture:
        """Return the posture of one pose, without a leading shape."""
        trunk = self._trunk(pose)
        arms: dict[Side, ArmAngles] = {}
        posed = {side: pose.working if side == self.side else pose.other for side in SIDES}
        for side in sorted(SIDES, key=lambda each: _leans_on_other(posed[each])):
            arms[side] = self._arm(posed[side], side, trunk, before, arms)
        return Posture(**trunk, arms=arms)

    def between(self, pose_from: Pose, start: Posture, pose_to: Pose, end: Posture, frames: int) -> Posture:
        """Return `frames` postures from `start` to `end`: geodesic, or hands straight between two hand targets."""
        way = minimum_jerk(np.linspace(0.0, 1.0, frames))
        trunk = {
            name: getattr(start, name) + way * (getattr(end, name) - getattr(start, name)) for name in _TRUNK_FIELDS
        }
        arms = {}
        for side in SIDES:
            a, b = start.arms[side], end.arms[side]
            pa, pb = (p.working if side == self.side else p.other for p in (pose_from, pose_to))
            mixed = {
                n: getattr(a, n) + way * (getattr(b, n) - getattr(a, n)) for n in ("pronation", "protraction", "lift")
            }
            wrist = a.wrist + way * (b.wrist - a.wrist)
            stays = pb.target is not None and pb.target.at == "stay"
            if pb.target is not None and (pa.target is not None or stays) and not _leans_on_other(pb):
                solved = self._hand_straight(side, start, end, trunk, mixed, pa.target, pb.target, way)
                arms[side] = replace(solved, wrist=wrist)
            else:
                arms[side] = ArmAngles(
                    humerus=geodesic(a.humerus, b.humerus, way),
                    elbow=a.elbow + way * (b.elbow - a.elbow),
                    wrist=wrist,
                    **mixed,
                )
        return Posture(**trunk, arms=arms)

    def _trunk(self, pose: Pose) -> dict[str, Array]:
        s = SIGN[self.side]
        return {
            "trunk_turn": np.asarray(s * pose.turn_to_working_side),
            "trunk_flexion": np.asarray(pose.trunk_forward),
            "trunk_side_bend": np.asarray(-s * pose.lean_to_working_side),
            "head_turn": np.asarray(s * pose.head_turn),
            "head_nod": np.asarray(pose.head_nod),
            "head_side_bend": np.asarray(-s * pose.head_tilt),
            "head_forward": np.asarray(pose.head_forward),
        }

    def _arm(
        self,
        arm: ArmPose,
        side: Side,
        trunk: dict[str, Array],
        before: Posture | None,
        solved: dict[Side, ArmAngles],
    ) -> ArmAngles:
        extra = {n: np.asarray(getattr(arm, n)) for n in ("pronation", "protraction", "lift")}
        if arm.target is None:
            humerus = humerus_rotation(plane=arm.plane, elevation=arm.elevation, rotation=arm.rotation, side=side)
            return ArmAngles(humerus=humerus, elbow=np.asarray(arm.elbow), wrist=np.asarray(arm.wrist), **extra)
        thorax = thorax_rotation(Posture(**trunk, arms={}))
        if arm.target.at == "other elbow":
            hand = self._elbow_of_other(arm.target, side, solved)
        else:
            hand = self._target(arm.target, side, thorax, before)
        straight = solve_arm(
            self.body, side=side, hand=hand, elbow_towards=direction(arm.target.elbow_points, side), **extra
        )
        return replace(straight, wrist=np.asarray(arm.wrist))

    def _elbow_of_other(self, target: HandTarget, side: Side, solved: dict[Side, ArmAngles]) -> Array:
        """Return the elbow of the other arm, with the target's offset, in the thorax frame [m], (3,)."""
        other: Side = "left" if side == "right" else "right"
        arm = solved[other]
        _, elevation = plane_and_elevation(arm.humerus, other)
        _, shoulder = shoulder_in_thorax(
            self.body, side=other, elevation=elevation, protraction=arm.protraction, lift=arm.lift
        )
        offset = self.body.reach * np.array([target.forward, SIGN[side] * target.out, target.up])
        return np.asarray(shoulder - self.body.upper_arm.value * arm.humerus[..., :, 2] + offset)

    def _hand_straight(
        self,
        side: Side,
        start: Posture,
        end: Posture,
        trunk: dict[str, Array],
        mixed: dict[str, Array],
        target_from: HandTarget | None,
        target_to: HandTarget,
        way: Array,
    ) -> ArmAngles:
        straight = [
            replace(posture, arms={**posture.arms, side: replace(posture.arms[side], wrist=np.zeros(()))})
            for posture in (start, end)
        ]
        points = [skeleton(self.body, self.chair, posture).arms[side].hand for posture in straight]
        hand_world = points[0] + way[:, None] * (points[1] - points[0])
        thorax = thorax_rotation(Posture(**trunk, arms={}))
        hand = turn(np.swapaxes(thorax, -1, -2), hand_world - hip_centre(self.chair))
        # An arm posed by angles starts with its elbow where it is: opposite to where the forearm bends.
        pole_a = -start.arms[side].humerus[..., 0] if target_from is None else direction(target_from.elbow_points, side)
        pole_b = direction(target_to.elbow_points, side)
        return solve_arm(
            self.body, side=side, hand=hand, elbow_towards=pole_a + way[:, None] * (pole_b - pole_a), **mixed
        )

    def _target(self, target: HandTarget, side: Side, thorax: Array, before: Posture | None) -> Array:
        """Return the grip centre from the hip centre in the thorax frame [m], (3,)."""
        body, chair, s, back = self.body, self.chair, SIGN[side], np.swapaxes(thorax, -1, -2)
        offset = body.reach * np.array([target.forward, s * target.out, target.up])
        hip = hip_centre(chair)
        if target.at == "stay":
            assert before is not None, "the loader refuses a first pose that stays"
            return turn(back, skeleton(body, chair, before).arms[side].hand - hip)
        if target.at in ("sternum", "shoulder", "hips"):
            height, across = body.shoulder_height.value, body.shoulder_half_width.value
            base = {
                "sternum": (0.0, 0.0, 0.80 * height),
                "shoulder": (0.0, s * across, height),
                "hips": (0.0, 0.0, 0.0),
            }
            return np.array(base[target.at]) + offset
        if target.at == "thigh":
            leg = legs(body, chair)[side]
            on_top = np.array([0.0, 0.0, 0.062 * body.stature.value])
            end = leg.knee if leg.knee is not None else leg.end
            return turn(back, leg.hip + 0.62 * (end - leg.hip) + on_top - hip) + offset
        radius = chair.wheel_diameter / 2
        tilt, rim = chair.camber, 0.86 * radius
        if target.at == "rim":
            flat = np.array([rim * np.sin(target.clock), s * 0.035, rim * np.cos(target.clock)])
        else:
            flat = np.array([0.05 + radius * 0.35, 0.0, radius + 0.02])
        hub = np.array([0.0, s * chair.hub_width / 2, radius * np.cos(tilt)])
        # Camber leans the top of the wheel inwards: a turn about X that takes Z towards the midline.
        leaning = about_axis((1.0, 0.0, 0.0), s * tilt)
        return turn(back, hub + turn(leaning, flat) - hip) + offset


def _leans_on_other(arm: ArmPose) -> bool:
    return arm.target is not None and arm.target.at == "other elbow"


def _circle(first: Posture, half_angle: float, side: Side, frames: int) -> Posture:
    """Return the postures of the straight arm going once round a cone about where it points in `first`."""
    arm = first.arms[side]
    plane, elevation = plane_and_elevation(arm.humerus, side)
    round_ = np.linspace(0.0, 2 * np.pi, frames)
    s = SIGN[side]
    up = humerus_rotation(plane=plane, elevation=elevation, rotation=0.0, side=side)
    # Tip the arm by the half angle, always about an axis square to it: no twist is added on the way round.
    square = np.stack([s * np.cos(round_), np.sin(round_), np.zeros(frames)], axis=-1)
    tipped = up @ about_axis(square, half_angle) @ np.swapaxes(up, -1, -2) @ arm.humerus
    still = {n: np.broadcast_to(getattr(arm, n), frames) for n in _ARM_FIELDS[1:]}
    arms = {o: _repeat(first.arms[o], frames) for o in SIDES}
    arms[side] = ArmAngles(humerus=tipped, **still)
    return Posture(**{name: np.broadcast_to(getattr(first, name), frames) for name in _TRUNK_FIELDS}, arms=arms)


_ARM_FIELDS = ("humerus", "elbow", "pronation", "protraction", "lift", "wrist")
_TRUNK_FIELDS = (
    "trunk_turn",
    "trunk_flexion",
    "trunk_side_bend",
    "head_turn",
    "head_nod",
    "head_side_bend",
    "head_forward",
)


def _repeat(arm: ArmAngles, frames: int) -> ArmAngles:
    return ArmAngles(**{n: np.broadcast_to(getattr(arm, n), (frames, *np.shape(getattr(arm, n)))) for n in _ARM_FIELDS})


def _stack(postures: list[Posture]) -> Posture:
    return Posture(
        **{n: np.stack([getattr(p, n) for p in postures]) for n in _TRUNK_FIELDS},
        arms={
            side: ArmAngles(**{n: np.stack([getattr(p.arms[side], n) for p in postures]) for n in _ARM_FIELDS})
            for side in SIDES
        },
    )


def _frames(posture: Posture, index: slice) -> Posture:
    return Posture(
        **{n: getattr(posture, n)[index] for n in _TRUNK_FIELDS},
        arms={side: ArmAngles(**{n: getattr(posture.arms[side], n)[index] for n in _ARM_FIELDS}) for side in SIDES},
    )


def _join(parts: list[Posture]) -> Posture:
    return Posture(
        **{n: np.concatenate([getattr(p, n) for p in parts]) for n in _TRUNK_FIELDS},
        arms={
            side: ArmAngles(**{n: np.concatenate([getattr(p.arms[side], n) for p in parts]) for n in _ARM_FIELDS})
            for side in SIDES
        },
    )
