"""The poses of a chain, a panel each: the first with chair and post, the others as far as a break in the band."""

from __future__ import annotations

import zlib
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np

from firstpush.core.body.rotations import Array
from firstpush.core.figure.breaks import GAP_MM as BREAK_MM
from firstpush.core.figure.breaks import KEPT_M, ROOM_MM, Strip, shortened
from firstpush.core.figure.figure_parts import (
    LAP_BELOW_HIPS_M,
    Static,
    ordered_parts,
    post_extent,
    sitter_extent,
    static_parts,
    upper_extent,
)
from firstpush.core.figure.lettering import HEADING_MM, heading, letter_dimensions
from firstpush.core.figure.one_frame import frame_body
from firstpush.core.figure.outlines import Layer, Part, line
from firstpush.core.figure.palette import INK, WEIGHTS, Scheme
from firstpush.core.figure.picture import LABEL_BELOW_MM, LABEL_SIDE_MM, Picture, reach_on_page
from firstpush.core.figure.scene import Scene
from firstpush.core.figure.svg import number, paint_all, path_data
from firstpush.core.figure.view import Camera, choose_view

GAP_MM = 2.0
STUB_MM = 3.4
"""Band that is seen before its break in a panel without post."""
EDGE_MM = 0.6
ASPECT = 0.75
MOST_WHOLE_PANELS = 3
"""With more panels than this, all but the first show the body from the lap upwards."""
MOST_IN_A_ROW = 4
LEAST_CELL_MM = 21.0
"""As wide as a panel must be for its heading."""
BELOW_LAP_MM = 2.0
BESIDE_BUST_MM = 3.0
"""For the arrows of shoulders, which lie outside the body."""
LARGER = 1.4
"""How much larger those are drawn than the first (our choice: the first shows the set-up, they show the movement)."""


@dataclass(frozen=True, kw_only=True)
class _Panel:
    """One panel: its box on the page and where the drawing's own place (0, 0) lies [mm]."""

    left: float
    top: float
    width: float
    shift: float
    drop: float
    camera: Camera
    strip: Strip | None
    base: tuple[float, float] = (0.0, 0.0)
    """From where to where the line under a body reaches that is drawn from the lap upwards."""


@dataclass(frozen=True, kw_only=True)
class _Layout:
    """All panels; `lap_y` is the height of the lap in the drawings of those that end there [mm].

    With `first_whole` the first panel shows chair and post, and does not end at the lap.
    """

    scene: Scene
    panels: tuple[_Panel, ...]
    lap_y: float | None
    first_whole: bool = True


def pose_panels(scene: Scene, *, width: float, height: float, scheme: Scheme, view: Camera | None = None) -> str:
    """Return the body of an SVG: every pose of `scene`, from left to right, in a box `width` by `height` [mm].

    A post is drawn in the first panel only, the band of the others ends at a break; where the post stands close by,
    every panel shows it. With many poses the others show the body from the lap upwards, larger, in one row or two;
    where nothing is set up, the first does so too, and all are as large as they fit.
    """
    frames = tuple(pose.frame for pose in scene.poses)
    layout = _layout(replace(scene, start=frames[0], end=frames[-1]), frames, width=width, height=height, view=view)
    scene = layout.scene
    body = []
    before: list[Part] | None = None
    statics: dict[tuple[bool, float, tuple[float, float]], Static] = {}
    for index, (pose, panel) in enumerate(zip(scene.poses, layout.panels, strict=True)):
        camera, lap = panel.camera, layout.lap_y if index or not layout.first_whole else None
        with_post = index == 0 or panel.strip is None
        shown = replace(scene, start=frames[max(index - 1, 0)], end=pose.frame, post_shown=with_post)
        key = (with_post, camera.scale, camera.centre)
        if key not in statics:
            statics[key] = static_parts(shown, camera, above=lap)
            before = ordered_parts(shown, camera, statics[key], shown.start) if index else None
        parts = ordered_parts(shown, camera, statics[key], pose.frame)
        picture = Picture(scene=shown, camera=camera, strip=panel.strip)
        letters, floor_y = "", None
        if index == 0:
            letters, floor_y = letter_dimensions(
                picture, parts, pose.frame, width=panel.width, height=height, left=-panel.shift, scheme=scheme
            )
        drawn, _ = frame_body(
            picture,
            statics[key],
            pose.frame,
            scheme=scheme,
            ghost_of=before if index else None,
            floor_y=floor_y,
            parts=parts,
        )
        before = parts
        if lap is not None:
            drawn = _from_the_lap(drawn, lap, panel, scheme)
        words = pose.name[:1].upper() + pose.name[1:]
        title = heading(words, index + 1, x=0.6, y=0.6, scheme=scheme, room=panel.width + GAP_MM)
        place = f"{number(panel.left)} {number(panel.top)}"
        inner = f"{number(panel.shift)} {number(panel.drop)}"
        body.append(
            f'<g transform="translate({place})"><g transform="translate({inner})">{drawn}{letters}</g>{title}</g>'
        )
    return "".join(body)


