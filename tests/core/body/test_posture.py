"""The pose convention, read off as with a goniometer, for both sides.

World X forward, Y left, Z up. `out` is away from the midline: +Y for the left arm, -Y for the right one.
"""

from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from sample_bodies import (
    FOREARM,
    HALF_WIDTH,
    HAND,
    HIP_X,
    HIP_Z,
    SHOULDER_HEIGHT,
    STATURE,
    UPPER_ARM,
    body,
    chair,
    posed,
)
from sample_bodies import one_arm as pose
from scipy.spatial.transform import Rotation

from firstpush.core.body.movement import movement
from firstpush.core.body.posture import (
    SIGN,
    external_rotation,
    hip_centre,
    humerus_rotation,
    plane_and_elevation,
)
from firstpush.core.exercises.loader import library
from firstpush.core.people.athlete import SIDES, Side

both_sides = pytest.mark.parametrize("side", SIDES)
WAYS: dict[str, tuple[float, float, float]] = {
    "forward": (1, 0, 0),
    "back": (-1, 0, 0),
    "up": (0, 0, 1),
    "down": (0, 0, -1),
    "out": (0, 1, 0),
    "in": (0, -1, 0),
}
"""As seen by the left arm; the right one has Y reversed."""


def way(name: str, side: Side) -> np.ndarray:
    """Return a named direction for one side."""
    return np.array(WAYS[name]) * (1, SIGN[side], 1)


@both_sides
@pytest.mark.parametrize(
    ("angles", "upper_arm", "forearm"),
    [
        ({"elbow": 90}, "down", "forward"),
        ({"elbow": 90, "rotation": 90}, "down", "out"),
        ({"elbow": 90, "rotation": -90}, "down", "in"),
        ({"elevation": 90, "elbow": 90}, "out", "forward"),
        ({"elevation": 90, "elbow": 90, "rotation": 90}, "out", "up"),
        ({"elevation": 90, "elbow": 90, "rotation": -90}, "out", "down"),
        ({"plane": 90, "elevation": 90, "elbow": 90}, "forward", "up"),
        ({"plane": 90, "elevation": 90, "elbow": 90, "rotation": 90}, "forward", "out"),
        ({"plane": 90, "elevation": 90, "elbow": 90, "rotation": -90}, "forward", "in"),
        ({"plane": -90, "elevation": 90, "elbow": 90}, "back", "down"),
        ({"plane": -90, "elevation": 90, "elbow": 90, "rotation": 90}, "back", "out"),
        ({"plane": 180, "elevation": 90, "elbow": 90}, "in", "forward"),
        ({"elevation": 90}, "out", "out"),
        ({"elevation": 90, "elbow": 90, "rotation": 90, "pronation": 70}, "out", "up"),
    ],
)
def test_the_arm_reads_like_a_goniometer(side: Side, angles: dict[str, float], upper_arm: str, forearm: str) -> None:
    """The upper arm and the forearm point where a clinician would say."""
    arm = pose(side, **angles).arms[side]
    assert np.allclose((arm.elbow - arm.shoulder) / UPPER_ARM, way(upper_arm, side), atol=1e-12)
    assert np.allclose((arm.wrist - arm.elbow) / FOREARM, way(forearm, side), atol=1e-12)
    assert np.allclose((arm.hand - arm.wrist) / HAND, way(forearm, side), atol=1e-12), "the wrist is neutral"


@both_sides
def test_an_arm_behind_is_behind_and_below(side: Side) -> None:
    """Extension of 40 degrees puts the hand behind the shoulder by sin 40 of the reach, and beside it by nothing."""
    arm = pose(side, plane=-90, elevation=40).arms[side]
    reach = UPPER_ARM + FOREARM + HAND
    expected = [-reach * np.sin(np.radians(40)), 0.0, -reach * np.cos(np.radians(40))]
    assert np.allclose(arm.hand - arm.shoulder, expected, atol=1e-12)


@both_sides
@pytest.mark.parametrize(("pronation", "thumb"), [(0, "up"), (90, "in"), (-90, "out")])
def test_pronation_turns_the_thumb_inwards(side: Side, pronation: float, thumb: str) -> None:
    """Elbow bent, forearm forward: neutral has the thumb up; pronation (palm down) has it inwards."""
    arm = pose(side, elbow=90, pronation=pronation).arms[side]
    assert np.allclose(arm.forearm_frame[..., 0], way(thumb, side), atol=1e-12)


