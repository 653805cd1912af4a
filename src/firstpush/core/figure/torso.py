"""The trunk in the club's plain shirt, with its collar, and the strap that holds it."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import Protocol, TypeVar

import numpy as np

from firstpush.core.body.rotations import Array, geodesic, turn
from firstpush.core.figure.outlines import (
    Geometry,
    Layer,
    Part,
    ball_rings,
    balls,
    disc_ring,
    hull,
    interpolated,
    line,
    smooth,
    solid,
    sweep,
    swept,
    together,
    union,
)
from firstpush.core.figure.palette import INK, SEAT, SHIRT, SKIN, WEIGHTS
from firstpush.core.figure.proportions import TRUNK, Proportions
from firstpush.core.figure.scene import Scene
from firstpush.core.figure.view import Camera
from firstpush.core.people.athlete import SIDES

Made = TypeVar("Made")

WEBBING_M = 0.045
COLUMNS = np.array([-1.0, -0.6, 0.0, 0.6, 1.0])


class Trunk:
    """The trunk of one frame: places on and in it, from shares of the shoulder height."""

    def __init__(self, scene: Scene, size: Proportions, frame: int) -> None:
        self.size, self.frame = size, frame
        self.hip = scene.skeleton.hip_centre[frame]
        self.thorax = scene.skeleton.thorax_frame[frame]
        self.height = scene.body.shoulder_height.value
        self.half_width = scene.body.shoulder_half_width.value / 0.110

    def frame_at(self, share: Array) -> Array:
        """Return frames (n, 3, 3) at `share` of the shoulder height: the pelvis stays, the thorax is turned."""
        t = np.clip(np.asarray(share) / 0.62, 0.0, 1.0)
        return geodesic(np.eye(3), self.thorax, t * t * (3 - 2 * t))

    def section(self, share: Array) -> tuple[Array, Array, Array]:
        """Return middle (n, 3), half width (n,) and half depth (n,) [m] of the sections at `share`."""
        share = np.asarray(share, dtype=float)
        width, depth, ahead = interpolated(TRUNK, share).T
        size = self.size
        low, waist = np.exp(-((share / 0.22) ** 2)), np.exp(-(((share - 0.38) / 0.18) ** 2))
        shape = 1 + (size.hips - 1) * low + (size.waist - 1) * waist
        shape = shape * (1 + (size.chest - 1) * np.clip((share - 0.5) / 0.3, 0, 1))
        upper = np.clip((share - 0.6) / 0.3, 0.0, 1.0)[..., None]
        scale = self.size.unit * (1 - upper[..., 0]) + self.half_width * upper[..., 0]
        local = np.stack([ahead * size.unit, 0 * share, share * self.height], axis=-1)
        middle = self.hip + turn(self.frame_at(share), local)
        return middle, width * shape * scale, depth * size.trunk * shape * size.unit

    def ring(self, camera: Camera, share: float, *, swell: float = 1.0, near: bool = True) -> Array:
        """Return the near (or whole) edge of the section at `share` on the page, (n, 2) [mm]."""
        middle, width, depth = self.section(np.array([share]))
        frame = self.frame_at(np.array([share]))[0]
        angle = np.linspace(0, 2 * np.pi, 73)
        points = middle[0] + swell * (
            np.cos(angle)[:, None] * frame[:, 1] * width[0] + np.sin(angle)[:, None] * frame[:, 0] * depth[0]
        )
        seen = camera.project(points)
        if not near:
            return seen.xy
        normal = np.cos(angle)[:, None] * frame[:, 1] / width[0] + np.sin(angle)[:, None] * frame[:, 0] / depth[0]
        facing = normal @ camera.axes[2] > 0
        first = int(np.argmax(facing & ~np.roll(facing, 1)))
        order = np.roll(np.arange(72), -first)
        kept = [int(i) for i in order if facing[i]]
        return np.asarray(seen.xy[kept])


class Keep(Protocol):
    """Returns what `make` gives, made once for the same `key`."""

    def __call__(self, make: Callable[[], Made], *key: object) -> Made:
        """Return what `make` gives, or gave for this `key`."""


def torso_part(scene: Scene, camera: Camera, size: Proportions, frame: int, keep: Keep) -> Part:
    """Return the trunk in its shirt; what of it is the same in several frames is made once by `keep`."""
    trunk = Trunk(scene, size, frame)
    pose = ("trunk", trunk.hip, trunk.thorax)
    unit = size.unit
    share = np.linspace(0.05, 1.05, 14)
    middle, width, depth = trunk.section(share)
    frames = trunk.frame_at(share)
    # Five balls side by side stand for the elliptic section; the outer ones are drawn in by their own radius.
    outer = np.maximum(width - depth, 0.0)
    centres = middle[:, None, :] + (COLUMNS[None, :] * outer[:, None])[..., None] * frames[:, None, :, 1]
    radii = np.repeat(depth[:, None], 5, axis=1) * np.array([0.97, 1.0, 1.0, 1.0, 0.97])
    every = [balls(camera, centres, radii)]
    shapes = [keep(lambda: swept(every[0], rows=len(centres)), *pose)]
    top = trunk.frame_at(np.array([1.0]))[0]

    def at(ahead: float, aside: float, share_up: float) -> Array:
        return np.asarray(trunk.hip + top @ (ahead * unit, aside * trunk.half_width, share_up * trunk.height))

    for side in SIDES:
        s = 1.0 if side == "left" else -1.0
        arm = scene.skeleton.arms[side]
        shoulder, elbow = arm.shoulder[frame], arm.elbow[frame]
        thick = size.arm
        up = top[:, 2] * 0.004 * unit
        yoke = np.array([at(0.0, 0.050 * s, 0.96), (at(0, 0.085 * s, 0.975) + shoulder + up) / 2, shoulder + up])[
            :, None
        ]
        yoke_radii = unit * thick * np.array([0.044, 0.036, 0.0285])[:, None]
        slope = np.array([at(-0.007, 0.020 * s, 1.185), at(-0.006, 0.047 * s, 1.10), shoulder + 3.2 * up])[:, None]
        slope_radii = unit * np.array([0.018, 0.023, 0.0195])[:, None] * size.neck
        fold = np.array([at(0.004, 0.060 * s, 0.74), shoulder + 0.24 * (elbow - shoulder)])[:, None]
        fold_radii = unit * np.array([0.045, 0.024 * thick])[:, None]
        bust = np.array([at(0.036, 0.040 * s, 0.76), at(0.020, 0.045 * s, 0.92)])[:, None]
        bust_radii = unit * np.array([0.010 + size.bust, 0.030])[:, None]
        for piece, piece_radii in (
            (yoke, yoke_radii),
            (slope, slope_radii),
            (fold, fold_radii),
            (bust, bust_radii),
        ):
            every.append(balls(camera, piece, piece_radii))
            shapes.append(keep(partial(swept, every[-1], rows=len(piece)), *pose, piece, piece_radii))
    shape = smooth(union(*shapes), 0.026 * unit * camera.scale)
    layers = [*solid(shape, SHIRT, shade=0.013 * unit * camera.scale)]
    if scene.strap != "none":
        layers += _strap_layers(*keep(lambda: _strap(scene, camera, trunk), *pose, scene.strap), shape)
    return Part(name="torso", shape=shape, balls=together(*every), layers=tuple(layers), moves=True)


def _strap(scene: Scene, camera: Camera, trunk: Trunk) -> tuple[Geometry, Geometry]:
    """Return the near side of the webbing round the trunk, and its seam."""
    import shapely

    share = 0.17 if scene.strap == "waist" else 0.66
    half = 0.5 * WEBBING_M / trunk.height
    low, middle, high = (trunk.ring(camera, share + shift, swell=1.03) for shift in (-half, 0.0, half))
    return shapely.Polygon(np.concatenate([low, high[::-1]])).buffer(0), line(middle)


def _strap_layers(webbing: Geometry, seam: Geometry, torso: Geometry) -> list[Layer]:
    return [
        *solid(webbing.intersection(torso), SEAT, width=WEIGHTS.inner),
        Layer(
            geometry=seam.intersection(torso.buffer(-0.2)),
            stroke=SHIRT.light,
            width=WEIGHTS.inner,
            cap="butt",
            dash=(0.5, 0.5),
            role="detail",
        ),
    ]


def neck_part(scene: Scene, camera: Camera, size: Proportions, frame: int) -> Part:
    """Return the neck rising out of the shirt's collar."""
    skeleton, unit = scene.skeleton, size.unit
    thorax, head = skeleton.thorax_frame[frame], skeleton.head_frame[frame]
    base, centre = skeleton.neck[frame], skeleton.head[frame]
    radius = 0.0325 * unit * size.neck
    low = base + thorax @ (0.001 * unit, 0.0, 0.005 * unit)
    high = centre + head @ (-0.016 * unit, 0.0, -0.040 * unit)
    first = thorax @ (0.0, radius * 1.22, 0.0)
    second = thorax @ (radius * 1.12, 0.0, -radius * 0.42)
    ring = disc_ring(camera, low, first, second)
    angle = np.arange(ring.shape[0]) * 2 * np.pi / ring.shape[0]
    normal = np.cross(second, first)
    normal = normal / np.linalg.norm(normal) * (1.0 if normal @ thorax[:, 2] > 0 else -1.0)
    points = low + np.cos(angle)[:, None] * first + np.sin(angle)[:, None] * second
    toward = camera.axes[2]
    across = toward - (toward @ normal) * normal
    near = (points - low) @ across >= -1e-9
    arc_order = np.argsort(np.arctan2(*(((points - low) @ np.stack([np.cross(normal, across), across]).T)[near].T)))
    arc = ring[near][arc_order]
    centres = np.stack([low + 0.25 * (high - low), (low + high) / 2, high])[:, None]
    radii = radius * np.array([1.0, 0.94, 0.96])[:, None]
    column = sweep(camera, centres, radii)
    skirt = hull(np.concatenate([arc, ball_rings(camera, centres[0, 0], np.array(radius))]))
    opening = hull(ring)
    keep = union(skirt, column, opening) if toward @ normal > 0.25 else union(skirt, column)
    below = _below(arc)
    shape = smooth(keep.difference(below), 0.15)
    skin = SKIN[scene.look.skin]
    collar = line(arc)
    layers = (
        *solid(shape, skin, shade=0.010 * unit * camera.scale),
        Layer(geometry=collar, stroke=INK, width=0.0075 * unit * camera.scale + 2 * WEIGHTS.inner, role="detail"),
        Layer(geometry=collar, stroke=SHIRT.shade, width=0.0075 * unit * camera.scale, role="detail"),
    )
    return Part(name="neck", shape=shape, balls=balls(camera, centres, radii), layers=layers, moves=True)


def _below(arc: Array) -> Geometry:
    """Return the area under the near edge of the collar, where the shirt hides the neck."""
    import shapely

    arc = arc if arc[0, 0] < arc[-1, 0] else arc[::-1]
    drop = np.array([0.0, 30.0])
    return shapely.Polygon(np.concatenate([arc, (arc + drop)[::-1]])).buffer(0)
