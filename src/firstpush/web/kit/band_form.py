"""A band as a form: what is written on it, its size, and its pulls with a hook scale."""

from __future__ import annotations

import copy
from collections.abc import Iterator
from typing import Any, ClassVar

from django import forms
from django.forms.formsets import formset_factory
from django.http import QueryDict

from firstpush.core.measured import GRAVITY
from firstpush.web.forms import NumberField
from firstpush.web.kit.entry import DocumentForm, Entry, RowForm, Rows, Table, WhyForm
from firstpush.web.kit.fields import select

MATERIALS = (("unknown", "not known: as latex"), ("latex-free", "latex-free"), ("latex", "latex"))
UNITS = (("N", "N"), ("kg", "kg"))
EMPTY_ROWS = 3


class BandForm(WhyForm):
    """What stands once for a band."""

    name = forms.CharField(
        max_length=120,
        label="Name",
        help_text="what is written on it, or what you call it",
        error_messages={"required": "Give it a name."},
    )
    material = select(MATERIALS, label="Material", initial="unknown", required=True)
    length_m = NumberField(
        label="Length (m)",
        help_text="the whole band, laid slack",
        error_messages={"required": "Lay it slack and measure it from end to end."},
    )
    count = NumberField(
        whole=True, required=False, label="How many", help_text="1 when empty; withdrawn ones count too"
    )
    limit_elongation_percent = NumberField(
        required=False,
        label="Longest it may get (% longer)",
        help_text="200 when empty: three times its length. 100 is double length",
    )
    field_order = ("name", "material", "length_m", "count", "limit_elongation_percent")

    def table(self) -> Table:
        """Return the band as a table of the document, without its pulls."""
        given = self.cleaned_data
        keys = ("name", "material", "length_m", "count", "limit_elongation_percent")
        return {key: given[key] for key in keys if given.get(key) not in (None, "")}


class PullForm(RowForm):
    """One pull with a hook scale."""

    elongation_percent = NumberField(required=False, label="Longer by (%)")
    force = NumberField(required=False, label="Pull")
    unit = select(UNITS, label="Unit", initial="N")

    fields_by_key: ClassVar = {"force_n": "force"}
    typed = ("elongation_percent", "force")
    needed: ClassVar = {
        "elongation_percent": "Say how much longer it was: 100 is double length.",
        "force": "Say what the hook scale showed.",
    }

    def table(self) -> Table:
        """Return the pull in newtons, whichever unit the scale showed."""
        given = self.cleaned_data
        force = given.get("force")
        if force is not None and given.get("unit") == "kg":
            force = round(force * GRAVITY.value, 3)
        pull = {"elongation_percent": given.get("elongation_percent"), "force_n": force}
        return {key: value for key, value in pull.items() if value is not None}


def _pull_rows(data: QueryDict | None, pulls: list[Table]) -> Rows:
    rows: type[Any] = formset_factory(PullForm, extra=EMPTY_ROWS, max_num=40)
    initial = [{"elongation_percent": each.get("elongation_percent"), "force": each.get("force_n")} for each in pulls]
    made: Rows = rows(data, initial=initial, prefix="pulls")
    return made


class BandEntry(Entry):
    """A band of a cupboard; `index` is its place in the list, None for another one."""

    def __init__(self, data: QueryDict | None, *, document: Table, version: int, index: int | None = None) -> None:
        self._document, self._index = document, index
        band: Table = {} if index is None else document["bands"][index]
        pulls = band.get("pulls")
        super().__init__(
            BandForm(data, initial={"based_on": version, "count": 1, **band}),
            {"pulls": _pull_rows(data, pulls if isinstance(pulls, list) else [])},
        )

    def document(self) -> Table:
        """Return the cupboard's document with this band in its place."""
        document = copy.deepcopy(self._document)
        bands: list[Table] = document.setdefault("bands", [])
        band = self._band().table()
        pulls = self.tables("pulls")
        if pulls:
            band["pulls"] = sorted(pulls, key=lambda pull: float(pull.get("elongation_percent", 0)))
        if self._index is None:
            bands.append(band)
        else:
            bands[self._index] = band
        return document

    def _band(self) -> BandForm:
        assert isinstance(self.form, BandForm)
        return self.form

    def places(self) -> Iterator[tuple[str, DocumentForm]]:
        """Yield the tables of this band; pulls stand by rising elongation, as they are stored."""
        index = len(self._document.get("bands", [])) if self._index is None else self._index
        yield f"bands[{index}]", self.form
        rows = sorted(self.used("pulls"), key=lambda row: float(row.cleaned_data.get("elongation_percent") or 0))
        for number, row in enumerate(rows):
            yield f"bands[{index}].pulls[{number}]", row
