"""One frame of a scene as ordered parts: who is before whom, and no seams where two parts are one body."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, field, replace
from typing import Any, TypeVar

import numpy as np

from firstpush.core.body.rotations import Array
from firstpush.core.figure.band_lines import JOINED_HANDS_M, runs
from firstpush.core.figure.chair_drawing import (
    HAND_RIM_OUTSIDE_M,
    HAND_RIM_SHARE,
    chair_extent,
    chair_parts,
    chair_shape,
)
from firstpush.core.figure.hand import HandPose, cuff_layers, hand_part
from firstpush.core.figure.head import head_part
from firstpush.core.figure.limbs import arm_parts, bone_disc, leg_parts
from firstpush.core.figure.order import Lasting, depth_order, pair_depths
from firstpush.core.figure.outlines import Geometry, Joint, Layer, Part, without
from firstpush.core.figure.palette import SKIN, Scheme
from firstpush.core.figure.partner import partner_parts
from firstpush.core.figure.proportions import Proportions, proportions
from firstpush.core.figure.scene import Scene
from firstpush.core.figure.surroundings import PLATE_HALF_M, ball_centre, ball_part, post_foot, post_parts, post_top
from firstpush.core.figure.svg import paint_all
from firstpush.core.figure.things import on_rail, things_extent, things_parts
from firstpush.core.figure.torso import neck_part, torso_part
from firstpush.core.figure.view import Camera
from firstpush.core.people.athlete import SIDES, Side

Made = TypeVar("Made")

RIM_REACH_M = 0.075
"""A hand this near its hand rim holds it."""

LAP_BELOW_HIPS_M = 0.03
LEAST_TURN_SHOWN = np.radians(8.0)
TURN_RADIUS_M = 0.17

FORCED = (
    ("torso", "neck"),
    ("neck", "head"),
    ("seat", "thigh left"),
    ("seat", "thigh right"),
    ("shank left", "thigh left"),
    ("shank right", "thigh right"),
    ("shank left", "shoe left"),
    ("shank right", "shoe right"),
    ("base plate", "post"),
)
"""Pairs whose order the eye expects whatever their depths: (behind, before)."""


@dataclass(frozen=True, kw_only=True)
class Static:
    """What does not move in a scene, made once for all frames; and what stays the same in several of them.

    Parameters
    ----------
    shaded : bool
        Whether what moves has its shade.
    """

    size: Proportions
    parts: tuple[Part, ...]
    pairs: dict[tuple[int, int], float]
    lasting: Lasting
    shaded: bool = True
    painted: dict[tuple[int, Scheme], str] = field(default_factory=dict, compare=False)
    made: dict[tuple[object, ...], Any] = field(default_factory=dict, compare=False)

    def keep(self, make: Callable[[], Made], *key: object) -> Made:
        """Return what `make` gives, made once for the same `key`; nothing of it may be changed."""
        plain = tuple(item.tobytes() if isinstance(item, np.ndarray) else item for item in key)
        if plain not in self.made:
            self.made[plain] = make()
        found: Made = self.made[plain]
        return found

    def once(self, make: Callable[[], list[Part]], *key: object) -> list[Part]:
        """Return the parts that `make` gives, made once for the same `key`: an arm at rest is so in every frame."""
        return list(self.keep(lambda: self._lasting(map(self._shaded, make())), *key))

    def _lasting(self, parts: Iterable[Part]) -> tuple[Part, ...]:
        kept = tuple(parts)
        self.lasting.kept.update(id(part) for part in kept)
        return kept

    def _shaded(self, part: Part) -> Part:
        if self.shaded:
            return part
        return replace(part, layers=tuple(layer for layer in part.layers if layer.role != "shade"))

    def paint(self, part: Part, scheme: Scheme, write: Callable[[Iterable[Layer], Scheme], str] = paint_all) -> str:
        """Return `part` as SVG text, written once for a part that is the same in several frames.

        Parameters
        ----------
        part : Part
        scheme : str
        write : callable
            How its layers are written; one way for each part.
        """
        # An identity holds only for what is kept: a part made anew may lie where one thrown away has lain.
        if id(part) not in self.lasting.kept:
            return write(part.layers, scheme)
        key = (id(part), scheme)
        if key not in self.painted:
            self.painted[key] = write(part.layers, scheme)
        return self.painted[key]

    def without_seam(self, low: Part, high: Part, joint: Joint) -> Part:
        """Return the nearer part `high` without its line where it would cut a joint with `low`."""
        if not self.lasting.kept.issuperset((id(low), id(high))):
            return _without_seam(high, joint, _inner(low))
        inner = self.keep(lambda: _inner(low), "inner", id(low))
        (found,) = self.keep(
            lambda: self._lasting([_without_seam(high, joint, inner)]),
            "seam",
            id(low),
            id(high),
            joint.xy,
            joint.radius,
        )
        return found


def static_parts(scene: Scene, camera: Camera, *, above: float | None = None, shaded: bool = True) -> Static:
    """Return chair, legs and surroundings; of these only what reaches over the page height `above` [mm], if given.

    With `shaded` false what moves has no shade.
    """
    size = proportions(scene.body, scene.look)
    found = chair_parts(scene, camera, size)
    for side in SIDES:
        found += leg_parts(scene, camera, size, side)
    found += post_parts(scene, camera) + things_parts(scene, camera)
    if above is not None:
        found = [part for part in found if part.shape.bounds[1] < above]
    lasting = Lasting(kept={id(part) for part in found})
    return Static(size=size, parts=tuple(found), pairs=pair_depths(found), lasting=lasting, shaded=shaded)


def hand_pose(scene: Scene, side: Side, frame: int, size: Proportions) -> HandPose:
    """Return how the hand is held: round a band or rim, on the ball, or at rest."""
    if scene.ball is not None and scene.ball[1] == side:
        return "ball"
    hands = scene.skeleton.arms
    held = () if scene.band is None else scene.band.holding
    if held:
        apart = float(np.linalg.norm(hands["left"].hand[frame] - hands["right"].hand[frame]))
        if side in held or apart < JOINED_HANDS_M:
            return "fist"
    if scene.rail is not None and on_rail(scene.rail, hands[side].hand[frame]):
        return "fist"
    shape = chair_shape(scene, size)
    s = 1.0 if side == "left" else -1.0
    rim = shape.wheel_circle(s, HAND_RIM_SHARE * shape.radius, HAND_RIM_OUTSIDE_M)
    distance = np.linalg.norm(rim - scene.skeleton.arms[side].hand[frame], axis=-1).min()
    return "fist" if float(distance) < RIM_REACH_M else "rest"


def moving_parts(scene: Scene, camera: Camera, static: Static, frame: int) -> tuple[list[Part], list[Joint]]:
    """Return trunk, head, arms and ball of `frame`, and the joints where no seam is drawn."""
    size, skeleton = static.size, scene.skeleton
    unit = size.unit
    arms = skeleton.arms
    thorax, head = skeleton.thorax_frame[frame], skeleton.head_frame[frame]
    shoulders = [getattr(arms[side], point)[frame] for side in SIDES for point in ("shoulder", "elbow")]
    found = static.once(lambda: [torso_part(scene, camera, size, frame, static.keep)], "torso", thorax, *shoulders)
    found += static.once(
        lambda: [neck_part(scene, camera, size, frame), head_part(scene, camera, size, frame)], "head", thorax, head
    )
    joints: list[Joint] = []
    apart = not any(run.joined for run in runs(scene, frame))
    for side in SIDES:
        arm = arms[side]
        pose = hand_pose(scene, side, frame, size) if scene.body.has_hand(side) else None
        found += static.once(
            lambda side=side, pose=pose: _arm(scene, camera, size, side, frame, pose, apart),  # type: ignore[misc]
            *(side, pose, apart, arm.shoulder[frame], arm.elbow[frame], arm.hand[frame], arm.forearm_frame[frame]),
        )
        xy, radius = bone_disc(camera, arm.shoulder[frame], 0.0345 * unit * size.arm)
        joints.append(Joint(first="torso", second=f"upper arm {side}", xy=xy, radius=radius))
        xy, radius = bone_disc(camera, arm.elbow[frame], 0.0245 * unit * size.arm)
        joints.append(Joint(first=f"upper arm {side}", second=f"forearm {side}", xy=xy, radius=radius))
        if pose is not None:
            xy, radius = bone_disc(camera, arm.wrist[frame], 0.0215 * unit * size.arm)
            joints.append(Joint(first=f"forearm {side}", second=f"hand {side}", xy=xy, radius=radius))
    if scene.partner is not None:
        held = arms[scene.partner]
        found += static.once(
            lambda: partner_parts(scene, camera, size, frame), "partner", held.wrist[frame], held.hand[frame]
        )
    return found + ball_part(scene, camera, frame), joints


def _arm(
    scene: Scene, camera: Camera, size: Proportions, side: Side, frame: int, pose: HandPose | None, apart: bool
) -> list[Part]:
    """Return upper arm, forearm and hand, whichever there are, with a cuff where the band needs one."""
    arm, band = scene.skeleton.arms[side], scene.band
    parts = arm_parts(scene, camera, size, side, frame)
    if pose is not None:
        parts.append(
            hand_part(
                camera,
                arm=arm,
                side=side,
                frame=frame,
                length=scene.body.hand.value,
                pose=pose,
                skin=SKIN[scene.look.skin],
                thick=size.arm,
                handle=band is not None and side in band.holding and apart and band.grip == "handle",
            )
        )
    return _with_cuff(scene, camera, size, side, frame, parts)


def _with_cuff(
    scene: Scene, camera: Camera, size: Proportions, side: Side, frame: int, parts: list[Part]
) -> list[Part]:
    band = scene.band
    if band is None or side not in band.tied_to or band.attach_of(side) == "hand":
        return parts
    arm = scene.skeleton.arms[side]
    name, frames, thick = {
        "wrist_cuff": (f"forearm {side}", arm.forearm_frame, 0.0195),
        "forearm_cuff": (f"forearm {side}", arm.forearm_frame, 0.0285),
        "upper_arm_cuff": (f"upper arm {side}", arm.humerus_frame, 0.0265),
    }[band.attach_of(side)]
    layers = cuff_layers(camera, scene.pull_point(side)[frame], -frames[frame][:, 2], thick * size.unit * size.arm)
    return [replace(part, layers=(*part.layers, *layers)) if part.name == name else part for part in parts]


def knees(scene: Scene, camera: Camera, size: Proportions) -> list[Joint]:
    """Return the knees, where thigh and shank are one."""
    found = []
    for side in SIDES:
        leg = scene.legs[side]
        if leg.knee is not None:
            xy, radius = bone_disc(camera, leg.knee, 0.058 * size.unit * size.leg)
            found.append(Joint(first=f"thigh {side}", second=f"shank {side}", xy=xy, radius=radius))
    return found


def seamless(parts: list[Part], joints: Iterable[Joint], static: Static) -> list[Part]:
    """Return ordered `parts` with the nearer part's line taken away where it would cut a joint."""
    place = {part.name: index for index, part in enumerate(parts)}
    result = list(parts)
    for joint in joints:
        if joint.first not in place or joint.second not in place:
            continue
        low, high = sorted((place[joint.first], place[joint.second]))
        result[high] = static.without_seam(result[low], result[high], joint)
    return result


