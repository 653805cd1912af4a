"""Virtual work: what muscles do along a movement is what band and weights gain, known from lengths and heights alone.

Cut the body at hips, shoulders, elbows and wrists. Slowly moved, in the world:

    Σ over joints of M · dθ   (θ of the outer segment against the inner one)
    − Σ over arms of (weight + pull) · dS   (the shoulder centre carried along the thorax by the clavicle)
    − head's weight · dH                    (the head carried against the thorax by the neck)
    = d(band energy) + d(m g z)

This sees every label, sign, side and axis: the right-hand side knows nothing of angles. The band's law is this file's
own.
"""

from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from sample_bodies import COM, MASS, SHOULDER_HEIGHT, G, body, chair, one_arm
from scipy.spatial.transform import Rotation

from firstpush.core.body.moments import arm_moments, trunk_moment
from firstpush.core.body.movement import movement
from firstpush.core.body.posture import SIGN, ArmPoints, Skeleton
from firstpush.core.exercises.loader import library
from firstpush.core.people.athlete import SIDES, Side

both_sides = pytest.mark.parametrize("side", SIDES)
SLACK, C1, C2 = 0.45, 9.0, 25.0
"""Slack length [m] and the two stiffnesses of the band [N]."""


def tension(length: np.ndarray) -> np.ndarray:
    """Return the pull of the band at a length [N]."""
    ratio = np.maximum(length / SLACK, 1.0)
    return (C1 + C2 / ratio) * (ratio - ratio**-2)


def band_energy(length: np.ndarray) -> np.ndarray:
    """Return what the band holds at a length, the integral of its tension [J]."""
    ratio = np.maximum(length / SLACK, 1.0)
    return SLACK * (C1 * (ratio**2 / 2 + 1 / ratio - 1.5) + C2 * (ratio + 1 / (2 * ratio**2) - 1.5))


def test_the_energy_of_the_band_is_the_integral_of_its_tension() -> None:
    """By finite differences; the rest of this file stands on it."""
    length = np.linspace(0.5, 1.6, 100_001)
    assert np.allclose(np.gradient(band_energy(length), length)[1:-1], tension(length)[1:-1], rtol=1e-6)


def pull_of(anchor: np.ndarray, hand: np.ndarray) -> np.ndarray:
    """Return the force of the band on the hand (..., 3) [N]."""
    way = anchor - hand
    length = np.linalg.norm(way, axis=-1, keepdims=True)
    return np.asarray(way / length * tension(length))


def energy(bones: Skeleton, anchors: dict[Side, np.ndarray]) -> np.ndarray:
    """Return band energy and weights times heights, from points only (n,) [J]."""
    trunk_up = bones.thorax_frame[..., 2, 2] * (1 - COM["trunk"]) * SHOULDER_HEIGHT
    total = MASS["trunk"] * G * trunk_up + MASS["head"] * G * bones.head[..., 2]
    for side in SIDES:
        arm = bones.arms[side]
        for name, near, far in (
            ("upper arm", arm.shoulder, arm.elbow),
            ("forearm", arm.elbow, arm.wrist),
            ("hand", arm.wrist, arm.hand),
        ):
            total = total + MASS[name] * G * (near[..., 2] + COM[name] * (far[..., 2] - near[..., 2]))
        if side in anchors:
            total = total + band_energy(np.linalg.norm(anchors[side] - arm.hand, axis=-1))
    return np.asarray(total)


def turned_by(frame: np.ndarray) -> np.ndarray:
    """Return the small rotation from each frame to the next, in world axes (n-1, 3) [rad]."""
    return Rotation.from_matrix(frame[1:] @ np.swapaxes(frame[:-1], -1, -2)).as_rotvec()


def middle(values: np.ndarray) -> np.ndarray:
    """Return the mean of each frame and the next."""
    return np.asarray((values[1:] + values[:-1]) / 2)


