"""What the band must not touch: trunk, head, thighs, arms, wheels and backrest, as capsules over the frames."""

from __future__ import annotations

from itertools import pairwise

import numpy as np

from firstpush.core.body.legs import legs
from firstpush.core.body.posture import SIGN, Skeleton
from firstpush.core.body.rotations import Array, about_axis, turn
from firstpush.core.measured import Measured
from firstpush.core.people.athlete import SIDES, Chair, Side
from firstpush.core.people.body_size import BodySize
from firstpush.core.setup.clearance import Capsules


def _share(name: str, value: float) -> Measured:
    return Measured(
        name=f"{name} radius, fraction of stature",
        value=value,
        unit="1",
        spread=0.1 * value,
        source="",
        known="our choice",
    )


TRUNK_RADIUS = _share("trunk (one of two upright capsules)", 0.062)
HEAD_RADIUS = _share("head", 0.062)
THIGH_RADIUS = _share("thigh", 0.043)
SHANK_RADIUS = _share("shank", 0.028)
UPPER_ARM_RADIUS = _share("upper arm", 0.028)
FOREARM_RADIUS = _share("forearm", 0.022)
TYRE_RADIUS = Measured(name="tyre half width", value=0.015, unit="m", spread=0.003, source="", known="our choice")
FRAME_RADIUS = Measured(name="frame tube", value=0.015, unit="m", spread=0.003, source="", known="our choice")
RING_PIECES = 12
HAND_FREE = Measured(
    name="length of band beside the hand that may touch it",
    value=0.15,
    unit="m",
    spread=0.0,
    source="a handle and the knuckles are always near",
    known="our choice",
)


def obstacles(body: BodySize, chair: Chair, bones: Skeleton, *, pulling: tuple[Side, ...]) -> Capsules:
    """Return the capsules of body and chair over the frames of `bones`.

    Parameters
    ----------
    body : BodySize
    chair : Chair
    bones : Skeleton
        Over F frames.
    pulling : tuple of str
        Arms that hold the band: their forearms do not count, the band starts there.

    Returns
    -------
    Capsules
    """
    H, frames = body.stature.value, bones.neck.shape[0]
    parts: list[tuple[str, Array, Array, float]] = []
    for side in SIDES:
        s = SIGN[side]
        low = bones.hip_centre + turn(bones.thorax_frame, (0.0, s * 0.045 * H, 0.0))
        high = bones.hip_centre + turn(bones.thorax_frame, (0.0, s * 0.060 * H, body.shoulder_height.value - 0.055 * H))
        parts.append(("trunk", low, high, TRUNK_RADIUS.value * H))
        arm = bones.arms[side]
        parts.append((f"{side} upper arm", arm.shoulder, arm.elbow, UPPER_ARM_RADIUS.value * H))
        if side not in pulling:
            parts.append((f"{side} forearm", arm.elbow, arm.hand, FOREARM_RADIUS.value * H))
    parts.append(("head", bones.head, bones.neck, HEAD_RADIUS.value * H))
    for name, (near, far), radius in _still(body, chair):
        parts.append((name, np.broadcast_to(near, (frames, 3)), np.broadcast_to(far, (frames, 3)), radius))
    return Capsules(
        names=tuple(name for name, *_ in parts),
        start=np.stack([a for _, a, _, _ in parts], axis=1),
        end=np.stack([b for _, _, b, _ in parts], axis=1),
        radius=np.array([radius for *_, radius in parts]),
    )


def _still(body: BodySize, chair: Chair) -> list[tuple[str, tuple[Array, Array], float]]:
    """Return the capsules that do not move: legs, wheels, backrest."""
    H = body.stature.value
    found: list[tuple[str, tuple[Array, Array], float]] = []
    for side, leg in legs(body, chair).items():
        knee = leg.knee if leg.knee is not None else leg.end
        found.append((f"{side} thigh", (leg.hip, knee), THIGH_RADIUS.value * H))
        if leg.knee is not None:
            found.append(
                (f"{side} shank", (leg.knee, leg.ankle if leg.ankle is not None else leg.end), SHANK_RADIUS.value * H)
            )
        radius = chair.wheel_diameter / 2
        hub = np.array([0.0, SIGN[side] * chair.hub_width / 2, radius * np.cos(chair.camber)])
        angle = np.linspace(0.0, 2 * np.pi, RING_PIECES + 1)
        ring = np.stack([radius * np.sin(angle), np.zeros_like(angle), radius * np.cos(angle)], axis=-1)
        ring = hub + turn(about_axis((1.0, 0.0, 0.0), SIGN[side] * chair.camber), ring)
        found += [(f"{side} wheel", (a, b), TYRE_RADIUS.value) for a, b in pairwise(ring)]
    top = np.array([chair.hip_to_axle - 0.14, 0.0, chair.seat_height + chair.backrest_height])
    across = np.array([0.0, 0.18, 0.0])
    found.append(("backrest", (top - across, top + across), FRAME_RADIUS.value))
    return found
