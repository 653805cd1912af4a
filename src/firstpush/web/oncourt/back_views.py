"""A session as one file for a device that cannot reach the application, and its entries coming back as a file."""

from __future__ import annotations

from typing import Any

from django import forms
from django.core.files.uploadedfile import UploadedFile
from django.http import Http404, HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_safe

from firstpush.core.errors import EntryError
from firstpush.web.access import MemberRequest, needs
from firstpush.web.athletes.models import AthleteRecord
from firstpush.web.oncourt.about_session import court_file_name
from firstpush.web.oncourt.entries import MOST_AT_ONCE, Answer, keep, texts_of_file
from firstpush.web.oncourt.logged import Run, runs_of_entries
from firstpush.web.oncourt.models import CameBy
from firstpush.web.oncourt.one_file import one_file_html
from firstpush.web.oncourt.package import can_be_packed, package_text
from firstpush.web.oncourt.sender import Sender, private, sender_of
from firstpush.web.oncourt.stops import last_stops, with_stop
from firstpush.web.sessions.print_views import version_for

MOST_BYTES = 5_000_000
"""A file of entries is larger than this only when it is none."""


@needs("sheet")
@require_safe
def one_file(request: MemberRequest, id_: int, number: int) -> HttpResponse:
    """Answer with a session as one HTML file that runs without the application."""
    version = version_for(request, id_, number)
    if not can_be_packed(version):
        raise Http404
    stop = last_stops([version.plan.athlete_id], timezone.localdate()).get(version.plan.athlete_id)
    response = HttpResponse(one_file_html(with_stop(package_text(version), stop)))
    response["Content-Disposition"] = f'attachment; filename="{court_file_name(version)}"'
    return private(response)


class ManyFiles(forms.ClearableFileInput):
    """Lets more than one file be chosen."""

    allow_multiple_selected = True


class FilesField(forms.FileField):
    """One or several files of entries, as their texts."""

    widget = ManyFiles(attrs={"accept": ".json,application/json"})

    def clean(self, data: Any, initial: Any = None) -> list[str]:
        """Return the entries of all files; a file that is none is named."""
        files = data if isinstance(data, list | tuple) else [data]
        texts: list[str] = []
        faults: list[str] = []
        for file in files:
            super().clean(file, initial)
            try:
                texts += _texts_in(file)
            except EntryError as error:
                faults.append(f"{file.name}: {error}")
        if faults:
            raise forms.ValidationError(faults)
        return texts


def _texts_in(file: UploadedFile[Any]) -> list[str]:
    if (file.size or 0) > MOST_BYTES:
        raise EntryError(
            f"this file has {file.size} bytes. Allowed: {MOST_BYTES}. Choose the file that the page gave out."
        )
    return texts_of_file(file.read())


class FilesForm(forms.Form):
    """Asks for the files that pages gave out."""

    chosen = FilesField(
        label="Files of entries",
        help_text="One or several, as the page of a session gives them out. The same file may be given again.",
    )


@needs("sheet")
@require_http_methods(["GET", "HEAD", "POST"])
def files_back(request: MemberRequest) -> HttpResponse:
    """Take entries in from files, and show what came of each."""
    if request.method != "POST":
        return render(request, "oncourt/files.html", {"form": FilesForm()})
    form = FilesForm(request.POST, request.FILES)
    if not form.is_valid():
        return render(request, "oncourt/files.html", {"form": form}, status=422)
    answers = _kept(form.cleaned_data["chosen"], sender_of(request.user))
    kept, new = sum(len(each.kept) for each in answers), sum(each.new for each in answers)
    context = {
        "form": FilesForm(),
        "done": True,
        "new": new,
        "known": kept - new,
        "runs": _with_names(runs_of_entries(id_ for each in answers for id_ in each.kept)),
        "aside": [not_kept for each in answers for not_kept in (*each.conflicts, *each.refused)],
    }
    return render(request, "oncourt/files.html", context)


def _with_names(runs: list[Run]) -> list[tuple[str, Run]]:
    names = AthleteRecord.objects.in_bulk({run.athlete_id for run in runs})
    return [(names[run.athlete_id].name, run) for run in runs]


def _kept(texts: list[str], sender: Sender) -> list[Answer]:
    lots = [texts[start : start + MOST_AT_ONCE] for start in range(0, len(texts), MOST_AT_ONCE)]
    return [keep(lot, sender, came_by=CameBy.FILE) for lot in lots]
