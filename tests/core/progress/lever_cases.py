"""Exercises of the library as athletes of the demo club do them, ready to be made harder or easier."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from typing import Any

import numpy as np

from firstpush.core.exercises.definition import Exercise
from firstpush.core.exercises.loader import exercise_named, library
from firstpush.core.kit.kit import Kit
from firstpush.core.kit.kit_file import load_kit
from firstpush.core.kit.venue import Post, Venue
from firstpush.core.kit.venue_file import load_venue
from firstpush.core.people.athlete import ArmFunction, Athlete
from firstpush.core.people.athlete_file import load_athlete
from firstpush.core.progress.levers import next_step
from firstpush.core.progress.step import AsDone, Direction, Step, StepAnswer
from firstpush.core.session.prepare import prepare
from firstpush.core.setup.circumstances import Circumstances, circumstances
from firstpush.core.setup.result import ExerciseSetup
from firstpush.demo import demo_file
from firstpush.demo.club import club_files

FILES = club_files()
CLUB: dict[str, Athlete] = {path.stem: load_athlete(path) for path in FILES["athletes"]}
CLUB_KIT: Kit = load_kit(FILES["kits"][0])
CLUB_HALL: Venue = load_venue(FILES["venues"][-1])
RUNA: Athlete = load_athlete(demo_file("athlete"))
CUPBOARD: Kit = load_kit(demo_file("kit"))
HALL: Venue = load_venue(demo_file("venue"))
FULL_ARM = ArmFunction(
    grip="full",
    feeling="full",
    elbow_extension=5,
    wrist_extension=5,
    elevation=np.pi,
    external_rotation=np.radians(95),
)
EVEN: Athlete = replace(RUNA, left=FULL_ARM, right=FULL_ARM, strength=())
"""The demo athlete with both sides alike and nothing tested."""


@cache
def case_of(athlete: Athlete = EVEN, kit: Kit = CUPBOARD, venue: Venue = HALL) -> Circumstances:
    """Return the circumstances, made once for all tests that ask for the same."""
    return circumstances(athlete, kit, venue)


def done(exercise: str | Exercise, case: Circumstances | None = None) -> AsDone:
    """Return an exercise as the search sets it up, in the first dose of its file."""
    wanted = exercise_named(exercise) if isinstance(exercise, str) else exercise
    prepared = prepare(case_of() if case is None else case, [wanted], keep=(wanted.id,))
    assert prepared.setups, prepared.left_out
    setups = {side: setup for (_, side), setup in prepared.setups.items()}
    return AsDone(exercise=wanted, setups=setups, dose=next(iter(setups.values())).exercise.doses[0])


def pole(*heights: float, room: float = 3.0) -> Venue:
    """Return a hall with one post that offers `heights` [m] and `room` before it [m]."""
    return replace(HALL, posts=(Post(name="pole", heights=tuple(heights), room_in_front=room, places=1),))


def only(*names: str, **change: Any) -> Kit:
    """Return the cupboard with these bands alone, each changed alike."""
    return replace(CUPBOARD, bands=tuple(replace(band, **change) for band in CUPBOARD.bands if band.name in names))


def listing(name: str, *levers: str, case: Circumstances | None = None) -> AsDone:
    """Return an exercise as it is done that lists these levers alone, both ways, and no other exercise."""
    now = done(name, case)
    exercise = replace(now.exercise, harder=levers, easier=levers, harder_exercise=None, easier_exercise=None)
    return replace(now, exercise=exercise)


def asked(now: AsDone, direction: Direction, *, case: Circumstances | None = None, **how: Any) -> StepAnswer:
    """Return the answer, with the library at hand."""
    return next_step(case_of() if case is None else case, now, direction=direction, exercises=library(), **how)


def steps_of(answer: StepAnswer) -> tuple[Step, ...]:
    """Return every step of an answer."""
    return (*(() if answer.best is None else (answer.best,)), *answer.others)


def one(now: AsDone) -> ExerciseSetup:
    """Return the set-up of the first side."""
    return next(iter(now.setups.values()))
