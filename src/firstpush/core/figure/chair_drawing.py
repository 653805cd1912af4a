"""The athlete's own chair: wheels with camber, frame, seat, backrest, casters, footplate, anti-tip wheel, chocks."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from firstpush.core.body.legs import FOOTPLATE_HEIGHT
from firstpush.core.body.rotations import Array
from firstpush.core.figure.outlines import (
    Layer,
    Part,
    balls,
    chain,
    disc_ring,
    hull,
    line,
    outline,
    smooth,
    solid,
    stroked,
    sweep,
    union,
)
from firstpush.core.figure.palette import COURT, FRAME, INK, SEAT, SPOKE, STEEL, TYRE, WEIGHTS, Tint, mix
from firstpush.core.figure.proportions import Proportions
from firstpush.core.figure.scene import Scene
from firstpush.core.figure.view import Camera
from firstpush.core.people.athlete import SIDES, Chair, Side

TYRE_RADIUS_M = 0.0125
TUBE_M = 0.026
SPOKES = 16
HAND_RIM_SHARE = 0.87
HAND_RIM_OUTSIDE_M = 0.030
"""Sizes that no one measures on a chair, our choice; what the athlete's file gives is drawn as given."""


@dataclass(frozen=True, kw_only=True)
class ChairShape:
    """Places on the chair that several parts share [m]."""

    chair: Chair
    radius: float
    hub_height: float
    half_width: float
    back: float
    front: float
    front_rise: float
    caster_radius: float
    caster_half_width: float

    def hub(self, s: float) -> Array:
        """Return the middle of the wheel on side `s`."""
        return np.array([0.0, s * self.chair.hub_width / 2, self.hub_height])

    def outward(self, s: float) -> Array:
        """Return the direction of the axle on side `s`, away from the chair."""
        return np.array([0.0, s * np.cos(self.chair.camber), np.sin(self.chair.camber)])

    def wheel_circle(self, s: float, radius: float, outside: float = 0.0, count: int = 72) -> Array:
        """Return a circle in the wheel's plane, moved `outside` along its axle, (count, 3)."""
        angle = np.arange(count)[:, None] * 2 * np.pi / count
        up = np.array([0.0, -s * np.sin(self.chair.camber), np.cos(self.chair.camber)])
        middle = self.hub(s) + outside * self.outward(s)
        return np.asarray(middle + radius * (np.cos(angle) * (1.0, 0.0, 0.0) + np.sin(angle) * up))


def chair_shape(scene: Scene, size: Proportions) -> ChairShape:
    """Return the places on the scene's chair: what is measured as given, the rest to fit the sitter."""
    chair = scene.chair
    radius = chair.wheel_diameter / 2
    hub_height = radius * np.cos(chair.camber)
    at_seat = chair.hub_width / 2 - max(chair.seat_height - hub_height, 0.0) * np.tan(chair.camber)
    half_width = float(np.clip(at_seat - 0.025, 0.13, 0.21))
    back = chair.hip_to_axle - 0.066 * size.unit * size.trunk
    knee = [leg.knee for leg in scene.legs.values() if leg.knee is not None]
    knee_x = min((float(point[0]) for point in knee), default=back + 0.52)
    front = min(back + 0.42, knee_x - 0.07)
    slope = 0.0
    if knee:
        hip = scene.legs["left"].hip
        under = float(np.interp(front, [hip[0], knee_x], [hip[2], float(knee[0][2])])) - 0.043 * size.unit
        slope = max(under - chair.seat_height, -0.02)
    court = chair.kind == "court"
    return ChairShape(
        chair=chair,
        radius=radius,
        hub_height=float(hub_height),
        half_width=half_width,
        back=back,
        front=front,
        front_rise=min(slope, 0.09),
        caster_radius=0.036 if court else 0.062,
        caster_half_width=0.75 * half_width if court else half_width,
    )


