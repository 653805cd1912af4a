"""Function by taps: for each movement a drawing, the answers, and which step of the drawing an answer shows."""

from __future__ import annotations

import json
from dataclasses import dataclass
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.urls import reverse

from firstpush.core.people.athlete import FULL_RANGE_DEG, SIDES
from firstpush.web.athletes.fields import FUNCTION, Document, Field, value_at
from firstpush.web.athletes.function_figures import ASKED, MOVEMENTS
from firstpush.web.athletes.models import AthleteRecord
from firstpush.web.athletes.table_form import UNKNOWN_CHOICE, Entry, TableForm
from firstpush.web.figures import program
from firstpush.web.forms import NumberField

MEASURED = "measured"
DEGREES = ":deg"
"""Ends the name of the field beside a range, for what was measured in degrees."""
DEGREES_A_STEP = 15
RANGES: dict[str, tuple[tuple[int, ...], int]] = {
    "elevation": ((60, 90, 120, 150), 0),
    "external_rotation": ((0, 30, 45, 60), -90),
}
"""Angles that can be tapped, and the angle of the first drawing [degrees]."""
STEPS: dict[str, dict[str, int]] = {
    "trunk": {"yes": 6, "partly": 3, "no": 0},
    "grip": {"full": 2, "weak": 1, "none": 0},
    "grade": {str(grade): grade for grade in range(6)},
}
STRONGEST_FIRST = {field.key for field in FUNCTION if field.key.endswith("grip") or ".trunk." in field.key}
"""Words that core lists from the most to the least: here every answer goes the way that the drawing goes."""
QUESTIONS = {
    "forward": "Arms crossed, bends forward and sits up again without a hand",
    "turn": "Arms crossed, turns as far to the left as to the right",
    "lean_left": "Arms crossed, leans to the left and sits up again without a hand",
    "lean_right": "Arms crossed, leans to the right and sits up again without a hand",
    "grip": "Holds nothing, something light, or a rail that is pulled",
    "elbow_extension": "Stretches the elbow upwards against gravity (3) and against a hand (4, 5)",
    "wrist_extension": "Lifts the back of the hand against gravity (3) and against a hand (4, 5)",
    "elevation": "Lifts the arm beside the body as far as it goes by itself",
    "external_rotation": "Elbow at the side, turns the forearm out as far as it goes by itself",
}


@dataclass(frozen=True, kw_only=True)
class Looked:
    """One movement on the page."""

    title: str
    question: str
    field: forms.BoundField
    degrees: forms.BoundField | None
    figure: str
    """Address of the drawing that is shown."""
    pattern: str
    """The same with STEP in place of the step."""
    steps: str
    """The step of each answer, as JSON."""
    first_deg: int | None


