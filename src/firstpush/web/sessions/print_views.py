"""What a session is on paper and in other programs: sheets, cards, drawings, an entry for a calendar."""

from __future__ import annotations

import hashlib
from dataclasses import replace
from datetime import datetime, time
from typing import Any

from django.conf import settings
from django.core.exceptions import PermissionDenied
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.utils.dateparse import parse_date, parse_time
from django.views.decorators.http import require_safe

from firstpush.core.errors import FirstpushError
from firstpush.sheets.calendar_file import CalendarEntry, calendar_file
from firstpush.sheets.cards import DRILL_MM, Card, CardDeck, cards_pdf
from firstpush.sheets.cards import FIGURE_MM as CARD_MM
from firstpush.sheets.content import CoursePlanImage, SheetContent, SheetItem, Version
from firstpush.sheets.from_session import FIGURE_MM
from firstpush.sheets.session_sheet import session_pdf
from firstpush.web import access
from firstpush.web.access import MemberRequest, may, needs
from firstpush.web.figures import svg_response
from firstpush.web.oncourt.links import court_code
from firstpush.web.sessions.course_drawings import PLAN_SIZES, course_drawing, course_drawing_key, sheet_plans
from firstpush.web.sessions.drawings import NARROW_MM, TALL_MM, drawing, drawing_key, item_of, small_drawing
from firstpush.web.sessions.making import case_of
from firstpush.web.sessions.models import PlanVersion
from firstpush.web.sessions.request import read_request
from firstpush.web.sessions.sheet_words import VERSIONS, content_of, words_of

USUAL_START = time(18, 0)


@needs("sheet")
@require_safe
def session_figure(request: MemberRequest, id_: int, number: int, slug: str) -> HttpResponse:
    """Answer with the drawing of one exercise of a session; with ``?narrow`` or ``?tall`` the one for a phone."""
    version = version_for(request, id_, number)
    item = item_of(version, slug)
    if item is None or "setups" not in item:
        raise Http404
    size = NARROW_MM if "narrow" in request.GET else TALL_MM if "tall" in request.GET else FIGURE_MM
    try:
        svg = drawing(version, item, size)
    except FirstpushError as error:
        raise Http404 from error
    return svg_response(request, svg, key=drawing_key(version, item, size), lasting=False)


@needs("sheet")
@require_safe
def session_course(request: MemberRequest, id_: int, number: int, slug: str, kind: str) -> HttpResponse:
    """Answer with the plan of the course of one exercise: as it lies on the floor, or with the chair moving."""
    version = version_for(request, id_, number)
    item = item_of(version, slug)
    if item is None or kind not in PLAN_SIZES:
        raise Http404
    try:
        svg = course_drawing(version, item, kind)
    except FirstpushError as error:
        raise Http404 from error
    return svg_response(request, svg, key=course_drawing_key(version, item, kind), lasting=False)


@needs("sheet")
@require_safe
def session_sheet(request: MemberRequest, id_: int, number: int, which: str) -> HttpResponse:
    """Answer with a sheet of a session as PDF: the athlete's, the practitioner's copy, or both."""
    version = version_for(request, id_, number)
    contents = [sheet_content(version, each) for each in _versions(request, which)]
    code = court_code(request, version.plan)
    pdf = session_pdf(contents, document_date=version.made_at.date(), court_code=code)
    return pdf_response(pdf, name=f"{file_stem(version)}-{which}.pdf")


@needs("sheet")
@require_safe
def session_cards(request: MemberRequest, id_: int, number: int, which: str) -> HttpResponse:
    """Answer with the cards of a session as PDF, one for each exercise."""
    version = version_for(request, id_, number)
    (of_version,) = _versions(request, which)
    pdf = cards_pdf(card_deck(version), version=of_version, document_date=version.made_at.date())
    return pdf_response(pdf, name=f"{file_stem(version)}-cards-{which}.pdf")


@needs("sheet")
@require_safe
def session_calendar(request: MemberRequest, id_: int, number: int) -> HttpResponse:
    """Answer with an entry for a calendar, on the day of the session at the time asked for."""
    version = version_for(request, id_, number)
    words = words_of(version.document, "athlete")
    day = parse_date(str(version.document.get("date")))
    if words is None or day is None:
        raise Http404
    try:
        at = parse_time(request.GET.get("at", "")) or USUAL_START
    except ValueError:
        at = USUAL_START
    entry = CalendarEntry(
        uid=_uid(version),
        title=f"{words['kind'][:1].upper()}{words['kind'][1:]}",
        starts=datetime.combine(day, at.replace(second=0, microsecond=0, tzinfo=None)),
        minutes=version.document["minutes"],
        place=words["venue"],
        description="\n".join(
            f"{item['start_clock']} {item['title']}, {item['dose_large']}" for item in words["items"]
        ),
    )
    made = calendar_file([entry], name="Firstpush", made_at=version.made_at)
    response = HttpResponse(made, content_type="text/calendar; charset=utf-8")
    response["Content-Disposition"] = f'attachment; filename="{file_stem(version)}.ics"'
    return response


