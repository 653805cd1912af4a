"""What else stands round the athlete: a rail to hold, a wall for a ball, a partner's hands, cones on the floor."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np

from firstpush.core.body.rotations import Array
from firstpush.core.figure.band_lines import arrowed
from firstpush.core.figure.outlines import (
    Layer,
    Part,
    balls,
    disc_ring,
    hull,
    line,
    outline,
    smooth,
    solid,
    sweep,
    union,
)
from firstpush.core.figure.palette import ACCENT, CONE, COURT, COURT_PALE, POST, STEEL, WEIGHTS
from firstpush.core.figure.partner import partner_extent
from firstpush.core.figure.scene import Rail, Scene
from firstpush.core.figure.surroundings import ball_centre
from firstpush.core.figure.view import Camera

RAIL_RADIUS_M = 0.018
UPRIGHT_RADIUS_M = 0.020
NEAR_RAIL_M = 0.08
"""A hand this near the rail holds it."""
WALL_LOW_M, WALL_HALF_M = 0.0, 0.42
WALL_ABOVE_BALL_M = 0.34
CONE_HEIGHT_M = 0.23
CONE_RADIUS_M = 0.075
CONE_BASE_HALF_M = 0.11
"""A training cone of 23 cm, to scale like everything else (our choice of size)."""


def on_rail(rail: Rail, hand: Array) -> bool:
    """Return whether `hand` (3,) is on the rail."""
    along = rail.right - rail.left
    share = float(np.clip((hand - rail.left) @ along / (along @ along), 0.0, 1.0))
    return float(np.linalg.norm(rail.left + share * along - hand)) < NEAR_RAIL_M


def things_parts(scene: Scene, camera: Camera) -> list[Part]:
    """Return rail, wall and cones, whichever there are."""
    found: list[Part] = []
    if scene.rail is not None:
        found += _rail_parts(scene.rail, camera)
    if scene.wall is not None:
        found.append(_wall_part(scene, camera))
    for index, place in enumerate(scene.cones):
        found.append(_cone(camera, np.asarray(place, float), f"cone {index}"))
    return found


def things_extent(scene: Scene, frames: Iterable[int]) -> list[tuple[Array, float]]:
    """Return places (N, 3) and the room they take [m]."""
    found: list[tuple[Array, float]] = []
    if scene.rail is not None:
        ends = np.stack([scene.rail.left, scene.rail.right])
        found += [(ends, RAIL_RADIUS_M), (ends * (1, 1, 0), 0.03)]
    if scene.wall is not None:
        found.append((wall_corners(scene), 0.01))
    if scene.partner is not None:
        found.append((partner_extent(scene, frames), 0.05))
    for place in scene.cones:
        found.append((np.array([(*place, 0.0), (*place, CONE_HEIGHT_M)]), 1.45 * CONE_BASE_HALF_M))
    return found


def _rail_parts(rail: Rail, camera: Camera) -> list[Part]:
    along = (rail.right - rail.left) / np.linalg.norm(rail.right - rail.left)
    parts = []
    for name, top in (("left", rail.left + 0.05 * along), ("right", rail.right - 0.05 * along)):
        foot = np.array([top[0], top[1], 0.0])
        plate = hull(disc_ring(camera, foot, np.array([0.09, 0, 0]), np.array([0, 0.09, 0])))
        places = np.linspace(foot, top, 21)
        upright = sweep(camera, places[[0, -1]][:, None], np.full((2, 1), UPRIGHT_RADIUS_M))
        parts.append(
            Part(
                name=f"rail post {name}",
                shape=union(upright, plate),
                balls=balls(camera, places, np.full(21, UPRIGHT_RADIUS_M)),
                layers=(
                    Layer(geometry=plate, fill=STEEL.light),
                    outline(plate, WEIGHTS.inner),
                    *solid(upright, POST, shade=0.35 * 2 * UPRIGHT_RADIUS_M * camera.scale),
                ),
            )
        )
    places = np.linspace(rail.left, rail.right, 31)
    bar = sweep(camera, places[[0, -1]][:, None], np.full((2, 1), RAIL_RADIUS_M))
    parts.append(
        Part(
            name="hand rail",
            shape=bar,
            balls=balls(camera, places, np.full(31, RAIL_RADIUS_M)),
            layers=solid(bar, STEEL, shade=0.35 * 2 * RAIL_RADIUS_M * camera.scale),
        )
    )
    return parts


def wall_corners(scene: Scene) -> Array:
    """Return the corners (4, 3) of the piece of wall that is drawn [m]."""
    wall = scene.wall
    assert wall is not None
    along = np.array([-wall.normal[1], wall.normal[0], 0.0])
    foot = np.array([wall.point[0], wall.point[1], 0.0])
    top = float(wall.point[2]) + WALL_ABOVE_BALL_M
    return np.array(
        [
            foot + side * WALL_HALF_M * along + (0.0, 0.0, z)
            for side, z in ((-1, WALL_LOW_M), (1, WALL_LOW_M), (1, top), (-1, top))
        ]
    )


def _wall_part(scene: Scene, camera: Camera) -> Part:
    """Return a piece of wall: a pale plane with its base line, free at its other edges."""
    wall = scene.wall
    assert wall is not None
    corners = wall_corners(scene)
    page = camera.project(corners).xy
    plane = hull(page).buffer(0.05)
    share = np.linspace(0, 1, 7)
    places = np.concatenate(
        [
            corners[0] + a * (corners[1] - corners[0]) + b * (corners[3] - corners[0])
            for a in share
            for b in share[:, None]
        ]
    ).reshape(-1, 3)
    layers = (
        Layer(geometry=plane, fill=COURT_PALE),
        Layer(geometry=line(page[[1, 2, 3, 0]]), stroke=COURT, width=WEIGHTS.inner, role="detail"),
        Layer(geometry=line(page[:2]), stroke=COURT, width=WEIGHTS.path, role="detail"),
    )
    return Part(name="wall", shape=plane, balls=balls(camera, places, np.full(len(places), 0.004)), layers=layers)


def bounce_layers(scene: Scene, camera: Camera, frame: int) -> list[Layer]:
    """Return the short way of a ball between palm and wall, there and back, as two dotted lines."""
    if scene.wall is None or scene.ball is None:
        return []
    ball, side = scene.ball
    centre = ball_centre(scene, frame)
    assert centre is not None
    hand = scene.skeleton.arms[side].hand[frame]
    toward = hand - centre
    length = float(np.linalg.norm(toward))
    free = length - ball.diameter / 2 - 0.03
    if free < 0.06:
        return []
    unit = toward / length
    start = centre + unit * (ball.diameter / 2 + 0.015)
    end = start + unit * free
    layers = []
    for lift, (first, last) in ((0.035, (start, end)), (-0.035, (end, start))):
        up = np.array([0.0, 0.0, lift])
        layers += arrowed(line(camera.project(np.stack([first + up, last + up])).xy), colour=ACCENT)
    return layers


def _cone(camera: Camera, place: Array, name: str) -> Part:
    """Return a cone with its base plate, its foot at `place` (x, y)."""
    foot = np.array([place[0], place[1], 0.0])
    half = CONE_BASE_HALF_M
    corners = foot + np.array([(half, half, 0), (half, -half, 0), (-half, -half, 0), (-half, half, 0)], float)
    plate = hull(np.concatenate([camera.project(corners).xy, camera.project(corners + (0, 0, 0.012)).xy]))

    def ring(height: float) -> Array:
        radius = CONE_RADIUS_M * (1 - 0.82 * height / CONE_HEIGHT_M)
        return disc_ring(camera, foot + (0, 0, height), np.array([radius, 0, 0]), np.array([0, radius, 0]))

    body = smooth(hull(np.concatenate([ring(0.012), ring(CONE_HEIGHT_M)])), 0.1)
    low, high = ring(0.40 * CONE_HEIGHT_M), ring(0.68 * CONE_HEIGHT_M)
    stripe = hull(np.concatenate([low, high])).intersection(body)
    layers = (
        *solid(smooth(plate, 0.08), CONE, width=WEIGHTS.inner),
        *solid(body, CONE, shade=0.5 * CONE_RADIUS_M * camera.scale),
        Layer(geometry=stripe, fill=COURT_PALE),
        outline(body),
    )
    heights = np.linspace(0.0, CONE_HEIGHT_M, 6)
    places = np.concatenate([foot + heights[:, None] * (0, 0, 1.0), corners])
    radii = np.concatenate([CONE_RADIUS_M * (1 - 0.82 * heights / CONE_HEIGHT_M), np.full(4, 0.01)])
    return Part(name=name, shape=union(plate, body), balls=balls(camera, places, radii), layers=layers)