def _from_the_lap(drawn: str, lap_y: float, panel: _Panel, scheme: Scheme) -> str:
    """Return `drawn` down to a straight line at page height `lap_y`, within the panel, like a bust on its base."""
    import shapely

    low, high = EDGE_MM - panel.shift, panel.width - EDGE_MM - panel.shift
    top = -panel.drop
    area = shapely.box(low, top, high, lap_y)
    name = f"lap{zlib.crc32(drawn.encode()):x}"
    base = np.array([(max(low, panel.base[0]), lap_y), (min(high, panel.base[1]), lap_y)])
    rule = paint_all([Layer(geometry=line(base), stroke=INK, width=WEIGHTS.dimension, role="detail")], scheme)
    return (
        f'<clipPath id="{name}"><path d="{path_data(area)}"/></clipPath><g clip-path="url(#{name})">{drawn}</g>{rule}'
    )


def _layout(scene: Scene, frames: tuple[int, ...], *, width: float, height: float, view: Camera | None) -> _Layout:
    """Return the largest layout: with the floor cut short before the post where that leaves room for its break."""
    if (
        len(frames) > MOST_WHOLE_PANELS
        and scene.band is None
        and not scene.dimensions
        and not len(post_extent(scene)[0])
    ):
        seen = choose_view(scene, aspect=ASPECT) if view is None else view
        return _busts(scene, seen, frames, width=width, height=height)
    direction = view
    for keep in KEPT_M:
        shorter = shortened(scene, frames=frames, keep=keep)
        if shorter is scene:
            shorter = replace(scene, cut=np.zeros(3))
        direction = choose_view(shorter, aspect=ASPECT) if direction is None else direction
        found = _laid_out(shorter, direction, frames, width=width, height=height, post_once=True)
        if found is not None:
            return found
    direction = choose_view(scene, aspect=ASPECT) if view is None else view
    found = _laid_out(scene, direction, frames, width=width, height=height, post_once=False)
    assert found is not None, "panels that all show the post always have room"
    return found


