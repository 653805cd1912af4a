"""Making a session, first or again, and what is told while it is made."""

from __future__ import annotations

from contextlib import suppress
from dataclasses import replace

from django.forms import MultipleChoiceField
from django.http import Http404, HttpResponse, JsonResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_safe

from firstpush.core.errors import FirstpushError
from firstpush.core.session.asked import plan_of
from firstpush.core.session.kinds import kind_named
from firstpush.web import access
from firstpush.web.access import MemberRequest, needs
from firstpush.web.athletes.models import AthleteRecord
from firstpush.web.exercises.library import club_library
from firstpush.web.first_steps import with_back
from firstpush.web.sessions import progress
from firstpush.web.sessions.collisions import collision_page
from firstpush.web.sessions.forms import SessionForm, asked_before
from firstpush.web.sessions.making import MadeSession, keep, make_session, request_for, search_ahead, with_inputs
from firstpush.web.sessions.models import Plan, Presence, PresenceStatus
from firstpush.web.sessions.prefilled import prefilled
from firstpush.web.sessions.request import SessionRequest, read_request
from firstpush.web.sessions.usual_place import usual_place

FIRST = "first"
WRITTEN_FIRST = {"kit": "new_kit", "venue": "new_venue"}
"""What a session wants that may not be written down yet, with the page where that is done."""
TYPED = "session form of athlete {}"
"""What was typed before something else was written down first, in the browser session."""


@needs("write")
@require_http_methods(["GET", "HEAD", "POST"])
def make_first(request: MemberRequest, id_: int) -> HttpResponse:
    """Ask what a new session of an athlete should be, and make it."""
    record = access.athlete_for(request.user, id_, to="write")
    if request.method != "POST":
        return _form_page(request, record, _blank(request, record))
    if request.POST.get(FIRST) in WRITTEN_FIRST:
        return _write_first(request, id_)
    form = SessionForm(request.POST, user=request.user, exercises=club_library(record.club))
    if not form.is_valid():
        return _form_page(request, record, form, status=422)
    return _made(request, record, form, form.request(), plan=None)


@needs("write")
@require_http_methods(["GET", "HEAD", "POST"])
def make_again(request: MemberRequest, id_: int) -> HttpResponse:
    """Ask what should be different in a session, and make it again with what is known now."""
    plan = access.plan_for(request.user, id_, to="write")
    newest = plan.newest
    exercises = club_library(plan.athlete.club)
    before = SessionRequest(minutes=18) if newest is None else read_request(newest.request)
    if request.method != "POST":
        form = SessionForm(initial=asked_before(before), user=request.user, exercises=exercises)
        return _form_page(request, plan.athlete, form, plan=plan)
    form = SessionForm(request.POST, user=request.user, exercises=exercises)
    if not form.is_valid():
        return _form_page(request, plan.athlete, form, plan=plan, status=422)
    asked = form.request(before)
    if newest is not None and "sheets" in newest.document:
        earlier = plan_of(newest.document) if request.POST.get("as_before") else ()
        asked = replace(asked, asked=replace(asked.asked, earlier=earlier), changed_from=newest.number)
    return _made(request, plan.athlete, form, asked, plan=plan)


@needs("write")
@require_safe
def making(request: MemberRequest, token: str) -> JsonResponse:
    """Tell a waiting page what is being done for it."""
    stage = progress.stage_of(token, request.user.pk)
    return JsonResponse({"stage": None if stage is None else stage.name})


def made_with_progress(request: MemberRequest, record: AthleteRecord, asked: SessionRequest) -> MadeSession:
    """Make a session with the documents as they are now, and tell the page that waits."""
    token = request.POST.get("token", "")[:40]
    try:
        with_now = with_inputs(request.user, record, asked)
        return make_session(record, with_now, told=lambda name: progress.tell(token, request.user.pk, name))
    finally:
        progress.end(token)


