"""Still drawings: start and end of a movement side by side, every pose of a chain, or one frame alone."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from firstpush.core.figure.figure_parts import ordered_parts, static_parts
from firstpush.core.figure.lettering import HEADING_MM, heading, letter_dimensions
from firstpush.core.figure.one_frame import frame_body
from firstpush.core.figure.outlines import Part
from firstpush.core.figure.palette import PAPER, Scheme, grey
from firstpush.core.figure.picture import pictured
from firstpush.core.figure.pose_panels import pose_panels
from firstpush.core.figure.scene import Scene
from firstpush.core.figure.svg import document, number
from firstpush.core.figure.view import Camera

Panel = Literal["start", "end"]
_TITLES: dict[Panel, str] = {"start": "Start", "end": "End"}
_HELD: dict[Panel, str] = {"start": "Hold"}
GAP_MM = 4.0
MORE_THAN_START_AND_END = 2


@dataclass(frozen=True, kw_only=True)
class _Box:
    """Size of one panel [mm]."""

    width: float
    height: float


def draw_still(
    scene: Scene,
    *,
    panels: tuple[Panel, ...] | Literal["poses"] | None = None,
    width_mm: float = 136.0,
    height_mm: float = 78.0,
    title: str,
    description: str,
    scheme: Scheme = "paper",
    view: Camera | None = None,
    ground: bool = True,
    panel_titles: dict[Panel, str] | None = None,
    stacked: bool = False,
) -> str:
    """Return an SVG of `scene`: the start, and the end with the way of the hands; of a chain, every pose.

    Parameters
    ----------
    panels : tuple of str, "poses" or None
        "start", "end": what is shown, from left to right; "poses" gives every pose of a chain a panel. None takes
        "poses" for a chain of three poses or more.
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
    stacked : bool
        Start and end under each other instead of side by side, for a narrow page; a chain stays in its rows.

    Returns
    -------
    str
        SVG, `viewBox` in millimetres.
    """
    chain = panels == "poses" or panels is None
    if chain and len(scene.poses) > MORE_THAN_START_AND_END:
        body = pose_panels(scene, width=width_mm, height=height_mm, scheme=scheme, view=view)
    else:
        # What is held in one pose has one picture.
        usual: tuple[Panel, ...] = ("start", "end") if scene.frames > 1 else ("start",)
        two = usual if panels is None or panels == "poses" else panels
        names = panel_titles or (_TITLES if scene.frames > 1 else _HELD)
        # The boxes side by side, or one under the other.
        across, down = (1, len(two)) if stacked else (len(two), 1)
        box = _Box(width=(width_mm - GAP_MM * (across - 1)) / across, height=(height_mm - GAP_MM * (down - 1)) / down)
        step = (0.0, box.height + GAP_MM) if stacked else (box.width + GAP_MM, 0.0)
        body = _start_and_end(scene, two, box=box, step=step, scheme=scheme, view=view, names=names)
    paper = (PAPER if scheme == "paper" else grey(PAPER)) if ground else None
    return document(body, width_mm=width_mm, height_mm=height_mm, title=title, description=description, ground=paper)


def _start_and_end(
    scene: Scene,
    panels: tuple[Panel, ...],
    *,
    box: _Box,
    step: tuple[float, float],
    scheme: Scheme,
    view: Camera | None,
    names: dict[Panel, str],
) -> str:
    """Return the panels, each in a `box`, a `step` from one to the next [mm]."""
    width, height = box.width, box.height
    frames = tuple({scene.start, scene.end})
    picture = pictured(
        scene, left=0.0, top=HEADING_MM, width=width, height=height - HEADING_MM, view=view, frames=frames
    )
    static = static_parts(picture.scene, picture.camera)
    body = []
    start_parts: list[Part] | None = None
    for index, panel in enumerate(panels):
        x, y = index * step[0], index * step[1]
        frame = scene.start if panel == "start" else scene.end
        if panel == "end" and start_parts is None:
            start_parts = ordered_parts(picture.scene, picture.camera, static, scene.start)
        parts = ordered_parts(picture.scene, picture.camera, static, frame)
        letters, floor_y = "", None
        if index == 0:
            letters, floor_y = letter_dimensions(picture, parts, frame, width=width, height=height, scheme=scheme)
        ghost = start_parts if panel == "end" else None
        drawn, _ = frame_body(picture, static, frame, scheme=scheme, ghost_of=ghost, floor_y=floor_y, parts=parts)
        start_parts = parts if panel == "start" else start_parts
        drawn += letters + heading(names[panel], index + 1, x=0.6, y=0.6, scheme=scheme, room=width)
        body.append(f'<g transform="translate({number(x)} {number(y)})">{drawn}</g>' if x or y else f"<g>{drawn}</g>")
    return "".join(body)


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
    picture = pictured(scene, left=0.0, top=0.0, width=width_mm, height=height_mm, view=view, frames=(frame,))
    static = static_parts(picture.scene, picture.camera)
    parts = ordered_parts(picture.scene, picture.camera, static, frame)
    letters, floor_y = "", None
    if dimensions:
        letters, floor_y = letter_dimensions(
            picture, parts, frame, width=width_mm, height=height_mm, scheme=scheme, header=0.0
        )
    drawn, _ = frame_body(picture, static, frame, scheme=scheme, floor_y=floor_y, parts=parts)
    paper = (PAPER if scheme == "paper" else grey(PAPER)) if ground else None
    return document(
        drawn + letters, width_mm=width_mm, height_mm=height_mm, title=title, description=description, ground=paper
    )
