"""The club's own courses: written as tables, changed, taken back to an earlier version, withdrawn and put back."""

from __future__ import annotations

import json
from typing import Any

from django.contrib import messages
from django.http import Http404, HttpResponse, QueryDict
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from firstpush.core.errors import FirstpushError, InputFileError
from firstpush.core.figure.course_floor import draw_course_floor
from firstpush.web import access
from firstpush.web.access import MemberRequest, needs
from firstpush.web.courses.models import OwnCourse
from firstpush.web.courses.own_floor import (
    KINDS,
    WIDTHS_PX,
    after_click,
    after_undo,
    document_of,
    extent_of,
    scale_of,
    was_clicked,
)
from firstpush.web.courses.own_form import MOST_ROWS, OwnCourseForm
from firstpush.web.errors import ChangedMeanwhileError
from firstpush.web.figures import content_key, svg_response


@needs("write")
@require_http_methods(["GET", "HEAD", "POST"])
def new_course(request: MemberRequest) -> HttpResponse:
    """Write a new course; core checks it, and what is wrong stands beside its field."""
    return _written(request, OwnCourse(club=request.membership.club))


@needs("write")
@require_http_methods(["GET", "HEAD", "POST"])
def change_course(request: MemberRequest, id_: int) -> HttpResponse:
    """Change an own course: another version is added."""
    return _written(request, access.course_for(request.user, id_, to="write"))


@needs("read")
@require_safe
def own_floor(request: MemberRequest, kind: str) -> HttpResponse:
    """Answer with a floor to click on, with the unfinished course that stands in the address."""
    shown = extent_of(request.GET.get("shown", ""))
    document = _unfinished(request.GET.get("course", ""))
    if kind not in WIDTHS_PX or shown is None or document is None:
        raise Http404
    svg = draw_course_floor(document, scale=scale_of(shown, kind))
    return svg_response(request, svg, key=content_key("own floor", kind, shown, document), lasting=True)


@needs("write")
@require_POST
def take_back_course(request: MemberRequest, id_: int) -> HttpResponse:
    """Make an earlier version the newest again; nothing of what came between is lost."""
    own = access.course_for(request.user, id_, to="write")
    number = request.POST.get("number", "")
    version = get_object_or_404(own.versions, number=int(number) if number.isdecimal() and len(number) < 9 else 0)
    own.save_document(version.document, by=request.user, why=f"as version {version.number}")
    messages.success(request, f"{own} is as it was in version {version.number}.")
    return redirect("course", slug=own.slug)


@needs("write")
@require_POST
def withdraw_course(request: MemberRequest, id_: int) -> HttpResponse:
    """Take an own course out of use; it stays, and can be put back."""
    own = access.course_for(request.user, id_, to="write")
    own.withdraw()
    messages.success(request, f"{own} is withdrawn: it stands apart in the list.")
    return redirect("course", slug=own.slug)


@needs("write")
@require_POST
def put_back_course(request: MemberRequest, id_: int) -> HttpResponse:
    """Take a withdrawn course into use again."""
    own = access.course_for(request.user, id_, to="write")
    own.put_back()
    messages.success(request, f"{own} is put back.")
    return redirect("course", slug=own.slug)


def _unfinished(text: str) -> dict[str, Any] | None:
    """Return the course in an address as far as it can be drawn; None for what is no course."""
    try:
        given = json.loads(text or "{}")
    except ValueError:
        return None
    if not isinstance(given, dict):
        return None
    typed = {f"{kind}_{row}_{key}": place[key] for kind in KINDS for row, place, key in _cells(given.get(kind))}
    order = given.get("order")
    steps = [each for each in order if isinstance(each, str)] if isinstance(order, list) else []
    return document_of(typed | {"start": given.get("start"), "order": "\n".join(steps)})


def _cells(rows: Any) -> list[tuple[int, dict[str, Any], str]]:
    places = [each for each in rows if isinstance(each, dict)] if isinstance(rows, list) else []
    return [
        (row, each, key) for row, each in enumerate(places[:MOST_ROWS]) for key in ("name", "x_m", "y_m") if key in each
    ]


def _floors(request: MemberRequest) -> dict[str, tuple[float, float]]:
    """Return the floors of the club's venues that are measured."""
    venues = [each.read() for each in access.venues_for(request.user).filter(withdrawn_at=None)]
    return {
        each.name: (each.floor_length, each.floor_width)
        for each in venues
        if each.floor_length is not None and each.floor_width is not None
    }


def _written(request: MemberRequest, own: OwnCourse) -> HttpResponse:
    says, unjudged = "", False
    sent: QueryDict | None = request.POST if request.method == "POST" else None
    if sent is not None and was_clicked(sent):
        answer = after_click(sent)
        sent, says, unjudged = answer.data, answer.says, True
    elif sent is not None and "undo" in sent:
        answer = after_undo(sent)
        sent, says, unjudged = answer.data, answer.says, True
    elif sent is not None:
        unjudged = "more" in sent or "show" in sent
    known = {} if own.pk is None else {"document": own.document, "based_on": own.version}
    form = OwnCourseForm(sent, floors=_floors(request), **known)
    if form.is_bound and not unjudged and form.is_valid() and _saved(request, own, form):
        messages.success(request, f"Saved. {own} can be laid out below.")
        return redirect("course", slug=own.slug)
    if unjudged:
        # Not saved yet: what is not filled in is no fault.
        form = _unjudged(form)
    context = {"form": form, "own": own, "says": says, "floor": form.floor()}
    return render(request, "courses/own.html", context, status=422 if form.errors else 200)


def _unjudged(form: OwnCourseForm) -> OwnCourseForm:
    """Return the form with all that was typed, and nothing said about it."""
    typed = {name: form[name].value() for name in form.fields}
    shown = OwnCourseForm(based_on=typed.get("based_on"), floors=form.floors)
    shown.counts, shown.fields = form.counts, form.fields
    shown.initial = typed
    return shown


def _saved(request: MemberRequest, own: OwnCourse, form: OwnCourseForm) -> bool:
    """Save what was typed; False where core or another person stands against it, which the form then says."""
    given = form.cleaned_data
    try:
        own.save_document(
            form.document(), by=request.user, based_on=given.get("based_on"), why=given.get("why") or "written"
        )
    except InputFileError as error:
        form.add_faults(error)
    except (FirstpushError, ChangedMeanwhileError) as error:
        words = str(error)
        form.add_error(None, words[:1].upper() + words[1:])
    else:
        return True
    return False
