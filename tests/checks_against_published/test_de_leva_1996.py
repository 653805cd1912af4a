"""de Leva 1996, Journal of Biomechanics 29:1223-1230, table 4: the shipped masses and centres of mass.

Masses and centres: read in two public data files of the table; segment lengths and the other end points of a segment:
read in a public look-up function of the same table. The paper itself was not read. Tolerances are the digits printed.
"""

import pytest

from firstpush.core.body.moments import arm_segments, upper_body_segments
from firstpush.core.body.posture import ArmAngles, Posture, humerus_rotation, skeleton
from firstpush.core.people.athlete import SIDES, Athlete, Chair
from firstpush.core.people.body_size import ARM_SEGMENTS, BodySize, body_size
from firstpush.core.tables import read_table

SEXES = ("male", "female")
ONE_SIDE = ("upper arm", "forearm", "hand", "thigh", "shank", "foot")
MASS = {  # share of body mass: male, female
    "head": (0.0694, 0.0668),
    "trunk": (0.4346, 0.4257),
    "upper trunk": (0.1596, 0.1545),
    "middle trunk": (0.1633, 0.1465),
    "lower trunk": (0.1117, 0.1247),
    "upper arm": (0.0271, 0.0255),
    "forearm": (0.0162, 0.0138),
    "hand": (0.0061, 0.0056),
    "thigh": (0.1416, 0.1478),
    "shank": (0.0433, 0.0481),
    "foot": (0.0137, 0.0129),
}
COM = {  # share of segment length from the proximal end: male, female
    "head": (0.5976, 0.5894),
    "upper trunk": (0.2999, 0.2077),
    "middle trunk": (0.4502, 0.4512),
    "lower trunk": (0.6115, 0.4920),
    "upper arm": (0.5772, 0.5754),
    "forearm": (0.4574, 0.4559),
    "hand": (0.7900, 0.7474),
    "thigh": (0.4095, 0.3612),
    "shank": (0.4395, 0.4352),
    "foot": (0.4415, 0.4014),
}
LENGTH_M = {  # of the reference man (73.0 kg, 1.741 m) and woman (61.9 kg, 1.735 m)
    "upper arm": (0.2817, 0.2751),
    "forearm": (0.2689, 0.2643),
    "hand": (0.0862, 0.0780),
}
LONG_HAND = {"length_m": (0.1879, 0.1701), "com": (0.3624, 0.3427)}
"""The hand measured from the wrist to the tip of the middle finger."""
TRUNK_FROM_BREASTBONE = {"length_m": (0.5319, 0.5293), "com": (0.4486, 0.4151)}
"""From the upper end of the breastbone (suprasternale) to the middle of the hip joints."""
TRUNK_FROM_SHOULDERS = {"length_m": (0.5155, 0.4979), "com": (0.4310, 0.3782)}
"""From the middle of the shoulder joints to the middle of the hip joints: the ends this project uses."""
REFERENCE = {"male": (73.0, 1.741), "female": (61.9, 1.735)}

both_sexes = pytest.mark.parametrize("sex", SEXES)


def closure(sex: str) -> float:
    """Return the sum of all masses of the shipped table, limbs counted twice."""
    table = read_table("de_leva_1996")
    once = sum(table.number(row, f"{sex}_mass") for row in ("head", "trunk"))
    return once + 2 * sum(table.number(row, f"{sex}_mass") for row in ONE_SIDE)


@pytest.mark.parametrize(("sex", "total"), [("male", 1.0000), ("female", 0.9999)])
def test_masses_close(sex: str, total: float) -> None:
    """Head, trunk and two of every limb add up to 1.0000 (men) and 0.9999 (women)."""
    assert closure(sex) == pytest.approx(total, abs=5e-6)


@both_sexes
def test_three_parts_of_the_trunk_add_up_to_it(sex: str) -> None:
    """Upper, middle and lower trunk are the trunk."""
    table = read_table("de_leva_1996")
    parts = sum(table.number(f"{part} trunk", f"{sex}_mass") for part in ("upper", "middle", "lower"))
    assert parts == pytest.approx(table.number("trunk", f"{sex}_mass"), abs=5e-6)


@both_sexes
@pytest.mark.parametrize("row", list(MASS))
def test_masses_as_published(sex: str, row: str) -> None:
    """Every mass to its four decimals."""
    assert read_table("de_leva_1996").number(row, f"{sex}_mass") == MASS[row][SEXES.index(sex)]


