"""How the paper of a course plan is divided up: the scale, what floor is shown, where chains and words have room."""

from __future__ import annotations

from dataclasses import dataclass

from firstpush.core.courses import Extent, OnFloor
from firstpush.core.figure.course_chains import rooms
from firstpush.core.figure.course_page import Box, Chains, Page, chains_of, extent_of, scale_for, shown_extent

A4_MM = (297.0, 210.0)
EDGE_MM = 10.0
HEAD_MM = 17.0
FOOT_MM = 9.0
ASIDE_MM = 58.0
"""Paper beside the plan for the place of the course in its hall, where the walls lie outside the plan."""
AROUND_MM = 5.0
"""Round the swept floor, for the words at its edge."""
LONG_NAME_MM = 2.0
BEYOND_MM = 1.5
"""Beyond a wall."""


@dataclass(frozen=True, kw_only=True)
class Sheet:
    """The paper as it is divided up; lengths in mm, boxes left, top, right, bottom.

    Parameters
    ----------
    page : Page
    scale : int
    window : Box
        Where floor is drawn.
    beside : Box
        The swept floor and the cones: chains stand outside it.
    height : float
        Of the whole paper.
    edge : float
        Left free at both sides.
    shows_walls : bool
        Whether the whole floor is in the window.
    chains : Chains
    """

    page: Page
    scale: int
    window: Box
    beside: Box
    height: float
    edge: float
    shows_walls: bool
    chains: Chains


def laid_out(on_floor: OnFloor, *, width_mm: float, height_mm: float, heading: bool) -> Sheet:
    """Return the paper of a plan: the largest scale, with all walls where they fit at it."""
    chains = chains_of(on_floor.line.course)
    around = {side: room + AROUND_MM for side, room in rooms(chains).items()}
    if any(len(cone.name) > 1 for cone in on_floor.line.course.cones):
        # A disc with two figures is wider, and stands beside the outermost cone.
        around["left"] += LONG_NAME_MM
        around["right"] += LONG_NAME_MM
    edge = EDGE_MM if heading else 0.0
    top = edge + (HEAD_MM if heading else 0.0)
    high = height_mm - top - FOOT_MM - edge / 2
    extent = shown_extent(on_floor)
    floor = extent_of(on_floor.areas[0], first=on_floor.areas[0])

    def scale_in(width: float) -> int:
        return scale_for(
            extent,
            width_mm=width - around["left"] - around["right"],
            height_mm=high - around["top"] - around["bottom"],
        )

    def with_walls(scale: int) -> Box:
        return _joined(_room(extent, scale, around), _room(floor, scale, dict.fromkeys(around, BEYOND_MM)))

    wide = width_mm - 2 * edge
    scale = scale_in(wide)
    walls = _goes_in(with_walls(scale), wide, high)
    if heading and not walls:
        scale = scale_in(wide - ASIDE_MM)
        walls = _goes_in(with_walls(scale), wide, high)
        wide -= 0.0 if walls else ASIDE_MM
    # Paper that is needed round the floor's (0, 0), which lies at (0, 0) of this box.
    left, up, right, down = with_walls(scale) if walls else _room(extent, scale, around)
    spare = (high - (down - up)) / 2 if heading else 0.0
    page = Page(
        scale=scale,
        width=width_mm,
        height=height_mm if heading else top + (down - up) + FOOT_MM,
        left=edge + (wide - (right - left)) / 2 - left,
        top=top + spare - up,
    )
    window = (edge, top, edge + wide, top + high)
    if not heading:
        window = (page.left + left, top, page.left + right, top + down - up)
    return Sheet(
        page=page,
        scale=scale,
        window=window,
        beside=page.box(extent),
        height=page.height,
        edge=edge or 0.5,
        shows_walls=walls,
        chains=chains,
    )


def _room(extent: Extent, scale: int, around: dict[str, float]) -> Box:
    """Return the paper that a rectangle of floor takes with what stands round it, from the floor's (0, 0) [mm]."""
    per = 1000.0 / scale
    return (
        extent.left * per - around["left"],
        -extent.high * per - around["top"],
        extent.right * per + around["right"],
        -extent.low * per + around["bottom"],
    )


def _joined(one: Box, two: Box) -> Box:
    return min(one[0], two[0]), min(one[1], two[1]), max(one[2], two[2]), max(one[3], two[3])


def _goes_in(box: Box, wide: float, high: float) -> bool:
    return box[2] - box[0] <= wide and box[3] - box[1] <= high
