"""A course of one's own: cones and points by their places in a table, the order as a list of short words."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

from django import forms

from firstpush.core.errors import Fault, InputFileError
from firstpush.web.courses.own_floor import USUAL, document_of, drawings, pieces, shown_extent, text_of
from firstpush.web.forms import NumberField, sentence_of

LEAST_ROWS = {"cones": 6, "points": 3}
MOST_ROWS = 60
MORE = 4
_ROW = re.compile(r"(cones|points)\[(\d+)\]\.(name|x_m|y_m)")
_WORDS = {"cones": "Cone", "points": "Point"}


class OwnCourseForm(forms.Form):
    """Rows that are left empty do not count; `rows` says how many of each are shown."""

    name = forms.CharField(label="Name", max_length=120)
    start = forms.CharField(label="Start", max_length=20, help_text="The name of a point.")
    order = forms.CharField(
        label="Order",
        widget=forms.Textarea(attrs={"rows": 6, "spellcheck": "false"}),
        help_text=(
            "One step a line, or with commas between: 1L passes cone 1 on the left hand, 1R on the right hand; to B "
            "pushes to point B and stops; back to A pulls there; turn left or turn right says which way on the spot."
        ),
    )
    cone_width_m = NumberField(label="Width of a cone (m)", required=False)
    speed_percent = NumberField(label="Speed (% of the maximal speed)", required=False)
    tight = forms.BooleanField(label="A wide line would take the sense out of it", required=False)
    rolling_finish = forms.BooleanField(label="The chair rolls on over the finish", required=False)
    puts = forms.ChoiceField(
        label="On free floor a click puts",
        choices=(("cone", "a cone"), ("point", "a point to start, stop or finish on")),
        widget=forms.RadioSelect,
        required=False,
        initial="cone",
    )
    does = forms.ChoiceField(
        label="What stands there already",
        choices=(
            ("left", "is next: a cone on the left hand, a point pushed to"),
            ("right", "is next: a cone on the right hand, a point pushed to"),
            ("back", "is next: a point pulled to backwards"),
            ("away", "is taken away"),
        ),
        widget=forms.RadioSelect,
        required=False,
        initial="left",
    )
    piece = forms.ChoiceField(label="Floor shown", required=False, widget=forms.Select(attrs={"class": "plain"}))
    before = forms.CharField(widget=forms.HiddenInput, required=False)
    why = forms.CharField(label="Why it is changed", required=False, max_length=200)
    based_on = forms.IntegerField(widget=forms.HiddenInput, required=False)

    def __init__(
        self,
        data: Any = None,
        *,
        document: Mapping[str, Any] | None = None,
        based_on: int | None = None,
        floors: Mapping[str, tuple[float, float]] | None = None,
    ) -> None:
        known = {"based_on": based_on, "puts": "cone", "does": "left", "piece": USUAL}
        super().__init__(data, initial=_initial(document or {}) | known, label_suffix="")
        self.floors = dict(floors or {})
        piece = self.fields["piece"]
        assert isinstance(piece, forms.ChoiceField)
        piece.choices = pieces(self.floors)
        if based_on is None:
            del self.fields["why"]
        self.counts = {which: self._count(which, data, document or {}) for which in LEAST_ROWS}
        for which, count in self.counts.items():
            for row in range(count):
                called = f"{_WORDS[which]} {row + 1}"
                self.fields[f"{which}_{row}_name"] = forms.CharField(
                    label=f"{called}, name", required=False, max_length=20
                )
                self.fields[f"{which}_{row}_x_m"] = NumberField(label=f"{called}, to the right (m)", required=False)
                self.fields[f"{which}_{row}_y_m"] = NumberField(label=f"{called}, away (m)", required=False)
                for key in ("name", "x_m", "y_m"):
                    self.fields[f"{which}_{row}_{key}"].widget.attrs["class"] = "plain"
        self._kept: dict[str, list[int]] = {}

    @staticmethod
    def _count(which: str, data: Any, document: Mapping[str, Any]) -> int:
        if data is None:
            return max(LEAST_ROWS[which], len(document.get(which, [])) + 1)
        given = [int(found[1]) for each in data if (found := re.fullmatch(rf"{which}_(\d{{1,3}})_name", each))]
        more = MORE if data.get("more") == which else 0
        return min(max([LEAST_ROWS[which], *(each + 1 for each in given)]) + more, MOST_ROWS)

    def _rows(self, which: str) -> list[list[forms.BoundField]]:
        return [[self[f"{which}_{row}_{key}"] for key in ("name", "x_m", "y_m")] for row in range(self.counts[which])]

    @property
    def tables(self) -> list[tuple[str, str, list[list[forms.BoundField]]]]:
        """Both tables: what stands in it, its words, its rows."""
        return [("cones", "Cones", self._rows("cones")), ("points", "Points", self._rows("points"))]

    def floor(self) -> dict[str, Any]:
        """Return what is drawn to click on: the drawings, the floor they show, and the order so far."""
        typed = {name: self[name].value() for name in self.fields}
        document = document_of(typed)
        shown = shown_extent(document, str(typed.get("piece") or ""))
        return {
            "drawings": drawings(document, shown),
            "shown": text_of(shown),
            "order": document["order"],
            "can_undo": typed.get("before") not in (None, "", "[]"),
        }

    @property
    def head(self) -> list[forms.BoundField]:
        """The fields before the tables."""
        return [self["name"]]

    @property
    def foot(self) -> list[forms.BoundField]:
        """The fields after the tables."""
        names = ("start", "order", "cone_width_m", "speed_percent", "tight", "rolling_finish", "why")
        return [self[name] for name in names if name in self.fields]

    def document(self) -> dict[str, Any]:
        """Return what was typed in the structure of a file, of a valid form."""
        given = self.cleaned_data
        found: dict[str, Any] = {"name": given["name"].strip()}
        for which in LEAST_ROWS:
            rows, self._kept[which] = [], []
            for row in range(self.counts[which]):
                typed = {key: given.get(f"{which}_{row}_{key}") for key in ("name", "x_m", "y_m")}
                said = {key: value for key, value in typed.items() if value not in (None, "")}
                if said:
                    rows.append(said)
                    self._kept[which].append(row)
            found[which] = rows
        found["start"] = given["start"].strip()
        found["order"] = [" ".join(each.split()) for each in re.split(r"[,;\n]", given["order"]) if each.strip()]
        for name in ("cone_width_m", "speed_percent"):
            if given.get(name) is not None:
                found[name] = given[name]
        for name in ("tight", "rolling_finish"):
            if given.get(name):
                found[name] = True
        return found

    def add_faults(self, error: InputFileError) -> None:
        """Put each fault of core beside what it is about."""
        for fault in error.faults:
            self.add_error(self._field_of(fault), sentence_of(fault, labels={}))

    def _field_of(self, fault: Fault) -> str | None:
        if found := _ROW.fullmatch(fault.key):
            return f"{found[1]}_{self._kept[found[1]][int(found[2])]}_{found[3]}"
        return fault.key if fault.key in self.fields else None


def _initial(document: Mapping[str, Any]) -> dict[str, Any]:
    plain = ("name", "start", "cone_width_m", "speed_percent", "tight", "rolling_finish")
    found = {name: document[name] for name in plain if name in document}
    found["order"] = "\n".join(document.get("order", []))
    for which in LEAST_ROWS:
        for row, place in enumerate(document.get(which, [])):
            found |= {f"{which}_{row}_{key}": value for key, value in place.items()}
    return found
