"""The training day: who is here, each with the sheet, and what happens meanwhile."""

from __future__ import annotations

from datetime import date
from typing import Any

from django import forms
from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.dateparse import parse_date
from django.utils.http import urlencode
from django.views.decorators.http import require_POST, require_safe

from firstpush.core.errors import FirstpushError, InputFileError
from firstpush.web import access
from firstpush.web.access import MemberRequest, needs
from firstpush.web.club.models import Role
from firstpush.web.figures import svg_response
from firstpush.web.forms import add_faults
from firstpush.web.sessions import day_events, day_jobs, progress
from firstpush.web.sessions.day_forms import DayForm, SoreForm, TakenForm, TornForm
from firstpush.web.sessions.day_page import day_context
from firstpush.web.sessions.day_print import PAPERS, day_pdf
from firstpush.web.sessions.day_state import Now, day_plan_for, rows_on
from firstpush.web.sessions.drawings import SMALL, drawing_key, small_drawing
from firstpush.web.sessions.models import DayEvent, DayPlan, PlanVersion, Presence, PresenceStatus
from firstpush.web.sessions.print_views import pdf_response, version_for

LATEST_START_MIN = 240


@needs("sheet")
@require_safe
def training_day(request: MemberRequest) -> HttpResponse:
    """Show a day: today, or the one asked for; an athlete is shown the own sheets."""
    if request.membership.role == Role.ATHLETE:
        return redirect("own_sheets")
    return _page(request, _day(request.GET.get("day", "")))


@needs("write")
@require_POST
def day_settings(request: MemberRequest) -> HttpResponse:
    """Choose venue, cupboard, minutes and kind for a day."""
    day = _day_posted(request)
    form = DayForm(request.POST, user=request.user, plan=day_plan_for(request.user, day))
    if not form.is_valid():
        return _page(request, day, bound={"day_form": form})
    form.save()
    return _back(day)


@needs("do")
@require_POST
def day_presence(request: MemberRequest) -> HttpResponse:
    """Say of everybody of whom nothing was said yet that they are here."""
    day = _day_posted(request)
    said = access.presences_for(request.user).filter(day=day).values("athlete")
    for record in access.athletes_for(request.user).filter(withdrawn_at=None).exclude(pk__in=said):
        Presence.objects.create(club=record.club, day=day, athlete=record, status=PresenceStatus.PRESENT)
    return _back(day)


@needs("do")
@require_POST
def day_presence_of(request: MemberRequest, id_: int) -> HttpResponse:
    """Say whether an athlete is here."""
    record, day = access.athlete_for(request.user, id_, to="do"), _day_posted(request)
    status = request.POST.get("status", "")
    if status not in PresenceStatus.values:
        raise Http404
    Presence.objects.update_or_create(club=record.club, day=day, athlete=record, defaults={"status": status})
    return _back(day, f"athlete-{record.pk}")


@needs("write")
@require_POST
def day_make(request: MemberRequest) -> HttpResponse:
    """Make every session of the day that is missing or out of date."""
    day = _day_posted(request)
    plan = _kept_plan(request, day)
    records = [row.record for row in rows_on(request.user, day, plan) if row.wanted]
    day_jobs.ask_for(records, day=day, by=request.user)
    day_jobs.begin()
    return _back(day)


@needs("write")
@require_POST
def day_make_one(request: MemberRequest, id_: int) -> HttpResponse:
    """Make the session of one athlete for the day, or make it again."""
    record, day = access.athlete_for(request.user, id_, to="write"), _day_posted(request)
    _kept_plan(request, day)
    day_jobs.ask_for([record], day=day, by=request.user)
    day_jobs.begin()
    return _back(day, f"athlete-{record.pk}")


@needs("do")
@require_POST
def day_starts(request: MemberRequest) -> HttpResponse:
    """Keep how many minutes after the first each athlete starts; whoever is not named starts with the first."""
    day = _day_posted(request)
    for presence in access.presences_for(request.user, to="do").filter(day=day):
        minutes = request.POST.get(f"start-{presence.athlete_id}", "0")
        if not (minutes.isascii() and minutes.isdigit()) or int(minutes) > LATEST_START_MIN:
            raise Http404
        presence.start_min = int(minutes)
        presence.save(update_fields=["start_min"])
    return _back(day, "together")


@needs("do")
@require_POST
def day_happened(request: MemberRequest, what: str) -> HttpResponse:
    """Take note of a sore shoulder, a torn band or a taken post, and make again what stands on it."""
    day = _day_posted(request)
    plan = day_plan_for(request.user, day)
    form = _event_forms(request, Now(plan)).get(what)
    if form is None:
        raise Http404
    if not form.is_valid() or (event := _happened(request, plan, form)) is None:
        return _page(request, day, bound={f"{what}_form": form})
    day_jobs.begin()
    return _back(day, f"event-{event.pk}")


