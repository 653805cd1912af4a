"""Worked examples of text books, through the project's own statics with a body made to their numbers.

The straight arm is held level; weights and levers are the example's, and where it takes g = 9.8 the mass is scaled so
that its weight is the printed one:

    S =============.=================o      muscle at a from S under an angle t: F a sin t = moment about S
      a <-- F, t   v weight          v load
"""

from dataclasses import replace

import numpy as np
import pytest

from firstpush.core.body.moments import ArmMoments, arm_moments
from firstpush.core.body.posture import ArmAngles, Posture, humerus_rotation, skeleton
from firstpush.core.measured import GRAVITY, Measured
from firstpush.core.people.athlete import SIDES, Athlete, Chair, Side
from firstpush.core.people.body_size import ARM_SEGMENTS, BodySize, body_size

both_sides = pytest.mark.parametrize("side", SIDES)
SINE_15 = np.sin(np.radians(15))
G = GRAVITY.value

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


def metres(value: float) -> Measured:
    """Return a length of the example."""
    return Measured(name="given", value=value, unit="m", spread=0.0, source="example", known="measured")


def arm_of(
    lengths: tuple[float, float, float], masses: tuple[float, float, float], coms: tuple[float, float, float]
) -> BodySize:
    """Return a body whose arms have these three lengths [m], masses [kg] and centres of mass (fractions)."""
    some = body_size(Athlete(name="example", mass=70.0, stature=1.75, sex="male", chairs=()))
    mass = some.segment_mass | {
        (name, side): kg for name, kg in zip(ARM_SEGMENTS, masses, strict=True) for side in SIDES
    }
    com = some.segment_com | dict(zip(ARM_SEGMENTS, coms, strict=True))
    upper, fore, hand = map(metres, lengths)
    return replace(some, upper_arm=upper, forearm=fore, hand=hand, segment_mass=mass, segment_com=com)


def held(body: BodySize, side: Side, *, elevation: float, elbow: float = 0.0, load_n: float = 0.0) -> ArmMoments:
    """Return the moments with the arm lifted forward by `elevation` [deg] and a load hanging from the grip."""
    angles = {
        each: ArmAngles(
            humerus=humerus_rotation(plane=np.pi / 2, elevation=np.radians(elevation), rotation=0.0, side=each),
            elbow=np.asarray(np.radians(elbow)),
            **{name: np.zeros(()) for name in ("pronation", "protraction", "lift")},
        )
        for each in SIDES
    }
    zero = np.zeros(())
    bones = skeleton(body, CHAIR, Posture(trunk_turn=zero, trunk_flexion=zero, trunk_side_bend=zero, arms=angles))
    return arm_moments(body, bones, side=side, force=[0.0, 0.0, -load_n])


def single_weight(weight_n: float, at: float, reach: float) -> BodySize:
    """Return a body whose arm weighs `weight_n` at `at` from the shoulder, with the grip at `reach` [m]."""
    upper = reach * 0.8
    return arm_of((upper, reach * 0.12, reach * 0.08), (weight_n / G, 0.0, 0.0), (at / upper, 0.5, 0.5))


@both_sides
def test_outstretched_arm(side: Side) -> None:
    """3.3 kg at 0.24 m, g 9.8: 7.762 N·m; muscle at 0.12 m under 15 degrees 250 N (249.90), joint 240 N (243.55).

    Giancoli, Physics, 7th edition, chapter 9, problem 34 with its answers (read). The book's figures have two digits.
    """
    weight = 3.3 * 9.8
    moment = float(held(single_weight(weight, 0.24, 0.52), side, elevation=90).shoulder.elevation)
    assert moment == pytest.approx(7.762, abs=0.0005)
    muscle = moment / (0.12 * SINE_15)
    assert muscle == pytest.approx(249.90, abs=0.005)
    assert muscle == pytest.approx(250, rel=0.01)
    joint = np.hypot(muscle * np.cos(np.radians(15)), weight - muscle * SINE_15)
    assert joint == pytest.approx(243.55, abs=0.005)
    assert joint == pytest.approx(240, rel=0.02)


@both_sides
def test_outstretched_arm_with_a_mug(side: Side) -> None:
    """The same arm with 8.5 kg at 0.52 m: muscle 1644 N (answer of a public forum thread, read); tolerance 0.1 %."""
    body = single_weight(3.3 * 9.8, 0.24, 0.52)
    moment = float(held(body, side, elevation=90, load_n=8.5 * 9.8).shoulder.elevation)
    assert moment / (0.12 * SINE_15) == pytest.approx(1644, rel=0.001)


@both_sides
def test_lighter_arm(side: Side) -> None:
    """2.9 kg in the same geometry, g 9.81: muscle 219.84 N (answer of a public homework page, read)."""
    moment = float(held(single_weight(2.9 * 9.81, 0.24, 0.52), side, elevation=90).shoulder.elevation)
    assert moment / (0.12 * SINE_15) == pytest.approx(219.84, abs=0.005)


