"""The camera: a mild perspective from a few fixed directions, and the choice among them."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np

from firstpush.core.body.rotations import Array
from firstpush.core.people.athlete import SIDES, Side

if TYPE_CHECKING:
    from firstpush.core.figure.scene import Scene

VIEWING_DISTANCE_M = 7.0
"""Far enough that a hand towards the viewer grows by a tenth only, near enough that wheels do not look like a plan."""
PAGE_DECIMALS = 6
"""Page places are rounded to a nanometre of paper: the last digit of a product of matrices may differ from one run to
the next, and outlines cut and joined from such points would start or end elsewhere."""
FROM_ABOVE = np.radians(60.0)
"""Steeper views are plans: no perspective, so that lengths on the floor compare."""


@dataclass(frozen=True, kw_only=True)
class Projected:
    """Points on the page: `xy` (..., 2) [mm], `depth` (...) [mm] towards the viewer, `scale` (...) [mm per m]."""

    xy: Array
    depth: Array
    scale: Array


@dataclass(frozen=True, kw_only=True)
class Camera:
    """A view direction with scale and place on the page.

    Parameters
    ----------
    azimuth, elevation : float
        Where the viewer stands, seen from the athlete: azimuth 0 in front, growing to the left [rad].
    target : array (3,)
        World point that `centre` shows [m].
    scale : float
        Millimetres on paper per metre at the target.
    centre : (float, float)
        Page place of the target [mm].
    """

    name: str
    azimuth: float
    elevation: float
    target: Array
    scale: float = 1.0
    centre: tuple[float, float] = (0.0, 0.0)

    @cached_property
    def axes(self) -> tuple[Array, Array, Array]:
        """Unit vectors in the world: to the right on the page, up on the page, towards the viewer."""
        ca, sa = np.cos(self.azimuth), np.sin(self.azimuth)
        ce, se = np.cos(self.elevation), np.sin(self.elevation)
        right = np.array([-sa, ca, 0.0])
        toward = np.array([ce * ca, ce * sa, se])
        return right, np.cross(toward, right), toward

    def project(self, points: Array) -> Projected:
        """Return `points` (..., 3) [m] on the page, rounded to `PAGE_DECIMALS`."""
        points = np.asarray(points, dtype=float)
        seen = ((points.reshape(-1, 3) - self.target) @ self._onto_page).reshape(*points.shape[:-1], 4)
        # Perspective by the distance along the floor only: what is upright in the world stays upright on the page.
        grow = VIEWING_DISTANCE_M / (VIEWING_DISTANCE_M - seen[..., 3])
        found = np.empty_like(seen)
        found[..., :2] = self.centre + (self.scale * grow)[..., None] * seen[..., :2]
        found[..., 2] = self.scale * seen[..., 2]
        found[..., 3] = self.scale * grow
        found = found.round(PAGE_DECIMALS)
        return Projected(xy=found[..., :2], depth=found[..., 2], scale=found[..., 3])

    @cached_property
    def _onto_page(self) -> Array:
        """To the right, downwards, towards the viewer, and what brings a thing nearer, as columns (3, 4)."""
        right, up, toward = self.axes
        along_floor = np.array([np.cos(self.azimuth), np.sin(self.azimuth), 0.0])
        return np.stack([right, -up, toward, along_floor * (self.elevation <= FROM_ABOVE)], axis=1)

    def facing(self, direction: Array) -> float:
        """Return how far the unit vector `direction` (3,) points at the viewer, -1 to 1."""
        return float(np.asarray(direction) @ self.axes[2])


_CANDIDATES_DEG = {
    "three-quarter front": (37.0, 13.0),
    "wide three-quarter": (56.0, 12.0),
    "front": (14.0, 12.0),
    "side": (84.0, 7.0),
    "three-quarter rear": (128.0, 15.0),
}


def candidates() -> tuple[Camera, ...]:
    """Return the cameras to choose from: five directions on either side, and one from above."""
    aim = np.array([0.2, 0.0, 0.7])
    found = [
        Camera(
            name=f"{name}, from the {'left' if sign > 0 else 'right'}",
            azimuth=sign * np.radians(azimuth),
            elevation=np.radians(elevation),
            target=aim,
        )
        for name, (azimuth, elevation) in _CANDIDATES_DEG.items()
        for sign in (-1.0, 1.0)
    ]
    found.append(Camera(name="top", azimuth=np.pi, elevation=np.radians(86.0), target=aim))
    return tuple(found)


def view_named(name: str) -> Camera:
    """Return the candidate called `name`."""
    from firstpush.core.errors import UnknownNameError

    known = {camera.name: camera for camera in candidates()}
    if name not in known:
        raise UnknownNameError(kind="view", given=name, known=known)
    return known[name]


_PREFERENCE = {
    "three-quarter front": 1.0,
    "wide three-quarter": 1.0,
    "side": 0.85,
    "front": 0.55,
    "three-quarter rear": 0.1,
    "top": -2.5,
}
"""What a reader takes in at a glance, our choice: a three-quarter view shows the chair, the face and the arm."""


LARGE_WEIGHT = 3.5
LEAST_SLIDE_M = 0.008
WAY_WEIGHT = 1.8
ROUND_WEIGHT = 1.5
RING_CLOSES_M = 0.02


def view_score(
    scene: Scene, camera: Camera, *, aspect: float = 0.92, bounds: tuple[Array, Array] | None = None
) -> float:
    """Return how well `camera` shows the movement; larger is better.

    Adds up: share of the hand's way that is seen, active arm near the viewer and not foreshortened, little of the
    band across the body, nothing of the hands hidden by trunk or head, how large the drawing gets in a panel of
    `aspect` (width over height), and a preference among directions. `bounds` is what `extent` gives, where it is known.
    """
    from firstpush.core.figure.figure_parts import extent

    frames = _frames_judged(scene)
    bounds = extent(scene, frames) if bounds is None else bounds
    return _score_of_size(camera, bounds, aspect) + _score_of_any_size(scene, camera, frames)


def _frames_judged(scene: Scene) -> list[int]:
    return [pose.frame for pose in scene.poses] or [scene.start, scene.end]


def _score_of_size(camera: Camera, bounds: tuple[Array, Array], aspect: float) -> float:
    large = fitted(camera, *bounds, left=0.0, top=0.0, width=aspect, height=1.0).scale
    return LARGE_WEIGHT * float(np.log(large))


def _score_of_any_size(scene: Scene, camera: Camera, frames: list[int]) -> float:
    """Return what of the score does not come from the panel."""
    _, _, toward = camera.axes
    flat = np.eye(3) - np.outer(toward, toward)
    score = 1.1 * _PREFERENCE[camera.name.split(",")[0]]
    pulling = () if scene.band is None else scene.band.hands
    sides = tuple(dict.fromkeys((*scene.active_sides, *pulling))) or SIDES
    trunk = scene.skeleton.hip_centre + 0.6 * (scene.skeleton.neck - scene.skeleton.hip_centre)
    trunk_xy = camera.project(trunk).xy
    head_xy = camera.project(scene.skeleton.head).xy
    score -= _post_before_body(scene, camera, trunk[scene.start])
    score -= _tape_in_line_of_sight(scene, camera)
    if len(sides) == 2:
        hands = [camera.project(scene.skeleton.arms[side].hand[frames]).xy for side in sides]
        apart = float(np.linalg.norm(hands[0] - hands[1], axis=-1).mean())
        score += 0.9 * min(apart / (1.2 * scene.body.shoulder_half_width.value), 1.0)
    for side in sides:
        arm = scene.skeleton.arms[side]
        way = np.diff(arm.hand, axis=0)
        length = float(np.linalg.norm(way, axis=-1).sum())
        if length > 0.03:
            score += WAY_WEIGHT * float(np.linalg.norm(way @ flat, axis=-1).sum()) / length / len(sides)
            score -= ROUND_WEIGHT * _edge_on(camera, arm.hand) / len(sides)
            across_head = np.linalg.norm(camera.project(arm.hand).xy - head_xy, axis=-1) < 0.13
            score -= 1.2 * float(across_head.mean()) / len(sides)
        for frame in frames:
            for start, end in ((arm.shoulder, arm.elbow), (arm.elbow, arm.wrist)):
                bone = end[frame] - start[frame]
                seen = float(np.linalg.norm(flat @ bone) / np.linalg.norm(bone))
                score += 1.0 * seen / len(sides) / len(frames)
            near = float((arm.shoulder[frame] - trunk[frame]) @ toward) / scene.body.shoulder_half_width.value
            score += 1.0 * near / len(sides) / len(frames)
            hand = camera.project(arm.hand[frame])
            behind_trunk = float((arm.hand[frame] - trunk[frame]) @ toward) < -0.02
            for blocker, radius, hides in ((trunk_xy, 0.17, behind_trunk), (head_xy, 0.13, True)):
                distance = float(np.linalg.norm(hand.xy - blocker[frame]))
                if hides and distance < radius:
                    score -= 1.8 * (1 - distance / radius) / len(sides) / len(frames)
            if scene.post_contact is not None and _post_hides(scene, camera, arm.elbow[frame]):
                score -= 2.2 / len(sides) / len(frames)
            if scene.band is not None and side in scene.band.hands:
                held, end = scene.pull_point(side)[frame], _seen_end(scene, side, frame)
                seen_band = _band_score(camera, held, end, trunk[frame], trunk_xy[frame])
                seen_band -= _over_head(camera, held, end, head_xy[frame])
                score += 2 * seen_band / len(scene.band.hands) / len(frames)
    return score - _hidden_things(scene, camera)


def _edge_on(camera: Camera, places: Array) -> float:
    """Return how far a hand that goes round in a ring (F, 3) is seen from its edge, 0 to 1; 0 for any other way."""
    if float(np.linalg.norm(places[-1] - places[0])) > RING_CLOSES_M:
        return 0.0
    spokes = places - places.mean(axis=0)
    swept = np.cross(spokes[:-1], spokes[1:]).sum(axis=0)
    size = float(np.linalg.norm(swept))
    return 0.0 if size < 1e-6 else 1.0 - abs(float(swept @ camera.axes[2])) / size


def _seen_end(scene: Scene, side: Side, frame: int) -> Array:
    """Return where the drawn line of `side` ends (3,): the post as drawn, the chair, the other hand."""
    assert scene.band is not None
    if scene.band.ends is None and scene.anchor is not None:
        return scene.anchor
    return np.asarray(scene.band_end(side)[frame])


def _hidden_things(scene: Scene, camera: Camera) -> float:
    """Return what a wall seen from its back, a rail seen end-on or a head whose movement is not seen costs."""
    cost = 0.0
    if scene.wall is not None:
        edge_on = abs(camera.facing(scene.wall.normal))
        cost += 2.0 * float(camera.facing(scene.wall.normal) < -0.05) + 1.2 * max(0.0, edge_on - 0.55)
    if scene.rail is not None:
        ends = camera.project(np.stack([scene.rail.left, scene.rail.right])).xy
        along = np.linalg.norm(np.subtract(scene.rail.right, scene.rail.left))
        cost += 2.0 * max(0.0, 0.55 - float(np.linalg.norm(ends[1] - ends[0]) / along))
    if scene.cones:
        # From the side the cones stand behind the feet.
        cost += 10.0 * max(0.0, abs(float(camera.axes[2][1])) - 0.85)
    bones = scene.skeleton
    held = [bones.head_frame[i].T @ (bones.head[i] - bones.neck[i]) for i in (scene.start, scene.end)]
    slide = bones.head_frame[scene.end] @ (held[1] - held[0])
    if float(np.linalg.norm(slide)) > LEAST_SLIDE_M:
        cost += 3.0 * abs(camera.facing(slide / np.linalg.norm(slide)))
    first, last = scene.skeleton.head_frame[scene.start], scene.skeleton.head_frame[scene.end]
    turned = first.T @ last
    angle = float(np.arccos(np.clip((np.trace(turned) - 1) / 2, -1.0, 1.0)))
    if angle > np.radians(8.0):
        axis = first @ np.array([turned[2, 1] - turned[1, 2], turned[0, 2] - turned[2, 0], turned[1, 0] - turned[0, 1]])
        axis = axis / np.linalg.norm(axis)
        # A turn about the viewer's own line of sight is seen best; a turn about the upright is seen from anywhere.
        cost += 0.8 * (1 - abs(camera.facing(axis))) * (1 - abs(float(axis[2])))
        cost += 1.5 * float(camera.facing(first[:, 0]) < 0.1)
    return cost


def _over_head(camera: Camera, start: Array, end: Array, head_xy: Array) -> float:
    """Return 1.3 when the drawn band runs over the drawn head, less when it only comes near."""
    points = camera.project(start + np.linspace(0.0, 1.0, 24)[:, None] * (end - start)).xy
    nearest = float(np.linalg.norm(points - head_xy, axis=-1).min())
    return 1.3 * float(np.clip((0.17 - nearest) / 0.07, 0.0, 1.0))


def _post_before_body(scene: Scene, camera: Camera, trunk: Array) -> float:
    """Return 2 for a post between viewer and body, less for one behind it or beside it."""
    if scene.anchor is None:
        return 0.0
    between = np.array([*scene.anchor[:2], trunk[2]]) - trunk
    aside = abs(float(between @ camera.axes[0]))
    covers = float(np.clip((0.50 - aside) / 0.20, 0.0, 1.0))
    return covers * (2.0 if float(between @ camera.axes[2]) > 0 else 0.6)


def _tape_in_line_of_sight(scene: Scene, camera: Camera) -> float:
    """Return up to 1.5 for a distance along the floor that the viewer looks along."""
    cost = 0.0
    for item in scene.dimensions:
        if item.kind == "distance":
            ends = camera.project(np.stack([item.from_point, item.to_point])).xy
            real = float(np.linalg.norm(np.subtract(item.to_point, item.from_point)))
            seen = float(np.linalg.norm(ends[1] - ends[0])) / real if real > 0 else 1.0
            cost += 1.5 * max(0.0, 0.5 - seen) / 0.5
    return cost


def _post_hides(scene: Scene, camera: Camera, elbow: Array) -> bool:
    """Return whether the post that the forearm leans on stands before it."""
    assert scene.post_contact is not None
    post = np.array([*scene.post_contact, elbow[2]])
    between = post - elbow
    aside = abs(float(between @ camera.axes[0]))
    return float(between @ camera.axes[2]) > 0 and aside < 0.07


def _band_score(camera: Camera, start: Array, end: Array, trunk: Array, trunk_xy: Array) -> float:
    """Return up to 0.5 for a band seen at full length, less what runs across or behind the trunk."""
    share = np.linspace(0.0, 1.0, 24)[:, None]
    points = start + share * (end - start)
    seen = camera.project(points)
    crosses = np.linalg.norm((seen.xy - trunk_xy) / (0.15, 0.27), axis=-1) < 1
    behind = (points - trunk) @ camera.axes[2] < 0
    whole = float(np.linalg.norm(end - start))
    visible = float(np.linalg.norm(seen.xy[-1] - seen.xy[0]) / whole) if whole > 0 else 0.0
    return 0.35 * min(visible, 1.0) - 0.7 * float(np.mean(crosses)) - 1.2 * float(np.mean(crosses & behind))


def choose_view(scene: Scene, *, aspect: float = 0.92) -> Camera:
    """Return the best of `candidates` for `scene` in a panel of `aspect` (width over height); the first of equals."""
    from firstpush.core.figure.figure_parts import extent

    frames = _frames_judged(scene)
    bounds = extent(scene, frames)
    known = scene.judged

    def score(camera: Camera) -> float:
        if camera.name not in known:
            known[camera.name] = _score_of_any_size(scene, camera, frames)
        return round(known[camera.name] + _score_of_size(camera, bounds, aspect), 9)

    return max(candidates(), key=score)


def fitted(
    camera: Camera, points: Array, radii: Array, *, left: float, top: float, width: float, height: float
) -> Camera:
    """Return `camera` scaled and placed so that balls of `radii` (N,) [m] at `points` (N, 3) fill the box [mm]."""
    seen = replace(camera, scale=1.0, centre=(0.0, 0.0)).project(points)
    reach = (radii * seen.scale)[:, None]
    low, high = (seen.xy - reach).min(axis=0), (seen.xy + reach).max(axis=0)
    scale = float(min(width / (high[0] - low[0]), height / (high[1] - low[1])))
    middle = (low + high) / 2 * scale
    return replace(camera, scale=scale, centre=(left + width / 2 - middle[0], top + height / 2 - middle[1]))
