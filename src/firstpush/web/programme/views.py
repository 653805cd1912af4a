"""The pages of programmes."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse, QueryDict
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_POST, require_safe

from firstpush.core.errors import FirstpushError
from firstpush.core.programme.days import DAY_NAMES
from firstpush.web import access
from firstpush.web.access import MemberRequest, needs
from firstpush.web.athletes.models import AthleteRecord
from firstpush.web.figures import content_key, svg_response
from firstpush.web.programme.bending import Bent, bent, weeks_over
from firstpush.web.programme.forms import ProgrammeForm, initial_of
from firstpush.web.programme.making import WORDS, make
from firstpush.web.programme.models import Programme
from firstpush.web.programme.shown import days_ahead, days_shown, weeks_shown
from firstpush.web.sessions import progress
from firstpush.web.sessions.print_views import pdf_response


@needs("read")
@require_safe
def programme(request: MemberRequest, id_: int) -> HttpResponse:
    """Show the newest programme of an athlete, and the form for another."""
    record = access.athlete_for(request.user, id_)
    newest = record.programmes.defer("figures", "sheet", "calendar").last()
    asked = None if newest is None else newest.asked
    form = ProgrammeForm(initial=initial_of(asked, request.user, record), user=request.user)
    return _page(request, record, newest, form)


@needs("read")
@require_safe
def programme_earlier(request: MemberRequest, id_: int, number: int) -> HttpResponse:
    """Show a programme as it was made."""
    found = _programme(request, id_, number)
    return _page(request, found.athlete, found, None)


@needs("write")
@require_POST
def make_programme(request: MemberRequest, id_: int) -> HttpResponse:
    """Make a programme; what is wrong stands beside its field, and what was typed stays."""
    record = access.athlete_for(request.user, id_, to="write")
    form = ProgrammeForm(request.POST, user=request.user)
    if form.is_valid():
        try:
            _made(request, record, form)
        except FirstpushError as error:
            form.add_error(None, str(error))
        else:
            messages.success(request, "The programme is made. The days, the sheet and the calendar stand below.")
            return redirect("programme", id_=record.pk)
    newest = record.programmes.defer("figures", "sheet", "calendar").last()
    return _page(request, record, newest, form, status=422)


@needs("write")
@require_POST
def bend_programme(request: MemberRequest, id_: int) -> HttpResponse:
    """Plan the rest of the newest programme anew from what was done of it."""
    record = access.athlete_for(request.user, id_, to="write")
    newest = record.programmes.defer("figures", "sheet", "calendar").last()
    if newest is None or not weeks_over(newest, today=timezone.localdate()):
        raise Http404
    form = ProgrammeForm(_as_typed(newest, request), user=request.user)
    if form.is_valid():
        try:
            _made(request, record, form, bent=bent(newest, record, today=timezone.localdate()))
        except FirstpushError as error:
            form.add_error(None, str(error))
        else:
            messages.success(request, "The weeks to come are planned from what was done.")
            return redirect("programme", id_=record.pk)
    return _page(request, record, newest, form, status=422)


def _as_typed(found: Programme, request: MemberRequest) -> QueryDict:
    """Return what a programme asked for as its form sends it."""
    typed = QueryDict(mutable=True)
    for name, value in initial_of(found.asked, request.user, found.athlete).items():
        if isinstance(value, list | tuple):
            typed.setlist(name, [str(each) for each in value])
        elif value is not None:
            typed[name] = str(value)
    return typed


@needs("read")
@require_safe
def programme_sheet(request: MemberRequest, id_: int, number: int) -> HttpResponse:
    """Answer with the programme as PDF."""
    found = _programme(request, id_, number)
    return pdf_response(bytes(found.sheet), name=f"{_file_stem(found)}.pdf")


@needs("read")
@require_safe
def programme_calendar(request: MemberRequest, id_: int, number: int) -> HttpResponse:
    """Answer with the sessions of the programme for a calendar."""
    found = _programme(request, id_, number)
    response = HttpResponse(bytes(found.calendar), content_type="text/calendar; charset=utf-8")
    response["Content-Disposition"] = f'attachment; filename="{_file_stem(found)}.ics"'
    return response


@needs("read")
@require_safe
def programme_figure(request: MemberRequest, id_: int, number: int, page: int, place: int) -> HttpResponse:
    """Answer with the drawing of an exercise of a day."""
    found = _programme(request, id_, number)
    try:
        title = found.words["pages"][page]["items"][place]["title"]
    except IndexError as error:
        raise Http404 from error
    svg = found.figures[title]
    return svg_response(request, svg, key=content_key("programme", svg), lasting=True)


def _made(request: MemberRequest, record: AthleteRecord, form: ProgrammeForm, bent: Bent | None = None) -> Programme:
    """Make what a form asks for, and tell the page that waits."""
    token = request.POST.get("token", "")[:40]
    try:
        return make(
            record,
            form.cleaned_data,
            user=request.user,
            by=request.membership.account,
            told=lambda name: progress.tell(token, request.user.pk, name),
            bent=bent,
        )
    finally:
        progress.end(token)


def _programme(request: MemberRequest, id_: int, number: int) -> Programme:
    """Return a programme of an athlete; 404 for one that is not there."""
    record = access.athlete_for(request.user, id_)
    return get_object_or_404(record.programmes.select_related("athlete"), number=number)


def _page(
    request: HttpRequest, record: AthleteRecord, found: Programme | None, form: ProgrammeForm | None, status: int = 200
) -> HttpResponse:
    today = timezone.localdate()
    ahead = None if found is None else days_ahead(found, today=today)
    told = [] if found is None else found.words.get("notices", [])
    context: dict[str, Any] = {
        "record": record,
        "programme": found,
        "words": None if found is None else found.words,
        "notices": [each for each in told if each["level"] != "note"],
        "notes": [each for each in told if each["level"] == "note"],
        "days": [] if found is None else days_shown(found.words),
        "ahead": ahead,
        "today": today,
        "weeks": [] if ahead is None or found is None else weeks_shown(found, ahead, today=today),
        "day_names": [] if found is None else [DAY_NAMES[day] for day in found.words["weekdays"]],
        "is_newest": form is not None,
        "over": weeks_over(found, today=today) if found is not None and form is not None else 0,
        "earlier": (record.programmes if found is None else record.programmes.exclude(pk=found.pk)).values(
            "number", "made_at"
        ),
        "form": form,
        "token": progress.new_token(),
        "stages": WORDS,
        "making": "Making the programme",
    }
    return render(request, "programme/programme.html", context, status=status)


def _file_stem(found: Programme) -> str:
    """Return the beginning of a file's name, which tells nothing of the person but the number on the shirt."""
    number = found.athlete.number
    who = "" if number is None else f"-number-{number}"
    return f"programme{who}-{found.number}"
