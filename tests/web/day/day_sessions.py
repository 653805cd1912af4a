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

MINUTES = 18.0
"""Long enough for an exercise at a post."""
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
    version = Plan.of(record).add_version(request=request.document(), document=document, by=people.owner)
    version.refresh_from_db()
    return version


def only_some(version: PlanVersion, wanted: Callable[[int, dict[str, Any]], bool]) -> dict[str, Any]:
    """Return the document of a session with those exercises alone that are wanted, by their place and what they are."""
    document = copy.deepcopy(version.document)
    places = [at for at, item in enumerate(document["items"]) if wanted(at, item)]
    document["items"] = [document["items"][at] for at in places]
    for words in document["sheets"].values():
        words["items"] = [words["items"][at] for at in places]
    return document


def without_bands(version: PlanVersion) -> dict[str, Any]:
    """Return the document of a session without every exercise that has a band."""
    return only_some(version, lambda _, item: not any(setup["band"] for setup in item["setups"]))


def bands_of(document: dict[str, Any]) -> list[dict[str, Any]]:
    """Return every band that is laid in a session."""
    return [setup["band"] for item in document["items"] for setup in item["setups"] if setup["band"]]
