"""How the form of an exercise is shown: every field with what stands in it and what is wrong with it."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from firstpush.core.errors import Fault
from firstpush.web.exercises.editing import chosen_form, fields_of, value_at
from firstpush.web.exercises.form_parts import Document, Field, Group, Section
from firstpush.web.forms import name_of, sentence_of

Faults = dict[str, list[str]]
"""Sentences by the key of the field they stand beside; under "" those that belong to none."""


@dataclass(frozen=True, kw_only=True)
class Choice:
    """One choice of a field."""

    value: str
    words: str
    chosen: bool


@dataclass(frozen=True, kw_only=True)
class ShownField:
    """A field with its content."""

    field: Field
    value: str
    ticked: bool
    choices: tuple[Choice, ...]
    faults: tuple[str, ...]

    @property
    def id(self) -> str:
        """Return the id that its label points to."""
        return "field-" + re.sub(r"[^a-z0-9]+", "-", self.field.key.casefold()).strip("-")


@dataclass(frozen=True, kw_only=True)
class ShownGroup:
    """A group with its content; `remove` is what its button says to take it away."""

    group: Group
    fields: tuple[ShownField, ...]
    remove: str


@dataclass(frozen=True, kw_only=True)
class ShownSection:
    """A section with its content; `open` when something in it must be looked at."""

    section: Section
    groups: tuple[ShownGroup, ...]
    open: bool


def shown_sections(form: tuple[Section, ...], document: Document, faults: Faults) -> tuple[ShownSection, ...]:
    """Return the form with what stands in `document` and the faults beside their fields."""
    found = []
    for section in form:
        groups = tuple(
            ShownGroup(
                group=group,
                fields=tuple(_shown(field, document, faults) for field in group.fields),
                remove=f"remove:{group.rows}:{group.index}" if group.rows else "",
            )
            for group in section.groups
        )
        wrong = any(field.faults for group in groups for field in group.fields)
        found.append(ShownSection(section=section, groups=groups, open=wrong or section.id.startswith("pose")))
    return tuple(found)


def _shown(field: Field, document: Document, faults: Faults) -> ShownField:
    value: Any = chosen_form(document, field.key) if ":" in field.key else value_at(document, field.key)
    several = [str(each) for each in value] if isinstance(value, list) else []
    offered = list(field.choices)
    # What the file says is kept, though no choice offers it.
    if field.takes == "choice" and isinstance(value, str) and value and value not in offered:
        offered.append(value)
    if field.takes == "many":
        offered += [each for each in several if each not in offered]
    return ShownField(
        field=field,
        value="\n".join(several) if several else "" if value is None or value == [] else str(value),
        ticked=value is not False if field.takes == "not no" else value is True,
        choices=tuple(
            Choice(value=each, words=each.replace("_", " "), chosen=each in several or each == value)
            for each in offered
        ),
        faults=tuple(faults.get(field.key, ())),
    )


def faults_beside(faults: Iterable[Fault], form: tuple[Section, ...]) -> Faults:
    """Return the sentence of every fault under the field it is about, or the nearest to it in the file."""
    keys, labels = [field.key for field in fields_of(form)], labels_of(form)
    found: Faults = {}
    for fault in faults:
        sentence = sentence_of(fault, labels=labels)
        beside = next((key for key in _nearest(fault.key) if key in keys), "")
        found.setdefault(beside, []).append(sentence if beside else f"{name_of(fault.key, labels=labels)}: {sentence}")
    return found


def labels_of(form: tuple[Section, ...]) -> dict[str, str]:
    """Return what each field is called, by the last part of its key."""
    return {re.sub(r".*\.|\[\d+\]$", "", field.key): field.label for field in fields_of(form) if ":" not in field.key}


def _nearest(key: str) -> Iterable[str]:
    """Yield `key`, its first part where it is a window, and the tables it stands in."""
    yield key
    yield f"{key}[0]"
    while key:
        key = re.sub(r"(\.[^.\[]+|\[\d+\]|^[^.\[]+)$", "", key)
        yield key
        yield f"{key}:posed"
