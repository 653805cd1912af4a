"""Sizes and masses of the body: measured first, then arm span, then stature; masses add up to what was weighed."""

from __future__ import annotations

from dataclasses import replace
from itertools import combinations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from firstpush.core.people.athlete import SIDES, Athlete
from firstpush.core.people.athlete_file import MISSING_LIMBS, load_athlete
from firstpush.core.people.body_size import body_size
from firstpush.demo import demo_file

RUNA = load_athlete(demo_file("athlete"))
GUESSED = replace(
    RUNA, upper_arm=None, forearm=None, hand=None, sitting_shoulder_height=None, shoulder_width=None, sex="female"
)


def test_what_was_measured_is_taken_as_it_is() -> None:
    """Four lengths of the demo athlete, each with the spread of a tape: 2 %."""
    body = body_size(RUNA)
    for length, value in ((body.upper_arm, 0.308), (body.forearm, 0.241), (body.hand, 0.076)):
        assert length.value == value
        assert length.spread == pytest.approx(0.02 * value)
        assert length.known == "measured"
    # Acromion above the seat, less 3.5 cm to the joint and 8.5 cm of hip centre above the seat.
    assert body.shoulder_height.value == pytest.approx(0.55 - 0.035 - 0.085)
    assert body.reach == pytest.approx(0.308 + 0.241 + 0.076)


def test_arm_span_stands_for_stature() -> None:
    """Arm lengths are shares of the span (Drillis and Contini 1966, from memory): 0.186 and 0.146."""
    body = body_size(GUESSED)
    assert body.upper_arm.value == pytest.approx(0.186 * 1.66)
    assert body.forearm.value == pytest.approx(0.146 * 1.66)
    # Wrist to third knuckle over stature: reference man of de Leva 1996, from memory.
    assert body.hand.value == pytest.approx(0.0862 / 1.741 * 1.66)
    assert body.shoulder_height.value == pytest.approx(0.343 * 1.66 - 0.035 - 0.085)


def test_the_span_is_believed_before_the_stature() -> None:
    """Stature is weak in wheelchair athletes: it is used only where there is no span, with a wider spread."""
    by_stature = body_size(replace(GUESSED, arm_span=None, stature=1.80))
    both = body_size(replace(GUESSED, stature=1.80))
    assert both.upper_arm.value == pytest.approx(0.186 * 1.66)
    assert by_stature.upper_arm.value == pytest.approx(0.186 * 1.80)
    assert by_stature.upper_arm.spread / by_stature.upper_arm.value == pytest.approx(0.06)
    assert both.upper_arm.spread / both.upper_arm.value == pytest.approx(0.04)


def test_an_upper_arm_alone_gives_the_rest() -> None:
    """0.31 m of upper arm stand for 0.31 / 0.186 of stature."""
    body = body_size(replace(GUESSED, arm_span=None, stature=None, upper_arm=0.31))
    assert body.upper_arm.value == 0.31
    assert body.forearm.value == pytest.approx(0.146 * 0.31 / 0.186)


@pytest.mark.parametrize(
    ("sex", "share"), [("female", 0.0255 / 0.9999), ("male", 0.0271), (None, (0.0255 + 0.0271) / (0.9999 + 1.0))]
)
def test_masses_follow_the_table_by_sex(sex: object, share: float) -> None:
    """Upper arm of de Leva 1996, table 4: 2.55 % and 2.71 % of body mass, over what the column adds up to."""
    body = body_size(replace(GUESSED, sex=sex, mass=60.0))  # type: ignore[arg-type]
    assert body.arm_mass("upper arm", "left") == pytest.approx(60.0 * share, rel=1e-3)


@given(
    mass=st.floats(30, 150),
    missing=st.frozensets(st.sampled_from(MISSING_LIMBS), max_size=4),
    sex=st.sampled_from(["female", "male", None]),
)
def test_the_parts_add_up_to_what_was_weighed(mass: float, missing: frozenset[str], sex: object) -> None:
    """Whatever is missing: no part weighs less than nothing, and all together weigh what the scale said."""
    body = body_size(replace(GUESSED, mass=mass, missing_limbs=missing, sex=sex))  # type: ignore[arg-type]
    assert sum(body.segment_mass.values()) == pytest.approx(mass)
    assert all(part >= 0 for part in body.segment_mass.values())
    assert body.upper_body_mass <= mass


def test_a_missing_part_weighs_nothing_and_the_rest_more() -> None:
    """Below the left elbow: no hand, half a forearm beside the right one, and the trunk carries more of the 58 kg."""
    whole, cut = body_size(RUNA), body_size(replace(RUNA, missing_limbs=frozenset({"left below elbow"})))
    assert cut.arm_mass("hand", "left") == 0.0
    assert cut.arm_mass("forearm", "left") == pytest.approx(0.5 * cut.arm_mass("forearm", "right"))
    assert cut.segment_mass["trunk", None] > whole.segment_mass["trunk", None]
    assert not cut.has_hand("left")
    assert cut.has_hand("right")


@pytest.mark.parametrize(
    ("longer", "shorter"), [("above knee", "below knee"), ("above knee", "foot"), ("above elbow", "hand")]
)
def test_the_higher_cut_decides(longer: str, shorter: str) -> None:
    """Two cuts on one limb are the higher one, in either order."""
    one = body_size(replace(RUNA, missing_limbs=frozenset({f"left {longer}"})))
    both = body_size(replace(RUNA, missing_limbs=frozenset({f"left {longer}", f"left {shorter}"})))
    assert one.segment_mass == pytest.approx(both.segment_mass)


def test_sides_are_alike_when_nothing_is_missing() -> None:
    """Left and right weigh the same."""
    body = body_size(RUNA)
    for name in ("upper arm", "forearm", "hand", "thigh", "shank", "foot"):
        left, right = (body.segment_mass[name, side] for side in SIDES)
        assert left == right


def test_every_limb_that_can_be_missing_takes_mass_away() -> None:
    """Each of the twelve levels, and any two of them, leave less of that limb, seen against the trunk."""

    def limb_over_trunk(athlete: Athlete, limb: str) -> float:
        side = SIDES[SIDES.index(limb.split()[0])]  # type: ignore[arg-type]
        leg = "knee" in limb or "foot" in limb
        parts = ("thigh", "shank", "foot") if leg else ("upper arm", "forearm", "hand")
        masses = body_size(athlete).segment_mass
        return sum(masses[part, side] for part in parts) / masses["trunk", None]

    for limbs in (*((limb,) for limb in MISSING_LIMBS), *combinations(MISSING_LIMBS, 2)):
        athlete = replace(RUNA, missing_limbs=frozenset(limbs))
        for limb in limbs:
            assert limb_over_trunk(athlete, limb) < limb_over_trunk(RUNA, limb)
