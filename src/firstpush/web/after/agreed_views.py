"""What is agreed about an athlete's exercises with everything that was said, and the numbers of the rule."""

from __future__ import annotations

from dataclasses import asdict, dataclass

from django.contrib import messages
from django.http import Http404, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from firstpush.core.exercises.definition import Exercise
from firstpush.core.measured import Measured
from firstpush.core.people.athlete import Side
from firstpush.core.progress import rules as usual
from firstpush.core.session.agreed import Agreed, read_agreed
from firstpush.sheets.words import dose_large
from firstpush.web import access
from firstpush.web.access import MemberRequest, needs
from firstpush.web.after.forms import RulesForm, initial_of
from firstpush.web.after.holds import rules_of, words_that_hold
from firstpush.web.after.models import Word
from firstpush.web.after.said import take_back
from firstpush.web.after.shown import loads_in_words
from firstpush.web.exercises.library import club_library

RULE_NUMBERS: tuple[Measured, ...] = (
    usual.PROGRESS_BELOW,
    usual.CONTROL_PROGRESS_BELOW,
    usual.KEEP_FROM,
    usual.KEEP_UP_TO,
    usual.CONCORDANT,
    usual.DAYS_BETWEEN_STEPS,
    usual.WEEKLY_RISE,
    usual.MOST_STEPS_A_WEEK,
    usual.LONGEST_GAP,
    usual.PAIN_HOLDS,
)
WORDS_SHOWN = 200


@dataclass(frozen=True, kw_only=True)
class HoldRow:
    """What is agreed about one exercise, as it is shown."""

    exercise: str
    title: str
    word: Word
    left_out: str
    how: str
    change: str


@needs("read")
@require_safe
def agreed(request: MemberRequest, id_: int) -> HttpResponse:
    """Show what holds, and everything that was said before."""
    record = access.athlete_for(request.user, id_)
    library = club_library(record.club)
    rows = []
    for exercise, word in words_that_hold(record).items():
        found = next((each for each in word.agreed if each["exercise"] == exercise), None)
        if found is not None and exercise in library:
            rows.append(_row(read_agreed(found), library[exercise], word))
    said = record.words.select_related("made_by").order_by("-id")[:WORDS_SHOWN]
    return render(request, "after/agreed.html", {"record": record, "rows": rows, "said": said})


@needs("write")
@require_POST
def take_agreed_back(request: MemberRequest, id_: int, slug: str) -> HttpResponse:
    """Take back what is agreed about one exercise."""
    record = access.athlete_for(request.user, id_, to="write")
    exercise = club_library(record.club).get(slug)
    if exercise is None or slug not in words_that_hold(record):
        raise Http404
    take_back(record, exercise, by=request.user, reason=request.POST.get("reason", "")[:300])
    messages.success(request, f"{exercise.title} is set up anew the next time, as if nothing were known.")
    return redirect("agreed", id_=record.pk)


@needs("read")
@require_http_methods(["GET", "HEAD", "POST"])
def rules(request: MemberRequest, id_: int) -> HttpResponse:
    """Show the numbers of the rule with their sources, and keep others for this athlete."""
    record = access.athlete_for(request.user, id_, to="write" if request.method == "POST" else "read")
    now = rules_of(record)
    form = RulesForm(request.POST if request.method == "POST" else None, initial=initial_of(now))
    if request.method == "POST" and form.is_valid():
        record.rule_numbers.create(
            numbers=asdict(form.rules()),
            why=form.cleaned_data["why"],
            made_by=request.user,
            made_at=timezone.now(),
        )
        messages.success(request, f"These numbers hold for {record.name} from now on.")
        return redirect("rules", id_=record.pk)
    context = {
        "record": record,
        "form": form,
        "numbers": RULE_NUMBERS,
        "rules": now,
        "earlier": record.rule_numbers.select_related("made_by").order_by("-id"),
    }
    return render(request, "after/rules.html", context, status=422 if form.errors else 200)


def _row(agreed: Agreed, exercise: Exercise, word: Word) -> HoldRow:
    return HoldRow(
        exercise=agreed.exercise,
        title=exercise.title,
        word=word,
        left_out=agreed.left_out,
        how="" if agreed.left_out else _how(agreed, exercise),
        change=agreed.change,
    )


def _how(agreed: Agreed, exercise: Exercise) -> str:
    """Return how it is done, in one line: dose, load, band."""
    parts = []
    if agreed.dose is not None:
        parts.append(dose_large(agreed.dose, exercise))
    loads: dict[Side | None, float] = {s: each.load for s, each in agreed.sides.items() if each.load is not None}
    if loads:
        parts.append(loads_in_words(loads, between=", "))
    laid = next((each.laid for each in agreed.sides.values() if each.laid is not None), None)
    if laid is not None:
        mark = f"mark at {laid.slack_length:.2f} m"
        place = "" if laid.post is None else f", {laid.distance:.2f} m from {laid.post}"
        parts.append(f"{laid.band}, {mark}{place}")
    return "; ".join(parts)
