"""Movements between poses: timing, hand paths, and no jumps."""

from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from sample_bodies import body, chair, posed
from scipy.spatial.transform import Rotation

from firstpush.core.body.movement import Movement, minimum_jerk, movement
from firstpush.core.body.posture import SIGN, external_rotation, humerus_rotation, plane_and_elevation
from firstpush.core.exercises.definition import ArmPose, Exercise, HandTarget
from firstpush.core.exercises.loader import library
from firstpush.core.people.athlete import SIDES, Side

both_sides = pytest.mark.parametrize("side", SIDES)
every_exercise = pytest.mark.parametrize("name", list(library()))
ROW = library()["seated_row"]
PRESS = library()["anti_rotation_press"]
POINTS = ("shoulder", "elbow", "wrist", "hand")


def moved(exercise: Exercise, side: Side, frames: int = 21) -> Movement:
    """Return the movement of the sample body."""
    return movement(exercise, body(), chair(), side=side, frames=frames)


def off_the_chord(path: np.ndarray) -> np.ndarray:
    """Return how far each point of a path (n, 3) lies off the straight line between its ends [m]."""
    chord = (path[-1] - path[0]) / np.linalg.norm(path[-1] - path[0])
    offset = path - path[0]
    return np.linalg.norm(offset - np.outer(offset @ chord, chord), axis=-1)


def test_minimum_jerk_starts_and_ends_at_rest() -> None:
    """From 0 to 1, half way at half time, with no speed and no acceleration at either end (finite differences)."""
    assert minimum_jerk(np.array([0.0, 0.5, 1.0])) == pytest.approx([0.0, 0.5, 1.0], abs=1e-15)
    h = 1e-4
    for end, inwards in ((0.0, h), (1.0, -h)):
        near = minimum_jerk(end + inwards * np.arange(3))
        assert (near[1] - near[0]) / inwards == pytest.approx(0, abs=1e-6)
        assert (near[2] - 2 * near[1] + near[0]) / h**2 == pytest.approx(0, abs=1e-2)
    assert np.all(np.diff(minimum_jerk(np.linspace(0, 1, 201))) > 0)


def test_minimum_jerk_peaks_at_fifteen_eighths_of_the_mean_speed() -> None:
    """Flash and Hogan 1985, from memory: the bell of speed is 30 t² (1 - t)², 1.875 at its middle."""
    share = np.linspace(0, 1, 2001)
    speed = np.gradient(minimum_jerk(share), share)
    assert np.allclose(speed[1:-1], (30 * share**2 * (1 - share) ** 2)[1:-1], atol=1e-5)
    assert speed.max() == pytest.approx(15 / 8, abs=1e-5)


@both_sides
@pytest.mark.parametrize("name", ["anti_rotation_press", "anti_rotation_turn_away"])
def test_between_two_hand_targets_the_hand_goes_straight(side: Side, name: str) -> None:
    """Both ends are hand targets: either hand keeps to the chord, timed by minimum jerk, even when the trunk moves."""
    bones = moved(library()[name], side).skeleton
    for each in SIDES:
        path = bones.arms[each].hand
        assert np.linalg.norm(path[-1] - path[0]) > 0.2
        assert off_the_chord(path).max() < 1e-9
        done = np.linalg.norm(path - path[0], axis=-1) / np.linalg.norm(path[-1] - path[0])
        assert np.allclose(done, minimum_jerk(np.linspace(0, 1, len(path))), atol=1e-9)


@both_sides
def test_a_staying_hand_stays_while_the_trunk_turns(side: Side) -> None:
    """The hand at the post keeps its place in the world and the trunk turns 20 degrees away from it."""
    made = moved(library()["chest_stretch_post"], side)
    hand = made.skeleton.arms[side].hand
    assert np.abs(hand - hand[0]).max() < 1e-9
    assert np.degrees(made.posture.trunk_turn[-1]) == pytest.approx(-20 * SIGN[side])


