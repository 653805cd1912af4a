"""The demo athlete with one thing changed, and the session that comes of it, with all that is printed of it."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cache
from pathlib import Path

import numpy as np

from firstpush.core.exercises.loader import library
from firstpush.core.kit.kit import Kit
from firstpush.core.kit.kit_file import load_kit
from firstpush.core.kit.venue import Venue
from firstpush.core.kit.venue_file import load_venue
from firstpush.core.notices import Notice
from firstpush.core.people.athlete import SIDES, ArmFunction, Athlete, Side
from firstpush.core.people.athlete_file import load_athlete
from firstpush.core.people.health import health_notices
from firstpush.core.session.compose import compose
from firstpush.core.session.prepare import Prepared, prepare, ranged
from firstpush.core.session.session import Session
from firstpush.core.setup.circumstances import circumstances
from firstpush.core.setup.result import ExerciseSetup
from firstpush.demo import demo_file
from firstpush.sheets.from_session import sheet_contents

MINUTES = 18.0
FIRST_SIX = (
    "chest_stretch_post",
    "seated_row",
    "external_rotation_90",
    "anti_rotation_press",
    "ball_circles",
    "graded_push_lengths",
)
"""What the sessions are made from: a library that grows must not change what these tests mean."""
AT_SHOULDER_HEIGHT = ("chest_stretch_post", "external_rotation_90", "ball_circles")
NEED_ELBOW_EXTENSORS = ("anti_rotation_press", "ball_circles")
WITH_BAND = ("seated_row", "external_rotation_90", "anti_rotation_press")
BOTH_ARMS = ("seated_row", "anti_rotation_press", "graded_push_lengths")
LEAST = 'name = "Least"\nmass_kg = 58\narm_span_m = 1.66\n[[chairs]]\nkind = "{kind}"\n'

RUNA: Athlete = load_athlete(demo_file("athlete"))
CUPBOARD: Kit = load_kit(demo_file("kit"))
HALL: Venue = load_venue(demo_file("venue"))


@dataclass(frozen=True, kw_only=True)
class Made:
    """A session with all that is printed of it on the practitioner's copy, as one text."""

    athlete: Athlete
    prepared: Prepared
    session: Session
    printed: str

    @property
    def ids(self) -> set[str]:
        """Exercises of the session."""
        return {item.candidate.id for item in self.session.items}

    def sides(self, exercise: str) -> tuple[Side, ...]:
        """Sides that an exercise of the session is done on; none when it is left out."""
        return next((item.sides for item in self.session.items if item.candidate.id == exercise), ())

    def setup(self, exercise: str, side: Side = "right") -> ExerciseSetup:
        """Return the set-up of an exercise on a side (both arms together stand under the right)."""
        return self.prepared.setups[exercise, side]

    def setups(self) -> list[ExerciseSetup]:
        """Return every set-up that there is."""
        return list(self.prepared.setups.values())

    def reason(self, exercise: str) -> str:
        """Return why an exercise is left out, or ""."""
        return next((out.reason for out in self.session.left_out if out.exercise.id == exercise), "")

    def notices(self) -> list[Notice]:
        """Return the notices about health, the session, and the exercises in it."""
        of_items = [notice for item in self.session.items for notice in item.candidate.notices]
        return [*health_notices(self.athlete), *self.session.notices, *of_items]

    def notice(self, id_: str) -> Notice:
        """Return the first notice with an id; fails when there is none."""
        return next(notice for notice in self.notices() if notice.id == id_)

    def says(self, id_: str) -> bool:
        """Whether a notice with this id is there."""
        return any(notice.id == id_ for notice in self.notices())


@cache
def made(athlete: Athlete = RUNA, kit: Kit = CUPBOARD, venue: Venue = HALL, minutes: float = MINUTES) -> Made:
    """Return the session of `athlete`, made once for all tests that ask for the same."""
    prepared = prepare(circumstances(athlete, kit, venue), [library()[name] for name in FIRST_SIX])
    prepared = ranged(prepared, FIRST_SIX)
    session = compose(prepared.candidates, minutes=minutes, left_out=prepared.left_out)
    contents = sheet_contents(
        session,
        prepared,
        athlete=athlete,
        venue_name=venue.name,
        notices=health_notices(athlete),
        program_version="test",
        checksum="test",
        figures={item.candidate.id: "<svg/>" for item in session.items},
        small_figures={item.candidate.id: "<svg/>" for item in session.items},
    )
    return Made(athlete=athlete, prepared=prepared, session=session, printed=repr(contents[1]))


def with_health(athlete: Athlete = RUNA, **change: object) -> Athlete:
    """Return the athlete with other health."""
    return replace(athlete, health=replace(athlete.health, **change))  # type: ignore[arg-type]


def with_arms(athlete: Athlete = RUNA, *, sides: tuple[Side, ...] = SIDES, **change: object) -> Athlete:
    """Return the athlete with other function of the arms on `sides`."""
    arms: dict[str, ArmFunction] = {side: replace(athlete.arm(side), **change) for side in sides}  # type: ignore[arg-type]
    return replace(athlete, **arms)  # type: ignore[arg-type]


def with_chair(athlete: Athlete = RUNA, **change: object) -> Athlete:
    """Return the athlete in a changed chair."""
    return replace(athlete, chairs=(replace(athlete.chair, **change),))  # type: ignore[arg-type]


def least(folder: Path, kind: str) -> Athlete:
    """Return an athlete of whom only the required keys are known."""
    path = folder / f"{kind}.toml"
    path.write_text(LEAST.format(kind=kind), encoding="utf-8")
    return load_athlete(path)


def largest_pull(setup: ExerciseSetup) -> float:
    """Return the largest force of the band on one arm [N]."""
    return max(float(np.linalg.norm(force, axis=-1).max()) for force in setup.forces.values())
