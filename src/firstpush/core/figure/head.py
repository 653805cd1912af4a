"""The head: skull, jaw, nose, ear and hair. No features are drawn."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from firstpush.core.body.rotations import Array
from firstpush.core.figure.outlines import (
    Geometry,
    Layer,
    Part,
    balls,
    flat_shade,
    hull,
    line,
    outline,
    smooth,
    sweep,
    union,
)
from firstpush.core.figure.palette import HAIR, INK, SKIN, WEIGHTS
from firstpush.core.figure.proportions import Proportions
from firstpush.core.figure.scene import Scene
from firstpush.core.figure.view import Camera

Page = Callable[[Array], Array]

SKULL = np.array([-0.005, 0.0, 0.010])
SKULL_RADII = np.array([0.0530, 0.0425, 0.0535])
JAW = (
    (0.0330, 0.0080, -0.0510, 0.0135),
    (0.0330, -0.0080, -0.0510, 0.0135),
    (0.0060, 0.0235, -0.0360, 0.0190),
    (0.0060, -0.0235, -0.0360, 0.0190),
    (0.0250, 0.0150, -0.0220, 0.0245),
    (0.0250, -0.0150, -0.0220, 0.0245),
)
"""Balls of chin and jaw: place forward, left, up from the head's centre, and radius, in fractions of stature."""
NOSE = ((0.0460, 0.0, 0.004, 0.0055), (0.0605, 0.0, -0.0150, 0.0066), (0.0490, 0.0, -0.0215, 0.0060))
EAR = np.array([-0.002, 0.0415, -0.006])
HAIRLINE_DEG: dict[str, tuple[tuple[float, float], ...]] = {
    "short": (
        (0, 44),
        (28, 44),
        (46, 34),
        (60, 16),
        (68, -4),
        (76, -14),
        (84, -6),
        (92, 4),
        (104, 0),
        (116, -22),
        (135, -34),
        (180, -38),
    ),
    "cropped": (
        (0, 46),
        (28, 45),
        (46, 34),
        (60, 18),
        (68, 2),
        (76, -6),
        (84, 0),
        (92, 5),
        (104, 0),
        (116, -20),
        (135, -30),
        (180, -33),
    ),
    "tied": (
        (0, 44),
        (28, 42),
        (46, 30),
        (60, 12),
        (70, -2),
        (80, -4),
        (92, 2),
        (104, -8),
        (116, -24),
        (135, -30),
        (180, -26),
    ),
}
"""The hairline on the skull: angle from straight ahead, height above the skull's middle."""


def _sphere_points(rows: int = 22, columns: int = 44) -> Array:
    polar = np.linspace(0, np.pi, rows)[:, None]
    around = np.arange(columns)[None, :] * 2 * np.pi / columns
    return np.stack(
        [np.sin(polar) * np.cos(around), np.sin(polar) * np.sin(around), np.cos(polar) * np.ones_like(around)], axis=-1
    ).reshape(-1, 3)


SPHERE = _sphere_points()


def head_part(scene: Scene, camera: Camera, size: Proportions, frame: int) -> Part:
    """Return the head of `frame`."""
    unit, look = size.unit, scene.look
    centre, turned = scene.skeleton.head[frame], scene.skeleton.head_frame[frame]
    skin, hair = SKIN[look.skin], HAIR[look.hair]

    def world(local: Array) -> Array:
        return np.asarray(centre + unit * (np.asarray(local) @ turned.T))

    def page(local: Array) -> Array:
        return camera.project(world(local)).xy

    toward = turned.T @ camera.axes[2]
    skull = page(SKULL + SPHERE * SKULL_RADII)
    jaw = np.array(JAW)
    jaw_centres, jaw_radii = world(jaw[:, :3])[None], unit * jaw[None, :, 3]
    from firstpush.core.figure.outlines import ball_rings

    face = hull(np.concatenate([skull, ball_rings(camera, jaw_centres, jaw_radii).reshape(-1, 2)]))
    nose = np.array(NOSE)
    nose_shape = sweep(camera, world(nose[:, :3])[:, None], unit * nose[:, 3:])
    mm = unit * camera.scale
    shape = smooth(union(face, nose_shape), 0.005 * mm)
    layers: list[Layer] = []
    tail = _tail(camera, world, unit) if look.hair_style == "tied" else None
    tail_behind = toward[0] > -0.35
    if tail is not None and tail_behind:
        layers += [Layer(geometry=tail, fill=hair.light), flat_shade(tail, hair, 0.006 * mm), outline(tail)]
    # The far ear, where it is seen at all, looks out from behind the head.
    for side in (1.0, -1.0):
        if -0.5 < toward[1] * side <= 0.2:
            ear = _ear(page, side)
            layers += [Layer(geometry=ear, fill=skin.shade), outline(ear, WEIGHTS.inner)]
    layers += [Layer(geometry=shape, fill=skin.light), flat_shade(shape, skin, 0.010 * mm)]
    layers.append(outline(shape))
    if toward[0] > 0.1:
        layers += _nose_line(page, toward)
    swell = {"short": 1.05, "cropped": 1.012, "tied": 1.03}[look.hair_style]
    cap = _hair(page, toward, HAIRLINE_DEG[look.hair_style], swell)
    near_ears = [side for side in (1.0, -1.0) if toward[1] * side > 0.2]
    if cap is not None:
        layers += [Layer(geometry=cap, fill=hair.light), flat_shade(cap, hair, 0.009 * mm), outline(cap)]
    for side in near_ears:
        ear = _ear(page, side)
        layers += [Layer(geometry=ear, fill=skin.light), outline(ear, WEIGHTS.inner)]
    if tail is not None and not tail_behind:
        layers += [Layer(geometry=tail, fill=hair.light), flat_shade(tail, hair, 0.006 * mm), outline(tail)]
    every = [shape] + ([cap] if cap is not None else []) + ([tail] if tail is not None else [])
    middle = np.array([[world(SKULL), world(np.array([0.02, 0, -0.03]))]])
    radii = unit * np.array([[0.047, 0.034]])
    return Part(name="head", shape=union(*every), balls=balls(camera, middle, radii), layers=tuple(layers), moves=True)


