"""From balls and rings in space to outlines on the page: the shapes every part of a drawing is made of."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property, lru_cache
from typing import Any, Literal

import numpy as np

from firstpush.core.body.rotations import Array
from firstpush.core.figure.palette import INK, WEIGHTS, Tint
from firstpush.core.figure.view import Camera

Geometry = Any
"""A Shapely geometry on the page [mm]; Shapely ships no types and is imported where it is used."""

RING_POINTS = 28
SIMPLIFY_MM = 0.02
"""A sixth of the thinnest line: no facet shows in print."""
COARSE_MM = 0.05
CORNER = np.radians(50.0)
LONGEST_CUT_MM = 0.6


@dataclass(frozen=True, kw_only=True)
class Layer:
    """One thing to paint: a fill or a line, widths in mm.

    `role` "fill" stays as it is; "shade" and "outline" are cut away where two parts of one material join.
    """

    geometry: Geometry
    fill: str | None = None
    stroke: str | None = None
    width: float = 0.0
    cap: Literal["round", "butt"] = "round"
    dash: tuple[float, ...] = ()
    opacity: float = 1.0
    role: Literal["fill", "shade", "outline", "detail"] = "fill"


@dataclass(frozen=True, kw_only=True)
class Balls:
    """Balls that stand for a part where its depth is asked: page places (N, 2), depth (N,), radius (N,) [mm]."""

    xy: Array
    depth: Array
    radius: Array

    def front(self, points: Array) -> Array:
        """Return the depth of the near surface at page `points` (M, 2), by the nearest ball where none covers it."""
        # radius^2 - distance^2 of every point and ball is one product of matrices.
        columns = np.empty((len(points), 4))
        columns[:, :2], columns[:, 2], columns[:, 3] = points, -(points * points).sum(axis=1), 1.0
        under = columns @ self._rows
        with np.errstate(invalid="ignore"):
            # Not a number where the ball does not cover the point, and then left out.
            front = np.fmax.reduce(self.depth + np.sqrt(under), axis=1)
        bare = np.isnan(front)
        if bare.any():
            away = np.sqrt(np.maximum(self.radius * self.radius - under[bare], 0.0))
            front[bare] = self.depth[np.argmin(away - self.radius, axis=1)]
        return np.asarray(front)

    @cached_property
    def _rows(self) -> Array:
        squares = self.radius * self.radius - (self.xy * self.xy).sum(axis=1)
        return np.stack([2 * self.xy[:, 0], 2 * self.xy[:, 1], np.ones(len(self.xy)), squares])


@dataclass(frozen=True, kw_only=True)
class Part:
    """A part that is painted as one: its silhouette, its depth, and its layers from back to front."""

    name: str
    shape: Geometry
    balls: Balls
    layers: tuple[Layer, ...] = field(default=())
    moves: bool = False
    hides: Geometry = None

    @property
    def opaque(self) -> Geometry:
        """What hides a band behind it: the silhouette, but of a wheel the tyre and rims only."""
        return self.shape if self.hides is None else self.hides


@dataclass(frozen=True, kw_only=True)
class Joint:
    """Where two parts of one material meet: no line is drawn between them inside `radius` of `xy` [mm]."""

    first: str
    second: str
    xy: Array
    radius: float


@lru_cache(maxsize=4)
def _unit_ring(count: int) -> Array:
    angle = np.arange(count) * 2 * np.pi / count
    return np.stack([np.cos(angle), np.sin(angle)], axis=-1)


def ball_rings(camera: Camera, centres: Array, radii: Array) -> Array:
    """Return the outlines (..., n, 2) [mm] of balls at `centres` (..., 3) with `radii` (...) [m]."""
    seen = camera.project(centres)
    return np.asarray(
        seen.xy[..., None, :] + (np.asarray(radii) * seen.scale)[..., None, None] * _unit_ring(RING_POINTS)
    )


def disc_ring(camera: Camera, centre: Array, first: Array, second: Array) -> Array:
    """Return the outline (n, 2) [mm] of the flat ellipse with half axes `first`, `second` (3,) [m] about `centre`."""
    ring = _unit_ring(RING_POINTS)
    return camera.project(centre + ring[:, :1] * first + ring[:, 1:] * second).xy


def hull(points: Array) -> Geometry:
    """Return the convex hull of page `points` (..., 2)."""
    import shapely

    # The hull of a line is that of its points, and a line is one thing to make where points are many.
    return shapely.convex_hull(shapely.linestrings(np.asarray(points).reshape(-1, 2)))


def chain(rings: Array) -> Geometry:
    """Return the union of the hulls of each two consecutive `rings` (S, n, 2)."""
    import shapely

    # As in `hull`: a line through both rings instead of a thousand points.
    return shapely.union_all(shapely.convex_hull(shapely.linestrings(np.concatenate([rings[:-1], rings[1:]], axis=1))))


def sweep(camera: Camera, centres: Array, radii: Array) -> Geometry:
    """Return the outline of balls in rows: `centres` (S, K, 3), `radii` (S, K); each row is hulled with the next."""
    return swept(balls(camera, centres, radii), rows=len(centres))


def swept(seen: Balls, *, rows: int) -> Geometry:
    """Return the outline of balls as they are seen, in `rows` rows one after the other; see `sweep`."""
    rings = seen.xy[:, None, :] + seen.radius[:, None, None] * _unit_ring(RING_POINTS)
    return chain(rings.reshape(rows, -1, 2))


def balls(camera: Camera, centres: Array, radii: Array) -> Balls:
    """Return `centres` (..., 3) and `radii` (...) [m] as the depth of a part."""
    seen = camera.project(np.asarray(centres).reshape(-1, 3))
    return Balls(xy=seen.xy, depth=seen.depth, radius=np.asarray(radii, dtype=float).reshape(-1) * seen.scale)


def together(first: Balls, *others: Balls) -> Balls:
    """Return the balls of several parts as one."""
    every = (first, *others)
    return Balls(
        xy=np.concatenate([item.xy for item in every]),
        depth=np.concatenate([item.depth for item in every]),
        radius=np.concatenate([item.radius for item in every]),
    )


def union(*shapes: Geometry) -> Geometry:
    """Return the union of `shapes`."""
    import shapely

    return shapely.union_all(shapes)


def smooth(shape: Geometry, radius: float) -> Geometry:
    """Return `shape` with corners and notches rounded to `radius` [mm]."""
    filled = shape.buffer(radius, quad_segs=4).buffer(-2 * radius, quad_segs=4)
    return curved(filled.buffer(radius, quad_segs=4).simplify(COARSE_MM))


def curved(shape: Geometry) -> Geometry:
    """Return `shape` with its many-sided edge drawn as a curve; corners sharper than `CORNER` stay."""
    import shapely

    def smoothed(ring: Array) -> Array:
        points = ring[:-1]
        for _ in range(2):
            points = _cut_corners(points)
        return np.concatenate([points, points[:1]])

    rings = []
    for part in shapely.get_parts(shape):
        if part.geom_type != "Polygon" or part.is_empty:
            continue
        holes = [smoothed(shapely.get_coordinates(hole)) for hole in part.interiors]
        rings.append(shapely.Polygon(smoothed(shapely.get_coordinates(part.exterior)), holes))
    if not rings:
        return shape
    whole = rings[0] if len(rings) == 1 else shapely.union_all(rings)
    whole = whole.simplify(SIMPLIFY_MM)
    return whole if whole.is_valid else whole.buffer(0)


def _cut_corners(points: Array) -> Array:
    """Return closed `points` (n, 2) with each corner cut at a quarter of its sides (Chaikin), sharp ones kept."""
    closed = np.concatenate([points[-1:], points, points[:1]])
    sides = closed[1:] - closed[:-1]
    come, leave = sides[:-1], sides[1:]
    cross = come[:, 0] * leave[:, 1] - come[:, 1] * leave[:, 0]
    turned = np.abs(np.arctan2(cross, come[:, 0] * leave[:, 0] + come[:, 1] * leave[:, 1]))
    round_ = (turned <= CORNER).astype(float)
    # A long side keeps its direction up to its corner.
    share = np.minimum(0.25, LONGEST_CUT_MM / np.maximum(np.hypot(sides[:, 0], sides[:, 1]), 1e-9))
    out = np.empty((2 * len(points), 2))
    out[0::2] = points - (round_ * share[:-1])[:, None] * come
    out[1::2] = points + (round_ * share[1:])[:, None] * leave
    changed = out[1:] != out[:-1]
    kept = np.empty(len(out), dtype=bool)
    kept[0] = bool(np.any(out[0] != out[-1]))
    kept[1:] = changed[:, 0] | changed[:, 1]
    return out[kept]


def line(points: Array) -> Geometry:
    """Return a line through page `points` (n, 2)."""
    import shapely

    return shapely.LineString(np.asarray(points))


def flat_shade(shape: Geometry, tint: Tint, depth: float) -> Layer:
    """Return the shade along the right and lower edge of `shape`, `depth` [mm] wide: light from the upper left."""
    import shapely

    moved = shapely.transform(shape, lambda xy: xy - (depth, 0.45 * depth))
    return Layer(geometry=shape.difference(moved), fill=tint.shade, role="shade")


def outline(shape: Geometry, width: float = WEIGHTS.outline) -> Layer:
    """Return the ink line round `shape`."""
    return Layer(geometry=shape.boundary, stroke=INK, width=width, role="outline")


def solid(shape: Geometry, tint: Tint, *, shade: float = 0.0, width: float = WEIGHTS.outline) -> tuple[Layer, ...]:
    """Return `shape` filled, shaded [mm] and outlined."""
    layers = [Layer(geometry=shape, fill=tint.light)]
    if shade > 0:
        layers.append(flat_shade(shape, tint, shade))
    layers.append(outline(shape, width))
    return tuple(layers)


def tube(points: Array, *, width: float, tint: Tint, edge: float = WEIGHTS.inner) -> tuple[Layer, ...]:
    """Return a tube along page `points` (n, 2), `width` [mm] across, with an ink edge."""
    return stroked(line(points), width=width, tint=tint, edge=edge)


def stroked(path: Geometry, *, width: float, tint: Tint, edge: float = WEIGHTS.inner) -> tuple[Layer, ...]:
    """Return `path` as a tube: an ink stroke with a narrower one of `tint` on it."""
    inner = max(width - 2 * edge, 0.35 * width)
    return (
        Layer(geometry=path, stroke=INK, width=inner + 2 * edge, role="detail"),
        Layer(geometry=path, stroke=tint.light, width=inner, role="detail"),
    )


def without(layer: Layer, area: Geometry) -> Layer:
    """Return `layer` with `area` cut away if it is a shade or an outline."""
    if layer.role not in ("shade", "outline"):
        return layer
    return replace(layer, geometry=layer.geometry.difference(area))


def interpolated(table: Sequence[Sequence[float]], at: Array) -> Array:
    """Return columns 1... of `table` at `at` (n,) of its column 0, (n, columns), smoothly between its rows."""
    rows = np.asarray(table, dtype=float)
    x, y = rows[:, 0], rows[:, 1:]
    # Monotone cubic by limited slopes: a profile never swells beyond its two neighbours.
    step = np.diff(x)[:, None]
    slope = np.diff(y, axis=0) / step
    left, right = slope[:-1], slope[1:]
    with np.errstate(divide="ignore", invalid="ignore"):
        inner = np.where(left * right > 0, 2 * left * right / (left + right), 0.0)
    tangent = np.concatenate([slope[:1], inner, slope[-1:]])
    index = np.clip(np.searchsorted(x, at, side="right") - 1, 0, len(x) - 2)
    h = step[index]
    t = (np.asarray(at) - x[index])[:, None] / h
    return np.asarray(
        (1 + 2 * t) * (1 - t) ** 2 * y[index]
        + t * (1 - t) ** 2 * h * tangent[index]
        + t**2 * (3 - 2 * t) * y[index + 1]
        + t**2 * (t - 1) * h * tangent[index + 1]
    )
