"""Arms, legs, sleeves, shorts and shoes."""

from __future__ import annotations

import numpy as np

from firstpush.core.body.legs import Leg
from firstpush.core.body.posture import SIGN
from firstpush.core.body.rotations import Array
from firstpush.core.figure.outlines import (
    Layer,
    Part,
    ball_rings,
    balls,
    chain,
    disc_ring,
    hull,
    interpolated,
    outline,
    smooth,
    solid,
    sweep,
    swept,
    union,
)
from firstpush.core.figure.palette import LINER, SHIRT, SHOE, SHORTS, SKIN, WEIGHTS, Tint
from firstpush.core.figure.proportions import FOREARM, SHANK, THIGH, UPPER_ARM, Proportions
from firstpush.core.figure.scene import Scene
from firstpush.core.figure.view import Camera
from firstpush.core.people.athlete import Side

SLEEVE_END = 0.56
SHORTS_END = 0.74
ARM_STUMP = 0.5
SHADE_OF_UNIT = 0.010


def _rows(start: Array, end: Array, profile: Array, offsets: list[tuple[int, Array]], at: Array, unit: float) -> Array:
    """Return centres (S, K, 3): points along the bone moved by profile columns times directions."""
    middle = start + at[:, None] * (end - start)
    return np.stack([middle + unit * profile[:, column, None] * way for column, way in offsets], axis=1)


def bone_rows(
    start: Array,
    end: Array,
    table: tuple[tuple[float, ...], ...],
    ways: tuple[Array, ...],
    *,
    unit: float,
    thickness: float,
    until: float = 1.0,
    since: float = 0.0,
    count: int = 9,
) -> tuple[Array, Array]:
    """Return centres (S, K, 3) and radii (S, K) [m] of a limb from `start` to `end` with a profile `table`."""
    at = np.linspace(since, until, count)
    profile = interpolated(table, at)
    offsets = [(index + 1, way) for index, way in enumerate(ways)]
    centres = _rows(start, end, profile * thickness, offsets, at, unit)
    radii = np.repeat(unit * thickness * profile[:, :1], len(ways), axis=1)
    return centres, radii


def flat_rings(camera: Camera, centres: Array, radii: Array, first: Array, second: Array) -> Array:
    """Return (S, n, 2) flat cross-sections [mm] round rows of balls: `first`, `second` span the section.

    A limb that comes out of a hem begins with a flat section; a ball there would bulge back into the cloth.
    """
    rings = []
    for row, radius in zip(centres, radii, strict=True):
        middle = row.mean(axis=0)
        spread = np.abs((row - middle) @ first).max()
        aside = np.abs((row - middle) @ second).max()
        rings.append(disc_ring(camera, middle, first * (radius[0] + spread), second * (radius[0] + aside)))
    return np.stack(rings)


def arm_parts(scene: Scene, camera: Camera, size: Proportions, side: Side, frame: int) -> list[Part]:
    """Return upper arm and forearm of `side`; the hand is a part of its own, see `hand.py`."""
    arm = scene.skeleton.arms[side]
    shoulder, elbow, wrist = arm.shoulder[frame], arm.elbow[frame], arm.wrist[frame]
    humerus, forearm = arm.humerus_frame[frame], arm.forearm_frame[frame]
    skin = SKIN[scene.look.skin]
    missing = scene.body.missing
    above, below = f"{side} above elbow" in missing, f"{side} below elbow" in missing
    found = [_upper_arm(camera, size, side, shoulder, elbow, humerus, skin, cut=above)]
    if not above:
        found.append(_forearm(camera, size, side, elbow, wrist, forearm, skin, cut=below))
    return found