@pytest.mark.parametrize(
    ("trunk", "head_moves", "chest_faces"),
    [
        ({"turn": 90}, None, (0, 1, 0)),
        ({"turn": -90}, None, (0, -1, 0)),
        ({"flexion": 30}, (1, 0), (np.cos(np.pi / 6), 0, -0.5)),
        ({"side_bend": 30}, (0, -1), (1, 0, 0)),
    ],
)
def test_trunk_turns_left_bends_forward_and_to_the_right(
    trunk: dict[str, float], head_moves: tuple[int, int] | None, chest_faces: tuple[float, float, float]
) -> None:
    """Turn + is to the left, flexion + forward, side bend + to the right; the hips stay."""
    still, moved = posed(), posed(**trunk)
    assert np.allclose(moved.thorax_frame[..., 0], chest_faces, atol=1e-12)
    shift = (moved.neck - still.neck)[:2]
    if head_moves is None:
        assert np.allclose(shift, 0, atol=1e-12)
    else:
        assert np.allclose(shift / np.linalg.norm(shift), head_moves, atol=1e-12)
    assert np.allclose(moved.hip_centre, hip_centre(chair()))


def test_trunk_order_is_bend_then_flex_then_turn() -> None:
    """Rz turn, Ry flexion, Rx side bend: SciPy's intrinsic ZYX."""
    frame = posed(turn=35, flexion=20, side_bend=-15).thorax_frame
    assert np.allclose(frame, Rotation.from_euler("ZYX", [35, 20, -15], degrees=True).as_matrix(), atol=1e-12)


@both_sides
def test_the_shoulder_is_where_the_sizes_put_it(side: Side) -> None:
    """At rest: over the hips by the shoulder height, beside the midline by the half width."""
    arm = pose(side).arms[side]
    assert np.allclose(arm.shoulder, [HIP_X, SIGN[side] * HALF_WIDTH, HIP_Z + SHOULDER_HEIGHT], atol=1e-12)


@both_sides
def test_protraction_is_forward_and_lift_is_up(side: Side) -> None:
    """The shoulder centre moves on an arc of the clavicle's length about the sternoclavicular joint."""
    rest, forward, lifted = (pose(side, **given).arms[side] for given in ({}, {"protraction": 15}, {"lift": 15}))
    across, ahead = HALF_WIDTH - 0.025 * STATURE, 0.025 * STATURE
    c, s = np.cos(np.radians(15)), np.sin(np.radians(15))
    expected_forward = [across * s - ahead * c + ahead, SIGN[side] * (across * c + ahead * s - across), 0]
    assert np.allclose(forward.shoulder - rest.shoulder, expected_forward, atol=1e-12)
    expected_lift = [0, SIGN[side] * across * (c - 1), across * s]
    assert np.allclose(lifted.shoulder - rest.shoulder, expected_lift, atol=1e-12)
    for moved in (forward, lifted):
        assert np.linalg.norm(moved.shoulder - moved.sternoclavicular) == pytest.approx(np.hypot(across, ahead))


@both_sides
def test_the_clavicle_rises_with_the_arm_beyond_thirty_degrees(side: Side) -> None:
    """Up to 30 degrees it rests; at 130 degrees it has risen by 0.15 of the other hundred."""
    rest, low, high = (pose(side, elevation=angle).arms[side] for angle in (0, 30, 130))
    assert np.allclose(low.shoulder, rest.shoulder, atol=1e-12)
    across = HALF_WIDTH - 0.025 * STATURE
    assert high.shoulder[2] - rest.shoulder[2] == pytest.approx(across * np.sin(np.radians(0.15 * 100)))


def isb_angles(humerus: np.ndarray, side: Side) -> np.ndarray:
    """Return Y-X-Y angles of a right arm in axes X forward, Y up, Z right; a left arm is mirrored first."""
    mirror = np.diag([1, SIGN[side] * -1, 1])
    to_isb = np.array([[1, 0, 0], [0, 0, 1], [0, -1, 0]])
    right = mirror @ humerus @ mirror
    return Rotation.from_matrix(to_isb @ right @ to_isb.T).as_euler("YXY")


