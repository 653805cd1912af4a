"""A piece of floor to click on: its metres, the cones and points that stand there, and the order from one to the next.

What is drawn here is not driven: straight strokes only say what comes after what.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from itertools import pairwise
from typing import Any

import numpy as np

from firstpush.core.body.rotations import Array
from firstpush.core.courses import CONE_RADIUS, Extent
from firstpush.core.figure.course_labels import name_disc
from firstpush.core.figure.course_marks import WALL_MM, head_points
from firstpush.core.figure.outlines import Layer, line
from firstpush.core.figure.palette import COURT, COURT_PALE, INK, PAPER
from firstpush.core.figure.svg import document as whole
from firstpush.core.figure.svg import number, paint_all, text_at

LETTERS_PT = 8.0
METRES_EVERY = ((1, 12.0), (2, 24.0), (5, 400.0))
"""Every how many metres a figure stands, for floors up to so many metres wide."""
DISC_MM, SQUARE_MM = 1.9, 2.1
AROUND_MM = 6.0
"""Paper round the floor: figures stand there, and a click there is none on the floor."""


@dataclass(frozen=True, kw_only=True)
class FloorScale:
    """How a piece of floor lies on its paper: `width_mm` of paper, `per_metre` mm each; the floor's edges [m]."""

    shown: Extent
    width_mm: float

    @property
    def per_metre(self) -> float:
        """Millimetres of paper for a metre of floor."""
        return (self.width_mm - 2 * AROUND_MM) / self.shown.width

    @property
    def height_mm(self) -> float:
        """Of the paper."""
        return self.shown.depth * self.per_metre + 2 * AROUND_MM

    def at(self, x: float, y: float) -> tuple[float, float]:
        """Return where a place of the floor [m] lies on the paper [mm]."""
        return (
            AROUND_MM + (x - self.shown.left) * self.per_metre,
            AROUND_MM + (self.shown.high - y) * self.per_metre,
        )

    def place(self, right_mm: float, down_mm: float) -> tuple[float, float] | None:
        """Return which place of the floor lies at a point of the paper [m]; None beside the floor."""
        x = self.shown.left + (right_mm - AROUND_MM) / self.per_metre
        y = self.shown.high - (down_mm - AROUND_MM) / self.per_metre
        inside = self.shown.left <= x <= self.shown.right and self.shown.low <= y <= self.shown.high
        return (x, y) if inside else None


def draw_course_floor(document: Mapping[str, Any], *, scale: FloorScale) -> str:
    """Return the floor with an unfinished course of one's own on it, as SVG.

    Parameters
    ----------
    document : mapping
        `cones`, `points`, `start` and `order`, as far as they are there.
    scale : FloorScale
        Lengths on it are true to each other; the drawing is for the eye and the finger, not for a ruler.
    """
    shown = scale.shown
    layers = [*_grid(scale), *_steps(document, scale)]
    words = _metres(scale)
    for cone in document.get("cones", []):
        x, y = scale.at(cone["x_m"], cone["y_m"])
        radius = max(DISC_MM, CONE_RADIUS.value * scale.per_metre)
        words += f'<circle class="cone" cx="{number(x)}" cy="{number(y)}" r="{number(radius)}" fill="{INK}"/>'
        words += name_disc(cone["name"], x=x, y=y, scheme="paper")
    for point in document.get("points", []):
        words += _point(point["name"], *scale.at(point["x_m"], point["y_m"]), starts=point["name"] == document["start"])
    return whole(
        f'{paint_all(_walls(scale), "paper")}<g class="grid"/>{paint_all(layers, "paper")}<g class="words">{words}</g>',
        width_mm=scale.width_mm,
        height_mm=scale.height_mm,
        title=f"A floor of {shown.width:g} by {shown.depth:g} m to click on",
        description=", ".join(_in_words(document)) or "nothing stands on it yet",
        ground=PAPER,
    )


def _in_words(document: Mapping[str, Any]) -> list[str]:
    return [
        f"{word} {place['name']} at {place['x_m']:g} m to the right and {place['y_m']:g} m away"
        for word, kind in (("cone", "cones"), ("point", "points"))
        for place in document.get(kind, [])
    ]