def _inner(part: Part) -> Geometry:
    # A line that runs along the edge of the part below is its outline too, and stays.
    return part.shape.buffer(-0.16)


def _without_seam(part: Part, joint: Joint, inner: Geometry) -> Part:
    import shapely

    area = shapely.Point(joint.xy).buffer(joint.radius, quad_segs=8).intersection(inner)
    if area.is_empty:
        return part
    return replace(part, layers=tuple(without(layer, area) for layer in part.layers))


def ordered_parts(scene: Scene, camera: Camera, static: Static, frame: int) -> list[Part]:
    """Return all parts of `frame` from back to front, without seams."""
    moving, joints = moving_parts(scene, camera, static, frame)
    parts = depth_order(
        [*static.parts, *moving], FORCED, known=static.pairs, since=len(static.parts), lasting=static.lasting
    )
    return seamless(parts, [*joints, *knees(scene, camera, static.size)], static)


def trunk_turn(scene: Scene) -> float:
    """Return how far the trunk turns about the vertical from start to end, to the left positive [rad]."""
    start, end = scene.skeleton.thorax_frame[[scene.start, scene.end]]
    between = start.T @ end
    return float(np.arctan2(between[1, 0], between[0, 0]))


def turn_centre(scene: Scene, frame: int) -> Array:
    """Return the place over the crown where a turn is shown (3,) [m]."""
    return np.asarray(scene.skeleton.head[frame] + (0.0, 0.0, 0.140 * scene.body.stature.value))


