"""The head: skull, jaw, nose, ear and hair. No features are drawn."""

from __future__ import annotations

import numpy as np

from firstpush.core.body.rotations import Array
from firstpush.core.figure.outlines import (
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

SKULL = np.array([-0.005, 0.0, 0.010])
SKULL_RADII = np.array([0.0530, 0.0425, 0.0535])
JAW = ((0.030, 0.000, -0.050, 0.0150), (0.012, 0.021, -0.040, 0.0155), (0.012, -0.021, -0.040, 0.0155),
       (0.024, 0.012, -0.030, 0.0220), (0.024, -0.012, -0.030, 0.0220))
"""Balls of chin and jaw: place forward, left, up from the head's centre, and radius, in fractions of stature."""
NOSE = ((0.0465, 0.0, 0.004, 0.0050), (0.0560, 0.0, -0.0150, 0.0062), (0.0480, 0.0, -0.0200, 0.0062))
EAR = np.array([-0.002, 0.0415, -0.006])
HAIRLINE = {"short": (0.61, -0.79, -0.0072), "cropped": (0.61, -0.79, -0.0060), "tied": (0.69, -0.72, -0.0010)}
"""The plane that parts face from hair: normal forward and up, and its distance from the head's centre."""


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
    shape = smooth(union(face, nose_shape), 0.004 * mm)
    layers: list[Layer] = []
    tail = _tail(camera, world, unit) if look.hair_style == "tied" else None
    tail_behind = toward[0] > -0.35
    if tail is not None and tail_behind:
        layers += [Layer(geometry=tail, fill=hair.light), flat_shade(tail, hair, 0.006 * mm), outline(tail)]
    layers += [Layer(geometry=shape, fill=skin.light), flat_shade(shape, skin, 0.010 * mm)]
    layers.append(outline(shape))
    if toward[0] > 0.1:
        layers += _nose_line(page, toward)
    swell = {"short": 1.05, "cropped": 1.012, "tied": 1.03}[look.hair_style]
    cap = _hair(page, toward, HAIRLINE[look.hair_style], swell)
    ears = [side for side in (1.0, -1.0) if toward[1] * side > -0.25]
    if cap is not None:
        layers += [Layer(geometry=cap, fill=hair.light), flat_shade(cap, hair, 0.009 * mm), outline(cap)]
    for side in ears:
        ear = _ear(page, side)
        layers += [Layer(geometry=ear, fill=skin.light), outline(ear, WEIGHTS.inner)]
    if tail is not None and not tail_behind:
        layers += [Layer(geometry=tail, fill=hair.light), flat_shade(tail, hair, 0.006 * mm), outline(tail)]
    every = [shape] + ([cap] if cap is not None else []) + ([tail] if tail is not None else [])
    middle = np.array([[world(SKULL), world(np.array([0.02, 0, -0.03]))]])
    radii = unit * np.array([[0.047, 0.034]])
    return Part(
        name="head", shape=union(*every), balls=balls(camera, middle, radii), layers=tuple(layers), moves=True
    )


def _hair(page: object, toward: Array, plane: tuple[float, float, float], swell: float) -> object:
    """Return the seen hair: the part of a slightly larger skull behind the hairline plane."""
    forward, up, distance = plane
    normal = np.array([forward, 0.0, up])
    normal = normal / np.linalg.norm(normal)
    radii = SKULL_RADII * swell
    # In the skull's own scale the ellipsoid is a unit ball and the plane stays a plane.
    scaled = normal * radii
    reach = float(np.linalg.norm(scaled))
    inward = (distance - float(normal @ SKULL)) / reach
    axis = scaled / reach
    first = np.cross(axis, (0.0, 1.0, 0.0))
    first = first / np.linalg.norm(first)
    second = np.cross(axis, first)
    angle = np.linspace(0, 2 * np.pi, 48, endpoint=False)[:, None]
    rim = inward * axis + np.sqrt(1 - inward**2) * (np.cos(angle) * first + np.sin(angle) * second)
    kept = SPHERE[SPHERE @ axis < inward]
    body = hull(page(SKULL + np.concatenate([kept, rim]) * radii))  # type: ignore[operator]
    lid = hull(page(SKULL + rim * radii))  # type: ignore[operator]
    if float((normal) @ toward) > 0:
        body = body.difference(lid)
    body = smooth(body, 0.08)
    return None if body.is_empty or body.area < 0.05 else body


def _ear(page: object, side: float) -> object:
    angle = np.linspace(0, 2 * np.pi, 24, endpoint=False)[:, None]
    lean = np.array([-0.25, 0.0, 1.0]) / np.hypot(0.25, 1.0)
    ahead = np.array([1.0, 0.0, 0.25]) / np.hypot(0.25, 1.0)
    flare = np.array([-0.35, 0.5 * side, 0.0])
    ring = EAR * (1, side, 1) + np.cos(angle) * lean * 0.0145 + np.sin(angle) * (ahead + flare) * 0.0085
    return hull(page(ring))  # type: ignore[operator]


def _tail(camera: Camera, world: object, unit: float) -> object:
    points = np.array([(-0.056, 0.0, 0.018), (-0.066, 0.0, 0.004), (-0.069, 0.0, -0.022), (-0.064, 0.0, -0.045)])
    radii = np.array([0.012, 0.0155, 0.0135, 0.0060])
    return smooth(sweep(camera, world(points)[:, None], unit * radii[:, None]), 0.2)  # type: ignore[operator]


def _nose_line(page: object, toward: Array) -> list[Layer]:
    """Return the shadow side of the nose as a short line when it lies inside the face."""
    if abs(toward[1]) > 0.8:
        return []
    side = -1.0 if toward[1] >= 0 else 1.0
    points = np.array([(0.0520, side * 0.004, -0.001), (0.0600, side * 0.0062, -0.0165), (0.0560, side * 0.0035, -0.0225),
                       (0.0550, -side * 0.0030, -0.0230)])
    return [Layer(geometry=line(page(points)), stroke=INK, width=WEIGHTS.inner, role="detail")]  # type: ignore[operator]
