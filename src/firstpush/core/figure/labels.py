"""Dimensions: lines where a tape is laid, lettering that covers nothing that is drawn."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import permutations

import numpy as np

from firstpush.core.body.rotations import Array
from firstpush.core.figure.outlines import Geometry
from firstpush.core.figure.palette import INK, PAPER, WEIGHTS, Scheme, grey
from firstpush.core.figure.scene import Dimension
from firstpush.core.figure.svg import MM_PER_POINT, number, text_at
from firstpush.core.figure.view import Camera

LETTERING_PT = 9.0
GAP_MM = 0.8
ARROW_MM = 1.5
TEXT_HIT_COST = 10.0
"""Of a square millimetre of lettering over something drawn, in millimetres that a line is moved aside."""

_WIDTH_EM = {" ": 0.28, ".": 0.21, ",": 0.21, "·": 0.24, "1": 0.41, "c": 0.49, "i": 0.26, "l": 0.27, "–": 0.51}
_WIDTH_EM |= {"m": 0.85, "w": 0.69, "%": 0.92, "M": 0.83, "W": 0.86, "D": 0.67, "G": 0.70, "H": 0.70, "N": 0.70}
_WIDTH_EM |= {"O": 0.72, "Q": 0.73, "U": 0.69}
"""Advance widths read from the shipped font, regular weight; every other sign counts as the digit zero."""
_WIDTH_OF_OTHERS_EM = 0.65


def text_width(words: str, size_pt: float) -> float:
    """Return an upper estimate of the width of `words` [mm].

    Examples
    --------
    >>> text_width("1.05 m", 9.0)
    9.68
    """
    em = sum(_WIDTH_EM.get(sign, _WIDTH_OF_OTHERS_EM) for sign in words)
    return em * size_pt * MM_PER_POINT


@dataclass(frozen=True, kw_only=True)
class Lettered:
    """A dimension as placed: the line's two ends, the box of its text (x, y, width, height) [mm], and what it hits."""

    dimension: Dimension
    start: Array
    end: Array
    witness: tuple[tuple[Array, Array], ...]
    box: tuple[float, float, float, float]
    hits_mm2: float

    @property
    def area(self) -> Geometry:
        """The text's box as a geometry."""
        import shapely

        x, y, width, height = self.box
        return shapely.box(x, y, x + width, y + height)


def _lines(
    dimension: Dimension, camera: Camera
) -> Iterator[tuple[float, Array, Array, tuple[tuple[Array, Array], ...]]]:
    """Yield candidate lines with their cost: the tape's own place first, then moved aside."""
    first, second = np.asarray(dimension.from_point, float), np.asarray(dimension.to_point, float)
    a, b = camera.project(first).xy, camera.project(second).xy
    if dimension.kind == "height":
        for aside in (3.0, 4.5, 6.0, 8.0, 10.5, 13.0, 16.0):
            for sign in (1.0, -1.0):
                move = np.array([sign * aside, 0.0])
                tick = np.array([sign * 0.8, 0.0])
                edge = np.array([sign * 1.4, 0.0])
                yield 0.06 * aside, a + move, b + move, ((a + edge, a + move + tick), (b + edge, b + move + tick))
        return
    way = (second - first)[:2]
    across = np.array([-way[1], way[0], 0.0]) / np.linalg.norm(way)
    for aside in (0.0, 0.10, 0.18, 0.26, 0.36, 0.46, 0.58, 0.72):
        for sign in (1.0, -1.0) if aside else (1.0,):
            move = sign * aside * across
            c, d = camera.project(first + move).xy, camera.project(second + move).xy
            yield 2.2 * aside, c, d, ((a, c), (b, d)) if aside else ()


def _boxes(
    a: Array, b: Array, width: float, height: float, *, beyond: bool
) -> Iterator[tuple[float, tuple[float, float, float, float]]]:
    """Yield candidate text boxes for a line with their cost: in a gap of the line, beside it, `beyond` its ends."""
    way = b - a
    length = float(np.linalg.norm(way))
    unit = way / length if length > 0 else np.array([1.0, 0.0])
    need = abs(unit[0]) * width + abs(unit[1]) * height + 2 * GAP_MM
    along = (0.5, 0.4, 0.6, 0.3, 0.7, 0.22, 0.78, 0.1, 0.9)
    for share in (*along, -0.05, 1.05, -0.2, 1.2) if beyond else along:
        centre = a + share * way
        free = min(share, 1 - share) * 2 * length
        if free > need + 3.2 * ARROW_MM:
            yield 0.25 * abs(share - 0.5), (centre[0] - width / 2, centre[1] - height / 2, width, height)
        normal = np.array([-unit[1], unit[0]])
        for further in (0.0, 1.6):
            away = abs(normal[0]) * width / 2 + abs(normal[1]) * height / 2 + GAP_MM + further
            for sign in (1.0, -1.0):
                middle = centre + sign * away * normal
                box = (middle[0] - width / 2, middle[1] - height / 2, width, height)
                yield 0.5 + abs(share - 0.5) + 0.4 * further, box


def placed(
    dimensions: tuple[Dimension, ...],
    camera: Camera,
    drawn: Geometry,
    *,
    page: tuple[float, float, float, float],
    text_clear_of: Geometry | None = None,
    upright_clear_of: Geometry | None = None,
) -> list[Lettered]:
    """Return every dimension placed so that line and text hit as little as possible of what is `drawn`.

    They are placed one after the other, in the order that costs least.

    Parameters
    ----------
    dimensions : tuple of Dimension
    camera : Camera
    drawn : geometry
        Everything else on the page.
    page : (float, float, float, float)
        Left, top, right, bottom limits [mm].
    text_clear_of : geometry, optional
        What a line may cross and lettering may not: the plate under a post, the strip of a break.
    upright_clear_of : geometry, optional
        What an upright line would run along: the strip of a break.
    """
    least = np.inf
    best: list[Lettered] = []
    for order in permutations(dimensions):
        found = _placed_in_turn(order, camera, drawn, page, text_clear_of, upright_clear_of, below=least)
        if found is not None:
            least, best = found
    place = {id(dimension): at for at, dimension in enumerate(dimensions)}
    return sorted(best, key=lambda each: place[id(each.dimension)])