def sitter_extent(scene: Scene, frames: Iterable[int]) -> tuple[Array, Array]:
    """Return points (N, 3) and radii (N,) [m] that bound athlete, chair and what the hands hold in `frames`."""
    size = proportions(scene.body, scene.look)
    unit = size.unit
    points, radii = chair_extent(chair_shape(scene, size))
    found, wide = [points], [radii]

    def add(place: Array, radius: float) -> None:
        place = np.atleast_2d(place)
        found.append(place)
        wide.append(np.full(len(place), radius))

    for leg in scene.legs.values():
        add(leg.end, 0.03)
        if leg.knee is not None:
            add(leg.knee, 0.035 * unit)
    shown = list(frames)
    add(scene.skeleton.head[shown], 0.068 * unit)
    for side in SIDES:
        arm = scene.skeleton.arms[side]
        add(arm.shoulder[shown], 0.035 * unit)
        add(arm.elbow[shown], 0.024 * unit)
        add(arm.hand[shown], 0.95 * scene.body.hand.value)
    for frame in shown:
        centre = ball_centre(scene, frame)
        if centre is not None and scene.ball is not None:
            add(centre, scene.ball[0].diameter / 2)
    head = scene.skeleton.head_frame[scene.start].T @ scene.skeleton.head_frame[scene.end]
    if max(abs(trunk_turn(scene)), abs(float(np.arctan2(head[1, 0], head[0, 0])))) >= LEAST_TURN_SHOWN:
        add(turn_centre(scene, scene.end), TURN_RADIUS_M)
    chair = scene.chair
    add(np.array([(0.15, sign * (chair.overall_width / 2 + 0.05), 0.0) for sign in (1.0, -1.0)]), 0.0)
    for place, radius in things_extent(scene, shown):
        add(place, radius)
    return np.concatenate(found), np.concatenate(wide)


