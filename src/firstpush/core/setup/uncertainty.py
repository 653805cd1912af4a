"""How sure a predicted load is: Monte Carlo over angles, lengths, band and placement, paired where two are compared."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from firstpush.core.body.movement import Movement
from firstpush.core.body.posture import ArmAngles, ArmPoints, Posture, Skeleton, skeleton
from firstpush.core.body.rotations import Array, about_axis
from firstpush.core.exercises.definition import Attach, Exercise
from firstpush.core.measured import GRAVITY, Measured
from firstpush.core.people.athlete import SIDES, Chair, Side
from firstpush.core.people.body_size import BodySize
from firstpush.core.setup.band_grid import MARK_SPREAD, PLACE_SPREAD
from firstpush.core.setup.loads import named_load
from firstpush.core.setup.pull_points import forces_on_arms, lines
from firstpush.core.setup.result import BandSetup, Estimate, ExerciseSetup, LimitingLink

SAMPLES = 10_000
QUANTILES = (0.05, 0.95)
FRAMES_LOOKED_AT = 3
"""Frames of a movement that the samples are drawn on, the one of the largest load always among them."""

ANGLE_SPREAD = Measured(
    name="each angle of the arm",
    value=0.0,
    unit="rad",
    spread=np.radians(6.0),
    source="how people move",
    known="our choice",
)
LEAN_SPREAD = Measured(
    name="each angle of the trunk", value=0.0, unit="rad", spread=np.radians(3.0), source="", known="our choice"
)
SHOULDER_SPREAD = Measured(
    name="place of the shoulder centre, each axis", value=0.0, unit="m", spread=0.015, source="", known="our choice"
)


@dataclass(frozen=True, kw_only=True)
class Draws:
    """Standard normal draws for N samples; the same draws used twice make a paired comparison."""

    arm: dict[Side, Array]
    trunk: Array
    shoulder: dict[Side, Array]
    upper: Array
    fore: Array
    place: Array
    mark: Array
    band: Array


def draws(rng: np.random.Generator, *, samples: int = SAMPLES) -> Draws:
    """Return the draws for `samples` samples."""
    normal = rng.standard_normal
    return Draws(
        arm={side: normal((samples, 4)) for side in SIDES},
        trunk=normal((samples, 3)),
        shoulder={side: normal((samples, 3)) for side in SIDES},
        upper=normal(samples),
        fore=normal(samples),
        place=normal((samples, 3)),
        mark=normal(samples),
        band=normal(samples),
    )


@dataclass(frozen=True, kw_only=True)
class Samples:
    """Largest load [N·m] and largest pull on one arm [N] over the movement, (N,) each; pull None without a band."""

    peak: Array
    pull: Array | None


def sampled(
    exercise: Exercise,
    body: BodySize,
    chair: Chair,
    moved: Movement,
    *,
    side: Side,
    attach: dict[Side, Attach],
    band: BandSetup | None,
    ball_mass: float,
    load: Array,
    limiting: LimitingLink,
    drawn: Draws,
) -> Samples:
    """Return largest load and pull of every sample.

    Parameters
    ----------
    exercise, body, chair, moved, side, attach, band
        The set-up.
    ball_mass : float
        Of a ball in the working hand [kg].
    load : array (F,)
        Predicted load, to find the frames worth looking at [N·m].
    limiting : LimitingLink
        The axis and the frames that set the band.
    drawn : Draws

    Returns
    -------
    Samples
    """
    frames = limiting.frames.start + _frames(load[limiting.frames.start : limiting.frames.stop])
    loads, pull = _loads_and_pulls(
        exercise,
        body,
        chair,
        _picked(moved.posture, frames),
        loads=limiting.loads,
        side=side,
        attach=attach,
        band=band,
        ball_mass=ball_mass,
        drawn=drawn,
    )
    return Samples(peak=loads.max(axis=-1), pull=None if pull is None else pull.max(axis=-1))


def _loads_and_pulls(
    exercise: Exercise,
    body: BodySize,
    chair: Chair,
    posture: Posture,
    *,
    loads: str,
    side: Side,
    attach: dict[Side, Attach],
    band: BandSetup | None,
    ball_mass: float,
    drawn: Draws,
) -> tuple[Array, Array | None]:
    """Return load [N·m] and largest pull on an arm [N] of every sample in every frame of `posture`, (N, F')."""
    bones = _shaken(body, chair, posture, drawn)
    named = named_load(loads, body, bones, side=side, attach=attach)
    assert named is not None, "ranges are only asked for where a load is named"
    forces: dict[Side, Array] = {}
    pull = None
    if band is not None and band.tension is not None and exercise.band is not None:
        pull_lines = lines(exercise.band, bones, chair, side=side, attach=attach)
        anchor = None
        if band.anchor is not None:
            anchor = band.anchor + np.sqrt(2) * PLACE_SPREAD.spread * drawn.place
        slack = (band.slack_length + MARK_SPREAD.spread * drawn.mark)[:, None]
        # A weak draw never makes a band push: the factor stays above zero.
        spread = band.law.relative_spread or 0.0
        strength = np.exp(spread * drawn.band)[:, None]
        tension = tuple(
            strength * band.law.tension(np.linalg.norm(line.way_to(anchor), axis=-1) / slack, band.strands)
            for line in pull_lines
        )
        forces = forces_on_arms(pull_lines, anchor, tension)
        pull = np.max([np.linalg.norm(force, axis=-1) for force in forces.values()], axis=0)
    if ball_mass:
        weight = np.zeros((*bones.neck.shape[:-1], 3))
        weight[..., 2] = -ball_mass * GRAVITY.value
        forces[side] = forces.get(side, 0.0) + weight
    return named.of(forces), pull


def load_ranges(setup: ExerciseSetup, *, frames: Array, loads: str, rng: np.random.Generator) -> Array:
    """Return the range that nine of ten samples of the load lie in, frame by frame, lower and upper, (2, F') [N·m].

    Parameters
    ----------
    setup : ExerciseSetup
        With a stated load.
    frames : array of int (F',)
        Frames of the movement.
    loads : str
        Axis that is loaded in these frames.
    rng : numpy Generator
        The same as for `with_ranges` draws the same errors.
    """
    drawn = draws(rng)
    found = []
    # A few frames at a time: all at once would take hundreds of megabytes.
    for start in range(0, len(frames), FRAMES_LOOKED_AT):
        of_frames, _ = _loads_and_pulls(
            setup.exercise,
            setup.body,
            setup.chair,
            _picked(setup.movement.posture, frames[start : start + FRAMES_LOOKED_AT]),
            loads=loads,
            side=setup.side,
            attach=setup.attach,
            band=setup.band,
            ball_mass=setup.ball.mass if setup.ball else 0.0,
            drawn=drawn,
        )
        found.append(np.quantile(of_frames, QUANTILES, axis=0))
    return np.concatenate(found, axis=-1)


def estimate(value: float, samples: Array, unit: str) -> Estimate:
    """Return `value` with the range that nine of ten `samples` lie in."""
    low, high = np.quantile(samples, QUANTILES)
    return Estimate(value=value, low=float(min(low, value)), high=float(max(high, value)), unit=unit)


def with_ranges(setup: ExerciseSetup, *, rng: np.random.Generator) -> ExerciseSetup:
    """Return the set-up with the ranges of its largest load and pull; what states no load stays as it is.

    Parameters
    ----------
    setup : ExerciseSetup
    rng : numpy Generator
    """
    if setup.load is None or setup.peak is None or (setup.band is not None and setup.band.tension is None):
        return replace(setup, peak=None, pull=None)
    samples = samples_of(setup, draws(rng))
    pull = None
    if setup.pull is not None and samples.pull is not None:
        pull = estimate(setup.pull.value, samples.pull, "N")
    return replace(setup, peak=estimate(setup.peak.value, samples.peak, "N·m"), pull=pull)


def step_between(before: ExerciseSetup, after: ExerciseSetup, *, rng: np.random.Generator) -> Estimate:
    """Return by how much the largest load changes from one set-up to another, in per cent, with a paired range.

    Most errors are the same before and after (the same arms, the same band), so both use the same draws and the range
    of the step is far narrower than that of either load.

    Parameters
    ----------
    before, after : ExerciseSetup
        Of one exercise and one athlete, both with a stated load.
    rng : numpy Generator

    Returns
    -------
    Estimate
        [%]
    """
    drawn = draws(rng)
    first, second = (samples_of(setup, drawn).peak for setup in (before, after))
    assert before.peak is not None and after.peak is not None, "a step is only between stated loads"
    return estimate(100 * (after.peak.value / before.peak.value - 1), 100 * (second / first - 1), "%")


def samples_of(setup: ExerciseSetup, drawn: Draws) -> Samples:
    """Return the samples of a set-up that states a load."""
    assert setup.load is not None and setup.limiting is not None, "a step is only between stated loads"
    return sampled(
        setup.exercise,
        setup.body,
        setup.chair,
        setup.movement,
        side=setup.side,
        attach=setup.attach,
        band=setup.band,
        ball_mass=setup.ball.mass if setup.ball else 0.0,
        load=setup.load,
        limiting=setup.limiting,
        drawn=drawn,
    )


def _frames(load: Array) -> Array:
    spaced = np.linspace(0, load.size - 1, min(FRAMES_LOOKED_AT, load.size)).round().astype(int)
    return np.unique(np.append(spaced, int(np.argmax(load))))


def _picked(posture: Posture, frames: Array) -> Posture:
    arms = {
        side: ArmAngles(
            humerus=arm.humerus[frames],
            elbow=arm.elbow[frames],
            pronation=arm.pronation[frames],
            protraction=arm.protraction[frames],
            lift=arm.lift[frames],
            wrist=arm.wrist[frames],
        )
        for side, arm in posture.arms.items()
    }
    return Posture(
        trunk_turn=posture.trunk_turn[frames],
        trunk_flexion=posture.trunk_flexion[frames],
        trunk_side_bend=posture.trunk_side_bend[frames],
        arms=arms,  # the head bears no band and counts for no named load: it is left upright
    )


def _shaken(body: BodySize, chair: Chair, posture: Posture, drawn: Draws) -> Skeleton:
    """Return the skeleton (N, F') with every sample's errors in angles, lengths and shoulder place."""
    arms = {}
    for side, arm in posture.arms.items():
        vector = ANGLE_SPREAD.spread * drawn.arm[side][:, :3]
        angle = np.linalg.norm(vector, axis=-1)
        error = about_axis(vector / angle[:, None], angle)[:, None]
        arms[side] = replace(
            arm,
            humerus=error @ arm.humerus,
            elbow=arm.elbow + ANGLE_SPREAD.spread * drawn.arm[side][:, 3:],
        )
    lean = LEAN_SPREAD.spread * drawn.trunk
    shaken = Posture(
        trunk_turn=posture.trunk_turn + lean[:, :1],
        trunk_flexion=posture.trunk_flexion + lean[:, 1:2],
        trunk_side_bend=posture.trunk_side_bend + lean[:, 2:],
        arms=arms,
    )
    bones = skeleton(body, chair, shaken)
    moved = {side: _stretched(body, bones.arms[side], side, drawn) for side in SIDES}
    return replace(bones, arms=moved)


def _stretched(body: BodySize, arm: ArmPoints, side: Side, drawn: Draws) -> ArmPoints:
    """Return the arm with longer or shorter bones and the shoulder centre a little elsewhere."""
    upper = 1 + (body.upper_arm.spread / body.upper_arm.value) * drawn.upper[:, None, None]
    fore = 1 + (body.forearm.spread / body.forearm.value) * drawn.fore[:, None, None]
    off = SHOULDER_SPREAD.spread * drawn.shoulder[side][:, None, :]
    shoulder = arm.shoulder + off
    elbow = shoulder + upper * (arm.elbow - arm.shoulder)
    wrist = elbow + fore * (arm.wrist - arm.elbow)
    return replace(arm, shoulder=shoulder, elbow=elbow, wrist=wrist, hand=wrist + fore * (arm.hand - arm.wrist))
