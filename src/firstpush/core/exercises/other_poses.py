"""The same exercise with other poses: turned further or less, or one link of a chain alone."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from math import radians

from firstpush.core.exercises.definition import DoseOption, Exercise, Pose
from firstpush.core.measured import Measured
from firstpush.core.tables import read_table

TURN_STEP = Measured(
    name="turn or lean of the trunk added or taken away at a time",
    value=radians(5.0),
    unit="rad",
    spread=0.0,
    source="the smallest turn that is seen from outside",
    known="our choice",
)


def largest_turn(exercise: Exercise) -> tuple[str, float]:
    """Return what the trunk does most, "turn" or "lean", and how far [rad]; the turn where it does neither."""
    turn = max((abs(pose.turn_to_working_side) for pose in exercise.poses), default=0.0)
    lean = max((abs(pose.lean_to_working_side) for pose in exercise.poses), default=0.0)
    return ("lean", lean) if lean > turn else ("turn", turn)


def with_added_turn(exercise: Exercise, angle: float) -> Exercise | None:
    """Return the exercise with the trunk turned (or leaned) further by `angle`, or less when it is negative.

    Parameters
    ----------
    exercise : Exercise
        All its turns grow in proportion; where it has none, the last pose turns away from the post.
    angle : float
        Added to the largest turn [rad].

    Returns
    -------
    Exercise or None
        None where nothing would be left of the turn, or a joint would pass its limit.
    """
    what, now = largest_turn(exercise)
    limit = radians(
        read_table("joint_limits").number("trunk turn" if what == "turn" else "trunk side bend", "highest_deg")
    )
    if not 0.0 < now + angle <= limit + 1e-9:
        return None
    if now == 0.0:
        toward_post = exercise.band is not None and exercise.band.anchor_side == "other side"
        last = exercise.poses[-1]
        turned = replace(last, turn_to_working_side=angle if toward_post else -angle)
        return replace(exercise, poses=(*exercise.poses[:-1], turned))
    factor = (now + angle) / now

    def further(pose: Pose) -> Pose:
        if what == "turn":
            return replace(pose, turn_to_working_side=factor * pose.turn_to_working_side)
        return replace(pose, lean_to_working_side=factor * pose.lean_to_working_side)

    return replace(exercise, poses=tuple(further(pose) for pose in exercise.poses))


def link_alone(exercise: Exercise, index: int) -> Exercise:
    """Return one link of a chain as an exercise of its own: the two poses it lies between, its axis, its start load.

    Parameters
    ----------
    exercise : Exercise
        A chain.
    index : int
        Of the pose that the link ends in, as in `Exercise.loaded_links`.

    Raises
    ------
    KeyError
        When no loaded link ends there.
    """
    link = dict(exercise.loaded_links)[index]
    share = 1 / (len(exercise.poses) - 1)
    end = exercise.poses[index]

    def shortened(doses: Iterable[DoseOption]) -> tuple[DoseOption, ...]:
        return tuple(replace(dose, out_s=share * dose.out_s, back_s=share * dose.back_s) for dose in doses)

    return replace(
        exercise,
        title=f"{exercise.title}: {end.name} alone",
        loads=link.loads,
        aims=(link.aim,),
        start_load=link.start_load,
        poses=(replace(exercise.poses[index - 1], link=None), replace(end, link=None)),
        doses=shortened(exercise.doses),
        by_hand=shortened(exercise.by_hand),
    )
