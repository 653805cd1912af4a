"""Joint moments against free-body diagrams drawn by hand, symmetry and conservation.

u, f, h are the lengths of upper arm, forearm and hand (to the grip); L = u + f + h. D is the lever sum of the weights
of a straight arm, D = m_u c_u u + m_f (u + c_f f) + m_h (u + f + c_h h), so that held level it asks for g D.
"""

from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from sample_bodies import (
    COM,
    FOREARM,
    HALF_WIDTH,
    HAND,
    HIP_X,
    HIP_Z,
    MASS,
    REACH,
    SHOULDER_HEIGHT,
    STATURE,
    UPPER_ARM,
    G,
    body,
    chair,
    one_arm,
    posed,
)

from firstpush.core.body.moments import arm_moments, arm_segments, shoulder_axes, trunk_moment, upper_body_segments
from firstpush.core.body.posture import SIGN, ArmPoints, Skeleton
from firstpush.core.body.rotations import about_z, turn
from firstpush.core.people.athlete import SIDES, Athlete, Side
from firstpush.core.people.body_size import body_size

both_sides = pytest.mark.parametrize("side", SIDES)
PULL = 30.0
D = (
    MASS["upper arm"] * COM["upper arm"] * UPPER_ARM
    + MASS["forearm"] * (UPPER_ARM + COM["forearm"] * FOREARM)
    + MASS["hand"] * (UPPER_ARM + FOREARM + COM["hand"] * HAND)
)
CLINICAL = ("elevation", "horizontal_adduction", "external_rotation", "flexion", "abduction", "axial")
PULLS = {"front": (1, 0, 0), "behind": (-1, 0, 0), "side": (0, 1, 0), "above": (0, 0, 1), "below": (0, 0, -1)}
"""Where the band goes to, as seen by the left arm; "side" is the side of the working arm."""


def towards(anchor: str, side: Side) -> np.ndarray:
    """Return the pull of 30 N to an anchor on one side [N]."""
    return PULL * np.array(PULLS[anchor]) * (1, SIGN[side], 1)


@both_sides
@pytest.mark.parametrize(
    ("plane", "anchor", "elevation", "adduction"),
    [
        # plane, anchor, what the band asks of elevation and of horizontal adduction in units of pull times reach
        (0, "front", 0, -1),
        (0, "behind", 0, +1),
        (0, "side", 0, 0),
        (0, "above", -1, 0),
        (0, "below", +1, 0),
        (90, "front", 0, 0),
        (90, "behind", 0, 0),
        (90, "side", 0, +1),
        (90, "above", -1, 0),
        (90, "below", +1, 0),
        (-90, "front", 0, 0),
        (-90, "behind", 0, 0),
        (-90, "side", 0, -1),
        (-90, "above", -1, 0),
        (-90, "below", +1, 0),
    ],
)
def test_level_straight_arm_by_hand(side: Side, plane: float, anchor: str, elevation: int, adduction: int) -> None:
    """A straight arm held level: weight asks for elevation g D, the band for 30 N times L or for nothing.

    Seen from above, left arm, X up the page:

        plane 90            plane 0                plane -90
           H -> side                                   S
           |                 front ^                   |
           |                       |                   |
           S                 H-----+--- S              H -> side
                             L ----->                  (out)

    Pulled forward in plane 0 the arm must be held back (horizontal abduction, negative); pulled sideways in plane 90
    it must be held in (positive); behind the body the same pull must be held back again. Along the arm a band asks for
    nothing, upwards it takes weight off, and no pull at a straight arm asks for rotation.
    """
    bones = one_arm(side, plane=plane, elevation=90)
    moment = arm_moments(body(), bones, side=side, force=towards(anchor, side)).shoulder
    assert float(moment.elevation) == pytest.approx(G * D + elevation * PULL * REACH, abs=1e-9)
    assert float(moment.horizontal_adduction) == pytest.approx(adduction * PULL * REACH, abs=1e-9)
    assert float(moment.external_rotation) == pytest.approx(0, abs=1e-9)