def chair_parts(scene: Scene, camera: Camera, size: Proportions) -> list[Part]:
    """Return every part of the chair, and what blocks it."""
    shape = chair_shape(scene, size)
    found = [_seat(camera, shape), _backrest(camera, shape), _axle(camera, shape), _footplate(camera, shape)]
    for side in SIDES:
        s = 1.0 if side == "left" else -1.0
        found += [_wheel(camera, shape, side, s), _frame(camera, shape, side, s), _caster(camera, shape, side, s)]
        if scene.blocking == "chocks":
            found += [_chock(camera, shape, f"chock {side} {way:+.0f}", s, way) for way in (1.0, -1.0)]
        if scene.blocking == "brakes":
            found.append(_brake(camera, shape, side, s))
    return found


def chair_extent(shape: ChairShape) -> tuple[Array, Array]:
    """Return points (N, 3) and radii (N,) that bound the chair [m]."""
    points = [shape.wheel_circle(s, shape.radius, count=16) for s in (1.0, -1.0)]
    chair = shape.chair
    more = [(chair.footplate_reach, s * 0.12, z) for s in (1.0, -1.0) for z in (0.0, FOOTPLATE_HEIGHT.value)] + [
        (shape.back - 0.05, s * shape.half_width, chair.seat_height + chair.backrest_height) for s in (1.0, -1.0)
    ]
    if chair.anti_tip is not None:
        more.append((-chair.anti_tip - 0.03, 0.0, 0.0))
    every = np.concatenate([*points, np.array(more)])
    return every, np.full(len(every), 0.02)


def _tubes(name: str, camera: Camera, ways: list[Array], width: float = TUBE_M, tint: Tint = FRAME) -> Part:
    """Return tubes along polylines `ways`, each (n, 3)."""
    layers: list[Layer] = []
    shapes, points = [], []
    wide = width * camera.scale
    paths = [line(camera.project(way).xy) for way in ways]
    for path in paths:
        layers.append(Layer(geometry=path, stroke=INK, width=wide + WEIGHTS.inner, role="detail"))
    for path in paths:
        layers.append(Layer(geometry=path, stroke=tint.light, width=wide - WEIGHTS.inner, role="detail"))
        shapes.append(path.buffer(wide / 2))
    for way in ways:
        t = np.linspace(0, 1, 9)[:, None]
        points += [a + t * (b - a) for a, b in pairwise(way)]
    every = np.concatenate(points)
    return Part(
        name=name,
        shape=union(*shapes),
        balls=balls(camera, every, np.full(len(every), width / 2)),
        layers=tuple(layers),
    )


def _wheel(camera: Camera, shape: ChairShape, side: Side, s: float) -> Part:
    scale = camera.scale
    outside_seen = camera.facing(shape.outward(s)) > 0

    def ring(radius: float, outside: float = 0.0) -> object:
        import shapely

        return shapely.LinearRing(camera.project(shape.wheel_circle(s, radius, outside)).xy)

    tyre = ring(shape.radius - TYRE_RADIUS_M)
    rim = ring(shape.radius - 2 * TYRE_RADIUS_M - 0.006)
    hand_rim = ring(HAND_RIM_SHARE * shape.radius, HAND_RIM_OUTSIDE_M)
    spokes = _spokes(camera, shape, s)
    hub_out, hub_in = (shape.hub(s) + d * shape.outward(s) for d in (0.045, -0.03))
    hub_ways = camera.project(np.stack([hub_in, hub_out])).xy
    hub = stroked(line(hub_ways), width=0.045 * scale, tint=FRAME)
    tyre_layers = (
        Layer(geometry=tyre, stroke=TYRE.light, width=2 * TYRE_RADIUS_M * scale + 0.5 * WEIGHTS.outline, role="detail"),
    )
    rim_layers = stroked(rim, width=0.017 * scale, tint=STEEL, edge=WEIGHTS.spoke)
    hand_rim_layers = stroked(hand_rim, width=0.022 * scale, tint=STEEL, edge=WEIGHTS.inner)
    if outside_seen:
        layers = (*tyre_layers, *rim_layers, *spokes, *hub, *hand_rim_layers)
    else:
        layers = (*hand_rim_layers, *hub, *spokes, *rim_layers, *tyre_layers)
    disc = hull(camera.project(shape.wheel_circle(s, shape.radius)).xy)
    circles = [shape.wheel_circle(s, share * shape.radius, count=24) for share in (0.96, 0.7, 0.4)]
    circles.append(shape.wheel_circle(s, HAND_RIM_SHARE * shape.radius, HAND_RIM_OUTSIDE_M, count=24))
    every = np.concatenate(circles)
    return Part(
        name=f"wheel {side}",
        shape=disc,
        balls=balls(camera, every, np.full(len(every), 0.012)),
        layers=layers,
        hides=union(tyre.buffer(TYRE_RADIUS_M * scale), hand_rim.buffer(0.012 * scale)),  # type: ignore[attr-defined]
    )


