"""What happens on a training day: a shoulder is sore, a band tears, a post is taken; and how it is undone.

Only sessions that stand on it are made again, each with as little changed as possible.
"""

from __future__ import annotations

import copy
from collections.abc import Mapping
from datetime import date
from typing import Any

from django.db import transaction
from django.utils import timezone

from firstpush.core.people.athlete import Side
from firstpush.core.session.affected import Affected, BandGone, Event, PostTaken, SoreShoulder, affected
from firstpush.web.athletes.models import AthleteRecord
from firstpush.web.club.models import Account
from firstpush.web.errors import ChangedMeanwhileError
from firstpush.web.exercises.library import club_library
from firstpush.web.kit.models import BandWithdrawal, KitRecord, VenueRecord
from firstpush.web.kit.wear import bring_back
from firstpush.web.sessions.day_state import sessions_on
from firstpush.web.sessions.models import (
    DayEvent,
    DayEventKind,
    DayOutcome,
    Making,
    PlanVersion,
    Presence,
    PresenceStatus,
)


@transaction.atomic
def shoulder_sore(record: AthleteRecord, *, day: date, side: Side, place: str, now: int, by: Account) -> DayEvent:
    """Keep a shoulder's pain now in the athlete's document, and let the session be made again.

    Parameters
    ----------
    record : AthleteRecord
    day : date
    side, place : str
        "left" or "right", and one of the places of the shoulder.
    now : int
        Pain now, 0 to 10.
    by : Account
        Who says so.

    Raises
    ------
    InputFileError
        When the document does not take it; nothing is kept then.
    """
    words = f"{record.name}: {side} {place}, pain {now} of 10 now"
    before = record.document.get("health", {}).get("pain")
    after = _with_pain(before, side=side, place=place, now=now)
    document = copy.deepcopy(record.document)
    document.setdefault("health", {})["pain"] = after
    record.save_document(document, by=by, why=words)
    event = DayEvent.objects.create(
        club=record.club,
        day=day,
        kind=DayEventKind.SORE,
        words=words,
        athlete=record,
        side=side,
        pain_before=before,
        pain_after=after,
        made_by=by,
    )
    return _let_make(event, {record.pk: record}, SoreShoulder(side=side), by=by)


@transaction.atomic
def band_torn(kit: KitRecord, *, day: date, band: str, count: int, reason: str, by: Account) -> DayEvent:
    """Take bands out of use, and let the sessions that need them be made again.

    Parameters
    ----------
    kit : KitRecord
    day : date
    band : str
        Name in the kit's document.
    count : int
        How many of them.
    reason : str
        In the words of who saw it.
    by : Account
    """
    withdrawal = BandWithdrawal.objects.create(kit=kit, band=band, count=count, day=day, reason=reason, made_by=by)
    left = next((each.count for each in kit.kit().bands if each.name == band), 0)
    many = "" if count == 1 else f"{count} × "
    event = DayEvent.objects.create(
        club=kit.club,
        day=day,
        kind=DayEventKind.TORN,
        words=f"{many}{band} taken out of use: {reason}; {left or 'none'} left",
        withdrawal=withdrawal,
        made_by=by,
    )
    return _let_make(event, _here(event), BandGone(band=band, left=left), by=by, kit_id=kit.pk)


@transaction.atomic
def post_taken(venue: VenueRecord, *, day: date, post: str, by: Account) -> DayEvent:
    """Do without a post for the day, and let the sessions that stand at it be made again."""
    event = DayEvent.objects.create(
        club=venue.club,
        day=day,
        kind=DayEventKind.TAKEN,
        words=f"{post}: taken",
        venue=venue,
        post=post,
        made_by=by,
    )
    return _let_make(event, _here(event), PostTaken(post=post), by=by, venue_id=venue.pk)


