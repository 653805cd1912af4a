"""Making a session of the club: from records and a request to a version that is kept, with the words of its sheets.

For other pages: ``request_for(user, record, minutes=18)`` and ``make_version(record, request, by=...)`` make the
session of one athlete and keep it; nothing else is needed.
"""

from __future__ import annotations

import hashlib
import json
import threading
from collections import OrderedDict
from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass, replace
from datetime import date
from functools import lru_cache
from importlib.metadata import version as installed
from typing import Any

from django.utils import timezone
from django.utils.formats import date_format

from firstpush.core.errors import FirstpushError
from firstpush.core.exercises.definition import Exercise
from firstpush.core.kit.kit_file import kit_from
from firstpush.core.kit.venue_file import venue_from
from firstpush.core.people.age import athlete_notices
from firstpush.core.people.athlete_file import athlete_from
from firstpush.core.session.agreed import Agreed, agreed_loads, read_agreed
from firstpush.core.session.asked import Asked, DoneSession
from firstpush.core.session.by_hand import plan_by_hand
from firstpush.core.session.document import session_document
from firstpush.core.session.kinds import ROOM, KindName
from firstpush.core.session.plan import Planned
from firstpush.core.session.prepare import prepare
from firstpush.core.setup.circumstances import Circumstances, circumstances
from firstpush.sheets.checksum import input_checksum
from firstpush.sheets.from_session import sheet_contents
from firstpush.sheets.too_hard import too_hard_words
from firstpush.web import access
from firstpush.web.access import User
from firstpush.web.after.holds import agreed_of, break_before, done_lately, read_break
from firstpush.web.athletes.models import AthleteRecord
from firstpush.web.club.models import Account
from firstpush.web.errors import WebError
from firstpush.web.exercises.library import club_library, own_mark
from firstpush.web.sessions.court_speed import speed_from, speed_rows
from firstpush.web.sessions.day_state import venue_document_on
from firstpush.web.sessions.models import Plan, PlanVersion
from firstpush.web.sessions.request import SessionRequest, read_request
from firstpush.web.sessions.sheet_words import kept_words
from firstpush.web.sessions.usual_place import usual_place

USUAL_MINUTES = 18.0
PLANS_KEPT = 12
"""Planned sessions kept in memory, each a few megabytes: changing one by hand asks for it again and again."""

Told = Callable[[str], None]

_ALONE = threading.Lock()
"""Two cores: two sessions made at once take as long as one after the other, and the first is ready sooner."""
_PLANS: OrderedDict[tuple[str, ...], Planned] = OrderedDict()


@dataclass(frozen=True, kw_only=True)
class MadeSession:
    """A session that was made and not yet kept; without items when nothing fits, and then it says why."""

    request: SessionRequest
    planned: Planned
    document: dict[str, Any]

    @property
    def fits(self) -> bool:
        """Whether there is a session at all."""
        return bool(self.planned.session.items)


def request_for(
    user: User,
    record: AthleteRecord,
    *,
    minutes: float = USUAL_MINUTES,
    kind: KindName = "before training",
    on: date | None = None,
    kit_id: int | None = None,
    venue_id: int | None = None,
    asked: Asked | None = None,
) -> SessionRequest:
    """Return a request with the documents of athlete, kit and venue as they are now.

    Parameters
    ----------
    user
        Whose club it is.
    record : AthleteRecord
    kit_id, venue_id : int, optional
        Left out, those of the usual place of the day; without any venue, a room.

    Raises
    ------
    WebError
        When the club has no kit.
    """
    request = SessionRequest(
        minutes=minutes,
        kind=kind,
        on=on if on is not None else timezone.localdate(),
        kit_id=kit_id,
        venue_id=venue_id,
        asked=asked if asked is not None else Asked(),
    )
    if kit_id is None:
        place = usual_place(user, record, request.on)
        if place.kit is None:
            raise WebError(
                "the club has no kit yet. Allowed: one cupboard or more. Write down under Kit and venue what there is."
            )
        venue_id = None if place.venue is None else place.venue.pk
        request = replace(request, kit_id=place.kit.pk, venue_id=venue_id)
    return with_inputs(user, record, request)


