"""How fast an athlete is: tests that are kept, what they make, and the times on courses."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.http import urlencode
from django.views.decorators.http import require_POST, require_safe

from firstpush.web import access
from firstpush.web.access import MemberRequest, needs
from firstpush.web.athletes.models import AthleteRecord
from firstpush.web.courses.models import Added, CourseTime, SpeedTest
from firstpush.web.courses.page import page_address
from firstpush.web.courses.speed_forms import FORMS, SpeedForm
from firstpush.web.courses.speed_words import speed_rows, test_rows
from firstpush.web.courses.times import holding


@needs("read")
@require_safe
def athlete_speed(request: MemberRequest, id_: int) -> HttpResponse:
    """Show how fast an athlete is, by which tests, and forms for another."""
    return _page(request, access.athlete_for(request.user, id_))


@needs("write")
@require_POST
def add_speed_test(request: MemberRequest, id_: int, kind: str) -> HttpResponse:
    """Keep a test; one that cannot be is told so, and what was typed stays."""
    record = access.athlete_for(request.user, id_, to="write")
    if kind not in FORMS:
        raise Http404
    form = FORMS[kind](list(record.speed_tests.all()), request.POST)
    if not form.is_valid():
        return _page(request, record, sent=form)
    SpeedTest.objects.create(
        athlete=record,
        kind=kind,
        measured=form.measured,
        on=form.cleaned_data["on"],
        remark=form.cleaned_data["remark"],
        made_by=request.user,
        made_at=timezone.now(),
    )
    messages.success(request, "The test is kept. The newest of each kind is what courses are reckoned with.")
    return redirect("athlete_speed", id_=record.pk)


@needs("write")
@require_POST
def take_speed_test_back(request: MemberRequest, id_: int, number: int) -> HttpResponse:
    """Take a test back; the row stays, and counts no more."""
    record = access.athlete_for(request.user, id_, to="write")
    test = get_object_or_404(record.speed_tests.filter(takes_back=None), pk=number)
    _take_back(test, by=request, kind=test.kind, measured={})
    messages.success(request, "The test is taken back: courses are reckoned without it.")
    return redirect("athlete_speed", id_=record.pk)


@needs("do")
@require_POST
def take_course_time_back(request: MemberRequest, id_: int, number: int) -> HttpResponse:
    """Take a measured time back; the row stays, and is compared with no more."""
    record = access.athlete_for(request.user, id_, to="do")
    row = get_object_or_404(record.course_times.filter(takes_back=None), pk=number)
    same = {name: getattr(row, name) for name in ("club", "course_key", "slug", "title", "asked")}
    _take_back(row, by=request, **same)
    messages.success(request, f"The time of {row.title} is taken back.")
    return redirect("athlete_speed", id_=record.pk)


def _take_back(row: Added, *, by: MemberRequest, **same: Any) -> None:
    """Add the row that takes another one back, once."""
    rows: Any = type(row)._default_manager
    if not rows.filter(takes_back=row).exists():
        rows.create(
            takes_back=row,
            athlete=row.athlete,  # type: ignore[attr-defined]
            on=timezone.localdate(),
            made_by=by.user,
            made_at=timezone.now(),
            **same,
        )


def _page(request: MemberRequest, record: AthleteRecord, *, sent: SpeedForm | None = None) -> HttpResponse:
    tests = list(record.speed_tests.select_related("made_by"))
    athlete = record.athlete()
    forms = {kind: sent if sent is not None and sent.kind == kind else form(tests) for kind, form in FORMS.items()}
    times = holding(record.course_times.select_related("made_by"))[::-1]
    context = {
        "record": record,
        "speed": speed_rows(tests, athlete=athlete),
        "tests": test_rows(tests),
        "forms": forms,
        "open": None if sent is None else sent.kind,
        "times": [(row, _address(row)) for row in times],
    }
    return render(request, "courses/speed.html", context, status=200 if sent is None else 422)


def _address(row: CourseTime) -> str:
    """Return where the course of a measured time is laid out as it was."""
    asked = {name: value for name, value in row.asked.items() if value is not None}
    if row.slug.startswith("own-"):
        asked.pop("spacing_m", None)
    return page_address(row.slug, "?" + urlencode({"athlete": row.athlete_id, **asked}))
