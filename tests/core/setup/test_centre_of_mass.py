"""Centre of mass of athlete and chair, and how a scale under the casters puts it right.

      C o                      moments about A:  share x W x wheelbase = W x
        | W
A =======v======= B
^ (1 - share) W   ^ share W    x = wheelbase x share
"""

import math
from typing import Any

import numpy as np
import pytest

from firstpush.core.errors import OutOfRangeError
from firstpush.core.people.athlete import Chair
from firstpush.core.setup.centre_of_mass import (
    SPREAD_FROM_SCALE,
    SPREAD_FROM_SEGMENTS,
    centre_of_mass,
    chair_centre,
    set_by_caster_share,
)

MASSES = np.array([40.0, 3.0, 3.0, 24.0])
SITTING = np.array([[0.05, 0, 0.85], [0.2, 0.2, 0.8], [0.2, -0.2, 0.8], [0.35, 0, 0.45]])
CHAIR = {"chair_mass": 12.0, "chair_position": [0.12, 0, 0.35]}


def test_centre_is_the_mean_by_mass() -> None:
    """82 kg: sums of mass times place, left as arithmetic; the weight is 82 g."""
    both = centre_of_mass(segment_masses=MASSES, segment_positions=SITTING, **CHAIR)  # type: ignore[arg-type]
    assert both.mass == 82
    assert both.weight == pytest.approx(82 * 9.81)
    assert both.position[0] == pytest.approx((40 * 0.05 + 6 * 0.2 + 24 * 0.35 + 12 * 0.12) / 82)
    assert both.position[1] == pytest.approx(0)
    assert both.position[2] == pytest.approx((40 * 0.85 + 6 * 0.8 + 24 * 0.45 + 12 * 0.35) / 82)
    assert both.spread_forward is SPREAD_FROM_SEGMENTS


def test_an_arm_reached_out_moves_the_centre_by_its_share() -> None:
    """3 kg moved 0.5 m forward move 82 kg by 3 x 0.5 / 82, frame by frame."""
    frames = np.stack([SITTING, SITTING + np.array([[0, 0, 0], [0.5, 0, 0], [0, 0, 0], [0, 0, 0]])])
    both = centre_of_mass(segment_masses=MASSES, segment_positions=frames, **CHAIR)  # type: ignore[arg-type]
    assert both.position[1] - both.position[0] == pytest.approx([3 * 0.5 / 82, 0, 0])


def test_scale_sets_the_resting_centre_and_leaves_the_movement() -> None:
    """28 % of the weight on casters 0.42 m before the axle puts the centre at 0.42 x 0.28."""
    frames = np.stack([SITTING, SITTING + np.array([[0, 0, 0], [0.5, 0, 0], [0, 0, 0], [0, 0, 0]])])
    given: dict[str, Any] = {"segment_masses": MASSES} | CHAIR
    moving = centre_of_mass(segment_positions=frames, **given)
    resting = centre_of_mass(segment_positions=SITTING, **given)
    weighed = set_by_caster_share(moving, resting=resting, caster_share=0.28, wheelbase=0.42)
    assert weighed.position[0, 0] == pytest.approx(0.42 * 0.28)
    assert weighed.position[1] - weighed.position[0] == pytest.approx(moving.position[1] - moving.position[0])
    assert weighed.position[:, 2] == pytest.approx(moving.position[:, 2])
    assert weighed.spread_forward is SPREAD_FROM_SCALE
    for share in (0.0, 1.0, 28.0):
        with pytest.raises(OutOfRangeError, match="weigh the casters again"):
            set_by_caster_share(moving, resting=resting, caster_share=share, wheelbase=0.42)


def test_a_negative_mass_is_refused() -> None:
    """A mistyped mass does not pass as a lighter athlete."""
    with pytest.raises(OutOfRangeError, match=r"smallest -3\.0 kg"):
        centre_of_mass(segment_masses=[40, -3], segment_positions=np.zeros((2, 3)), **CHAIR)  # type: ignore[arg-type]


def test_chair_alone_weighs_between_its_wheels_below_the_seat() -> None:
    """The chair's own centre stands between axle and casters, above the floor and below the seat."""
    chair = Chair(
        name="court chair",
        kind="court",
        brakes=False,
        anti_tip=None,
        mass=11.5,
        seat_height=0.5,
        backrest_height=0.28,
        strap="waist",
        hip_to_axle=0.06,
        caster_share=None,
        footplate_reach=0.62,
        wheel_diameter=0.63,
        camber=math.radians(18),
        hub_width=0.46,
        wheelbase=0.42,
        overall_width=0.84,
        overall_length=0.96,
    )
    x, y, z = chair_centre(chair)
    assert 0 < x < 0.42
    assert y == 0
    assert 0 < z < 0.5