@both_sides
@pytest.mark.parametrize(
    ("plane", "elevation", "anchor", "flexion", "abduction", "axial"),
    [
        (90, 90, "below", G * D + PULL * REACH, 0, 0),
        (-90, 90, "below", -G * D - PULL * REACH, 0, 0),
        (0, 90, "below", 0, G * D + PULL * REACH, 0),
        (0, 90, "front", 0, G * D, PULL * REACH),
        (0, 0, "front", -PULL * REACH, 0, 0),
        (0, 0, "behind", PULL * REACH, 0, 0),
        (0, 0, "side", 0, -PULL * REACH, 0),
    ],
)
def test_thorax_axes_by_hand(
    side: Side, plane: float, elevation: float, anchor: str, flexion: float, abduction: float, axial: float
) -> None:
    """Flexion lifts forward, abduction sideways, and axial + turns the arm outwards, about the axes of the thorax.

    Hanging arm, seen from its side:

        S            pulled forward by F at the hand, the arm must be held back: flexion - F L;
        |            pulled back: flexion + F L; pulled out: abduction - F L. The weight hangs in line.
        H --> F
    """
    bones = one_arm(side, plane=plane, elevation=elevation)
    moment = arm_moments(body(), bones, side=side, force=towards(anchor, side)).shoulder
    assert float(moment.flexion) == pytest.approx(flexion, abs=1e-9)
    assert float(moment.abduction) == pytest.approx(abduction, abs=1e-9)
    assert float(moment.axial) == pytest.approx(axial, abs=1e-9)


@both_sides
def test_abduction_90_rotation_90_pulled_forward(side: Side) -> None:
    """Forearm upright, 30 N forward: the rotation is 30 (f + h) and not a newton metre of it is weight.

              H --> 30 N            seen from the front:      H
              |                                               | f + h
              | f + h                                  S------E
        ------E  (S behind it)                            u

    About the upper arm's own axis the lever is f + h and pulls into internal rotation, so external rotation is asked
    for. The same pull at lever u asks for horizontal abduction, and the weights, all in the frontal plane, for
    elevation alone.
    """
    bones = one_arm(side, elevation=90, rotation=90, elbow=90)
    moments = arm_moments(body(), bones, side=side, force=towards("front", side))
    weight = G * UPPER_ARM * (MASS["upper arm"] * COM["upper arm"] + MASS["forearm"] + MASS["hand"])
    assert float(moments.shoulder.external_rotation) == pytest.approx(PULL * (FOREARM + HAND), abs=1e-9)
    assert float(moments.shoulder.horizontal_adduction) == pytest.approx(-PULL * UPPER_ARM, abs=1e-9)
    assert float(moments.shoulder.elevation) == pytest.approx(weight, abs=1e-9)
    assert float(moments.elbow_flexion) == pytest.approx(0, abs=1e-9), "the pull is square to the elbow's plane"


@both_sides
def test_abduction_90_rotation_0_the_weight_of_the_forearm_rotates(side: Side) -> None:
    """Forearm forward and level: its own weight asks for external rotation, and a pull forward for none.

    S------E      from above;  weights of forearm and hand act at c_f f and f + c_h h before the upper arm's axis
      u    |
           H --> 30 N
    """
    bones = one_arm(side, elevation=90, elbow=90)
    moment = arm_moments(body(), bones, side=side, force=towards("front", side)).shoulder
    beyond_elbow = MASS["forearm"] * COM["forearm"] * FOREARM + MASS["hand"] * (FOREARM + COM["hand"] * HAND)
    assert float(moment.external_rotation) == pytest.approx(G * beyond_elbow, abs=1e-9)
    assert float(moment.horizontal_adduction) == pytest.approx(-PULL * UPPER_ARM, abs=1e-9)


@both_sides
@pytest.mark.parametrize(("anchor", "sign"), [("below", 1), ("above", -1)])
def test_elbow_flexion_by_hand(side: Side, anchor: str, sign: int) -> None:
    """Upper arm hanging, forearm level: flexion holds the weights beyond the elbow and the pull at f + h.

    |
    E-------H
            v F
    """
    moments = arm_moments(body(), one_arm(side, elbow=90), side=side, force=towards(anchor, side))
    beyond = MASS["forearm"] * COM["forearm"] * FOREARM + MASS["hand"] * (FOREARM + COM["hand"] * HAND)
    assert float(moments.elbow_flexion) == pytest.approx(G * beyond + sign * PULL * (FOREARM + HAND), abs=1e-9)
    wrist = G * MASS["hand"] * COM["hand"] * HAND + sign * PULL * HAND
    assert np.linalg.norm(moments.wrist_world) == pytest.approx(abs(wrist), abs=1e-9)


