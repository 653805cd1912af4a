"""Still drawings: start and end of a movement side by side, or one frame alone."""

from __future__ import annotations

from typing import Literal

import numpy as np

from firstpush.core.body.rotations import Array
from firstpush.core.figure.band_lines import arrowed, band_layers, path_layers, pulls
from firstpush.core.figure.figure_parts import (
    LEAST_TURN_SHOWN,
    TURN_RADIUS_M,
    Static,
    extent,
    ordered_parts,
    static_parts,
    trunk_turn,
    turn_centre,
)
from firstpush.core.figure.labels import Lettered, lettered, placed
from firstpush.core.figure.outlines import Geometry, Layer, Part, line, union
from firstpush.core.figure.palette import (
    GHOST,
    GHOST_BAND,
    GHOST_LINE,
    INK,
    PAPER,
    WEIGHTS,
    Scheme,
    grey,
)
from firstpush.core.figure.scene import Scene
from firstpush.core.figure.surroundings import anchor_layers, floor_layers
from firstpush.core.figure.svg import MM_PER_POINT, document, number, paint_all, text_at
from firstpush.core.figure.view import Camera, choose_view, fitted

HEADING_PT = 9.0
HEADING_MM = 6.6
LABEL_SIDE_MM = 13.0
LABEL_BELOW_MM = 2.5
ROOM_FOR_HEIGHT_MM = 17.0
CLOSED_M = 0.01
WAYS_APART_MM = 7.0
Panel = Literal["start", "end"]
_TITLES: dict[Panel, str] = {"start": "Start", "end": "End"}


