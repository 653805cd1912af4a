"""Hands: a fist closed round a handle, a hand on a ball, a hand at rest; a wrist cuff where there is no grip."""

from __future__ import annotations

from collections.abc import Callable
from typing import Literal

import numpy as np

from firstpush.core.body.posture import SIGN, ArmPoints
from firstpush.core.body.rotations import Array
from firstpush.core.figure.outlines import (
    COARSE_MM,
    Geometry,
    Layer,
    Part,
    balls,
    chain,
    disc_ring,
    flat_shade,
    hull,
    outline,
    smooth,
    swept,
    together,
    union,
)
from firstpush.core.figure.palette import FRAME, INK, SEAT, WEIGHTS, Tint
from firstpush.core.figure.view import Camera
from firstpush.core.people.athlete import Side

HandPose = Literal["fist", "ball", "rest", "open"]

FINGER_ROUND_MM = 0.1
HANDLE_HALF_LENGTH = 0.72
HANDLE_RADIUS = 0.17
FINGERS = (0.36, 0.12, -0.12, -0.34)
"""Index to little finger: place across the hand. Hand coordinates: thumb side, towards the fingertips, towards the
palm, in lengths wrist to grip centre, from the grip centre."""

_FINGER: dict[HandPose, tuple[tuple[float, float, float], ...]] = {
    # factor on the place across, towards the fingertips, towards the palm
    "fist": ((1.0, -0.06, -0.22), (0.98, 0.30, -0.14), (0.95, 0.33, 0.14), (0.92, 0.06, 0.30), (0.9, -0.14, 0.24)),
    "ball": ((1.0, 0.00, -0.10), (1.15, 0.36, -0.06), (1.22, 0.62, 0.02), (1.27, 0.80, 0.14)),
    "rest": ((1.0, 0.00, -0.12), (1.02, 0.34, -0.02), (0.98, 0.60, 0.12), (0.92, 0.76, 0.28)),
    "open": ((1.0, 0.00, -0.08), (1.02, 0.38, -0.02), (1.0, 0.70, 0.03), (0.98, 0.92, 0.10)),
}
_THUMB: dict[HandPose, tuple[tuple[float, float, float], ...]] = {
    "fist": ((0.24, -0.72, 0.08), (0.44, -0.34, 0.20), (0.42, 0.00, 0.36), (0.22, 0.20, 0.42)),
    "ball": ((0.24, -0.72, 0.08), (0.52, -0.38, 0.14), (0.72, -0.06, 0.20), (0.78, 0.18, 0.22)),
    "rest": ((0.24, -0.72, 0.08), (0.46, -0.36, 0.18), (0.50, -0.04, 0.26), (0.42, 0.20, 0.34)),
    "open": ((0.24, -0.72, 0.08), (0.52, -0.40, 0.12), (0.66, -0.10, 0.14), (0.70, 0.14, 0.16)),
}
_PALM = (
    (-1.02, 0.14, 0.125, 0.00),
    (-0.80, 0.17, 0.145, 0.02),
    (-0.45, 0.25, 0.150, 0.00),
    (-0.10, 0.31, 0.130, -0.10),
)
"""Towards the fingertips, half distance of its two balls, their radius, towards the palm."""


def hand_axes(arm: ArmPoints, side: Side, frame: int) -> Array:
    """Return the hand's directions in the world as columns: thumb side, fingertips, palm; (3, 3)."""
    thumb = arm.forearm_frame[frame][:, 0]
    fingers = arm.hand[frame] - arm.wrist[frame]
    fingers = fingers / np.linalg.norm(fingers)
    return np.stack([thumb, fingers, -SIGN[side] * np.cross(thumb, fingers)], axis=1)