def _spokes(camera: Camera, shape: ChairShape, s: float) -> tuple[Layer, ...]:
    import shapely

    outer = shape.wheel_circle(s, shape.radius - 2 * TYRE_RADIUS_M - 0.010, count=SPOKES)
    lines = []
    for index, end in enumerate(outer):
        flange = shape.wheel_circle(s, 0.022, 0.02 if index % 2 else -0.02, count=SPOKES)[(index + 1) % SPOKES]
        lines.append(shapely.LineString(camera.project(np.stack([flange, end])).xy))
    return (Layer(geometry=shapely.MultiLineString(lines), stroke=SPOKE, width=WEIGHTS.spoke, role="detail"),)


def _frame(camera: Camera, shape: ChairShape, side: Side, s: float) -> Part:
    chair, w = shape.chair, s * shape.half_width
    under = chair.seat_height - 0.055
    foot = chair.footplate_reach
    rail = np.array(
        [
            (shape.back, w, under),
            (shape.front - 0.03, w, under + shape.front_rise * 0.8),
            (shape.front + 0.015, w, under + shape.front_rise * 0.8 - 0.035),
            (foot - 0.17, 0.80 * w, 0.155),
            (foot - 0.12, 0.74 * w, FOOTPLATE_HEIGHT.value),
        ]
    )
    housing = np.array([chair.wheelbase + 0.03, s * shape.caster_half_width, 2 * shape.caster_radius + 0.065])
    axle = np.array([0.0, w, shape.hub_height])
    rail_point = rail[2] + 0.30 * (rail[3] - rail[2])
    lower = np.array([axle, housing + (-0.02, 0.0, 0.01), housing])
    upright = np.array([axle, (0.0, w, under)])
    brace = np.array([housing + (-0.015, 0, 0.008), rail_point])
    return _tubes(f"frame {side}", camera, [upright, lower, brace, rail])


def _axle(camera: Camera, shape: ChairShape) -> Part:
    chair, z = shape.chair, shape.hub_height
    ways = [np.stack([shape.hub(1.0) - 0.03 * shape.outward(1.0), shape.hub(-1.0) - 0.03 * shape.outward(-1.0)])]
    tubes = _tubes("axle", camera, ways, width=0.032)
    if chair.anti_tip is None:
        return tubes
    wheel_radius = 0.03
    way = np.array([(0.0, 0.0, z), (-0.55 * chair.anti_tip, 0.0, 0.5 * z), (-chair.anti_tip, 0.0, wheel_radius)])
    arm = _tubes("arm", camera, [way], width=0.022)
    wheel = _small_wheel(camera, way[-1], wheel_radius)
    return Part(
        name="axle",
        shape=union(tubes.shape, arm.shape, wheel[0]),
        balls=balls(
            camera,
            np.concatenate([np.linspace(ways[0][0], ways[0][1], 15), np.linspace(way[0], way[2], 15)]),
            np.full(30, 0.014),
        ),
        layers=(*arm.layers, *wheel[1], *tubes.layers),
    )


def _small_wheel(
    camera: Camera, centre: Array, radius: float, width: float = 0.026
) -> tuple[object, tuple[Layer, ...]]:
    """Return outline and layers of a caster or anti-tip wheel that runs forward."""
    forward, up = np.array([radius, 0.0, 0.0]), np.array([0.0, 0.0, radius])
    rings = np.stack([disc_ring(camera, centre + (0.0, y, 0.0), forward, up) for y in (-width / 2, width / 2)])
    shape = smooth(chain(rings), 0.1)
    near = 1 if camera.facing(np.array([0.0, 1.0, 0.0])) > 0 else 0
    middle = rings[near].mean(axis=0)
    cap = hull(middle + 0.52 * (rings[near] - middle))
    return shape, (
        Layer(geometry=shape, fill=TYRE.light),
        outline(shape, WEIGHTS.inner),
        Layer(geometry=cap, fill=STEEL.light),
    )


