"""The hard checks on K ways to lay a band at once: other joints, the band's way, recoil, trunk, chair."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from firstpush.core.body.moments import ArmMoments
from firstpush.core.body.movement import Movement
from firstpush.core.body.rotations import Array
from firstpush.core.exercises.definition import Attach, Exercise
from firstpush.core.kit.kit import Ball
from firstpush.core.measured import GRAVITY
from firstpush.core.people.athlete import SIDES, Side, Strap
from firstpush.core.setup.cautions import straps_in
from firstpush.core.setup.chair_stability import ASKED_FACTOR as CHAIR_FACTOR
from firstpush.core.setup.chair_stability import ChairStability, chair_stability
from firstpush.core.setup.circumstances import Circumstances, upper_body, whole_centre
from firstpush.core.setup.clearance import BAND_CLEARANCE, RECOIL_CLEARANCE, band_clearance, recoil_distance
from firstpush.core.setup.loads import all_moments
from firstpush.core.setup.obstacles import HAND_FREE, HEAD_RADIUS, obstacles
from firstpush.core.setup.pull_points import Line, pull_point
from firstpush.core.setup.trunk_hold import ASKED_FACTOR as TRUNK_FACTOR
from firstpush.core.setup.trunk_hold import TrunkHold, trunk_hold
from firstpush.core.tables import read_table

CONDITIONS = (
    "another joint over its limit",
    "the band touches body or chair",
    "a slipping band would pass the head",
    "the trunk does not hold",
    "the chair does not hold",
)
CLEARANCE_EVERY = 3
"""Every third frame is looked at for what the band touches: between two of them a hand moves a few centimetres."""


@dataclass(frozen=True, kw_only=True)
class Trial:
    """What is being tried: exercise, side, support, movement and how the band is held."""

    exercise: Exercise
    side: Side
    movement: Movement
    attach: dict[Side, Attach]
    strap: Strap
    free_hand: bool
    ball: Ball | None

    @property
    def ball_weight(self) -> Array:
        """Weight of the ball (F, 3) [N]; nothing without one."""
        weight = np.zeros_like(self.movement.skeleton.neck)
        weight[..., 2] = 0.0 if self.ball is None else -self.ball.mass * GRAVITY.value
        return weight

    @property
    def held_ball(self) -> tuple[Ball, Side] | None:
        """The ball and the hand it is in."""
        return None if self.ball is None else (self.ball, self.side)


def limits_kept(case: Circumstances, trial: Trial, forces: dict[Side, Array]) -> NDArray[np.bool_]:
    """Return whether every joint that the exercise does not name keeps its limit, (K,)."""
    bones = trial.movement.skeleton
    moments = all_moments(case.body, bones, forces, trial.attach)
    kept = np.ones(next(iter(forces.values())).shape[0], dtype=bool)
    for side in trial.exercise.sides_of(trial.side):
        for limit, value in _compared(moments.arms[side], trial.exercise).items():
            kept &= np.all(np.abs(value) <= limit_of(limit), axis=-1)
        if side in forces:
            kept &= np.all(np.linalg.norm(forces[side], axis=-1) <= limit_of("hand pull"), axis=-1)
    return kept


def limit_of(joint: str) -> float:
    """Return the limit of one joint or of the hand pull [N·m or N]."""
    return read_table("moment_limits").number(joint, "limit")


def _compared(arm: ArmMoments, exercise: Exercise) -> dict[str, Array]:
    """Return the moments to be held against limits: all but the one that the exercise names."""
    found = {
        "elbow": np.linalg.norm(arm.elbow_world, axis=-1),
    }
    if not exercise.loads.startswith("wrist"):
        found["wrist"] = np.linalg.norm(arm.wrist_world, axis=-1)
    if exercise.loads not in ("elevation", "flexion", "abduction"):
        found["shoulder elevation"] = arm.shoulder.elevation
    if "rotation" not in exercise.loads:
        found["shoulder external rotation"] = arm.shoulder.external_rotation
    if "horizontal" not in exercise.loads:
        found["shoulder horizontal adduction"] = arm.shoulder.horizontal_adduction
    return found


def way_is_free(case: Circumstances, trial: Trial, pull_lines: tuple[Line, ...], anchors: Array) -> NDArray[np.bool_]:
    """Return whether the band keeps its distance from body and chair, for anchors (A, 3), as (A,)."""
    bones, frames = trial.movement.skeleton, slice(None, None, CLEARANCE_EVERY)
    pulling = tuple({side for line in pull_lines for side in (*line.shares, line.reaction) if side is not None})
    capsules = obstacles(case.body, case.chair, bones, pulling=pulling)
    use = trial.exercise.band
    soft = () if use is None else use.may_lie_on
    hard = [index for index, name in enumerate(capsules.names) if not name.endswith(soft)]
    looked_at = type(capsules)(
        names=tuple(capsules.names[index] for index in hard),
        start=capsules.start[frames][:, hard],
        end=capsules.end[frames][:, hard],
        radius=capsules.radius[hard],
    )
    free = np.ones(anchors.shape[0], dtype=bool)
    for line in pull_lines:
        far = anchors[:, None, :] if line.end is None else line.end[None, frames]
        if line.end is not None:
            # Where it is tied, the band touches the chair or the other hand.
            way = line.start[frames] - line.end[frames]
            length = np.linalg.norm(way, axis=-1, keepdims=True)
            far = far + np.minimum(HAND_FREE.value / length, 0.45) * way
        distance = band_clearance(
            hand=line.start[frames], anchor=far, capsules=looked_at, leave_out_at_hand=HAND_FREE.value
        )
        free &= distance.min(axis=(-1, -2)) >= BAND_CLEARANCE.value
    return free


def recoil_is_safe(
    case: Circumstances, trial: Trial, pull_lines: tuple[Line, ...], anchors: Array, marks: Array
) -> NDArray[np.bool_]:
    """Return whether a band that slips off stays away from the head, for K anchors (K, 3) and marks (K,)."""
    head = trial.movement.skeleton.head
    safe = np.ones(anchors.shape[0], dtype=bool)
    for line in pull_lines:
        far = anchors[:, None, :] if line.end is None else line.end
        # A band between the hands can slip out of either.
        for tied, held in [(far, line.start)] + ([(line.start, far)] if line.reaction else []):
            distance = recoil_distance(
                anchor=tied,
                hand=held,
                slack_length=marks[:, None],
                head_centre=head,
                head_radius=HEAD_RADIUS.value * case.body.stature.value,
            )
            safe &= distance.min(axis=-1) >= RECOIL_CLEARANCE.value
    return safe


def trunk(case: Circumstances, trial: Trial, forces: dict[Side, Array]) -> TrunkHold:
    """Return whether the trunk holds under forces (..., F, 3) on the arms."""
    bones = trial.movement.skeleton
    positions = np.stack([pull_point(bones, side, trial.attach.get(side, "hand")) for side in SIDES], axis=-2)
    zero = np.zeros_like(next(iter(forces.values()))) if forces else np.zeros_like(positions[..., 0, :])
    pulls = np.stack([forces.get(side, zero) for side in SIDES], axis=-2)
    return trunk_hold(
        posture=upper_body(case.body, bones, trial.held_ball),
        neutral=upper_body(case.body, case.sitting),
        hand_positions=positions,
        pulls=pulls,
        control=case.athlete.trunk,
        backrest_above_hips=case.backrest_above_hips,
        strap=trial.strap,
        free_hand=trial.free_hand,
        joined=trial.exercise.band is not None and trial.exercise.band.grip == "joined",
        straps_at_hand=straps_at_hand(case),
        one_arm_possible=trial.exercise.one_arm_variant,
        about=trial.exercise.title,
    )


def trunk_holds(case: Circumstances, trial: Trial, forces: dict[Side, Array]) -> NDArray[np.bool_]:
    """Return for K ways to pull, forces (K, F, 3), whether the trunk holds in every frame, (K,)."""
    return np.asarray(np.all(trunk(case, trial, forces).smallest_factor >= TRUNK_FACTOR.value, axis=-1))


def straps_at_hand(case: Circumstances) -> tuple[Strap, ...]:
    """Return the straps of the cupboard that may be put on this athlete, the lesser first.

    Who is not known to come back from leaning forward gets the tightest at once, which rolling asks for too: one strap
    then does for the whole session.
    """
    there = straps_in(case.kit)
    return there if case.athlete.trunk.forward in ("yes", "partly") else there[-1:]


def chair(case: Circumstances, trial: Trial, forces: dict[Side, Array]) -> ChairStability | None:
    """Return by what factor the chair holds under forces (..., F, 3) on the arms.

    None where no force comes from outside athlete and chair: a band tied to the chair or held in the other hand.
    """
    if trial.exercise.band is None or trial.exercise.band.fixed_to != "post":
        return None
    bones = trial.movement.skeleton
    centre = whole_centre(case, bones, trial.held_ball)
    sides = tuple(forces)
    positions = np.stack([pull_point(bones, side, trial.attach.get(side, "hand")) for side in sides], axis=-2)
    pulls = np.stack([forces[side] for side in sides], axis=-2)
    return chair_stability(
        weight=centre.weight,
        centre_of_mass=centre.position,
        hand_positions=positions,
        pulls=pulls,
        footprint=case.footprint,
        blocking=case.blocking,
        friction=case.floor.friction.value,
        rolling=case.floor.rolling.value,
        chock_height=case.kit.chock_height,
    )


def checked(
    case: Circumstances,
    trial: Trial,
    pull_lines: tuple[Line, ...],
    *,
    anchors: Array,
    marks: Array,
    forces: dict[Side, Array],
    free: NDArray[np.bool_],
    holds: NDArray[np.bool_] | None = None,
) -> dict[str, NDArray[np.bool_]]:
    """Return, for K ways to lay the band, whether each of `CONDITIONS` is kept.

    Parameters
    ----------
    case, trial, pull_lines
    anchors : array (K, 3)
    marks : array (K,)
    forces : dict of side to array (K, F, 3)
    free : array (K,) of bool
        From `way_is_free`, which depends on the anchor alone.
    holds : array (K,) of bool, optional
        From `trunk_holds`, where that was asked before.
    """
    stands = chair(case, trial, forces)
    standing = (
        np.ones(marks.size, dtype=bool) if stands is None else np.all(stands.factor >= CHAIR_FACTOR.value, axis=-1)
    )
    kept = (
        limits_kept(case, trial, forces),
        free,
        recoil_is_safe(case, trial, pull_lines, anchors, marks),
        trunk_holds(case, trial, forces) if holds is None else holds,
        standing,
    )
    return dict(zip(CONDITIONS, kept, strict=True))
