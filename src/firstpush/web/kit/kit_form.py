"""A cupboard as a form: a new one with its bands, and everything in it that is no band."""

from __future__ import annotations

import copy
from collections.abc import Iterable, Iterator
from typing import Any, ClassVar

from django import forms
from django.forms.formsets import formset_factory
from django.http import QueryDict

from firstpush.core.measured import GRAVITY
from firstpush.web.forms import NumberField
from firstpush.web.kit.band_form import MATERIALS, UNITS
from firstpush.web.kit.entry import DocumentForm, Entry, RowForm, Table, WhyForm
from firstpush.web.kit.fields import select

ATTACHMENTS = (("wrist_cuff", "wrist"), ("forearm_cuff", "forearm"), ("upper_arm_cuff", "upper arm"))
BOUNCES = (("", "not known"), ("yes", "yes"), ("no", "no"))
NAME = "Give it a name."


class QuickBandForm(RowForm):
    """A band with one pull, or none: enough to begin with."""

    name = forms.CharField(max_length=120, required=False, label="Name")
    material = select(MATERIALS, label="Material", initial="unknown")
    length_m = NumberField(required=False, label="Length (m)")
    count = NumberField(whole=True, required=False, label="How many")
    elongation_percent = NumberField(required=False, label="Pulled longer by (%)", initial=100)
    force = NumberField(required=False, label="Pull")
    unit = select(UNITS, label="Unit", initial="N")

    typed = ("name", "length_m", "count", "force")
    needed: ClassVar = {"name": NAME, "length_m": "Give the length of the whole band, laid slack."}

    def table(self) -> Table:
        """Return the band with its one pull, in newtons."""
        given = self.cleaned_data
        band = {
            key: given[key] for key in ("name", "material", "length_m", "count") if given.get(key) not in (None, "")
        }
        force = given.get("force")
        if force is not None:
            in_newtons = round(force * GRAVITY.value, 3) if given.get("unit") == "kg" else force
            percent = given.get("elongation_percent")
            band["pulls"] = [{"elongation_percent": 100 if percent is None else percent, "force_n": in_newtons}]
        return band


class NewKitForm(DocumentForm):
    """What a cupboard is called."""

    name = forms.CharField(
        max_length=120,
        label="Name",
        help_text="where it stands, for example",
        error_messages={"required": "Give it a name."},
    )
    chocks = NumberField(whole=True, required=False, label="Chocks", help_text="four block both rear wheels")
    chock_height_m = NumberField(
        required=False,
        unit="m",
        label="Height of the chocks (m)",
        help_text="from the floor to the top, for example 0.08",
    )
    chest_straps = NumberField(whole=True, required=False, label="Chest straps")
    waist_straps = NumberField(whole=True, required=False, label="Waist straps")


class NewKitEntry(Entry):
    """A new cupboard with its first bands."""

    def __init__(self, data: QueryDict | None) -> None:
        rows: type[Any] = formset_factory(QuickBandForm, extra=4, max_num=60)
        super().__init__(NewKitForm(data), {"bands": rows(data, prefix="bands")})

    def document(self) -> Table:
        """Return the document of the new cupboard."""
        given, bands = self.form.cleaned_data, self.tables("bands")
        document: Table = {"name": given.get("name")} | ({"bands": bands} if bands else {})
        for field in ASKED_FIRST:
            _set(document, PATHS[field], given.get(field))
        return document

    def places(self) -> Any:
        """Yield the tables; the one pull of a band stands in the band's row, counts in the form."""
        yield from super().places()
        yield from _counts_in(self.form, ASKED_FIRST)
        for index, row in enumerate(self.used("bands")):
            yield f"bands[{index}].pulls[0]", _PullOf(row)


class _PullOf(DocumentForm):
    """The one pull of a quick row: its faults stand in the row."""

    fields_by_key: ClassVar = {"force_n": "force"}

    def __init__(self, row: QuickBandForm) -> None:
        super().__init__()
        self.fields = row.fields
        self._row = row

    def add_error(self, field: str | None, error: Any) -> None:
        self._row.add_error(field, error)

    def holds(self, field: str) -> bool:
        return self._row.holds(field)


class ThingsForm(WhyForm):
    """Counts of a cupboard."""

    name = forms.CharField(max_length=120, label="Name of the cupboard", error_messages={"required": "Give it a name."})
    cones = NumberField(whole=True, required=False, label="Cones")
    chest_straps = NumberField(whole=True, required=False, label="Chest straps")
    waist_straps = NumberField(whole=True, required=False, label="Waist straps")
    chocks = NumberField(whole=True, required=False, label="Chocks", help_text="four block both rear wheels")
    chock_height_m = NumberField(
        required=False,
        unit="m",
        label="Height of the chocks (m)",
        help_text="from the floor to the top, for example 0.08",
    )
    door_anchors = NumberField(
        whole=True,
        required=False,
        label="Door anchors",
        help_text="knots that are shut into a closed door, for at home",
    )
    field_order = ("name", "cones", "chest_straps", "waist_straps", "chocks", "chock_height_m", "door_anchors")


