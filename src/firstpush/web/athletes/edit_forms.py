"""What is changed of an athlete, group by group: body, health with pain, strength tests, chairs."""

from __future__ import annotations

from typing import Any

from django import forms

from firstpush.web.athletes.condition_sides import add_side_fields, check_sides, put_sides
from firstpush.web.athletes.fields import (
    BODY,
    CHAIR,
    CHAIRS_KEY,
    HEALTH,
    PAIN,
    PAIN_KEY,
    STRENGTH,
    STRENGTH_KEY,
    Document,
    put_at,
)
from firstpush.web.athletes.models import AthleteRecord
from firstpush.web.athletes.new_form import NO_PAIN, NOT_ASKED, PAIN_HERE, PAIN_STATES, ShirtNumberField
from firstpush.web.athletes.table_form import Entry, RowForm, Rows

USED = "used_chair"


class BodyEntry(Entry):
    """Name, number on the shirt, masses and lengths."""

    def __init__(self, record: AthleteRecord, data: Any) -> None:
        super().__init__(record, data, fields=BODY)
        self.form.fields["number"] = ShirtNumberField()
        self.form.initial["number"] = record.number
        self.form.order_fields(("name", "number"))

    def save_beside(self) -> bool:
        """Save the number on the shirt, which stands beside the document; return whether it changed."""
        number = self.form.cleaned_data["number"]
        if number == self.record.number:
            return False
        self.record.number = number
        self.record.save(update_fields=["number"])
        return True


class HealthEntry(Entry):
    """Injury, conditions, latex, and pain by place."""

    def __init__(self, record: AthleteRecord, data: Any) -> None:
        stored = (record.document.get("health") or {}).get("pain")
        tables = stored if isinstance(stored, list) else []
        super().__init__(
            record, data, fields=HEALTH, rows=[Rows(data, key=PAIN_KEY, fields=PAIN, tables=tables, more=1)]
        )
        self.form.fields["pain_state"] = forms.ChoiceField(
            choices=PAIN_STATES, required=False, label="Pain", widget=forms.RadioSelect
        )
        self.form.initial["pain_state"] = PAIN_HERE if tables else stored if stored == NO_PAIN else NOT_ASKED
        add_side_fields(self.form, record.document)

    def is_valid(self) -> bool:
        """Whether what is typed can be read, and does not contradict itself."""
        if not super().is_valid():
            return False
        check_sides(self.form)
        state, described = self.form.cleaned_data["pain_state"], self.rows[0].used
        if described and state != PAIN_HERE:
            self.form.add_error(
                "pain_state",
                "A pain is described and not said to be there. "
                "Allowed: “pain, as follows”, or every place taken out. Choose one.",
            )
        elif state == PAIN_HERE and not described:
            self.form.add_error(
                "pain_state", "No place is described. Allowed: a place with its numbers. Add one below."
            )
        return not self.has_faults

    def document(self) -> Document:
        """Return the document with pain said, or left unknown, and each condition with its side."""
        found = super().document()
        put_sides(found, self.form)
        if self.form.cleaned_data.get("pain_state") == NO_PAIN:
            put_at(found, PAIN_KEY, NO_PAIN)
        return found


class StrengthEntry(Entry):
    """Strength tests by dynamometer."""

    def __init__(self, record: AthleteRecord, data: Any) -> None:
        tables = record.document.get(STRENGTH_KEY, [])
        super().__init__(record, data, rows=[Rows(data, key=STRENGTH_KEY, fields=STRENGTH, tables=tables, more=2)])


class ChairsEntry(Entry):
    """The chairs; the one that is used stands first in the document."""

    def __init__(self, record: AthleteRecord, data: Any) -> None:
        tables = record.document.get(CHAIRS_KEY, [])
        super().__init__(record, data, rows=[Rows(data, key=CHAIRS_KEY, fields=CHAIR, tables=tables, more=1)])
        asked = str(data.get(USED, "")) if data is not None else ""
        if asked.isdecimal() and len(asked) < 4:
            self.rows[0].first = int(asked)

    @property
    def with_used(self) -> list[tuple[RowForm, bool]]:
        """Each chair as it stands on the page, with whether it is the one that is used."""
        return [(row, place == self.rows[0].first) for place, row in enumerate(self.rows[0].forms)]
