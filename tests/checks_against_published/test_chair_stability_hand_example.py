"""The chair example worked by hand in this project's mechanics notes (own hand arithmetic, not a publication).

Athlete and chair 90 kg, centre of mass 0.12 m before the axle, wheelbase 0.40 m, wheels of 0.30 m radius, no camber;
a pull of 150 N at 1.00 m height:

            P o--> F (150 N; forwards, or backwards in the mirror of this drawing)
              |
        1.00  |    C o          W = 90 * 9.81 = 882.9 N, acts 0.12 before the axle
              |      | W
     axle  (--o--)   v    o
    floor ====A===========B====     A origin, rear contacts; B casters, 0.40 before A
              ^ N_rear    ^ N_casters
"""

from typing import Any

import numpy as np
import pytest

from firstpush.core.setup.chair_stability import ChairStability, Footprint, chair_stability

W = 90 * 9.81


def stability(pull: list[float], *, anti_tip: float | None = None, **other: Any) -> ChairStability:
    """Return the stability of the drawn chair under one pull at 1.00 m."""
    given: dict[str, Any] = {"blocking": "brakes", "friction": 0.6, "rolling": 0.015} | other
    return chair_stability(
        weight=W,
        centre_of_mass=[0.12, 0.0, 0.65],
        hand_positions=[[0.30, 0.0, 1.00]],
        pulls=[pull],
        footprint=Footprint(wheelbase=0.40, track=0.70, axle_height=0.30, anti_tip=anti_tip),
        **given,
    )


def test_backward_on_brakes_pivots_at_the_floor() -> None:
    """A factor of 0.71: it tips before the 150 N are reached."""
    assert stability([-150, 0, 0]).tips_backward == pytest.approx(W * 0.12 / (150 * 1.00))
    assert round(float(stability([-150, 0, 0]).tips_backward), 2) == 0.71


def test_backward_between_chocks_pivots_at_the_axle() -> None:
    """A factor of 1.01."""
    chocked = stability([-150, 0, 0], blocking="chocks", chock_height=0.08)
    assert chocked.tips_backward == pytest.approx(W * 0.12 / (150 * (1.00 - 0.30)))
    assert round(float(chocked.tips_backward), 2) == 1.01


def test_anti_tip_moves_the_rear_edge_back() -> None:
    """A factor of 2.00 over an anti-tip wheel 0.22 m behind the axle; the casters lift before that."""
    held = stability([-150, 0, 0], anti_tip=0.22)
    assert held.tips_backward == pytest.approx(W * (0.12 + 0.22) / 150)
    assert round(float(held.tips_backward), 2) == 2.00
    assert held.casters_lift


def test_forward_over_the_casters() -> None:
    """A factor of 1.65, that is 247 N."""
    forward = stability([150, 0, 0])
    assert forward.tips_forward == pytest.approx(W * 0.28 / 150)
    assert round(float(forward.tips_forward), 2) == 1.65
    assert round(float(forward.tips_forward) * 150) == 247


def test_free_chair_rolls() -> None:
    """Above 13.2 N at a rolling resistance of 0.015."""
    free = stability([150, 0, 0], blocking="free")
    assert float(free.rolls) * 150 == pytest.approx(0.015 * W)
    assert round(float(free.rolls) * 150, 1) == 13.2
    assert free.governing_mode == "rolls"


def test_braked_chair_slides_before_it_tips_forward() -> None:
    """It slides at 148 N: the pull F takes load off the rear wheels, F = 0.6 (W 0.28 - F 1.00) / 0.40."""
    braked = stability([150, 0, 0])
    assert float(braked.slides) * 150 == pytest.approx(0.6 * W * 0.28 / (0.40 + 0.6 * 1.00))
    assert round(float(braked.slides) * 150) == 148
    assert braked.governing_mode == "slides"


def test_five_centimetre_chock_is_climbed() -> None:
    """At 190 N: the wheel turns freely, so its reaction passes through the axle and the arm is 1.00 - 0.30.

    The notes give 154 N, which is the same sum with the arm 1.00 of a reaction on the floor; the chock's push on a
    wheel that turns freely cannot act there (docs/why/stability.md).
    """
    ratio = np.sqrt(2 * 0.30 * 0.05 - 0.05**2) / (0.30 - 0.05)
    chocked = stability([150, 0, 0], blocking="chocks", chock_height=0.05)
    assert float(chocked.climbs) * 150 == pytest.approx(ratio * W * 0.28 / (0.40 + ratio * (1.00 - 0.30)))
    assert round(float(chocked.climbs) * 150) == 190
    assert round(ratio * W * 0.28 / (0.40 + ratio * 1.00)) == 154


def test_second_example_with_an_anchor_in_front() -> None:
    """100 N at 1.0 m against 90 kg standing 0.15 m inside the caster contacts: 132.4 / 100, factor 1.32."""
    held = chair_stability(
        weight=W,
        centre_of_mass=[0.40 - 0.15, 0.0, 0.65],
        hand_positions=[[0.3, 0.0, 1.0]],
        pulls=[[100.0, 0, 0]],
        footprint=Footprint(wheelbase=0.40, track=0.70, axle_height=0.30, anti_tip=None),
        blocking="brakes",
        friction=0.6,
        rolling=0.01,
    )
    assert round(float(held.tips_forward), 2) == 1.32
