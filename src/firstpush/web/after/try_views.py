"""Trying an exercise out: the lightest safe set-up, how hard was it, the next one; kept as the first known load."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Any

from django.contrib import messages
from django.http import Http404, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_safe

from firstpush.core.errors import FirstpushError, OutOfRangeError
from firstpush.core.exercises.definition import Exercise
from firstpush.core.figure.palette import look_for
from firstpush.core.people.athlete import SIDES, Side
from firstpush.core.people.health import hurts_too_much
from firstpush.core.progress.entries import FEELS
from firstpush.core.progress.try_out import MOST_ROUNDS
from firstpush.core.progress.try_out_again import TRY_OUT_SESSIONS, why_it_is_over
from firstpush.core.progress.trying import Heard, Round, TriedOut, try_out
from firstpush.core.session.agreed import Agreed
from firstpush.core.session.prepare import case_of_kind
from firstpush.core.setup.by_hand import LaidByHand
from firstpush.core.setup.circumstances import Circumstances
from firstpush.core.setup.result import ExerciseSetup
from firstpush.sheets.small_figures import small_figure
from firstpush.sheets.words import facts
from firstpush.web import access
from firstpush.web.access import MemberRequest, needs
from firstpush.web.after.models import Said, Word
from firstpush.web.after.shown import as_labelled, load_in_words
from firstpush.web.after.try_out_words import goes_on
from firstpush.web.exercises.library import club_library
from firstpush.web.figures import content_key, kept, svg_response
from firstpush.web.sessions.making import case_of
from firstpush.web.sessions.models import PlanVersion
from firstpush.web.sessions.request import read_request

EFFORTS = tuple(range(6, 21))


@dataclass(frozen=True, kw_only=True)
class _Asked:
    """A try-out that is asked for: of which exercise, in which session, and what was said so far."""

    version: PlanVersion
    exercise: Exercise
    heard: tuple[Heard, ...]
    words: str

    @cached_property
    def case(self) -> Circumstances:
        """Of the kind of session."""
        request = read_request(self.version.request)
        return case_of_kind(case_of(request), request.kind)

    @cached_property
    def goes_on(self) -> tuple[Agreed | None, str]:
        """From which load of an earlier day it goes on, and which session of how many this is, or why it does not."""
        record = self.version.plan.athlete
        found = goes_on(
            record,
            self.exercise.id,
            at=timezone.localtime(),
            share=self.case.load_share,
            sore=[side for side in SIDES if hurts_too_much(self.case.athlete, side)],
        )
        if found is None:
            return None, ""
        first, trying = found
        over = why_it_is_over(trying, on=timezone.localdate())
        if over:
            return None, f"It begins with the lightest again: {over}."
        return first.agreed, (
            f"Session {trying.sessions + 1} of {TRY_OUT_SESSIONS.value:g}: it begins with the load of last time, since "
            f"effort {trying.last.effort} was still light, and rises by no more than a half."
        )

    @cached_property
    def found(self) -> TriedOut:
        """Its rounds."""
        return try_out(
            self.exercise,
            self.case,
            self.heard,
            on=timezone.localdate(),
            goes_on_from=self.goes_on[0],
            in_session=laid_in(self.version.document, self.exercise.id),
        )


@needs("write")
@require_http_methods(["GET", "HEAD", "POST"])
def try_exercise_out(request: MemberRequest, id_: int, slug: str) -> HttpResponse:
    """Show the round that comes next, and keep the load when it is over."""
    said = request.POST if request.method == "POST" else request.GET
    before = said.get("heard", "")
    more = said.get("said", "")
    try:
        asked = _asked(request, id_, slug, ".".join(each for each in (before, more) if each))
        found = asked.found
    except OutOfRangeError as error:
        return render(request, "after/try_out.html", _wrong(request, id_, slug, error), status=422)
    if request.method == "POST" and said.get("keep") and found.agreed is not None:
        _keep(request, asked, found)
        messages.success(request, f"{asked.exercise.title}: the load is known now. Make the session again with it.")
        return redirect("plan", id_=id_)
    return render(request, "after/try_out.html", _context(asked, found))


@needs("write")
@require_safe
def try_out_figure(request: MemberRequest, id_: int, slug: str) -> HttpResponse:
    """Answer with the drawing of the round that comes next."""
    try:
        asked = _asked(request, id_, slug, request.GET.get("heard", ""))
        setup = _first(asked.found.rounds[-1])
    except FirstpushError as error:
        raise Http404 from error
    inputs = asked.version.request["inputs"]
    athlete = inputs["athlete"]
    start = asked.goes_on[0]
    begun = "" if start is None else json.dumps(start.document(), sort_keys=True)
    key = content_key(
        "try-out",
        json.dumps(inputs, sort_keys=True),
        slug,
        asked.words,
        begun,
        repr(laid_in(asked.version.document, slug)),
    )
    look = look_for(athlete["name"], sex=athlete.get("sex"))
    svg = kept(key, lambda: small_figure(setup, look), of=asked.version.plan.athlete)
    return svg_response(request, svg, key=key, lasting=False)


def _asked(request: MemberRequest, id_: int, slug: str, words: str) -> _Asked:
    plan = access.plan_for(request.user, id_, to="write")
    version = plan.versions.select_related("plan__athlete__club").order_by("-number").first()
    exercise = club_library(plan.athlete.club).get(slug)
    if version is None or exercise is None or not version.request.get("inputs"):
        raise Http404
    return _Asked(version=version, exercise=exercise, heard=_heard(words), words=words)


def _heard(words: str) -> tuple[Heard, ...]:
    """Return what was said, from "9.12" or "easy.pain"; pain ends it whatever the effort was."""
    given = [word for word in words.split(".") if word]
    allowed = {*map(str, EFFORTS), *FEELS, "pain"}
    wrong = next((word for word in given if word not in allowed), None)
    if wrong is not None or len(given) > MOST_ROUNDS:
        raise OutOfRangeError(
            f"“{words}” is no answer of a try-out; allowed are 6 to 20, {', '.join(FEELS)} or pain, "
            f"{MOST_ROUNDS} times at most. Begin it again."
        )
    return tuple(
        Heard(effort=6, pain=True) if word == "pain" else Heard(effort=int(word) if word.isdigit() else word)  # type: ignore[arg-type]
        for word in given
    )


def _context(asked: _Asked, found: TriedOut) -> dict[str, Any]:
    return {
        "plan": asked.version.plan,
        "exercise": asked.exercise,
        "rounds": [_row(each, word) for each, word in zip(found.rounds, [*asked.words.split("."), ""], strict=False)],
        "now": None if found.over else _row(found.rounds[-1], ""),
        "over": found.over,
        "kept": found.agreed,
        "heard": asked.words,
        "efforts": EFFORTS,
        "feels": FEELS,
        "most": MOST_ROUNDS,
        "goes_on": asked.goes_on[1],
    }


def _wrong(request: MemberRequest, id_: int, slug: str, error: OutOfRangeError) -> dict[str, Any]:
    plan = access.plan_for(request.user, id_, to="write")
    exercise = club_library(plan.athlete.club).get(slug)
    if exercise is None:
        raise Http404
    return {"plan": plan, "exercise": exercise, "wrong": str(error)}


def _row(each: Round, word: str) -> dict[str, Any]:
    return {
        "number": each.number,
        "facts": facts(as_labelled(each.setups)),
        "load": load_in_words(each.load),
        "said": "" if not word else f"effort {word}" if word.isdigit() else word,
        "because": each.because,
    }


def laid_in(document: Mapping[str, Any], exercise: str) -> dict[Side, LaidByHand]:
    """Return how a session lays the band of an exercise, by side; nothing where it is not in it."""
    setups = [
        setup for item in document.get("items", ()) if item["exercise"] == exercise for setup in item.get("setups", ())
    ]
    return {
        setup["side"]: LaidByHand(
            band=band["name"],
            strands=band["strands"],
            slack_length=band["slack_length_m"],
            post=band["post"],
            height=band["anchor_height_m"],
            distance=band["distance_m"],
        )
        for setup in setups
        if (band := setup.get("band")) is not None
    }


def _first(each: Round) -> ExerciseSetup:
    return next(iter(each.setups.values()))


def _keep(request: MemberRequest, asked: _Asked, found: TriedOut) -> None:
    assert found.agreed is not None, "asked before"
    Word.objects.create(
        athlete=asked.version.plan.athlete,
        version=asked.version,
        exercise=asked.exercise.id,
        title=asked.exercise.title,
        on=timezone.localdate(),
        said=Said.TRIED_OUT,
        because=found.rounds[-1].because,
        agreed=[found.agreed.document()],
        made_by=request.user,
        made_at=timezone.now(),
    )
