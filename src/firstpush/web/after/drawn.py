"""The drawing of a choice: laid anew from what would be agreed, as the next session will lay it."""

from __future__ import annotations

import json
from dataclasses import replace
from typing import Any

from firstpush.core.figure.palette import look_for
from firstpush.core.session.agreed import agreed_loads, read_agreed
from firstpush.core.session.as_agreed import lay_again
from firstpush.core.session.prepare import case_of_kind, prepare
from firstpush.core.setup.result import ExerciseSetup
from firstpush.sheets.small_figures import small_figure
from firstpush.web.after.proposals import Behind
from firstpush.web.errors import WebError
from firstpush.web.exercises.library import club_library
from firstpush.web.figures import content_key, kept
from firstpush.web.sessions.making import case_of
from firstpush.web.sessions.request import read_request


def choice_figure(about: Behind, choice: dict[str, Any]) -> str:
    """Return the drawing of a choice of `proposals` as SVG, made or kept.

    Raises
    ------
    FirstpushError
        When nothing of it can be drawn.
    """
    athlete = about.version.request["inputs"]["athlete"]
    look = look_for(athlete["name"], sex=athlete.get("sex"))
    return kept(
        choice_key(about, choice), lambda: small_figure(_setup(about, choice), look), of=about.version.plan.athlete
    )


def choice_key(about: Behind, choice: dict[str, Any]) -> str:
    """Return the key that the drawing of a choice is kept under."""
    request = about.version.request
    told = json.dumps([request["inputs"], request.get("kind"), choice["agreed"]], sort_keys=True)
    return content_key("choice", told)


def _setup(about: Behind, choice: dict[str, Any]) -> ExerciseSetup:
    agreed = read_agreed(choice["agreed"][0])
    request = read_request(about.version.request)
    case = replace(case_of_kind(case_of(request), request.kind), agreed=agreed_loads([agreed]))
    exercise = club_library(about.version.plan.athlete.club).get(agreed.exercise)
    if exercise is None:
        raise WebError("the exercise is not there any more. Allowed: exercises of the library. Choose another.")
    exercise = agreed.as_done(exercise)
    prepared = prepare(case, [exercise], keep=(exercise.id,))
    found = {side: setup for (_, side), setup in prepared.setups.items()}
    if not found:
        raise WebError(f"{exercise.title} cannot be drawn: {prepared.left_out[0].reason}.")
    return next(iter(lay_again(agreed, case, exercise, found).setups.values()))
