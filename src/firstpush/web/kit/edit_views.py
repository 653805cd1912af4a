"""Cupboards, bands and venues, to change."""

from __future__ import annotations

import copy
from typing import Any

from django.contrib import messages
from django.http import Http404, HttpResponse, QueryDict
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods, require_POST

from firstpush.web import access
from firstpush.web.access import MemberRequest, needs
from firstpush.web.errors import ChangedMeanwhileError
from firstpush.web.first_steps import back_of
from firstpush.web.kit.band_form import BandEntry
from firstpush.web.kit.entry import Entry
from firstpush.web.kit.kit_form import NewKitEntry, ThingsEntry
from firstpush.web.kit.models import KitRecord
from firstpush.web.kit.stored import Record, new_record
from firstpush.web.kit.venue_form import VenueEntry
from firstpush.web.kit.wear import follow_names


def _typed(request: MemberRequest) -> QueryDict | None:
    return request.POST if request.method == "POST" else None


def _saved(request: MemberRequest, record: Record, entry: Any) -> bool:
    """Save what was typed when it is sound; else its faults stand beside the fields."""
    if request.method != "POST":
        return False
    if not entry.is_valid():
        entry.judge(record, entry.document())
        return False
    given = entry.form.cleaned_data
    before = record.document if record.pk else {}
    saved: bool = entry.save(
        record,
        entry.document(),
        by=request.user,
        based_on=given.get("based_on") if record.pk else None,
        why=given.get("why", ""),
    )
    if saved and isinstance(record, KitRecord):
        follow_names(record, before=before, after=record.document)
    return saved


def _page(request: MemberRequest, template: str, entry: Entry, **more: Any) -> HttpResponse:
    status = 422 if request.method == "POST" and entry.has_faults else 200
    return render(request, template, {"entry": entry, **more}, status=status)


@needs("write")
@require_http_methods(["GET", "POST"])
def new_kit(request: MemberRequest) -> HttpResponse:
    """Begin a cupboard with its name and first bands."""
    entry = NewKitEntry(_typed(request))
    record = new_record("kit", request.membership.club)
    back = back_of(request)
    if _saved(request, record, entry):
        if back is not None:
            messages.success(request, f"{record.name} is saved.")
        return redirect(back or "kit", *(() if back else (record.pk,)))
    return _page(request, "kit/new_kit.html", entry, back=back, first=not access.kits_for(request.user).exists())


@needs("write")
@require_http_methods(["GET", "POST"])
def change_kit(request: MemberRequest, id_: int) -> HttpResponse:
    """Change everything in a cupboard that is no band."""
    record = access.kit_for(request.user, id_, to="write")
    entry = ThingsEntry(_typed(request), document=record.document, version=record.version)
    if _saved(request, record, entry):
        return redirect("kit", id_)
    return _page(request, "kit/change_kit.html", entry, record=record)


@needs("write")
@require_http_methods(["GET", "POST"])
def new_band(request: MemberRequest, id_: int) -> HttpResponse:
    """Put another band into a cupboard."""
    record = access.kit_for(request.user, id_, to="write")
    entry = BandEntry(_typed(request), document=record.document, version=record.version)
    if _saved(request, record, entry):
        return redirect("band", id_, len(record.document["bands"]))
    return _page(request, "kit/change_band.html", entry, record=record)


@needs("write")
@require_http_methods(["GET", "POST"])
def change_band(request: MemberRequest, id_: int, number: int) -> HttpResponse:
    """Change a band and its pulls."""
    record = access.kit_for(request.user, id_, to="write")
    band = _band(record, number)
    entry = BandEntry(_typed(request), document=record.document, version=record.version, index=number - 1)
    if _saved(request, record, entry):
        return redirect("band", id_, number)
    return _page(request, "kit/change_band.html", entry, record=record, number=number, name=band["name"])


@needs("write")
@require_POST
def take_out_band(request: MemberRequest, id_: int, number: int) -> HttpResponse:
    """Take a band off the list; the version before it stays, and brings it back."""
    record = access.kit_for(request.user, id_, to="write")
    band = _band(record, number)
    document = copy.deepcopy(record.document)
    del document["bands"][number - 1]
    based_on = request.POST.get("based_on", "")
    try:
        record.save_document(document, by=request.user, based_on=int(based_on) if based_on.isdecimal() else None)
    except ChangedMeanwhileError as error:
        messages.error(request, str(error))
    else:
        messages.success(request, f"{band['name']} is off the list. “Undo” below brings it back.")
    return redirect("kit", id_)


@needs("write")
@require_http_methods(["GET", "POST"])
def new_venue(request: MemberRequest) -> HttpResponse:
    """Describe another venue."""
    entry = VenueEntry(_typed(request))
    record = new_record("venue", request.membership.club)
    back = back_of(request)
    if _saved(request, record, entry):
        if back is not None:
            messages.success(request, f"{record.name} is saved.")
        return redirect(back or "venue", *(() if back else (record.pk,)))
    first = not access.venues_for(request.user).exists()
    return _page(request, "kit/change_venue.html", entry, back=back, first=first)


@needs("write")
@require_http_methods(["GET", "POST"])
def change_venue(request: MemberRequest, id_: int) -> HttpResponse:
    """Change a venue and its posts."""
    record = access.venue_for(request.user, id_, to="write")
    entry = VenueEntry(_typed(request), document=record.document, version=record.version)
    if _saved(request, record, entry):
        return redirect("venue", id_)
    return _page(request, "kit/change_venue.html", entry, record=record)


def _band(record: KitRecord, number: int) -> dict[str, Any]:
    bands: list[dict[str, Any]] = record.document.get("bands", [])
    if not 1 <= number <= len(bands):
        raise Http404
    return bands[number - 1]