def framed(
    scene: Scene,
    *,
    left: float,
    top: float,
    width: float,
    height: float,
    view: Camera | None = None,
    frames: tuple[int, ...] = (),
) -> Camera:
    """Return the camera that shows `scene` in a box [mm], with room for its dimensions at the sides of the post."""
    camera = choose_view(scene, aspect=width / height) if view is None else view
    shown = frames or (*range(0, scene.frames, max(1, scene.frames // 6)), scene.start, scene.end)
    points, radii = extent(scene, shown)
    inset_left = inset_right = 1.0
    if scene.anchor is not None and any(item.kind == "height" for item in scene.dimensions):
        flat = fitted(camera, points, radii, left=0, top=0, width=width - 2, height=height - 1.0 - LABEL_BELOW_MM)
        place = float(flat.project(scene.anchor).xy[0])
        sitter = flat.project(points[:-2]).xy[:, 0]
        # The height is lettered between post and feet where there is room, else a margin is kept beyond the post.
        if place > sitter.max():
            inset_right = 1.0 if place - sitter.max() > ROOM_FOR_HEIGHT_MM else LABEL_SIDE_MM
        elif place < sitter.min():
            inset_left = 1.0 if sitter.min() - place > ROOM_FOR_HEIGHT_MM else LABEL_SIDE_MM
        elif place > sitter.mean():
            inset_right = LABEL_SIDE_MM
        else:
            inset_left = LABEL_SIDE_MM
    below = LABEL_BELOW_MM if scene.dimensions else 1.0
    return fitted(
        camera,
        points,
        radii,
        left=left + inset_left,
        top=top + 1.0,
        width=width - inset_left - inset_right,
        height=height - 1.0 - below,
    )


def ghost_layers(scene: Scene, parts: list[Part], start: list[Part]) -> tuple[list[Layer], list[Layer]]:
    """Return the start pose of the moving arms: a pale shape behind, and its dashed edge before the body."""
    names = {f"{bone} {side}" for side in scene.active_sides for bone in ("upper arm", "forearm", "hand")}
    old = [part.shape for part in start if part.name in names]
    new = [part.shape for part in parts if part.name in names]
    if not old or not new:
        return [], []
    pale = union(*old)
    moved = pale.difference(union(*new).buffer(0.3))
    if moved.area < 0.12 * pale.area:
        return [], []
    line_width = 0.8 * WEIGHTS.outline
    body = union(*(part.opaque for part in parts if part.name not in names))
    low = [part.shape for part in start if part.name in names and not part.name.startswith("upper")]
    over = union(*low).difference(union(*new).buffer(0.3)).intersection(body.buffer(-0.1))
    if over.area < 0.3 * union(*low).area:
        return behind_layers(pale, line_width), []
    edge = union(*low).boundary.difference(union(*new)).intersection(body.buffer(-0.1))
    return behind_layers(pale, line_width), [
        Layer(geometry=over, fill=PAPER, opacity=0.30),
        Layer(geometry=edge, stroke=PAPER, width=0.7 * line_width, opacity=0.75, role="detail"),
    ]


def behind_layers(pale: Geometry, width: float) -> list[Layer]:
    """Return the pale shape behind everything."""
    edge = Layer(geometry=pale.boundary, stroke=GHOST_LINE, width=width, role="detail")
    return [Layer(geometry=pale, fill=GHOST), edge]


def ghost_band(scene: Scene, camera: Camera) -> list[Layer]:
    """Return the band of the start pose, pale."""
    if scene.band is None or scene.anchor is None:
        return []
    found = []
    for _, start in pulls(scene, scene.start):
        ends = np.stack([start, scene.anchor])
        found.append(
            Layer(
                geometry=line(camera.project(ends).xy),
                stroke=GHOST_BAND,
                width=0.5,
                dash=(1.4, 0.8),
                cap="butt",
                role="detail",
            )
        )
    return found


def hand_paths(scene: Scene, camera: Camera, parts: list[Part]) -> list[Layer]:
    """Return the dotted ways of the active hands from start to end."""
    layers: list[Layer] = []
    shapes = {part.name: part.shape for part in parts}
    arms = scene.skeleton.arms
    first, last = scene.start % scene.frames, scene.end % scene.frames
    step = 1 if last >= first else -1
    stop = last + step if last + step >= 0 else None
    drawn: list[Array] = []
    near_first = sorted(scene.active_sides, key=lambda side: -float(camera.project(arms[side].hand[last]).depth))
    for side in near_first:
        hand = shapes.get(f"hand {side}", shapes.get(f"forearm {side}"))
        if hand is None:
            continue
        places = arms[side].hand
        # A circle comes back to where it began, past the frame that is shown as its far side.
        closed = last < scene.frames - 1 and float(np.linalg.norm(places[-1] - places[0])) < CLOSED_M
        way = camera.project(places if closed else places[first:stop:step]).xy
        # Two hands that move as one, close beside each other on the page: the near way says it.
        if any(float(np.linalg.norm(way - other, axis=-1).mean()) < WAYS_APART_MM for other in drawn):
            continue
        drawn.append(way)
        layers += path_layers(way, hand, closed=closed)
    return layers + turn_layers(scene, camera)


def turn_layers(scene: Scene, camera: Camera) -> list[Layer]:
    """Return an arrow round the crown of the head when the trunk turns: the way of the hands does not tell it."""
    turn = trunk_turn(scene)
    if abs(turn) < LEAST_TURN_SHOWN:
        return []
    # The arc passes on the viewer's side, tilted towards the viewer so that it is seen as a ring; its length says that
    # there is a turn and which way, not how far.
    along = np.radians(np.linspace(-150.0, 112.0, 25))
    angle = camera.azimuth + np.sign(turn) * along
    ring = np.stack([np.cos(angle), np.sin(angle), -0.38 * np.cos(along)], axis=-1)
    centre = turn_centre(scene, scene.end)
    return arrowed(line(camera.project(centre + TURN_RADIUS_M * ring).xy), colour=INK)


def frame_body(
    scene: Scene, camera: Camera, static: Static, frame: int, *, scheme: Scheme, ghost_of: list[Part] | None = None
) -> tuple[str, list[Part]]:
    """Return one frame as SVG text, and its ordered parts."""
    parts = ordered_parts(scene, camera, static, frame)
    behind = floor_layers(scene, camera)
    over: list[Layer] = []
    if ghost_of is not None:
        ghost, over = ghost_layers(scene, parts, ghost_of)
        behind += ghost + ghost_band(scene, camera)
    over = over + band_layers(scene, camera, frame, parts) + anchor_layers(scene, camera)
    if ghost_of is not None:
        over += hand_paths(scene, camera, parts)
    body = "".join(static.paint(part, scheme) for part in parts)
    return paint_all(behind, scheme) + body + paint_all(over, scheme), parts


def drawn_area(scene: Scene, camera: Camera, parts: list[Part], frame: int) -> Geometry:
    """Return what labels keep clear of: every part, and the band."""
    shapes = [part.shape for part in parts if part.name != "base plate"]
    if scene.band is not None and scene.anchor is not None:
        for _, start in pulls(scene, frame):
            ends = camera.project(np.stack([start, scene.anchor])).xy
            shapes.append(line(ends).buffer(WEIGHTS.band))
    return union(*shapes)


def heading(words: str, count: int, *, x: float, y: float, scheme: Scheme) -> str:
    """Return the number in a disc and the word beside it."""
    ink, paper = (INK, PAPER) if scheme == "paper" else (grey(INK), grey(PAPER))
    radius = 2.45
    return (
        f'<circle cx="{number(x + radius)}" cy="{number(y + radius)}" r="{number(radius)}" fill="{ink}"/>'
        + text_at(
            str(count),
            x=x + radius,
            y=y + radius + 0.36 * HEADING_PT * MM_PER_POINT,
            size_pt=HEADING_PT,
            colour=paper,
            anchor="middle",
            bold=True,
        )
        + text_at(
            words,
            x=x + 2 * radius + 1.4,
            y=y + radius + 0.36 * HEADING_PT * MM_PER_POINT,
            size_pt=HEADING_PT,
            colour=ink,
        )
    )


def draw_still(
    scene: Scene,
    *,
    panels: tuple[Panel, ...] = ("start", "end"),
    width_mm: float = 136.0,
    height_mm: float = 78.0,
    title: str,
    description: str,
    scheme: Scheme = "paper",
    view: Camera | None = None,
    ground: bool = True,
    panel_titles: dict[Panel, str] | None = None,
) -> str:
    """Return an SVG of `scene`: the start, and the end with the way of the hands.

    Parameters
    ----------
    panels : tuple of str
        "start", "end": what is shown, from left to right.
    width_mm, height_mm : float
        Size on paper [mm]; lettering is 9 pt at this size.
    title, description : str
        For those who hear the drawing.
    scheme : str
        "paper" or "grey".
    view : Camera or None
        None chooses the view by itself.
    ground : bool
        Paint the paper colour behind.
    panel_titles : dict or None
        Words over the panels; "Start" and "End" when None.

    Returns
    -------
    str
        SVG, `viewBox` in millimetres.
    """
    names = _TITLES if panel_titles is None else panel_titles
    gap = 4.0 if len(panels) > 1 else 0.0
    panel_width = (width_mm - gap * (len(panels) - 1)) / len(panels)
    frames = tuple({scene.start, scene.end})
    camera = framed(
        scene, left=0.0, top=HEADING_MM, width=panel_width, height=height_mm - HEADING_MM, view=view, frames=frames
    )
    static = static_parts(scene, camera)
    body = []
    start_parts: list[Part] | None = None
    for index, panel in enumerate(panels):
        x = index * (panel_width + gap)
        frame = scene.start if panel == "start" else scene.end
        if panel == "end" and start_parts is None:
            start_parts = ordered_parts(scene, camera, static, scene.start)
        picture, parts = frame_body(
            scene, camera, static, frame, scheme=scheme, ghost_of=start_parts if panel == "end" else None
        )
        if panel == "start":
            start_parts = parts
        if index == 0:
            picture += lettered(
                dimension_labels(scene, camera, parts, frame, width=panel_width, height=height_mm), scheme
            )
        picture += heading(names[panel], index + 1, x=0.6, y=0.6, scheme=scheme)
        body.append(f'<g transform="translate({number(x)} 0)">{picture}</g>' if x else f"<g>{picture}</g>")
    paper = (PAPER if scheme == "paper" else grey(PAPER)) if ground else None
    return document(
        "".join(body), width_mm=width_mm, height_mm=height_mm, title=title, description=description, ground=paper
    )


def dimension_labels(
    scene: Scene, camera: Camera, parts: list[Part], frame: int, *, width: float, height: float
) -> list[Lettered]:
    """Return the scene's dimensions placed on a panel `width` by `height` [mm]."""
    import shapely

    header = shapely.box(0, 0, 26, HEADING_MM)
    drawn = union(drawn_area(scene, camera, parts, frame), header)
    return placed(scene.dimensions, camera, drawn, page=(0.4, 0.4, width - 0.4, height - 0.4))


def draw_single(
    scene: Scene,
    frame: int,
    *,
    width_mm: float = 60.0,
    height_mm: float = 66.0,
    title: str,
    description: str,
    scheme: Scheme = "paper",
    view: Camera | None = None,
    ground: bool = True,
    dimensions: bool = False,
) -> str:
    """Return an SVG of one `frame` alone, with or without dimensions; sizes in mm on paper."""
    from dataclasses import replace

    if not dimensions:
        scene = replace(scene, dimensions=())
    camera = framed(scene, left=0.0, top=0.0, width=width_mm, height=height_mm, view=view, frames=(frame,))
    static = static_parts(scene, camera)
    picture, parts = frame_body(scene, camera, static, frame, scheme=scheme)
    if dimensions:
        picture += lettered(dimension_labels(scene, camera, parts, frame, width=width_mm, height=height_mm), scheme)
    paper = (PAPER if scheme == "paper" else grey(PAPER)) if ground else None
    return document(picture, width_mm=width_mm, height_mm=height_mm, title=title, description=description, ground=paper)