def _upper_arm(
    camera: Camera, size: Proportions, side: Side, shoulder: Array, elbow: Array, frame: Array, skin: Tint, *, cut: bool
) -> Part:
    s, unit, thick = SIGN[side], size.unit, size.arm
    ways = (frame[:, 0], -frame[:, 0], s * frame[:, 1])
    end = ARM_STUMP if cut else 1.0
    centres, radii = bone_rows(shoulder, elbow, UPPER_ARM, ways, unit=unit, thickness=thick, until=end)
    radius = 0.010 * unit * camera.scale
    seen = balls(camera, centres, radii)
    skin_shape = smooth(swept(seen, rows=len(centres)), radius)
    reach = min(SLEEVE_END, end + 0.04)
    rows, widths = bone_rows(shoulder, elbow, UPPER_ARM, ways, unit=unit, thickness=thick, until=reach, count=7)
    widths = widths + unit * np.linspace(0.001, 0.0035, 7)[:, None]
    rings = ball_rings(camera, rows[:-1], widths[:-1]).reshape(6, -1, 2)
    hem_centre = rows[-1].mean(axis=0)
    hem = float(widths[-1, 0]) + unit * 0.004 * thick
    edge = disc_ring(camera, hem_centre, frame[:, 0] * (hem + 0.003 * unit), frame[:, 1] * hem)
    last = np.concatenate([edge] * (rings.shape[1] // edge.shape[0]))
    sleeve = smooth(chain(np.concatenate([rings, last[None]])), 0.25 * radius)
    shade = SHADE_OF_UNIT * unit * camera.scale
    sleeve_layers = solid(sleeve, SHIRT, shade=shade)
    if camera.facing((elbow - shoulder) / np.linalg.norm(elbow - shoulder)) > 0:
        # The arm comes out of the sleeve towards the viewer: the opening is seen, the skin lies over it.
        out, wide = bone_rows(
            shoulder,
            elbow,
            UPPER_ARM,
            ways,
            unit=unit,
            thickness=thick,
            since=min(reach, end) - 0.01,
            until=end,
            count=6,
        )
        stick = union(
            chain(flat_rings(camera, out, wide, frame[:, 0], frame[:, 1])), sweep(camera, out[-2:], wide[-2:])
        )
        inner = disc_ring(camera, hem_centre, frame[:, 0] * (hem + 0.003 * unit) * 0.9, frame[:, 1] * hem * 0.9)
        opening = Layer(geometry=hull(inner), fill=SHIRT.shade)
        layers = (*sleeve_layers, opening, *solid(smooth(stick, 0.05), skin, shade=0.8 * shade))
    else:
        layers = (*solid(skin_shape, skin, shade=0.8 * shade), *sleeve_layers)
    shape = union(skin_shape, sleeve)
    return Part(name=f"upper arm {side}", shape=shape, balls=seen, layers=layers, moves=True)


def _forearm(
    camera: Camera, size: Proportions, side: Side, elbow: Array, wrist: Array, frame: Array, skin: Tint, *, cut: bool
) -> Part:
    unit, thick = size.unit, size.arm
    ways = (frame[:, 0], -frame[:, 0])
    centres, radii = bone_rows(
        elbow, wrist, FOREARM, ways, unit=unit, thickness=thick, until=ARM_STUMP if cut else 1.0, count=9
    )
    seen = balls(camera, centres, radii)
    shape = smooth(swept(seen, rows=len(centres)), 0.010 * unit * camera.scale)
    shade = 0.8 * SHADE_OF_UNIT * unit * camera.scale
    return Part(
        name=f"forearm {side}",
        shape=shape,
        balls=seen,
        layers=solid(shape, skin, shade=shade),
        moves=True,
    )


def leg_parts(scene: Scene, camera: Camera, size: Proportions, side: Side) -> list[Part]:
    """Return thigh (in shorts), shank and shoe of `side`, as far as the leg goes."""
    leg = scene.legs[side]
    found = [_thigh(scene, camera, size, side, leg)]
    if leg.knee is not None and leg.end is not leg.knee:
        found.append(_shank(scene, camera, size, side, leg))
    if leg.toe is not None and leg.ankle is not None:
        found.append(_shoe(camera, size, side, leg.ankle, leg.toe))
    return found


def _thigh(scene: Scene, camera: Camera, size: Proportions, side: Side, leg: Leg) -> Part:
    unit, thick = size.unit, size.leg
    stump = leg.knee is None
    knee = leg.end if leg.knee is None else leg.knee
    along = (knee - leg.hip) / np.linalg.norm(knee - leg.hip)
    up = np.cross(along, (0.0, 1.0, 0.0))
    up = up / np.linalg.norm(up) * (1.0 if up[2] >= 0 else -1.0)
    ways = (up, -up)
    # A stump keeps the girth of the thigh where it was cut.
    table = THIGH if not stump else tuple((row[0] * 2, *row[1:]) for row in THIGH if row[0] * 2 <= 1.2)
    centres, radii = bone_rows(leg.hip, knee, table, ways, unit=unit, thickness=thick)
    radius = 0.012 * unit * camera.scale
    shade = 1.2 * SHADE_OF_UNIT * unit * camera.scale
    bare = smooth(sweep(camera, centres, radii), radius)
    if stump:
        return Part(
            name=f"thigh {side}",
            shape=bare,
            balls=balls(camera, centres, radii),
            layers=solid(bare, SHORTS, shade=shade),
        )
    rows, widths = bone_rows(leg.hip, knee, table, ways, unit=unit, thickness=thick, until=SHORTS_END, count=7)
    widths = widths + unit * np.linspace(0.000, 0.0035, 7)[:, None]
    rings = ball_rings(camera, rows[:-1], widths[:-1]).reshape(6, -1, 2)
    hem = float(widths[-1, 0]) + 0.003 * unit
    across = np.cross(up, along)
    edge = disc_ring(camera, rows[-1].mean(axis=0), up * (hem + 0.002 * unit), across * hem)
    last = np.concatenate([edge] * (rings.shape[1] // edge.shape[0]))
    shorts = smooth(chain(np.concatenate([rings, last[None]])), 0.25 * radius)
    layers = (*solid(bare, SKIN[scene.look.skin], shade=0.7 * shade), *solid(shorts, SHORTS, shade=shade))
    if camera.facing(along) > 0:
        out, wide = bone_rows(leg.hip, knee, table, ways, unit=unit, thickness=thick, since=SHORTS_END - 0.01, count=6)
        cap = union(chain(flat_rings(camera, out, wide, up, across)), sweep(camera, out[-2:], wide[-2:]))
        cap = smooth(cap, 0.05)
        layers = (*solid(shorts, SHORTS, shade=shade), *solid(cap, SKIN[scene.look.skin], shade=0.7 * shade))
    return Part(name=f"thigh {side}", shape=union(bare, shorts), balls=balls(camera, centres, radii), layers=layers)


def _shank(scene: Scene, camera: Camera, size: Proportions, side: Side, leg: Leg) -> Part:
    assert leg.knee is not None
    unit, thick = size.unit, size.leg
    stump = leg.ankle is None
    ankle = leg.end if leg.ankle is None else leg.ankle
    along = (ankle - leg.knee) / np.linalg.norm(ankle - leg.knee)
    front = np.cross((0.0, 1.0, 0.0), along)
    front = front / np.linalg.norm(front) * (1.0 if front[0] >= 0 else -1.0)
    table = SHANK if not stump else tuple((row[0] * 2, *row[1:]) for row in SHANK if row[0] * 2 <= 1.1)
    centres, radii = bone_rows(leg.knee, ankle, table, (front, -front), unit=unit, thickness=thick)
    shape = smooth(sweep(camera, centres, radii), 0.010 * unit * camera.scale)
    tint = LINER if stump else SKIN[scene.look.skin]
    layers = solid(shape, tint, shade=SHADE_OF_UNIT * unit * camera.scale)
    return Part(name=f"shank {side}", shape=shape, balls=balls(camera, centres, radii), layers=layers)


def _shoe(camera: Camera, size: Proportions, side: Side, ankle: Array, toe: Array) -> Part:
    """Return a plain court shoe whose sole lies under the ankle and the toe."""
    unit, s = size.unit, SIGN[side]
    length = float(np.linalg.norm((toe - ankle)[:2]))
    ahead = np.array([np.cos(0.10), s * np.sin(0.10), 0.0])
    left = np.array([-ahead[1], ahead[0], 0.0])
    sole = float(toe[2]) - 0.03

    def place(forward: float, aside: float, radius: float, lift: float = 0.0) -> Array:
        floor = np.array([ankle[0], ankle[1], sole + max(radius, 0.009) + 0.010 * (radius > 0.01) + lift])
        return np.asarray(floor + forward * length * ahead + aside * left)

    r = unit / 1.75
    # forward along the foot, half width, radius, height of the upper ball
    stations = [
        (-0.32, 0.006 * r, 0.026 * r, 0.030 * r),
        (-0.12, 0.006 * r, 0.029 * r, 0.036 * r),
        (0.12, 0.008 * r, 0.029 * r, 0.022 * r),
        (0.42, 0.013 * r, 0.027 * r, 0.006 * r),
        (0.66, 0.015 * r, 0.024 * r, 0.000),
        (0.84, 0.010 * r, 0.021 * r, 0.000),
    ]
    rows = [[place(f, w, rad), place(f, -w, rad), place(f, 0.0, rad, lift)] for f, w, rad, lift in stations]
    centres = np.array(rows)
    radii = np.array([[rad] * 3 for _, _, rad, _ in stations])
    upper = smooth(sweep(camera, centres, radii), 0.4 * 0.010 * unit * camera.scale)
    edge = [(f + 0.06 * (f > 0.8), w + 0.9 * rad) for f, w, rad, _ in stations]
    flat = np.array([[place(f, side_, 0.0), place(f, -side_, 0.0)] for f, side_ in edge])
    tread = smooth(sweep(camera, flat, np.full((6, 2), 0.007 * r)), 0.08)
    layers = (
        Layer(geometry=tread, fill=SHOE.shade),
        outline(tread, WEIGHTS.inner),
        *solid(upper, SHOE, shade=0.7 * SHADE_OF_UNIT * unit * camera.scale, width=WEIGHTS.inner),
    )
    shape = union(upper, tread)
    return Part(name=f"shoe {side}", shape=shape, balls=balls(camera, centres, radii), layers=(*layers, outline(shape)))


def bone_disc(camera: Camera, point: Array, radius: float) -> tuple[Array, float]:
    """Return page place and radius [mm] of a joint, for hiding the seam there."""
    seen = camera.project(point)
    return seen.xy, float(radius * seen.scale)