@both_sides
@pytest.mark.parametrize("name", [name for name, exercise in library().items() if exercise.circle is None])
def test_the_ends_are_the_poses_as_written(side: Side, name: str) -> None:
    """Where an arm is written in joint angles, the movement shows these angles at that pose; a circle goes round it."""
    exercise = library()[name]
    made = moved(exercise, side)
    for pose, at in zip(exercise.poses, made.start_of_pose, strict=True):
        for each in SIDES:
            arm = pose.working if each == side else pose.other
            if arm.target is None:
                angles = made.posture.arms[each]
                expected = humerus_rotation(plane=arm.plane, elevation=arm.elevation, rotation=arm.rotation, side=each)
                assert np.allclose(angles.humerus[at], expected, atol=1e-9), f"{pose.name}, {each} humerus"
                assert angles.elbow[at] == pytest.approx(arm.elbow, abs=1e-9)


@both_sides
@pytest.mark.parametrize("name", [n for n, e in library().items() if len(e.poses) > 1 or e.circle is not None])
def test_no_frame_jumps(side: Side, name: str) -> None:
    """Ten times the frames make every step of every point about ten times smaller: nothing jumps."""
    coarse, fine = (moved(library()[name], side, frames).skeleton for frames in (41, 401))
    for each in SIDES:
        for point in POINTS:
            large, small = (
                np.linalg.norm(np.diff(getattr(bones.arms[each], point), axis=0), axis=-1).max()
                for bones in (coarse, fine)
            )
            assert small < 0.15 * large + 1e-9, f"{point} of the {each} arm: {small:.4f} m of {large:.4f} m"


@both_sides
def test_no_jump_where_phases_meet(side: Side) -> None:
    """Out, on and back over three poses, by angles and by targets: the middle pose is passed at rest."""
    stay = replace(ROW.poses[0], name="stay", turn_to_working_side=0.2, working=ArmPose(target=HandTarget(at="stay")))
    for poses in ((*ROW.poses, ROW.poses[0]), (*PRESS.poses, PRESS.poses[0]), (*ROW.poses, stay)):
        made = moved(replace(ROW, poses=poses), side, 201)
        assert made.start_of_pose == (0, 200, 400)
        for point in POINTS:
            path = getattr(made.skeleton.arms[side], point)
            steps = np.linalg.norm(np.diff(path, axis=0), axis=-1)
            assert steps[198:202].max() < 1e-3, "at rest on the pose itself"


@both_sides
def test_lean_and_turn_are_towards_the_working_side(side: Side) -> None:
    """Written once for a working side: the neck leans to it, and the chest turns to it."""
    leaning = replace(ROW.poses[0], lean_to_working_side=0.2, turn_to_working_side=0.3)
    bones = moved(replace(ROW, poses=(leaning, ROW.poses[1])), side).skeleton
    across = SIGN[side] * (bones.neck[0] - bones.hip_centre[0])[1]
    assert across > 0.05
    assert SIGN[side] * bones.thorax_frame[0, 1, 0] > 0.1
    assert np.allclose(bones.neck[-1, 1], 0, atol=1e-12)


@both_sides
def test_joints_are_timed_by_minimum_jerk(side: Side) -> None:
    """Between poses written in angles, humerus and elbow have come as far as minimum jerk says, at every frame."""
    arm = moved(ROW, side, 51).posture.arms[side]
    turned = Rotation.from_matrix(np.swapaxes(arm.humerus[:1], -1, -2) @ arm.humerus).magnitude()
    way = minimum_jerk(np.linspace(0, 1, 51))
    assert np.allclose(turned / turned[-1], way, atol=1e-9)
    assert np.allclose((arm.elbow - arm.elbow[0]) / (arm.elbow[-1] - arm.elbow[0]), way, atol=1e-12)


