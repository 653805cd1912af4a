"""Floor, post or rail, ball: what stands round the chair."""

from __future__ import annotations

import numpy as np

from firstpush.core.body.rotations import Array
from firstpush.core.figure.hand import hand_axes
from firstpush.core.figure.outlines import (
    Layer,
    Part,
    ball_rings,
    balls,
    curved,
    disc_ring,
    hull,
    line,
    outline,
    solid,
    sweep,
)
from firstpush.core.figure.palette import ACCENT, BALL, COURT, COURT_PALE, FLOOR, INK, PAPER, POST, STEEL, WEIGHTS
from firstpush.core.figure.scene import Scene
from firstpush.core.figure.view import Camera

POST_RADIUS_M = 0.024
POST_ABOVE_ANCHOR_M = 0.16
POST_FOR_FOREARM_M = 1.75
PLATE_HALF_M = 0.12
SKIN_M = 0.014


def floor_layers(scene: Scene, camera: Camera) -> list[Layer]:
    """Return the resting area under the chair."""
    chair = scene.chair
    front, back = chair.footplate_reach + 0.05, chair.wheel_diameter / 2 + 0.03
    half = chair.overall_width / 2 + 0.05
    middle = np.array([(front - back) / 2, 0.0, 0.0])
    ring = disc_ring(camera, middle, np.array([(front + back) / 2, 0, 0]), np.array([0, half, 0]))
    return [Layer(geometry=curved(hull(ring)), fill=FLOOR)]


def post_foot(scene: Scene) -> Array | None:
    """Return the foot (x, y) of the post that is to be drawn, None when there is none."""
    if scene.post_contact is not None:
        return np.asarray(scene.post_contact, dtype=float)
    if scene.anchor is not None:
        return np.asarray(scene.anchor[:2], dtype=float)
    return None


def post_top(scene: Scene) -> float:
    """Return the height of the post's top [m]."""
    if scene.post_contact is not None:
        return POST_FOR_FOREARM_M
    assert scene.anchor is not None
    return float(scene.anchor[2]) + POST_ABOVE_ANCHOR_M


def post_parts(scene: Scene, camera: Camera) -> list[Part]:
    """Return the post with its base plate, or the rail on a wall."""
    foot = post_foot(scene)
    if foot is None or not scene.post_shown:
        return []
    top = post_top(scene)
    if scene.post_contact is None and not scene.anchor_post:
        return _rail(scene, camera, foot, top)
    x, y = foot
    corners = np.array(
        [(x + a * PLATE_HALF_M, y + b * PLATE_HALF_M, 0.0) for a, b in ((1, 1), (1, -1), (-1, -1), (-1, 1))]
    )
    upper, lower = camera.project(corners + (0, 0, 0.012)).xy, camera.project(corners).xy
    slab, face = hull(np.concatenate([upper, lower])), hull(upper)
    plate = Part(
        name="base plate",
        shape=slab,
        balls=balls(camera, corners, np.full(4, 0.01)),
        layers=(
            Layer(geometry=slab, fill=POST.shade),
            Layer(geometry=face, fill=STEEL.light),
            outline(slab, WEIGHTS.inner),
        ),
    )
    heights = np.linspace(0.012, top, 25)
    points = np.stack([np.full(25, x), np.full(25, y), heights], axis=-1)
    if abs(camera.elevation) > 1.2:
        shape = hull(disc_ring(camera, points[-1], np.array([POST_RADIUS_M, 0, 0]), np.array([0, POST_RADIUS_M, 0])))
        layers = solid(shape, POST)
    else:
        shape = sweep(camera, points[[0, -1]][:, None], np.full((2, 1), POST_RADIUS_M))
        layers = solid(shape, POST, shade=0.35 * POST_RADIUS_M * 2 * camera.scale)
    return [
        plate,
        Part(name="post", shape=shape, balls=balls(camera, points, np.full(25, POST_RADIUS_M)), layers=layers),
    ]


