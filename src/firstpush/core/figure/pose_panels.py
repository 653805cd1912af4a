"""The poses of a chain, a panel each: the first with chair and post, the others as far as a break in the band."""

from __future__ import annotations

import zlib
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np

from firstpush.core.body.rotations import Array
from firstpush.core.figure.breaks import GAP_MM as BREAK_MM
from firstpush.core.figure.breaks import KEPT_M, ROOM_MM, Strip, shortened, wavy
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
BELOW_LAP_MM = 2.0
LARGER = 1.4
"""How much larger those are drawn than the first (our choice: the first shows the set-up, they show the movement)."""


@dataclass(frozen=True, kw_only=True)
class _Layout:
    """Boxes of the panels, camera and break of each; `shifts` are the page places of x 0 in each panel [mm]."""

    scene: Scene
    cameras: tuple[Camera, ...]
    strips: tuple[Strip | None, ...]
    widths: tuple[float, ...]
    shifts: tuple[float, ...]
    lap_y: float | None


def pose_panels(scene: Scene, *, width: float, height: float, scheme: Scheme, view: Camera | None = None) -> str:
    """Return the body of an SVG: every pose of `scene` from left to right in a box `width` by `height` [mm].

    A post is drawn in the first panel only, the band of the others ends at a break; where the post stands close by,
    every panel shows it. With many poses the others show the body from the lap upwards, larger.
    """
    frames = tuple(pose.frame for pose in scene.poses)
    layout = _layout(replace(scene, start=frames[0], end=frames[-1]), frames, width=width, height=height, view=view)
    scene = layout.scene
    body, x = [], 0.0
    before: list[Part] | None = None
    statics: dict[tuple[bool, float], Static] = {}
    for index, pose in enumerate(scene.poses):
        camera, strip = layout.cameras[index], layout.strips[index]
        with_post = index == 0 or strip is None
        shown = replace(scene, start=frames[max(index - 1, 0)], end=pose.frame, post_shown=with_post)
        lap = layout.lap_y if index else None
        key = (with_post, camera.scale)
        if key not in statics:
            statics[key] = static_parts(shown, camera, above=lap)
            before = ordered_parts(shown, camera, statics[key], shown.start) if index else None
        static = statics[key]
        parts = ordered_parts(shown, camera, static, pose.frame)
        panel, shift = layout.widths[index], layout.shifts[index]
        picture = Picture(scene=shown, camera=camera, strip=strip)
        letters, floor_y = "", None
        if index == 0:
            letters, floor_y = letter_dimensions(
                picture, parts, pose.frame, width=panel, height=height, left=-shift, scheme=scheme
            )
        drawn, _ = frame_body(
            picture,
            static,
            pose.frame,
            scheme=scheme,
            ghost_of=before if index else None,
            floor_y=floor_y,
            parts=parts,
        )
        before = parts
        if lap is not None:
            drawn = _from_the_lap(drawn, lap, panel, shift, scheme)
        title = heading(
            pose.name[:1].upper() + pose.name[1:], index + 1, x=0.6, y=0.6, scheme=scheme, room=panel + GAP_MM
        )
        body.append(
            f'<g transform="translate({number(x)} 0)">'
            f'<g transform="translate({number(shift)} 0)">{drawn}{letters}</g>{title}</g>'
        )
        x += panel + GAP_MM
    return "".join(body)


def _from_the_lap(drawn: str, lap_y: float, panel: float, shift: float, scheme: Scheme) -> str:
    """Return `drawn` down to a break line at page height `lap_y`, within the panel."""
    low, high = EDGE_MM - shift, panel - EDGE_MM - shift
    x, wave = wavy(low, high)
    edge = np.stack([x, lap_y + wave], axis=-1)
    import shapely

    area = shapely.Polygon(np.concatenate([[(low, 0.0)], edge, [(high, 0.0)]]))
    name = f"lap{zlib.crc32(drawn.encode()):x}"
    rule = paint_all([Layer(geometry=line(edge), stroke=INK, width=WEIGHTS.inner, role="detail")], scheme)
    return (
        f'<clipPath id="{name}"><path d="{path_data(area)}"/></clipPath><g clip-path="url(#{name})">{drawn}</g>{rule}'
    )


