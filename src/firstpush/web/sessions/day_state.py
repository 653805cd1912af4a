"""What holds on a training day, read from what is stored; nothing is changed here."""

from __future__ import annotations

import copy
from collections.abc import Collection, Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from functools import cached_property
from typing import Any

from django.db.models import Exists, OuterRef, QuerySet
from django.utils import timezone

from firstpush.core.exercises.definition import Exercise
from firstpush.core.notices import Notice
from firstpush.core.session.affected import Affected, BandGone, Event, PostTaken, affected
from firstpush.core.session.kinds import CLOSED_DOOR, KIND_NAMES, KindName, kind_named
from firstpush.core.session.timeline import clock
from firstpush.web import access
from firstpush.web.access import User
from firstpush.web.after.holds import agreed_since
from firstpush.web.athletes.models import AthleteRecord
from firstpush.web.exercises.library import club_library
from firstpush.web.kit.models import KitRecord, VenueRecord
from firstpush.web.sessions.day_changes import changed_in_kit, changed_in_venue
from firstpush.web.sessions.day_sheet import DaySheet, Figure, sheets_of
from firstpush.web.sessions.models import DayEvent, DayEventKind, DayPlan, Making, PlanVersion, PresenceStatus

USUAL_MINUTES = 18.0
DAY_KINDS: tuple[KindName, ...] = tuple(name for name in KIND_NAMES if kind_named(name).with_others)
"""Kinds of session that are done together; the others are made on the athlete's own page."""
INTERRUPTED_AFTER = timedelta(minutes=3)
"""Whoever makes sessions says so at every step; after so long without a word it was ended."""
NOTICES_SHOWN = 2


@dataclass(frozen=True, kw_only=True)
class Row:
    """One athlete on a day.

    Parameters
    ----------
    status : str
        "present", "absent", "guest", or "" when nobody has said.
    version : PlanVersion or None
        The newest of the newest session of the day; request and document are fetched only when they are asked for.
    sheet : DaySheet or None
        What the day reads of it.
    making : Making or None
        Waited for, or failed.
    out_of_date : tuple of str
        Why the session has to be made again, as clauses without a full stop; empty when it can stay.
    start_min : int
        When the athlete starts, after the first [min].
    """

    record: AthleteRecord
    status: str
    remark: str
    version: PlanVersion | None
    sheet: DaySheet | None
    making: Making | None
    out_of_date: tuple[str, ...]
    start_min: int = 0

    @property
    def is_here(self) -> bool:
        """Whether the athlete trains today."""
        return self.status in (PresenceStatus.PRESENT, PresenceStatus.GUEST)

    @property
    def busy(self) -> bool:
        """Whether a session is being made."""
        return self.making is not None and self.making.stage != Making.FAILED

    @property
    def failed(self) -> bool:
        """Whether no session could be made; an earlier one must not be done then."""
        return self.making is not None and self.making.stage == Making.FAILED

    @property
    def ready(self) -> bool:
        """Whether the sheet can be handed out."""
        return self.version is not None and self.making is None and not self.out_of_date

    @property
    def wanted(self) -> bool:
        """Whether "make all" makes it."""
        return self.is_here and not self.busy and not self.ready

    @property
    def clock(self) -> str:
        """How long the session takes, as minutes and seconds."""
        return "" if self.sheet is None else clock(self.sheet.total_s)

    @property
    def figures(self) -> tuple[Figure, ...]:
        """The exercises of the session, in order."""
        return () if self.sheet is None else self.sheet.figures

    @cached_property
    def notices(self) -> tuple[Notice, ...]:
        """What must be known: every stop, and the gravest of the others."""
        found = self._all_notices
        stops = sum(notice.level == "stop" for notice in found)
        return found[: max(stops, NOTICES_SHOWN)]

    @property
    def more_notices(self) -> int:
        """How many more stand on the session's page."""
        return len(self._all_notices) - len(self.notices)

    @property
    def _all_notices(self) -> tuple[Notice, ...]:
        return () if self.sheet is None else self.sheet.notices


