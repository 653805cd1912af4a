"""The list of exercises: by drawing, with what can be done here and why the rest cannot."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import groupby
from typing import Any

from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_safe

from firstpush.core.exercises.definition import Exercise
from firstpush.core.exercises.loader import library
from firstpush.web import access
from firstpush.web.access import MemberRequest, needs
from firstpush.web.exercises.chosen import ForWhom
from firstpush.web.exercises.forms import ChooseForm, chosen_whom, filtered
from firstpush.web.exercises.library import club_library
from firstpush.web.exercises.page import exercise_page
from firstpush.web.exercises.possible import Verdict, verdicts
from firstpush.web.figures import address_of


@dataclass(frozen=True, kw_only=True)
class Plate:
    """One exercise of the list."""

    exercise: Exercise
    address: str
    figure: str
    verdict: Verdict | None
    own: bool


@needs("read")
@require_safe
def exercises(request: MemberRequest) -> HttpResponse:
    """List the exercises that are asked for, by the part of the session they belong to."""
    known = club_library(request.membership.club)
    whom = chosen_whom(request.user, request.GET)
    judged = verdicts(known, whom) if whom.athlete is not None else {}
    found = [_plate(each, whom, judged.get(each.id)) for each in filtered(known.values(), request.GET)]
    shown = [each for each in found if request.GET.get("show") != "possible" or _can_be_done(each)]
    context: dict[str, Any] = {
        "form": ChooseForm(request.user, whom, **{name: request.GET.get(name, "") for name in ("part", "aim", "show")}),
        "whom": whom,
        "parts": [(part, list(group)) for part, group in groupby(shown, key=lambda each: each.exercise.part)],
        "shown": len(shown),
        "found": len(found),
        "can_be_done": sum(map(_can_be_done, found)),
        "drafts": access.own_exercises_for(request.user).exclude(accepted=True, withdrawn_at=None),
    }
    return render(request, "exercises/list.html", context)


def _plate(exercise: Exercise, whom: ForWhom, verdict: Verdict | None) -> Plate:
    # What cannot be set up is seen on the reference body, whose drawing serves everybody.
    drawn_for = ForWhom() if verdict is None or verdict.state == "not here" else whom
    own = exercise.id not in library()
    return Plate(
        exercise=exercise,
        address=f"{reverse('own_exercise' if own else 'exercise', kwargs={'slug': exercise.id})}{whom.query}",
        figure=address_of(exercise, drawn_for, kind="card"),
        verdict=verdict,
        own=own,
    )


def _can_be_done(plate: Plate) -> bool:
    return plate.verdict is None or plate.verdict.state == "possible"


@needs("read")
@require_safe
def exercise(request: MemberRequest, slug: str) -> HttpResponse:
    """Show one exercise of the library; one of the club's own has a page of its own."""
    found = library().get(slug)
    if found is None:
        own = access.own_exercise_for(request.user, slug)
        return redirect(f"{reverse('own_exercise', kwargs={'slug': own.slug})}?{request.GET.urlencode()}")
    return render(request, "exercises/one.html", exercise_page(request.user, found, request.GET))