def carried(points: np.ndarray, bones: Skeleton) -> np.ndarray:
    """Return the small shifts of a point against the thorax, in world axes (n-1, 3) [m]."""
    frame = bones.thorax_frame
    inside = (np.swapaxes(frame, -1, -2) @ (points - bones.hip_centre)[..., None])[..., 0]
    between = Rotation.from_matrix(frame[:-1]) * Rotation.from_rotvec(
        (Rotation.from_matrix(frame[:-1]).inv() * Rotation.from_matrix(frame[1:])).as_rotvec() / 2
    )
    return np.asarray(between.apply(np.diff(inside, axis=0)))


def hand_frame(arm: ArmPoints) -> np.ndarray:
    """Return axes fixed in the hand, from its points and the thumb side that it shares with the forearm (n, 3, 3)."""
    thumb = arm.forearm_frame[..., :, 0]
    along = (arm.wrist - arm.hand) / np.linalg.norm(arm.wrist - arm.hand, axis=-1, keepdims=True)
    return np.stack([thumb, np.cross(along, thumb), along], axis=-1)


def muscle_work(bones: Skeleton, anchors: dict[Side, np.ndarray]) -> np.ndarray:
    """Return the left-hand side for every step (n-1,) [J]."""
    pulls = {side: pull_of(anchor, bones.arms[side].hand) for side, anchor in anchors.items()}
    on_trunk: Any = [(bones.arms[side].hand, pull) for side, pull in pulls.items()]
    thorax = turned_by(bones.thorax_frame)
    work = np.sum(middle(trunk_moment(body(), bones, on_trunk).world) * thorax, axis=-1)
    down = np.array([0.0, 0.0, -G])
    for side in SIDES:
        arm = bones.arms[side]
        moments = arm_moments(body(), bones, side=side, force=pulls.get(side))
        upper, fore, palm = (turned_by(each) for each in (arm.humerus_frame, arm.forearm_frame, hand_frame(arm)))
        work = work + np.sum(middle(moments.shoulder.world) * (upper - thorax), axis=-1)
        work = work + np.sum(middle(moments.elbow_world) * (fore - upper), axis=-1)
        work = work + np.sum(middle(moments.wrist_world) * (palm - fore), axis=-1)
        load = (MASS["upper arm"] + MASS["forearm"] + MASS["hand"]) * down + pulls.get(side, np.zeros(3))
        load = np.broadcast_to(load, arm.shoulder.shape)
        work = work - np.sum(middle(load) * carried(arm.shoulder, bones), axis=-1)
    return np.asarray(work - np.sum(MASS["head"] * down * carried(bones.head, bones), axis=-1))


def anchors_of(side: Side, exercise: str) -> dict[Side, np.ndarray]:
    """Return posts about the athlete, in front, behind and beside, for either hand."""
    places = {
        "seated_row": (1.4, 0.3, 0.8),
        "external_rotation_90": (1.2, 0.4, 1.2),
        "anti_rotation_press": (0.4, 1.3, 0.9),
    }
    x, y, z = places.get(exercise, (-0.7, 0.6, 1.1))
    working = np.array([x, SIGN[side] * y, z])
    return {side: working, SIDES[1 - SIDES.index(side)]: working + [0.1, -SIGN[side] * 0.2, 0.05]}


def assert_balance(bones: Skeleton, anchors: dict[Side, np.ndarray], least: float) -> None:
    """Work and energy agree over the whole movement and on the way; `least` joules must have been moved."""
    work, gained = np.cumsum(muscle_work(bones, anchors)), energy(bones, anchors)
    gained = gained[1:] - gained[0]
    assert np.ptp(gained) > least, f"only {np.ptp(gained):.2f} J: nothing was tried"
    assert np.abs(work - gained).max() < 1e-5 * np.ptp(gained), f"off by {np.abs(work - gained).max():.2e} J"


@both_sides
@pytest.mark.parametrize("name", [n for n, e in library().items() if len(e.poses) > 1 or e.circle is not None])
def test_muscle_work_is_energy_gained_in_every_exercise(side: Side, name: str) -> None:
    """Along each exercise of the library, with a band on either hand."""
    made = movement(library()[name], body(), chair(), side=side, frames=2001)
    assert_balance(made.skeleton, anchors_of(side, name), least=0.2)