def with_inputs(user: User, record: AthleteRecord, request: SessionRequest) -> SessionRequest:
    """Return `request` with the documents as they are now."""
    if request.kit_id is None:
        found = request_for(user, record, minutes=request.minutes, on=request.on)
        request = replace(request, kit_id=found.kit_id, venue_id=found.venue_id)
    assert request.kit_id is not None, "request_for names a kit"
    kit = access.kit_for(user, request.kit_id)
    venue = None if request.venue_id is None else access.venue_for(user, request.venue_id)
    on = request.on or timezone.localdate()
    inputs = {
        "athlete": record.document,
        "kit": kit.document_in_use(),
        "venue": None if venue is None else venue_document_on(venue, on),
    }
    # Left out where there is nothing, so that sessions of before know no difference.
    past = {
        "agreed": agreed_of(record),
        "done": done_lately(record, on=on),
        "speed": speed_rows(record),
        "after_break": break_before(record, on=on),
    }
    return replace(request, inputs=inputs | {name: rows for name, rows in past.items() if rows}, on=on)


def make_session(record: AthleteRecord, request: SessionRequest, *, told: Told = lambda _: None) -> MadeSession:
    """Make the session that `request` asks for; nothing is kept.

    Raises
    ------
    FirstpushError
        When a document cannot be read, or a name or number of the request is not known or out of range.
    """
    told("waiting")
    with _ALONE:
        planned = _planned(record, request, told)
    told("writing")
    return MadeSession(request=request, planned=planned, document=_document(request, planned, club=record.club.name))


def search_ahead(record: AthleteRecord, request: SessionRequest) -> None:
    """Search the set-ups of an athlete in the background while the form is filled in: most of the time goes there.

    What is found is kept by its content (see `firstpush.core.session.prepare`); asked otherwise, it is searched anew.
    """
    exercises = tuple(club_library(record.club).values())

    def search() -> None:
        # What is wrong is told when the session is asked for.
        with _ALONE, suppress(FirstpushError):
            prepare(case_of(request), exercises, kind=request.kind)

    threading.Thread(target=search, name=f"searching ahead for athlete {record.pk}", daemon=True).start()


def make_version(
    record: AthleteRecord, request: SessionRequest, *, by: Account | None, why: str = "made", plan: Plan | None = None
) -> PlanVersion | None:
    """Make the session and keep it as a version of `plan`, or of a new session; None when nothing fits."""
    made = make_session(record, request)
    return keep(made, record, by=by, why=why, plan=plan) if made.fits else None


def keep(
    made: MadeSession, record: AthleteRecord, *, by: Account | None, why: str, plan: Plan | None = None
) -> PlanVersion:
    """Keep a session as the next version of `plan`, or as the first of a new one."""
    plan = plan if plan is not None else Plan.of(record)
    version = plan.add_version(request=made.request.document(), document=made.document, by=by, why=why)
    _remember(version.plan.athlete, made.request, made.planned)
    return version


def planned_as_asked(record: AthleteRecord, request: SessionRequest) -> Planned:
    """Return what would come of a request that holds its documents; made later, it is there already.

    Raises
    ------
    FirstpushError
        As `make_session` does.
    """
    with _ALONE:
        return _planned(record, request, lambda _: None)


def planned_of(version: PlanVersion) -> Planned:
    """Return set-ups and choice of a version, made again from the documents that it was made from.

    Raises
    ------
    WebError
        When it was kept without them.
    """
    request = read_request(version.request)
    if not request.inputs:
        raise WebError(
            "this session was kept without what it was made from. Allowed: sessions made on these pages. Make it again."
        )
    with _ALONE:
        return _planned(version.plan.athlete, request, lambda _: None)


def changed_inputs(user: User, version: PlanVersion) -> list[str]:
    """Return which of "athlete", "kit", "venue", "agreed" and "speed" are not as they were when `version` was made.

    Another session done in between changes the choice of the next one, and makes none out of date.
    """
    request = read_request(version.request)
    if not request.inputs:
        return []
    now = with_inputs(user, version.plan.athlete, request).inputs
    names = ("athlete", "kit", "venue", "agreed", "speed")
    return [name for name in names if now.get(name) != request.inputs.get(name)]


