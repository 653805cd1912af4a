"""From an exercise set-up to the scene that is drawn: the same pose, anchor and stretch as the numbers on the sheet."""

from __future__ import annotations

import numpy as np

from firstpush.core.body.legs import legs
from firstpush.core.body.rotations import Array
from firstpush.core.figure.palette import Look
from firstpush.core.figure.scene import BandDrawing, Blocking, Dimension, PoseShown, Rail, Scene, Wall
from firstpush.core.kit.kit import Ball
from firstpush.core.measured import Measured
from firstpush.core.people.athlete import SIDES, Side
from firstpush.core.setup.pull_points import pull_point
from firstpush.core.setup.result import BandSetup, ExerciseSetup

POST_BEFORE_FOREARM = Measured(
    name="middle of the post before the middle of the forearm",
    value=0.055,
    unit="m",
    spread=0.01,
    source="half a forearm and half a post",
    known="our choice",
)

SHORTEST_CHAIN, LONGEST_CHAIN = 3, 5
"""Poses from which, and up to which, a movement is shown pose by pose."""
SAME_PLACE_M = 0.02
RAIL_LEVEL = Measured(
    name="difference in height and least distance at which two hands hold one level rail",
    value=0.12,
    unit="m",
    spread=0.0,
    source="",
    known="our choice",
)
RAIL_BEYOND_HANDS = Measured(
    name="rail beyond the outer hand",
    value=0.15,
    unit="m",
    spread=0.0,
    source="",
    known="our choice",
)
RAIL_BEYOND_WHEELS = Measured(
    name="foot of a rail outside the wheel on the floor",
    value=0.1,
    unit="m",
    spread=0.0,
    source="",
    known="our choice",
)
BOUNCE = Measured(
    name="free way of a ball between palm and wall, beside its own diameter",
    value=0.22,
    unit="m",
    spread=0.0,
    source="",
    known="our choice",
)
CONE_BESIDE_WHEEL = Measured(
    name="cone from the widest place of the wheels",
    value=0.25,
    unit="m",
    spread=0.0,
    source="the way taken round a cone",
    known="our choice",
)
CONE_SPACING = Measured(
    name="cones of a row from each other",
    value=2.0,
    unit="m",
    spread=0.0,
    source="",
    known="our choice",
)
CONES_SEEN_AHEAD = Measured(
    name="floor drawn before the footplate where cones stand",
    value=1.0,
    unit="m",
    spread=0.0,
    source="",
    known="our choice",
)


def scene_of(setup: ExerciseSetup, *, look: Look | None = None) -> Scene:
    """Return the scene of one exercise set-up.

    Parameters
    ----------
    setup : ExerciseSetup
    look : Look, optional
        Of the person drawn; chosen from nothing but the default when left out.

    Returns
    -------
    Scene
    """
    band, contact = setup.band, setup.exercise.contact
    return Scene(
        body=setup.body,
        chair=setup.chair,
        skeleton=setup.movement.skeleton,
        legs=legs(setup.body, setup.chair),
        active_sides=setup.arms,
        anchor=None if band is None else band.anchor,
        band=None if band is None else _drawn_band(setup, band),
        ball=None if setup.ball is None else (setup.ball, setup.side),
        post_contact=contact_post(setup),
        rail=_rail(setup) if contact == "hands on rail" else None,
        wall=_wall(setup, setup.ball) if contact == "ball on wall" and setup.ball is not None else None,
        partner=setup.side if contact == "partner" else None,
        cones=_cones(setup),
        blocking=_blocking(setup),
        strap=setup.strap,
        dimensions=() if band is None else _dimensions(setup, band),
        look=look or Look(),
        start=0,
        end=_end_frame(setup),
        poses=_poses(setup),
    )


def contact_post(setup: ExerciseSetup) -> Array | None:
    """Return the foot (x, y) [m] of the post that the forearm leans on, or None without one."""
    if not setup.exercise.leans_on_post:
        return None
    arm = setup.movement.skeleton.arms[setup.side]
    forearm = (arm.elbow[0] + arm.hand[0]) / 2
    return np.array([forearm[0] + POST_BEFORE_FOREARM.value, forearm[1]])


def _end_frame(setup: ExerciseSetup) -> int:
    frames = setup.movement.share.size
    hand = setup.movement.skeleton.arms[setup.side].hand
    many = len(setup.exercise.poses) > LONGEST_CHAIN
    round_trip = many and float(np.linalg.norm(hand[-1] - hand[0])) < SAME_PLACE_M
    # A circle ends where it begins: its far side is the other picture.
    return frames // 2 if setup.exercise.circle is not None or round_trip else frames - 1


def _poses(setup: ExerciseSetup) -> tuple[PoseShown, ...]:
    """Return the poses of a chain with the frames they are reached in.

    None for a movement of one or two poses, nor for one of so many that they draw a line, as a circle does.
    """
    starts, poses = setup.movement.start_of_pose, setup.exercise.poses
    if not SHORTEST_CHAIN <= len(starts) <= LONGEST_CHAIN or len(starts) != len(poses):
        return ()
    return tuple(PoseShown(frame=frame, name=pose.name) for frame, pose in zip(starts, poses, strict=True))


