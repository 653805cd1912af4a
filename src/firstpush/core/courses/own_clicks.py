"""A course of one's own made by clicks on the floor: what a click does to its cones, points and order.

Documents here are those of `course_from`, still unfinished: what is missing is asked for when the course is saved.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from itertools import count
from string import ascii_uppercase
from typing import Any, Literal

Puts = Literal["cone", "point"]
Does = Literal["left", "right", "back", "away"]
SNAP_M = 0.05
"""What is clicked lies on a multiple of this [m]: no tape lays a cone to the centimetre."""


@dataclass(frozen=True, kw_only=True)
class Clicked:
    """The document after a click, what happened in one sentence, and whether anything did."""

    document: dict[str, Any]
    says: str
    changed: bool = True


def clicked(document: Mapping[str, Any], *, x: float, y: float, puts: Puts, does: Does, reach: float) -> Clicked:
    """Return what a click on the floor makes of a course.

    Parameters
    ----------
    document : mapping
        `cones`, `points`, `start` and `order`, as far as they are there; places with `name`, `x_m` and `y_m`.
    x, y : float
        Where it was, from the same corner as the places [m].
    puts : str
        What comes to stand on free floor: a "cone", or a "point" where the chair starts or stops.
    does : str
        What happens to a cone or point that is hit: "left" and "right" make a cone the next of the order, on that
        hand, and push to a point and stop; "back" pulls to a point; "away" takes it and its words away.
    reach : float
        How near a click must be to hit what stands there [m].

    Returns
    -------
    Clicked

    Examples
    --------
    >>> clicked({}, x=2.513, y=1.19, puts="cone", does="left", reach=0.3).says
    'Cone 1 stands 2.50 m to the right, 1.20 m away.'
    """
    found: dict[str, Any] = {
        "cones": [dict(each) for each in document.get("cones", [])],
        "points": [dict(each) for each in document.get("points", [])],
        "start": document.get("start", ""),
        "order": list(document.get("order", [])),
    }
    hit = _hit(found, x, y, reach)
    if hit is None:
        return _put(found, x, y, puts)
    kind, place = hit
    if does == "away":
        return _take_away(found, kind, place)
    return _next_cone(found, place, does) if kind == "cones" else _next_point(found, place, does)


def snapped(metres: float) -> float:
    """Return a length at the nearest multiple of `SNAP_M` [m]."""
    return round(round(metres / SNAP_M) * SNAP_M, 2) + 0.0


def _hit(document: dict[str, Any], x: float, y: float, reach: float) -> tuple[str, dict[str, Any]] | None:
    near = [
        (math.hypot(place["x_m"] - x, place["y_m"] - y), kind, place)
        for kind in ("cones", "points")
        for place in document[kind]
    ]
    nearest = min(near, key=lambda each: each[0], default=None)
    return None if nearest is None or nearest[0] > reach else nearest[1:]


def _put(document: dict[str, Any], x: float, y: float, puts: Puts) -> Clicked:
    kind = "cones" if puts == "cone" else "points"
    taken = {place["name"] for which in ("cones", "points") for place in document[which]}
    name = next(each for each in _names(puts) if each not in taken)
    place = {"name": name, "x_m": snapped(x), "y_m": snapped(y)}
    document[kind].append(place)
    where = f"{place['x_m']:.2f} m to the right, {place['y_m']:.2f} m away"
    if puts == "cone":
        return Clicked(document=document, says=f"Cone {name} stands {where}.")
    if document["start"]:
        return Clicked(document=document, says=f"Point {name} lies {where}.")
    document["start"] = name
    return Clicked(document=document, says=f"Point {name} lies {where}: the chair starts there.")


def _names(puts: Puts) -> Iterator[str]:
    if puts == "cone":
        yield from (str(number) for number in count(1))
    yield from ascii_uppercase
    yield from (f"P{number}" for number in count(1))


def _take_away(document: dict[str, Any], kind: str, place: dict[str, Any]) -> Clicked:
    name = place["name"]
    words = rf"{re.escape(name)}[LR]" if kind == "cones" else rf"(back )?to {re.escape(name)}"
    kept = [each for each in document["order"] if not re.fullmatch(words, each)]
    gone = len(document["order"]) - len(kept)
    document[kind] = [each for each in document[kind] if each is not place]
    document["order"] = kept
    said = f"{'Cone' if kind == 'cones' else 'Point'} {name} is taken away"
    if gone:
        said += f", and {gone} {'step' if gone == 1 else 'steps'} of the order"
    if kind == "points" and document["start"] == name:
        document["start"] = ""
        said += ", and the start: give another"
    return Clicked(document=document, says=f"{said}.")


def _next_cone(document: dict[str, Any], place: dict[str, Any], does: Does) -> Clicked:
    name, order = place["name"], document["order"]
    if does == "back":
        said = f"Cone {name} is passed on a hand, and not pulled to: choose left or right, or click on a point."
        return Clicked(document=document, says=said, changed=False)
    if order and re.fullmatch(rf"{re.escape(name)}[LR]", order[-1]):
        said = f"Cone {name} was passed last: pass another one between, or stop at a point."
        return Clicked(document=document, says=said, changed=False)
    order.append(f"{name}{'L' if does == 'left' else 'R'}")
    return Clicked(document=document, says=f"Step {len(order)}: past cone {name}, on the {does} hand.")


def _next_point(document: dict[str, Any], place: dict[str, Any], does: Does) -> Clicked:
    name, order = place["name"], document["order"]
    stops = [each for each in order if not each.startswith("turn ")]
    here = document["start"] if not stops else re.sub(r"^(back )?to ", "", stops[-1])
    if here == name:
        said = f"The chair stands on point {name} already: pass a cone first, or click on another point."
        return Clicked(document=document, says=said, changed=False)
    order.append(f"back to {name}" if does == "back" else f"to {name}")
    how = "pulled backwards to" if does == "back" else "pushed to"
    return Clicked(document=document, says=f"Step {len(order)}: {how} point {name}, and stop.")
