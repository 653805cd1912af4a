"""A form with rows below it that together make a document; the faults of core go back beside their fields."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import TYPE_CHECKING, Any, ClassVar

from django import forms
from django.db import transaction
from django.forms.formsets import BaseFormSet

from firstpush.core.errors import Fault, InputFileError
from firstpush.web.club.models import Account
from firstpush.web.documents import VersionedRecord
from firstpush.web.errors import ChangedMeanwhileError
from firstpush.web.forms import add_faults, labels_of

Table = dict[str, Any]


class DocumentForm(forms.Form):
    """Fields of one table of a document; `fields_by_key` names the field of a key where the two differ."""

    fields_by_key: ClassVar[Mapping[str, str]] = {}

    def field_of(self, key: str) -> str:
        """Return the field that shows what is wrong with `key` of the table."""
        name = key.partition("[")[0]
        return self.fields_by_key.get(name, name)

    def holds(self, field: str) -> bool:
        """Whether something was typed into `field` that could be read."""
        return getattr(self, "cleaned_data", {}).get(field) not in (None, "", [])


class RowForm(DocumentForm):
    """One row; a row with nothing typed into it is no row."""

    typed: ClassVar[tuple[str, ...]] = ()
    """Fields that somebody types into; choices have a first value anyway."""
    needed: ClassVar[Mapping[str, str]] = {}
    """What to say when a field stays empty in a row that is used."""

    @property
    def is_blank(self) -> bool:
        """Whether nothing was typed into the row."""
        return not any(str(self[name].value() or "").strip() for name in self.typed)

    def clean(self) -> Table:
        """Ask for what a row that is used must have."""
        cleaned = super().clean() or self.cleaned_data
        if not self.is_blank:
            for name, say in self.needed.items():
                if cleaned.get(name) in (None, "") and name not in self.errors:
                    self.add_error(name, say)
        return cleaned

    def table(self) -> Table:
        """Return the row as a table of the document."""
        raise NotImplementedError


if TYPE_CHECKING:
    Rows = BaseFormSet[Any]
else:
    Rows = BaseFormSet


class Entry:
    """A form and its rows, shown, checked and saved as one.

    Parameters
    ----------
    form : DocumentForm
        What stands once.
    rows : mapping
        Row forms by the key of the list that they make.
    """

    def __init__(self, form: DocumentForm, rows: Mapping[str, Rows]) -> None:
        self.form = form
        self.rows = rows

    def is_valid(self) -> bool:
        """Whether everything typed can be read; core judges it when it is saved."""
        return all([self.form.is_valid(), *(each.is_valid() for each in self.rows.values())])

    @property
    def has_faults(self) -> bool:
        """Whether something stands beside a field."""
        rows = self.rows.values()
        wrong_rows = any(each.non_form_errors() or any(form.errors for form in each.forms) for each in rows)
        return bool(self.form.errors) or wrong_rows

    def used(self, key: str) -> list[Any]:
        """Return the rows of `key` that something was typed into."""
        return [row for row in self.rows[key].forms if not row.is_blank]

    def tables(self, key: str) -> list[Table]:
        """Return the rows of `key` as tables of the document."""
        return [row.table() for row in self.used(key)]

    def places(self) -> Iterator[tuple[str, DocumentForm]]:
        """Yield the path of each table of the document with the form that it comes from."""
        yield "", self.form
        for key in self.rows:
            for index, row in enumerate(self.used(key)):
                yield f"{key}[{index}]", row

    def save(
        self,
        record: VersionedRecord,
        document: Mapping[str, Any],
        *,
        by: Account,
        based_on: int | None = None,
        why: str = "",
    ) -> bool:
        """Save `document`; return whether it was saved, else what is wrong stands beside the fields."""
        try:
            with transaction.atomic():
                record.save_document(document, by=by, based_on=based_on, why=why)
        except InputFileError as error:
            self._put(error.faults)
        except ChangedMeanwhileError as error:
            self.form.add_error(None, str(error))
        else:
            return True
        return False

    def judge(self, record: VersionedRecord, document: Mapping[str, Any]) -> None:
        """Let core judge what could be read, although something else could not: all faults stand there at once."""
        try:
            type(record)(document=dict(document)).read()
        except InputFileError as error:
            # What is missing there, or could not be read, has its reason already.
            self._put([fault for fault in error.faults if self._is_typed(fault)])

    def _is_typed(self, fault: Fault) -> bool:
        path, _, key = fault.key.rpartition(".")
        form = dict(self.places()).get(path)
        return form is not None and form.holds(form.field_of(key))

    def _put(self, faults: Iterable[Fault]) -> None:
        places = dict(self.places())
        labels = self._labels(places.values())
        for fault in faults:
            path, _, key = fault.key.rpartition(".")
            form = places.get(path)
            if form is None:
                add_faults(self.form, InputFileError([fault]), fields={}, labels=labels)
            else:
                add_faults(form, InputFileError([fault]), fields={fault.key: form.field_of(key)}, labels=labels)

    @staticmethod
    def _labels(places: Iterable[DocumentForm]) -> dict[str, str]:
        """Return what each key is called on the page, whichever of its forms has the field."""
        found: dict[str, str] = {}
        for form in places:
            here = labels_of(form)
            found |= here | {key: here[name] for key, name in form.fields_by_key.items() if name in here}
        return found


class WhyForm(DocumentForm):
    """What every change of something stored carries: the version it began from, and the reason."""

    based_on = forms.IntegerField(widget=forms.HiddenInput, required=False)
    why = forms.CharField(
        max_length=200, required=False, label="Why it is changed", help_text="stands beside the change in its history"
    )
