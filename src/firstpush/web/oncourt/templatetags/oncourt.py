"""What other pages show of on court: the way there, links, and what was logged."""

from __future__ import annotations

from datetime import date
from typing import Any

from django import template
from django.template import RequestContext
from django.urls import reverse
from django.utils import timezone

from firstpush.web.athletes.models import AthleteRecord
from firstpush.web.oncourt.links import DAYS, code_svg, link_address, newest_open_link, phone_address
from firstpush.web.oncourt.logged import runs_of_athlete, runs_of_plan, runs_on
from firstpush.web.oncourt.models import SetAside
from firstpush.web.oncourt.package import build_soon, can_be_packed
from firstpush.web.oncourt.stops import last_stops
from firstpush.web.sessions.models import PlanVersion

register = template.Library()

DAY_READ = "_logged_on_day"
"""Where a request keeps what was read of its day."""


@register.inclusion_tag("oncourt/parts/take.html", takes_context=True)
def take_on_court(context: RequestContext, version: PlanVersion) -> dict[str, Any]:
    """Show how a version gets on court, and begin to build what a device will fetch."""
    build_soon(version)
    plan, request = version.plan, context["request"]
    address = phone_address(request)
    link = newest_open_link(plan) if address is not None else None
    return {
        "plan": plan,
        "version": version,
        "stop": last_stops([plan.athlete_id], timezone.localdate()).get(plan.athlete_id),
        "may": context["may"],
        "can_be_packed": can_be_packed(version),
        "csrf_token": context.get("csrf_token"),
        "address": address,
        # Whoever has just made a link wants its code.
        "just_made": request.GET.get("link") == "made",
        "holds": [(name, words) for name, (_, words) in DAYS.items()],
        "links": plan.court_links.select_related("made_by") if context["may"].write else (),
        "code": None if link is None or address is None else code_svg(link_address(link, address)),
        "code_link": link,
        "code_address": None if link is None or address is None else link_address(link, address),
    }


@register.inclusion_tag("oncourt/parts/logged.html", takes_context=True)
def logged_of_plan(context: RequestContext, version: PlanVersion) -> dict[str, Any]:
    """Show what was logged of a session."""
    return {
        "runs": runs_of_plan(version.plan),
        "version": version,
        "plan": version.plan,
        "may": context["may"],
        "can_be_packed": can_be_packed(version),
        "unseen": _unseen(context),
    }


@register.inclusion_tag("oncourt/parts/logged_list.html", takes_context=True)
def logged_of_athlete(context: RequestContext, record: AthleteRecord) -> dict[str, Any]:
    """List what was logged of an athlete, session by session."""
    return {"record": record, "runs": runs_of_athlete(record.pk), "may": context["may"], "unseen": _unseen(context)}


@register.inclusion_tag("oncourt/parts/day_line.html", takes_context=True)
def logged_on_day(context: RequestContext, record: AthleteRecord, day: date) -> dict[str, Any]:
    """Say on an athlete's line of a day what was done on court, the gravest first; read once for the whole day."""
    request = context["request"]
    kept = getattr(request, DAY_READ, None)
    if kept is None or kept[0] != day:
        kept = (day, runs_on(day, [each.row.record.pk for each in context.get("here") or ()] or [record.pk]))
        setattr(request, DAY_READ, kept)
    return {"runs": kept[1].get(record.pk, [])}


@register.inclusion_tag("oncourt/parts/take_all.html", takes_context=True)
def take_day_on_court(context: RequestContext) -> dict[str, Any]:
    """Show the way on court with every sheet of the day that is ready, and the way back for files of entries."""
    plans = [each.row.version.plan_id for each in context["here"] if each.row.ready]
    return {"plans": plans, "address": f"{reverse('court')}#plans={','.join(map(str, plans))}", "may": context["may"]}


def _unseen(context: RequestContext) -> int:
    membership = context.get("membership")
    if membership is None or not context["may"].read:
        return 0
    return SetAside.objects.filter(club=membership.club, seen_at=None).count()