@both_sides
def test_muscle_work_is_energy_gained_when_the_trunk_joins_in(side: Side) -> None:
    """A row with the trunk turning, bending forward and to the side: the hip moment does its part."""
    row = library()["seated_row"]
    start, end = row.poses
    leaning = replace(start, trunk_forward=0.5, turn_to_working_side=-0.3, lean_to_working_side=0.25)
    back = replace(end, trunk_forward=-0.1, turn_to_working_side=0.35, lean_to_working_side=-0.1)
    made = movement(replace(row, poses=(leaning, back)), body(), chair(), side=side, frames=2001)
    bones, anchors = made.skeleton, anchors_of(side, "seated_row")
    assert_balance(bones, anchors, least=5.0)
    on_hips: Any = [(bones.arms[each].hand, pull_of(anchors[each], bones.arms[each].hand)) for each in SIDES]
    of_hips = np.sum(middle(trunk_moment(body(), bones, on_hips).world) * turned_by(bones.thorax_frame))
    assert abs(of_hips) > 5.0, "the trunk's share is not small"


@both_sides
@pytest.mark.parametrize("plane", [-60, 0, 50, 90])
@pytest.mark.parametrize("elevation", [20, 75])
def test_each_clinical_moment_is_the_slope_of_energy_over_its_angle(side: Side, plane: float, elevation: float) -> None:
    """Elevation, external rotation, plane and elbow flexion, one at a time by central differences.

    Beyond 30 degrees the clavicle rises with elevation, by 0.15 of the angle; that part of the slope is the load at the
    shoulder times the rise, and is taken off. Plane turns about the upright axis of the thorax less the humerus: its
    slope is external rotation (humerus) minus axial (thorax).
    """
    angles = {"plane": plane, "elevation": elevation, "rotation": 25.0, "elbow": 55.0}
    anchors = {side: np.array([0.9, SIGN[side] * 0.7, 0.6])}
    step = 1e-3

    def slope(name: str) -> float:
        after, before = (one_arm(side, **(angles | {name: angles[name] + d})) for d in (step, -step))
        return float((energy(after, anchors) - energy(before, anchors)) / np.radians(2 * step))

    bones = one_arm(side, **angles)
    pull = pull_of(anchors[side], bones.arms[side].hand)
    moments = arm_moments(body(), bones, side=side, force=pull)
    after, before = (one_arm(side, **(angles | {"elevation": elevation + d})) for d in (step, -step))
    rise = (after.arms[side].shoulder - before.arms[side].shoulder) / np.radians(2 * step)
    load = pull + (MASS["upper arm"] + MASS["forearm"] + MASS["hand"]) * np.array([0, 0, -G])
    assert (np.linalg.norm(rise) > 0) == (elevation > 30)
    shoulder = moments.shoulder
    assert slope("elevation") + float(load @ rise) == pytest.approx(float(shoulder.elevation), abs=1e-5)
    assert slope("rotation") == pytest.approx(float(shoulder.external_rotation), abs=1e-5)
    assert slope("plane") == pytest.approx(float(shoulder.external_rotation - shoulder.axial), abs=1e-5)
    assert slope("elbow") == pytest.approx(float(moments.elbow_flexion), abs=1e-5)


@both_sides
def test_retraction_is_the_slope_of_energy_over_protraction(side: Side) -> None:
    """Drawing the shoulder back by a small angle, the hand carried along, gains retraction times that angle."""
    anchors, step = {side: np.array([1.5, SIGN[side] * 0.18, 1.045 - 0.63])}, 1e-3
    bones = one_arm(side)
    pull = pull_of(anchors[side], bones.arms[side].hand)
    after, before = (one_arm(side, protraction=-d) for d in (step, -step))
    gained = float((energy(after, anchors) - energy(before, anchors)) / np.radians(2 * step))
    found = arm_moments(body(), bones, side=side, force=pull).retraction
    assert gained == pytest.approx(float(found), abs=1e-5)
    assert gained > 1
