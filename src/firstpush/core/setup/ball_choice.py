"""Which ball an exercise is done with, and when the lightest is too heavy on a day."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from firstpush.core.exercises.definition import BallUse
from firstpush.core.kit.kit import Ball
from firstpush.core.measured import GRAVITY
from firstpush.core.people.health import hurts_too_much
from firstpush.core.setup.circumstances import Circumstances
from firstpush.core.setup.judge import Trial
from firstpush.core.setup.loads import named_load
from firstpush.core.setup.result import ExerciseSetup
from firstpush.core.setup.sentences import NEAR_ENOUGH, latex_left_out
from firstpush.core.setup.targets import Target


def too_heavy_today(case: Circumstances, done: ExerciseSetup) -> str:
    """Return why an arm, with its lightest ball or alone, is too heavy on this day, or "" when a caution is enough."""
    assert done.peak is not None and done.target is not None, "heavier than a wanted load"
    arm = "the arm and the lightest ball give" if done.ball is not None else "the arm alone gives"
    gives = f"{arm} {done.peak.value:.0f} N·m where {done.target.value:.0f} are wanted"
    if any(hurts_too_much(case.athlete, arm) for arm in done.arms):
        return f"{gives}, and that side hurts too much today"
    # The arm's own weight stays the same on every day: on a light day it may be as heavy as on the others.
    if case.load_share < 1.0 and done.peak.value > done.target.value / case.load_share * NEAR_ENOUGH.value:
        return f"{gives} today"
    return ""


def balls_for(use: BallUse, case: Circumstances) -> tuple[Ball, ...]:
    """Return the balls at hand that an exercise takes, in the order of the cupboard."""
    return tuple(each for each in case.balls if each.mass <= use.largest_mass and each.diameter <= use.largest_diameter)


def with_ball(case: Circumstances, trial: Trial, target: Target | None) -> tuple[Trial, str]:
    """Return the trial with the ball that its exercise uses, or the sentence that says which is missing.

    A ball that may be left out is left out where a set without it was agreed on.
    """
    use = trial.exercise.ball
    if use is None:
        return trial, ""
    fitting = sorted(balls_for(use, case), key=lambda each: each.mass)
    agreed = case.agreed.get((trial.exercise.id, trial.side))
    if not fitting:
        latex = latex_left_out(case, [ball.name for ball in case.kit.balls])
        size = f"{use.largest_mass:g} kg and {use.largest_diameter:g} m across"
        return trial, f"no ball up to {size} that may be used{latex}"
    as_agreed = agreed if target is not None and target.kind == "agreed" else None
    if use.may_be_left_out and as_agreed is not None and as_agreed.ball is None:
        return trial, ""
    named = [ball for ball in fitting if agreed is not None and ball.name == agreed.ball]
    return replace(trial, ball=named[0] if named else _ball_for(case, trial, fitting, target)), ""


def _ball_for(case: Circumstances, trial: Trial, fitting: list[Ball], target: Target | None) -> Ball:
    """Return the ball whose load is nearest to the wish; the lightest for a try-out set."""
    if target is None or target.kind == "try-out" or trial.exercise.band is not None:
        return fitting[0]
    load = named_load(trial.exercise.loads, case.body, trial.movement.skeleton, side=trial.side, attach=trial.attach)
    assert load is not None, "a target is only there where a load is named"

    def off(ball: Ball) -> float:
        weight = np.zeros_like(load.levers[trial.side])
        weight[..., 2] = -ball.mass * GRAVITY.value
        return abs(float(load.of({trial.side: weight}).max()) - target.value)

    return min(fitting, key=off)
