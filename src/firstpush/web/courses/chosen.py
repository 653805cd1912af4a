"""For whom, where and how a course is laid: what an address says, as values of core."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from datetime import date
from functools import cache
from typing import Any

from django.http import Http404, QueryDict
from django.utils import timezone

from firstpush.core.courses import (
    LAYOUTS,
    Area,
    AthleteSpeed,
    ChairOutline,
    areas_on,
    courts,
    outline_of,
)
from firstpush.core.kit.venue import Venue
from firstpush.core.people.athlete import ArmFunction, Athlete, Chair, Health, Side, TrunkControl
from firstpush.core.people.chair_presets import filled_chair
from firstpush.web import access
from firstpush.web.access import User
from firstpush.web.athletes.models import AthleteRecord
from firstpush.web.courses.models import OwnCourse
from firstpush.web.courses.speeds import speed_of, tests_key
from firstpush.web.kit.models import VenueRecord
from firstpush.web.reckoned import document_key

OWN_SLUG = re.compile(r"own-(\d{1,18})", re.ASCII)
MOST_DRIVERS = 20
REFERENCE_MASS_KG = 70.0
"""Nothing of a course depends on it."""
INSIDE = " lines"
"""Stands after a sport where the lines of its court bind, and not the end of its run-off."""


@dataclass(frozen=True, kw_only=True)
class Driver:
    """Who drives a course: chair and speed; without a record a usual court chair of nobody in particular."""

    record: AthleteRecord | None
    athlete: Athlete
    chair: Chair
    outline: ChairOutline
    speed: AthleteSpeed
    key: tuple[Any, ...]

    @property
    def name(self) -> str:
        """How the driver is called."""
        return self.outline.name


@dataclass(frozen=True, kw_only=True)
class Source:
    """Which course: one of the layouts, or one of the club's own."""

    slug: str
    title: str
    own: OwnCourse | None = None


@dataclass(frozen=True, kw_only=True)
class Chosen:
    """What is laid, for whom, where, how: a spacing of None is the usual one."""

    source: Source
    drivers: tuple[Driver, ...]
    venue: Venue
    areas: tuple[Area, ...]
    spacing: float | None = None
    count: int | None = None
    first: Side = "left"
    on: date = field(default_factory=timezone.localdate)

    @property
    def key(self) -> tuple[Any, ...]:
        """What stands for all of it."""
        own = None if self.source.own is None else document_key(self.source.own.document)
        drivers = tuple(each.key for each in self.drivers)
        hall = (self.venue.name, self.venue.floor_length, self.venue.floor_width)
        return (self.source.slug, own, drivers, hall, self.areas, self.spacing, self.count, self.first, self.on.year)

    def other_way(self) -> Chosen:
        """Return the same the other way round."""
        return replace(self, first="left" if self.first == "right" else "right")


def source_for(user: User, slug: str) -> Source:
    """Return the course an address names; 404 for one that is not there."""
    if slug in LAYOUTS:
        title = LAYOUTS[slug].title
        return Source(slug=slug, title=title[:1].upper() + title[1:])
    found = OWN_SLUG.fullmatch(slug)
    if found is None:
        raise Http404
    own = access.course_for(user, int(found[1]))
    return Source(slug=own.slug, title=own.name, own=own)


def driver_of(record: AthleteRecord) -> Driver:
    """Return an athlete in the chair that is used, with the speed that was measured."""
    athlete = record.athlete()
    tests = tuple(record.speed_tests.all())
    return Driver(
        record=record,
        athlete=athlete,
        chair=athlete.chair,
        outline=outline_of(athlete.chair, name=record.name),
        speed=speed_of(tests, athlete=athlete),
        key=(record.pk, document_key(record.document), tests_key(tests)),
    )


@cache
def nobody() -> Driver:
    """Return a usual court chair, with nobody measured in it."""
    chair = filled_chair("court", name="a usual court chair", measured=frozenset(), given={})
    # Of nobody nothing is unknown: no caution holds, and a time at full speed is told.
    arm = ArmFunction(grip="full", feeling="full", elbow_extension=5, wrist_extension=5)
    athlete = Athlete(
        name=chair.name,
        mass=REFERENCE_MASS_KG,
        missing_limbs=frozenset(),
        trunk=TrunkControl(forward="yes", turn="yes", lean_left="yes", lean_right="yes"),
        left=arm,
        right=arm,
        health=Health(no_spinal_injury=True, conditions=frozenset(), latex="tolerated", pain=()),
        chairs=(chair,),
    )
    return Driver(record=None, athlete=athlete, chair=chair, outline=outline_of(chair), speed=speed_of(()), key=(None,))


def drivers_for(user: User, asked: QueryDict) -> tuple[Driver, ...]:
    """Return the athletes an address names; an athlete of another club is not there."""
    ids = dict.fromkeys(id_of(each) for each in asked.getlist("athlete") if each)
    if len(ids) > MOST_DRIVERS:
        raise Http404
    return tuple(driver_of(access.athlete_for(user, each)) for each in ids) or (nobody(),)


def venue_for(user: User, asked: QueryDict) -> VenueRecord | None:
    """Return the venue an address names; where it names none, today's, else the newest."""
    if "venue" in asked:
        given = asked.get("venue", "")
        return access.venue_for(user, id_of(given)) if given else None
    today = access.day_plans_for(user).filter(day=timezone.localdate()).first()
    if today is not None and today.venue is not None:
        return today.venue
    return access.venues_for(user).filter(withdrawn_at=None).order_by("-created_at", "-pk").first()


def areas_of(venue: Venue, floor: str) -> tuple[Area, ...]:
    """Return what a course must stay in, as `areas_on` has it.

    Parameters
    ----------
    venue : Venue
    floor : str
        A sport: its court with the run-off; with `INSIDE` after it, inside the lines; empty for the hall to its walls.

    Raises
    ------
    CourseError
        Where the floor of the venue is needed and not measured.
    """
    return areas_on(venue, sport=floor.removesuffix(INSIDE) or None, inside_lines=floor.endswith(INSIDE))


def floor_choices() -> list[tuple[str, str]]:
    """Return the floors that can be chosen."""
    found = [("", "the whole floor, to the walls")]
    for sport, court in courts().items():
        if court.behind is not None:
            found.append((sport, f"{sport} court with its run-off"))
        found.append((sport + INSIDE, f"inside the lines of a {sport} court"))
    return found


def id_of(given: str) -> int:
    """Return the id that stands in an address; 404 for what is none."""
    if not given.isascii() or not given.isdigit() or len(given) > 18:
        raise Http404
    return int(given)


def asked_of(chosen: Chosen, *, spacing: float | None) -> Mapping[str, Any]:
    """Return how a course was laid, to lay it so again."""
    return {"spacing_m": spacing, "count": chosen.count, "first": chosen.first}
