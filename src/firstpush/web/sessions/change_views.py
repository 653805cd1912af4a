"""Changing a session by hand: every change is a new version, and what was before stays."""

from __future__ import annotations

import json
from dataclasses import replace

from django.contrib import messages
from django.http import Http404, HttpResponse, HttpResponseBadRequest
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from firstpush.core.errors import FirstpushError, OutOfRangeError
from firstpush.core.people.athlete import SIDES, Side
from firstpush.core.session.asked import plan_of
from firstpush.core.session.typed_dose import typed_dose
from firstpush.core.words import listed
from firstpush.web import access
from firstpush.web.access import MemberRequest, needs
from firstpush.web.athletes.models import AthleteRecord
from firstpush.web.errors import WebError
from firstpush.web.exercises.library import club_library
from firstpush.web.sessions import changing, progress
from firstpush.web.sessions.collisions import collision_page
from firstpush.web.sessions.item_page import item_context, setup_context
from firstpush.web.sessions.made_way import made_way
from firstpush.web.sessions.make_views import made_with_progress
from firstpush.web.sessions.making import keep
from firstpush.web.sessions.models import Plan, PlanVersion
from firstpush.web.sessions.request import SessionRequest, read_request


@needs("write")
@require_safe
def plan_item(request: MemberRequest, id_: int, slug: str) -> HttpResponse:
    """Show what can be done by hand to one exercise of the newest version, with what each would bring."""
    plan, newest = _newest(request, id_)
    context = item_context(request.user, newest, slug)
    if context is None:
        raise Http404
    return render(request, "sessions/item.html", context | {"plan": plan, **_waiting()})


@needs("write")
@require_http_methods(["GET", "HEAD", "POST"])
def lay_by_hand(request: MemberRequest, id_: int, slug: str) -> HttpResponse:
    """Show what a set-up by hand brings while it is chosen, and take it over."""
    plan, newest = _newest(request, id_)
    data = request.POST if request.method == "POST" else request.GET
    context = setup_context(newest, slug, data or None)
    if context is None:
        raise Http404
    if request.method == "POST" and context.setups:
        asked = changing.laid(_asked(newest), plan_of(newest.document), exercise=slug, setups=dict(context.setups))
        return _kept(request, plan, newest, asked, why=f"{context.title} set up by hand")
    status = 422 if request.method == "POST" else 200
    shown = {"plan": plan, "version": newest, "page": context, "words": context.words, **_waiting()}
    return render(request, "sessions/setup.html", shown, status=status)


@needs("write")
@require_safe
def what_makes_way(request: MemberRequest, id_: int, slug: str) -> HttpResponse:
    """Tell what would make room for another dose, or for another exercise; as a part of a page, or as a page."""
    _, newest = _newest(request, id_)
    exercises, into = club_library(newest.plan.athlete.club), request.GET.get("into", "")
    if slug not in dict(plan_of(newest.document)) or slug not in exercises or (into and into not in exercises):
        raise Http404
    plan, dose = plan_of(newest.document), request.GET.get("dose", "")
    if into:
        asked = changing.exchanged(_asked(newest), plan, out=slug, into=into, dose=dose)
    else:
        asked = changing.dosed(_asked(newest), plan, exercise=slug, dose=dose)
    told = made_way(request.user, newest, asked, about={slug, into})
    context = {"plan": newest.plan, "item": {"exercise": slug}, "title": exercises[slug].title, "told": told}
    part = request.headers.get("HX-Request") == "true"
    return render(request, "sessions/parts/made_way.html" if part else "sessions/made_way.html", context)


@needs("write")
@require_POST
def change_plan(request: MemberRequest, id_: int) -> HttpResponse:
    """Make one change by hand, and keep what comes of it as a new version."""
    plan, newest = _newest(request, id_)
    if request.POST.get("based_on") != str(newest.number):
        messages.error(request, "Somebody else has changed this session meanwhile; look at it, and change it again.")
        return redirect("plan", plan.pk)
    if request.POST.get("change") == TYPED_DOSE:
        return _typed_dose(request, plan, newest)
    try:
        asked, why = _change(request, newest)
    except (KeyError, FirstpushError, ValueError):
        return HttpResponseBadRequest("no such change")
    return _kept(request, plan, newest, asked, why=why)


@needs("write")
@require_POST
def ask_again(request: MemberRequest, id_: int) -> HttpResponse:
    """Ask for what a button of a collision says; of an athlete's new session, or of one that is changed."""
    record = access.athlete_for(request.user, id_, to="write")
    plan = None
    if request.POST.get("plan", "").isdigit():
        plan = get_object_or_404(
            access.plans_for(request.user, to="write").filter(athlete=record), pk=request.POST["plan"]
        )
    try:
        asked = read_request(json.loads(request.POST.get("request", "")))
    except (WebError, ValueError):
        return HttpResponseBadRequest("no such request")
    return _made(request, record, asked, plan=plan, why=f"after a collision: {request.POST.get('words', '')[:200]}")