def upper_extent(scene: Scene, frames: Iterable[int]) -> tuple[Array, Array]:
    """Return points (N, 3) and radii (N,) [m] that bound the body from the lap upwards in `frames`."""
    unit, shown = scene.body.stature.value, list(frames)
    skeleton = scene.skeleton
    points = [skeleton.head[shown], skeleton.hip_centre[shown[:1]] + (0.0, 0.0, LAP_BELOW_HIPS_M)]
    radii = [np.full(len(shown), 0.075 * unit), np.array([0.13 * unit])]
    for side in SIDES:
        arm = skeleton.arms[side]
        for places, radius in (
            (arm.shoulder, 0.045 * unit),
            (arm.elbow, 0.028 * unit),
            (arm.hand, scene.body.hand.value),
        ):
            points.append(places[shown])
            radii.append(np.full(len(shown), radius))
    return np.concatenate(points), np.concatenate(radii)


def post_extent(scene: Scene) -> tuple[Array, Array]:
    """Return points (N, 3) and radii (N,) [m] that bound the post; none where there is no post."""
    foot = post_foot(scene)
    if foot is None or not scene.post_shown:
        return np.zeros((0, 3)), np.zeros(0)
    points = np.array([(foot[0], foot[1], post_top(scene)), (foot[0], foot[1], 0.0)])
    return points, np.array([0.03, 1.42 * PLATE_HALF_M])


def extent(scene: Scene, frames: Iterable[int]) -> tuple[Array, Array]:
    """Return points (N, 3) and radii (N,) [m] that bound all that is drawn in `frames`."""
    points, radii = sitter_extent(scene, frames)
    post, wide = post_extent(scene)
    return np.concatenate([points, post]), np.concatenate([radii, wide])
