"""Chains of dimensions on a course plan: ticked lines beside the course, with dashed lines to what they measure."""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import pairwise

import numpy as np

from firstpush.core.body.rotations import Array
from firstpush.core.courses import Place
from firstpush.core.courses.course import between
from firstpush.core.figure.course_labels import LETTERS_PT, Lettering
from firstpush.core.figure.course_page import Box, Chains, Page, Row
from firstpush.core.figure.labels import text_width
from firstpush.core.figure.outlines import Geometry, Layer, line
from firstpush.core.figure.palette import INK, WEIGHTS

ROOM_MM = 6.4
"""One chain takes this much paper beside the course."""
FIRST_MM = 3.4
TICK_MM = 0.9
OFF_WALL_MM = 3.0
ALONG, ASIDE_MM = (0.5, 0.4, 0.6, 0.3, 0.7), (0.0, 2.6, -2.6, 4.0, -4.0)
"""Where the figures of a dimension between two cones may lie: along it, and beside it."""
DRIVEN_MM = 0.6
"""Half the width of the heaviest line, and a little."""


def rooms(chains: Chains) -> dict[str, float]:
    """Return how much paper the chains take at each side of the course [mm]."""
    found = {"left": 0.0, "top": 0.0, "right": 0.0, "bottom": 0.0}
    for row in chains.rows:
        found[side_of(row)] += ROOM_MM
    return {side: room + (FIRST_MM if room else 0.0) for side, room in found.items()}


def side_of(row: Row) -> str:
    """Return the side of the course at which a chain stands."""
    if row.way == "across":
        return "bottom" if row.before else "top"
    return "left" if row.before else "right"


def draw_chains(
    chains: Chains, page: Page, *, beside: Box, walls: Box, lettering: Lettering, driven: Sequence[Geometry]
) -> tuple[list[Layer], list[Geometry], list[Geometry]]:
    """Return the lines of all chains, and put their figures among the words.

    Parameters
    ----------
    chains : Chains
    page : Page
    beside : tuple of float
        Left, top, right and bottom of the course on the paper [mm]: chains stand outside it.
    walls : tuple of float
        The same of the floor: no chain lies on its edge.
    lettering : Lettering
    driven : sequence of geometry
        The line of the chair: figures between two cones stay beside it where they can.

    Returns
    -------
    tuple
        Layers; the lines that words should not cover; and dashed ones that they should rather not.
    """
    layers: list[Layer] = []
    solid: list[Geometry] = []
    used = {"left": 0, "top": 0, "right": 0, "bottom": 0}
    for row in chains.rows:
        side = side_of(row)
        away = FIRST_MM + ROOM_MM * used[side] + 2.0
        used[side] += 1
        found = _row(row, page, side=side, away=away, beside=beside, walls=walls, lettering=lettering)
        layers += found
        solid += [layer.geometry for layer in found if not layer.dash]
    for one, two in chains.chords:
        found = _chord(one, two, page, lettering, driven)
        layers += found
        solid += [layer.geometry for layer in found]
    return layers, solid, [layer.geometry for layer in layers if layer.dash]


