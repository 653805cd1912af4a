"""Where on its floor a course lies: the whole floor small, for a plan that shows no walls."""

from __future__ import annotations

import numpy as np

from firstpush.core.courses import OnFloor
from firstpush.core.figure.course_labels import SMALL_PT
from firstpush.core.figure.course_marks import swept_floor
from firstpush.core.figure.course_page import Page, extent_of
from firstpush.core.figure.outlines import Layer, line
from firstpush.core.figure.palette import COURT, GHOST_LINE, INK, SAND, Scheme, grey
from firstpush.core.figure.svg import MM_PER_POINT, document, number, paint_all, text_at

TALLEST_MM = 32.0


def draw_course_locator(on_floor: OnFloor, *, width_mm: float = 60.0, scheme: Scheme = "paper") -> str:
    """Return the same as an SVG of its own; lengths on it are for the eye, not for a ruler."""
    body, height = locator(on_floor, left=0.5, top=0.5, width=width_mm - 1.0, scheme=scheme)
    area = on_floor.areas[0]
    return document(
        body,
        width_mm=width_mm,
        height_mm=height + 1.0,
        title=f"Where the course lies on the {area.name}",
        description=" ".join(where_words(on_floor)),
        ground=None,
    )


def where_words(on_floor: OnFloor) -> tuple[str, ...]:
    """Return where a course lies, in short lines: its first cone, or its start, from two sides of the floor."""
    course, area = on_floor.line.course, on_floor.areas[0]
    place = course.cones[0] if course.cones else course.start
    return (
        f"{f'cone {course.cones[0].name}' if course.cones else 'start'}, as the plan lies:",
        f"{place.x:.2f} m from the left {area.edge},",
        f"{place.y:.2f} m from the near {area.edge}",
    )


def locator(on_floor: OnFloor, *, left: float, top: float, width: float, scheme: Scheme) -> tuple[str, float]:
    """Return the floor with the course on it, its upper left corner at (left, top), and how high it is [mm]."""
    area = on_floor.areas[0]
    letters = SMALL_PT * MM_PER_POINT
    beside = letters + 1.6
    per = min((width - beside) / area.length, TALLEST_MM / area.width)
    page = Page(scale=1000.0 / per, width=0.0, height=0.0, left=left, top=top + area.width * per)
    layers = [Layer(geometry=swept_floor(on_floor.line, page), fill=SAND)]
    layers.append(Layer(geometry=layers[0].geometry.boundary, stroke=GHOST_LINE, width=0.14, role="detail"))
    for each in on_floor.areas:
        x0, y0, x1, y1 = page.box(extent_of(each, first=area))
        ring = np.array([(x0, y0), (x1, y0), (x1, y1), (x0, y1), (x0, y0)])
        wall = each.edge == "wall"
        layers.append(
            Layer(
                geometry=line(ring),
                stroke=INK if wall else COURT,
                width=0.7 if wall else 0.3,
                cap="butt",
                dash=(1.0, 0.7) if each.edge == "edge of the run-off" else (),
                role="detail",
            )
        )
    ink = INK if scheme == "paper" else grey(INK)
    dots = ""
    for cone in on_floor.line.course.cones:
        x, y = page.at(cone.x, cone.y)
        dots += f'<circle cx="{number(x)}" cy="{number(y)}" r=".45" fill="{ink}"/>'
    high, wide = area.width * per, area.length * per
    below = top + high + letters + 0.4
    words = text_at(f"{area.length:g} m", x=left + wide / 2, y=below, size_pt=SMALL_PT, colour=ink, anchor="middle")
    x, y = left + wide + letters * 0.8 + 0.9, top + high / 2
    words += (
        f'<g transform="rotate(-90 {number(x)} {number(y)})">'
        + text_at(f"{area.width:g} m", x=x, y=y, size_pt=SMALL_PT, colour=ink, anchor="middle")
        + "</g>"
    )
    return paint_all(layers, scheme) + dots + words, high + letters + 1.4
