"""Where the wanted load comes from: given by hand, else measured strength, else the try-out set."""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import radians
from typing import Literal

from firstpush.core.exercises.definition import Exercise, Link, Pose, StartLoad
from firstpush.core.measured import Known, Measured
from firstpush.core.people.athlete import SIDES, Athlete, Side
from firstpush.core.people.body_size import body_size
from firstpush.core.people.health import hurts_too_much

INTENSITY = Measured(
    name="share of measured strength for two sets of 8 to 12 before training",
    value=0.45,
    unit="1",
    spread=0.05,
    source="endurance dose at or below 50 % (table after ACSM), band peaks at end range where the cuff is weakest",
    known="our choice",
)
OTHER_POSITION = Measured(
    name="share kept when strength was tested in another position",
    value=0.8,
    unit="1",
    spread=0.1,
    source="external rotation reads 86-99 % of internal depending on position (Riemann 2010)",
    known="our choice",
)
BREAK_TEST = Measured(
    name="share kept of a break test",
    value=0.85,
    unit="1",
    spread=0.05,
    source="a break test reads higher than a make test (Bradley and Pierpoint 2023)",
    known="our choice",
)

START_MASS = Measured(
    name="body mass that start loads are written for", value=65.0, unit="kg", spread=0.0, source="", known="our choice"
)
START_REACH = Measured(
    name="reach that start loads are written for", value=0.70, unit="m", spread=0.0, source="", known="our choice"
)
SHOULDER_HEIGHT = radians(75.0)
"""Elevation from which an exercise counts as done at shoulder height, like a test "at 90 degrees" [rad]."""

TargetKind = Literal["given", "agreed", "strength", "try-out"]


@dataclass(frozen=True, kw_only=True)
class Target:
    """The wanted load [N·m] with the words that say where it comes from; `largest` is never gone beyond.

    `first_time` says why a try-out begins where it does, as a clause; empty for other kinds.
    """

    value: float
    largest: float
    kind: TargetKind
    words: str
    known: Known
    first_time: str = ""


SORE_SHARE = Measured(
    name="share of the start load wanted of an arm that hurts too much today",
    value=0.5,
    unit="1",
    spread=0.0,
    source="lighter than a first time of a well arm, which is asked how hard it is",
    known="our choice",
)


@dataclass(frozen=True, kw_only=True)
class AgreedLoad:
    """How one arm does an exercise from now on, as practitioner and athlete agreed.

    Parameters
    ----------
    value : float or None
        Load on a usual day, of a chain on the scale of its first link [N·m]; None where none is stated.
    words : str
        Where it comes from.
    support : tuple of str
        What was added to what the athlete has: "chest strap".
    ball : str or None
        Name in the kit.
    """

    value: float | None
    words: str
    support: tuple[str, ...] = ()
    ball: str | None = None


@dataclass(frozen=True, kw_only=True)
class Today:
    """What makes every load lighter today: a share of the usual one [1], and an athlete under 18."""

    share: float = 1.0
    junior: bool = False


def target_for(
    exercise: Exercise,
    athlete: Athlete,
    *,
    side: Side,
    given: float | None = None,
    agreed: AgreedLoad | None = None,
    today: Today | None = None,
) -> Target | None:
    """Return the load wanted of `exercise` on `side`, of a chain's first loaded link; None where no moment is stated.

    Parameters
    ----------
    exercise : Exercise
        When both arms do it together, the arm that wants less decides.
    athlete : Athlete
    side : str
    given : float, optional
        A load asked for by hand [N·m].
    agreed : AgreedLoad, optional
        What an accepted decision says; where that side hurts too much today, only what is lighter than the start load.
    today : Today, optional
        What makes the load lighter today.

    Returns
    -------
    Target or None
    """
    if agreed is not None and agreed.value is not None and given is None:
        first = target_for(exercise, athlete, side=side, today=replace(today, share=1.0) if today else None)
        return (
            None
            if first is None
            else _lighter(_agreed(agreed.value, agreed.words, first, exercise, athlete, side), today)
        )
    if exercise.sides == "together" and given is None:
        alone = replace(exercise, sides="each")
        both = [target_for(alone, athlete, side=each, today=today) for each in SIDES]
        return min((each for each in both if each is not None), key=lambda each: each.value, default=None)
    if exercise.loaded_links:
        index, link = exercise.loaded_links[0]
        sore = sore_arms(exercise, athlete, side)
        return target_of_link(link, exercise.poses[index], athlete, side=side, given=given, today=today, sore=sore)
    if exercise.start_load is None or exercise.loads == "none":
        return None
    sore = sore_arms(exercise, athlete, side)
    target = _target(exercise.loads, exercise.start_load, exercise.poses[0], athlete, side, given, today, sore)
    return _lighter(target, today)


