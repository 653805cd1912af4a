"""Handing over and erasing what is stored of a person."""

from __future__ import annotations

from django import forms
from django.contrib import messages
from django.core.exceptions import ValidationError
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods, require_safe

from firstpush.web import access
from firstpush.web.access import MemberRequest, needs
from firstpush.web.athletes.models import AthleteRecord
from firstpush.web.athletes.person import erase_person, export_person, file_name


class EraseForm(forms.Form):
    """Asks for the name, so that nobody is erased by a slip of the finger."""

    name = forms.CharField(label="The athlete's name", widget=forms.TextInput(attrs={"autocomplete": "off"}))

    def __init__(self, *args: object, record: AthleteRecord) -> None:
        super().__init__(*args)  # type: ignore[arg-type]
        self._record = record

    def clean_name(self) -> str:
        name: str = self.cleaned_data["name"]
        if name.strip().casefold() != self._record.name.casefold():
            raise ValidationError(f"This is not the name of this athlete. Type it as it stands here: {self._record}.")
        return name


@needs("write")
@require_safe
def export_athlete(request: MemberRequest, id_: int) -> HttpResponse:
    """Hand over everything that is stored of an athlete, as one file."""
    record = access.athlete_for(request.user, id_, to="write")
    response = HttpResponse(export_person(record), content_type="application/zip")
    response["Content-Disposition"] = f'attachment; filename="{file_name(record)}.zip"'
    return response


@needs("own")
@require_http_methods(["GET", "POST"])
def erase_athlete(request: MemberRequest, id_: int) -> HttpResponse:
    """Ask for the name, then erase everything that is stored of an athlete."""
    record = access.athlete_for(request.user, id_, to="own")
    form = EraseForm(request.POST or None, record=record)
    if request.method == "POST" and form.is_valid():
        name = record.name
        erase_person(record)
        messages.success(
            request, f"Everything that was stored of {name} is erased. Backups made earlier still have it."
        )
        return redirect("athletes")
    return render(request, "athletes/erase.html", {"record": record, "form": form}, status=422 if form.errors else 200)
