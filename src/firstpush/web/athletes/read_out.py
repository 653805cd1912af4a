"""What is known of an athlete and what is not, in words, by group; and what changed from one version to the next."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from firstpush.core.people.athlete import Athlete, Chair
from firstpush.web.athletes.condition_sides import all_conditions, condition_words
from firstpush.web.athletes.fields import (
    BODY,
    CHAIR,
    CONDITION,
    FUNCTION,
    HEALTH,
    LEVEL,
    LIMBS,
    Field,
    arm_fields,
    flat,
    label_of,
    value_at,
)

UNKNOWN = "unknown"


@dataclass(frozen=True, kw_only=True)
class Row:
    """One line: `note` says where a value comes from that nobody measured; `known` is False for what is unknown."""

    label: str
    value: str
    known: bool = True
    note: str = ""


@dataclass(frozen=True, kw_only=True)
class ArmRow:
    """One line about both arms."""

    label: str
    left: Row
    right: Row


@dataclass(frozen=True, kw_only=True)
class ChairShown:
    """A chair in words."""

    name: str
    kind: str
    used: bool
    rows: tuple[Row, ...]
    measured: int


def body_rows(document: Mapping[str, Any]) -> list[Row]:
    """Return lines about the body, without the name."""
    return [_row(document, field) for field in BODY if field.key != "name"]


def trunk_rows(document: Mapping[str, Any]) -> list[Row]:
    """Return lines about the trunk, and about spasticity."""
    return [_row(document, field) for field in FUNCTION if ".trunk." in field.key or field.key.endswith("spasticity")]


def arm_rows(document: Mapping[str, Any]) -> list[ArmRow]:
    """Return lines about both arms."""
    return [
        ArmRow(label=left.label, left=_row(document, left), right=_row(document, right))
        for left, right in zip(arm_fields("left"), arm_fields("right"), strict=True)
    ]


def health_rows(document: Mapping[str, Any]) -> list[Row]:
    """Return lines about health, pain by place among them."""
    rows = [_row(document, field) for field in HEALTH if field is not CONDITION]
    conditions = condition_words(document)
    at = HEALTH.index(CONDITION)
    rows.insert(at, Row(label=CONDITION.label, value=CONDITION.shown(conditions), known=conditions is not None))
    pain = value_at(document, "health.pain")
    if not isinstance(pain, list):
        return [*rows, Row(label="Pain", value=UNKNOWN if pain is None else "none", known=pain is not None)]
    return [*rows, *(_pain_row(each) for each in pain)]


def _pain_row(pain: Mapping[str, Any]) -> Row:
    place = " ".join(str(pain[key]) for key in ("side", "place") if pain.get(key))
    numbers = [f"{key} {_or_unknown(pain.get(key))}" for key in ("usual", "now")]
    return Row(label=f"Pain, {place}", value=", ".join(numbers))


def _or_unknown(value: Any) -> str:
    return UNKNOWN if value in (None, UNKNOWN) else str(value)


IMPAIRMENTS = ("spina bifida", "hemiplegia")
"""Conditions that say, beside a level and missing limbs, why somebody sits in a chair."""


def impairment(document: Mapping[str, Any]) -> str:
    """Return in a few words what the function of an athlete is limited by, as far as the document says."""
    level = value_at(document, LEVEL.key)
    limbs = value_at(document, LIMBS.key)
    conditions = all_conditions(document)
    found = [] if level in (None, "none") else [str(level)]
    found += [each for each in IMPAIRMENTS if isinstance(conditions, list) and each in conditions]
    if isinstance(limbs, list):
        found.append("without " + ", ".join(limbs))
    if not found:
        return UNKNOWN if level is None else "no spinal cord injury"
    return "; ".join(found)


def strength_rows(athlete: Athlete) -> list[Row]:
    """Return lines about strength tests."""
    return [
        Row(
            label=f"{test.movement[:1].upper()}{test.movement[1:]}, {test.side}",
            value=f"{test.moment:g} N·m",
            note=f"{test.position}, {test.test} test",
        )
        for test in athlete.strength
    ]


def chairs_shown(athlete: Athlete) -> list[ChairShown]:
    """Return the chairs, the used one first; what was not measured says so."""
    return [
        ChairShown(
            name=chair.name,
            kind=chair.kind,
            used=index == 0,
            rows=tuple(_chair_row(chair, field) for field in CHAIR if field.key not in ("name", "kind")),
            measured=len(chair.measured),
        )
        for index, chair in enumerate(athlete.chairs)
    ]


CHAIR_DIGITS = 2
_SUFFIXES = ("_m", "_kg", "_deg", "_percent")


def _chair_row(chair: Chair, field: Field) -> Row:
    attribute = next((field.key.removesuffix(end) for end in _SUFFIXES if field.key.endswith(end)), field.key)
    value = getattr(chair, attribute)
    measured = attribute in chair.measured
    if value is None:
        said = attribute == "anti_tip" and measured
        return Row(label=field.label, value="none" if said else UNKNOWN, known=said)
    if field.key.endswith("_deg"):
        value = math.degrees(value)
    elif field.key.endswith("_percent"):
        value = 100 * value
    if isinstance(value, float):
        value = round(value, 3)
    shown = field.shown(value)
    if isinstance(value, float) and field.key.endswith("_m"):
        # The same digits in every line, so that lengths can be compared; finer where it was measured so.
        digits = max(CHAIR_DIGITS, len(f"{value:g}".partition(".")[2]))
        shown = f"{value:.{digits}f} {field.unit}"
    note = "" if measured else "usual, not measured"
    return Row(label=field.label, value=shown, note=note, known=measured)


def _row(document: Mapping[str, Any], field: Field) -> Row:
    value = value_at(document, field.key)
    return Row(label=field.label, value=field.shown(value), known=value is not None)


# What changed


def changes(before: Mapping[str, Any], after: Mapping[str, Any]) -> list[str]:
    """Return one line for every key that differs: what it is called, what it was and what it is."""
    old, new = dict(flat(before)), dict(flat(after))
    found = []
    for key in dict.fromkeys((*new, *old)):
        if old.get(key) != new.get(key):
            label, field = label_of(key)
            found.append(f"{label}: {_said(field, old.get(key))} → {_said(field, new.get(key))}")
    return found


def _said(field: Field | None, value: Any) -> str:
    if field is not None:
        return field.shown(value)
    if isinstance(value, Sequence) and not isinstance(value, str):
        return ", ".join(map(str, value)) or "none"
    return UNKNOWN if value is None else str(value)