def _caster(camera: Camera, shape: ChairShape, side: Side, s: float) -> Part:
    y, r = s * shape.caster_half_width, shape.caster_radius
    centre = np.array([shape.chair.wheelbase, y, r])
    outline_shape, layers = _small_wheel(camera, centre, r, 0.022 if r < 0.05 else 0.026)
    top = np.array([shape.chair.wheelbase + 0.03, y, 2 * r + 0.085])
    crown = np.array([shape.chair.wheelbase + 0.03, y, 2 * r + 0.012])
    near = 0.018 * (1.0 if camera.facing(np.array([0.0, 1.0, 0.0])) > 0 else -1.0)
    fork = _tubes("fork", camera, [np.array([top, crown, centre + (0.0, near, 0.0)])], width=0.017)
    return Part(
        name=f"caster {side}",
        shape=union(outline_shape, fork.shape),
        balls=balls(camera, np.stack([centre, (centre + crown) / 2, crown, top]), np.array([r, 0.012, 0.012, 0.012])),
        layers=(*layers, *fork.layers),
    )


def _footplate(camera: Camera, shape: ChairShape) -> Part:
    chair = shape.chair
    z, front, half = FOOTPLATE_HEIGHT.value - 0.008, chair.footplate_reach, 0.80 * shape.half_width
    radius = 0.008
    corners = np.array(
        [
            [(front - 0.20, half, z), (front - 0.20, -half, z)],
            [(front - radius, half * 0.92, z), (front - radius, -half * 0.92, z)],
        ]
    )
    plate = smooth(sweep(camera, corners, np.full((2, 2), radius)), 0.1)
    layers = solid(plate, SEAT)
    across = np.linspace(corners[0, 0], corners[0, 1], 7)
    ahead = np.linspace(corners[1, 0], corners[1, 1], 7)
    points = np.concatenate([across, (across + ahead) / 2, ahead])
    if chair.kind == "court":
        # The bumper of a court chair goes round the feet at the height of the footplate.
        w = shape.half_width
        start = (chair.wheelbase + 0.03, shape.caster_half_width, 2 * shape.caster_radius + 0.065)
        half_loop = [start, (chair.wheelbase + 0.07, 1.12 * w, 0.125), (front - 0.10, 1.02 * w, 0.125)]
        half_loop.append((front - 0.015, 0.70 * w, 0.125))
        loop = np.array(half_loop + [(x, -y, z) for x, y, z in reversed(half_loop)])
        bumper = _tubes("bumper", camera, [loop], width=0.024)
        return Part(
            name="footplate",
            shape=union(plate, bumper.shape),
            balls=balls(camera, np.concatenate([points, loop[2:6]]), np.full(len(points) + 4, 0.012)),
            layers=(*layers, *bumper.layers),
        )
    return Part(name="footplate", shape=plate, balls=balls(camera, points, np.full(len(points), 0.01)), layers=layers)


def _seat(camera: Camera, shape: ChairShape) -> Part:
    r, w = 0.020, shape.half_width
    top = shape.chair.seat_height - r
    x = np.linspace(shape.back + 0.02, shape.front, 5)
    rise = shape.front_rise * np.clip((x - x[0]) / (x[-1] - x[0]), 0, 1)
    centres = np.array(
        [
            [(xi, s * (w - r), top + ri - down) for s in (1, -1) for down in (0.0, 0.028)]
            for xi, ri in zip(x, rise, strict=True)
        ]
    )
    radii = np.full(centres.shape[:2], r)
    cushion = smooth(sweep(camera, centres, radii), 0.15)
    fill = np.linspace(centres[:, 0], centres[:, 2], 5).reshape(-1, 3)
    return Part(
        name="seat",
        shape=cushion,
        balls=balls(camera, fill, np.full(len(fill), r)),
        layers=solid(cushion, SEAT, shade=0.35),
    )