@needs("write")
@require_POST
def back_to(request: MemberRequest, id_: int, number: int) -> HttpResponse:
    """Go back to an earlier version, as a new one."""
    plan = access.plan_for(request.user, id_, to="write")
    earlier = get_object_or_404(plan.versions, number=number)
    state = earlier.request.get("back_to") or earlier.number
    plan.add_version(
        request=earlier.request | {"back_to": state},
        document=earlier.document,
        by=request.user,
        why=f"back to version {state}",
    )
    return redirect("plan", plan.pk)


TYPED_DOSE = "dose by hand"


def _typed_dose(request: MemberRequest, plan: Plan, newest: PlanVersion) -> HttpResponse:
    """Ask for a dose that was typed; one that is not allowed comes back as it was typed, with what is."""
    about, typed = request.POST.get("exercise", ""), {name: request.POST.get(name, "") for name in ("sets", "amount")}
    exercise = club_library(plan.athlete.club).get(about)
    if exercise is None:
        return HttpResponseBadRequest("no such change")
    try:
        sets, amount = (int(each.strip()) for each in typed.values())
        dose = typed_dose(exercise, sets=sets, amount=amount).name
    except (ValueError, OutOfRangeError) as error:
        wrong = str(error) if isinstance(error, OutOfRangeError) else "Write both as whole numbers, such as 2 and 10."
        context = item_context(request.user, newest, about)
        if context is None:
            raise Http404 from error
        shown = context | {"plan": plan, "typed": typed, "wrong": wrong[:1].upper() + wrong[1:], **_waiting()}
        return render(request, "sessions/item.html", shown, status=422)
    asked = changing.dosed(_asked(newest), plan_of(newest.document), exercise=about, dose=dose)
    return _kept(request, plan, newest, asked, why=f"{exercise.title}: {dose}")


def _change(request: MemberRequest, newest: PlanVersion) -> tuple[SessionRequest, str]:
    """Return what is asked with the change of a form, and the change in words.

    Raises
    ------
    KeyError, ValueError
        When the form names no change that there is.
    """
    post, asked, plan = request.POST, _asked(newest), plan_of(newest.document)
    exercises = club_library(newest.plan.athlete.club)
    about = post.get("exercise", "")
    title = exercises[about].title if about in exercises else about
    match post["change"]:
        case "exchange":
            into = exercises[post["into"]]
            new = changing.exchanged(asked, plan, out=about, into=into.id, dose=post["dose"])
            return new, f"{into.title} in place of {title}"
        case "leave out":
            return changing.left_out(asked, plan, exercise=exercises[about].id), f"{title} left out"
        case "keep":
            return changing.kept(asked, plan, exercise=exercises[about].id), f"{title} must be there"
        case "dose":
            return changing.dosed(asked, plan, exercise=about, dose=post["dose"]), f"{title}: {post['dose']}"
        case "move":
            new = changing.ordered(asked, plan, order=post["order"].split())
            return new, f"{title} {'earlier' if post['direction'] == 'earlier' else 'later'}"
        case "sides":
            sides: tuple[Side, ...] = tuple(side for side in SIDES if side in post.getlist("sides"))
            new = changing.sided(asked, plan, exercise=about, sides=sides if len(sides) == 1 else ())
            return new, f"{title}: {listed(sides)} side" if len(sides) == 1 else f"{title}: both sides"
        case "let go":
            new = changing.let_go(asked, plan, wish=post["wish"], about=about)
            return new, f"no longer asked by hand: {post.get('words', title)[:200]}"
        case _:
            raise ValueError(post["change"])


def _kept(request: MemberRequest, plan: Plan, newest: PlanVersion, asked: SessionRequest, *, why: str) -> HttpResponse:
    return _made(request, plan.athlete, replace(asked, changed_from=newest.number), plan=plan, why=why)


def _made(
    request: MemberRequest, record: AthleteRecord, asked: SessionRequest, *, plan: Plan | None, why: str
) -> HttpResponse:
    """Make what is asked and keep it; what does not fit is told, and nothing is kept."""
    try:
        made = made_with_progress(request, record, asked)
    except FirstpushError as error:
        messages.error(request, str(error))
        return redirect("plan", plan.pk) if plan is not None else redirect("make_session", record.pk)
    if made.planned.session.collision is not None:
        return collision_page(request, record, made, plan=plan)
    if not made.fits:
        for notice in made.planned.session.notices:
            messages.error(request, f"{notice.what[:1].upper()}{notice.what[1:]}. {notice.do}.")
        return redirect("plan", plan.pk) if plan is not None else redirect("make_session", record.pk)
    version = keep(made, record, by=request.user, why=why, plan=plan)
    return redirect("plan", version.plan_id)


def _newest(request: MemberRequest, id_: int) -> tuple[Plan, PlanVersion]:
    """Return a session and its newest version, when it can be changed by hand."""
    plan = access.plan_for(request.user, id_, to="write")
    newest = plan.newest
    if newest is None or "sheets" not in newest.document:
        raise Http404
    return plan, newest


def _asked(newest: PlanVersion) -> SessionRequest:
    return read_request(newest.request)


def _waiting() -> dict[str, object]:
    return {"token": progress.new_token(), "stages": progress.WORDS}
