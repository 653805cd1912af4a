"""The training day, and the sessions of the athletes."""

from __future__ import annotations

from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_safe

from firstpush.web import access
from firstpush.web.access import MemberRequest, needs
from firstpush.web.club.models import Role


@needs("sheet")
@require_safe
def training_day(request: MemberRequest) -> HttpResponse:
    """Show who is here today, with the newest session of each; an athlete is shown the own sheets."""
    if request.membership.role == Role.ATHLETE:
        return redirect("own_sheets")
    today = timezone.localdate()
    here = {each.athlete_id: each for each in access.presences_for(request.user).filter(day=today)}
    athletes = access.athletes_for(request.user).filter(withdrawn_at=None).prefetch_related("plans")
    rows = [(each, here.get(each.pk), each.plans.all().last()) for each in athletes]
    return render(request, "sessions/training_day.html", {"today": today, "rows": rows})


@needs("sheet")
@require_safe
def own_sheets(request: MemberRequest) -> HttpResponse:
    """List the sessions that somebody may see: an athlete the own ones."""
    return render(request, "sessions/sheets.html", {"plans": access.plans_for(request.user)})


@needs("sheet")
@require_safe
def plan(request: MemberRequest, id_: int) -> HttpResponse:
    """Show the newest version of a session."""
    found = access.plan_for(request.user, id_)
    return render(request, "sessions/plan.html", {"plan": found, "version": found.newest})
