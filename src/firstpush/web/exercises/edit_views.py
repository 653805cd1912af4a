"""Changing an own exercise in a form, with the drawing that follows the fields."""

from __future__ import annotations

import tomllib
from typing import Any

import tomli_w
from django.core import signing
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods, require_POST

from firstpush.core.errors import FirstpushError, InputFileError
from firstpush.core.exercises.definition import Exercise
from firstpush.core.exercises.loader import exercise_from
from firstpush.core.toml_file import as_toml_file
from firstpush.web import access
from firstpush.web.access import MemberRequest, needs
from firstpush.web.drawn import in_both_schemes
from firstpush.web.errors import ChangedMeanwhileError
from firstpush.web.exercises.checking import findings
from firstpush.web.exercises.drawing import draft
from firstpush.web.exercises.edit_form import Faults, faults_beside, labels_of, shown_sections
from firstpush.web.exercises.editing import reformed, typed, with_rows, without_none
from firstpush.web.exercises.fields import sections
from firstpush.web.exercises.form_parts import Document
from firstpush.web.exercises.library import club_library, read_exercise
from firstpush.web.exercises.models import OwnExercise
from firstpush.web.exercises.own import save_checked
from firstpush.web.exercises.own_views import after_saving
from firstpush.web.forms import name_of, sentence_of

SALT = "an own exercise while it is changed"


@needs("write")
@require_http_methods(["GET", "HEAD", "POST"])
def change_exercise(request: MemberRequest, slug: str) -> HttpResponse:
    """Show the form of an own exercise, and keep what was changed once it can be read."""
    own = access.own_exercise_for(request.user, slug, to="write")
    try:
        stored = _document(own)
    except FirstpushError:
        # What cannot be read has no form; as a text it can be corrected.
        return redirect("exercise_text", slug=own.slug)
    if request.method != "POST":
        return _page(request, own, stored)
    asked, document = request.POST.get("do", "show"), _typed(request, own, stored)
    if asked == "save":
        return _save(request, own, document)
    if asked.startswith(("add:", "remove:")):
        document = with_rows(document, asked)
    return _page(request, own, document, check=asked == "check")


@needs("write")
@require_POST
def preview_exercise(request: MemberRequest, slug: str) -> HttpResponse:
    """Answer with the drawing of what stands in the form, not saved; with one sentence where there is none."""
    own = access.own_exercise_for(request.user, slug, to="write")
    try:
        document = _typed(request, own, _document(own))
    except InputFileError as error:
        return HttpResponse(str(error), status=422, content_type="text/plain; charset=utf-8")
    try:
        svg = draft(_exercise(own, document))
    except InputFileError as error:
        fault, labels = error.faults[0], labels_of(sections(document))
        told = f"{name_of(fault.key, labels=labels)}: {sentence_of(fault, labels=labels)}"
        return HttpResponse(told, status=422, content_type="text/plain; charset=utf-8")
    except FirstpushError as error:
        return HttpResponse(str(error), status=422, content_type="text/plain; charset=utf-8")
    svg = in_both_schemes(svg, alone=False)
    return HttpResponse(svg, content_type="image/svg+xml", headers={"Cache-Control": "no-store"})


def _document(own: OwnExercise) -> Document:
    """Return the stored file as a document; raises `InputFileError` where it cannot be read."""
    read_exercise(own.text, id_=own.slug)
    return tomllib.loads(own.text)


def _typed(request: MemberRequest, own: OwnExercise, stored: Document) -> Document:
    """Return what stands in the form: what it was made from, signed within it, with what was typed over it."""
    try:
        begun: Document = signing.loads(request.POST.get("document", ""), salt=SALT)
    except signing.BadSignature:
        begun = stored
    form = sections(begun)
    return reformed(typed(begun, form, request.POST), form, request.POST)


def _exercise(own: OwnExercise, document: Document) -> Exercise:
    return exercise_from(as_toml_file(without_none(document), where=own.title), id_=own.slug)


def _save(request: MemberRequest, own: OwnExercise, document: Document) -> HttpResponse:
    based_on = request.POST.get("based_on", "")
    try:
        _exercise(own, document)
        found = save_checked(
            own,
            tomli_w.dumps(without_none(document)),
            by=request.user,
            why=request.POST.get("why", "")[:200],
            based_on=int(based_on) if based_on.isdecimal() and len(based_on) < 9 else None,
        )
    except InputFileError:
        return _page(request, own, document)
    except ChangedMeanwhileError as error:
        return _page(request, own, document, refused=str(error))
    return after_saving(request, own, found)


def _page(
    request: MemberRequest, own: OwnExercise, document: Document, *, check: bool = False, refused: str = ""
) -> HttpResponse:
    """Show the form with `document` in it, its drawing, its faults, and when asked for what the checks find."""
    known = club_library(request.membership.club)
    form = sections(document, exercise_ids=tuple(each for each in known if each != own.slug))
    faults: Faults = {}
    context: dict[str, Any] = {"figure": "", "told": ""}
    try:
        exercise = _exercise(own, document)
        context["figure"] = in_both_schemes(draft(exercise), alone=False)
        if check:
            context["findings"] = findings(exercise, known_ids=known)
            context["was_checked"] = True
    except InputFileError as error:
        faults = faults_beside(error.faults, form)
    except FirstpushError as error:
        context["told"] = str(error)
    context |= {
        "own": own,
        "sections": shown_sections(form, document, faults),
        "faults": faults,
        "above": [*([refused] if refused else []), *faults.get("", [])],
        "document": signing.dumps(document, salt=SALT, compress=True),
        "based_on": request.POST.get("based_on") or own.version,
        "why": request.POST.get("why", ""),
    }
    wrong = bool(faults or refused) and request.method == "POST"
    return render(request, "exercises/change.html", context, status=422 if wrong else 200)
