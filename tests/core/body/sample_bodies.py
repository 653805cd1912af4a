"""A body, a chair and postures with plain numbers, for the tests of poses and moments."""

from __future__ import annotations

from typing import Any

import numpy as np

from firstpush.core.body.posture import ArmAngles, Posture, Skeleton, humerus_rotation, skeleton
from firstpush.core.measured import Measured
from firstpush.core.people.athlete import SIDES, Chair, Side
from firstpush.core.people.body_size import BodySize

UPPER_ARM, FOREARM, HAND = 0.30, 0.25, 0.08
REACH = UPPER_ARM + FOREARM + HAND
SHOULDER_HEIGHT, HALF_WIDTH, STATURE = 0.45, 0.18, 1.70
MASS = {"head": 5.0, "trunk": 30.0, "upper arm": 2.0, "forearm": 1.2, "hand": 0.4}
COM = {"trunk": 0.43, "upper arm": 0.57, "forearm": 0.46, "hand": 0.79}
HIP_X, HIP_Z = 0.06, 0.51 + 0.085
G = 9.81


def metres(value: float) -> Measured:
    """Return a length without spread."""
    return Measured(name="given", value=value, unit="m", spread=0.0, source="given", known="measured")


def body(**change: Any) -> BodySize:
    """Return the body of the numbers above; `upper_arm`, `forearm` and `hand` may be changed [m]."""
    given = {"upper_arm": UPPER_ARM, "forearm": FOREARM, "hand": HAND} | change
    mass: dict[tuple[str, Side | None], float] = {(name, None): MASS[name] for name in ("head", "trunk")}
    mass |= {(name, side): MASS[name] for name in ("upper arm", "forearm", "hand") for side in SIDES}
    return BodySize(
        **{name: metres(value) for name, value in given.items()},
        shoulder_height=metres(SHOULDER_HEIGHT),
        shoulder_half_width=metres(HALF_WIDTH),
        stature=metres(STATURE),
        mass=70.0,
        segment_mass=mass,
        segment_com=COM,
        missing=frozenset(),
    )


def chair() -> Chair:
    """Return a chair with its hips 6 cm before the axle and the seat at 0.51 m."""
    return Chair(
        name="court chair",
        kind="court",
        brakes=False,
        anti_tip=None,
        mass=11.0,
        seat_height=0.51,
        backrest_height=0.26,
        strap="none",
        hip_to_axle=HIP_X,
        caster_share=None,
        footplate_reach=0.60,
        wheel_diameter=0.635,
        camber=np.radians(17),
        hub_width=0.45,
        wheelbase=0.41,
        overall_width=0.77,
        overall_length=0.95,
    )


def arm(side: Side, **degrees: Any) -> ArmAngles:
    """Return one arm from degrees: plane, elevation, rotation, elbow, pronation, protraction, lift (0 if not given)."""
    names = ("plane", "elevation", "rotation", "elbow", "pronation", "protraction", "lift")
    given = [np.radians(np.asarray(degrees.pop(name, 0.0), dtype=float)) for name in names]
    assert not degrees, degrees
    plane, elevation, rotation, elbow, pronation, protraction, lift = np.broadcast_arrays(*given)
    return ArmAngles(
        humerus=humerus_rotation(plane=plane, elevation=elevation, rotation=rotation, side=side),
        elbow=elbow,
        pronation=pronation,
        protraction=protraction,
        lift=lift,
    )


def posed(
    left: dict[str, Any] | None = None,
    right: dict[str, Any] | None = None,
    *,
    turn: Any = 0.0,
    flexion: Any = 0.0,
    side_bend: Any = 0.0,
    of: BodySize | None = None,
) -> Skeleton:
    """Return the skeleton for angles in degrees; an arm not given hangs."""
    arms = {"left": arm("left", **(left or {})), "right": arm("right", **(right or {}))}
    shape = np.broadcast_shapes(*(np.shape(each.elbow) for each in arms.values()), *map(np.shape, (turn, flexion)))
    trunk = (np.broadcast_to(np.radians(angle), shape) for angle in (turn, flexion, side_bend))
    trunk_turn, trunk_flexion, trunk_side_bend = trunk
    arms = {
        side: ArmAngles(
            humerus=np.broadcast_to(each.humerus, (*shape, 3, 3)),
            **{n: np.broadcast_to(getattr(each, n), shape) for n in ("elbow", "pronation", "protraction", "lift")},
        )
        for side, each in arms.items()
    }
    posture = Posture(
        trunk_turn=trunk_turn,
        trunk_flexion=trunk_flexion,
        trunk_side_bend=trunk_side_bend,
        arms=arms,  # type: ignore[arg-type]
    )
    return skeleton(of or body(), chair(), posture)


def one_arm(side: Side, *, of: BodySize | None = None, **degrees: Any) -> Skeleton:
    """Return the skeleton with one arm posed in degrees and the other hanging."""
    return posed(of=of, **{side: degrees})