def _hair(page: Page, toward: Array, hairline: tuple[tuple[float, float], ...], swell: float) -> Geometry | None:
    """Return the seen hair: cells of a slightly larger skull between hairline and crown that face the viewer."""
    import shapely

    turn = np.radians(np.linspace(-180.0, 180.0, 41))
    table = np.radians(np.array(hairline))
    low = np.interp(np.abs(turn), table[:, 0], table[:, 1])
    up = low + np.linspace(0.0, 1.0, 7)[:, None] * (np.pi / 2 - low)
    unit = np.stack([np.cos(up) * np.cos(turn), np.cos(up) * np.sin(turn), np.sin(up)], axis=-1)
    facing = (unit / SKULL_RADII) @ toward > 0
    xy = page(SKULL + unit * SKULL_RADII * swell)
    shown = facing[:-1, :-1] | facing[:-1, 1:] | facing[1:, 1:] | facing[1:, :-1]
    # A meridian faces the viewer in one piece: one strip for each two neighbours.
    strips = []
    for column in np.flatnonzero(shown.any(axis=0)):
        rows = np.flatnonzero(shown[:, column])
        span = slice(rows[0], rows[-1] + 2)
        strips.append(np.concatenate([xy[span, column], xy[span, column + 1][::-1]]))
    if not strips:
        return None
    which = np.repeat(np.arange(len(strips)), [len(strip) for strip in strips])
    polygons = shapely.polygons(shapely.linearrings(np.concatenate(strips), indices=which))
    seen = shapely.union_all(shapely.buffer(polygons, 0.02, quad_segs=1))
    cap = smooth(seen, 0.14)
    return None if cap.is_empty or cap.area < 0.05 else cap


def _ear(page: Page, side: float) -> Geometry:
    angle = np.linspace(0, 2 * np.pi, 24, endpoint=False)[:, None]
    lean = np.array([-0.25, 0.0, 1.0]) / np.hypot(0.25, 1.0)
    ahead = np.array([1.0, 0.0, 0.25]) / np.hypot(0.25, 1.0)
    flare = np.array([-0.12, 0.45 * side, 0.0])
    ring = EAR * (1, side, 1) + np.cos(angle) * lean * 0.0165 + np.sin(angle) * (ahead + flare) * 0.0100
    return hull(page(ring))


def _tail(camera: Camera, world: Page, unit: float) -> Geometry:
    points = np.array([(-0.056, 0.0, 0.018), (-0.066, 0.0, 0.004), (-0.069, 0.0, -0.022), (-0.064, 0.0, -0.045)])
    radii = np.array([0.012, 0.0155, 0.0135, 0.0060])
    return smooth(sweep(camera, world(points)[:, None], unit * radii[:, None]), 0.2)


def _nose_line(page: Page, toward: Array) -> list[Layer]:
    """Return the shadow side of the nose as a short line when it lies inside the face."""
    if abs(toward[1]) > 0.86:
        return []
    side = -1.0 if toward[1] >= 0 else 1.0
    points = np.array(
        [
            (0.0520, side * 0.004, -0.001),
            (0.0600, side * 0.0062, -0.0165),
            (0.0560, side * 0.0035, -0.0225),
            (0.0550, -side * 0.0030, -0.0230),
        ]
    )
    return [Layer(geometry=line(page(points)), stroke=INK, width=WEIGHTS.inner, role="detail")]
