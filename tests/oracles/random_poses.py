"""Random bodies, poses and hand forces for the oracles.

The sizes and masses are drawn here as plain numbers and handed both to `BodySize` and to the oracle, so that the
oracle learns nothing from the project but where the joints are and how the segments are turned.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

import numpy as np

from firstpush.core.body.posture import ArmAngles, Posture, Skeleton, humerus_rotation, skeleton
from firstpush.core.measured import Measured
from firstpush.core.people.athlete import SIDES, Chair
from firstpush.core.people.body_size import BodySize

BODIES = 50
POSES_OF_EACH = 200
"""10,000 poses together, each with two arms."""

SEGMENTS = ("upper arm", "forearm", "hand")


@dataclass(frozen=True, kw_only=True)
class Sample:
    """One body as plain numbers (`length` [m], `mass` [kg], `com` as fraction), and its poses and hand forces [N]."""

    length: dict[str, float]
    mass: dict[Any, float]
    com: dict[str, float]
    trunk_height: float
    body: BodySize
    bones: Skeleton
    force: dict[str, np.ndarray]


def chair() -> Chair:
    """Return a chair with its hips 7 cm before the axle and the seat at 0.52 m."""
    return Chair(
        name="court chair",
        kind="court",
        brakes=False,
        anti_tip=None,
        mass=11.0,
        seat_height=0.52,
        backrest_height=0.26,
        strap="none",
        hip_to_axle=0.07,
        caster_share=None,
        footplate_reach=0.6,
        wheel_diameter=0.635,
        camber=0.3,
        hub_width=0.45,
        wheelbase=0.41,
        overall_width=0.77,
        overall_length=0.95,
    )


def metres(value: float) -> Measured:
    """Return a length without spread."""
    return Measured(name="drawn", value=value, unit="m", spread=0.0, source="drawn", known="measured")


def samples(seed: int) -> Iterator[Sample]:
    """Draw `BODIES` bodies, each with `POSES_OF_EACH` poses and a force on either hand."""
    rng = np.random.default_rng(seed)
    for _ in range(BODIES):
        length = {
            "upper arm": rng.uniform(0.2, 0.4),
            "forearm": rng.uniform(0.18, 0.34),
            "hand": rng.uniform(0.05, 0.11),
        }
        com = {name: rng.uniform(0.3, 0.8) for name in (*SEGMENTS, "trunk")}
        mass: dict[Any, float] = {("head", None): rng.uniform(3, 6), ("trunk", None): rng.uniform(15, 40)}
        mass |= {(name, side): rng.uniform(0.2, 3.0) for name in SEGMENTS for side in SIDES}
        trunk_height = rng.uniform(0.35, 0.55)
        body = BodySize(
            upper_arm=metres(length["upper arm"]),
            forearm=metres(length["forearm"]),
            hand=metres(length["hand"]),
            shoulder_height=metres(trunk_height),
            shoulder_half_width=metres(rng.uniform(0.12, 0.22)),
            stature=metres(rng.uniform(1.4, 2.0)),
            mass=70.0,
            segment_mass=mass,
            segment_com=com,
            missing=frozenset(),
        )
        n = POSES_OF_EACH
        arms = {
            side: ArmAngles(
                humerus=humerus_rotation(
                    plane=rng.uniform(-np.pi, np.pi, n),
                    elevation=rng.uniform(0, np.pi, n),
                    rotation=rng.uniform(-np.pi / 2, np.pi / 2, n),
                    side=side,
                ),
                elbow=rng.uniform(0, 2.6, n),
                pronation=rng.uniform(-1.5, 1.5, n),
                protraction=rng.uniform(-0.3, 0.4, n),
                lift=rng.uniform(-0.2, 0.3, n),
            )
            for side in SIDES
        }
        posture = Posture(
            trunk_turn=rng.uniform(-1, 1, n),
            trunk_flexion=rng.uniform(-0.6, 1, n),
            trunk_side_bend=rng.uniform(-0.6, 0.6, n),
            arms=arms,
        )
        yield Sample(
            length=length,
            mass=mass,
            com=com,
            trunk_height=trunk_height,
            body=body,
            bones=skeleton(body, chair(), posture),
            force={side: rng.normal(0, 80, (n, 3)) for side in SIDES},
        )