def _row(row: Row, page: Page, *, side: str, away: float, beside: Box, walls: Box, lettering: Lettering) -> list[Layer]:
    left, top, right, bottom = beside
    across = row.way == "across"
    clear = {"left": walls[0], "top": walls[1], "right": walls[2], "bottom": walls[3]}[side]
    out = -1.0 if side in ("left", "top") else 1.0
    edge = {"left": left, "top": top, "right": right, "bottom": bottom}[side]
    if abs(edge + out * away - clear) < OFF_WALL_MM:
        # A chain on a wall is read as neither: it goes to the nearer side of it, with room for its figures.
        away = abs(clear - edge) + OFF_WALL_MM * (1.0 if away >= abs(clear - edge) else -1.0)
    place = {"left": left - away, "top": top - away, "right": right + away, "bottom": bottom + away}[side]
    marks = []
    for station in row.stations:
        x, y = page.at(station, row.level) if across else page.at(row.level, station)
        marks.append(((x, place), (x, y)) if across else ((place, y), (x, y)))
    ends = np.array([marks[0][0], marks[-1][0]])
    layers = [Layer(geometry=line(ends), stroke=INK, width=WEIGHTS.dimension, role="detail")]
    for at, from_ in marks:
        layers += _tick(np.array(at), np.array([1.0, 0.0]) if across else np.array([0.0, 1.0]))
        step = np.array(from_) - np.array(at)
        toward = step / max(1e-9, float(np.linalg.norm(step)))
        stretch = np.array([np.array(at) - 1.0 * toward, np.array(from_) - 1.6 * toward])
        layers.append(Layer(geometry=line(stretch), stroke=INK, width=0.13, cap="butt", dash=(0.8, 0.8), role="detail"))
    turned = 0.0 if across else math.pi / 2
    points = [np.array(at) for at, _ in marks]
    _letter(points, row.gaps, lettering, upright=turned)
    return layers


def _letter(points: Sequence[Array], gaps: Sequence[float], lettering: Lettering, *, upright: float) -> None:
    """Write each gap on its piece; one word for all where they are alike and short."""
    words = [f"{gap:.2f} m" for gap in gaps]
    rooms_ = [float(np.linalg.norm(two - one)) for one, two in pairwise(points)]
    fits = [text_width(each, LETTERS_PT) + 2.4 <= room for each, room in zip(words, rooms_, strict=True)]
    if not all(fits) and len(set(words)) == 1:
        x, y = (points[0] + points[-1]) / 2
        lettering.on(f"{len(words)} × {words[0]}", x=float(x), y=float(y), upright=upright)
        return
    for (one, two), word, room in zip(pairwise(points), words, fits, strict=True):
        if room:
            x, y = (one + two) / 2
            lettering.on(word, x=float(x), y=float(y), upright=upright)


def _tick(at: Array, way: Array) -> list[Layer]:
    """Return a stroke across a chain, aslant."""
    slant = np.array([way[0] + way[1], -way[0] + way[1]]) * TICK_MM
    return [Layer(geometry=line(np.array([at - slant, at + slant])), stroke=INK, width=0.4, role="detail")]


def _chord(one: Place, two: Place, page: Page, lettering: Lettering, driven: Sequence[Geometry]) -> list[Layer]:
    """Return a dimension straight between two cones, its figures where they cover least of the driven line."""
    import shapely

    a, b = np.array(page.at(one.x, one.y)), np.array(page.at(two.x, two.y))
    way = (b - a) / np.linalg.norm(b - a)
    if way[0] < -1e-9:
        a, b, way = b, a, -way
    clear = 1.0 + 0.1 * page.per_metre
    word = f"{between(one, two):.2f} m"
    room = float(np.linalg.norm(b - a)) - 2 * clear
    if room < text_width(word, LETTERS_PT) + 2.0:
        return []
    upright = -math.atan2(way[1], way[0])
    across = np.array([-way[1], way[0]])
    half = text_width(word, LETTERS_PT) / 2 + 1.0
    places = []
    for aside in ASIDE_MM:
        for along in ALONG:
            x, y = (a + along * (b - a) + aside * across).tolist()
            if along == ALONG[0] or min(along, 1 - along) * float(np.linalg.norm(b - a)) - clear >= half:
                room = lettering.box_on(word, x=x, y=y, upright=upright).buffer(DRIVEN_MM)
                near = [shapely.clip_by_rect(each, *room.bounds) for each in driven]
                covered = float(shapely.length(shapely.intersection(near, room)).sum())
                places.append((round(covered, 1), x, y))
    # The first of those that cover least.
    _, x, y = min(places, key=lambda place: place[0])
    lettering.on(word, x=x, y=y, upright=upright)
    ends = np.array([a + clear * way, b - clear * way])
    return [Layer(geometry=line(ends), stroke=INK, width=WEIGHTS.dimension, role="detail")]
