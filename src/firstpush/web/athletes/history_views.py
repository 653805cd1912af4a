"""Every state that an athlete's file had, and the way back to one of them."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods, require_POST

from firstpush.core.errors import InputFileError
from firstpush.web import access
from firstpush.web.access import MemberRequest, needs
from firstpush.web.athletes.read_out import changes


@needs("read")
@require_http_methods(["GET"])
def athlete_history(request: MemberRequest, id_: int) -> HttpResponse:
    """Show who changed what, when and why, newest first."""
    record = access.athlete_for(request.user, id_)
    versions = list(record.versions.select_related("made_by"))
    told = [
        (version, changes(before.document, version.document) if before is not None else [])
        for before, version in zip([None, *versions], versions, strict=False)
    ]
    return render(request, "athletes/history.html", {"record": record, "told": told[::-1], "newest": len(versions)})


@needs("write")
@require_POST
def restore_athlete(request: MemberRequest, id_: int) -> HttpResponse:
    """Make the state of an earlier version the newest; nothing of the history goes."""
    record = access.athlete_for(request.user, id_, to="write")
    asked = request.POST.get("number", "")
    version = get_object_or_404(record.versions, number=int(asked) if asked.isdecimal() and len(asked) < 9 else 0)
    try:
        record.save_document(version.document, by=request.user, why=f"back to version {version.number}")
    except InputFileError as error:
        messages.error(request, f"Version {version.number} no longer passes: {error.faults[0]}")
    else:
        messages.success(
            request, f"{record} is as in version {version.number} again, saved as version {record.version}."
        )
    return redirect("athlete_history", id_=record.pk)