@both_sexes
@pytest.mark.parametrize("row", list(COM))
def test_centres_of_mass_as_published(sex: str, row: str) -> None:
    """Every centre of mass to its four decimals (the trunk, which has two sets of ends, stands below)."""
    assert read_table("de_leva_1996").number(row, f"{sex}_com") == COM[row][SEXES.index(sex)]


@both_sexes
def test_the_hand_is_the_short_one(sex: str) -> None:
    """0.79 of the hand to the knuckle and 0.36 of the hand to the fingertip are the same point, to half a millimetre.

    Taken with the other hand's length, either would be wrong by several centimetres, and the arm's moment with it.
    """
    i = SEXES.index(sex)
    short, long = LENGTH_M["hand"][i], LONG_HAND["length_m"][i]
    fraction = read_table("de_leva_1996").number("hand", f"{sex}_com")
    assert fraction * short == pytest.approx(LONG_HAND["com"][i] * long, abs=0.0005)
    assert abs(fraction * long - fraction * short) > 0.06


def reference(sex: str) -> BodySize:
    """Return the reference person, lengths as published and the shoulders over the hips by the trunk's length."""
    i, (mass, stature) = SEXES.index(sex), REFERENCE[sex]
    trunk = TRUNK_FROM_SHOULDERS["length_m"][i]
    athlete = Athlete(
        name="reference person",
        mass=mass,
        stature=stature,
        sex=sex,  # type: ignore[arg-type]
        missing_limbs=frozenset(),
        upper_arm=LENGTH_M["upper arm"][i],
        forearm=LENGTH_M["forearm"][i],
        hand=LENGTH_M["hand"][i],
        sitting_shoulder_height=trunk + 0.035 + 0.085,  # acromion above the joint centre, hip joint above the seat
        chairs=(),
    )
    return body_size(athlete)


def level_arms(body: BodySize):  # type: ignore[no-untyped-def]
    """Return the skeleton with both straight arms held forward."""
    angles = {
        side: ArmAngles(
            humerus=humerus_rotation(plane=1.5707963267948966, elevation=1.5707963267948966, rotation=0, side=side),
            **dict.fromkeys(("elbow", "pronation", "protraction", "lift"), 0.0),  # type: ignore[arg-type]
        )
        for side in SIDES
    }
    still = Posture(trunk_turn=0.0, trunk_flexion=0.0, trunk_side_bend=0.0, arms=angles)  # type: ignore[arg-type]
    return skeleton(body, CHAIR, still)


CHAIR = Chair(
    name="chair",
    kind="daily",
    brakes=True,
    anti_tip=None,
    mass=12.0,
    seat_height=0.50,
    backrest_height=0.40,
    strap="none",
    hip_to_axle=0.05,
    caster_share=None,
    footplate_reach=0.60,
    wheel_diameter=0.61,
    camber=0.0,
    hub_width=0.55,
    wheelbase=0.42,
    overall_width=0.65,
    overall_length=1.0,
)


@pytest.mark.parametrize(("sex", "arm_mass"), [("male", 3.606), ("female", 2.779)])
def test_arm_mass_of_the_reference_persons(sex: str, arm_mass: float) -> None:
    """(0.0271 + 0.0162 + 0.0061) 73.0 kg = 3.606 kg; (0.0255 + 0.0138 + 0.0056) 61.9 kg = 2.779 kg."""
    body = reference(sex)
    parts = arm_segments(body, level_arms(body).arms["left"], "left")
    assert sum(part.mass for part in parts.values()) == pytest.approx(arm_mass, abs=0.001)
    assert set(parts) == set(ARM_SEGMENTS)


@both_sexes
def test_the_trunk_counts_from_the_shoulder_joints(sex: str) -> None:
    """The trunk's centre of mass stands as high over the hips as published, whichever upper end it is counted from.

    (1 - 0.4486) 0.5319 = (1 - 0.4310) 0.5155 = 0.293 m for the man, (1 - 0.4151) 0.5293 = (1 - 0.3782) 0.4979 = 0.310 m
    for the woman.
    """
    i = SEXES.index(sex)
    heights = [(1 - ends["com"][i]) * ends["length_m"][i] for ends in (TRUNK_FROM_BREASTBONE, TRUNK_FROM_SHOULDERS)]
    assert heights[0] == pytest.approx(heights[1], abs=0.0002)
    bones = level_arms(reference(sex))
    trunk = next(part for part in upper_body_segments(reference(sex), bones) if part.name == "trunk")
    assert float(trunk.com[2] - bones.hip_centre[2]) == pytest.approx(heights[1], abs=0.0005)