def _walls(scale: FloorScale) -> list[Layer]:
    shown = scale.shown
    corners = [(shown.left, shown.low), (shown.right, shown.low), (shown.right, shown.high), (shown.left, shown.high)]
    ring = np.array([scale.at(*each) for each in (*corners, corners[0])])
    return [Layer(geometry=line(ring), stroke=INK, width=WALL_MM / 2, cap="butt", role="detail")]


def _grid(scale: FloorScale) -> list[Layer]:
    shown, lines = scale.shown, []
    for x in np.arange(np.ceil(shown.left), np.floor(shown.right) + 1):
        lines.append(np.array([scale.at(x, shown.low), scale.at(x, shown.high)]))
    for y in np.arange(np.ceil(shown.low), np.floor(shown.high) + 1):
        lines.append(np.array([scale.at(shown.left, y), scale.at(shown.right, y)]))
    return [Layer(geometry=line(each), stroke=COURT_PALE, width=0.22, cap="butt", role="detail") for each in lines]


def _metres(scale: FloorScale) -> str:
    """Return the figures along the near and the left edge."""
    shown = scale.shown
    every = next(step for step, up_to in METRES_EVERY if shown.width <= up_to)
    out = ""
    for x in range(int(np.ceil(shown.left / every)) * every, int(np.floor(shown.right)) + 1, every):
        at, _ = scale.at(x, shown.low)
        out += text_at(f"{x}", x=at, y=scale.height_mm - 1.6, size_pt=LETTERS_PT, colour=INK, anchor="middle")
    for y in range(int(np.ceil(shown.low / every)) * every, int(np.floor(shown.high)) + 1, every):
        _, at = scale.at(shown.left, y)
        out += text_at(f"{y}", x=AROUND_MM - 1.4, y=at + 1.0, size_pt=LETTERS_PT, colour=INK, anchor="end")
    return out


def _point(name: str, x: float, y: float, *, starts: bool) -> str:
    """Return a point where the chair stops: a square with its letter; the start with a double edge."""
    import shapely

    layers = []
    for half in (SQUARE_MM + 0.9, SQUARE_MM) if starts else (SQUARE_MM,):
        square = shapely.box(x - half, y - half, x + half, y + half)
        layers.append(Layer(geometry=square, fill=PAPER))
        layers.append(Layer(geometry=square.boundary, stroke=INK, width=0.35, role="detail"))
    return paint_all(layers, "paper") + text_at(
        name, x=x, y=y + 1.05, size_pt=LETTERS_PT, colour=INK, anchor="middle", bold=True
    )


def _steps(document: Mapping[str, Any], scale: FloorScale) -> list[Layer]:
    """Return a stroke from each place of the order to the next: dashed with a hollow head where it is pulled."""
    import shapely

    at: dict[tuple[str, str], Array] = {}
    for kind in ("cones", "points"):
        for place in document.get(kind, []):
            at[kind, place["name"]] = np.array(scale.at(place["x_m"], place["y_m"]))
    # A pull leads from where the chair came to rest, whatever the step before was.
    stops: list[tuple[Array, bool]] = []
    if ("points", document.get("start", "")) in at:
        stops.append((at["points", document["start"]], False))
    for word in document.get("order", []):
        if (passed := re.fullmatch(r"(\w+?)[LR]", word)) and ("cones", passed[1]) in at:
            stops.append((at["cones", passed[1]], False))
        elif (stretch := re.fullmatch(r"(back )?to (\w+)", word)) and ("points", stretch[2]) in at:
            stops.append((at["points", stretch[2]], bool(stretch[1])))
    layers = []
    for (one, _), (two, pulled) in pairwise(stops):
        long = float(np.linalg.norm(two - one))
        if long < 2 * (DISC_MM + 1.0):
            continue
        way = (two - one) / long
        ends = np.array([one + (DISC_MM + 0.6) * way, two - (DISC_MM + 0.9) * way])
        head = shapely.Polygon(head_points(ends[1], way, 2.4))
        colour = INK if pulled else COURT
        dash = (1.7, 1.1) if pulled else ()
        layers.append(Layer(geometry=line(ends), stroke=colour, width=0.5, cap="butt", dash=dash, role="detail"))
        layers.append(Layer(geometry=head, fill=PAPER if pulled else COURT))
        if pulled:
            layers.append(Layer(geometry=head.boundary, stroke=INK, width=0.35, role="detail"))
    return layers
