"""The plan of a course for the screen, for a phone, with the chair moving, and small for the list."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import shapely

from firstpush.core.body.rotations import Array
from firstpush.core.courses import Line
from firstpush.core.figure.course_plan import draw_course_plan
from firstpush.core.figure.outlines import Layer
from firstpush.core.figure.outlines import line as path
from firstpush.core.figure.palette import COURT, INK, PAPER, SAND
from firstpush.core.figure.svg import document, paint_all
from firstpush.web.courses.chosen import Chosen
from firstpush.web.courses.laying import Laid
from firstpush.web.figures import content_key, kept


@dataclass(frozen=True, kw_only=True)
class Size:
    """Paper for a plan [mm], and whether the chair moves on it."""

    width: float
    height: float
    moving: bool = False


SIZES = {
    "plan": Size(width=200.0, height=190.0),
    "narrow": Size(width=124.0, height=150.0),
    "moving": Size(width=200.0, height=190.0, moving=True),
    "moving-narrow": Size(width=124.0, height=150.0, moving=True),
    "small": Size(width=60.0, height=40.0),
}
"""The kinds of drawings; letters are as large on each of them, so that a phone gets its own."""
SMALL_EDGE_MM = 1.0
LEAST_CONE_MM = 0.9


def plan_key(chosen: Chosen, kind: str) -> str:
    """Return the key that a plan is kept under."""
    return content_key("course plan", kind, SIZES[kind], chosen.key)


def plan(chosen: Chosen, now: Laid, kind: str) -> str:
    """Return the plan of a course as SVG; the same is drawn once."""
    size = SIZES[kind]

    def draw() -> str:
        if kind == "small":
            return small_plan(now.on_floor.line, width=size.width, height=size.height)
        return draw_course_plan(
            now.on_floor,
            chair=now.decides.chair,
            width_mm=size.width,
            height_mm=size.height,
            heading=False,
            moving=size.moving,
        ).svg

    return kept(plan_key(chosen, kind), draw, of=now.decides.record)


def small_plan(line: Line, *, width: float, height: float) -> str:
    """Return way and cones without a letter, as large as they go; to no scale [mm]."""
    size, cones = line.extent, line.course.cones
    left, right = min([size.left, *(cone.x for cone in cones)]), max([size.right, *(cone.x for cone in cones)])
    low, high = min([size.low, *(cone.y for cone in cones)]), max([size.high, *(cone.y for cone in cones)])
    room_wide, room_high = width - 2 * SMALL_EDGE_MM, height - 2 * SMALL_EDGE_MM
    per = min(room_wide / (right - left), room_high / (high - low))
    x0, y0 = width / 2 - per * (left + right) / 2, height / 2 + per * (low + high) / 2

    def on_paper(x: Array, y: Array) -> Array:
        return np.stack([x0 + per * x, y0 - per * y], axis=-1)

    wide, ways, discs = [], [], []
    for roll in line.rolls:
        track = roll.candidate.track
        way = path(on_paper(track.x, track.y)).simplify(0.05)
        # A stroke as wide as the chair: near enough to the swept floor for a drawing this small.
        wide.append(Layer(geometry=way, stroke=SAND, width=per * line.outline.width, cap="butt", role="detail"))
        if roll.leg.backward:
            ways.append(Layer(geometry=way, stroke=INK, width=0.6, cap="butt", dash=(1.7, 1.1), role="detail"))
        else:
            ways.append(Layer(geometry=way, stroke=COURT, width=0.9, role="detail"))
    for cone in cones:
        disc = shapely.Point(x0 + per * cone.x, y0 - per * cone.y).buffer(max(LEAST_CONE_MM, per * cone.radius))
        discs.append(Layer(geometry=disc, fill=INK))
    # What lies in a group after an empty grid is drawn as a plan in the dark too.
    body = f'<g class="grid"/>{paint_all([*wide, *ways, *discs], "paper")}'
    return document(body, width_mm=width, height_mm=height, title=line.course.name, description="", ground=PAPER)
