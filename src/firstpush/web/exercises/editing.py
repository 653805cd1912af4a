"""From what was typed to the document of an exercise file, and back; nothing that has no field is lost."""

from __future__ import annotations

import copy
import re
from collections.abc import Callable, Iterator
from itertools import pairwise, product
from typing import Any

from django.http import QueryDict

from firstpush.web.exercises.band_fields import BANDS, WITHOUT_POST
from firstpush.web.exercises.fields import ARMS, POSED, posed
from firstpush.web.exercises.form_parts import Document, Field, Section

_STEP = re.compile(r"([A-Za-z][A-Za-z0-9_]*)|\[(\d+)\]")
NUMBER = re.compile(r"[+-]?(\d+([.,]\d*)?|[.,]\d+)")
MOST_ROWS = 12
"""Poses, doses, cautions or sources; more are not read from a form."""


def fields_of(form: tuple[Section, ...]) -> Iterator[Field]:
    """Yield every field of a form."""
    for section in form:
        for group in section.groups:
            yield from group.fields


def value_at(document: Document, key: str) -> Any:
    """Return what stands at a dotted key, None where nothing does.

    Examples
    --------
    >>> value_at({"poses": [{"both": {"elbow_deg": 12}}]}, "poses[0].both.elbow_deg")
    12
    """
    found: Any = document
    for step in _steps_of(key):
        try:
            found = found[step]
        except (KeyError, IndexError, TypeError):
            return None
    return found


def put(document: Document, key: str, value: Any) -> None:
    """Write `value` at a dotted key, with the tables on the way; None takes the key away, and tables left empty.

    Examples
    --------
    >>> document = {}
    >>> put(document, "band.height_window_m[1]", 0.25)
    >>> document
    {'band': {'height_window_m': [None, 0.25]}}
    """
    steps = _steps_of(key)
    last = steps[-1]
    if value is None and value_at(document, key) is None:
        return
    inside: Any = document
    for step, following in pairwise(steps):
        empty: Any = [] if isinstance(following, int) else {}
        inside = inside[int(step)] if isinstance(inside, list) else inside.setdefault(step, empty)
    if isinstance(last, int):
        inside.extend([None] * (last + 1 - len(inside)))
        inside[last] = value
    elif value is None:
        inside.pop(last, None)
    else:
        inside[last] = value


def _steps_of(key: str) -> list[str | int]:
    return [name or int(index) for name, index in _STEP.findall(key)]


def typed(document: Document, form: tuple[Section, ...], data: QueryDict) -> Document:
    """Return `document` with what was typed into the fields of `form`.

    A number that is none stays as it was typed: the reader of core says what is wrong with it.
    """
    changed = copy.deepcopy(document)
    for field in fields_of(form):
        if ":" not in field.key:
            put(changed, field.key, _value(field, data, before=value_at(document, field.key)))
    for name in ("ball", "start_load", *BANDS):
        if changed.get(name) == {}:
            del changed[name]
    asked_for = changed.get("effort_6_20")
    if isinstance(asked_for, list) and not any(end is not None for end in asked_for):
        del changed["effort_6_20"]
    for name, window in product(BANDS, ("height_window_m", "distance_window_m")):
        ends = changed.get(name, {}).get(window)
        if isinstance(ends, list) and not any(end is not None for end in ends):
            del changed[name][window]
    _each_side(changed)
    return changed


def _each_side(document: Document) -> None:
    """Write into every dose what follows from the sides."""
    for dose in document.get("doses", ()):
        if document.get("sides") == "each":
            dose["per_side"] = True
        else:
            dose.pop("per_side", None)


def _value(field: Field, data: QueryDict, *, before: Any) -> Any:
    text = str(data.get(field.key, "")).replace("\r\n", "\n").strip()
    if field.takes == "many":
        ticked = [each for each in data.getlist(field.key) if each]
        # In the order of the file, so that sending the form back changes nothing.
        known = [each for each in before if each in ticked] if isinstance(before, list) else []
        return [*known, *(each for each in ticked if each not in known)] or None
    if field.takes == "lines":
        return [line.strip() for line in text.split("\n") if line.strip()] or None
    if field.takes == "yes":
        return True if text else None
    if field.takes == "not no":
        return None if text else False
    if field.takes == "number":
        return as_number(text)
    return text or None


def as_number(text: str) -> int | float | str | None:
    """Return the number that was typed, with a point or a comma; what is none comes back as it is.

    Examples
    --------
    >>> as_number("62"), as_number("62,5"), as_number(" "), as_number("ninety")
    (62, 62.5, None, 'ninety')
    """
    text = text.strip().replace("\N{MINUS SIGN}", "-")
    if not text:
        return None
    if not NUMBER.fullmatch(text) or len(text) > 12:
        return text
    number = float(text.replace(",", "."))
    return int(number) if number.is_integer() and not re.search("[.,]", text) else number


# Forms of a part


def chosen_form(document: Document, key: str) -> str:
    """Return the word that a field with a colon shows: the form in which `document` has that part."""
    at, _, what = key.partition(":")
    if what == "arms":
        return "both alike" if "both" in (value_at(document, at) or {}) else "one by one"
    if what == "posed":
        return POSED[posed(value_at(document, at) or {})]
    band = document.get(at)
    return "none" if band is None else f"fixed to: {band.get('fixed_to')}"


