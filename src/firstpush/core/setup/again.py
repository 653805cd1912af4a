"""A set-up computed again for an athlete who is otherwise: the same band, mark and place, and what comes of it."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from firstpush.core.body.movement import Movement, movement
from firstpush.core.body.rotations import Array
from firstpush.core.errors import OutOfRangeError
from firstpush.core.kit.venue import Post
from firstpush.core.people.athlete import Side
from firstpush.core.setup.anchors import anchors
from firstpush.core.setup.build import load_of
from firstpush.core.setup.chair_stability import ASKED_FACTOR as CHAIR_FACTOR
from firstpush.core.setup.circumstances import Circumstances
from firstpush.core.setup.judge import Trial, chair, trunk
from firstpush.core.setup.pull_points import forces_on_arms, lines
from firstpush.core.setup.readiness import one_arm, readiness
from firstpush.core.setup.result import BandSetup, ExerciseSetup
from firstpush.core.setup.targets import target_for
from firstpush.core.setup.trunk_hold import ASKED_FACTOR as TRUNK_FACTOR

SHARES_OF_PULL = np.linspace(0.1, 1.0, 10)
"""Shares of a pull that the trunk is asked about, the largest that holds counts."""


@dataclass(frozen=True, kw_only=True)
class Outcome:
    """What comes of a set-up: whether it can be done, and its largest load [N·m], None where none is stated."""

    possible: bool
    load: float | None


def again(setup: ExerciseSetup, case: Circumstances, *, found_for: Circumstances) -> Outcome:
    """Return what comes of `setup` in other circumstances: the same band, as much of its pull as trunk and chair hold.

    Parameters
    ----------
    setup : ExerciseSetup
    case : Circumstances
        The athlete who is otherwise.
    found_for : Circumstances
        Those that the set-up was found for.

    Returns
    -------
    Outcome
        Not possible where the athlete is not ready for the exercise, cannot reach its poses, or where trunk or chair
        do not hold the smallest of `SHARES_OF_PULL`.

    Holds for
    ---------
    What stays is not looked for anew: another band, mark or place may do where this set-up does not.
    """
    stated = None if setup.peak is None else setup.peak.value
    if case.athlete == found_for.athlete:
        return Outcome(possible=True, load=stated)
    ready = readiness(setup.exercise, case.athlete, case.kit, side=setup.side)
    if ready.reason is not None:
        return Outcome(possible=_one_arm_would_do(case, setup), load=None)
    same_body = case.body is found_for.body and case.athlete.trunk == found_for.athlete.trunk
    if same_body and ready.attach == setup.attach and ready.exercise.poses == setup.exercise.poses:
        return Outcome(possible=True, load=stated)
    moved = setup.movement
    if _sits_otherwise(case, setup) or ready.exercise.poses != setup.exercise.poses:
        try:
            moved = movement(ready.exercise, case.body, case.chair, side=setup.side)
        except OutOfRangeError:
            return Outcome(possible=False, load=None)
    trial = Trial(
        exercise=ready.exercise,
        side=setup.side,
        movement=moved,
        attach=ready.attach,
        strap=setup.strap,
        free_hand=any(words.startswith("one arm") for words in setup.support),
        ball=setup.ball,
    )
    forces = _forces(case, trial, setup.band, moved)
    if forces is None:
        return Outcome(possible=True, load=None)
    share = _share_held(case, trial, forces)
    if share == 0.0:
        return Outcome(possible=False, load=None)
    target = target_for(ready.exercise, case.athlete, side=setup.side, today=case.today)
    load = load_of(case, trial, target)
    if load is None or stated is None:
        return Outcome(possible=True, load=None)
    named = load.of({side: share * force for side, force in forces.items()})
    return Outcome(possible=True, load=float(named[load.limiting_frame(named)]))


def _sits_otherwise(case: Circumstances, setup: ExerciseSetup) -> bool:
    """Whether hands and trunk are elsewhere: another body, or a chair that differs where it carries the body."""
    if case.body != setup.body:
        return True
    return any(getattr(case.chair, field) != getattr(setup.chair, field) for field in _CARRIES_THE_BODY)


_CARRIES_THE_BODY = ("seat_height", "hip_to_axle", "wheel_diameter", "camber", "hub_width")


def _one_arm_would_do(case: Circumstances, setup: ExerciseSetup) -> bool:
    exercise = setup.exercise
    return (
        exercise.one_arm_variant
        and readiness(one_arm(exercise), case.athlete, case.kit, side=setup.side).reason is None
    )


def _forces(case: Circumstances, trial: Trial, band: BandSetup | None, moved: Movement) -> dict[Side, Array] | None:
    """Return the forces on the arms (F, 3) of a band laid as it was; None where its pull is not known."""
    forces: dict[Side, Array] = {}
    use = trial.exercise.band
    if band is not None and use is not None:
        if band.tension is None:
            return None
        pull_lines = lines(use, moved.skeleton, case.chair, side=trial.side, attach=trial.attach)
        anchor = _anchor(case, trial, band)
        tension = tuple(
            np.asarray(band.law.tension(np.linalg.norm(line.way_to(anchor), axis=-1) / band.slack_length, band.strands))
            for line in pull_lines
        )
        forces = forces_on_arms(pull_lines, anchor, tension)
    if trial.ball is not None:
        forces[trial.side] = forces.get(trial.side, 0.0) + trial.ball_weight
    return forces


def _anchor(case: Circumstances, trial: Trial, band: BandSetup) -> Array | None:
    """Return the place on the post (3,) [m], laid with a tape from this chair as the sheet says."""
    use = trial.exercise.band
    if use is None or band.post is None or band.height is None or band.distance is None:
        return None
    here = replace(use, height_window=(-10.0, 10.0), distance_window=(band.distance, band.distance))
    post = Post(name=band.post, heights=(band.height,), room_in_front=100.0, places=1)
    found = anchors(here, trial.movement.skeleton, case.chair, replace(case.venue, posts=(post,)), side=trial.side)
    return np.asarray(found.points[0])


def _share_held(case: Circumstances, trial: Trial, forces: dict[Side, Array]) -> float:
    """Return the largest share of the pull that trunk and chair hold; 0 where the posture alone is too much."""
    if not trial.exercise.static:
        return 1.0
    if not forces:
        return float(np.all(trunk(case, trial, {}).smallest_factor >= TRUNK_FACTOR.value))
    pulled = {side: SHARES_OF_PULL[:, None, None] * force for side, force in forces.items()}
    holds = np.all(trunk(case, trial, pulled).smallest_factor >= TRUNK_FACTOR.value, axis=-1)
    stands = chair(case, trial, forces)
    by_chair = 1.0 if stands is None else float(np.min(stands.factor)) / CHAIR_FACTOR.value
    by_trunk = float(np.max(SHARES_OF_PULL, where=holds, initial=0.0))
    return min(1.0, by_trunk, by_chair)
