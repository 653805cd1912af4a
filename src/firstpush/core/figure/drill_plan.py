"""A drill from above, small and to scale, for the sheet of a session: cones, line, swept floor and its one length.

The large plan of a course (`course_plan`) shows its place in the hall and every dimension; here a glance must do.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass, replace

import numpy as np

from firstpush.core.body.rotations import Array
from firstpush.core.courses import Cone, Extent, Line, Roll
from firstpush.core.courses.drill import DrillCourse
from firstpush.core.errors import OutOfRangeError
from firstpush.core.figure.course_marks import (
    arrow_layers,
    drawn_ways,
    end_lines,
    line_layers,
    outline_at,
    swept_floor,
    swept_layers,
)
from firstpush.core.figure.course_page import SCALES, Page
from firstpush.core.figure.outlines import Geometry, Layer, line
from firstpush.core.figure.palette import COURT, INK, Scheme, grey
from firstpush.core.figure.svg import document, number, paint_all, text_at

SMALL_SCALES = (*SCALES, 400, 500, 600)
LETTERS_PT = 8.5
"""Nothing on a sheet is smaller."""
LETTER_MM = (1.75, 2.2)
"""Width of a figure and height of a capital at that size [mm]."""
ROUND_MM = 3.4
"""Round the floor that is drawn, for the names of cones."""
CHAIN_MM = 4.6
FOOT_MM = 4.2
LEAST_CONE_MM = 0.75
LEAST_LINE_MM = 0.25
PLACES = 16
"""Round a cone, tried for its name."""
BAR_M = (0.5, 1.0, 2.0, 5.0, 10.0)
LONGEST_BAR_MM = 26.0


@dataclass(frozen=True, kw_only=True)
class DrillPlan:
    """A small plan: SVG, its `scale` (200 for 1:200), its true size on paper [mm], and what it shows in words."""

    svg: str
    scale: int
    width_mm: float
    height_mm: float
    words: str


def draw_drill_plan(laid: DrillCourse, *, width_mm: float, height_mm: float, scheme: Scheme = "paper") -> DrillPlan:
    """Return the small plan of a drill at the largest scale at which it goes into `width_mm` by `height_mm`.

    Parameters
    ----------
    laid : DrillCourse
    width_mm, height_mm : float
        Paper there is [mm]; the plan takes no more of it than it needs.
    scheme : str
        "paper", or "grey" as a printer without colour shows it.

    Raises
    ------
    OutOfRangeError
        For paper on which even 1:600 is too large.
    """
    import shapely

    line_ = _each_way_once(laid.likely)
    extent = _extent(laid)
    scale = _scale(extent, width_mm - 2 * ROUND_MM, height_mm - 2 * ROUND_MM - CHAIN_MM - FOOT_MM)
    per = 1000.0 / scale
    wide, high = extent.width * per + 2 * ROUND_MM, extent.depth * per + 2 * ROUND_MM + CHAIN_MM + FOOT_MM
    # The scale and its bar have a line of their own.
    wide = min(width_mm, max(wide, 44.0))
    left = (wide - extent.width * per) / 2.0 - extent.left * per
    page = Page(scale=scale, width=wide, height=high, left=left, top=ROUND_MM + extent.high * per)
    ways = drawn_ways(line_, page)
    arrows, heads = arrow_layers(ways, page)
    swept = swept_floor(line_, page)
    start = outline_at(line_, page, time=0.0)
    ink = INK if scheme == "paper" else grey(INK)
    discs = [shapely.Point(*page.at(c.x, c.y)).buffer(max(LEAST_CONE_MM, c.radius * per)) for c in laid.course.cones]
    shapes = [*(each.points for each in ways), *(shapely.get_coordinates(each) for each in (*heads, start, *discs))]
    chain, chain_words = _chain(laid, page, low=page.at(0.0, extent.low)[1] + ROUND_MM + 1.2, ink=ink)
    body = [
        paint_all(swept_layers(swept), scheme),
        # What lies after a grid is drawn as a plan in the dark too.
        '<g class="grid"/>',
        paint_all([*end_lines(line_, page), *line_layers(ways), *arrows], scheme),
        paint_all([Layer(geometry=start.boundary, stroke=INK, width=0.25, role="detail")], scheme),
        paint_all([Layer(geometry=disc, fill=INK) for disc in discs], scheme),
        paint_all(chain, scheme),
        chain_words,
        *_names(laid.course.cones, np.concatenate(shapes), swept, page, ink),
        _foot(page, ink, scheme),
    ]
    words = _words(laid, scale)
    svg = document(
        # Thinner lines are lost on a copier.
        re.sub(
            r'stroke-width="([\d.]+)"',
            lambda found: f'stroke-width="{number(max(float(found[1]), LEAST_LINE_MM))}"',
            "".join(body),
        ),
        width_mm=wide,
        height_mm=high,
        title=f"Plan of the {laid.course.name}, 1:{scale}",
        description=words,
        ground=None,
    )
    return DrillPlan(svg=svg, scale=scale, width_mm=round(wide, 2), height_mm=round(high, 2), words=words)


def _each_way_once(line_: Line) -> Line:
    """Return the line without legs that lie on one before them: side by side they would fill a small plan."""
    seen, kept = set(), []
    for piece in line_.pieces:
        if isinstance(piece, Roll) and not piece.leg.passes:
            track = piece.candidate.track
            ends = (track.x[0], track.y[0], track.x[-1], track.y[-1])
            key = (*(round(float(each), 2) for each in ends), piece.leg.backward)
            if key in seen:
                continue
            seen.add(key)
        kept.append(piece)
    return replace(line_, pieces=tuple(kept))


def _extent(laid: DrillCourse) -> Extent:
    size, cones = laid.likely.extent, laid.course.cones
    return Extent(
        left=min([size.left, *(cone.x - cone.radius for cone in cones)]),
        right=max([size.right, *(cone.x + cone.radius for cone in cones)]),
        low=min([size.low, *(cone.y - cone.radius for cone in cones)]),
        high=max([size.high, *(cone.y + cone.radius for cone in cones)]),
    )


def _scale(extent: Extent, width: float, height: float) -> int:
    for scale in SMALL_SCALES:
        if 1000.0 * extent.width <= scale * width and 1000.0 * extent.depth <= scale * height:
            return scale
    raise OutOfRangeError(
        f"a drill of {extent.width:.1f} by {extent.depth:.1f} m cannot be drawn on {width:.0f} by {height:.0f} mm;"
        f" allowed is up to 1:{SMALL_SCALES[-1]}; give it more paper."
    )


def _chain(laid: DrillCourse, page: Page, *, low: float, ink: str) -> tuple[list[Layer], str]:
    """Return the one length of a drill as a dimension below it, where it lies across; nothing for one that does not."""
    ends = _measured(laid)
    if ends is None:
        return [], ""
    (one, two), level = ends
    (x1, y), (x2, _) = page.at(one, level), page.at(two, level)
    strokes = [np.array([(x1, low), (x2, low)])]
    strokes += [np.array([(x, y + 1.2), (x, low + 0.9)]) for x in (x1, x2)]
    strokes += [np.array([(x - 0.7, low + 0.7), (x + 0.7, low - 0.7)]) for x in (x1, x2)]
    layers = [Layer(geometry=line(each), stroke=COURT, width=0.25, role="detail") for each in strokes]
    words = f"{laid.spacing:.2f} m"
    return layers, text_at(words, x=(x1 + x2) / 2, y=low + 3.1, size_pt=LETTERS_PT, colour=ink, anchor="middle")


def _measured(laid: DrillCourse) -> tuple[tuple[float, float], float] | None:
    """Return from where to where the one length of a drill runs, and at which height, where it lies across [m]."""
    cones, start = laid.course.cones, laid.course.start
    if laid.drill.layout in ("slalom", "figure-eight"):
        return (cones[0].x, cones[1].x), cones[0].y
    if laid.drill.layout in ("half-circle", "half-circle-back"):
        return (-laid.spacing, 0.0), 0.0
    if laid.drill.layout in ("stop-and-turn", "push-lanes"):
        low = min(leg.to.y for leg in laid.course.legs)
        return (start.x, start.x + laid.spacing), low
    return None


def _names(cones: tuple[Cone, ...], drawn: Array, swept: Geometry, page: Page, ink: str) -> list[str]:
    """Return the names of cones, each where it covers least; `drawn` are points of what it should not cover [mm]."""
    import shapely

    found = []
    # A letter beside swept floor covers it by half its size.
    swept = swept.buffer(LETTER_MM[1] / 2.0)
    for cone in cones:
        x, y = page.at(cone.x, cone.y)
        radius = max(LEAST_CONE_MM, cone.radius * page.per_metre)
        wide, high = LETTER_MM[0] * len(cone.name), LETTER_MM[1]
        angles = math.tau * np.arange(PLACES) / PLACES
        away = radius + 0.6 + 0.5 * np.hypot(wide * np.cos(angles), high * np.sin(angles))
        at_x, at_y = x + away * np.cos(angles), y - away * np.sin(angles)
        near = np.abs(drawn[:, None, :] - np.stack([at_x, at_y], axis=-1)) < (wide / 2 + 0.25, high / 2 + 0.25)
        outside = (np.minimum(at_x, page.width - at_x) < wide / 2) | (at_y < high / 2)
        cost = near.all(axis=-1).sum(axis=0) + 3.0 * shapely.contains_xy(swept, at_x, at_y) + 1e4 * outside
        best = int(np.argmin(cost))
        cx, cy = float(at_x[best]), float(at_y[best])
        corners = [(cx + a * wide / 2, cy + b * high / 2) for a in (-1, 0, 1) for b in (-1, 0, 1)]
        # No other name over this one.
        drawn = np.concatenate([drawn, np.repeat(np.array(corners), 20, axis=0)])
        name = cone.name
        found.append(text_at(name, x=cx, y=cy + high / 2, size_pt=LETTERS_PT, colour=ink, anchor="middle", bold=True))
    return found


def _foot(page: Page, ink: str, scheme: Scheme) -> str:
    """Return the scale, and a bar of whole metres for a ruler, at the foot."""
    y = page.height - 1.0
    metres = max((each for each in BAR_M if each * page.per_metre <= LONGEST_BAR_MM), default=BAR_M[0])
    long = metres * page.per_metre
    x = 0.6
    ends = [np.array([(x, y - 1.6), (x, y)]), np.array([(x + long, y - 1.6), (x + long, y)])]
    bar = [line(np.array([(x, y - 0.5), (x + long, y - 0.5)])), *(line(each) for each in ends)]
    layers = [Layer(geometry=each, stroke=INK, width=0.35, cap="butt", role="detail") for each in bar]
    words = f"{metres:g} m · 1:{page.scale:g}"
    return f'<g class="bar">{paint_all(layers, scheme)}</g>' + text_at(
        words, x=x + long + 1.6, y=y, size_pt=LETTERS_PT, colour=ink
    )


def _words(laid: DrillCourse, scale: int) -> str:
    course = laid.course
    order = f" Order, with the hand each cone is on: {course.order}." if course.order else ""
    return (
        f"Plan to scale 1:{scale} of the {course.name}, {course.spacing_word} {laid.spacing:.2f} m,"
        f" {len(course.cones)} cones or marks.{order}"
    )
