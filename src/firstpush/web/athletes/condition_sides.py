"""Which shoulder a condition is of: asked beside the ticks, written as the file has it."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from django import forms

from firstpush.core.people.athlete import SIDED_CONDITIONS, SIDES
from firstpush.web.athletes.fields import CONDITION, Document, put_at, value_at

BOTH = ("", "both, or not known")
FIELD_NAMES = {condition: "side_of_" + condition.replace(" ", "_") for condition in SIDED_CONDITIONS}
"""What the form calls the side of a condition."""


def _key(side: str) -> str:
    return f"{CONDITION.key}_{side}"


def all_conditions(document: Mapping[str, Any]) -> Any:
    """Return every condition of a document, those of one side among them; else the word there, or None."""
    said = value_at(document, CONDITION.key)
    of_sides = [each for side in SIDES for each in _listed(value_at(document, _key(side)))]
    if not of_sides:
        return said
    return list(dict.fromkeys([*_listed(said), *of_sides]))


def side_of(document: Mapping[str, Any], condition: str) -> str:
    """Return the one side that a condition is of; empty for both, or not known."""
    if condition in _listed(value_at(document, CONDITION.key)):
        return ""
    sides = [side for side in SIDES if condition in _listed(value_at(document, _key(side)))]
    return sides[0] if len(sides) == 1 else ""


def _listed(value: Any) -> list[str]:
    return [str(each) for each in value] if isinstance(value, list) else []


def add_side_fields(form: forms.Form, document: Mapping[str, Any]) -> None:
    """Ask of which shoulder each condition is that has one."""
    form.initial[CONDITION.key] = all_conditions(document)
    for condition, name in FIELD_NAMES.items():
        form.fields[name] = forms.ChoiceField(
            choices=[BOTH, *((side, f"{side} alone") for side in SIDES)],
            required=False,
            label=f"{condition.capitalize()}: of which shoulder",
        )
        form.initial[name] = side_of(document, condition)


def check_sides(form: forms.Form) -> None:
    """Refuse a side of a condition that is not ticked."""
    ticked = form.cleaned_data.get(CONDITION.key)
    if CONDITION.key in form.errors:
        return
    for condition, name in FIELD_NAMES.items():
        side = form.cleaned_data.get(name)
        if side and condition not in _listed(ticked):
            form.add_error(
                name,
                f"“{side} alone” is chosen and {condition} is not ticked. "
                f"Allowed: a side of what is ticked. Tick {condition}, or choose “{BOTH[1]}”.",
            )


def put_sides(document: Document, form: forms.Form) -> None:
    """Write each condition where the file has it: with its side, or among those of no one side."""
    ticked = form.cleaned_data.get(CONDITION.key)
    listed = _listed(ticked)
    sides = {condition: form.cleaned_data.get(name) for condition, name in FIELD_NAMES.items()}
    sided = {side: [each for each in listed if sides.get(each) == side] for side in SIDES}
    for side, those in sided.items():
        put_at(document, _key(side), those or None)
    if any(sided.values()):
        put_at(document, CONDITION.key, [each for each in listed if not sides.get(each)] or "none")


def condition_words(document: Mapping[str, Any]) -> Any:
    """Return all conditions for a page, each with its side where it has one."""
    found = all_conditions(document)
    if not isinstance(found, list):
        return found
    sides = {each: side_of(document, each) for each in found}
    return [f"{each} ({sides[each]})" if sides[each] else each for each in found]