PATHS: dict[str, tuple[str, ...]] = {
    "cones": ("cones", "count"),
    "chest_straps": ("straps", "chest"),
    "waist_straps": ("straps", "waist"),
    "chocks": ("blocking", "chocks"),
    "chock_height_m": ("blocking", "chock_height_m"),
    "door_anchors": ("door_anchors",),
}
"""Where each field of `ThingsForm` stands in the document."""
ASKED_FIRST = ("chocks", "chock_height_m", "chest_straps", "waist_straps")
"""What a new cupboard asks beside its bands: what holds the chair, and what holds the trunk."""


class BallForm(RowForm):
    """A ball."""

    name = forms.CharField(max_length=120, required=False, label="Name")
    mass_kg = NumberField(required=False, label="Mass (kg)")
    diameter_m = NumberField(required=False, label="Diameter (m)")
    bounces = select(BOUNCES, label="Bounces")
    material = select(MATERIALS, label="Material", initial="unknown")

    typed = ("name", "mass_kg", "diameter_m")
    needed: ClassVar = {"name": NAME, "mass_kg": "Put it on a kitchen scale.", "diameter_m": "Measure it across."}

    def table(self) -> Table:
        """Return the ball as a table of the document."""
        given = self.cleaned_data
        keys = ("name", "mass_kg", "diameter_m", "material")
        ball = {key: given[key] for key in keys if given.get(key) not in (None, "")}
        return ball | ({"bounces": given["bounces"] == "yes"} if given.get("bounces") else {})


class CuffForm(RowForm):
    """A cuff that takes a band where a hand cannot grip."""

    name = forms.CharField(max_length=120, required=False, label="Name")
    attach = select(ATTACHMENTS, label="Goes round the", initial="wrist_cuff")
    count = NumberField(whole=True, required=False, label="How many")
    material = select(MATERIALS, label="Material", initial="unknown")

    typed = ("name", "count")
    needed: ClassVar = {"name": NAME}

    def table(self) -> Table:
        """Return the cuff as a table of the document."""
        given = self.cleaned_data
        return {key: given[key] for key in ("name", "attach", "count", "material") if given.get(key) not in (None, "")}


class ThingsEntry(Entry):
    """Everything in a cupboard that is no band."""

    def __init__(self, data: QueryDict | None, *, document: Table, version: int) -> None:
        self._document = document
        initial = {field: _at(document, path) for field, path in PATHS.items()}
        balls: type[Any] = formset_factory(BallForm, extra=2, max_num=60)
        cuffs: type[Any] = formset_factory(CuffForm, extra=2, max_num=60)
        super().__init__(
            ThingsForm(data, initial={"based_on": version, "name": document["name"], **initial}),
            {
                "balls": balls(
                    data, prefix="balls", initial=[_ball_initial(each) for each in document.get("balls", [])]
                ),
                "cuffs": cuffs(data, prefix="cuffs", initial=document.get("cuffs", [])),
            },
        )

    def document(self) -> Table:
        """Return the document with its bands as they are and everything else as it was typed."""
        document = copy.deepcopy(self._document)
        given = self.form.cleaned_data
        document["name"] = given.get("name")
        for field, path in PATHS.items():
            _set(document, path, given.get(field))
        for key in ("balls", "cuffs"):
            document.pop(key, None)
            if tables := self.tables(key):
                document[key] = tables
        return document

    def places(self) -> Any:
        """Yield the tables; counts stand in tables of their own and in one form."""
        yield from super().places()
        yield from _counts_in(self.form, PATHS)


def _counts_in(form: DocumentForm, fields: Iterable[str]) -> Iterator[tuple[str, DocumentForm]]:
    """Yield the tables that counts of `form` stand in, each with the fields of `form` under the keys of the table."""
    inner = [field for field in fields if len(PATHS[field]) > 1]
    for table in dict.fromkeys(PATHS[field][0] for field in inner):
        yield table, _Renamed(form, {PATHS[field][-1]: field for field in inner if PATHS[field][0] == table})


class _Renamed(DocumentForm):
    """The fields of another form under the keys of a table inside the document."""

    def __init__(self, form: DocumentForm, keys: dict[str, str]) -> None:
        super().__init__()
        self.fields = form.fields
        self._form, self._keys = form, keys

    def field_of(self, key: str) -> str:
        return self._keys.get(key, key)

    def add_error(self, field: str | None, error: Any) -> None:
        self._form.add_error(field, error)

    def holds(self, field: str) -> bool:
        return self._form.holds(field)


def _ball_initial(ball: Table) -> Table:
    bounces = ball.get("bounces")
    return ball | {"bounces": {True: "yes", False: "no"}.get(bounces, "") if isinstance(bounces, bool) else ""}


def _at(document: Table, path: tuple[str, ...]) -> Any:
    value: Any = document
    for key in path:
        value = value.get(key) if isinstance(value, dict) else None
    return None if value == "unknown" else value


def _set(document: Table, path: tuple[str, ...], value: Any) -> None:
    """Put `value` at `path`; None takes the key out, and a table that nothing is left in."""
    *tables, key = path
    inner = document
    for table in tables:
        inner = inner.setdefault(table, {})
    if value is None:
        inner.pop(key, None)
    else:
        inner[key] = value
    if tables and not inner:
        document.pop(tables[0])
