"""When what was asked does not fit together: why, and a button for each smallest change."""

from __future__ import annotations

import json
from dataclasses import dataclass, replace

from django.http import HttpResponse
from django.shortcuts import render

from firstpush.core.session.by_hand import ByHand
from firstpush.core.session.remedies import Remedy, remedies
from firstpush.web.access import MemberRequest
from firstpush.web.athletes.models import AthleteRecord
from firstpush.web.sessions import progress
from firstpush.web.sessions.making import MadeSession
from firstpush.web.sessions.models import Plan
from firstpush.web.sessions.request import SessionRequest


@dataclass(frozen=True, kw_only=True)
class WayOut:
    """One smallest change, and the whole request with it."""

    words: str
    request: str
    is_enough: bool
    minutes: float | None = None


def collision_page(
    request: MemberRequest, record: AthleteRecord, made: MadeSession, *, plan: Plan | None
) -> HttpResponse:
    """Say what collides; nothing was kept, and whatever was asked stands in the buttons."""
    collision = made.planned.session.collision
    assert collision is not None, "only called when something collides"
    found = remedies(
        collision,
        minutes=made.request.minutes,
        asked=made.request.asked,
    )
    context = {
        "record": record,
        "plan": plan,
        "collision": collision,
        "ways_out": [_way_out(made.request, each) for each in found],
        "based_on": made.request.changed_from,
        "token": progress.new_token(),
        "stages": progress.WORDS,
    }
    return render(request, "sessions/collision.html", context, status=422)


def _way_out(asked: SessionRequest, remedy: Remedy) -> WayOut:
    by_hand: ByHand = replace(asked.by_hand, sides={**asked.by_hand.sides, **remedy.sides})
    new = replace(asked, minutes=remedy.minutes, asked=remedy.asked, by_hand=by_hand, inputs={})
    minutes = None if remedy.minutes == asked.minutes else remedy.minutes
    return WayOut(words=remedy.words, request=json.dumps(new.document()), is_enough=remedy.is_enough, minutes=minutes)
