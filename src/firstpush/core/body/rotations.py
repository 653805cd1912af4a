"""Rotation matrices, stacked: every function takes arrays of any leading shape and returns (..., 3, 3) or (..., 3).

Written out because a movement needs them by the hundred thousand; checked in the tests against SciPy.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

Array = NDArray[np.float64]


def about_axis(axis: ArrayLike, angle: ArrayLike) -> Array:
    """Return the rotation by `angle` [rad] about a unit `axis`, by Rodrigues' formula.

    Parameters
    ----------
    axis : array (..., 3)
        Unit vector.
    angle : array (...)
        Right-handed angle [rad].

    Returns
    -------
    array (..., 3, 3)

    Examples
    --------
    >>> (about_axis([0, 0, 1], np.pi / 2) @ [1, 0, 0]).round(12) + 0.0
    array([0., 1., 0.])
    """
    axis = np.asarray(axis, dtype=float)
    angle = np.asarray(angle, dtype=float)
    shape = np.broadcast_shapes(axis.shape[:-1], angle.shape)
    x, y, z = (np.broadcast_to(axis[..., i], shape) for i in range(3))
    c, s = np.cos(angle), np.sin(angle)
    t = 1 - c
    out = np.empty((*shape, 3, 3))
    out[..., 0, 0] = c + t * x * x
    out[..., 0, 1] = t * x * y - s * z
    out[..., 0, 2] = t * x * z + s * y
    out[..., 1, 0] = t * x * y + s * z
    out[..., 1, 1] = c + t * y * y
    out[..., 1, 2] = t * y * z - s * x
    out[..., 2, 0] = t * x * z - s * y
    out[..., 2, 1] = t * y * z + s * x
    out[..., 2, 2] = c + t * z * z
    return out


def _between_axes(angle: ArrayLike, i: int, j: int) -> Array:
    """Return the rotation by `angle` [rad] that takes axis i towards axis j: half the work of `about_axis`."""
    angle = np.asarray(angle, dtype=float)
    c, s = np.cos(angle), np.sin(angle)
    out = np.zeros((*angle.shape, 3, 3))
    out[..., i, i] = out[..., j, j] = c
    out[..., 3 - i - j, 3 - i - j] = 1.0
    out[..., j, i], out[..., i, j] = s, -s
    return out


def about_x(angle: ArrayLike) -> Array:
    """Return the rotation by `angle` [rad] about X, (..., 3, 3)."""
    return _between_axes(angle, 1, 2)


def about_y(angle: ArrayLike) -> Array:
    """Return the rotation by `angle` [rad] about Y, (..., 3, 3)."""
    return _between_axes(angle, 2, 0)


def about_z(angle: ArrayLike) -> Array:
    """Return the rotation by `angle` [rad] about Z, (..., 3, 3)."""
    return _between_axes(angle, 0, 1)


def turn(rotation: Array, vector: ArrayLike) -> Array:
    """Return `rotation` (..., 3, 3) applied to `vector` (..., 3)."""
    return np.asarray((rotation @ np.asarray(vector, dtype=float)[..., None])[..., 0])


def rotation_vector(rotation: Array) -> Array:
    """Return axis times angle [rad] of `rotation` (..., 3, 3), angle 0 to pi, as (..., 3).

    At exactly pi the axis is one of two; the one returned is found from the symmetric part.
    """
    skew = np.stack(
        [
            rotation[..., 2, 1] - rotation[..., 1, 2],
            rotation[..., 0, 2] - rotation[..., 2, 0],
            rotation[..., 1, 0] - rotation[..., 0, 1],
        ],
        axis=-1,
    )
    twice_sine = np.linalg.norm(skew, axis=-1)
    cosine = (np.trace(rotation, axis1=-2, axis2=-1) - 1) / 2
    # The arc tangent keeps its digits near 0 and near pi, where the arc cosine loses half of them.
    angle = np.arctan2(twice_sine / 2, cosine)
    small = twice_sine < 1e-9
    regular = skew * np.where(small, 0.5, angle / np.where(small, 1.0, twice_sine))[..., None]
    # Near a half turn the skew part fades; the symmetric part is cos I + (1 - cos) axis axis', and the skew signs it.
    symmetric = (rotation + np.swapaxes(rotation, -1, -2)) / 2 - cosine[..., None, None] * np.eye(3)
    column = np.argmax(np.diagonal(symmetric, axis1=-2, axis2=-1), axis=-1)
    axis = np.take_along_axis(symmetric, column[..., None, None], axis=-1)[..., 0]
    length = np.linalg.norm(axis, axis=-1, keepdims=True)
    sign = np.where(np.sum(axis * skew, axis=-1, keepdims=True) < 0, -1.0, 1.0)
    near_half_turn = (cosine < -0.9)[..., None]
    turned = axis / np.where(near_half_turn, length, 1.0) * sign * angle[..., None]
    return np.asarray(np.where(near_half_turn, turned, regular))


def geodesic(start: Array, end: Array, share: ArrayLike) -> Array:
    """Return the rotations on the shortest way from `start` to `end`.

    Parameters
    ----------
    start, end : array (3, 3)
    share : array (n,)
        0 at `start`, 1 at `end`.

    Returns
    -------
    array (n, 3, 3)

    Source
    ------
    The same curve as spherical linear interpolation of quaternions (Shoemake 1985).
    """
    vector = rotation_vector(np.swapaxes(start, -1, -2) @ end)
    angle = float(np.linalg.norm(vector))
    axis = vector / angle if angle > 0 else np.array([0.0, 0.0, 1.0])
    return np.asarray(start @ about_axis(axis, np.asarray(share, dtype=float) * angle))
