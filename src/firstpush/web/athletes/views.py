"""The athletes of the club."""

from __future__ import annotations

from django.http import HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from firstpush.core.people.health import health_notices
from firstpush.web import access
from firstpush.web.access import MemberRequest, needs


@needs("read")
@require_safe
def athletes(request: MemberRequest) -> HttpResponse:
    """List the athletes of the club."""
    return render(request, "athletes/list.html", {"records": access.athletes_for(request.user)})


@needs("read")
@require_safe
def athlete(request: MemberRequest, id_: int) -> HttpResponse:
    """Show one athlete."""
    record = access.athlete_for(request.user, id_)
    person = record.athlete()
    context = {"record": record, "athlete": person, "notices": health_notices(person), "plans": record.plans.all()}
    return render(request, "athletes/one.html", context)