def _backrest(camera: Camera, shape: ChairShape) -> Part:
    chair, w = shape.chair, shape.half_width
    low, high = chair.seat_height + 0.015, chair.seat_height + chair.backrest_height
    lean = np.tan(np.radians(6.0))
    z = np.linspace(low, high - 0.012, 4)
    columns = ((1.0, 0.0), (0.5, 0.022), (0.0, 0.03), (-0.5, 0.022), (-1.0, 0.0))
    centres = np.array(
        [[(shape.back - 0.012 - lean * (zi - low) - deep, side * w, zi) for side, deep in columns] for zi in z]
    )
    radii = np.full(centres.shape[:2], 0.012)
    panel = smooth(sweep(camera, centres, radii), 0.1)
    posts = [
        np.array(
            [(shape.back, s * w, chair.seat_height - 0.055), (shape.back - lean * (high - low) - 0.004, s * w, high)]
        )
        for s in (1.0, -1.0)
    ]
    if chair.kind == "daily":
        posts = [
            np.concatenate([post, post[-1:] + (-0.015, 0.0, 0.012), post[-1:] + (-0.10, 0.0, 0.008)]) for post in posts
        ]
    tubes = _tubes("posts", camera, posts, width=0.024)
    behind = camera.facing(np.array([1.0, 0.0, 0.0])) > 0
    panel_layers = solid(panel, SEAT, shade=0.3)
    layers = (*tubes.layers, *panel_layers) if not behind else (*panel_layers, *tubes.layers)
    if chair.kind == "daily":
        grips = _tubes(
            "grips", camera, [post[-2:] + np.array([[-0.03, 0, 0], [0, 0, 0]]) for post in posts], 0.032, SEAT
        )
        layers = (*grips.layers, *layers)
        tubes = Part(name="posts", shape=union(tubes.shape, grips.shape), balls=tubes.balls)
    return Part(
        name="backrest",
        shape=union(panel, tubes.shape),
        balls=balls(camera, centres, radii),
        layers=layers,
    )


def _chock(camera: Camera, shape: ChairShape, name: str, s: float, way: float) -> Part:
    """Return a wedge before (`way` 1) or behind (-1) a rear wheel."""
    contact = shape.hub(s)[1] + s * shape.radius * np.sin(shape.chair.camber)
    height, length, half = 0.055, 0.11, 0.035
    toe = way * (np.sqrt(2 * shape.radius * 0.012) + 0.005)
    corners = np.array(
        [(toe, 0.004), (toe + way * 0.045, height), (toe + way * length, height), (toe + way * length, 0.0), (toe, 0.0)]
    )
    faces = [camera.project(np.array([(x, contact + y, z) for x, z in corners])).xy for y in (-half, half)]
    body = smooth(hull(np.concatenate(faces)), 0.1)
    near = faces[1] if camera.facing(np.array([0.0, 1.0, 0.0])) > 0 else faces[0]
    tint = Tint(light=mix(COURT, "#fbfaf6", 0.26), shade=COURT)
    layers = (Layer(geometry=body, fill=COURT), Layer(geometry=hull(near), fill=tint.light), outline(body))
    points = np.array([(x, contact + y, z) for x, z in corners for y in (-half, 0.0, half)])
    return Part(name=name, shape=body, balls=balls(camera, points, np.full(len(points), 0.01)), layers=layers)


def _brake(camera: Camera, shape: ChairShape, side: Side, s: float) -> Part:
    """Return the lever of a wheel brake that is on."""
    y = s * (shape.half_width + 0.02)
    z = shape.chair.seat_height - 0.05
    x = float(np.sqrt(max(shape.radius**2 - (z - shape.hub_height) ** 2, 0.0))) + 0.02
    lever = np.array([(x - 0.005, y, z - 0.03), (x + 0.02, y, z), (x + 0.075, y, z + 0.085)])
    part = _tubes(f"brake {side}", camera, [lever], width=0.014)
    knob = _tubes(
        "knob", camera, [lever[1:][[1, 1]] + np.array([[0, 0, 0], [0.012, 0, 0.016]])], width=0.028, tint=SEAT
    )
    return Part(
        name=part.name, shape=union(part.shape, knob.shape), balls=part.balls, layers=(*part.layers, *knob.layers)
    )