@both_sides
@pytest.mark.parametrize(("anchor", "sign"), [("front", 1), ("behind", -1), ("above", 0), ("below", 0)])
def test_retraction_is_hand_force_times_clavicle_lever(side: Side, anchor: str, sign: int) -> None:
    """A pull forward at the shoulder asks the muscles to draw it back, at the sideways length of the clavicle.

          ^ F         (from above)
    SC----S           the sternoclavicular joint lies 0.025 of stature from the midline
    """
    lever = HALF_WIDTH - 0.025 * STATURE
    for angles in ({}, {"plane": 90, "elevation": 25}):
        moments = arm_moments(body(), one_arm(side, **angles), side=side, force=towards(anchor, side))
        assert float(moments.retraction) == pytest.approx(sign * PULL * lever, abs=1e-9)


@both_sides
def test_cuff_against_hand_is_the_ratio_of_their_levers(side: Side) -> None:
    """The same pull square to a straight arm: the moment over that of the weight goes with the distance from the joint.

    S-----E---c----H      c at 0.6 of the forearm: (u + 0.6 f) / (u + f + h) at the shoulder
              v    v
    """
    bones = one_arm(side, plane=90, elevation=90)
    arm, down = bones.arms[side], towards("below", side)
    cuff = arm.elbow + 0.6 * (arm.wrist - arm.elbow)
    bare = arm_moments(body(), bones, side=side)
    at_hand = arm_moments(body(), bones, side=side, force=down)
    at_cuff = arm_moments(body(), bones, side=side, force=down, at=cuff, beyond="forearm")
    shoulder = (at_cuff.shoulder.elevation - bare.shoulder.elevation) / (
        at_hand.shoulder.elevation - bare.shoulder.elevation
    )
    assert float(shoulder) == pytest.approx((UPPER_ARM + 0.6 * FOREARM) / REACH, rel=1e-12)
    elbow = (at_cuff.elbow_flexion - bare.elbow_flexion) / (at_hand.elbow_flexion - bare.elbow_flexion)
    assert float(elbow) == pytest.approx(0.6 * FOREARM / (FOREARM + HAND), rel=1e-12)
    assert np.allclose(at_cuff.wrist_world, bare.wrist_world), "a cuff on the forearm spares the wrist"


@both_sides
def test_cuff_on_the_upper_arm_spares_the_elbow(side: Side) -> None:
    """Beyond the cuff only weight is left."""
    bones = one_arm(side, plane=90, elevation=60, elbow=40)
    bare = arm_moments(body(), bones, side=side)
    arm = bones.arms[side]
    cuff = arm.shoulder + 0.7 * (arm.elbow - arm.shoulder)
    cuffed = arm_moments(body(), bones, side=side, force=towards("front", side), at=cuff, beyond="upper arm")
    assert np.allclose(cuffed.elbow_world, bare.elbow_world)
    assert not np.allclose(cuffed.shoulder.world, bare.shoulder.world)


def random_bones(n: int, seed: int = 3) -> tuple[Skeleton, np.ndarray]:
    """Return `n` random poses of trunk and both arms, and a random force for each."""
    rng = np.random.default_rng(seed)
    names = {"plane": 170, "elevation": 85, "rotation": 80, "elbow": 70, "protraction": 12, "lift": 8}
    arms = {
        side: {name: rng.uniform(-most, most, n) + (90 if name == "elevation" else 0) for name, most in names.items()}
        for side in SIDES
    }
    trunk = {name: rng.uniform(-35, 35, n) for name in ("turn", "flexion", "side_bend")}
    return posed(arms["left"], arms["right"], **trunk), rng.normal(0, 40, (n, 3))


@both_sides
def test_squares_of_each_triple_add_up(side: Side) -> None:
    """Elevation, adduction and rotation, and flexion, abduction and axial: nothing counted twice, nothing left out."""
    bones, force = random_bones(2000)
    moment = arm_moments(body(), bones, side=side, force=force).shoulder
    for triple in (CLINICAL[:3], CLINICAL[3:]):
        total = sum(getattr(moment, name) ** 2 for name in triple)
        assert np.allclose(total, moment.magnitude**2, rtol=1e-10), triple