@both_sides
@pytest.mark.parametrize(("plane", "elevation", "rotation"), [(0, 60, 0), (90, 45, 20), (40, 100, -30), (-50, 30, 10)])
def test_isb_angles_follow_from_plane_elevation_and_rotation(
    side: Side, plane: float, elevation: float, rotation: float
) -> None:
    """Plane of elevation is the same, elevation is negative, axial rotation is internal and counts the plane too.

    Convention of Wu 2005 (plane 0 abduction and 90 flexion, elevation negative, internal rotation positive), from
    memory.
    """
    humerus = humerus_rotation(
        plane=np.radians(plane), elevation=np.radians(elevation), rotation=np.radians(rotation), side=side
    )
    found = np.degrees(isb_angles(humerus, side))
    expected = np.array([plane, elevation, -(rotation + plane)])
    if found[1] < 0:
        expected = np.array([plane, -elevation, -(rotation + plane)])
    else:  # the other of the two equal solutions of Y-X-Y
        expected = np.array([plane + 180, elevation, -(rotation + plane) - 180])
    assert np.allclose((found - expected + 180) % 360 - 180, 0, atol=1e-9)


ANGLE = st.floats(-3.1, 3.1)


@given(ANGLE, st.floats(1e-3, 3.1), ANGLE, st.sampled_from(SIDES))
def test_plane_elevation_and_rotation_come_back(plane: float, elevation: float, rotation: float, side: Side) -> None:
    """What is authored is what is read off, on both sides, away from the arm straight up."""
    humerus = humerus_rotation(plane=plane, elevation=elevation, rotation=rotation, side=side)
    found_plane, found_elevation = plane_and_elevation(humerus, side)
    assert float(found_plane) == pytest.approx(plane, abs=1e-9)
    assert float(found_elevation) == pytest.approx(elevation, abs=1e-9)
    assert float(external_rotation(humerus, side)) == pytest.approx(rotation, abs=1e-9)


@given(ANGLE, st.sampled_from(SIDES))
def test_rotation_of_a_hanging_arm_comes_back(rotation: float, side: Side) -> None:
    """By the side, where plane means nothing, rotation still does."""
    humerus = humerus_rotation(plane=1.0, elevation=0.0, rotation=rotation, side=side)
    assert float(external_rotation(humerus, side)) == pytest.approx(rotation, abs=1e-9)


@given(ANGLE, st.floats(0, 3.1), ANGLE)
def test_left_and_right_mirror(plane: float, elevation: float, rotation: float) -> None:
    """The same clinical angles give humerus frames mirrored in the sagittal plane."""
    mirror = np.diag([1, -1, 1])
    left, right = (humerus_rotation(plane=plane, elevation=elevation, rotation=rotation, side=side) for side in SIDES)
    assert np.allclose(mirror @ left @ mirror, right, atol=1e-14)


@pytest.mark.parametrize("name", list(library()))
def test_every_exercise_is_mirrored_from_side_to_side(name: str) -> None:
    """Done to the left and to the right, every point of both arms, neck and head is mirrored in every frame."""
    left, right = (movement(library()[name], body(), chair(), side=side).skeleton for side in SIDES)
    flip: Any = np.array([1, -1, 1])
    for point in ("sternoclavicular", "shoulder", "elbow", "wrist", "hand"):
        for side, other in (("left", "right"), ("right", "left")):
            a, b = getattr(left.arms[side], point), getattr(right.arms[other], point)  # type: ignore[index]
            assert np.allclose(a * flip, b, atol=1e-10), f"{point} of the {side} arm"
    assert np.allclose(left.neck * flip, right.neck, atol=1e-12)
    assert np.allclose(left.head * flip, right.head, atol=1e-12)


@both_sides
def test_bones_keep_their_length_in_every_frame(side: Side) -> None:
    """Segments are rigid whatever the angles."""
    rng = np.random.default_rng(5)
    names = ("plane", "elevation", "rotation", "elbow", "pronation", "protraction")
    arm = pose(side, **{name: rng.uniform(-80, 160, 500) for name in names}).arms[side]
    for near, far, length in (
        (arm.shoulder, arm.elbow, UPPER_ARM),
        (arm.elbow, arm.wrist, FOREARM),
        (arm.wrist, arm.hand, HAND),
    ):
        assert np.allclose(np.linalg.norm(far - near, axis=-1), length, atol=1e-12)
    assert np.allclose(np.linalg.det(arm.forearm_frame), 1.0)