def _drawn_band(setup: ExerciseSetup, band: BandSetup) -> BandDrawing:
    hands = tuple(band.stretch)
    bones = setup.movement.skeleton
    use = setup.exercise.band
    on_post = band.post is not None or use is None
    to_other_hand = use is not None and use.fixed_to == "other hand" and not on_post
    tied = SIDES if to_other_hand else hands
    attached = {side: setup.attach.get(side, "hand") for side in tied}
    ends = None if on_post else band.ends
    if to_other_hand:
        # Tied to a cuff, the band ends there and not in the fist.
        other: dict[Side, Side] = {"left": "right", "right": "left"}
        ends = {side: pull_point(bones, other[side], attached[other[side]]) for side in hands}
    return BandDrawing(
        hands=hands,
        attach=attached,
        stretch=band.stretch,
        strands=band.strands,
        pull_from={side: pull_point(bones, side, attached[side]) for side in tied},
        fixed_to="post" if on_post or use is None else use.fixed_to,
        ends=ends,
    )


def _blocking(setup: ExerciseSetup) -> Blocking:
    if "chocks" in setup.blocking:
        return "chocks"
    return "brakes" if setup.blocking == "brakes" else "free"


def _rail(setup: ExerciseSetup) -> Rail:
    """Return the rail that the hands hold at the start: through both grips, or across before a single hand."""
    hands = [arm.hand[0] for arm in setup.movement.skeleton.arms.values()]
    left, right = hands
    level = abs(float(left[2] - right[2])) < RAIL_LEVEL.value
    far = float(np.linalg.norm((left - right)[:2])) > RAIL_LEVEL.value
    if not (level and far):
        # One hand, or one above the other: the rail runs across in front of the working hand.
        hand = setup.movement.skeleton.arms[setup.side].hand[0]
        left, right = hand + (0.0, 0.2, 0.0), hand - (0.0, 0.2, 0.0)
    height = float(left[2] + right[2]) / 2
    a, b = np.array([*left[:2], height]), np.array([*right[:2], height])
    along = (b - a) / np.linalg.norm(b - a)
    # A rail across the chair stands on posts outside the wheels.
    beyond = RAIL_BEYOND_HANDS.value
    if abs(float(along[1])) > abs(float(along[0])):
        wheels = setup.chair.overall_width / 2 + RAIL_BEYOND_WHEELS.value
        beyond = max(beyond, wheels - abs(float(a[1])), wheels - abs(float(b[1])))
    return Rail(left=a - beyond * along, right=b + beyond * along)


def _wall(setup: ExerciseSetup, ball: Ball) -> Wall:
    """Return the wall that the ball is bounced against: beyond the hand, square to the way from shoulder to hand."""
    arm = setup.movement.skeleton.arms[setup.side]
    out = (arm.hand - arm.shoulder).mean(axis=0) * (1.0, 1.0, 0.0)
    # A wall runs along the hall: square to the chair or beside it.
    index = int(np.argmax(np.abs(out)))
    normal = np.zeros(3)
    normal[index] = -np.sign(out[index])
    reach = float((arm.hand @ -normal).max())
    point = arm.hand.mean(axis=0)
    point = point + (float(point @ normal) * -1.0 - reach - ball.diameter - BOUNCE.value) * normal
    return Wall(point=point, normal=normal)


def _cones(setup: ExerciseSetup) -> tuple[Array, ...]:
    """Return where the first cones of a course stand: in a row beside the way of the chair, as far as is drawn."""
    if setup.exercise.needs.cones == 0:
        return ()
    chair = setup.chair
    aside = chair.overall_width / 2 + CONE_BESIDE_WHEEL.value
    first = 0.35
    places = [(first + step * CONE_SPACING.value, -aside) for step in range(setup.exercise.needs.cones)]
    return tuple(np.array(place) for place in places if place[0] < chair.footplate_reach + CONES_SEEN_AHEAD.value)


def _dimensions(setup: ExerciseSetup, band: BandSetup) -> tuple[Dimension, ...]:
    anchor = band.anchor
    if anchor is None or band.distance is None:
        return ()
    foot = np.array([anchor[0], anchor[1], 0.0])
    # The tape lies from the post towards the chair, square to it, as far as the distance says.
    ahead = setup.exercise.band is not None and setup.exercise.band.anchor_side in ("front", "behind")
    way = np.array([np.sign(anchor[0]), 0.0, 0.0]) if ahead else np.array([0.0, np.sign(anchor[1]), 0.0])
    return (
        Dimension(from_point=foot - band.distance * way, to_point=foot, text=f"{band.distance:.2f} m", kind="distance"),
        Dimension(from_point=foot, to_point=anchor, text=f"{band.height:.2f} m", kind="height"),
    )