def hand_part(
    camera: Camera,
    *,
    arm: ArmPoints,
    side: Side,
    frame: int,
    length: float,
    pose: HandPose,
    skin: Tint,
    thick: float,
    handle: bool,
) -> Part:
    """Return the hand of `side`.

    Parameters
    ----------
    length : float
        Wrist to grip centre [m].
    pose : str
        "fist", "ball", "rest" or "open".
    thick : float
        Factor on the girth of palm and fingers.
    handle : bool
        Whether the fist holds a handle.
    """
    axes, grip = hand_axes(arm, side, frame), arm.hand[frame]

    def world(local: Array) -> Array:
        return np.asarray(grip + length * (np.asarray(local, dtype=float) @ axes.T))

    pieces: list[tuple[float, Geometry, str]] = []
    every = []

    def add(kind: str, centres: Array, radii: Array, round_mm: float) -> None:
        seen = balls(camera, centres, radii)
        shape = swept(seen, rows=len(centres))
        # A finger is half a millimetre wide: its corners are not seen.
        shape = smooth(shape, round_mm) if round_mm > FINGER_ROUND_MM else shape.simplify(COARSE_MM)
        pieces.append((float(seen.depth.mean()), shape, kind))
        every.append(seen)

    finger_radius, thumb_radius = 0.122 * length * thick**0.5, 0.125 * length * thick**0.5
    for place in FINGERS:
        joints = np.array([(place * wide, tip, palm) for wide, tip, palm in _FINGER[pose]])
        taper = np.linspace(1.0, 0.84, len(joints)) * (0.88 if place == FINGERS[-1] else 1.0)
        add("finger", world(joints)[:, None, :], finger_radius * taper[:, None], 0.04)
    thumb = world(np.array(_THUMB[pose]))[:, None, :]
    add("thumb", thumb, thumb_radius * np.array([1.45, 1.2, 1.0, 0.88])[:, None], 0.08)
    palm = np.array([[(half, tip, deep), (-half, tip, deep)] for tip, half, _, deep in _PALM])
    palm_radii = length * thick**0.5 * np.array([[radius] * 2 for _, _, radius, _ in _PALM])
    add("palm", world(palm), palm_radii, 0.2)
    whole = union(*(shape for _, shape, _ in pieces)).buffer(0.06).buffer(-0.06)
    layers: list[Layer] = []
    ends = _handle_ends(camera, world, axes, length) if handle else []
    for depth, end_layers in ends:
        if depth < 0:
            layers += end_layers
    layers.append(Layer(geometry=whole, fill=skin.light))
    fine = 0.6 * WEIGHTS.inner
    for _, shape, kind in sorted(pieces, key=lambda piece: piece[0]):
        if kind == "finger":
            layers.append(Layer(geometry=shape, fill=skin.light, stroke=INK, width=fine, role="detail"))
            continue
        layers.append(Layer(geometry=shape, fill=skin.light))
        if kind == "thumb":
            layers.append(Layer(geometry=shape.boundary, stroke=INK, width=fine, role="outline"))
    layers.append(flat_shade(whole, skin, 0.09 * length * camera.scale))
    layers.append(outline(whole, 0.9 * WEIGHTS.outline))
    for depth, end_layers in ends:
        if depth >= 0:
            layers += end_layers
    return Part(name=f"hand {side}", shape=whole, balls=together(*every), layers=tuple(layers), moves=True)


def _handle_ends(
    camera: Camera, world: Callable[[Array], Array], axes: Array, length: float
) -> list[tuple[float, list[Layer]]]:
    """Return both ends of the handle with how far each stands towards the viewer: the near one lies over the fist."""
    found = []
    toward = camera.facing(axes[:, 0])
    for sign in (1.0, -1.0):
        inner, outer = (world(np.array((sign * share, 0.0, 0.0))) for share in (0.40, HANDLE_HALF_LENGTH))
        radius = HANDLE_RADIUS * length
        second, third = axes[:, 1] * radius, axes[:, 2] * radius
        rings = np.stack([disc_ring(camera, point, second, third) for point in (inner, outer)])
        stub = chain(rings)
        end = hull(rings[1])
        layers = [Layer(geometry=stub, fill=SEAT.light), outline(stub, WEIGHTS.inner)]
        if sign * toward > 0.15:
            layers += [Layer(geometry=end, fill=FRAME.light), outline(end, WEIGHTS.inner)]
        found.append((sign * toward - 0.35, layers))
    return found


def handle_ends(arm: ArmPoints, side: Side, frame: int, length: float) -> Array:
    """Return the two ends of the handle in the world, (2, 3) [m]."""
    axes = hand_axes(arm, side, frame)
    local = np.array([(0.92 * sign * HANDLE_HALF_LENGTH, 0.0, 0.0) for sign in (1.0, -1.0)])
    return np.asarray(arm.hand[frame] + length * local @ axes.T)


def cuff_layers(camera: Camera, centre: Array, along: Array, radius: float) -> tuple[Layer, ...]:
    """Return a padded cuff round a limb at `centre` (3,), `along` its bone."""
    first = np.cross(along, (0.0, 0.0, 1.0) if abs(along[2]) < 0.9 else (1.0, 0.0, 0.0))
    first = first / np.linalg.norm(first)
    second = np.cross(along, first)
    half = 0.022
    rings = np.stack(
        [disc_ring(camera, centre + shift * along, first * radius, second * radius) for shift in (-half, half)]
    )
    shape = chain(rings)
    near = 1 if camera.facing(along) > 0 else 0
    rim = hull(rings[near])
    return (
        Layer(geometry=shape, fill=SEAT.light),
        outline(shape, WEIGHTS.inner),
        Layer(geometry=rim.boundary, stroke=FRAME.light, width=WEIGHTS.inner, role="detail"),
    )
