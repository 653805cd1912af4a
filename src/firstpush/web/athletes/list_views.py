"""Taking in a list of athletes: shown with what is wrong beside each row, saved only when somebody says so."""

from __future__ import annotations

from typing import Any

from django import forms
from django.contrib import messages
from django.core.exceptions import ValidationError
from django.core.files.uploadedfile import UploadedFile
from django.db import transaction
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods, require_safe

from firstpush.web import access
from firstpush.web.access import MemberRequest, needs
from firstpush.web.athletes.csv_list import COLUMNS, MOST_BYTES, ListRead, decoded, read_list, sample, written
from firstpush.web.athletes.models import AthleteRecord

SAVE = "save"
"""Name of the button that saves the good rows; any other only looks."""


class ListForm(forms.Form):
    """A file, or text."""

    file = forms.FileField(required=False, label="File", help_text="CSV, as a table program writes it")
    text = forms.CharField(
        required=False,
        strip=False,
        label="Or the text",
        widget=forms.Textarea(attrs={"rows": 8, "spellcheck": "false", "autocomplete": "off", "wrap": "off"}),
        help_text="pasted from a table, the names of the columns in the first line",
    )

    def clean_file(self) -> str:
        """Return the text of the file; empty without one."""
        file: UploadedFile[bytes] | None = self.cleaned_data["file"]
        if file is None:
            return ""
        if (file.size or 0) > MOST_BYTES:
            raise ValidationError("The file is larger than 1 MB. Allowed: a list of athletes as CSV. Choose that file.")
        return decoded(file.read())

    def clean(self) -> dict[str, Any]:
        """Take the file before the text."""
        given = super().clean() or self.cleaned_data
        given["list"] = given.get("file") or given.get("text") or ""
        if not given["list"].strip() and not self.errors:
            raise ValidationError("There is no list. Allowed: a file or text. Choose a file or paste the text.")
        return given


@needs("write")
@require_http_methods(["GET", "POST"])
def import_athletes(request: MemberRequest) -> HttpResponse:
    """Look at a list, then save its good rows and keep the others to be corrected."""
    form = ListForm(request.POST or None, request.FILES or None)
    context: dict[str, Any] = {"form": form, "columns": sorted(COLUMNS), "sample": sample()}
    if request.method != "POST":
        return render(request, "athletes/import.html", context)
    if not form.is_valid():
        return render(request, "athletes/import.html", context, status=422)
    found = read_list(form.cleaned_data["list"], taken=_names(request))
    if SAVE in request.POST and found.good:
        _save(request, found)
        if not found.faulty:
            return redirect("athletes")
        text = written(found.columns, [row.cells for row in found.faulty], separator=found.separator)
        found = read_list(text, taken=_names(request))
    else:
        text = form.cleaned_data["list"]
    context |= {"found": found, "form": ListForm(initial={"text": text}), "text": text}
    return render(request, "athletes/import.html", context, status=422 if found.faults else 200)


def _names(request: MemberRequest) -> list[str]:
    return list(access.athletes_for(request.user, to="write").values_list("name", flat=True))


def _save(request: MemberRequest, found: ListRead) -> None:
    with transaction.atomic():
        for row in found.good:
            record = AthleteRecord(club=request.membership.club, number=row.number)
            record.save_document(row.document, by=request.user, why="from a list")
    left = len(found.faulty)
    kept = f" {left} {'row stays' if left == 1 else 'rows stay'} below to be corrected." if left else ""
    saved = len(found.good)
    messages.success(request, f"{saved} {'athlete is' if saved == 1 else 'athletes are'} in the club now.{kept}")


@needs("write")
@require_safe
def import_sample(request: MemberRequest) -> HttpResponse:
    """Hand over a list to begin from; with a byte order mark, by which table programs know UTF-8."""
    response = HttpResponse("\ufeff" + sample(), content_type="text/csv; charset=utf-8")
    response["Content-Disposition"] = 'attachment; filename="athletes.csv"'
    return response
