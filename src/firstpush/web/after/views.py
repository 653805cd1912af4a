"""The page after a session, and what is agreed about an athlete's exercises."""

from __future__ import annotations

from typing import Any
from uuid import UUID

from django.contrib import messages
from django.http import Http404, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods, require_safe

from firstpush.core.errors import FirstpushError
from firstpush.web import access
from firstpush.web.access import MemberRequest, may, needs
from firstpush.web.after.drawn import choice_figure, choice_key
from firstpush.web.after.forms import WordsForm
from firstpush.web.after.proposals import Behind, NoRunError, behind, known_proposals, proposals, proposals_key
from firstpush.web.after.rows import counted, rows_of
from firstpush.web.after.said import chosen_before, keep_words, last_words
from firstpush.web.figures import svg_response
from firstpush.web.oncourt.logged import Run, runs_of_athlete


@needs("read")
@require_http_methods(["GET", "HEAD", "POST"])
def after_session(request: MemberRequest, id_: int, run: UUID) -> HttpResponse:
    """Show what is proposed after one doing of a session, and keep what the practitioner says to it."""
    about = _behind(request, id_, run, to="write" if request.method == "POST" else "read")
    if request.method == "POST":
        return _say(request, about)
    part = request.headers.get("HX-Request") == "true"
    # What takes seconds is asked for by the page itself, and by whoever has no script.
    if not part and "now" not in request.GET and known_proposals(about) is None:
        return render(request, "after/session.html", _head(request, about) | {"waiting": True})
    context = _context(request, about)
    return render(request, "after/part.html" if part else "after/session.html", context)


@needs("read")
@require_safe
def after_figure(request: MemberRequest, id_: int, run: UUID, slug: str, index: int) -> HttpResponse:
    """Answer with the drawing of one choice."""
    about = _behind(request, id_, run, to="read")
    rows = known_proposals(about)
    row = next((each for each in rows or () if each["exercise"] == slug), None)
    if row is None or not 0 <= index < len(row["choices"]):
        raise Http404
    try:
        choice = row["choices"][index]
        return svg_response(request, choice_figure(about, choice), key=choice_key(about, choice), lasting=False)
    except FirstpushError as error:
        raise Http404 from error


def _behind(request: MemberRequest, id_: int, run: UUID, *, to: access.Need) -> Behind:
    record = access.athlete_for(request.user, id_, to=to)
    try:
        return behind(record, run)
    except NoRunError as error:
        raise Http404 from error


def _say(request: MemberRequest, about: Behind) -> HttpResponse:
    if request.POST.get("seen") != proposals_key(about)[:16]:
        messages.warning(request, "More came in since the page was opened: look at the proposals again.")
        return redirect("after_session", id_=about.version.plan.athlete_id, run=about.run.id)
    context = _context(request, about, data=request.POST)
    form = context.get("form")
    if form is None or not form.is_valid():
        return render(request, "after/session.html", context, status=422)
    kept = keep_words(form, about, by=request.user)
    changed = sum(word.said in ("harder", "easier", "leave out") for word in kept)
    messages.success(
        request,
        f"Agreed: {changed} of {len(form.rows)} exercises change. The next session is made from it."
        if kept
        else "Nothing was said otherwise than before.",
    )
    return redirect("after_session", id_=about.version.plan.athlete_id, run=about.run.id)


def _head(request: MemberRequest, about: Behind) -> dict[str, Any]:
    record = about.version.plan.athlete
    logged = next((each for each in runs_of_athlete(record.pk) if each.id == about.run.id), None)
    return {
        "record": record,
        "about": about,
        "plan": about.version.plan,
        "version": about.version,
        "logged": logged,
        "may_write": may(request.membership).write,
    }


def _context(request: MemberRequest, about: Behind, data: Any = None) -> dict[str, Any]:
    context = _head(request, about)
    try:
        found = proposals(about)
    except FirstpushError as error:
        return context | {"wrong": str(error)}
    words = last_words(about)
    form = WordsForm(data, rows=found, before=chosen_before(found, words))
    said = _logged(context["logged"])
    return context | {
        "form": form,
        "counted": counted(found),
        "rows": rows_of(form, found, logged=said, words=words),
        "seen": proposals_key(about)[:16],
        "not_done": _not_done(about, context["logged"]),
        "decided": bool(words) and all(row["exercise"] in words for row in found),
    }


def _logged(run: Run | None) -> dict[str, list[str]]:
    return {} if run is None else {each.id: each.said for each in run.exercises}


def _not_done(about: Behind, run: Run | None) -> list[tuple[str, str]]:
    """Return the exercises of the session that were not done, with what was said of them."""
    done = {each.exercise for each in about.run.done}
    said = _logged(run)
    items = about.version.document.get("items", [])
    return [
        (item["title"], "; ".join(said.get(item["exercise"], [])) or "nothing was logged")
        for item in items
        if item["exercise"] not in done
    ]