@both_sides
def test_arm_with_dumbbell(side: Side) -> None:
    """F a sin t = b W + c W0 with a 0.15, b 0.30, c 0.60 m, W 40, W0 60 N, 15 degrees: 1236.4 N.

    Özkaya and Nordin, chapter 5: the form was read, the numbers are from memory.
    """
    moment = float(held(single_weight(40.0, 0.30, 0.60), side, elevation=90, load_n=60.0).shoulder.elevation)
    assert moment / (0.15 * SINE_15) == pytest.approx(1236.4, abs=0.05)


@both_sides
def test_forearm_with_dumbbell(side: Side) -> None:
    """Elbow at 90 degrees: (0.15 20 + 0.35 80) / 0.04 = 775 N of biceps.

    Özkaya and Nordin, example 5.1, from memory.
    """
    body = arm_of((0.30, 0.27, 0.08), (2.0, 20.0 / G, 0.0), (0.5, 0.15 / 0.27, 0.5))
    moment = float(held(body, side, elevation=0, elbow=90, load_n=80.0).elbow_flexion)
    assert moment / 0.04 == pytest.approx(775, abs=1e-6)


@both_sides
def test_arm_of_forty_newtons(side: Side) -> None:
    """40 N at 0.38 m, muscle at 0.17 m under 15 degrees: 15.20 N·m and 345.46 N (question and answer read)."""
    moment = float(held(single_weight(40.0, 0.38, 0.70), side, elevation=90).shoulder.elevation)
    assert moment == pytest.approx(15.20, abs=0.005)
    assert moment / (0.17 * SINE_15) == pytest.approx(345.46, abs=0.005)


DEMPSTER = {  # share of body mass, centre of mass from the proximal end: Winter 2009, table 4.1 (read twice)
    "upper arm": (0.028, 0.436),
    "forearm": (0.016, 0.430),
    "hand": (0.006, 0.506),
    "total arm": (0.050, 0.530),  # its length ends at the wrist
}
DRILLIS_CONTINI = {"upper arm": 0.186, "forearm": 0.146, "hand": 0.108}
"""Share of stature (Winter, figure 4.1, from memory)."""


@both_sides
def test_dempsters_arm_in_three_parts_and_in_one(side: Side) -> None:
    """80 kg, 1.80 m, arm held level: 12.11 N·m by three segments, 12.43 N·m by the row of the whole arm, within 3 %."""
    lengths = [share * 1.80 for share in DRILLIS_CONTINI.values()]
    three = arm_of(
        tuple(lengths),  # type: ignore[arg-type]
        tuple(DEMPSTER[name][0] * 80 for name in ARM_SEGMENTS),  # type: ignore[arg-type]
        tuple(DEMPSTER[name][1] for name in ARM_SEGMENTS),  # type: ignore[arg-type]
    )
    share, com = DEMPSTER["total arm"]
    one = single_weight(share * 80 * G, com * (lengths[0] + lengths[1]), sum(lengths))
    in_three, in_one = (float(held(body, side, elevation=90).shoulder.elevation) for body in (three, one))
    assert in_three == pytest.approx(12.11, abs=0.005)
    assert in_one == pytest.approx(12.43, abs=0.005)
    assert in_three == pytest.approx(in_one, rel=0.03)


@both_sides
@pytest.mark.parametrize(
    ("sex", "mass", "stature", "lengths", "shoulder", "elbow"),
    [
        ("male", 73.0, 1.741, (0.2817, 0.2689, 0.0862), 10.55, 2.90),
        ("female", 61.9, 1.735, (0.2751, 0.2643, 0.0780), 7.80, 2.11),
    ],
)
def test_de_levas_reference_persons(
    side: Side,
    sex: str,
    mass: float,
    stature: float,
    lengths: tuple[float, float, float],
    shoulder: float,
    elbow: float,
) -> None:
    """Arm held level: 10.55 and 2.90 N·m for the man, 7.80 and 2.11 N·m for the woman.

    Masses and centres from the shipped table (de Leva 1996); lengths of the reference persons read in a public look-up
    function of its table 4. The moments are this project's arithmetic on them, done by hand beforehand.
    """
    upper, fore, hand = lengths
    body = body_size(
        Athlete(
            name="reference person",
            mass=mass,
            stature=stature,
            sex=sex,  # type: ignore[arg-type]
            missing_limbs=frozenset(),
            upper_arm=upper,
            forearm=fore,
            hand=hand,
            chairs=(),
        )
    )
    found = held(body, side, elevation=90)
    assert float(found.shoulder.elevation) == pytest.approx(shoulder, abs=0.01)
    assert float(found.elbow_flexion) == pytest.approx(elbow, abs=0.01)
