"""Levers that change what is done, not how a band is laid: ball, turn, a link alone, one arm, another exercise."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from math import degrees

import numpy as np

from firstpush.core.exercises.definition import DoseOption, Exercise
from firstpush.core.exercises.other_poses import TURN_STEP, largest_turn, link_alone, with_added_turn
from firstpush.core.kit.kit import Ball
from firstpush.core.measured import GRAVITY
from firstpush.core.people.athlete import Side
from firstpush.core.progress.laying import ONE_ARM, bench
from firstpush.core.progress.step import WHOLE_EXERCISE, AsDone, Direction
from firstpush.core.setup.ball_choice import balls_for
from firstpush.core.setup.circumstances import Circumstances
from firstpush.core.setup.loads import named_load
from firstpush.core.setup.result import ExerciseSetup
from firstpush.core.setup.search import search_setup
from firstpush.core.setup.targets import AgreedLoad


@dataclass(frozen=True, kw_only=True)
class Other:
    """Another way to do it, on every side; `ratio` is what a set-up without a stated load changes by [1].

    `central` is, for each side, load over load before; None where loads are not compared.
    """

    lever: str
    exercise: Exercise
    setups: Mapping[Side, ExerciseSetup]
    dose: DoseOption
    words: str
    central: Mapping[Side, float] | None = None
    before_after: tuple[float, float] | None = None
    added_turn: float = 0.0
    link: int | None = None


def other_ways(case: Circumstances, now: AsDone, direction: Direction, levers: tuple[str, ...]) -> Iterator[Other]:
    """Yield what the levers ball mass, added turn, links alone and one arm lead to, judged by the checks of the search.

    Parameters
    ----------
    case : Circumstances
    now : AsDone
    direction : str
    levers : tuple of str
        Those that the exercise lists.
    """
    if "ball mass" in levers:
        yield from _balls(case, now, direction)
    if "added turn" in levers:
        yield from _turned(case, now, direction)
    if "links alone" in levers and direction == "easier":
        yield from _links(case, now)
    if "one arm" in levers and direction == "easier":
        yield from _one_arm(case, now)


def relaid(
    exercise: Exercise,
    case: Circumstances,
    like: ExerciseSetup,
    *,
    words: str,
    support: tuple[str, ...] | None = None,
    no_heavier: bool = False,
) -> tuple[ExerciseSetup, float] | None:
    """Return an exercise with the band laid as it is, and its load over the load now; None where a check refuses it.

    With `no_heavier` the distance may change, until the load is no more than now.
    """
    found = bench(exercise, case, like, support=support)
    if isinstance(found, str):
        return None
    ways = found.ways((), things=0, sign=-1)
    if no_heavier:
        ways += sorted(found.ways(("distance",), things=1, sign=-1), key=lambda way: -way.change)
    else:
        ways += found.ways((), things=0, sign=1)
    kept = found.kept(ways)
    return (found.laid(kept[0], words), 1 + kept[0].change) if kept else None


def _balls(case: Circumstances, now: AsDone, direction: Direction) -> Iterator[Other]:
    use = now.exercise.ball
    held = next(iter(now.setups.values())).ball
    if use is None:
        return
    empty = (None,) if use.may_be_left_out else ()
    for ball in (*empty, *balls_for(use, case)):
        if _mass(ball) == _mass(held) or (_mass(ball) > _mass(held)) != (direction == "harder"):
            continue
        setups: dict[Side, ExerciseSetup] = {}
        central: dict[Side, float] = {}
        words = f"ball {_named(held)} → {_named(ball)}"
        for side, setup in now.setups.items():
            found = _with_ball(case, now.exercise, setup, ball, words)
            if found is not None:
                setups[side], central[side] = found
        if len(setups) == len(now.setups):
            yield Other(
                lever="ball mass",
                exercise=now.exercise,
                setups=setups,
                dose=now.dose,
                words=words,
                central=None if any(setup.peak is None for setup in setups.values()) else central,
                before_after=None if held is None else (held.mass, _mass(ball)),
            )


def _mass(ball: Ball | None) -> float:
    """Return what is held [kg]."""
    return 0.0 if ball is None else ball.mass


def _named(ball: Ball | None) -> str:
    return "none" if ball is None else f"{ball.name} ({ball.mass:g} kg)"


def _with_ball(
    case: Circumstances, exercise: Exercise, now: ExerciseSetup, ball: Ball | None, words: str
) -> tuple[ExerciseSetup, float] | None:
    if now.band is not None:
        return relaid(exercise, case, replace(now, ball=ball), words=words)
    wanted = None
    if now.load is not None:
        load = named_load(now.exercise.loads, case.body, now.movement.skeleton, side=now.side, attach=now.attach)
        assert load is not None, "a load is stated"
        weight = np.zeros((*now.load.shape, 3))
        weight[..., 2] = -_mass(ball) * GRAVITY.value
        # The search takes the share of the day off again.
        wanted = float(load.of({now.side: weight}).max()) / case.load_share
    if ball is None:
        # As if it had been agreed on: the search leaves the ball out, and judges the rest as any other.
        empty = AgreedLoad(value=wanted, words="with the empty hand", support=now.support)
        case = replace(case, agreed={**case.agreed, (exercise.id, now.side): empty})
        answer = search_setup(exercise, case, side=now.side, best=1, ranges=False)
    else:
        # With one ball in the cupboard the search takes it, and judges it as any other.
        case = replace(case, balls=(ball,))
        answer = search_setup(exercise, case, side=now.side, target_nm=wanted, best=1, ranges=False)
    return _compared(now, answer.best)


def _compared(now: ExerciseSetup, after: ExerciseSetup | None) -> tuple[ExerciseSetup, float] | None:
    if after is None or after.support != now.support or after.exercise.sides != now.exercise.sides:
        return None
    if now.peak is None or after.peak is None:
        return after, 1.0
    return after, after.peak.value / now.peak.value


def _turned(case: Circumstances, now: AsDone, direction: Direction) -> Iterator[Other]:
    what, before = largest_turn(now.exercise)
    # Without a load it is the turn itself that becomes more or less; with one, the search says which way it goes.
    less, more = -TURN_STEP.value, TURN_STEP.value
    loaded = any(setup.peak is not None or setup.band is not None for setup in now.setups.values())
    for angle in (less, more) if loaded else (less,) if direction == "easier" else (more,):
        exercise = with_added_turn(now.exercise, angle)
        if exercise is None:
            continue
        words = f"{what} of the trunk {degrees(before):.0f} → {degrees(before + angle):.0f}°"
        setups: dict[Side, ExerciseSetup] = {}
        central: dict[Side, float] = {}
        for side, setup in now.setups.items():
            if setup.band is not None:
                found = relaid(exercise, case, setup, words=words)
            else:
                found = _compared(setup, search_setup(exercise, case, side=side, best=1, ranges=False).best)
            if found is not None:
                setups[side], central[side] = found
        stated = all(setup.peak is not None for setup in setups.values())
        if len(setups) == len(now.setups) and (stated or before > 0):
            yield Other(
                lever="added turn",
                exercise=exercise,
                setups=setups,
                dose=now.dose,
                words=words,
                central=central if stated else None,
                before_after=(before, before + angle),
                added_turn=angle,
            )


def _links(case: Circumstances, now: AsDone) -> Iterator[Other]:
    for index, _ in now.exercise.loaded_links:
        exercise = link_alone(now.exercise, index)
        setups: dict[Side, ExerciseSetup] = {}
        for side, setup in now.setups.items():
            found = relaid(exercise, case, setup, words=exercise.title)
            if found is not None:
                setups[side] = found[0]
        if len(setups) < len(now.setups):
            continue
        share = 1 / (len(now.exercise.poses) - 1)
        dose = replace(now.dose, out_s=share * now.dose.out_s, back_s=share * now.dose.back_s)
        dose = replace(dose, name=f"{now.dose.name}, {now.exercise.poses[index].name} alone")
        yield Other(
            lever="links alone",
            exercise=exercise,
            setups=setups,
            dose=dose,
            words=f"of the chain only: {now.exercise.poses[index].name}",
            before_after=(now.dose.set_seconds * now.dose.sets, dose.set_seconds * dose.sets),
            link=index,
        )


def _one_arm(case: Circumstances, now: AsDone) -> Iterator[Other]:
    """Yield the one-arm variant: the arm has its load, the trunk is held by the other hand."""
    first = next(iter(now.setups.values()))
    if not now.exercise.one_arm_variant or ONE_ARM in first.support or first.band is None:
        return
    sides: tuple[Side, ...] = ("right", "left") if first.exercise.sides == "together" else now.arms
    setups: dict[Side, ExerciseSetup] = {}
    for side in sides:
        like = replace(now.setups.get(side, first), side=side)
        found = relaid(now.exercise, case, like, words="one arm", support=(ONE_ARM, *first.support), no_heavier=True)
        if found is None:
            return
        setups[side] = found[0]
    used = [_used_of_trunk(setup) for setup in (first, *setups.values())]
    yield Other(
        lever="one arm",
        exercise=now.exercise,
        setups=setups,
        dose=replace(now.dose, per_side=True),
        words=ONE_ARM,
        before_after=(used[0], max(used[1:])),
    )


def _used_of_trunk(setup: ExerciseSetup) -> float:
    """Return the largest share of what the trunk holds that is used, 0 to 1."""
    return float(np.max(1 / setup.hold.smallest_factor))


def whole_exercise(
    case: Circumstances, now: AsDone, direction: Direction, exercises: Mapping[str, Exercise]
) -> Other | None:
    """Return the exercise that is one step up or down, set up by the search with the band that lies there if it can be.

    Parameters
    ----------
    case : Circumstances
    now : AsDone
    direction : str
    exercises : mapping of id to Exercise
        Those that are known here.
    """
    id_ = now.exercise.harder_exercise if direction == "harder" else now.exercise.easier_exercise
    exercise = exercises.get(id_ or "")
    if exercise is None or (direction == "harder" and exercise.advanced and case.junior):
        return None
    sides: tuple[Side, ...] = now.arms
    if exercise.sides == "each" and next(iter(now.setups.values())).exercise.sides == "together":
        sides = ("right", "left")
    setups: dict[Side, ExerciseSetup] = {}
    for side in sides[:1] if exercise.sides == "together" else sides:
        like = now.setups.get(side, next(iter(now.setups.values()))).band
        found = search_setup(exercise, case, side=side, best=1, like=like, ranges=False).best
        if found is None:
            return None
        setups[side] = found
    first = next(iter(setups.values()))
    central = None
    comparable = set(setups) <= set(now.setups) and all(
        setup.peak is not None
        and (was := now.setups[side]).peak is not None
        and setup.limiting is not None
        and was.limiting is not None
        and setup.limiting.loads == was.limiting.loads
        for side, setup in setups.items()
    )
    if comparable:
        central = {side: setup.peak.value / now.setups[side].peak.value for side, setup in setups.items()}  # type: ignore[union-attr]
    return Other(
        lever=WHOLE_EXERCISE,
        exercise=exercise,
        setups=setups,
        dose=_lightest(first.exercise),
        words=f"{now.exercise.title} → {exercise.title}",
        central=central,
    )


def _lightest(exercise: Exercise) -> DoseOption:
    """Return the dose that a new exercise begins with: the one with least time under load."""
    return min(exercise.doses, key=lambda each: each.sets * each.set_seconds)