@transaction.atomic
def undo(event: DayEvent, *, by: Account) -> list[str]:
    """Take back what happened: band, post and pain as before, and every session that was not changed since.

    Returns
    -------
    list of str
        What stays as it is, and why, one sentence each.
    """
    if event.undone_at is not None:
        return []
    kept = _undo_cause(event, by=by)
    Making.objects.filter(outcome__event=event).delete()
    for outcome in event.outcomes.select_related("athlete", "before__plan", "after"):
        if outcome.after is None or outcome.before is None:
            outcome.undone = "its session was not made again"
        elif (newest := outcome.before.plan.newest) != outcome.after:
            outcome.undone = "its session was changed since and stays as it is"
            kept.append(f"The session of {outcome.athlete.name} was changed since and stays as it is.")
        else:
            _back(outcome.before, newest, by=by, why=f"undone: {event.words}")
            outcome.undone = "its session is as before"
        outcome.save(update_fields=["undone"])
    event.undone_at, event.undone_by = timezone.now(), by
    event.save(update_fields=["undone_at", "undone_by"])
    return kept


def _back(before: PlanVersion, newest: PlanVersion, *, by: Account, why: str) -> None:
    state = before.request.get("back_to") or before.number
    before.plan.add_version(
        request=before.request | {"back_to": state, "changed_from": newest.number},
        document=before.document,
        by=by,
        why=why,
    )


def _undo_cause(event: DayEvent, *, by: Account) -> list[str]:
    if event.withdrawal is not None and event.withdrawal.brought_back_on is None:
        bring_back(event.withdrawal, by=by)
    if event.athlete is not None:
        document = copy.deepcopy(event.athlete.document)
        health = document.setdefault("health", {})
        if health.get("pain") != event.pain_after:
            return [f"The pain on the page of {event.athlete.name} was changed since and stays as it is."]
        if event.pain_before is None:
            health.pop("pain", None)
        else:
            health["pain"] = event.pain_before
        try:
            event.athlete.save_document(document, by=by, why=f"undone: {event.words}")
        except ChangedMeanwhileError:
            return [f"The page of {event.athlete.name} was changed since and stays as it is."]
    return []


def _with_pain(before: Any, *, side: Side, place: str, now: int) -> list[dict[str, Any]]:
    """Return the list of pains with this one in it; the usual level that is known of the place stays."""
    pains = [dict(each) for each in before] if isinstance(before, list) else []
    for each in pains:
        if (each.get("place"), each.get("side")) == (place, side):
            each["now"] = now
            return pains
    return [*pains, {"place": place, "side": side, "now": now}]


def _here(event: DayEvent) -> dict[int, AthleteRecord]:
    """Return the athletes who train on the day."""
    here = Presence.objects.filter(club=event.club, day=event.day).exclude(status=PresenceStatus.ABSENT)
    return {each.athlete_id: each.athlete for each in here.select_related("athlete")}


def _let_make(
    event: DayEvent,
    records: Mapping[int, AthleteRecord],
    what: Event,
    *,
    by: Account,
    kit_id: int | None = None,
    venue_id: int | None = None,
) -> DayEvent:
    """Let the sessions of the day that `what` touches be made again; all others are left alone."""
    exercises = club_library(event.club)
    for athlete_id, version in sessions_on(event.day, records.values()).items():
        asked = version.request
        if kit_id not in (None, asked.get("kit_id")) or venue_id not in (None, asked.get("venue_id")):
            continue
        touched = affected(version.document, what, exercises=exercises)
        if touched:
            _ask_again(event, records[athlete_id], version, touched, by)
    return event


def _ask_again(
    event: DayEvent,
    record: AthleteRecord,
    version: PlanVersion,
    touched: tuple[Affected, ...],
    by: Account,
) -> None:
    words = [f"{one.title}: {one.because}" for one in touched]
    outcome = DayOutcome.objects.create(event=event, athlete=record, before=version, touched=words)
    Making.objects.create(athlete=record, day=event.day, outcome=outcome, asked_by=by, touched_at=timezone.now())