def _laid_out(
    scene: Scene, direction: Camera, frames: tuple[int, ...], *, width: float, height: float, post_once: bool
) -> _Layout | None:
    """Return the panels as large as they fit; None when there is no room for a break before the post."""
    unit = replace(direction, scale=1.0, centre=(0.0, 0.0))
    upper = len(frames) > MOST_WHOLE_PANELS
    boxes = [reach_on_page(unit, *sitter_extent(scene, frames[:1]))]
    boxes += [_box(scene, unit, pair, upper=upper) for pair in pairwise(frames)]
    points, radii = post_extent(scene)
    if post_once and not len(points):
        return None
    sign, edge, bare = 0.0, 0.0, 0.0
    if len(points):
        post = reach_on_page(unit, points, radii)
        sign = 1.0 if post[0] + post[2] > boxes[0][0] + boxes[0][2] else -1.0
        hands = reach_on_page(unit, *upper_extent(scene, frames))
        edge = float(max(boxes[0][2], hands[2]) if sign > 0 else min(boxes[0][0], hands[0]))
        bare = float(post[0] - edge if sign > 0 else edge - post[2])
        boxes = [_around(box, post) if index == 0 or not post_once else box for index, box in enumerate(boxes)]
    if not upper:
        # One height for all: the floor is level from panel to panel.
        top, bottom = min(box[1] for box in boxes), max(box[3] for box in boxes)
        boxes = [np.array([box[0], top, box[2], bottom]) for box in boxes]
    heights = any(item.kind == "height" for item in scene.dimensions)
    fixed = _Fixed(
        width=width,
        height=height,
        label=LABEL_SIDE_MM if heights else 0.0,
        below=LABEL_BELOW_MM if scene.dimensions else 1.0,
        stub=STUB_MM + 0.4 if post_once else 0.0,
        larger=LARGER if upper else 1.0,
    )
    rows = _rows(
        len(frames) - 1, 2 if len(frames) > MOST_IN_A_ROW or width < len(frames) * (LEAST_CELL_MM + GAP_MM) else 1
    )
    scale = fixed.scale(boxes, rows)
    if post_once and scale / fixed.larger * bare < BREAK_MM + 2 * ROOM_MM:
        return None

    def strip(at: float, beyond: float) -> Strip | None:
        if not post_once:
            return None
        place = at * beyond + sign * min(STUB_MM - BREAK_MM / 2, 0.55 * at * bare)
        return Strip(near_x=float(place - sign * BREAK_MM / 2), far_x=float(place + sign * BREAK_MM / 2))

    small = scale / fixed.larger
    middle = HEADING_MM + 1.0 + (height - HEADING_MM - 1.0 - fixed.below) / 2
    first_camera = replace(
        direction, scale=small, centre=(0.0, float(middle - small * (boxes[0][1] + boxes[0][3]) / 2))
    )
    camera = replace(direction, scale=scale, centre=(0.0, 0.0)) if upper else first_camera
    beside = fixed.label + 2 * EDGE_MM
    first_width = small * (boxes[0][2] - boxes[0][0]) + beside
    rest = [_row_width(boxes, row, scale, fixed.stub) for row in rows]
    spare = (width - first_width - max(rest)) / (1 + max(len(row) for row in rows))
    first_width += spare
    at_left = fixed.label if sign < 0 else 0.0
    panels = [
        _Panel(
            left=0.0,
            top=0.0,
            width=float(first_width),
            shift=float(EDGE_MM + spare / 2 + at_left - small * boxes[0][0]),
            drop=0.0,
            camera=first_camera,
            strip=strip(small, edge),
        )
    ]
    tall = [scale * _row_height(boxes, row) + HEADING_MM + 1.0 for row in rows]
    free = (height - fixed.below - sum(tall)) / len(rows)
    top = 0.0 if len(rows) > 1 else min(middle - tall[0] / 2, 0.0)
    for row, row_width, high in zip(rows, rest, tall, strict=True):
        left = first_width + GAP_MM
        share = (width - first_width - row_width) / len(row)
        low_y = scale * max(boxes[index][3] for index in row)
        if len(rows) == 1:
            drop = middle + high / 2 - (HEADING_MM + 1.0) / 2 - low_y
        else:
            drop = high + max(free, 0.0) / 2 - low_y
        drop = drop if upper else 0.0
        for index in row:
            box = boxes[index]
            wide = scale * (box[2] - box[0]) + 2 * EDGE_MM + fixed.stub + share
            before = fixed.stub if sign < 0 and post_once else 0.0
            panels.append(
                _Panel(
                    left=float(left),
                    top=float(top),
                    width=float(wide),
                    shift=float(EDGE_MM + share / 2 + before - scale * box[0]),
                    drop=float(drop),
                    camera=camera,
                    strip=strip(scale, float(box[2] if sign > 0 else box[0])),
                    base=(float(scale * box[0] - EDGE_MM), float(scale * box[2] + EDGE_MM)),
                )
            )
            left += wide + GAP_MM
        top += high + max(free, 0.0)
    lap = scene.skeleton.hip_centre[0] + (0.0, 0.0, -LAP_BELOW_HIPS_M)
    lap_y = float(camera.project(lap).xy[1]) + BELOW_LAP_MM if upper else None
    return _Layout(scene=scene, panels=tuple(panels), lap_y=lap_y)


