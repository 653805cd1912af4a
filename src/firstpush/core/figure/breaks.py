"""The break of technical drawing: bare floor left out between athlete and post, so that the person is large.

What is left out is one vector along the floor. The hand's pose and the direction of the band stay true on either side,
the dimension keeps the true figure, and two wavy lines say that something is left out.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from firstpush.core.body.rotations import Array
from firstpush.core.figure.outlines import Layer, line
from firstpush.core.figure.palette import INK, WEIGHTS
from firstpush.core.figure.scene import Scene
from firstpush.core.figure.view import Camera

KEPT_M = (0.5, 0.7, 0.9)
"""Bare floor that stays between the foremost hand or foot and the post: the first that leaves room for the break."""
LEAST_CUT_M = 0.35
"""Less than this is drawn as it is."""
GAP_MM = 1.3
"""Between the two lines of a break."""
ROOM_MM = 0.9
"""Kept free on either side of them."""
WAVE_MM = 0.32
WAVE_LENGTH_MM = 4.2


@dataclass(frozen=True, kw_only=True)
class Strip:
    """An upright strip on the page that is left out: from `near_x` to `far_x` [mm], seen from the athlete."""

    near_x: float
    far_x: float

    @property
    def sign(self) -> float:
        """1 when the post stands to the right of the athlete on the page, else -1."""
        return float(np.sign(self.far_x - self.near_x))

    def near(self, camera: Camera, start: Array, end: Array) -> float:
        """Return the share of the line from `start` to `end` (3,) that lies before the strip, 0 to 1."""
        return _share_at(camera, start, end, self.near_x, self.sign)

    def far(self, camera: Camera, start: Array, end: Array) -> float:
        """Return the share of the line at which it comes out of the strip, 0 to 1."""
        return _share_at(camera, start, end, self.far_x, self.sign)


def _share_at(camera: Camera, start: Array, end: Array, x: float, sign: float) -> float:
    """Return the share of a line at which its page place passes `x`, by bisection: perspective bends no line."""
    share = np.linspace(0.0, 1.0, 161)
    places = sign * (camera.project(start + share[:, None] * (end - start)).xy[:, 0] - x)
    if places[0] >= 0:
        return 0.0
    if places[-1] <= 0:
        return 1.0
    return float(np.interp(0.0, places, share))


def towards_post(scene: Scene) -> Array | None:
    """Return the direction along the floor from the athlete to the post, (3,); None without a band to a post."""
    anchor = scene.true_anchor
    if scene.band is None or anchor is None or scene.band.ends is not None:
        return None
    # A tape is laid along the chair or square to it, to whichever side of it the post stands.
    chair = scene.chair
    if anchor[0] > chair.footplate_reach:
        return np.array([1.0, 0.0, 0.0])
    if anchor[0] < chair.footplate_reach - chair.overall_length:
        return np.array([-1.0, 0.0, 0.0])
    return np.array([0.0, float(np.sign(anchor[1])), 0.0])


def foremost(scene: Scene, way: Array, frames: tuple[int, ...]) -> float:
    """Return how far hands, feet and chair reach along `way` in `frames` [m], from the world's origin."""
    places = [0.5 * scene.chair.overall_width * abs(float(way[1])) + 0.20 * abs(float(way[0]))]
    places += [float(leg.end @ way) for leg in scene.legs.values()]
    places.append(scene.chair.footplate_reach * float(way[0]))
    for arm in scene.skeleton.arms.values():
        places += [float(arm.hand[frame] @ way) for frame in frames]
    return max(places)


def shortened(scene: Scene, *, frames: tuple[int, ...], keep: float = KEPT_M[0]) -> Scene:
    """Return `scene` with the bare floor before the post cut down to `keep` [m]; unchanged when that is little.

    Parameters
    ----------
    scene : Scene
    frames : tuple of int
        Frames that are shown: a hand that reaches forward keeps its room.
    keep : float
        Floor that stays [m].
    """
    way, anchor = towards_post(scene), scene.anchor
    if way is None or anchor is None or scene.cut is not None:
        return scene
    bare = float(anchor @ way) - foremost(scene, way, frames)
    length = bare - keep
    if length < LEAST_CUT_M:
        return scene
    cut = length * way
    moved = tuple(
        replace(
            item,
            from_point=np.asarray(item.from_point, float) - (cut if item.kind == "height" else 0.0),
            to_point=np.asarray(item.to_point, float) - cut,
        )
        for item in scene.dimensions
    )
    return replace(scene, anchor=anchor - cut, cut=cut, dimensions=moved)


def strip_of(scene: Scene, camera: Camera, sitter: Array, post: Array) -> Strip | None:
    """Return the strip between the drawn athlete and the drawn post, None where there is no break or no room.

    Parameters
    ----------
    scene : Scene
    camera : Camera
    sitter, post : array (2,)
        Least and largest page x of either [mm].
    """
    if scene.cut is None:
        return None
    if post[0] > sitter[1]:
        low, high = float(sitter[1]), float(post[0])
    elif post[1] < sitter[0]:
        low, high = float(sitter[0]), float(post[1])
    else:
        return None
    if abs(high - low) < GAP_MM + 2 * ROOM_MM:
        return None
    # Nearer to the post: the hand keeps a stretch of band that shows its direction.
    middle = low + 0.58 * (high - low)
    half = 0.5 * GAP_MM * np.sign(high - low)
    return Strip(near_x=float(middle - half), far_x=float(middle + half))


def break_layers(strip: Strip, *, top: float, bottom: float, far: bool) -> list[Layer]:
    """Return the wavy lines of a break from `top` to `bottom` [mm]; only the near one when nothing comes after it."""
    y, wave = wavy(top, bottom)
    edges = (strip.near_x, strip.far_x) if far else (strip.near_x,)
    return [
        Layer(geometry=line(np.stack([x + wave, y], axis=-1)), stroke=INK, width=WEIGHTS.dimension, role="detail")
        for x in edges
    ]


def wavy(first: float, last: float) -> tuple[Array, Array]:
    """Return places from `first` to `last` along a break line, and how far it swings to its side there [mm]."""
    places = np.linspace(first, last, max(9, int((last - first) / 0.35)))
    return places, WAVE_MM * np.sin(2 * np.pi * (places - first) / WAVE_LENGTH_MM)
