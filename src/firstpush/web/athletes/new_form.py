"""A new athlete in two minutes: what a first sheet rests on; everything else stays unknown."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from django import forms

from firstpush.core.errors import InputFileError
from firstpush.core.people.athlete import PAIN_PLACES, SIDES
from firstpush.core.people.athlete_file import athlete_from
from firstpush.core.people.limbs import hand_lost_with
from firstpush.web.athletes.fields import (
    ARM_SPAN,
    CONDITION,
    LATEX,
    LEVEL,
    LIMBS,
    MASS,
    NAME,
    PAIN_KEY,
    SPASTICITY,
    STATURE,
    TRUNK,
    Document,
    put_at,
    said_once,
)
from firstpush.web.athletes.models import AthleteRecord
from firstpush.web.athletes.table_form import TableForm, form_field
from firstpush.web.club.models import Account, Club
from firstpush.web.forms import NumberField

CHAIRS = (("court", "court chair"), ("daily", "daily chair"))
NOT_ASKED, NO_PAIN, PAIN_HERE = "", "none", "here"
PAIN_STATES = ((NOT_ASKED, "not asked"), (NO_PAIN, "no pain"), (PAIN_HERE, "pain, as follows"))
NOT_LOOKED_AT = ("", "not looked at")
CONTROLS = (NOT_LOOKED_AT, ("no", "none"), ("partly", "partly"), ("yes", "full"))
GRIPS = (NOT_LOOKED_AT, ("none", "none"), ("weak", "weak"), ("full", "full"))
"""One answer for every direction and for both hands; `web.athletes.function_form` asks for each."""
PAIN_FIELDS = ("pain_place", "pain_side", "pain_usual", "pain_now")
"""Usual first: how much it is now is then said beside it."""
LARGEST_NUMBER = 32_767
MORE_FIELDS = ("stature_m", "number")
"""What only some need: folded until something stands in it."""
HINTS = {
    MASS.key: "without the chair",
    ARM_SPAN.key: "finger tip to finger tip",
    STATURE.key: "where the arm span cannot be measured",
    LIMBS.key: "nothing ticked: not asked",
    CONDITION.key: "nothing ticked: not asked",
    LATEX.key: "unknown counts as avoid",
    "trunk": "arms crossed: leans, turns, sits up again; the worst direction counts",
    "grip": "both hands; where they differ, later on the athlete’s page",
    "chair": "usual sizes, until you measure",
}
"""Shorter than where one thing is changed: the page says at its top what “none” and an empty field mean."""


class ShirtNumberField(NumberField):
    """The number on the shirt, which belongs to the club's list and not to the file."""

    def __init__(self) -> None:
        super().__init__(whole=True, required=False, label="Number on the shirt")

    def clean(self, value: Any) -> int | None:
        """Return the number, None for an empty field."""
        number = super().clean(value)
        if number is not None and not (isinstance(number, int) and 0 <= number <= LARGEST_NUMBER):
            raise forms.ValidationError(
                f"{number} is no number of a shirt. Allowed: a whole number from 0 to {LARGEST_NUMBER}. Correct it."
            )
        return number


