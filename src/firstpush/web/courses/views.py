"""The pages of courses: the list, one course laid out for those chosen, its plan, its sheet and its sounds."""

from __future__ import annotations

from django.contrib import messages
from django.http import Http404, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_POST, require_safe

from firstpush.core.courses import LAYOUTS, CourseError, sound
from firstpush.sheets.make_course import LANES
from firstpush.web import access
from firstpush.web.access import MemberRequest, needs
from firstpush.web.courses.ask_form import AskForm, layout_title
from firstpush.web.courses.chosen import Chosen, source_for
from firstpush.web.courses.drawn import SIZES, plan, plan_key
from firstpush.web.courses.laying import Laid, laid
from firstpush.web.courses.page import course_page, page_address
from firstpush.web.courses.sheet import course_sheet_pdf
from firstpush.web.courses.times import keep_time
from firstpush.web.figures import svg_response
from firstpush.web.sessions.print_views import pdf_response


@needs("read")
@require_safe
def courses(request: MemberRequest) -> HttpResponse:
    """List the layouts and the club's own courses."""
    own = access.courses_for(request.user)
    context = {
        "layouts": [(layout_title(each.id), each) for each in LAYOUTS.values()],
        "own": own.filter(withdrawn_at=None),
        "withdrawn": own.exclude(withdrawn_at=None),
    }
    return render(request, "courses/list.html", context)


@needs("read")
@require_safe
def course(request: MemberRequest, slug: str) -> HttpResponse:
    """Show a course laid out for those chosen; what cannot be laid stands beside its field, as it was typed."""
    form = AskForm(request.user, source_for(request.user, slug), request.GET)
    context, _ = course_page(request.user, form, step=request.GET.get("step", ""))
    return render(request, "courses/one.html", context, status=422 if form.errors else 200)


@needs("do")
@require_POST
def log_course_time(request: MemberRequest, slug: str) -> HttpResponse:
    """Keep a measured time on the course that the address lays out."""
    form = AskForm(request.user, source_for(request.user, slug), request.GET)
    context, time_form = course_page(request.user, form, time_data=request.POST)
    if time_form is None or not time_form.is_valid():
        return render(request, "courses/one.html", context, status=422)
    given, now = time_form.cleaned_data, context["laid"]
    one = next(
        each for each in now.each if each.driver.record is not None and str(each.driver.record.pk) == given["who"]
    )
    record = access.athlete_for(request.user, int(given["who"]), to="do")
    keep_time(record, chosen=form.chosen(), now=now, bracket=one.bracket, given=given, by=request.user)
    messages.success(request, f"{given['time_s']:g} s of {record} kept. It stands below, beside the earlier ones.")
    return redirect(page_address(slug, form.query()) + "#times")


@needs("read")
@require_safe
def course_plan(request: MemberRequest, slug: str, kind: str) -> HttpResponse:
    """Answer with the plan of a course: for the screen, for a phone, small, or with the chair moving."""
    if kind not in SIZES:
        raise Http404
    chosen, now = _laid(request, slug)
    return svg_response(request, plan(chosen, now, kind), key=plan_key(chosen, kind), lasting=False)


@needs("read")
@require_safe
def course_sheet(request: MemberRequest, slug: str) -> HttpResponse:
    """Answer with the printed page of a course; it is for athletes, so that somebody has to be chosen."""
    form = _valid(request, slug)
    _, now = _laid_of(form)
    if now.decides.record is None:
        raise Http404
    return pdf_response(course_sheet_pdf(now.made), name=f"course-{slug}.pdf")


@needs("read")
@require_safe
def course_sound(request: MemberRequest, slug: str) -> HttpResponse:
    """Answer with the sounds of push lanes as a file."""
    if slug != LANES:
        raise Http404
    _, now = _laid(request, slug)
    response = HttpResponse(sound(now.made.cues), content_type="audio/wav")
    response["Content-Disposition"] = 'inline; filename="push-lanes.wav"'
    response["Cache-Control"] = "private, no-cache"
    return response


def _laid(request: MemberRequest, slug: str) -> tuple[Chosen, Laid]:
    return _laid_of(_valid(request, slug))


def _valid(request: MemberRequest, slug: str) -> AskForm:
    """Return what an address asks for; 404 for what cannot be asked."""
    form = AskForm(request.user, source_for(request.user, slug), request.GET)
    if not form.is_valid():
        raise Http404
    return form


def _laid_of(form: AskForm) -> tuple[Chosen, Laid]:
    """Return the course that is asked for; 404 for one that cannot be laid."""
    chosen = form.chosen()
    try:
        return chosen, laid(chosen)
    except CourseError as error:
        raise Http404 from error