def _busts(scene: Scene, direction: Camera, frames: tuple[int, ...], *, width: float, height: float) -> _Layout:
    """Return every pose from the lap upwards, in the number of rows that shows them largest."""
    unit = replace(direction, scale=1.0, centre=(0.0, 0.0))
    pairs = ((frames[0], frames[0]), *pairwise(frames))
    boxes = [_box(scene, unit, pair, upper=True) for pair in pairs]
    box = np.concatenate([np.min(boxes, axis=0)[:2], np.max(boxes, axis=0)[2:]])
    best: tuple[float, int] = (0.0, 1)
    for rows in range(1, len(frames) + 1):
        across = -(-len(frames) // rows)
        if rows < len(frames) and (width - GAP_MM * (across - 1)) / across < LEAST_CELL_MM:
            continue
        wide = ((width - GAP_MM * (across - 1)) / across - 2 * BESIDE_BUST_MM) / (box[2] - box[0])
        high = (height / rows - HEADING_MM - 1.0 - 2 * EDGE_MM - BELOW_LAP_MM) / (box[3] - box[1])
        best = max(best, (float(min(wide, high)), -rows))
    scale, rows = best[0], -best[1]
    across = -(-len(frames) // rows)
    cell, row_height = (width - GAP_MM * (across - 1)) / across, height / rows
    camera = replace(direction, scale=scale, centre=(0.0, 0.0))
    lap = scene.skeleton.hip_centre[0] + (0.0, 0.0, -LAP_BELOW_HIPS_M)
    lap_y = float(camera.project(lap).xy[1]) + BELOW_LAP_MM
    reach = (float(scale * box[0] - EDGE_MM), float(scale * box[2] + EDGE_MM))
    spare = row_height - HEADING_MM - 1.0 - 2 * EDGE_MM - BELOW_LAP_MM - scale * (box[3] - box[1])
    panels = [
        _Panel(
            left=(index % across) * (cell + GAP_MM),
            top=(index // across) * row_height,
            width=cell,
            shift=float(cell / 2 - scale * (box[0] + box[2]) / 2),
            drop=float(row_height - 2 * EDGE_MM - spare / 2 - lap_y),
            camera=camera,
            strip=None,
            base=reach,
        )
        for index in range(len(frames))
    ]
    return _Layout(scene=scene, panels=tuple(panels), lap_y=lap_y, first_whole=False)


@dataclass(frozen=True, kw_only=True)
class _Fixed:
    """What does not grow with the person [mm]."""

    width: float
    height: float
    label: float
    below: float
    stub: float
    larger: float

    def scale(self, boxes: list[Array], rows: list[list[int]]) -> float:
        """Return the largest scale of the panels after the first, the first `larger` times smaller [mm/m]."""
        first = (boxes[0][2] - boxes[0][0]) / self.larger
        by_width = min(
            (self.width - self.label - 2 * EDGE_MM - _row_width(boxes, row, 0.0, self.stub))
            / (first + _row_width(boxes, row, 1.0, 0.0) - _row_width(boxes, row, 0.0, 0.0))
            for row in rows
        )
        heads = len(rows) * (HEADING_MM + 1.0)
        by_height = (self.height - heads - self.below) / sum(_row_height(boxes, row) for row in rows)
        whole = self.larger * (self.height - HEADING_MM - 1.0 - self.below) / (boxes[0][3] - boxes[0][1])
        return float(min(by_width, by_height, whole))


def _rows(count: int, rows: int) -> list[list[int]]:
    """Return the panels after the first in `rows` rows, the longer row first."""
    length = -(-count // rows)
    return [list(range(1 + start, 1 + min(start + length, count))) for start in range(0, count, length)]


def _row_width(boxes: list[Array], row: list[int], scale: float, stub: float) -> float:
    return float(sum(scale * (boxes[i][2] - boxes[i][0]) + 2 * EDGE_MM + stub + GAP_MM for i in row))


def _row_height(boxes: list[Array], row: list[int]) -> float:
    return float(max(boxes[i][3] for i in row) - min(boxes[i][1] for i in row))


def _box(scene: Scene, camera: Camera, frames: tuple[int, int], *, upper: bool) -> Array:
    """Return the page box of one panel, the pose before it included: its ghost is drawn."""
    points, radii = upper_extent(scene, frames) if upper else sitter_extent(scene, frames)
    return reach_on_page(camera, points, radii)


def _around(first: Array, second: Array) -> Array:
    return np.concatenate([np.minimum(first[:2], second[:2]), np.maximum(first[2:], second[2:])])
