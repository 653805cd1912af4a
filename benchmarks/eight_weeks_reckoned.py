"""The demo athlete's set-ups in the eight weeks, each reckoned once: steps, and the rounds of a try-out."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from datetime import date
from functools import cache
from typing import Any

from eight_weeks_trainee import Trainee

from firstpush.core.exercises.loader import library
from firstpush.core.kit.kit_file import load_kit
from firstpush.core.kit.venue_file import load_venue
from firstpush.core.people.athlete import Side
from firstpush.core.people.athlete_file import load_athlete
from firstpush.core.progress.levers import next_step
from firstpush.core.progress.step import AsDone, StepAnswer
from firstpush.core.progress.trying import Heard, TriedOut, try_out
from firstpush.core.session.agreed import Agreed
from firstpush.core.setup.by_hand import laid_as
from firstpush.core.setup.circumstances import Circumstances, circumstances
from firstpush.core.setup.result import ExerciseSetup
from firstpush.demo import demo_file

TRIED_REPETITIONS = 6


def load_of(setups: Mapping[Side, ExerciseSetup]) -> float:
    """Return the predicted load of the exercise as it is done, the mean of its sides [N·m]."""
    peaks = [setup.peak.value for setup in setups.values() if setup.peak is not None]
    return sum(peaks) / len(peaks)


@cache
def case() -> Circumstances:
    """Return the demo athlete, never tested, with the demo's cupboard in its hall."""
    athlete = replace(load_athlete(demo_file("athlete")), strength=())
    return circumstances(athlete, load_kit(demo_file("kit")), load_venue(demo_file("venue")))


_REMEMBERED: dict[Any, Any] = {}


def steps_once(of: Circumstances, now: AsDone, **asked: Any) -> StepAnswer:
    """Return `next_step`, reckoned once for the same set-up, dose and question."""
    laid = tuple((side, setup.band and laid_as(setup), setup.support) for side, setup in now.setups.items())
    key = (now.exercise.id, now.exercise.harder, repr(now.exercise.poses), laid, now.dose)
    key = (*key, asked["direction"], asked["size"])
    if key not in _REMEMBERED:
        _REMEMBERED[key] = next_step(of, now, **asked)
    found: StepAnswer = _REMEMBERED[key]
    return found


def tried_once(exercise: str, heard: tuple[Heard, ...], on: date, goes_on_from: Agreed | None) -> TriedOut:
    """Return `try_out`, reckoned once for the same words and beginning."""
    sides = None if goes_on_from is None else tuple((side, each.laid) for side, each in goes_on_from.sides.items())
    key = (exercise, heard, sides)
    if key not in _REMEMBERED:
        _REMEMBERED[key] = try_out(library()[exercise], case(), heard, on=on, goes_on_from=goes_on_from)
    found: TriedOut = _REMEMBERED[key]
    return found if found.agreed is None else replace(found, agreed=replace(found.agreed, since=on))


def tried(exercise: str, trainee: Trainee, on: date, goes_on_from: Agreed | None = None) -> tuple[TriedOut, str]:
    """Return a whole try-out as somebody feels it, and its rounds in words."""
    heard: tuple[Heard, ...] = ()
    found = tried_once(exercise, heard, on, goes_on_from)
    while not found.over:
        effort = trainee.effort(exercise, load_of(found.rounds[-1].setups), TRIED_REPETITIONS)
        heard = (*heard, Heard(effort=effort))
        found = tried_once(exercise, heard, on, goes_on_from)
    rounds = ", ".join(f"{each.load:.1f} N·m at {said.effort}" for each, said in zip(found.rounds, heard, strict=True))
    return found, f"tried out {rounds}; kept {load_of(found.kept):.1f}"