class NewAthleteForm(TableForm):
    """What is typed for a new athlete."""

    def __init__(self, data: Any = None) -> None:
        super().__init__(data, fields=(NAME, MASS, ARM_SPAN, STATURE, LEVEL, LIMBS, CONDITION, SPASTICITY, LATEX))
        level = self.fields[LEVEL.key]
        assert isinstance(level, forms.ChoiceField)
        level.choices = [
            ("", "unknown"),
            ("none", "no spinal cord injury"),
            *((each, each) for each in LEVEL.choices[1:]),
        ]
        for field in (SPASTICITY, LATEX):
            self.fields[field.key] = form_field(field, radio=True)
        self.fields["number"] = ShirtNumberField()
        for name, label, answers in (("trunk", "Trunk control", CONTROLS), ("grip", "Grip", GRIPS)):
            self.fields[name] = forms.ChoiceField(
                choices=answers, required=False, label=label, widget=forms.RadioSelect
            )
        self.fields["chair"] = forms.ChoiceField(
            choices=CHAIRS,
            initial=CHAIRS[0][0],
            label="Chair",
            widget=forms.RadioSelect,
        )
        self.fields["pain_state"] = forms.ChoiceField(
            choices=PAIN_STATES, required=False, label="Pain today", widget=forms.RadioSelect
        )
        self.fields["pain_place"] = forms.ChoiceField(
            choices=[("", "–"), *((each, each) for each in PAIN_PLACES)], required=False, label="Place"
        )
        self.fields["pain_side"] = forms.ChoiceField(
            choices=[("", "–"), *((each, each) for each in SIDES)], required=False, label="Side"
        )
        self.fields["pain_usual"] = NumberField(whole=True, required=False, label="Usual, 0 to 10")
        self.fields["pain_now"] = NumberField(whole=True, required=False, label="How much now, 0 to 10")
        for name, hint in HINTS.items():
            self.fields[name].help_text = hint
        self.order_fields(
            (
                "name",
                "number",
                "mass_kg",
                "arm_span_m",
                "stature_m",
                LEVEL.key,
                LIMBS.key,
                CONDITION.key,
                "trunk",
                "grip",
                SPASTICITY.key,
                LATEX.key,
                "chair",
            )
        )

    @property
    def more_open(self) -> bool:
        """Whether the folded fields are shown: something stands in one of them, or no size was found."""
        return ARM_SPAN.key in self.errors or any(self[name].value() or self[name].errors for name in MORE_FIELDS)

    @property
    def pain_open(self) -> bool:
        """Whether the fields of a pain are shown whatever is chosen: a pain is described, or has to be corrected."""
        return any(self[name].value() or self[name].errors for name in PAIN_FIELDS)

    def clean(self) -> dict[str, Any]:
        """Refuse a pain that was described and not said to be there."""
        given = super().clean() or self.cleaned_data
        described = [name for name in PAIN_FIELDS if given.get(name) not in (None, "")]
        if described and given.get("pain_state") != PAIN_HERE:
            self.add_error(
                "pain_state",
                "A pain is described below and not said to be there. "
                "Allowed: “pain, as follows”, or an empty description. Choose one.",
            )
        return given

    def document(self) -> Document:
        """Return the athlete file."""
        given = self.cleaned_data
        found = self.table()
        state = given.get("pain_state")
        if state == NO_PAIN:
            put_at(found, PAIN_KEY, "none")
        elif state == PAIN_HERE:
            pain = {key: given.get(f"pain_{key}") for key in ("place", "side", "usual", "now")}
            put_at(found, PAIN_KEY, [{key: value for key, value in pain.items() if value not in (None, "")}])
        for key, answer in self._function():
            put_at(found, key, answer)
        found["chairs"] = [{"kind": given.get("chair", CHAIRS[0][0])}]
        return found

    def _function(self) -> Iterator[tuple[str, str]]:
        """Yield what one answer says of every direction and of both hands, as far as there are hands."""
        trunk, grip = (self.cleaned_data.get(name) for name in ("trunk", "grip"))
        if trunk:
            yield from ((field.key, trunk) for field in TRUNK)
        lost = self.cleaned_data.get(LIMBS.key) or ()
        for side in SIDES:
            if grip and not hand_lost_with(lost, side):
                yield f"function.{side}.grip", grip

    def save(self, *, club: Club, by: Account) -> AthleteRecord | None:
        """Save the athlete; None when core finds a fault, which then stands beside its field."""
        record = AthleteRecord(club=club, number=self.cleaned_data["number"])
        try:
            record.save_document(self.document(), by=by, why="new")
        except InputFileError as error:
            self._tell(error)
            return None
        return record

    def look_further(self) -> None:
        """Find what else is wrong where something could not be read, so that all is told at once."""
        try:
            athlete_from(self.document(), where="page")
        except InputFileError as error:
            self._tell(error)

    def _tell(self, error: InputFileError) -> None:
        for fault in said_once(error.faults, wrong=self.errors):
            place = fault.key.removeprefix(f"{PAIN_KEY}[0].")
            self.add_fault(fault, f"pain_{place}" if place != fault.key else fault.key)
