"""What is known of an athlete and what is not, in words, by group; and what changed from one version to the next."""

from __future__ import annotations

import math
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from firstpush.core.people.athlete import Athlete, Chair
from firstpush.web.athletes.condition_sides import all_conditions, condition_words
from firstpush.web.athletes.fields import (
    BODY,
    CHAIR,
    CONDITION,
    HEALTH,
    LEVEL,
    LIMBS,
    NAME,
    PAIN_LIMIT_KEY,
    SPASTICITY,
    TRUNK,
    Field,
    arm_fields,
    flat,
    label_of,
    value_at,
)

UNKNOWN = "unknown"


@dataclass(frozen=True, kw_only=True)
class Row:
    """One line: `note` says how a value was found; `known` is False for what is unknown, `brief` names it in a list."""

    label: str
    value: str
    known: bool = True
    note: str = ""
    brief: str = ""


@dataclass(frozen=True, kw_only=True)
class ArmRow:
    """One line about both arms."""

    label: str
    left: Row
    right: Row

    @property
    def known(self) -> bool:
        """Whether anything is known of either arm."""
        return self.left.known or self.right.known


@dataclass(frozen=True, kw_only=True)
class Part:
    """What is known of one part, line by line, and a list of what is not: an unknown has no line of its own."""

    rows: tuple[Row, ...]
    not_known: str

    @classmethod
    def of(cls, rows: Iterable[Row]) -> Part:
        """Return `rows` parted into what is known and what is not."""
        found = tuple(rows)
        return cls(
            rows=tuple(row for row in found if row.known),
            not_known=", ".join(row.brief for row in found if not row.known),
        )


@dataclass(frozen=True, kw_only=True)
class FunctionShown:
    """Function: what is known of the trunk and of the arms, and a list of what nobody has looked at.

    What was looked at on one side or in one direction alone keeps its lines, the unknown ones among them: there an
    unknown is a gap beside something known.
    """

    trunk: tuple[Row, ...]
    arms: tuple[ArmRow, ...]
    not_known: str


@dataclass(frozen=True, kw_only=True)
class ChairShown:
    """A chair in words: `usual` holds what is taken from a usual chair of its kind, because nobody measured it."""

    name: str
    kind: str
    used: bool
    measured: tuple[Row, ...]
    usual: tuple[Row, ...]
    not_known: str

    @property
    def is_named(self) -> bool:
        """Whether its name says more than its kind."""
        return self.name != f"{self.kind} chair"

    @property
    def rows(self) -> tuple[Row, ...]:
        """Everything that a set-up is reckoned with."""
        return self.measured + self.usual


def body_shown(document: Mapping[str, Any], *, beside: Collection[str] = ()) -> Part:
    """Return what is known about the body, without the name, and without what is known of `beside`: shown elsewhere."""
    rows = {field.key: _row(document, field) for field in BODY if field is not NAME}
    return Part.of(row for key, row in rows.items() if not (row.known and key in beside))


def function_shown(document: Mapping[str, Any]) -> FunctionShown:
    """Return what is known about trunk, arms and spasticity."""
    trunk = [_row(document, field) for field in TRUNK]
    spasticity = _row(document, SPASTICITY)
    arms = [
        ArmRow(label=left.label, left=_row(document, left), right=_row(document, right))
        for left, right in zip(arm_fields("left"), arm_fields("right"), strict=True)
    ]
    looked_at = any(row.known for row in trunk)
    missing = [] if looked_at else ["trunk control"]
    missing += [row.left.brief for row in arms if not row.known]
    missing += [] if spasticity.known else [spasticity.brief]
    return FunctionShown(
        trunk=(*(trunk if looked_at else ()), *([spasticity] if spasticity.known else ())),
        arms=tuple(row for row in arms if row.known),
        not_known=", ".join(missing),
    )


def health_shown(document: Mapping[str, Any]) -> Part:
    """Return what is known about health, pain by place among it; a limit that nobody has set is no gap in it."""
    return Part.of(_health_rows(document))


def _health_rows(document: Mapping[str, Any]) -> list[Row]:
    fields = [each for each in HEALTH if each.key != PAIN_LIMIT_KEY or value_at(document, each.key) is not None]
    rows = [
        _said_row(each, condition_words(document)) if each is CONDITION else _row(document, each) for each in fields
    ]
    pain = value_at(document, "health.pain")
    if not isinstance(pain, list):
        said = UNKNOWN if pain is None else "none"
        return [*rows, Row(label="Pain", value=said, known=pain is not None, brief="pain")]
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
    """Return the chairs, the used one first; what was not measured stands apart."""
    return [_chair_shown(chair, used=index == 0) for index, chair in enumerate(athlete.chairs)]


def _chair_shown(chair: Chair, *, used: bool) -> ChairShown:
    measured: list[Row] = []
    usual: list[Row] = []
    for field in CHAIR:
        if field.key not in ("name", "kind"):
            (measured if _attribute(field) in chair.measured else usual).append(_chair_row(chair, field))
    others = Part.of(usual)
    return ChairShown(
        name=chair.name,
        kind=chair.kind,
        used=used,
        measured=tuple(measured),
        usual=others.rows,
        not_known=others.not_known,
    )


CHAIR_DIGITS = 2
_SUFFIXES = ("_m", "_kg", "_deg", "_percent")


def _attribute(field: Field) -> str:
    """Return what core calls a field of a chair."""
    return next((field.key.removesuffix(end) for end in _SUFFIXES if field.key.endswith(end)), field.key)


def _chair_row(chair: Chair, field: Field) -> Row:
    attribute = _attribute(field)
    value = getattr(chair, attribute)
    if value is None:
        said = attribute == "anti_tip" and attribute in chair.measured
        return Row(label=field.label, value="none" if said else UNKNOWN, known=said, brief=field.in_a_list)
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
    return Row(label=field.label, value=shown)


def _row(document: Mapping[str, Any], field: Field) -> Row:
    return _said_row(field, value_at(document, field.key))


def _said_row(field: Field, value: Any) -> Row:
    return Row(label=field.label, value=field.shown(value), known=value is not None, brief=field.in_a_list)


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