def version_for(request: MemberRequest, id_: int, number: int) -> PlanVersion:
    """Return a version of a session that may be seen; 404 for one that is not there."""
    return get_object_or_404(
        access.plan_for(request.user, id_).versions.select_related("plan__athlete", "made_by"), number=number
    )


def sheet_content(version: PlanVersion, which: Version) -> SheetContent:
    """Return one version of the sheet, with its drawings; 404 where a session was kept without words."""
    words = words_of(version.document, which)
    if words is None:
        raise Http404
    items = version.document["items"]
    ids = {row["number"]: item["exercise"] for row, item in zip(words["items"], items, strict=True)}
    figures = {item["exercise"]: small_drawing(version, item) for item in items}
    plans = {item["exercise"]: _plans(version, item) for item in items}
    content = content_of(words, figures, ids, plans)
    return replace(
        content, start=start_words(version), edition=f"session {version.plan.number}, version {version.number}"
    )


def _plans(version: PlanVersion, item: dict[str, Any]) -> tuple[CoursePlanImage, ...]:
    """Return the plans of a drill for paper; none where a newer program lays it otherwise than the words tell."""
    try:
        return sheet_plans(version, item)
    except FirstpushError:
        return ()


def start_words(version: PlanVersion) -> str:
    """Return when the athlete starts on the day of the session; empty for the first."""
    day = parse_date(str(version.document.get("date")))
    said = None if day is None else version.plan.athlete.presences.filter(day=day).first()
    return f"start {said.start_min} min after the first" if said is not None and said.start_min else ""


def card_deck(version: PlanVersion) -> CardDeck:
    """Return the cards of a session: the same words as its sheets, one exercise each."""
    content = sheet_content(version, "practitioner")
    case = case_of(read_request(version.request))
    return CardDeck(
        athlete_name=content.athlete_name,
        chair_name=case.chair.name,
        venue_name=content.venue,
        program_version=content.program_version,
        input_checksum=content.input_checksum,
        cards=tuple(
            _card(item, row, drawing(version, item, CARD_MM if row.course is None else DRILL_MM))
            for item, row in zip(version.document["items"], content.items, strict=True)
        ),
        document={},
    )


def _card(item: dict[str, Any], row: SheetItem, svg: str) -> Card:
    sides = item["sides"]
    together = any(len(setup["arms"]) == 2 for setup in item["setups"])
    drawn = f"{row.side_words} · {sides[0]} drawn" if len(sides) > 1 and not together else row.side_words
    return Card(
        exercise=item["exercise"],
        title=row.title,
        part=row.part,
        side_words=drawn,
        figure_svg=svg,
        figure_alt=row.figure_alt,
        dose_large=row.dose_large,
        dose_small=row.dose_small,
        first_time="",
        facts=row.facts,
        course=row.course,
        cue=row.cue,
        with_band=any(setup.get("band") for setup in item["setups"]),
        numbers=row.numbers,
        watch_for=row.watch_for,
        easier=row.easier,
        harder=row.harder,
        why=row.why,
        notices=row.alone or row.notices,
    )


def _versions(request: HttpRequest, which: str) -> tuple[Version, ...]:
    """Return what is printed under a name; an athlete prints the athlete's sheet only."""
    named: dict[str, tuple[Version, ...]] = {each: (each,) for each in VERSIONS} | {"both": VERSIONS}
    if which not in named:
        raise Http404
    if which != "athlete" and not may(request.membership).read:  # type: ignore[attr-defined]
        raise PermissionDenied
    return named[which]


def file_stem(version: PlanVersion) -> str:
    """Return the beginning of a file's name, which tells nothing of the person but the number on the shirt."""
    number = version.plan.athlete.number
    who = "" if number is None else f"-number-{number}"
    return f"session{who}-{version.plan.number}-version-{version.number}"


def pdf_response(pdf: bytes, *, name: str) -> HttpResponse:
    """Answer with a PDF that the browser shows."""
    response = HttpResponse(pdf, content_type="application/pdf")
    response["Content-Disposition"] = f'inline; filename="{name}"'
    return response


def _uid(version: PlanVersion) -> str:
    own = hashlib.sha256(f"{settings.SECRET_KEY} session {version.plan_id}".encode()).hexdigest()[:24]
    return f"{own}@firstpush"