def _placed_in_turn(
    dimensions: tuple[Dimension, ...],
    camera: Camera,
    drawn: Geometry,
    page: tuple[float, float, float, float],
    text_clear_of: Geometry | None,
    upright_clear_of: Geometry | None,
    *,
    below: float,
) -> tuple[float, list[Lettered]] | None:
    """Return what it costs in all to place one after the other, each clear of those before, and where they lie.

    None as soon as it costs no less than `below`, which an order tried before does.
    """
    import shapely

    height = LETTERING_PT * MM_PER_POINT * 0.86
    limits = shapely.box(*page)
    result: list[Lettered] = []
    total = 0.0
    for dimension in dimensions:
        solid = drawn if text_clear_of is None else shapely.union_all([drawn, text_clear_of])
        upright = dimension.kind == "height" and upright_clear_of is not None
        barred = shapely.union_all([drawn, upright_clear_of]) if upright else drawn
        shapely.prepare([barred, solid])
        width = text_width(dimension.text, LETTERING_PT)
        best: Lettered | None = None
        left = below - total
        for line_cost, a, b, witness in _lines(dimension, camera):
            stroke = shapely.LineString([a, b]).buffer(0.35, cap_style="flat")
            crossed = stroke.intersection(barred).area if barred.intersects(stroke) else 0.0
            outside = 0.0 if limits.covers(stroke) else stroke.difference(limits).area
            cost_of_line = line_cost + 1.2 * crossed + 6.0 * outside
            if cost_of_line >= left:
                continue
            for box_cost, box in _boxes(a, b, width, height, beyond=dimension.kind == "distance"):
                if cost_of_line + box_cost >= left:
                    continue
                x, y, w, h = box
                area = shapely.box(x - 0.5, y - 0.4, x + w + 0.5, y + h + 0.4)
                hit = area.intersection(solid).area if solid.intersects(area) else 0.0
                cost = (
                    cost_of_line
                    + box_cost
                    + 4.0 * hit
                    + (0.0 if limits.covers(area) else 10.0 * area.difference(limits).area)
                )
                if cost < left:
                    left = cost
                    best = Lettered(dimension=dimension, start=a, end=b, witness=witness, box=box, hits_mm2=hit)
        if best is None:
            return None
        total += left
        result.append(best)
        x, y, w, h = best.box
        line_area = shapely.LineString([best.start, best.end]).buffer(0.6)
        drawn = shapely.union_all([drawn, shapely.box(x, y, x + w, y + h), line_area])
    return total, result


def lettered(items: list[Lettered], scheme: Scheme = "paper", *, left_out: tuple[float, float] | None = None) -> str:
    """Return placed dimensions as SVG: witness lines, line with arrow heads and a gap for its text, the text.

    No line is drawn between the two page places `left_out` [mm]: there a break goes through.
    """
    ink, paper = (INK, PAPER) if scheme == "paper" else (grey(INK), grey(PAPER))
    out = []
    for item in items:
        out += [_stroke(p, q, ink, 0.6 * WEIGHTS.dimension) for p, q in item.witness]
        for p, q in _around(item, left_out):
            out.append(_stroke(p, q, ink, WEIGHTS.dimension))
        way = (item.end - item.start) / max(float(np.linalg.norm(item.end - item.start)), 1e-9)
        out += [_arrow(item.start, -way, ink), _arrow(item.end, way, ink)]
        x, y, width, height = item.box
        out.append(
            text_at(
                item.dimension.text,
                x=x + width / 2,
                y=y + 0.90 * height,
                size_pt=LETTERING_PT,
                colour=ink,
                anchor="middle",
                halo=paper,
            )
        )
    return "".join(out)


def _around(item: Lettered, left_out: tuple[float, float] | None) -> list[tuple[Array, Array]]:
    """Return the line in the pieces that its text leaves."""
    import shapely

    gap = item.area.buffer(0.45, join_style="mitre")
    if left_out is not None:
        gap = gap.union(shapely.box(left_out[0], -1e3, left_out[1], 1e3))
    left = shapely.LineString([item.start, item.end]).difference(gap)
    pieces = []
    for piece in shapely.get_parts(left):
        points = shapely.get_coordinates(piece)
        if len(points) > 1:
            pieces.append((points[0], points[-1]))
    return pieces


def _stroke(p: Array, q: Array, colour: str, width: float) -> str:
    return (
        f'<path d="M{number(p[0])} {number(p[1])}L{number(q[0])} {number(q[1])}" fill="none" '
        f'stroke="{colour}" stroke-width="{number(width)}" stroke-linecap="butt"/>'
    )


def _arrow(tip: Array, way: Array, colour: str) -> str:
    across = np.array([-way[1], way[0]])
    p, q = tip - ARROW_MM * way + 0.42 * across, tip - ARROW_MM * way - 0.42 * across
    stop, end = tip + 0.9 * across, tip - 0.9 * across
    corners = "L".join(f"{number(x)} {number(y)}" for x, y in (tip, p, q))
    # The width that is not stroked marks it as part of a dimension, for those who colour drawings otherwise.
    return f'<path d="M{corners}z" fill="{colour}" stroke-width="{number(WEIGHTS.dimension)}"/>' + _stroke(
        stop, end, colour, WEIGHTS.dimension
    )
