"""The floor that a course of one's own is clicked together on: what a click makes of the form, and the drawing."""

from __future__ import annotations

import json
import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any
from urllib.parse import urlencode

from django.core.exceptions import ValidationError
from django.http import QueryDict
from django.urls import reverse

from firstpush.core.courses import Extent
from firstpush.core.courses.own_clicks import clicked
from firstpush.core.figure.course_floor import AROUND_MM, FloorScale
from firstpush.web.forms import number_from

KINDS = ("cones", "points")
PIECES = ((8.0, 6.0), (12.0, 8.0), (16.0, 10.0), (24.0, 15.0))
"""Pieces of floor to click on [m]: the smaller, the finer a finger hits."""
USUAL = "12x8"
WIDTHS_PX = {"wide": 900, "middle": 640, "narrow": 320}
"""The drawing as wide as it is shown, for each kind of screen: without script a click tells pixels only."""
MM_PER_PX = 25.4 / 96.0
ROUND_M = 0.5
FINGER_PX, LEAST_REACH_M, MOST_REACH_M = 24.0, 0.3, 0.6
FARTHEST_M = 100.0
MOST_UNDONE = 12
ROWS = re.compile(r"(?:(?:cones|points)_\d{1,3}_(?:name|x_m|y_m)|start|order)")
"""The fields that a click changes, and that undo puts back."""


@dataclass(frozen=True, kw_only=True)
class Answer:
    """The form's data after a click, and what is said of it."""

    data: QueryDict
    says: str


def pieces(venues: Mapping[str, tuple[float, float]]) -> list[tuple[str, str]]:
    """Return the pieces of floor that can be clicked on; `venues` are whole floors, length and width [m], by name."""
    found = [(f"{long:g}x{wide:g}", f"{long:g} by {wide:g} m") for long, wide in PIECES]
    return found + [(f"{long:g}x{wide:g}", f"{name}, {long:g} by {wide:g} m") for name, (long, wide) in venues.items()]


def document_of(data: Mapping[str, Any]) -> dict[str, Any]:
    """Return the course as far as its rows can be read: a row without a name or a place has none on the floor."""
    found: dict[str, Any] = {"start": str(data.get("start") or "").strip(), "order": _steps(data)}
    for kind in KINDS:
        found[kind] = []
        for row in _rows(data, kind):
            name = str(data.get(f"{kind}_{row}_name") or "").strip()
            x, y = (_metres(data.get(f"{kind}_{row}_{key}")) for key in ("x_m", "y_m"))
            if name and x is not None and y is not None:
                found[kind].append({"name": name, "x_m": x, "y_m": y, "row": row})
    return found


def _steps(data: Mapping[str, Any]) -> list[str]:
    return [" ".join(each.split()) for each in re.split(r"[,;\n]", str(data.get("order") or "")) if each.strip()]


def _rows(data: Mapping[str, Any], kind: str) -> list[int]:
    return sorted(int(found[1]) for each in data if (found := re.fullmatch(rf"{kind}_(\d{{1,3}})_name", each)))


def _metres(given: Any) -> float | None:
    try:
        metres = float(number_from("" if given is None else str(given)))
    except ValidationError:
        return None
    return metres if abs(metres) <= FARTHEST_M else None


def shown_extent(document: Mapping[str, Any], piece: str) -> Extent:
    """Return the floor that is shown: the piece that was chosen, and more where something stands beyond it."""
    found = re.fullmatch(r"(\d{1,3}(?:\.\d{1,2})?)x(\d{1,3}(?:\.\d{1,2})?)", piece, re.ASCII)
    long, wide = (float(found[1]), float(found[2])) if found else (0.0, 0.0)
    if long < 1.0 or wide < 1.0:
        long, wide = (float(each) for each in USUAL.split("x"))
    places = [place for kind in KINDS for place in document.get(kind, [])]
    xs, ys = [place["x_m"] for place in places], [place["y_m"] for place in places]
    return Extent(
        left=min([0.0, *(x - ROUND_M for x in xs)]),
        right=max([long, *(x + ROUND_M for x in xs)]),
        low=min([0.0, *(y - ROUND_M for y in ys)]),
        high=max([wide, *(y + ROUND_M for y in ys)]),
    )


def scale_of(shown: Extent, kind: str) -> FloorScale:
    """Return how a floor lies in the drawing for one kind of screen."""
    return FloorScale(shown=shown, width_mm=WIDTHS_PX[kind] * MM_PER_PX)


def drawings(document: Mapping[str, Any], shown: Extent) -> list[dict[str, Any]]:
    """Return the drawings for the kinds of screens: name, address and size [px]; the floor's corner and its metres."""
    plain = {
        **{kind: [{key: place[key] for key in ("name", "x_m", "y_m")} for place in document[kind]] for kind in KINDS},
        "start": document["start"],
        "order": document["order"],
    }
    state = json.dumps(plain, separators=(",", ":"))
    found = []
    for kind, width in WIDTHS_PX.items():
        scale = scale_of(shown, kind)
        query = urlencode({"shown": text_of(shown), "course": state})
        found.append(
            {
                "kind": kind,
                "address": f"{reverse('own_floor', kwargs={'kind': kind})}?{query}",
                "width": width,
                "height": round(scale.height_mm / MM_PER_PX),
                "around": round(AROUND_MM / MM_PER_PX, 2),
            }
        )
    return found