def _layout(scene: Scene, frames: tuple[int, ...], *, width: float, height: float, view: Camera | None) -> _Layout:
    """Return the largest layout: with the floor cut short before the post where that leaves room for its break."""
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
    """Return the panels side by side as large as they fit; None when there is no room for a break before the post."""
    count = len(frames)
    unit = replace(direction, scale=1.0, centre=(0.0, 0.0))
    upper = count > MOST_WHOLE_PANELS
    boxes = [reach_on_page(unit, *sitter_extent(scene, frames[:1]))]
    boxes += [_box(scene, unit, pair, upper=upper) for pair in pairwise(frames)]
    points, radii = post_extent(scene)
    sign = 0.0
    if len(points):
        post = reach_on_page(unit, points, radii)
        sign = 1.0 if post[0] + post[2] > boxes[0][0] + boxes[0][2] else -1.0
        if post_once:
            hands = reach_on_page(unit, *upper_extent(scene, frames))
            edge = max(boxes[0][2], hands[2]) if sign > 0 else min(boxes[0][0], hands[0])
            bare = (post[0] - edge) if sign > 0 else (edge - post[2])
        for index in range(count):
            if index == 0 or not post_once:
                boxes[index] = _around(boxes[index], post)
    elif post_once:
        return None
    heights = any(item.kind == "height" for item in scene.dimensions)
    stub = STUB_MM + 0.4 if post_once else 0.0
    label = LABEL_SIDE_MM if heights else 0.0
    room = width - GAP_MM * (count - 1) - 2 * EDGE_MM * count - label - stub * (count - 1)
    free_height = height - HEADING_MM - 1.0 - (LABEL_BELOW_MM if scene.dimensions else 1.0)
    # The others are drawn larger than the first where they show the upper body only.
    larger = np.array([LARGER if upper and index else 1.0 for index in range(count)])
    spans = np.array([box[2] - box[0] for box in boxes]) * larger
    scale = float(room / spans.sum())
    scale = min(scale, *(free_height / (size * (box[3] - box[1])) for size, box in zip(larger, boxes, strict=True)))
    scales = scale * larger
    middle_y = HEADING_MM + 1.0 + free_height / 2
    low_y = max(box[3] for box in boxes[1:])
    high_y = min(box[1] for box in boxes[1:])
    cameras, strips = [], []
    for index in range(count):
        top, bottom = (boxes[0][1], boxes[0][3]) if index == 0 and upper else (high_y, low_y)
        if not upper:
            top, bottom = min(boxes[0][1], high_y), max(boxes[0][3], low_y)
        y = float(middle_y - scales[index] * (top + bottom) / 2)
        cameras.append(replace(direction, scale=float(scales[index]), centre=(0.0, y)))
        strip = None
        if post_once:
            if scale * bare < BREAK_MM + 2 * ROOM_MM:
                return None
            middle = min(STUB_MM - BREAK_MM / 2, 0.55 * scales[index] * bare)
            place = scales[index] * edge + sign * middle
            strip = Strip(near_x=float(place - sign * BREAK_MM / 2), far_x=float(place + sign * BREAK_MM / 2))
        strips.append(strip)
    spare = (room - float((scale * spans).sum())) / count / 2
    widths, shifts = [], []
    for index, box in enumerate(boxes):
        low, high = scales[index] * box[0], scales[index] * box[2]
        strip = strips[index]
        if index and strip is not None:
            low, high = (low, strip.near_x + 0.4) if sign > 0 else (strip.near_x - 0.4, high)
        beside = label if index == 0 else 0.0
        widths.append(float(high - low + 2 * (EDGE_MM + spare) + beside))
        shifts.append(float(EDGE_MM + spare + (beside if sign < 0 else 0.0) - low))
    # What the stubs did not use is given back evenly, so that the row fills its width.
    left_over = (width - GAP_MM * (count - 1) - sum(widths)) / count
    lap = scene.skeleton.hip_centre[0] + (0.0, 0.0, -LAP_BELOW_HIPS_M)
    return _Layout(
        scene=scene,
        cameras=tuple(cameras),
        strips=tuple(strips),
        widths=tuple(each + left_over for each in widths),
        shifts=tuple(each + left_over / 2 for each in shifts),
        lap_y=float(cameras[-1].project(lap).xy[1]) + BELOW_LAP_MM if upper else None,
    )


def _box(scene: Scene, camera: Camera, frames: tuple[int, int], *, upper: bool) -> Array:
    """Return the page box of one panel, the pose before it included: its ghost is drawn."""
    points, radii = upper_extent(scene, frames) if upper else sitter_extent(scene, frames)
    return reach_on_page(camera, points, radii)


def _around(first: Array, second: Array) -> Array:
    return np.concatenate([np.minimum(first[:2], second[:2]), np.maximum(first[2:], second[2:])])