def _made(
    request: MemberRequest, record: AthleteRecord, form: SessionForm, asked: SessionRequest, *, plan: Plan | None
) -> HttpResponse:
    try:
        made = made_with_progress(request, record, asked)
    except Http404:
        raise
    except FirstpushError as error:
        form.add_error(None, str(error))
        return _form_page(request, record, form, plan=plan, status=422)
    if made.planned.session.collision is not None:
        return collision_page(request, record, made, plan=plan)
    if not made.fits:
        for notice in made.planned.session.notices:
            form.add_error(None, f"{notice.what[:1].upper()}{notice.what[1:]}. {notice.do}.")
        return _form_page(request, record, form, plan=plan, status=422)
    version = keep(made, record, by=request.user, why="made" if plan is None else "made again", plan=plan)
    here_for(record, asked)
    return redirect("plan", version.plan_id)


def here_for(record: AthleteRecord, asked: SessionRequest) -> None:
    """Say of the athlete of a session of today, done with the others, that they are here; what was said stays."""
    day = timezone.localdate()
    if (asked.on or day) == day and kind_named(asked.kind).with_others:
        Presence.objects.get_or_create(
            club=record.club, day=day, athlete=record, defaults={"status": PresenceStatus.PRESENT}
        )


def _write_first(request: MemberRequest, id_: int) -> HttpResponse:
    """Go to where a cupboard or a venue is written down; what was typed here waits, and is there again after it."""
    typed = {name: request.POST.getlist(name) for name in SessionForm.base_fields if request.POST.getlist(name)}
    request.session[TYPED.format(id_)] = typed
    return redirect(with_back(reverse(WRITTEN_FIRST[request.POST[FIRST]]), request.path))


def _typed_before(request: MemberRequest, id_: int) -> dict[str, object]:
    """Return what was typed before something was written down first, and forget it."""
    typed: dict[str, list[str]] = request.session.pop(TYPED.format(id_), {})
    several = {name for name, field in SessionForm.base_fields.items() if isinstance(field, MultipleChoiceField)}
    # A cupboard or a venue that was chosen while there was none is no choice.
    return {
        name: values if name in several else values[-1]
        for name, values in typed.items()
        if name in several or (values[-1] and name not in WRITTEN_FIRST)
    }


def _blank(request: MemberRequest, record: AthleteRecord) -> SessionForm:
    """Return the form as the athlete's last session asked, but for today; the first time with what is usual."""
    last = record.plans.last()
    newest = None if last is None else last.newest
    if newest is not None and newest.request.get("kit_id") is not None:
        before = read_request(newest.request)
        before = replace(before, on=None, asked=replace(before.asked, keep=(), without=(), doses=(), aims=()))
        place = usual_place(request.user, record)
        if kind_named(before.kind).with_others and place.kit is not None:
            # Done with the others, it is where they are today; alone, where it was the last time.
            venue_id = None if place.venue is None else place.venue.pk
            before = replace(before, kit_id=place.kit.pk, venue_id=venue_id)
    else:
        kits = access.kits_for(request.user).filter(withdrawn_at=None)
        before = request_for(request.user, record) if kits.exists() else SessionRequest(minutes=18)
    if before.kit_id is not None:
        # Kit or venue may be gone since the last session; the form shows what there is.
        with suppress(Http404):
            search_ahead(record, with_inputs(request.user, record, before))
    exercises = club_library(record.club)
    initial = asked_before(before) | prefilled(request.GET, exercises) | _typed_before(request, record.pk)
    return SessionForm(initial=initial, user=request.user, exercises=exercises)


def _form_page(
    request: MemberRequest, record: AthleteRecord, form: SessionForm, *, plan: Plan | None = None, status: int = 200
) -> HttpResponse:
    context = {
        "record": record,
        "form": form,
        "plan": plan,
        "token": progress.new_token(),
        "stages": progress.WORDS,
        "wishes_open": form.is_bound or any(form.initial.get(name) for name in ("aims", "keep", "without")),
        "kit_missing": not form.fields["kit"].queryset.exists(),  # type: ignore[attr-defined]
        "venue_missing": not form.fields["venue"].queryset.exists(),  # type: ignore[attr-defined]
        "can_stay": plan is not None and plan.newest is not None and "sheets" in plan.newest.document,
    }
    return render(request, "sessions/make.html", context, status=status)
