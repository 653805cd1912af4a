"""An exercise set-up as plain data with units in the keys, for JSON files; None for "never" and unknown."""

from __future__ import annotations

from math import degrees, isfinite
from typing import Any

import numpy as np
from numpy.typing import ArrayLike

from firstpush.core.body.moments import ArmMoments, arm_segments
from firstpush.core.body.rotations import Array
from firstpush.core.exercises.definition import DoseOption
from firstpush.core.notices import Notice
from firstpush.core.people.athlete import SIDES, Side
from firstpush.core.setup.pull_points import pull_point
from firstpush.core.setup.result import BandSetup, Estimate, ExerciseSetup, SetupAnswer
from firstpush.core.setup.trunk_hold import DIRECTIONS, ByDirection

Plain = dict[str, Any]


def answer_document(answer: SetupAnswer, *, frames: bool) -> Plain:
    """Return what the search had to say.

    Parameters
    ----------
    answer : SetupAnswer
    frames : bool
        Whether every set-up carries its frames.
    """
    return {
        "answer": answer.answer,
        "tried": answer.tried,
        "failed": {wrong: count for wrong, count in answer.failed.items() if count},
        "notices": [notice_document(notice) for notice in answer.notices],
        "setups": [setup_document(setup, frames=frames) for setup in answer.setups],
    }


def setup_document(setup: ExerciseSetup, *, frames: bool = False) -> Plain:
    """Return one exercise set-up."""
    document: Plain = {
        "exercise": setup.exercise.id,
        "title": setup.exercise.title,
        "side": setup.side,
        "arms": list(setup.arms),
        "loads": setup.exercise.loads if setup.limiting is None else setup.limiting.loads,
        "band": None if setup.band is None else _band(setup.band),
        "ball": None
        if setup.ball is None
        else {"name": setup.ball.name, "mass_kg": setup.ball.mass, "diameter_m": setup.ball.diameter},
        "attach": {side: setup.attach.get(side, "hand") for side in SIDES},
        "blocking": setup.blocking,
        "strap": setup.strap,
        "support": list(setup.support),
        "strap_counts": setup.strap_counts,
        "target": None
        if setup.target is None
        else {
            "load_nm": setup.target.value,
            "largest_nm": setup.target.largest,
            "kind": setup.target.kind,
            "words": setup.target.words,
            "known": setup.target.known,
        },
        "peak_load_nm": _estimate(setup.peak),
        "load_nm": None if setup.load is None else _list(setup.load),
        "pull_n": _estimate(setup.pull),
        "trunk_factor": None
        if setup.band is not None and setup.band.tension is None
        else _number(np.min(setup.hold.smallest_factor)),
        "chair_factor": None if setup.stability is None else _number(np.min(setup.stability.factor)),
        "chair_governing_mode": None
        if setup.stability is None
        else str(setup.stability.governing_mode[setup.worst_frame_of_chair]),
        "notices": [notice_document(notice) for notice in setup.notices],
    }
    if frames:
        document["frames"] = [_frame(setup, index) for index in range(setup.movement.share.size)]
    return document


def notice_document(notice: Notice) -> Plain:
    """Return one notice."""
    return {"id": notice.id, "level": notice.level, "what": notice.what, "do": notice.do, "about": notice.about}


def dose_document(dose: DoseOption) -> Plain:
    """Return a dose as plain data."""
    return {
        "name": dose.name,
        "sets": dose.sets,
        "repetitions": dose.repetitions,
        "seconds": dose.seconds,
        "out_s": dose.out_s,
        "hold_s": dose.hold_s,
        "back_s": dose.back_s,
        "pause_s": dose.pause_s,
        "per_side": dose.per_side,
    }


def _band(band: BandSetup) -> Plain:
    return {
        "name": band.band.name,
        "c1_n": band.law.c1,
        "c2_n": band.law.c2,
        "strands": band.strands,
        "slack_length_m": band.slack_length,
        "one_band_for_both_hands": band.loop,
        "post": band.post,
        "anchor_m": None if band.anchor is None else _list(band.anchor),
        "anchor_height_m": band.height,
        "distance_m": band.distance,
        "distance_from": band.measured_from,
        "chair": band.chair_words,
        "largest_elongation_percent": 100 * (max(float(each.max()) for each in band.stretch.values()) - 1),
        "smallest_elongation_percent": 100 * (min(float(each.min()) for each in band.stretch.values()) - 1),
        "limit_elongation_percent": 100 * band.law.limit_elongation,
    }


