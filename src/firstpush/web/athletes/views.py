"""The athletes of the club: the list, a new one, and the page of one."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.db.models import Max, Q, QuerySet
from django.http import Http404, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from firstpush.core.people.health import health_notices
from firstpush.web import access
from firstpush.web.access import MemberRequest, needs
from firstpush.web.athletes import read_out
from firstpush.web.athletes.fields import ARM_SPAN, MASS
from firstpush.web.athletes.function_figures import ASKED, MOVEMENTS, draw_function
from firstpush.web.athletes.measuring import known_already, proposals, whom_of
from firstpush.web.athletes.models import AthleteRecord
from firstpush.web.athletes.new_form import NewAthleteForm
from firstpush.web.figures import content_key, kept, svg_response
from firstpush.web.first_steps import steps_shown
from firstpush.web.sessions.listed import listed_sessions


@needs("read")
@require_safe
def athletes(request: MemberRequest) -> HttpResponse:
    """List the athletes of the club, those withdrawn aside."""
    asked = request.GET.get("q", "").strip()
    found = _searched(access.athletes_for(request.user), asked)
    context = {
        "asked": asked,
        "rows": [
            (record, read_out.impairment(record.document), record.last_on_court)
            for record in found.filter(withdrawn_at=None).annotate(last_on_court=Max("court_entries__at"))
        ],
        "withdrawn": found.exclude(withdrawn_at=None),
        **steps_shown(request.user, back=request.path),
    }
    return render(request, "athletes/list.html", context)


def _searched(records: QuerySet[AthleteRecord], asked: str) -> QuerySet[AthleteRecord]:
    """Return those whose name holds what is asked, or whose number it is."""
    if not asked:
        return records
    wanted = Q(name__icontains=asked)
    if asked.isdecimal() and len(asked) < 6:
        wanted |= Q(number=int(asked))
    return records.filter(wanted)


@needs("write")
@require_http_methods(["GET", "POST"])
def new_athlete(request: MemberRequest) -> HttpResponse:
    """Ask for what a first sheet rests on; go on to a session, or to the athlete's page."""
    form = NewAthleteForm(request.POST if request.method == "POST" else None)
    if request.method == "POST":
        record = form.save(club=request.membership.club, by=request.user) if form.is_valid() else None
        if record is not None:
            messages.success(request, f"{record} is in the club.")
            return redirect("make_session" if request.POST.get("then") == "session" else "athlete", id_=record.pk)
        form.look_further()
    return render(request, "athletes/new.html", {"form": form}, status=422 if form.errors else 200)


@needs("read")
@require_safe
def athlete(request: MemberRequest, id_: int) -> HttpResponse:
    """Show one athlete: what is known, what is not, and what to measure next."""
    record = access.athlete_for(request.user, id_)
    person = record.athlete()
    whom = whom_of(request.user, record)
    context: dict[str, Any] = {
        "record": record,
        "athlete": person,
        "notices": health_notices(person),
        "sessions": listed_sessions(record.plans.all(), record.pk),
        "whom": whom,
        "proposals": known_already(whom),
        "body": read_out.body_shown(record.document, beside=(MASS.key, ARM_SPAN.key)),
        "function": read_out.function_shown(record.document),
        "health": read_out.health_shown(record.document),
        "strength": read_out.strength_rows(person),
        "chairs": read_out.chairs_shown(person),
    }
    return render(request, "athletes/one.html", context)


@needs("read")
@require_safe
def measure_next_of(request: MemberRequest, id_: int) -> HttpResponse:
    """Work out what to measure next; as a part of the athlete's page, or as a page of its own without script."""
    record = access.athlete_for(request.user, id_)
    whom = whom_of(request.user, record)
    context = {"record": record, "whom": whom, "proposals": proposals(whom)}
    part = request.headers.get("HX-Request") == "true"
    return render(request, "athletes/measure_part.html" if part else "athletes/measure.html", context)


@needs("write")
@require_POST
def withdraw_athlete(request: MemberRequest, id_: int) -> HttpResponse:
    """Put an athlete aside, or take one back who was."""
    record = access.athlete_for(request.user, id_, to="write")
    if record.withdrawn_at is None:
        record.withdraw()
        messages.success(request, f"{record} is put aside. Everything stays; it can be taken back at any time.")
    else:
        record.put_back()
        messages.success(request, f"{record} is back in the list.")
    return redirect("athlete", id_=record.pk)


@needs("read")
@require_safe
def function_figure(request: MemberRequest, movement: str, step: str) -> HttpResponse:
    """Show one drawing of a movement by which function is looked at."""
    if movement not in MOVEMENTS:
        raise Http404
    steps = MOVEMENTS[movement][0].steps
    if step != ASKED and not (step.isdecimal() and len(step) < 3 and int(step) <= steps):
        raise Http404
    key = content_key("function", movement, step)
    return svg_response(request, kept(key, lambda: draw_function(movement, step)), key=key, lasting="v" in request.GET)
