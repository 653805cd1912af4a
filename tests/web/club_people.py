"""A club by a harbour with its people, and another club: built in code, in whatever database is set up.

Run as a program with a folder, it makes that folder and fills it, for tests that need a served application.
"""

from __future__ import annotations

import sys
import tomllib
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Any

from firstpush.demo import demo_file

if TYPE_CHECKING:
    from firstpush.web.athletes.models import AthleteRecord
    from firstpush.web.club.models import Account, Club
    from firstpush.web.courses.models import OwnCourse
    from firstpush.web.exercises.models import OwnExercise
    from firstpush.web.kit.models import KitRecord, VenueRecord
    from firstpush.web.sessions.models import DayEvent, Plan

A_PROGRAMME: dict[str, Any] = {
    "asked": {
        "start": "2026-03-02",
        "weeks": 1,
        "days": ["0"],
        "minutes": 15,
        "kind": "before training",
        "kit_id": None,
        "venue_id": None,
        "at": "17:30",
        "matches": [],
        "match_minutes": 10,
        "breaks": [],
        "light_week": 4,
        "test_weeks": [],
        "back_to_front": 2,
    },
    "document": {},
    "words": {"title": "Programme of 1 week", "weekdays": [0], "rows": [], "pages": []},
    "figures": {},
    "sheet": b"%PDF-1.7",
    "calendar": b"BEGIN:VCALENDAR",
}
"""A programme without a day, for tests of who may see one."""

A_COURSE: dict[str, Any] = {
    "name": "Breakwater",
    "cones": [{"name": "1", "x_m": 3.0, "y_m": 2.0}, {"name": "2", "x_m": 6.0, "y_m": 4.0}],
    "points": [{"name": "A", "x_m": 0.0, "y_m": 0.0}, {"name": "B", "x_m": 9.0, "y_m": 4.0}],
    "start": "A",
    "order": ["1R", "2L", "to B"],
}
"""Two cones far enough apart for any chair."""

PASSWORD = "salt wind over the pier"
NO_PASSWORD = "never matched"
"""Stands where a hash would stand; tests that do not log in need no argon2."""
ROLES = ("owner", "colleague", "assistant", "athlete")


@dataclass(frozen=True, kw_only=True)
class ClubPeople:
    """What was built: one club with everything in it; `stranger` owns another club."""

    club: Club
    owner: Account
    colleague: Account
    assistant: Account
    athlete: Account
    stranger: Account
    runa: AthleteRecord
    """The athlete whose account is `athlete`."""
    jon: AthleteRecord
    """An athlete without an account."""
    kit: KitRecord
    venue: VenueRecord
    exercise: OwnExercise
    plan: Plan
    """Of Runa, with one version."""
    plan_of_jon: Plan
    course: OwnCourse
    event: DayEvent
    """A post that was taken on a day long past."""

    def named(self, who: str) -> Account | None:
        """Return an account by the name of its role; None for "anonymous"."""
        account: Account | None = None if who == "anonymous" else getattr(self, who)
        return account


def demo_document(kind: str) -> dict[str, Any]:
    """Return the content of a demo file: "athlete", "kit" or "venue"."""
    return tomllib.loads(demo_file(kind).read_text(encoding="utf-8"))


def build(*, passwords: bool = False) -> ClubPeople:
    """Build both clubs; with `passwords` everybody can log in (which takes argon2 its time)."""
    from firstpush.web.athletes.models import AthleteRecord
    from firstpush.web.club.models import Account, Club, Membership
    from firstpush.web.courses.models import OwnCourse
    from firstpush.web.exercises.models import OwnExercise
    from firstpush.web.kit.models import KitRecord, VenueRecord
    from firstpush.web.programme.models import Programme
    from firstpush.web.sessions.models import DayEvent, Plan, Presence

    club, other = Club.objects.create(name="Harbour Wheels"), Club.objects.create(name="Lake Rollers")
    accounts = {name: Account(username=name, password=NO_PASSWORD) for name in (*ROLES, "stranger")}
    for account in accounts.values():
        if passwords:
            account.set_password(PASSWORD)
        account.save()
    Membership.objects.create(account=accounts["stranger"], club=other, role="owner")
    runa, jon = AthleteRecord(club=club, number=7), AthleteRecord(club=club)
    runa.save_document(demo_document("athlete"), by=accounts["owner"])
    jon.save_document(demo_document("athlete") | {"name": "Jon Brage"}, by=accounts["owner"])
    for role in ROLES:
        athlete = runa if role == "athlete" else None
        Membership.objects.create(account=accounts[role], club=club, role=role, athlete=athlete)
    kit, venue = KitRecord(club=club), VenueRecord(club=club)
    kit.save_document(demo_document("kit"), by=accounts["owner"])
    venue.save_document(demo_document("venue"), by=accounts["owner"])
    exercise = OwnExercise(club=club, slug="pier-row")
    exercise.save_text('id = "pier_row"', accepted=False, by=accounts["colleague"])
    plan, plan_of_jon = Plan.of(runa), Plan.of(jon)
    for each in (plan, plan_of_jon):
        each.add_version(
            request={"minutes": 15},
            document={"minutes": 15, "items": [{"title": "Seated row"}]},
            by=accounts["colleague"],
            why="first one",
        )
    Presence.objects.create(club=club, day=date(2026, 3, 2), athlete=runa, status="present", remark="late bus")
    Programme.add(runa, by=accounts["colleague"], made=A_PROGRAMME)
    course = OwnCourse(club=club)
    course.save_document(A_COURSE, by=accounts["colleague"])
    event = DayEvent.objects.create(
        club=club,
        day=date(2026, 3, 2),
        kind="taken",
        words="wall bars is taken",
        venue=venue,
        post="wall bars",
        made_by=accounts["owner"],
    )
    return ClubPeople(
        club=club,
        runa=runa,
        jon=jon,
        kit=kit,
        venue=venue,
        exercise=exercise,
        plan=plan,
        plan_of_jon=plan_of_jon,
        course=course,
        event=event,
        **accounts,
    )


if __name__ == "__main__":
    from firstpush.web.serve import prepare_folder

    prepare_folder(Path(sys.argv[1]))
    build(passwords=True)
