"""Rotations against SciPy."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.spatial.transform import Rotation, Slerp

from firstpush.core.body.rotations import about_axis, about_x, about_y, about_z, geodesic, rotation_vector, turn

ANGLES = st.floats(-np.pi, np.pi)


def axes(n: int, seed: int = 0) -> np.ndarray:
    """Return `n` random unit vectors."""
    drawn = np.random.default_rng(seed).normal(size=(n, 3))
    return drawn / np.linalg.norm(drawn, axis=-1, keepdims=True)


def test_about_axis_is_scipys_rotation_by_a_vector() -> None:
    """Stacked axes and angles give SciPy's matrices."""
    axis, angle = axes(1000), np.random.default_rng(1).uniform(-7, 7, 1000)
    assert np.allclose(about_axis(axis, angle), Rotation.from_rotvec(axis * angle[:, None]).as_matrix(), atol=1e-14)


@pytest.mark.parametrize(("about", "letter"), [(about_x, "x"), (about_y, "y"), (about_z, "z")])
def test_single_axes_are_scipys(about, letter) -> None:  # type: ignore[no-untyped-def]
    """A turn about X, Y or Z is SciPy's, in any leading shape."""
    angle = np.linspace(-4, 4, 12).reshape(3, 4)
    expected = Rotation.from_euler(letter, angle.reshape(-1, 1)).as_matrix().reshape(3, 4, 3, 3)
    assert np.allclose(about(angle), expected, atol=1e-14)


def test_turn_applies_a_rotation_to_a_vector() -> None:
    """Stacked rotations turn one vector or a stack of them."""
    axis, angle = axes(50), np.linspace(0, 3, 50)
    rotation, vectors = Rotation.from_rotvec(axis * angle[:, None]), axes(50, seed=3)
    assert np.allclose(turn(rotation.as_matrix(), vectors), rotation.apply(vectors), atol=1e-14)
    assert np.allclose(turn(rotation.as_matrix(), [1, 2, 3]), rotation.apply([1, 2, 3]), atol=1e-14)


@given(ANGLES, ANGLES, ANGLES)
def test_rotation_vector_is_scipys(a: float, b: float, c: float) -> None:
    """The rotation vector is SciPy's; at a half turn either sign is right, so the rotations are compared."""
    rotation = Rotation.from_euler("xyz", [a, b, c])
    found = rotation_vector(rotation.as_matrix())
    assert np.linalg.norm(found) == pytest.approx(rotation.magnitude(), abs=1e-12)
    assert (Rotation.from_rotvec(found) * rotation.inv()).magnitude() < 1e-12


@pytest.mark.parametrize("short_of_half_turn", [1e-2, 1e-4, 1e-6, 1.1e-6, 9e-7, 1e-8, 1e-12, 0.0])
def test_rotation_vector_keeps_its_digits_near_a_half_turn(short_of_half_turn: float) -> None:
    """Nearly half a turn, about any axis, comes back to twelve digits and with the right sign."""
    given = axes(500) * (np.pi - short_of_half_turn)
    found = rotation_vector(Rotation.from_rotvec(given).as_matrix())
    apart = (Rotation.from_rotvec(found) * Rotation.from_rotvec(given).inv()).magnitude()
    assert apart.max() < 1e-12


@pytest.mark.parametrize("angle", [0.0, 1e-12, 1e-9, 1e-7, 1e-4])
def test_rotation_vector_of_a_small_turn(angle: float) -> None:
    """A small turn comes back to rounding error."""
    given = axes(200) * angle
    assert np.allclose(rotation_vector(Rotation.from_rotvec(given).as_matrix()), given, rtol=0, atol=3e-16)


@pytest.mark.parametrize("seed", range(20))
def test_geodesic_is_scipys_slerp(seed: int) -> None:
    """The way from one rotation to another is that of spherical linear interpolation."""
    ends = Rotation.from_quat(np.random.default_rng(seed).normal(size=(2, 4)))
    share = np.linspace(0, 1, 41)
    expected = Slerp([0, 1], ends)(share).as_matrix()
    assert np.allclose(geodesic(*ends.as_matrix(), share), expected, atol=1e-12)


def test_geodesic_between_equal_rotations_stays() -> None:
    """From a rotation to itself nothing moves."""
    rotation = Rotation.from_euler("xyz", [0.3, -1.0, 2.0]).as_matrix()
    assert np.allclose(geodesic(rotation, rotation, np.linspace(0, 1, 5)), rotation, atol=1e-15)


def test_geodesic_meets_its_end_after_nearly_a_half_turn() -> None:
    """Where the shortest way is all but ambiguous, it still arrives."""
    start = Rotation.from_euler("xyz", [0.3, -1.0, 2.0])
    end = start * Rotation.from_rotvec(axes(1)[0] * (np.pi - 1e-6))
    assert np.allclose(geodesic(start.as_matrix(), end.as_matrix(), [1.0])[0], end.as_matrix(), atol=1e-12)
