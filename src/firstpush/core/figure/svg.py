"""Shapes to SVG text: plain attributes only, so that browsers and the PDF writer read the same file."""

from __future__ import annotations

from collections.abc import Iterable
from functools import lru_cache
from xml.sax.saxutils import escape, quoteattr

import numpy as np

from firstpush.core.body.rotations import Array
from firstpush.core.figure.outlines import Geometry, Layer
from firstpush.core.figure.palette import Scheme, grey

FONT = "'Atkinson Hyperlegible Next', sans-serif"
MM_PER_POINT = 25.4 / 72
LEAST_LINE_MM = 0.7


def number(value: float) -> str:
    """Return `value` with two decimals at most, without what need not be written.

    Examples
    --------
    >>> number(0.5), number(-0.25), number(3.0), number(-0.001)
    ('.5', '-.25', '3', '0')
    """
    text = f"{value:.2f}".rstrip("0").rstrip(".")
    if text in ("-0", ""):
        return "0"
    return text.replace("0.", ".", 1) if text.startswith(("0.", "-0.")) else text


def _relative(points: Array, *, closed: bool) -> str:
    """Return a path through `points`, relative, rounded so that errors do not add up."""
    grid = np.round(points * 100).astype(int)
    steps = grid[1:] - grid[:-1]
    steps = steps[(steps[:, 0] != 0) | (steps[:, 1] != 0)]
    out = f"M{number(grid[0, 0] / 100)} {number(grid[0, 1] / 100)}"
    if len(steps):
        out += "l" + "".join(map(_hundredths, steps.ravel().tolist())).removeprefix(" ")
    return out + "z" if closed else out


@lru_cache(maxsize=4096)
def _hundredths(value: int) -> str:
    """Return hundredths as a number after another: a minus parts them as a space does."""
    return number(value / 100) if value < 0 else " " + number(value / 100)


def path_data(geometry: Geometry) -> str:
    """Return the `d` attribute of a Shapely geometry, empty when there is nothing to draw."""
    import shapely

    kind = geometry.geom_type
    items: Iterable[Geometry] = (geometry,)
    if kind not in ("Polygon", "LineString", "LinearRing"):
        items = shapely.get_parts(geometry)
        items = shapely.get_parts(items) if kind == "GeometryCollection" else items
    pieces = []
    for item in items:
        if item.is_empty:
            continue
        kind = item.geom_type
        if kind == "Polygon":
            rings = (item.exterior, *item.interiors) if shapely.get_num_interior_rings(item) else (item,)
            for ring in rings:
                pieces.append(_relative(shapely.get_coordinates(ring)[:-1], closed=True))
        elif kind in ("LineString", "LinearRing"):
            points = shapely.get_coordinates(item)
            whole = kind == "LinearRing" or (len(points) > 3 and bool(np.all(points[0] == points[-1])))
            pieces.append(_relative(points[:-1] if whole else points, closed=whole))
    return "".join(pieces)


def paint(layer: Layer, scheme: Scheme = "paper") -> str:
    """Return one layer as a path element, empty when there is nothing to draw."""
    import shapely

    geometry = layer.geometry
    if geometry.is_empty:
        return ""
    if layer.stroke is not None and geometry.geom_type == "MultiLineString" and layer.role == "outline":
        pieces = shapely.get_parts(shapely.line_merge(geometry))
        # What a joint leaves of a line that ran along it is a speck, not a line.
        geometry = shapely.MultiLineString([piece for piece in pieces if piece.length > LEAST_LINE_MM])
        if geometry.is_empty:
            return ""
    if layer.role == "shade":
        geometry = geometry.buffer(-0.02)
        if geometry.area < 0.03:
            return ""
        geometry = geometry.simplify(0.03)
    data = path_data(geometry)
    if not data:
        return ""
    tone = grey if scheme == "grey" else str
    parts = [f'<path d="{data}"']
    if layer.fill is not None:
        parts.append(f'fill="{tone(layer.fill)}"')
        if geometry.geom_type in ("Polygon", "MultiPolygon") and "z" in data[:-1]:
            parts.append('fill-rule="evenodd"')
        if layer.opacity < 1:
            parts.append(f'opacity="{number(layer.opacity)}"')
    else:
        parts.append('fill="none"')
    if layer.stroke is not None:
        parts.append(f'stroke="{tone(layer.stroke)}" stroke-width="{number(layer.width)}"')
        if layer.cap == "butt":
            parts.append('stroke-linecap="butt"')
        if layer.opacity < 1:
            parts.append(f'opacity="{number(layer.opacity)}"')
        if layer.dash:
            parts.append(f'stroke-dasharray="{" ".join(number(value) for value in layer.dash)}"')
    return " ".join(parts) + "/>"


def paint_all(layers: Iterable[Layer], scheme: Scheme = "paper") -> str:
    """Return `layers` one after another."""
    return "".join(paint(layer, scheme) for layer in layers)


def text_at(
    words: str,
    *,
    x: float,
    y: float,
    size_pt: float,
    colour: str,
    anchor: str = "start",
    bold: bool = False,
    halo: str | None = None,
) -> str:
    """Return lettering with its baseline at (x, y) [mm], `size_pt` points high, with a `halo` of the ground colour."""
    weight = ' font-weight="700"' if bold else ""
    place = "" if anchor == "start" else f' text-anchor="{anchor}"'
    common = f'x="{number(x)}" y="{number(y)}" font-size="{number(size_pt * MM_PER_POINT)}"{place}{weight}'
    content = escape(words)
    under = ""
    if halo is not None:
        under = f'<text {common} fill="{halo}" stroke="{halo}" stroke-width=".9" aria-hidden="true">{content}</text>'
    return f'{under}<text {common} fill="{colour}">{content}</text>'


def document(
    body: str, *, width_mm: float, height_mm: float, title: str, description: str, ground: str | None, head: str = ""
) -> str:
    """Return a whole SVG file: millimetres on paper, title and description for those who hear it."""
    width, height = number(width_mm), number(height_mm)
    size = f'viewBox="0 0 {width} {height}" width="{width}mm" height="{height}mm"'
    paper = "" if ground is None else f'<rect width="{width}" height="{height}" fill="{ground}"/>'
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" {size} role="img" font-family={quoteattr(FONT)} '
        'stroke-linejoin="round" stroke-linecap="round">'
        f"<title>{escape(title)}</title><desc>{escape(description)}</desc>{head}{paper}{body}</svg>"
    )