def text_of(shown: Extent) -> str:
    """Return a piece of floor as it stands in a hidden field: left, low, right and high [m]."""
    return " ".join(f"{each:g}" for each in (shown.left, shown.low, shown.right, shown.high))


def extent_of(text: str) -> Extent | None:
    """Return the piece of floor that a hidden field says; None for what is none."""
    try:
        left, low, right, high = (float(each) for each in text.split())
    except ValueError:
        return None
    sound = -FARTHEST_M - 1 <= left < right <= 2 * FARTHEST_M and -FARTHEST_M - 1 <= low < high <= 2 * FARTHEST_M
    return Extent(left=left, low=low, right=right, high=high) if sound and right - left >= 0.5 else None


def was_clicked(data: Mapping[str, Any]) -> bool:
    """Whether the form came by a click on the floor, of a hand or of the keys of the script."""
    return "click" in data or any(f"at_{kind}.x" in data for kind in WIDTHS_PX)


def after_click(data: QueryDict) -> Answer:
    """Return the form after a click on the floor; what cannot be read stays as it was typed."""
    shown = extent_of(data.get("shown", ""))
    place, reach = (None, 0.0) if shown is None else _where(data, shown)
    if place is None:
        return Answer(
            data=data.copy(),
            says="That was beside the floor. Click on the floor, or write the metres into the table.",
        )
    document = document_of(data)
    done = clicked(
        document,
        x=place[0],
        y=place[1],
        puts="point" if data.get("puts") == "point" else "cone",
        does={"right": "right", "back": "back", "away": "away"}.get(data.get("does", ""), "left"),  # type: ignore[arg-type]
        reach=reach,
    )
    if not done.changed:
        return Answer(data=data.copy(), says=done.says)
    changed = data.copy()
    changed["before"] = json.dumps([*_history(data), _kept(data)][-MOST_UNDONE:])
    changed["start"], steps = done.document["start"], done.document["order"]
    if steps != document["order"]:
        changed["order"] = "\n".join(steps)
    for kind in KINDS:
        _write_rows(changed, kind, document[kind], done.document[kind])
    return Answer(data=changed, says=done.says)


def after_undo(data: QueryDict) -> Answer:
    """Return the form as it was before the last click; names, words and boxes beside the floor stay."""
    history = _history(data)
    if not history:
        return Answer(data=data.copy(), says="There is no click to undo.")
    changed = data.copy()
    for name in [each for each in data if ROWS.fullmatch(each)]:
        changed[name] = ""
    for name, value in history[-1].items():
        changed[name] = value
    changed["before"] = json.dumps(history[:-1])
    return Answer(data=changed, says="The last click is undone.")


def _where(data: QueryDict, shown: Extent) -> tuple[tuple[float, float] | None, float]:
    """Return where on the floor it was clicked [m], and how near counts as a hit."""
    if "click" in data:
        x, y = _metres(data.get("at_x_m")), _metres(data.get("at_y_m"))
        return (None if x is None or y is None else (x, y)), LEAST_REACH_M
    kind = next(each for each in WIDTHS_PX if f"at_{each}.x" in data)
    scale = scale_of(shown, kind)
    right, down = _metres_free(data.get(f"at_{kind}.x")), _metres_free(data.get(f"at_{kind}.y"))
    if right is None or down is None:
        return None, 0.0
    finger = FINGER_PX * MM_PER_PX / scale.per_metre
    return scale.place(right * MM_PER_PX, down * MM_PER_PX), max(LEAST_REACH_M, min(finger, MOST_REACH_M))


def _metres_free(given: Any) -> float | None:
    try:
        return float(number_from("" if given is None else str(given)))
    except ValidationError:
        return None


def _write_rows(data: QueryDict, kind: str, before: list[dict[str, Any]], after: list[dict[str, Any]]) -> None:
    """Write what a click put down into the first free row, and empty the row of what it took away."""
    left = {place["row"] for place in after if "row" in place}
    for row in (place["row"] for place in before if place["row"] not in left):
        for key in ("name", "x_m", "y_m"):
            data[f"{kind}_{row}_{key}"] = ""
    for place in (each for each in after if "row" not in each):
        rows = _rows(data, kind)
        free = (row for row in rows if not any(data.get(f"{kind}_{row}_{key}") for key in ("name", "x_m", "y_m")))
        row = next(free, max(rows, default=-1) + 1)
        data[f"{kind}_{row}_name"] = place["name"]
        for key in ("x_m", "y_m"):
            data[f"{kind}_{row}_{key}"] = f"{place[key]:.2f}"


def _kept(data: QueryDict) -> dict[str, str]:
    return {name: str(data[name]) for name in data if ROWS.fullmatch(name) and data[name]}


def _history(data: QueryDict) -> list[dict[str, str]]:
    """Return the earlier states that the form carries; what somebody made of that field is no state."""
    try:
        given = json.loads(data.get("before") or "[]")
    except ValueError:
        return []
    if not isinstance(given, list):
        return []
    return [
        {name: value for name, value in each.items() if ROWS.fullmatch(name) and isinstance(value, str)}
        for each in given
        if isinstance(each, dict)
    ][-MOST_UNDONE:]