def sore_arms(exercise: Exercise, athlete: Athlete, side: Side) -> tuple[Side, ...]:
    """Return the arms that hurt too much today of those that have a part in it: where both hands do, of both."""
    arms = SIDES if exercise.needs.hands == 2 else exercise.sides_of(side)
    return tuple(arm for arm in arms if hurts_too_much(athlete, arm))


def target_of_link(
    link: Link,
    pose: Pose,
    athlete: Athlete,
    *,
    side: Side,
    given: float | None = None,
    today: Today | None = None,
    sore: tuple[Side, ...] = (),
) -> Target:
    """Return the load wanted of one link of a chain, which ends in `pose`; `sore` as `sore_arms` gives it."""
    assert link.start_load is not None, "the loader asks for a start load of every link that loads something"
    return _lighter(_target(link.loads, link.start_load, pose, athlete, side, given, today, sore), today)


def _agreed(load: float, words: str, first: Target, exercise: Exercise, athlete: Athlete, side: Side) -> Target:
    """Return the agreed load in place of the one an exercise would begin with."""
    if any(hurts_too_much(athlete, arm) for arm in exercise.sides_of(side)) and load >= first.value:
        return first
    return replace(first, value=min(load, first.largest), kind="agreed", words=words, known="derived")


def _lighter(target: Target, today: Today | None) -> Target:
    """Return the share of `target` that is wanted today."""
    if today is None or today.share == 1.0:
        return target
    words = f"{100 * today.share:.0f} % today of: {target.words}"
    return replace(target, value=today.share * target.value, words=words)


def start_scale(athlete: Athlete) -> float:
    """Return what start loads are multiplied by: written for one body, they grow with mass and reach as moments do."""
    return athlete.mass * body_size(athlete).reach / (START_MASS.value * START_REACH.value)


def _target(
    loads: str,
    start: StartLoad,
    pose: Pose,
    athlete: Athlete,
    side: Side,
    given: float | None,
    today: Today | None,
    sore: tuple[Side, ...],
) -> Target:
    scale = start_scale(athlete)
    first, largest = scale * start.first.value, scale * start.largest.value
    if given is not None:
        return Target(
            value=min(given, largest),
            largest=largest,
            kind="given",
            words="asked for by hand"
            if given <= largest
            else f"{given:g} N·m asked for by hand, cut to the largest of this exercise",
            known="measured",
        )
    junior = today is not None and today.junior
    for test in () if junior or sore else athlete.strength:
        if test.side == side and test.movement == loads:
            same = ("90" in test.position) == (pose.working.elevation > SHOULDER_HEIGHT)
            share = INTENSITY.value * (1.0 if same else OTHER_POSITION.value)
            share *= BREAK_TEST.value if test.test == "break" else 1.0
            words = f"{100 * share:.0f} % of the {test.moment:.1f} N·m tested ({test.position}, {test.test} test)"
            return Target(
                value=min(share * test.moment, largest),
                largest=largest,
                kind="strength",
                words=words,
                known="our choice",
            )
    if sore:
        why = (
            f"the {' and the '.join(sore)} side hurts too much today, "
            f"so {100 * SORE_SHARE.value:.0f} % of the start load"
        )
        share, words = SORE_SHARE.value, why
    elif junior:
        tested = any(test.side == side and test.movement == loads for test in athlete.strength)
        why = "a junior begins at the lightest start of this exercise" + (", whatever was tested" if tested else "")
        share, words = 1.0, f"start load: {why}"
    else:
        why = "no strength or earlier load known, so the lightest start"
        share, words = 1.0, f"try-out set: {why}"
    return Target(
        value=share * first,
        largest=largest,
        kind="try-out",
        words=words,
        known=start.first.known,
        first_time=why if sore else f"first time: {why}",
    )
