"""Forms made from `fields`: what is typed becomes a document in the structure of the file, which core reads."""

from __future__ import annotations

import copy
import re
from collections.abc import Mapping, Sequence
from typing import Any

from django import forms
from django.core.exceptions import ValidationError

from firstpush.core.errors import Fault, InputFileError
from firstpush.core.people.athlete_file import athlete_from
from firstpush.web.athletes.fields import Document, Field, label_of, put_at, said_once, sentence_of, value_at
from firstpush.web.athletes.models import AthleteRecord
from firstpush.web.club.models import Account
from firstpush.web.errors import ChangedMeanwhileError
from firstpush.web.forms import NumberField

NONE_OF_THESE = "none"
NOTHING_TICKED = "tick “none of these” when you asked and there is none; nothing ticked counts as not asked"
UNKNOWN_CHOICE = ("", "unknown")


class NumberOrWordField(NumberField):
    """A number, or the one word that may stand in its place."""

    def __init__(self, *, word: str, **kwargs: Any) -> None:
        kwargs.setdefault("widget", forms.TextInput(attrs={"autocomplete": "off"}))
        super().__init__(**kwargs)
        self._word = word

    def to_python(self, value: Any) -> Any:
        """Return the word, or what is typed as a number."""
        text = "" if value is None else str(value).strip()
        return self._word if text.casefold() == self._word else super().to_python(text.rstrip("°"))


class ManyField(forms.MultipleChoiceField):
    """Several of a list, or "none of these"; nothing ticked is unknown."""

    widget = forms.CheckboxSelectMultiple

    def clean(self, value: Any) -> Any:
        """Return the list, "none", or None for nothing ticked."""
        chosen = super().clean(value)
        if NONE_OF_THESE in chosen and len(chosen) > 1:
            others = ", ".join(each for each in chosen if each != NONE_OF_THESE)
            raise ValidationError(
                f"“None of these” and {others} contradict each other. Allowed: one or the other. Take one tick out."
            )
        return None if not chosen else NONE_OF_THESE if chosen == [NONE_OF_THESE] else chosen

    def prepare_value(self, value: Any) -> Any:
        """Return what is ticked at first."""
        return [value] if isinstance(value, str) else value


def form_field(field: Field, *, radio: bool = False) -> forms.Field:
    """Return the form field for `field`; with `radio` its choices lie open."""
    help_text = field.help
    if field.allowed is not None and field.allowed.unit and not help_text:
        help_text = str(field.allowed)
    if field.example:
        help_text += f", for example {field.example}"
    common: dict[str, Any] = {"label": field.label_with_unit, "required": field.needed, "help_text": help_text}
    if field.needed:
        common["error_messages"] = {"required": f"{field.label} is needed. Write it here."}
    if radio and field.takes in ("choice", "yes or no"):
        common["widget"] = forms.RadioSelect
    match field.takes:
        case "text":
            return forms.CharField(max_length=120, widget=forms.TextInput(attrs={"autocomplete": "off"}), **common)
        case "number" | "whole":
            return NumberField(whole=field.takes == "whole", unit=field.unit, **common)
        case "number or word":
            return NumberOrWordField(word=field.word, unit=field.unit, **common)
        case "many":
            common["help_text"] = help_text or NOTHING_TICKED
            return ManyField(choices=[(NONE_OF_THESE, "none of these"), *_alike(field.choices)], **common)
        case "yes or no":
            return forms.ChoiceField(choices=[UNKNOWN_CHOICE, ("yes", "yes"), ("no", "no")], **common)
        case _:
            return forms.ChoiceField(choices=[UNKNOWN_CHOICE, *_alike(field.choices)], **common)


def _alike(words: Sequence[str]) -> list[tuple[str, str]]:
    return [(word, word) for word in words]


class TableForm(forms.Form):
    """The fields of one table of a document, named by their dotted keys."""

    def __init__(
        self,
        data: Any = None,
        *,
        fields: Sequence[Field],
        table: Mapping[str, Any] | None = None,
        prefix: str | None = None,
        radio: bool = False,
    ) -> None:
        self.table_before: Document = copy.deepcopy(dict(table or {}))
        initial = {field.key: _initial(field, value_at(self.table_before, field.key)) for field in fields}
        super().__init__(data, prefix=prefix, initial=initial)
        self.by_key = {field.key: field for field in fields}
        for field in fields:
            self.fields[field.key] = form_field(field, radio=radio)

    @property
    def is_blank(self) -> bool:
        """Whether nothing was typed or chosen in it."""
        return not any(str(self[key].value() or "").strip() for key in self.by_key)

    def table(self) -> Document:
        """Return the table as it was, with what the form holds; what is empty is left out and so unknown."""
        found = copy.deepcopy(self.table_before)
        for key, field in self.by_key.items():
            value = self.cleaned_data.get(key)
            if field.takes == "yes or no":
                value = None if not value else value == "yes"
            put_at(found, key, None if value in ("", None) else value)
        return found

    def add_fault(self, fault: Fault, key: str) -> None:
        """Put a fault of core beside the field of `key`; above the form what belongs to no field."""
        name = key.partition("[")[0]
        if name not in self.fields:
            self.add_error(None, f"{label_of(fault.key)[0]}: {sentence_of(fault)}")
        elif name not in self.errors:
            self.add_error(name, sentence_of(fault))


