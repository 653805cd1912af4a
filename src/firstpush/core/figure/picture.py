"""A scene fitted into a box on the page: view, scale, and a break where a long band would make the person small."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from firstpush.core.body.rotations import Array
from firstpush.core.figure.breaks import KEPT_M, Strip, shortened, strip_of
from firstpush.core.figure.figure_parts import post_extent, sitter_extent
from firstpush.core.figure.scene import Scene
from firstpush.core.figure.view import Camera, choose_view, fitted

LABEL_SIDE_MM = 13.0
LABEL_BELOW_MM = 2.5
ROOM_FOR_HEIGHT_MM = 17.0
WORTH_A_BREAK = 1.08
"""How much larger the person must become for a break to be drawn."""


@dataclass(frozen=True, kw_only=True)
class Picture:
    """What is drawn and from where: the scene (shortened where `strip` is not None) and its camera."""

    scene: Scene
    camera: Camera
    strip: Strip | None = None


def shown_frames(scene: Scene) -> tuple[int, ...]:
    """Return a few frames that stand for the whole movement."""
    return (*range(0, scene.frames, max(1, scene.frames // 6)), scene.start, scene.end)


def pictured(
    scene: Scene,
    *,
    left: float,
    top: float,
    width: float,
    height: float,
    view: Camera | None = None,
    frames: tuple[int, ...] = (),
) -> Picture:
    """Return `scene` fitted into a box [mm], with room for its dimensions at the sides of the post.

    Parameters
    ----------
    scene : Scene
    left, top, width, height : float
        The box [mm].
    view : Camera or None
        None chooses the view.
    frames : tuple of int
        Frames that must fit; a few of the whole movement when empty.

    Returns
    -------
    Picture
        With a break in the floor before the post where the person becomes clearly larger by it.
    """
    shown = frames or shown_frames(scene)
    aspect = width / height
    box = {"left": left, "top": top, "width": width, "height": height}
    direction = view
    for keep in KEPT_M:
        shorter = shortened(scene, frames=shown, keep=keep)
        if shorter is scene:
            break
        direction = choose_view(shorter, aspect=aspect) if direction is None else direction
        near = _fitted_in(shorter, direction, shown, **box)
        strip = strip_between(shorter, near, shown)
        if strip is None:
            continue
        if near.scale >= WORTH_A_BREAK * _fitted_in(scene, direction, shown, **box).scale:
            return Picture(scene=shorter, camera=near, strip=strip)
        break
    direction = choose_view(scene, aspect=aspect) if direction is None else direction
    camera = _fitted_in(scene, direction, shown, **box)
    return Picture(scene=scene, camera=camera)


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
    """Return the camera that shows the whole of `scene`, without a break, in a box [mm]."""
    camera = choose_view(scene, aspect=width / height) if view is None else view
    return _fitted_in(scene, camera, frames or shown_frames(scene), left=left, top=top, width=width, height=height)


def reach_on_page(camera: Camera, points: Array, radii: Array) -> Array:
    """Return left, top, right, bottom [mm] of balls of `radii` at `points`, (4,)."""
    seen = camera.project(points)
    reach = (radii * seen.scale)[:, None]
    return np.concatenate([(seen.xy - reach).min(axis=0), (seen.xy + reach).max(axis=0)])


def strip_between(scene: Scene, camera: Camera, frames: tuple[int, ...]) -> Strip | None:
    """Return the break between athlete and post, None where there is none or no room for it."""
    points, radii = post_extent(scene)
    if scene.cut is None or not len(points):
        return None
    sitter = reach_on_page(camera, *sitter_extent(scene, frames))[[0, 2]]
    return strip_of(scene, camera, sitter, reach_on_page(camera, points, radii)[[0, 2]])


def _fitted_in(
    scene: Scene, camera: Camera, frames: tuple[int, ...], *, left: float, top: float, width: float, height: float
) -> Camera:
    points, radii = sitter_extent(scene, frames)
    post, wide = post_extent(scene)
    every, reach = np.concatenate([points, post]), np.concatenate([radii, wide])
    inset_left = inset_right = 1.0
    if scene.anchor is not None and any(item.kind == "height" for item in scene.dimensions):
        flat = fitted(camera, every, reach, left=0, top=0, width=width - 2, height=height - 1.0 - LABEL_BELOW_MM)
        place = float(flat.project(scene.anchor).xy[0])
        sitter = flat.project(points).xy[:, 0]
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
        every,
        reach,
        left=left + inset_left,
        top=top + 1.0,
        width=width - inset_left - inset_right,
        height=height - 1.0 - below,
    )
