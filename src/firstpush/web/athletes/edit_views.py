"""Changing what is known of an athlete, a group at a time."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods

from firstpush.web import access
from firstpush.web.access import MemberRequest, needs
from firstpush.web.athletes.edit_forms import BodyEntry, ChairsEntry, HealthEntry, StrengthEntry
from firstpush.web.athletes.function_form import FunctionEntry
from firstpush.web.athletes.models import AthleteRecord
from firstpush.web.athletes.table_form import Entry

MORE = "more"
"""Name of the button that asks for another empty row; nothing is saved."""


def _edited(request: MemberRequest, id_: int, of: type[Any], template: str, title: str, part: str) -> HttpResponse:
    """Show a group of an athlete, or save it and go back to the part of the page that it stands in."""
    record = access.athlete_for(request.user, id_, to="write")
    entry: Entry = of(record, request.POST if request.method == "POST" else None)
    only_more = MORE in request.POST
    if request.method == "POST" and not only_more:
        if not entry.is_valid():
            entry.look_further()
        elif _saved(request, record, entry):
            return redirect(f"{reverse('athlete', kwargs={'id_': record.pk})}#{part}")
    # What somebody else saved meanwhile is not in the page: the record is shown under the name it has.
    record.refresh_from_db()
    status = 422 if not only_more and entry.has_faults else 200
    return render(request, template, {"record": record, "entry": entry, "title": title}, status=status)


def _saved(request: MemberRequest, record: AthleteRecord, entry: Entry) -> bool:
    document = entry.document()
    if document != record.document:
        if not entry.save(document, by=request.user):
            return False
        entry.save_beside()
        messages.success(request, f"Saved as version {record.version}.")
    elif entry.save_beside():
        messages.success(request, "Saved.")
    else:
        messages.info(request, "Nothing was different, so nothing was saved.")
    return True


@needs("write")
@require_http_methods(["GET", "POST"])
def edit_body(request: MemberRequest, id_: int) -> HttpResponse:
    """Change name, number, masses and lengths."""
    return _edited(request, id_, BodyEntry, "athletes/edit_body.html", "Body", "body")


@needs("write")
@require_http_methods(["GET", "POST"])
def edit_function(request: MemberRequest, id_: int) -> HttpResponse:
    """Change function by taps on drawings."""
    return _edited(request, id_, FunctionEntry, "athletes/edit_function.html", "Function", "function")


@needs("write")
@require_http_methods(["GET", "POST"])
def edit_health(request: MemberRequest, id_: int) -> HttpResponse:
    """Change injury, conditions, latex and pain."""
    return _edited(request, id_, HealthEntry, "athletes/edit_health.html", "Health", "health")


@needs("write")
@require_http_methods(["GET", "POST"])
def edit_strength(request: MemberRequest, id_: int) -> HttpResponse:
    """Change strength tests."""
    return _edited(request, id_, StrengthEntry, "athletes/edit_rows.html", "Strength", "strength")


@needs("write")
@require_http_methods(["GET", "POST"])
def edit_chairs(request: MemberRequest, id_: int) -> HttpResponse:
    """Change the chairs, and which is used."""
    return _edited(request, id_, ChairsEntry, "athletes/edit_chairs.html", "Chairs", "chairs")
