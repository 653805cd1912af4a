"""Cupboards and venues of the club, to look at."""

from __future__ import annotations

from django.http import HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from firstpush.web import access
from firstpush.web.access import MemberRequest, needs
from firstpush.web.first_steps import steps_shown
from firstpush.web.kit.shown import plan_of, shown_bands, shown_posts, without_a_band
from firstpush.web.kit.stored import last_change


@needs("read")
@require_safe
def kit_and_venue(request: MemberRequest) -> HttpResponse:
    """List the cupboards and venues of the club."""
    kits = [
        {"record": record, "bands": list(shown_bands(record, record.read()))}
        for record in access.kits_for(request.user)
    ]
    venues = [
        {"record": record, "venue": venue, "plan": plan_of(venue), "posts": shown_posts(record.document, venue)}
        for record in access.venues_for(request.user)
        for venue in [record.venue()]
    ]
    steps = steps_shown(request.user, back=request.path)
    return render(request, "kit/list.html", {"kits": kits, "venues": venues, **steps})


@needs("read")
@require_safe
def kit(request: MemberRequest, id_: int) -> HttpResponse:
    """Show one cupboard."""
    record = access.kit_for(request.user, id_)
    kit = record.read()
    bands = list(shown_bands(record, kit))
    context = {
        "record": record,
        "kit": kit,
        "bands": bands,
        "in_use_differs": any(band.out for band in bands),
        "without_a_band": without_a_band(record, kit),
        "last": last_change(record),
    }
    return render(request, "kit/kit.html", context)


@needs("read")
@require_safe
def venue(request: MemberRequest, id_: int) -> HttpResponse:
    """Show one venue."""
    record = access.venue_for(request.user, id_)
    venue = record.venue()
    context = {
        "record": record,
        "venue": venue,
        "plan": plan_of(venue),
        "posts": shown_posts(record.document, venue),
        "last": last_change(record),
    }
    return render(request, "kit/venue.html", context)