def reformed(document: Document, form: tuple[Section, ...], data: QueryDict) -> Document:
    """Return `document` in the forms that were chosen: arms one by one, a hand held somewhere, a band to the chair."""
    changed = copy.deepcopy(document)
    change: dict[str, Callable[[Document, str, str], None]] = {
        "posed": _pose_otherwise,
        "arms": _arms_otherwise,
        "used": _band_otherwise,
    }
    # The arms of a pose are posed before they are parted.
    for what in ("posed", "arms", "used"):
        for field in fields_of(form):
            at, _, kind = field.key.partition(":")
            wanted = data.get(field.key, "")
            if kind == what and wanted in field.choices and wanted != chosen_form(document, field.key):
                change[what](changed, at, wanted)
    return changed


def _pose_otherwise(document: Document, at: str, wanted: str) -> None:
    arm = value_at(document, at)
    how = next(word for word, told in POSED.items() if told == wanted)
    before = arm.pop("shoulder", {})
    hand = arm.pop("hand", None)
    if how == "hand":
        arm.pop("elbow_deg", None)
        arm["hand"] = {"at": "shoulder", "forward": 0.6, "elbow_points": ["out", "down"]}
        return
    if hand is not None:
        before = {"plane_deg": 90, "elevation_deg": 60}
        arm["elbow_deg"] = 60
    plane, raised = _plane_and_raised(before)
    shoulder = {
        "flexion": {"flexion_deg": raised if _is_number(plane) and plane >= 0 else -raised},
        "abduction": {"abduction_deg": raised},
        "plane": {"plane_deg": plane, "elevation_deg": raised},
    }[how]
    arm["shoulder"] = shoulder | {key: each for key, each in before.items() if key == "rotation_deg"}


def _plane_and_raised(shoulder: Document) -> tuple[float, float]:
    """Return plane and elevation [degrees] of a shoulder in any of its three forms."""
    given = {key: each if _is_number(each) else 0 for key, each in shoulder.items()}
    if "flexion_deg" in given:
        return (90 if given["flexion_deg"] >= 0 else -90), abs(given["flexion_deg"])
    if "abduction_deg" in given:
        return (0 if given["abduction_deg"] >= 0 else 180), abs(given["abduction_deg"])
    return given.get("plane_deg", 0), given.get("elevation_deg", 0)


def _is_number(value: Any) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool)


def _arms_otherwise(document: Document, at: str, wanted: str) -> None:
    pose = value_at(document, at)
    if wanted == "one by one":
        both = pose.pop("both", {})
        pose |= {arm: copy.deepcopy(both) for arm in ARMS}
    else:
        pose["both"] = pose.pop("working", {})
        pose.pop("other", None)


def _band_otherwise(document: Document, at: str, wanted: str) -> None:
    before = document.pop(at, {})
    if wanted == "none":
        if at == "band":
            document.pop(WITHOUT_POST, None)
        return
    fixed_to = wanted.removeprefix("fixed to: ")
    band: Document = {"fixed_to": fixed_to, "grip": "working", "attach": "hand"}
    band |= {key: each for key, each in before.items() if key in ("grip", "attach", "may_lie_on")}
    if fixed_to == "post":
        band |= {"anchor_side": "front", "height_from": "sternum"}
        band |= {"height_window_m": [-0.2, 0.2], "distance_window_m": [0.2, 1.8]}
        document.setdefault("needs", {})["post"] = True
    elif fixed_to == "chair":
        band["chair_point"] = "side rail"
    document[at] = band


# Rows


def with_rows(document: Document, asked: str) -> Document:
    """Return `document` with a row more or less, as "add:doses" or "remove:doses:1" say."""
    changed = copy.deepcopy(document)
    what, _, rest = asked.partition(":")
    rows, _, index = rest.partition(":")
    if rows not in ("poses", "doses", "cautions", "evidence"):
        return changed
    known = changed.setdefault(rows, [])
    if what == "add" and len(known) < MOST_ROWS:
        known.append(_new_row(rows, known))
        if rows == "doses":
            _each_side(changed)
    elif what == "remove" and index.isdigit() and int(index) < len(known):
        del known[int(index)]
        if not known:
            del changed[rows]
    return changed


def _new_row(rows: str, known: list[Document]) -> Document:
    """Return a new row: a pose or dose begins as the last one."""
    if rows in ("poses", "doses") and known:
        row = copy.deepcopy(known[-1])
        row["name"] = f"{row.get('name', '')} again".strip()
        return row
    blank: dict[str, Document] = {
        "poses": {"name": "start", "both": {"shoulder": {"flexion_deg": 0}, "elbow_deg": 20}},
        "doses": {"name": "two sets of ten", "sets": 2, "repetitions": 10},
        "cautions": {"effect": "care"},
        "evidence": {"known": "common practice"},
    }
    return blank[rows]


def without_none(value: Any) -> Any:
    """Return a document without what is empty, which a file cannot hold."""
    if isinstance(value, dict):
        return {key: without_none(each) for key, each in value.items() if each is not None}
    if isinstance(value, list):
        return [without_none(each) for each in value if each is not None]
    return value