def day_plan_for(user: User, day: date) -> DayPlan:
    """Return what holds for a day; before anything was chosen, what held the last time, not yet stored."""
    plans = access.day_plans_for(user)
    stored = plans.filter(day=day).first()
    if stored is not None:
        # It is the club of whoever looks: no need to fetch it again.
        stored.club = access.club_of(user)
        return stored
    last = plans.filter(day__lt=day, kit__withdrawn_at=None, venue__withdrawn_at=None).order_by("-day").first()
    if last is not None:
        return DayPlan(club=last.club, day=day, kit=last.kit, venue=last.venue, minutes=last.minutes, kind=last.kind)
    return DayPlan(
        club=access.club_of(user),
        day=day,
        kit=access.kits_for(user).filter(withdrawn_at=None).first(),
        venue=access.venues_for(user).filter(withdrawn_at=None).first(),
        minutes=USUAL_MINUTES,
        kind=DAY_KINDS[0],
    )


def taken_posts(venue_id: int, day: date) -> list[str]:
    """Return the posts of a venue that are not to be had on a day."""
    events = DayEvent.objects.filter(kind=DayEventKind.TAKEN, day=day, venue_id=venue_id, undone_at=None)
    return list(dict.fromkeys(events.values_list("post", flat=True)))


def venue_document_on(venue: VenueRecord, day: date | None) -> dict[str, Any]:
    """Return the document of a venue as it is on a day: without the posts that are taken."""
    return without_posts(venue.document, [] if day is None else taken_posts(venue.pk, day))


def without_posts(document: dict[str, Any], taken: Collection[str]) -> dict[str, Any]:
    """Return the document of a venue without the posts that are taken."""
    if not taken:
        return document
    document = copy.deepcopy(document)
    document["posts"] = [post for post in document.get("posts", []) if post["name"] not in taken]
    return document


def sessions_on(day: date, athletes: Iterable[AthleteRecord]) -> dict[int, PlanVersion]:
    """Return the session of the day by athlete: of several the newest, in its newest version."""
    return _by_athlete(_newest_on(day, athletes))


def _newest_on(day: date, athletes: Iterable[AthleteRecord]) -> QuerySet[PlanVersion]:
    newer = PlanVersion.objects.filter(plan=OuterRef("plan"), number__gt=OuterRef("number"))
    newest = PlanVersion.objects.filter(~Exists(newer), plan__athlete__in=athletes, request__date=day.isoformat())
    return newest.select_related("plan").order_by("plan__number")


def _by_athlete(versions: Iterable[PlanVersion]) -> dict[int, PlanVersion]:
    return {version.plan.athlete_id: version for version in versions}


def rows_on(user: User, day: date, plan: DayPlan, *, now: Now | None = None) -> list[Row]:
    """Return every athlete of the club who is not withdrawn, as the day finds them, in the order of their names.

    Parameters
    ----------
    user
        Who looks.
    day : date
    plan : DayPlan
        What holds for the day.
    now : Now, optional
        What is there on the day, where the caller asks for more of it.
    """
    now = Now(plan) if now is None else now
    athletes = list(access.athletes_for(user).filter(withdrawn_at=None))
    said = {each.athlete_id: each for each in access.presences_for(user).filter(day=day)}
    sessions = _by_athlete(_newest_on(day, athletes).defer("request", "document"))
    sheets = sheets_of(sessions.values())
    makings = makings_on(day, athletes)
    changed = agreed_since(sessions.values())
    rows = []
    for record in athletes:
        version, presence = sessions.get(record.pk), said.get(record.pk)
        sheet = None if version is None else sheets[version.pk]
        rows.append(
            Row(
                record=record,
                status="" if presence is None else presence.status,
                remark="" if presence is None else presence.remark,
                version=version,
                sheet=sheet,
                making=makings.get(record.pk),
                out_of_date=()
                if version is None or sheet is None
                else (
                    *_out_of_date(version, sheet, plan, record, now=now),
                    *(("what is agreed about exercises was changed since",) if version.pk in changed else ()),
                ),
                start_min=0 if presence is None else presence.start_min,
            )
        )
    return rows


def makings_on(day: date, athletes: Iterable[AthleteRecord]) -> dict[int, Making]:
    """Return what is waited for by athlete, the first of several; what was ended half way counts as failed."""
    found: dict[int, Making] = {}
    for making in Making.objects.filter(day=day, athlete__in=athletes).select_related("outcome__event"):
        if making.stage != Making.FAILED and making.touched_at < timezone.now() - INTERRUPTED_AFTER:
            making.stage, making.said = Making.FAILED, "It was interrupted. Make it again."
        found.setdefault(making.athlete_id, making)
    return found


