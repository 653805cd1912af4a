"""The wrist: which way it bends, and what lifting the back of the hand asks; by hand arithmetic, for both sides."""

import numpy as np
import pytest
from sample_bodies import COM, MASS, G, body, chair

from firstpush.core.body.posture import ArmAngles, Posture, Skeleton, humerus_rotation, skeleton
from firstpush.core.people.athlete import SIDES, Side
from firstpush.core.setup.loads import named_load

both_sides = pytest.mark.parametrize("side", SIDES)


def forearms_forward(*, pronation_deg: float, wrist_deg: float) -> Skeleton:
    """Return a body sitting upright, upper arms hanging, forearms level and forward."""
    arms = {
        side: ArmAngles(
            humerus=humerus_rotation(plane=0.0, elevation=0.0, rotation=0.0, side=side),
            elbow=np.radians(90.0),
            pronation=np.radians(pronation_deg),
            protraction=np.zeros(()),
            lift=np.zeros(()),
            wrist=np.radians(wrist_deg),
        )
        for side in SIDES
    }
    still = np.zeros(())
    posture = Posture(trunk_turn=still, trunk_flexion=still, trunk_side_bend=still, arms=arms)
    return skeleton(body(), chair(), posture)


@both_sides
def test_the_back_of_a_hand_held_palm_down_is_lifted_upward(side: Side) -> None:
    """Palm down, the wrist 90 degrees back: the fingers point up."""
    arm = forearms_forward(pronation_deg=90, wrist_deg=90).arms[side]
    assert np.allclose(arm.hand - arm.wrist, [0, 0, body().hand.value], atol=1e-12)


@both_sides
@pytest.mark.parametrize(("pronation_deg", "share"), [(90, 1.0), (-90, -1.0), (0, 0.0)])
def test_a_weight_in_the_hand_loads_the_wrist_by_its_lever(side: Side, pronation_deg: float, share: float) -> None:
    """10 N down on the grip: hand length × 10 palm down, the opposite palm up, nothing thumb up."""
    bones = forearms_forward(pronation_deg=pronation_deg, wrist_deg=0)
    load = named_load("wrist extension", body(), bones, side=side, attach={})
    assert load is not None
    assert float(load.levers[side] @ [0, 0, -10]) == pytest.approx(share * 10 * body().hand.value, abs=1e-12)
    hand_weight = MASS["hand"] * G * COM["hand"] * body().hand.value
    assert float(load.gravity) == pytest.approx(share * hand_weight, abs=1e-12)


@both_sides
def test_a_cuff_at_the_wrist_spares_the_wrist(side: Side) -> None:
    """What pulls on the forearm is not felt beyond it."""
    bones = forearms_forward(pronation_deg=90, wrist_deg=0)
    load = named_load("wrist extension", body(), bones, side=side, attach={side: "wrist_cuff"})
    assert load is not None
    assert np.allclose(load.levers[side], 0.0)
