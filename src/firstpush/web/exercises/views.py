"""The exercises of the library and the club's own."""

from __future__ import annotations

from itertools import groupby

from django.http import Http404, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from firstpush.core.exercises.definition import PARTS
from firstpush.core.exercises.loader import library
from firstpush.web import access
from firstpush.web.access import MemberRequest, needs


@needs("read")
@require_safe
def exercises(request: MemberRequest) -> HttpResponse:
    """List all exercises by the part of the session they belong to."""
    in_order = sorted(library().values(), key=lambda each: (PARTS.index(each.part), each.title))
    parts = [(part, list(group)) for part, group in groupby(in_order, key=lambda each: each.part)]
    context = {"parts": parts, "own": access.own_exercises_for(request.user)}
    return render(request, "exercises/list.html", context)


@needs("read")
@require_safe
def exercise(request: MemberRequest, slug: str) -> HttpResponse:
    """Show one exercise of the library."""
    found = library().get(slug)
    if found is None:
        raise Http404
    return render(request, "exercises/one.html", {"exercise": found})


@needs("read")
@require_safe
def own_exercise(request: MemberRequest, slug: str) -> HttpResponse:
    """Show one exercise that the club wrote itself."""
    return render(request, "exercises/own.html", {"exercise": access.own_exercise_for(request.user, slug)})