def _out_of_date(
    version: PlanVersion, sheet: DaySheet, plan: DayPlan, record: AthleteRecord, *, now: Now
) -> Iterator[str]:
    """Yield why a session is not what holds now; what was made otherwise by hand, after the choice, stays."""
    asked = sheet.asked
    if not plan._state.adding and version.made_at < plan.changed_at:
        if asked.get("venue_id") != plan.venue_id:
            yield "it was made for another venue"
        if asked.get("kit_id") != plan.kit_id:
            yield "it was made with another cupboard"
        if asked.get("minutes") != plan.minutes:
            yield f"it was made for {asked.get('minutes'):g} minutes"
        if asked.get("kind") != plan.kind:
            yield f"it was made as a session {kind_named(str(asked.get('kind'))).spoken}"
    inputs = asked.get("inputs") or {}
    if inputs.get("athlete") != record.document:
        yield f"{record.name}’s page was changed since"
    kit, venue = now.kit(asked.get("kit_id")), now.venue(asked.get("venue_id"))
    if inputs.get("kit") and (names := changed_in_kit(inputs["kit"], kit)):
        yield f"it was made before the cupboard changed: {', '.join(names)}"
    if inputs.get("venue") and (names := changed_in_venue(inputs["venue"], venue)):
        yield f"it was made before the venue changed: {', '.join(names)}"
    for one in no_longer_possible(sheet.done, kit=kit, venue=venue, exercises=now.exercises):
        yield f"{one.title}: {one.because}"


class Now:
    """What is there on a day, each read once: cupboards, venues, taken posts, the club's exercises.

    A sheet may be made with another cupboard or venue than the day's.
    """

    def __init__(self, plan: DayPlan) -> None:
        self.plan = plan
        self._kits: dict[int | None, dict[str, Any]] = {None: {}}
        self._venues: dict[int | None, dict[str, Any]] = {None: {}}
        self._taken: dict[int, list[str]] = {}

    @cached_property
    def exercises(self) -> dict[str, Exercise]:
        """What sessions of the club are chosen from, by id."""
        return club_library(self.plan.club)

    @cached_property
    def taken(self) -> list[str]:
        """The posts of the day's venue that are not to be had."""
        return [] if self.plan.venue_id is None else self._taken_at(self.plan.venue_id)

    def kit(self, id_: int | None) -> dict[str, Any]:
        """Return the document of a cupboard in use; empty when the club has none of that number."""
        if id_ is not None and id_ not in self._kits:
            record = self.plan.kit
            if id_ != self.plan.kit_id:
                record = KitRecord.objects.filter(club=self.plan.club, pk=id_).first()
            self._kits[id_] = {} if record is None else record.document_in_use()
        return self._kits[id_]

    def venue(self, id_: int | None) -> dict[str, Any]:
        """Return the document of a venue on the day; empty when the club has none of that number."""
        if id_ is not None and id_ not in self._venues:
            record = self.plan.venue
            if id_ != self.plan.venue_id:
                record = VenueRecord.objects.filter(club=self.plan.club, pk=id_).first()
            self._venues[id_] = {} if record is None else without_posts(record.document, self._taken_at(id_))
        return self._venues[id_]

    def _taken_at(self, venue_id: int) -> list[str]:
        if venue_id not in self._taken:
            self._taken[venue_id] = taken_posts(venue_id, self.plan.day)
        return self._taken[venue_id]


def no_longer_possible(
    document: Mapping[str, Any],
    *,
    kit: Mapping[str, Any],
    venue: Mapping[str, Any],
    exercises: Mapping[str, Exercise],
) -> list[Affected]:
    """Return the exercises of a session whose band or post is not there any more.

    Parameters
    ----------
    document : mapping
        A session document.
    kit, venue : mapping
        What is there now: documents of the kit in use, and of the venue on the day.
    exercises : mapping of exercise id to Exercise
    """
    counts = {band["name"]: band.get("count", 1) for band in kit.get("bands", ())}
    posts = {post["name"] for post in venue.get("posts", ())} | {CLOSED_DOOR.name}
    bands = [setup["band"] for item in document["items"] for setup in item.get("setups", ()) if setup.get("band")]
    events: list[Event] = [BandGone(band=name, left=counts.get(name, 0)) for name in {band["name"] for band in bands}]
    events += [PostTaken(post=post) for post in {band["post"] for band in bands if band.get("post")} - posts]
    found = {one.exercise: one for event in events for one in affected(document, event, exercises=exercises)}
    return [found[item["exercise"]] for item in document["items"] if item["exercise"] in found]