@needs("do")
@require_POST
def day_undo(request: MemberRequest, id_: int) -> HttpResponse:
    """Take back what happened, with all that it changed and nobody changed since; an assistant what is their own."""
    event = access.day_event_for(request.user, id_, to="do")
    if event.made_by_id != request.user.pk:
        access.membership_of(request.user, to="write")
    for sentence in day_events.undo(event, by=request.user):
        messages.info(request, sentence)
    return _back(event.day, f"event-{event.pk}")


@needs("read")
@require_safe
def day_print(request: MemberRequest, paper: str) -> HttpResponse:
    """Answer with all sheets of the day that are ready, or with their cards, as one PDF."""
    if paper not in PAPERS:
        raise Http404
    day = _day(request.GET.get("day", ""))
    rows = rows_on(request.user, day, day_plan_for(request.user, day))
    ready = [row.version.pk for row in rows if row.is_here and row.ready and row.version is not None]
    whole = PlanVersion.objects.select_related("plan__athlete__club").in_bulk(ready)
    versions = [whole[pk] for pk in ready]
    token = request.GET.get("token", "")[:40]
    try:
        pdf = day_pdf(versions, paper=paper, day=day, told=lambda name: progress.tell(token, request.user.pk, name))
    except FirstpushError as error:
        messages.error(request, str(error))
        return _back(day)
    finally:
        progress.end(token)
    return pdf_response(pdf, name=f"{day.isoformat()}-{paper}.pdf")


@needs("sheet")
@require_safe
def day_figure(request: MemberRequest, id_: int, number: int, place: int) -> HttpResponse:
    """Answer with the small drawing of an exercise of a session; the address names what never changes."""
    version = version_for(request, id_, number)
    items = version.document.get("items", [])
    if not 1 <= place <= len(items) or "setups" not in items[place - 1]:
        raise Http404
    item = items[place - 1]
    try:
        svg = small_drawing(version, item)
    except FirstpushError as error:
        raise Http404 from error
    return svg_response(request, svg, key=drawing_key(version, item, SMALL), lasting=True)


def _page(request: MemberRequest, day: date, *, bound: dict[str, forms.Form] | None = None) -> HttpResponse:
    """Draw the day; only its moving part when the page asks for news of it."""
    bound = bound or {}
    now = Now(day_plan_for(request.user, day))
    context: dict[str, Any] = day_context(request.user, now)
    news = request.headers.get("HX-Target") == "the-day" and not bound
    if not news:
        context["day_form"] = DayForm(user=request.user, plan=now.plan)
        context |= {f"{what}_form": form for what, form in _event_forms(request, now, data=False).items()}
    context |= bound
    template = "sessions/day/news.html" if news else "sessions/day/day.html"
    context |= {"wrong": set(bound), "stages": progress.PAPER_WORDS}
    return render(request, template, context, status=422 if bound else 200)


def _event_forms(request: MemberRequest, now: Now, *, data: bool = True) -> dict[str, forms.Form]:
    posted = request.POST if data else None
    return {
        "sore": SoreForm(posted, user=request.user),
        "torn": TornForm(posted, now=now),
        "taken": TakenForm(posted, now=now),
    }


def _happened(request: MemberRequest, plan: DayPlan, form: forms.Form) -> DayEvent | None:
    """Keep what a valid form says; None when a document does not take it, which the form then tells."""
    given, by = form.cleaned_data, request.user
    try:
        if isinstance(form, SoreForm):
            return day_events.shoulder_sore(
                given["athlete"], day=plan.day, side=given["side"], place=given["place"], now=given["now"], by=by
            )
        if isinstance(form, TornForm) and plan.kit is not None:
            return day_events.band_torn(plan.kit, day=plan.day, by=by, **given)
        if isinstance(form, TakenForm) and plan.venue is not None:
            return day_events.post_taken(plan.venue, day=plan.day, post=given["post"], by=by)
    except InputFileError as error:
        add_faults(form, error, fields={})
    return None


def _kept_plan(request: MemberRequest, day: date) -> DayPlan:
    """Return what holds for the day, stored: from the first session on it is chosen."""
    plan = day_plan_for(request.user, day)
    if plan._state.adding:
        plan.save()
    return plan


def _day_posted(request: HttpRequest) -> date:
    return _day(request.POST.get("day", ""))


def _day(text: str) -> date:
    """Return the day that was asked for; today when none was, 404 for what is no day."""
    if not text:
        return timezone.localdate()
    try:
        day = parse_date(text)
    except ValueError:
        day = None
    if day is None:
        raise Http404
    return day


def _back(day: date, place: str = "") -> HttpResponse:
    asked = "" if day == timezone.localdate() else f"?{urlencode({'day': day.isoformat()})}"
    return redirect(f"{reverse('training_day')}{asked}{f'#{place}' if place else ''}")