def _rail(scene: Scene, camera: Camera, foot: Array, top: float) -> list[Part]:
    """Return a rail on a wall: an upright plate, and the line where the wall meets the floor."""
    away = foot / np.linalg.norm(foot)
    along = np.array([-away[1], away[0]])
    behind = foot + 0.03 * away

    def at(aside: float, z: float) -> tuple[float, float, float]:
        x, y = behind + aside * along
        return (float(x), float(y), z)

    corners = np.array([at(a, z) for a, z in ((-0.07, 0.0), (0.07, 0.0), (0.07, top), (-0.07, top))])
    plate = hull(camera.project(corners).xy)
    wall = line(camera.project(np.array([at(-0.22, 0.0), at(0.22, 0.0)])).xy)
    fill = [at(a, z) for a in (-0.06, 0.0, 0.06) for z in np.linspace(0.03, top, 12)]
    layers = (
        Layer(geometry=wall, stroke=COURT, width=WEIGHTS.path, role="detail"),
        Layer(geometry=plate, fill=COURT_PALE),
        outline(plate),
    )
    depth = balls(camera, np.array(fill), np.full(len(fill), 0.01))
    return [Part(name="rail", shape=plate, balls=depth, layers=layers)]


def anchor_layers(scene: Scene, camera: Camera) -> list[Layer]:
    """Return the ring at the anchor, drawn over the post."""
    if scene.anchor is None or not scene.post_shown:
        return []
    import shapely

    centre = camera.project(scene.anchor).xy
    radius = 0.030 * camera.scale
    ring = shapely.Point(centre).buffer(radius, quad_segs=8)
    return [
        Layer(geometry=ring, fill=PAPER),
        Layer(geometry=ring.boundary, stroke=INK, width=WEIGHTS.outline, role="detail"),
        Layer(geometry=shapely.Point(centre).buffer(0.45 * radius, quad_segs=6), fill=ACCENT),
    ]


def ball_centre(scene: Scene, frame: int) -> Array | None:
    """Return the middle of the ball [m]: on the palm, or on its way between palm and wall."""
    if scene.ball is None:
        return None
    ball, side = scene.ball
    arm = scene.skeleton.arms[side]
    axes = hand_axes(arm, side, frame)
    on_palm = arm.hand[frame] + axes[:, 2] * (ball.diameter / 2 + SKIN_M) + axes[:, 1] * 0.02
    if scene.wall is None:
        return np.asarray(on_palm)
    # Dribbled: it has left the hand and touches the wall opposite.
    away = float((arm.hand[frame] - scene.wall.point) @ scene.wall.normal)
    return np.asarray(arm.hand[frame] + (ball.diameter / 2 - away) * scene.wall.normal)


def ball_part(scene: Scene, camera: Camera, frame: int) -> list[Part]:
    """Return the ball in the hand."""
    centre = ball_centre(scene, frame)
    if centre is None or scene.ball is None:
        return []
    radius = scene.ball[0].diameter / 2
    shape = curved(hull(ball_rings(camera, centre, np.array(radius))))
    middle = camera.project(centre).xy
    r = radius * camera.scale
    # Two seams, as on any ball: they show that it is round without naming a game.
    bow = np.linspace(-1.05, 1.05, 17)
    seam = line(middle + r * np.stack([0.42 * np.cos(bow) - 0.55, np.sin(bow) * 0.92], axis=-1))
    other = line(middle + r * np.stack([0.55 - 0.42 * np.cos(bow), np.sin(bow) * 0.92], axis=-1))
    inside = shape.buffer(-0.05)
    layers = (
        *solid(shape, BALL, shade=0.28 * r),
        *(
            Layer(geometry=item.intersection(inside), stroke=INK, width=WEIGHTS.inner, role="detail")
            for item in (seam, other)
        ),
    )
    return [
        Part(name="ball", shape=shape, balls=balls(camera, centre[None], np.array([radius])), layers=layers, moves=True)
    ]
