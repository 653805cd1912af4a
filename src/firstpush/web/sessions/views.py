"""The sessions of the athletes, as they are shown; the training day stands in `day_views`."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from typing import Any

from django.http import HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from firstpush.core.notices import SUPPORT_ADDED
from firstpush.core.people.health import health_notices
from firstpush.core.session.explain import NOTHING_ELSE_FITS
from firstpush.core.words import listed
from firstpush.sheets.content import Version
from firstpush.web import access
from firstpush.web.access import MemberRequest, may, needs
from firstpush.web.exercises.library import club_library
from firstpush.web.sessions.awaited import awaited, known_already, may_wait
from firstpush.web.sessions.course_drawings import course_link
from firstpush.web.sessions.making import changed_inputs
from firstpush.web.sessions.models import Plan, PlanVersion
from firstpush.web.sessions.pages import (
    asked_by_hand,
    rows_of,
    time_line,
    undo_and_redo,
    version_rows,
    what_changed,
    wishes_of,
)
from firstpush.web.sessions.print_views import version_for
from firstpush.web.sessions.request import read_request
from firstpush.web.sessions.sheet_words import words_of


@needs("sheet")
@require_safe
def own_sheets(request: MemberRequest) -> HttpResponse:
    """List the sessions that somebody may see: an athlete the own ones."""
    return render(request, "sessions/sheets.html", {"plans": access.plans_for(request.user)})


@needs("sheet")
@require_safe
def plan(request: MemberRequest, id_: int) -> HttpResponse:
    """Show the newest version of a session."""
    found = access.plan_for(request.user, id_)
    newest = found.versions.select_related("plan__athlete", "made_by").order_by("-number").first()
    return _sheet_page(request, found, newest, is_newest=True)


@needs("sheet")
@require_safe
def plan_version(request: MemberRequest, id_: int, number: int) -> HttpResponse:
    """Show a version of a session as it was."""
    version = version_for(request, id_, number)
    is_newest = not version.plan.versions.filter(number__gt=number).exists()
    return _sheet_page(request, version.plan, version, is_newest=is_newest)


@needs("read")
@require_safe
def plan_versions(request: MemberRequest, id_: int) -> HttpResponse:
    """List every version of a session: who made it, when, why, and what changed."""
    found = access.plan_for(request.user, id_)
    context = {"plan": found, "rows": version_rows(found), **undo_and_redo(found)}
    return render(request, "sessions/versions.html", context)


@needs("write")
@require_safe
def what_waits(request: MemberRequest, id_: int) -> HttpResponse:
    """Work out which answer most exercises wait for; as a part of the session's page, or as a page without script."""
    found = access.plan_for(request.user, id_, to="write")
    newest = found.newest
    waits = newest is not None and "sheets" in newest.document and may_wait(request.user, newest)
    context = {"plan": found, "awaited": awaited(request.user, newest) if newest is not None and waits else None}
    part = request.headers.get("HX-Request") == "true"
    return render(request, "sessions/parts/awaited.html" if part else "sessions/awaited.html", context)


def _sheet_page(request: MemberRequest, plan: Plan, version: PlanVersion | None, *, is_newest: bool) -> HttpResponse:
    reads = may(request.membership).read
    which: Version = "practitioner" if reads else "athlete"
    words = None if version is None else words_of(version.document, which)
    context: dict[str, object] = {"plan": plan, "version": version, "words": words}
    context |= {"is_newest": is_newest, "reads": reads}
    if version is not None and words is not None:
        # Who only does the session has no other page that tells it in full.
        elsewhere = _told_elsewhere(plan) if may(request.membership).write else None
        context |= {
            "rows": [
                (
                    item,
                    row
                    | _reason(item, row)
                    | {"course_link": course_link(version, item) if reads else ""}
                    | {"cautions": _in_short(row["notices"], elsewhere)},
                )
                for item, row in rows_of(version.document, which)
            ],
            "above": _in_short(words["notices"], elsewhere),
            "notes": [notice for notice in words["notices"] if notice["level"] == "note"],
            "time_line": time_line(words, version.document["total_s"]),
        }
        if reads:
            context |= _about(request, plan, version)
        if is_newest and may(request.membership).write and may_wait(request.user, version):
            known, found = known_already(request.user, version)
            context |= {"awaited": found, "may_wait": not known}
    return render(request, "sessions/plan.html", context)


def _reason(item: Mapping[str, Any], row: Mapping[str, Any]) -> dict[str, str]:
    """Return why an exercise is there, apart from it what came next, and what is folded beside it, in `more`."""
    reason, _, next_best = str(item.get("reason", "")).partition("; next best: ")
    if reason.endswith(f"; {NOTHING_ELSE_FITS}"):
        reason, next_best = reason.removesuffix(f"; {NOTHING_ELSE_FITS}"), NOTHING_ELSE_FITS
    has_note = any(notice["level"] == "note" for notice in row["notices"])
    folded = {"next best": next_best, "load": row["numbers"], "notes": has_note}
    return {"reason": reason, "next_best": next_best, "more": listed([name for name, there in folded.items() if there])}


def _told_elsewhere(plan: Plan) -> frozenset[str]:
    """Return what the athlete's page tells before any exercise."""
    return frozenset(each.what for each in health_notices(plan.athlete.athlete()))


def _in_short(notices: Sequence[dict[str, Any]], elsewhere: Collection[str] | None) -> list[dict[str, Any]]:
    """Return cautions and stops; what is told in full elsewhere has `in_short` what of it stays in sight.

    That is what the athlete's page tells before any exercise, and why a strap is put on, which stands among the facts.
    """
    found = []
    for notice in notices:
        if elsewhere is not None and notice["level"] == "caution":
            if notice["what"] in elsewhere:
                notice = notice | {"in_short": notice["what"].partition(" (")[0]}
            elif notice["id"] == SUPPORT_ADDED:
                notice = notice | {"in_short": notice["what"].partition(", because ")[0]}
        if notice["level"] != "note":
            found.append(notice)
    return found


INPUT_WORDS = {
    "kit": "the kit",
    "venue": "the venue",
    "agreed": "what is agreed about exercises",
    "speed": "the measured speed",
}


def _changed(request: MemberRequest, version: PlanVersion) -> list[str]:
    """Return what changed since a version was made; what was agreed after it was done is for the next session."""
    found = changed_inputs(request.user, version)
    done = version.court_entries.filter(kind="ended").exists()
    return [each for each in found if not (done and each in ("agreed", "speed"))]


def _about(request: MemberRequest, plan: Plan, version: PlanVersion) -> dict[str, object]:
    """Return what the practitioner is told beside the sheet."""
    return {
        "asked": asked_by_hand(read_request(version.request), club_library(plan.athlete.club)),
        "wishes": wishes_of(version.document),
        "left_out": list(
            zip(version.document["left_out"], version.document["sheets"]["practitioner"]["left_out"], strict=True)
        ),
        "changes": what_changed(version),
        "inputs_changed": [INPUT_WORDS.get(each, plan.athlete.name) for each in _changed(request, version)],
        "how_many": plan.versions.count(),
        **undo_and_redo(plan),
    }