def test_left_and_right_give_the_same_clinical_numbers() -> None:
    """A mirrored pose under a mirrored pull asks the same of either side, and the trunk turns the other way."""
    rng = np.random.default_rng(9)
    names = ("plane", "elevation", "rotation", "elbow", "pronation", "protraction")
    angles = {name: rng.uniform(5, 85, 500) for name in names}
    force, flip = rng.normal(0, 40, (500, 3)), np.array([1, -1, 1])
    left, right = one_arm("left", **angles), one_arm("right", **angles)
    a = arm_moments(body(), left, side="left", force=force)
    b = arm_moments(body(), right, side="right", force=force * flip)
    for name in CLINICAL:
        assert np.allclose(getattr(a.shoulder, name), getattr(b.shoulder, name), atol=1e-9), name
    assert np.allclose(a.elbow_flexion, b.elbow_flexion, atol=1e-9)
    assert np.allclose(a.retraction, b.retraction, atol=1e-9)
    c = trunk_moment(body(), left, [(left.arms["left"].hand, force)])
    d = trunk_moment(body(), right, [(right.arms["right"].hand, force * flip)])
    assert np.allclose(c.turn, -d.turn, atol=1e-9)
    assert np.allclose(c.side_bend, -d.side_bend, atol=1e-9)
    assert np.allclose(c.flexion, d.flexion, atol=1e-9)


def turned(bones: Skeleton, angle: float) -> Skeleton:
    """Return the whole body turned about the upright line through the origin."""
    rotation, points = about_z(angle), ("sternoclavicular", "shoulder", "elbow", "wrist", "hand")

    def arm(points_of: ArmPoints) -> ArmPoints:
        moved: dict[str, Any] = {name: turn(rotation, getattr(points_of, name)) for name in points}
        moved |= {name: rotation @ getattr(points_of, name) for name in ("humerus_frame", "forearm_frame")}
        return replace(points_of, **moved)

    return Skeleton(
        **{name: turn(rotation, getattr(bones, name)) for name in ("hip_centre", "neck", "head")},
        **{name: rotation @ getattr(bones, name) for name in ("thorax_frame", "head_frame")},
        arms={side: arm(bones.arms[side]) for side in SIDES},
    )


@both_sides
@pytest.mark.parametrize("degrees", [30, 90, 180, -135])
def test_turning_body_and_anchor_together_changes_nothing(side: Side, degrees: float) -> None:
    """Facing another way in the hall, with the post carried along, every clinical number stays."""
    bones, force = random_bones(300, seed=4)
    angle = np.radians(degrees)
    after, force_after = turned(bones, angle), turn(about_z(angle), force)
    a, b = (arm_moments(body(), *pair[:1], side=side, force=pair[1]) for pair in ((bones, force), (after, force_after)))
    for name in CLINICAL:
        assert np.allclose(getattr(a.shoulder, name), getattr(b.shoulder, name), atol=1e-9), name
    assert np.allclose(a.elbow_flexion, b.elbow_flexion, atol=1e-9)
    assert np.allclose(a.retraction, b.retraction, atol=1e-9)
    c = trunk_moment(body(), bones, [(bones.arms[side].hand, force)])
    d = trunk_moment(body(), after, [(after.arms[side].hand, force_after)])
    for name in ("turn", "flexion", "side_bend"):
        assert np.allclose(getattr(c, name), getattr(d, name), atol=1e-9), name


def test_a_path_past_the_side_has_no_jump_in_thorax_axes() -> None:
    """From 30 degrees of flexion to 30 of extension under a forward pull: flexion and abduction run on smoothly.

    No step is larger than a tenth of a degree can make it, (F L + g D) times that angle. In humerus axes the plane
    flips at the side, and elevation changes sign between two frames.
    """
    angle = np.linspace(30, -30, 601)
    bones = one_arm("left", plane=np.where(angle >= 0, 90, -90), elevation=np.abs(angle), elbow=20)
    moment = arm_moments(body(), bones, side="left", force=towards("front", "left")).shoulder
    for name in ("flexion", "abduction", "axial"):
        steps = np.abs(np.diff(getattr(moment, name)))
        assert steps.max() < (PULL * REACH + G * D) * np.radians(0.1), f"{name} steps by {steps.max():.3f} N·m"
    assert np.abs(np.diff(moment.elevation)).max() > 10, "the reason why such a movement is told in thorax axes"


def test_upright_trunk_by_hand() -> None:
    """Both arms hanging, a pull of 30 N forward on the left hand at height z over the hips and y beside them.

          ^ F        the muscles must turn the trunk left by F y, and bend it back by F z; the weights of arms and
    y H   |          trunk stand over the hips, and the head 0.012 of stature before them.
    """
    bones = posed()
    hand = bones.arms["left"].hand
    z, y = SHOULDER_HEIGHT - REACH, HALF_WIDTH
    assert np.allclose(hand - bones.hip_centre, [0, y, z])
    found = trunk_moment(body(), bones, [(hand, towards("front", "left"))])
    assert float(found.turn) == pytest.approx(PULL * y, abs=1e-9)
    assert float(found.flexion) == pytest.approx(-PULL * z - MASS["head"] * G * 0.012 * STATURE, abs=1e-9)
    assert float(found.side_bend) == pytest.approx(0, abs=1e-9)


