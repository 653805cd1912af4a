"""Each exercise once more, small and without lettering: for the sheet that has the whole session on one page."""

from __future__ import annotations

import re
from dataclasses import replace

import numpy as np

from firstpush.core.figure.figure_parts import TURN_RADIUS_M, static_parts, turn_centre, upper_extent
from firstpush.core.figure.from_setup import SHORTEST_CHAIN, scene_of
from firstpush.core.figure.one_frame import frame_body, hands_rest, head_moves, head_slide
from firstpush.core.figure.outlines import Part
from firstpush.core.figure.palette import SPOKE, Look
from firstpush.core.figure.picture import Picture, pictured
from firstpush.core.figure.scene import Scene
from firstpush.core.figure.svg import document, number
from firstpush.core.figure.view import LEAST_SLIDE_M, choose_view, fitted
from firstpush.core.setup.result import ExerciseSetup
from firstpush.sheets.words import figure_words

HEIGHT_MM = 18.0
"""The sheet shows a small figure at this height or larger, never smaller, so that its lines stay as thick as here."""
PANEL_WIDTHS_MM = (14.0, 16.0, 18.0, 20.0, 22.0, 24.0)
NEARLY_AS_LARGE = 0.96
"""A narrower panel is taken when the person is drawn at least so large in it, compared with the widest."""
MOST_WIDTH_MM = 92.0
"""Half a page."""
GAP_MM = 1.0
LEAST_LINE_MM = 0.25
"""Thinner lines are lost on a copier."""


def small_figure(setup: ExerciseSetup, look: Look) -> str:
    """Return start and end of one exercise, or every pose of a chain, beside each other as an SVG 18 mm high.

    Distances and heights stand beside the figure in words: lettering of a size that can be read would not fit in it.

    Parameters
    ----------
    setup : ExerciseSetup
        Of the side that is drawn.
    look : Look
        How the person is drawn.

    Returns
    -------
    str
        SVG, `viewBox` in millimetres, as wide as it needs to be; no line thinner than 0.25 mm.
    """
    scene = replace(scene_of(setup, look=look), dimensions=())
    frames = _frames(scene)
    picture, panel = (_from_the_lap if _moves_little(scene, frames) else _narrowest)(scene, frames)
    static = static_parts(picture.scene, picture.camera)
    body = []
    before: list[Part] | None = None
    for index, frame in enumerate(frames):
        shown = replace(picture.scene, start=frames[max(index - 1, 0)], end=frame)
        drawn, before = frame_body(
            replace(picture, scene=shown), static, frame, scheme="paper", ghost_of=before if index else None
        )
        # A panel of its own: what is drawn beyond its edge is cut.
        body.append(
            f'<svg x="{number(index * (panel + GAP_MM))}" width="{number(panel)}" height="{number(HEIGHT_MM)}" '
            f'viewBox="0 0 {number(panel)} {number(HEIGHT_MM)}">{drawn}</svg>'
        )
    return document(
        _with_lines_that_copy("".join(body)),
        width_mm=len(frames) * (panel + GAP_MM) - GAP_MM,
        height_mm=HEIGHT_MM,
        title=setup.exercise.title,
        description=figure_words(setup),
        ground=None,
    )


def _frames(scene: Scene) -> tuple[int, ...]:
    """Return the frames that get a panel: of a chain every pose; what is held in one pose has one picture."""
    if len(scene.poses) >= SHORTEST_CHAIN:
        return tuple(pose.frame for pose in scene.poses)
    return (scene.start, scene.end) if scene.frames > 1 else (scene.start,)


def _moves_little(scene: Scene, frames: tuple[int, ...]) -> bool:
    """Return whether only head or shoulders move, by centimetres, with nothing around the athlete to be shown."""
    around = (scene.anchor, scene.post_contact, scene.rail, scene.wall, scene.partner, scene.ball, scene.band)
    if len(frames) < 2 or any(thing is not None for thing in around) or scene.cones:
        return False
    return hands_rest(replace(scene, start=frames[0], end=frames[1]))


def _narrowest(scene: Scene, frames: tuple[int, ...]) -> tuple[Picture, float]:
    """Return the picture in the narrowest panel that shows the person nearly as large as the widest, and its width."""
    shown = tuple(dict.fromkeys(frames))
    found = [
        (pictured(scene, left=0.0, top=0.0, width=width, height=HEIGHT_MM, frames=shown), width)
        for width in PANEL_WIDTHS_MM
        if len(frames) * (width + GAP_MM) - GAP_MM <= MOST_WIDTH_MM
    ]
    largest = max(picture.camera.scale for picture, _ in found)
    return next(each for each in found if each[0].camera.scale >= NEARLY_AS_LARGE * largest)


def _from_the_lap(scene: Scene, frames: tuple[int, ...]) -> tuple[Picture, float]:
    """Return the picture from the lap upwards, where shoulders move by centimetres, and the width of its panel."""
    width = PANEL_WIDTHS_MM[1]
    points, radii = upper_extent(scene, frames)
    whole = replace(scene, start=frames[0], end=frames[-1])
    if head_moves(whole) and float(np.linalg.norm(head_slide(whole))) <= LEAST_SLIDE_M:
        # An arrow goes round the crown.
        points = np.concatenate([points, [turn_centre(scene, frame) for frame in frames]])
        radii = np.concatenate([radii, np.full(len(frames), TURN_RADIUS_M)])
    camera = fitted(
        choose_view(scene, aspect=width / HEIGHT_MM),
        points,
        radii,
        left=0.5,
        top=1.0,
        width=width - 1.0,
        height=HEIGHT_MM - 1.0,
    )
    return Picture(scene=scene, camera=camera), width


def _with_lines_that_copy(drawn: str) -> str:
    """Return the drawing without its spokes, which run together at this size, and with no line too thin to copy."""
    bare = re.sub(rf'<path [^>]*stroke="{SPOKE}"[^>]*/>', "", drawn)
    return re.sub(
        r'stroke-width="([\d.]+)"',
        lambda found: f'stroke-width="{number(max(float(found[1]), LEAST_LINE_MM))}"',
        bare,
    )