def _initial(field: Field, value: Any) -> Any:
    if field.takes == "yes or no":
        return "" if not isinstance(value, bool) else "yes" if value else "no"
    return value


class WhyForm(forms.Form):
    """The version that a change began from, and its reason."""

    based_on = forms.IntegerField(widget=forms.HiddenInput, required=False)
    why = forms.CharField(
        max_length=200, required=False, label="Why it is changed", help_text="stands beside the change in the history"
    )


class RowForm(TableForm):
    """One of several tables, which can be taken out."""

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        if self.table_before:
            self.fields["take_out"] = forms.BooleanField(required=False, label="Take this one out")

    @property
    def stays(self) -> bool:
        """Whether it is in the document: neither taken out nor empty."""
        return not self.is_blank and not (self.is_bound and self.cleaned_data.get("take_out"))


class Rows:
    """The tables of a list, each a form, and empty ones for more.

    Parameters
    ----------
    data : mapping or None
        Of the request; how many rows it has stands in it.
    key : str
        Of the list in the document.
    fields : sequence of Field
    tables : sequence of mapping
        As they are stored.
    more : int
        Empty rows offered.
    """

    def __init__(
        self, data: Any, *, key: str, fields: Sequence[Field], tables: Sequence[Mapping[str, Any]], more: int
    ) -> None:
        self.key = key
        self.first = 0
        """Place, on the page, of the row that stands first in the document."""
        self.count_name = f"{key}-count"
        asked = str(data.get(self.count_name, "")) if data is not None else ""
        count = len(tables) + more
        if re.fullmatch(r"\d{1,2}", asked):
            count = max(len(tables), int(asked))
        if data is not None and data.get("more") == key:
            count += 1
        self.forms = [
            RowForm(data, fields=fields, table=tables[i] if i < len(tables) else None, prefix=f"{key}-{i}")
            for i in range(count)
        ]

    @property
    def count(self) -> int:
        """How many rows are shown."""
        return len(self.forms)

    def is_valid(self) -> bool:
        """Whether every row can be read."""
        found = [row.is_valid() for row in self.forms]
        return all(found)

    @property
    def used(self) -> list[RowForm]:
        """The rows that are in the document, in its order."""
        rest = [row for place, row in enumerate(self.forms) if place != self.first]
        return [row for row in (*self.forms[self.first : self.first + 1], *rest) if row.stays]

    def tables(self) -> list[Document]:
        """Return the tables of the list."""
        return [row.table() for row in self.used]


class Entry:
    """What a page changes of an athlete: a form, rows, and the reason, shown, checked and saved as one."""

    def __init__(
        self, record: AthleteRecord, data: Any, *, fields: Sequence[Field] = (), rows: Sequence[Rows] = ()
    ) -> None:
        self.record = record
        self.form = TableForm(data, fields=fields, table=record.document)
        self.rows = list(rows)
        self.why = WhyForm(data, initial={"based_on": record.version})

    @property
    def has_faults(self) -> bool:
        """Whether something stands to be corrected."""
        return bool(self.form.errors or self.why.errors or any(row.errors for rows in self.rows for row in rows.forms))

    def is_valid(self) -> bool:
        """Whether everything typed can be read."""
        return all([self.form.is_valid(), self.why.is_valid(), *(rows.is_valid() for rows in self.rows)])

    def document(self) -> Document:
        """Return the document as it would be."""
        found = self.form.table()
        for rows in self.rows:
            put_at(found, rows.key, rows.tables() or None)
        return found

    def save(self, document: Document, *, by: Account) -> bool:
        """Save `document`; return whether it was saved, else what is wrong stands beside the fields."""
        given = self.why.cleaned_data
        try:
            self.record.save_document(document, by=by, based_on=given["based_on"], why=given["why"])
        except InputFileError as error:
            for fault in said_once(error.faults, wrong=self.form.errors):
                self._put(fault)
        except ChangedMeanwhileError as error:
            self.form.add_error(None, str(error))
        else:
            return True
        return False

    def look_further(self) -> None:
        """Find what else is wrong where something could not be read, so that all is told at once."""
        try:
            athlete_from(self.document(), where="page")
        except InputFileError as error:
            for fault in said_once(error.faults, wrong=self.form.errors):
                self._put(fault)

    def save_beside(self) -> bool:
        """Save what stands beside the document; return whether anything changed."""
        return False

    def _put(self, fault: Fault) -> None:
        for rows in self.rows:
            found = re.match(rf"{re.escape(rows.key)}\[(\d+)\]\.?", fault.key)
            if found and int(found[1]) < len(rows.used):
                rows.used[int(found[1])].add_fault(fault, fault.key[found.end() :])
                return
        self.form.add_fault(fault, fault.key)