def _frame(setup: ExerciseSetup, index: int) -> Plain:
    band, working = setup.band, setup.side
    moments, hold, centre = setup.moments, setup.hold, setup.centre
    joined = setup.exercise.band is not None and setup.exercise.band.grip == "joined"
    tension = None
    if band is not None and band.tension is not None:
        tension = (
            sum(float(each[index]) for each in band.tension.values()) if joined else float(band.tension[working][index])
        )
    stability = setup.stability
    return {
        "share_of_movement": float(setup.movement.share[index]),
        "arms": {side: _arm(setup, side, index) for side in SIDES},
        "anchor_m": None if band is None else _list(band.ends[working][index]),
        "band_length_m": None if band is None else float(band.length[working][index]),
        "stretch": None if band is None else float(band.stretch[working][index]),
        "tension_n": tension,
        "load_nm": None if setup.load is None else float(setup.load[index]),
        "trunk": {
            "hip_centre_m": _list(setup.movement.skeleton.hip_centre[index]),
            "moment_nm": {
                "world": _list(moments.trunk.world[index]),
                "turn_left": float(moments.trunk.turn[index]),
                "flexion": float(moments.trunk.flexion[index]),
                "side_bend_right": float(moments.trunk.side_bend[index]),
            },
            "demand_nm": _by_direction(hold.demand, index),
            "capacity_nm": _by_direction(hold.capacity, index),
            "factor": _number(hold.smallest_factor[index]),
            "weakest_direction": str(hold.weakest_direction[index]),
        },
        "chair": {
            "weight_n": centre.weight,
            "com_m": _list(centre.position[index]),
            "blocking": setup.blocking,
            "governing_mode": None if stability is None else str(stability.governing_mode[index]),
            "factor": None if stability is None else _number(stability.factor[index]),
            "zero_moment_point_m": None if stability is None else _list(stability.zero_moment_point[index]),
            "margin_m": None if stability is None else _number(stability.margin[index]),
        },
    }


def _arm(setup: ExerciseSetup, side: Side, index: int) -> Plain:
    bones = setup.movement.skeleton
    arm, angles = bones.arms[side], setup.movement.posture.arms[side]
    force = setup.forces.get(side)
    parts = arm_segments(setup.body, arm, side).values()
    return {
        "sternoclavicular_m": _list(arm.sternoclavicular[index]),
        "shoulder_m": _list(arm.shoulder[index]),
        "elbow_m": _list(arm.elbow[index]),
        "wrist_m": _list(arm.wrist[index]),
        "hand_m": _list(arm.hand[index]),
        "attach_m": _list(pull_point(bones, side, setup.attach.get(side, "hand"))[index]),
        "elevation_deg": degrees(float(arm.elevation[index])),
        "plane_deg": degrees(float(arm.plane[index])),
        "elbow_deg": degrees(float(angles.elbow[index])),
        "hand_force_n": [0.0, 0.0, 0.0] if force is None else _list(force[index]),
        "segments": [{"name": part.name, "mass_kg": part.mass, "com_m": _list(part.com[index])} for part in parts],
        "moment_nm": _moments(setup.moments.arms[side], index),
    }


def _moments(arm: ArmMoments, index: int) -> Plain:
    shoulder = arm.shoulder
    return {
        "shoulder": {
            "world": _list(shoulder.world[index]),
            "clinical": {
                name: float(getattr(shoulder, name)[index])
                for name in ("elevation", "horizontal_adduction", "external_rotation")
            },
            "thorax": {name: float(getattr(shoulder, name)[index]) for name in ("flexion", "abduction", "axial")},
            "magnitude": float(shoulder.magnitude[index]),
        },
        "elbow": {
            "world": _list(arm.elbow_world[index]),
            "clinical": {"flexion": float(arm.elbow_flexion[index])},
        },
        "wrist": {"world": _list(arm.wrist_world[index])},
        "clavicle": {"retraction": float(arm.retraction[index])},
    }


def _by_direction(values: ByDirection, index: int) -> Plain:
    each = {name: np.atleast_1d(getattr(values, name)) for name in DIRECTIONS}
    return {name: _number(moment[min(index, moment.size - 1)]) for name, moment in each.items()}


def _estimate(estimate: Estimate | None) -> Plain | None:
    if estimate is None:
        return None
    return {"value": estimate.value, "low": estimate.low, "high": estimate.high, "words": str(estimate)}


def _list(values: Array) -> list[float]:
    return [float(value) for value in np.asarray(values, dtype=float)]


def _number(value: ArrayLike) -> float | None:
    number = float(np.asarray(value))
    return number if isfinite(number) else None
