"""Exercise files taken in as text: with faults the text comes back as it was, each fault with its line."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.core.validators import RegexValidator

from firstpush.core.errors import Fault
from firstpush.core.exercises.loader import library
from firstpush.web.club.models import Club
from firstpush.web.exercises.models import OwnExercise

LARGEST_FILE = 100_000
"""Bytes; the longest file of the library has 4 000."""


class TextForm(forms.Form):
    """The text of an exercise file, typed or from a file."""

    file = forms.FileField(
        label="A file", required=False, help_text="A .toml file; it takes the place of the text.", max_length=200
    )
    text = forms.CharField(
        label="The text",
        required=False,
        strip=False,
        max_length=LARGEST_FILE,
        widget=forms.Textarea(attrs={"rows": 30, "spellcheck": "false", "class": "code"}),
    )
    why = forms.CharField(label="Why it is changed", required=False, max_length=200)
    based_on = forms.IntegerField(widget=forms.HiddenInput, required=False)

    def clean(self) -> dict[str, Any]:
        """Take the text from the file where one is given."""
        given = dict(super().clean() or self.cleaned_data)
        upload = given.get("file")
        if upload is not None:
            if upload.size > LARGEST_FILE:
                raise ValidationError(
                    f"The file has {upload.size} bytes. Allowed: {LARGEST_FILE} at most. Choose an exercise file."
                )
            try:
                given["text"] = upload.read().decode("utf-8-sig")
            except UnicodeDecodeError:
                raise ValidationError(
                    "The file holds a character that is not UTF-8. Allowed: text saved as UTF-8. Save it again so."
                ) from None
        given["text"] = given.get("text", "").replace("\r\n", "\n")
        self._text: str | None = given["text"]
        if not given["text"].strip():
            raise ValidationError("There is no text. Allowed: an exercise file. Choose a file, or type one.")
        return given

    def shown(self) -> TextForm:
        """Return the form to be shown again: what a file held stands in the text, to be corrected there."""
        if self.is_bound and getattr(self, "_text", None):
            self.data = {**self.data.dict(), "text": self._text}  # type: ignore[attr-defined]
        return self


class NewFileForm(TextForm):
    """A new exercise from a file: it also needs a short name."""

    slug = forms.CharField(
        label="Short name",
        max_length=56,
        help_text="Small letters, digits and underscores, such as pier_row. It stays the same for good.",
        validators=[
            RegexValidator(
                r"\A[a-z0-9]+(_[a-z0-9]+)*\Z",
                "This is no short name. Allowed: small letters and digits, with single underscores between. "
                "Write it so.",
            )
        ],
    )
    why = None  # type: ignore[assignment]
    based_on = None  # type: ignore[assignment]

    field_order = ("slug", "file", "text")

    def __init__(self, *args: Any, club: Club) -> None:
        super().__init__(*args)
        self._club = club

    def clean_slug(self) -> str:
        """Refuse a name that is taken."""
        slug: str = self.cleaned_data["slug"]
        if slug in library() or OwnExercise.objects.filter(club=self._club, slug=slug).exists():
            raise ValidationError(f"{slug} is taken. Allowed: a name that no exercise has. Add a word to it.")
        return slug


def add_file_faults(form: forms.Form, faults: Iterable[Fault]) -> None:
    """Put every fault beside the text, with its line."""
    for fault in faults:
        place = "" if fault.line is None else f"Line {fault.line}, "
        sentence = f"{place}{fault.key}: {fault.wrong}. Allowed: {fault.allowed}. {fault.next_step}."
        form.add_error("text", sentence)