class FunctionForm(TableForm):
    """Every answer about function."""

    def __init__(self, data: Any = None, *, table: Document) -> None:
        super().__init__(data, fields=FUNCTION, table=table, radio=True)
        for key, field in self.by_key.items():
            if field.takes in ("whole", "number or word"):
                self._offer(key, field, value_at(table, key))
            elif key in STRONGEST_FIRST:
                answers = self.fields[key]
                assert isinstance(answers, forms.ChoiceField)
                answers.choices = [UNKNOWN_CHOICE, *((word, word) for word in reversed(field.choices))]

    def _offer(self, key: str, field: Field, value: Any) -> None:
        """Put answers to be tapped in place of a number that is typed."""
        name = key.rpartition(".")[2]
        if name not in RANGES:
            choices = [UNKNOWN_CHOICE, *((str(grade), str(grade)) for grade in range(6))]
            self.fields[key] = forms.ChoiceField(
                choices=choices, required=False, label=field.label, widget=forms.RadioSelect
            )
            self.initial[key] = "" if value is None else str(value)
            return
        taps = [(str(angle), f"{angle}°") for angle in RANGES[name][0]]
        full = (field.word, f"full ({FULL_RANGE_DEG[name]:.0f}°)")
        self.fields[key] = forms.ChoiceField(
            choices=[UNKNOWN_CHOICE, *taps, full, (MEASURED, "measured")],
            required=False,
            label=field.label,
            widget=forms.RadioSelect,
        )
        self.fields[key + DEGREES] = NumberField(required=False, label="degrees")
        tapped = "" if value is None else str(value) if value == field.word else f"{value:g}"
        offered = tapped in {choice for choice, _ in self.fields[key].choices}  # type: ignore[attr-defined]
        self.initial[key] = tapped if offered else MEASURED
        self.initial[key + DEGREES] = None if offered else value

    def clean(self) -> dict[str, Any]:
        """Bring what was tapped and what was typed into one value."""
        given = super().clean() or self.cleaned_data
        for key, field in self.by_key.items():
            typed = given.get(key + DEGREES)
            if field.takes == "whole":
                given[key] = int(given[key]) if given.get(key) else None
            elif field.takes == "number or word":
                readable = key + DEGREES not in self.errors
                given[key] = self._range(key, field, given.get(key) or "", typed) if readable else None
        return given

    def _range(self, key: str, field: Field, tapped: str, typed: Any) -> Any:
        if tapped == MEASURED:
            if typed is None:
                self.add_error(
                    key + DEGREES, ValidationError("No angle is given. Allowed: degrees. Write what was measured.")
                )
            return typed
        if typed is not None:
            self.add_error(
                key + DEGREES,
                ValidationError(
                    f"{typed:g}° is typed and another answer tapped. Allowed: one of them. Tap “measured”."
                ),
            )
        return tapped if tapped in ("", field.word) else int(tapped)

    def groups(self) -> list[tuple[str, list[Looked]]]:
        """Return the movements for the page, in parts."""
        parts = [("Trunk", [self._looked(key) for key in self.by_key if ".trunk." in key])]
        for side in SIDES:
            keys = [key for key in self.by_key if f".{side}." in key and not key.endswith("feeling")]
            parts.append((f"{side.capitalize()} arm", [self._looked(key) for key in keys]))
        return parts

    def plain(self) -> list[forms.BoundField]:
        """Return what is asked without a drawing."""
        return [self[key] for key in self.by_key if key.endswith(("feeling", "spasticity"))]

    def _looked(self, key: str) -> Looked:
        _, part, name = key.split(".")
        movement = f"{part}-{name}".replace("_", "-")
        steps = STEPS["trunk" if part == "trunk" else name if name == "grip" else "grade"]
        first = None
        if name in RANGES:
            first = RANGES[name][1]
            full = {self.by_key[key].word: int(FULL_RANGE_DEG[name])}
            steps = {
                tap: (angle - first) // DEGREES_A_STEP
                for tap, angle in ({str(a): a for a in RANGES[name][0]} | full).items()
            }
        pattern = figure_address(movement, "STEP")
        field, degrees = self[key], self[key + DEGREES] if first is not None else None
        shown = self._step(movement, steps, field, degrees, first)
        return Looked(
            title=self.by_key[key].label,
            question=QUESTIONS[name],
            field=field,
            degrees=degrees,
            figure=pattern.replace("STEP", str(shown)),
            pattern=pattern,
            steps=json.dumps(steps),
            first_deg=first,
        )

    def _step(
        self,
        movement: str,
        steps: dict[str, int],
        field: forms.BoundField,
        degrees: forms.BoundField | None,
        first: int | None,
    ) -> int | str:
        answer = str(field.value() or "")
        if answer == MEASURED and degrees is not None and first is not None:
            try:
                angle = float(str(degrees.value()).replace(",", "."))
            except ValueError:
                return ASKED
            most = MOVEMENTS[movement][0].steps
            return min(max(round((angle - first) / DEGREES_A_STEP), 0), most)
        return steps.get(answer, ASKED)


def figure_address(movement: str, step: str) -> str:
    """Return the address of one drawing; it changes with the program that draws."""
    return f"{reverse('function_figure', kwargs={'movement': movement, 'step': step})}?v={program()[:12]}"


class FunctionEntry(Entry):
    """The function of an athlete, as it is changed."""

    form: FunctionForm

    def __init__(self, record: AthleteRecord, data: Any) -> None:
        super().__init__(record, data)
        self.form = FunctionForm(data, table=record.document)