@both_sides
def test_a_row_does_not_detour(side: Side) -> None:
    """The hand of a row keeps within 12 cm of the chord; plane, elevation and rotation run apart leave it far more.

    The arm swings past the side, where plane turns from forward to behind at once: run angle by angle it goes round
    through abduction.
    """
    bones = moved(ROW, side, 201).skeleton
    ours = off_the_chord(bones.arms[side].hand)
    assert ours.max() < 0.12
    a, b = ROW.poses[0].working, ROW.poses[1].working
    way = minimum_jerk(np.linspace(0, 1, 201))
    run: dict[str, Any] = {
        n: np.degrees(getattr(a, n) + way * (getattr(b, n) - getattr(a, n)))
        for n in ("plane", "elevation", "rotation", "elbow", "protraction", "lift")
    }
    angle_by_angle = off_the_chord(posed(**{side: run}).arms[side].hand)
    assert angle_by_angle.max() > ours.max() + 0.10


@both_sides
def test_a_circle_closes_and_keeps_its_half_angle(side: Side) -> None:
    """The upper arm goes once round a cone of 7 degrees about its pose, and ends where it began."""
    exercise = library()["ball_circles"]
    made = moved(exercise, side, 73)
    arm, start = made.posture.arms[side], exercise.poses[0].working
    middle = humerus_rotation(plane=start.plane, elevation=start.elevation, rotation=start.rotation, side=side)
    assert np.allclose(arm.humerus[0], arm.humerus[-1], atol=1e-12)
    cosine = arm.humerus[..., 2] @ middle[:, 2]
    assert np.allclose(np.degrees(np.arccos(cosine)), 7.0, atol=1e-9)
    around = np.degrees(np.unwrap(np.arctan2(arm.humerus[..., 2] @ middle[:, 1], arm.humerus[..., 2] @ middle[:, 0])))
    assert abs(around[-1] - around[0]) == pytest.approx(360, abs=1e-6)
    assert np.allclose(np.diff(around), np.diff(around)[0], atol=1e-6), "at an even pace"
    twist = Rotation.from_matrix(np.swapaxes(middle, -1, -2) @ arm.humerus).as_rotvec()[:, 2]
    assert np.allclose(twist, 0, atol=1e-9), "no rotation is added on the way round"


def test_circles_of_the_two_sides_turn_against_each_other() -> None:
    """Mirrored: seen from the athlete, one goes clockwise and the other not."""
    hands = [moved(library()["ball_circles"], side, 41).skeleton.arms[side].hand for side in SIDES]
    areas = []
    for hand in hands:
        y, z = (hand - hand[:-1].mean(axis=0))[:, 1:].T
        areas.append(np.sum(y[:-1] * z[1:] - y[1:] * z[:-1]))
    assert areas[0] == pytest.approx(-areas[1], rel=1e-9)
    assert abs(areas[0]) > 1e-3


@both_sides
def test_external_rotation_turns_only_the_forearm(side: Side) -> None:
    """From 5 to 85 degrees the rotation grows all the way and the elbow keeps its height within 3 cm."""
    made = moved(library()["external_rotation_90"], side, 61)
    arm = made.posture.arms[side]
    rotation = np.degrees(external_rotation(arm.humerus, side))
    assert rotation[[0, -1]] == pytest.approx([5, 85], abs=1e-9)
    assert np.all(np.diff(rotation) > 0)
    assert np.degrees(np.ptp(plane_and_elevation(arm.humerus, side)[1])) < 2
    assert np.ptp(made.skeleton.arms[side].elbow[:, 2]) < 0.03


@every_exercise
def test_humerus_axes_are_kept_off_the_hanging_arm(name: str) -> None:
    """An exercise told in humerus axes keeps its working arms above 15 degrees; others use the thorax.

    The long axis of the humerus, about which rotation is told, is clear in any position.
    """
    exercise = library()[name]
    for side in SIDES:
        made = moved(exercise, side)
        lowest = min(np.degrees(made.skeleton.arms[each].elevation.min()) for each in exercise.sides_of(side))
        assert exercise.axes == "thorax" or "rotation" in exercise.loads or lowest > 15, f"{lowest:.0f} degrees"