def _planned(record: AthleteRecord, request: SessionRequest, told: Told) -> Planned:
    key = _plan_key(record, request)
    if key in _PLANS:
        _PLANS.move_to_end(key)
        return _PLANS[key]
    case = case_of(request)
    planned = plan_by_hand(
        case,
        club_library(record.club).values(),
        minutes=request.minutes,
        kind=request.kind,
        asked=replace(request.asked, history=_history(request)),
        by_hand=request.by_hand,
        agreed=agreed_in(request),
        told=told,
    )
    _remember(record, request, planned)
    return planned


def agreed_in(request: SessionRequest) -> tuple[Agreed, ...]:
    """Return what was agreed about exercises when a session was asked for."""
    return tuple(map(read_agreed, request.inputs.get("agreed", ())))


def exercise_as_agreed(request: SessionRequest, exercise: Exercise) -> Exercise:
    """Return an exercise with the poses agreed for this session."""
    agreed = next((each for each in agreed_in(request) if each.exercise == exercise.id), None)
    return exercise if agreed is None else agreed.as_done(exercise)


def _history(request: SessionRequest) -> tuple[DoneSession, ...]:
    rows = request.inputs.get("done", ())
    return tuple(
        DoneSession(on=date.fromisoformat(row["date"]), exercises=tuple(row["exercises"].items())) for row in rows
    )


def _remember(record: AthleteRecord, request: SessionRequest, planned: Planned) -> None:
    _PLANS[_plan_key(record, request)] = planned
    while len(_PLANS) > PLANS_KEPT:
        _PLANS.popitem(last=False)


def _plan_key(record: AthleteRecord, request: SessionRequest) -> tuple[str, ...]:
    """Return what a planned session depends on: what was asked for, and the club's own exercises as they are now."""
    return (str(record.pk), _key(request), own_mark(record.club))


def _key(request: SessionRequest) -> str:
    """Return what a session depends on, as one word; where a version stands in the history does not count."""
    plain = replace(request, changed_from=None, back_to=None).document()
    return hashlib.sha256(json.dumps(plain, sort_keys=True).encode()).hexdigest()


def case_of(request: SessionRequest) -> Circumstances:
    """Return athlete, kit and venue of a request as core computes with them."""
    return _case(json.dumps(request.inputs, sort_keys=True), request.on)


@lru_cache(maxsize=32)
def _case(inputs: str, on: date | None) -> Circumstances:
    documents = json.loads(inputs)
    venue = documents["venue"]
    case = circumstances(
        athlete_from(documents["athlete"], where="athlete"),
        kit_from(documents["kit"], where="kit"),
        ROOM if venue is None else venue_from(venue, where="venue"),
        on=on,
    )
    back = read_break(documents.get("after_break"))
    return replace(
        case,
        load_share=1.0 if back is None else back.share,
        agreed=agreed_loads(map(read_agreed, documents.get("agreed", ()))),
        speed=speed_from(documents.get("speed", ()), athlete=case.athlete),
    )


def _document(request: SessionRequest, planned: Planned, *, club: str) -> dict[str, Any]:
    """Return what ``session.json`` holds, and the words of both sheets."""
    case = case_of(request)
    back = read_break(request.inputs.get("after_break"))
    notices = (*athlete_notices(case.athlete, on=request.on), *(() if back is None else (back.notice(),)))
    checksum = input_checksum((), request=_key(request))
    session, prepared = planned.session, planned.prepared
    document = session_document(
        session,
        prepared,
        athlete=case.athlete.name,
        venue=case.venue.name,
        notices=notices,
        checksum=checksum,
        on=request.on,
    )
    # Drawings take longer than all the rest: each is made when it is first looked at.
    not_drawn = {item.candidate.id: "" for item in session.items}
    contents = sheet_contents(
        session,
        prepared,
        athlete=case.athlete,
        venue_name=case.venue.name,
        notices=notices,
        program_version=installed("firstpush"),
        checksum=checksum,
        date=None if request.on is None else date_format(request.on, "j F Y"),
        figures=not_drawn,
        small_figures=not_drawn,
        course_plans={},
        club=club,
        too_hard=too_hard_words(session, prepared, case),
    )
    return document | {"sheets": kept_words(contents)}