@pytest.mark.parametrize(("lean", "name", "sign"), [("flexion", "flexion", -1), ("side_bend", "side_bend", -1)])
def test_leaning_trunk_is_held_back(lean: str, name: str, sign: int) -> None:
    """Leaning 20 degrees, the trunk's own weight asks for m g c sin 20 the other way (30 kg, 0.57 of 0.45 m)."""
    upright, leaning = posed(), posed(**{lean: 20.0})
    sample = body()
    weightless = {key: (kg if key == ("trunk", None) else 1e-12) for key, kg in sample.segment_mass.items()}
    only_trunk = replace(sample, segment_mass=weightless)
    expected = MASS["trunk"] * G * (1 - COM["trunk"]) * SHOULDER_HEIGHT * np.sin(np.radians(20))
    assert float(getattr(trunk_moment(only_trunk, leaning), name)) == pytest.approx(sign * expected, abs=1e-9)
    assert float(getattr(trunk_moment(only_trunk, upright), name)) == pytest.approx(0, abs=1e-9)


def test_lifted_arms_do_not_lift_the_trunk() -> None:
    """The trunk's centre of mass stays in the thorax when the clavicles rise, one or both."""
    at_rest, one, both = (
        next(s.com for s in upper_body_segments(body(), bones) if s.name == "trunk")
        for bones in (posed(), posed({"elevation": 170}), posed({"elevation": 170}, {"elevation": 170}))
    )
    assert np.allclose(at_rest, [HIP_X, 0, HIP_Z + (1 - COM["trunk"]) * SHOULDER_HEIGHT])
    assert np.allclose(one, at_rest, atol=1e-12)
    assert np.allclose(both, at_rest, atol=1e-12)


def athlete(missing: frozenset[str]) -> Athlete:
    """Return an athlete of 70 kg."""
    return Athlete(name="Runa Velde", mass=70.0, stature=1.7, sex="female", missing_limbs=missing, chairs=(chair(),))


@both_sides
@pytest.mark.parametrize(
    ("limb", "left_over"), [("hand", (1, 1, 0)), ("below elbow", (1, 0.5, 0)), ("above elbow", (0.5, 0, 0))]
)
def test_a_missing_limb_weighs_nothing(side: Side, limb: str, left_over: tuple[float, float, float]) -> None:
    """What is cut off takes its mass along, and the arm asks for less.

    The weighed 70 kg are shared out over what is left; the moment is the sum over that, weight times level lever.
    """
    names = ("upper arm", "forearm", "hand")
    whole, cut = body_size(athlete(frozenset())), body_size(athlete(frozenset({f"{side} {limb}"})))
    kept = [whole.arm_mass(name, side) * share for name, share in zip(names, left_over, strict=True)]
    lost = sum(whole.arm_mass(name, side) for name in names) - sum(kept)
    bones = one_arm(side, of=cut, plane=90, elevation=90)
    parts = arm_segments(cut, bones.arms[side], side)
    masses = [parts[name].mass for name in names]
    assert masses == pytest.approx([kg * 70 / (70 - lost) for kg in kept], rel=1e-12)
    assert sum(cut.segment_mass.values()) == pytest.approx(70.0)
    levers = [float(parts[name].com[0] - bones.arms[side].shoulder[0]) for name in names]
    by_hand = G * sum(kg * lever for kg, lever in zip(masses, levers, strict=True))
    found = arm_moments(cut, bones, side=side).shoulder.elevation
    unhurt = arm_moments(whole, bones, side=side).shoulder.elevation
    assert float(found) == pytest.approx(by_hand, rel=1e-12)
    assert float(found) < 0.97 * float(unhurt)


@both_sides
def test_axes_are_right_handed_frames_of_unit_length(side: Side) -> None:
    """Each triple of axes is orthonormal in any pose."""
    bones, _ = random_bones(200)
    axes = shoulder_axes(bones.arms[side], bones.thorax_frame, side)
    for triple in (CLINICAL[:3], CLINICAL[3:]):
        frame = np.stack([axes[name] for name in triple], axis=-1)
        assert np.allclose(np.swapaxes(frame, -1, -2) @ frame, np.eye(3), atol=1e-12)
