"""Cupboards and venues of the club."""

from __future__ import annotations

from django.http import HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from firstpush.web import access
from firstpush.web.access import MemberRequest, needs


@needs("read")
@require_safe
def kit_and_venue(request: MemberRequest) -> HttpResponse:
    """List the cupboards and venues of the club."""
    context = {"kits": access.kits_for(request.user), "venues": access.venues_for(request.user)}
    return render(request, "kit/list.html", context)


@needs("read")
@require_safe
def kit(request: MemberRequest, id_: int) -> HttpResponse:
    """Show one cupboard."""
    record = access.kit_for(request.user, id_)
    return render(request, "kit/kit.html", {"record": record, "kit": record.kit()})


@needs("read")
@require_safe
def venue(request: MemberRequest, id_: int) -> HttpResponse:
    """Show one venue."""
    record = access.venue_for(request.user, id_)
    return render(request, "kit/venue.html", {"record": record, "venue": record.venue()})
