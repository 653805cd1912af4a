"""The address of drawings."""

from __future__ import annotations

from typing import Literal

from django.http import Http404, HttpResponse, QueryDict
from django.views.decorators.http import require_safe

from firstpush.core.errors import FirstpushError
from firstpush.core.people.athlete import SIDES, Side
from firstpush.web import access
from firstpush.web.access import MemberRequest, User, needs
from firstpush.web.exercises.chosen import ForWhom
from firstpush.web.exercises.drawing import figure
from firstpush.web.exercises.library import exercise_for
from firstpush.web.figures import KINDS, figure_key, svg_response


@needs("read")
@require_safe
def figure_view(request: MemberRequest, slug: str, kind: str) -> HttpResponse:
    """Answer with a drawing; one whose address names its content may be kept for good."""
    drawn = next((each for each in KINDS if each == kind), None)
    if drawn is None:
        raise Http404
    exercise, whom, side = exercise_for(request.user, slug), whom_of(request.user, request.GET), side_of(request.GET)
    key = figure_key(exercise, whom, kind=drawn, side=side)
    try:
        svg = figure(exercise, whom, kind=drawn, side=side)
    except FirstpushError as error:
        raise Http404 from error
    return svg_response(request, svg, key=key, lasting=request.GET.get("v") == key[:16])


def whom_of(user: User, asked: QueryDict) -> ForWhom:
    """Return whose exercises an address asks for; what is not of the club is not there."""
    ids: dict[Literal["athlete", "kit", "venue"], int | None] = {
        name: _id(asked.get(name, "")) for name in ("athlete", "kit", "venue")
    }
    return ForWhom(
        athlete=None if ids["athlete"] is None else access.athlete_for(user, ids["athlete"]),
        kit=None if ids["kit"] is None else access.kit_for(user, ids["kit"]),
        venue=None if ids["venue"] is None else access.venue_for(user, ids["venue"]),
    )


def side_of(asked: QueryDict) -> Side | None:
    """Return the side an address asks for; None for the one that begins."""
    return next((side for side in SIDES if side == asked.get("side")), None)


def _id(given: str) -> int | None:
    if not given:
        return None
    if not given.isascii() or not given.isdigit() or len(given) > 18:
        raise Http404
    return int(given)
