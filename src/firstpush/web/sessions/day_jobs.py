"""Making the sessions of a day one after the other, in the background, with every step told in the database.

Whoever looks at the page reads how far it is; a server that is ended leaves rows that count as interrupted.
"""

from __future__ import annotations

import logging
import threading
from collections.abc import Callable, Iterable
from dataclasses import replace
from datetime import date

from django.conf import settings
from django.db import connections, transaction
from django.utils import timezone

from firstpush.core.errors import FirstpushError
from firstpush.core.notices import Notice
from firstpush.core.session.asked import plan_of
from firstpush.core.session.compare import differences
from firstpush.core.session.kinds import kind_named
from firstpush.web.athletes.models import AthleteRecord
from firstpush.web.club.models import Account
from firstpush.web.oncourt.package import build_ahead
from firstpush.web.sessions.day_state import INTERRUPTED_AFTER, day_plan_for, sessions_on
from firstpush.web.sessions.drawings import drawing, small_drawing
from firstpush.web.sessions.making import MadeSession, keep, make_session, request_for, with_inputs
from firstpush.web.sessions.models import DayEventKind, DayOutcome, Making, PlanVersion
from firstpush.web.sessions.request import SessionRequest, read_request

log = logging.getLogger(__name__)


def ask_for(records: Iterable[AthleteRecord], *, day: date, by: Account) -> None:
    """Let the sessions of `records` be made for a day; whoever waits already is not asked for twice."""
    with transaction.atomic():
        for record in records:
            waiting = Making.objects.filter(athlete=record, day=day)
            waiting.filter(stage=Making.FAILED).delete()
            waiting.filter(touched_at__lt=timezone.now() - INTERRUPTED_AFTER).delete()
            if not waiting.filter(outcome=None).exists():
                Making.objects.create(athlete=record, day=day, asked_by=by, touched_at=timezone.now())


def begin() -> None:
    """Make in the background whatever is waited for; without a data folder at once, for nobody else sees it then."""
    if settings.FOLDER is None:
        work_off()
    else:
        threading.Thread(target=_in_background, name="sessions of the day", daemon=True).start()


def _in_background() -> None:
    try:
        # What devices will fetch comes last: whoever prints or looks at a drawing waits already.
        build_ahead(work_off())
    except Exception:
        log.exception("making the sessions of the day ended")
    finally:
        connections.close_all()


def work_off() -> list[PlanVersion]:
    """Make what is waited for until nothing is, then draw what will be printed; return what was made."""
    made: list[PlanVersion] = []
    while (making := _next()) is not None:
        version = _made(making)
        if version is not None:
            made.append(version)
    for version in made:
        # The sheets' drawings: whoever prints everything then waits for the paper alone.
        _draw(version, drawing)
    return made


def _next() -> Making | None:
    """Take the next that waits; nobody else takes it then."""
    while True:
        first = Making.objects.filter(stage=Making.WAITING).select_related("athlete__club", "asked_by").first()
        if first is None:
            return None
        if Making.objects.filter(pk=first.pk, stage=Making.WAITING).update(stage="taken", touched_at=timezone.now()):
            Making.objects.filter(stage=Making.WAITING).update(touched_at=timezone.now())
            return first


def _made(making: Making) -> PlanVersion | None:
    def told(stage: str) -> None:
        if stage != "waiting":
            Making.objects.filter(pk=making.pk).update(stage=stage, touched_at=timezone.now())

    try:
        version = _one(making, told)
    except FirstpushError as error:
        _failed(making, str(error))
        return None
    except Exception:
        log.exception("the session of %s could not be made", making.athlete_id)
        _failed(making, "The program could not make it; the terminal says why.")
        return None
    if version is not None:
        told("drawing")
        _draw(version, small_drawing)
        Making.objects.filter(pk=making.pk).delete()
    return version


def _one(making: Making, told: Callable[[str], None]) -> PlanVersion | None:
    """Make one session and keep it; None when nothing had to be made, or nothing fits."""
    record, by = making.athlete, making.asked_by
    before = sessions_on(making.day, [record]).get(record.pk)
    outcome = making.outcome
    if outcome is not None and before is None:
        making.delete()
        return None
    plan = day_plan_for(by, making.day)
    if before is None or not before.request.get("inputs"):
        kit_id = None if plan.kit is None else plan.kit.pk
        request = request_for(
            by,
            record,
            minutes=plan.minutes,
            kind=kind_named(plan.kind).name,
            on=making.day,
            kit_id=kit_id,
            venue_id=None if plan.venue is None else plan.venue.pk,
        )
    else:
        request = _again(read_request(before.request), before)
        if outcome is not None and outcome.event.kind == DayEventKind.SORE:
            request = replace(request, asked=replace(request.asked, careful=True))
        if outcome is None:
            request = replace(
                request,
                minutes=plan.minutes,
                kind=kind_named(plan.kind).name,
                kit_id=None if plan.kit is None else plan.kit.pk,
                venue_id=None if plan.venue is None else plan.venue.pk,
            )
    made = make_session(record, with_inputs(by, record, request), told=told)
    if not made.fits:
        _failed(making, " ".join(f"{each.what[:1].upper()}{each.what[1:]}. {each.do}." for each in _said(made)))
        return None
    why = "made for the day" if outcome is None else outcome.event.words
    version = keep(made, record, by=by, why=why, plan=None if before is None else before.plan)
    if outcome is not None and before is not None:
        _tell(outcome, before, version)
    return version


def _again(request: SessionRequest, before: PlanVersion) -> SessionRequest:
    """Ask for the same again with as little changed as possible."""
    asked = replace(request.asked, earlier=plan_of(before.document))
    return replace(request, asked=asked, changed_from=before.number, back_to=None)


def _said(made: MadeSession) -> list[Notice]:
    notices = list(made.planned.session.notices)
    return [each for each in notices if each.level == "stop"] or notices


def _tell(outcome: DayOutcome, before: PlanVersion, after: PlanVersion) -> None:
    found = differences(before.document, after.document)
    outcome.before, outcome.after, outcome.changes = before, after, [each.words for each in found]
    outcome.save(update_fields=["before", "after", "changes"])


def _failed(making: Making, said: str) -> None:
    Making.objects.filter(pk=making.pk).update(stage=Making.FAILED, said=said, touched_at=timezone.now())


def _draw(version: PlanVersion, draw: Callable[[PlanVersion, dict[str, object]], str]) -> None:
    """Draw every exercise of a version now; what cannot be drawn is told where it is looked at."""
    for item in version.document["items"]:
        try:
            draw(version, item)
        except FirstpushError:
            log.info("no drawing of %s", item.get("exercise"))
