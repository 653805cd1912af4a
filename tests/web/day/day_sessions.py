"""Sessions of today, made once for all tests and kept again for each; and what the page is asked."""

from __future__ import annotations

import copy
from collections.abc import Callable
from functools import cache
from typing import TYPE_CHECKING, Any

import pytest
from django.test import Client
from django.utils import timezone

if TYPE_CHECKING:
    from club_people import ClubPeople

    from firstpush.web.athletes.models import AthleteRecord
    from firstpush.web.sessions.models import PlanVersion

MINUTES = 12
Visit = Callable[[str], Client]


@pytest.fixture
def undrawn(monkeypatch: pytest.MonkeyPatch) -> None:
    """Leave the drawings that are made in advance away: each is still drawn when it is looked at."""
    from firstpush.web.sessions import day_jobs

    monkeypatch.setattr(day_jobs, "_draw", lambda version, draw: None)


@cache
def _made_once(name: str) -> list[tuple[dict[str, Any], dict[str, Any]]]:
    """Return a place for what is made of one athlete: the first test that asks fills it."""
    return []


def session_today(people: ClubPeople, record: AthleteRecord, *, here: bool = True) -> PlanVersion:
    """Keep a session of `record` for today, and say that the athlete is here."""
    from firstpush.web.sessions.making import make_session, request_for
    from firstpush.web.sessions.models import Plan, Presence

    request = request_for(people.owner, record, minutes=MINUTES, on=timezone.localdate())
    kept = _made_once(record.name)
    if not kept:
        made = make_session(record, request)
        assert made.fits
        kept.append((made.request.document(), made.document))
    if here:
        Presence.objects.update_or_create(
            club=record.club, day=timezone.localdate(), athlete=record, defaults={"status": "present"}
        )
    document = copy.deepcopy(kept[0][1])
    return Plan.of(record).add_version(request=request.document(), document=document, by=people.owner)


def without_bands(version: PlanVersion) -> dict[str, Any]:
    """Return the document of a session without every exercise that has a band."""
    document = copy.deepcopy(version.document)
    document["items"] = [item for item in document["items"] if not any(setup["band"] for setup in item["setups"])]
    ids = [row["exercise"] for row in document["items"]]
    for words in document["sheets"].values():
        titles = {item["title"] for item in version.document["items"] if item["exercise"] in ids}
        words["items"] = [row for row in words["items"] if row["title"] in titles]
    return document


def bands_of(document: dict[str, Any]) -> list[dict[str, Any]]:
    """Return every band that is laid in a session."""
    return [setup["band"] for item in document["items"] for setup in item["setups"] if setup["band"]]
