"""The two-bone arm solution, checked by putting its angles back through the skeleton.

    pole (where the elbow is asked)
      ^
      |  E
     .|/   .
u  /  |       .  f = forearm + hand
 /a___|___________.
S        along      H          cos a = (u² + d² − f²) / (2 u d),  d = |SH|
"""

from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from sample_bodies import FOREARM, HAND, REACH, UPPER_ARM, body, chair
from sample_bodies import one_arm as pose

from firstpush.core.body.hands import direction, solve_arm
from firstpush.core.body.posture import SIGN, ArmAngles, Posture, Skeleton, hip_centre, skeleton
from firstpush.core.errors import OutOfRangeError
from firstpush.core.people.athlete import SIDES, Side
from firstpush.core.people.body_size import BodySize

both_sides = pytest.mark.parametrize("side", SIDES)
BODIES = {
    "usual": body(),
    "long forearm": body(upper_arm=0.24, forearm=0.29, hand=0.09),
    "short forearm": body(upper_arm=0.34, forearm=0.19, hand=0.06),
}


def solved(hand: Any, towards: Any, side: Side, *, of: BodySize, protraction: Any = 0.0, lift: Any = 0.0) -> Skeleton:
    """Return the skeleton, trunk upright, with the arm of `side` solved for `hand` in the world."""
    hand, towards = np.asarray(hand, dtype=float), np.asarray(towards, dtype=float)
    shape = hand.shape[:-1]
    filled = {"protraction": np.broadcast_to(protraction, shape), "lift": np.broadcast_to(lift, shape)}
    angles = solve_arm(
        of, side=side, hand=hand - hip_centre(chair()), elbow_towards=towards, pronation=np.zeros(shape), **filled
    )
    still = ArmAngles(
        humerus=np.broadcast_to(np.eye(3), (*shape, 3, 3)),
        **{n: np.zeros(shape) for n in ("elbow", "pronation")},
        **filled,
    )
    zero = np.zeros(shape)
    posture = Posture(
        trunk_turn=zero,
        trunk_flexion=zero,
        trunk_side_bend=zero,
        arms={each: angles if each == side else still for each in SIDES},
    )
    return skeleton(of, chair(), posture)


def off_the_line(bones: Skeleton, side: Side) -> np.ndarray:
    """Return the elbow's offset from the line shoulder-hand, (..., 3)."""
    arm = bones.arms[side]
    along = (arm.hand - arm.shoulder) / np.linalg.norm(arm.hand - arm.shoulder, axis=-1, keepdims=True)
    offset = arm.elbow - arm.shoulder
    return np.asarray(offset - np.sum(offset * along, axis=-1, keepdims=True) * along)


@both_sides
@pytest.mark.parametrize("name", BODIES)
def test_the_solved_hand_is_at_its_target(side: Side, name: str) -> None:
    """Ten thousand targets that some arm reached are met to 1e-9 m, with the very elbow that reached them.

    Elbows from 3 degrees (all but straight) to 165 (folded), arms up to 150 degrees, with every clavicle. Because the
    shoulder rises with the arm, an all but straight arm may reach a target in two ways: its elbow is not compared.
    """
    rng, n, of = np.random.default_rng(7), 10_000, BODIES[name]
    drawn = {
        "plane": rng.uniform(-70, 120, n),
        "elevation": rng.uniform(3, 150, n),
        "rotation": rng.uniform(-90, 90, n),
        "elbow": rng.uniform(3, 165, n),
        "protraction": rng.uniform(-15, 20, n),
        "lift": rng.uniform(-10, 10, n),
    }
    authored = pose(side, of=of, **drawn)
    found = solved(
        authored.arms[side].hand,
        off_the_line(authored, side),
        side,
        of=of,
        protraction=np.radians(drawn["protraction"]),
        lift=np.radians(drawn["lift"]),
    )
    bent = drawn["elbow"] > 10
    for point, compared in (("hand", np.full(n, True)), ("elbow", bent), ("shoulder", bent)):
        ours, theirs = (getattr(each.arms[side], point)[compared] for each in (found, authored))
        apart = np.linalg.norm(ours - theirs, axis=-1)
        assert apart.max() < 1e-9, f"{point}: {np.sum(apart > 1e-9)} of {n}, worst {apart.max():.1e} m"


@both_sides
@settings(deadline=None)
@given(
    forward=st.floats(0.15, 0.5),
    out=st.floats(-0.1, 0.3),
    up=st.floats(-0.3, 0.2),
    words=st.sampled_from([("out", "down"), ("down",), ("out",), ("out", "back")]),
)
def test_the_elbow_is_on_the_side_asked_for(
    side: Side, forward: float, out: float, up: float, words: tuple[str, ...]
) -> None:
    """Out, down or back: the elbow lies off the line from shoulder to hand exactly on that side."""
    of = body()
    hand = hip_centre(chair()) + [forward, SIGN[side] * (0.18 + out), 0.45 + up]
    towards = direction(words, side)
    bones = solved(hand, towards, side, of=of)
    arm = bones.arms[side]
    assert np.linalg.norm(arm.hand - hand) < 1e-9
    offset, along = off_the_line(bones, side), arm.hand - arm.shoulder
    assert offset @ towards > 0
    assert abs(np.linalg.det([offset, along, towards])) < 1e-9, "in the plane of the line and the direction asked"


@both_sides
def test_triangle_by_hand(side: Side) -> None:
    """Hand level with the shoulder at d = 0.40 m: the elbow angle is that of the triangle 0.30, 0.33, 0.40."""
    of, d = body(), 0.40
    level = hip_centre(chair()) + [0.0, SIGN[side] * 0.18, 0.45]
    arm = solved(level + [d, 0.0, -0.05], direction(["down"], side), side, of=of).arms[side]
    fore = FOREARM + HAND
    reached = np.linalg.norm(arm.hand - arm.shoulder)
    at_elbow = np.degrees(np.arccos((UPPER_ARM**2 + fore**2 - reached**2) / (2 * UPPER_ARM * fore)))
    bend = np.degrees(np.arccos(arm.humerus_frame[..., 2] @ arm.forearm_frame[..., 2]))
    assert bend == pytest.approx(180 - at_elbow, abs=1e-9)


@both_sides
def test_a_square_shoulder_angle_has_an_elbow_too(side: Side) -> None:
    """Where the upper arm stands square on the line shoulder-hand, the elbow still bends the right way."""
    of = body(upper_arm=0.24, forearm=0.22, hand=0.10)
    d = np.sqrt(0.32**2 - 0.24**2)
    hand = hip_centre(chair()) + [d, SIGN[side] * 0.18, 0.45]
    arm = solved(hand, direction(["down"], side), side, of=of).arms[side]
    assert np.allclose(arm.hand, hand, atol=1e-12)
    assert np.allclose(arm.elbow - arm.shoulder, [0, 0, -0.24], atol=1e-12)


@both_sides
def test_a_long_forearm_folds_back_over_the_shoulder(side: Side) -> None:
    """Nearer than the square angle the elbow lies on the far side of the shoulder, and the hand is still met."""
    of = body(upper_arm=0.24, forearm=0.29, hand=0.09)
    hand = hip_centre(chair()) + [0.20, SIGN[side] * 0.18, 0.45]
    arm = solved(hand, direction(["down"], side), side, of=of).arms[side]
    assert np.linalg.norm(arm.hand - hand) < 1e-9
    assert arm.elbow[0] < arm.shoulder[0], "cos a = (0.24² + 0.20² - 0.38²) / (2 0.24 0.20) < 0: behind the shoulder"


@both_sides
def test_out_of_reach_is_refused_with_the_lengths(side: Side) -> None:
    """Farther than the straight arm raises; a centimetre inside does not."""
    of, shoulder = body(), pose(side, plane=90, elevation=90).arms[side].shoulder
    forward, down = np.array([1.0, 0.0, 0.0]), direction(["down"], side)
    with pytest.raises(OutOfRangeError, match=rf"{side} hand is asked to be 0\.7\d\d m .* 0\.030 to {REACH:.3f} m"):
        solved(shoulder + (REACH + 0.1) * forward, down, side, of=of)
    solved(shoulder + (REACH - 0.01) * forward, down, side, of=of)


@both_sides
def test_nearer_than_the_folded_arm_is_refused_with_that_distance(side: Side) -> None:
    """The message names the distance that is too short."""
    of = BODIES["long forearm"]
    shoulder = pose(side, of=of).arms[side].shoulder
    with pytest.raises(OutOfRangeError, match=r"asked to be 0\.\d\d\d m .* reaches 0\.140 to 0\.620 m") as caught:
        solved(shoulder + [0.05, 0, 0], direction(["out"], side), side, of=of)
    assert float(str(caught.value).split("asked to be ")[1].split(" m")[0]) < 0.140


@both_sides
def test_one_unreachable_target_among_many_is_refused(side: Side) -> None:
    """A stack is refused when any of it is out of reach."""
    of, shoulder = body(), pose(side).arms[side].shoulder
    hands = shoulder + np.array([[0.4, 0, -0.1], [0.4, 0, 0.1], [0.9, 0, 0]])
    with pytest.raises(OutOfRangeError, match=r"asked to be 0\.900 m"):
        solved(hands, np.broadcast_to(direction(["down"], side), (3, 3)), side, of=of)


@both_sides
def test_an_elbow_asked_for_along_the_arm_is_refused(side: Side) -> None:
    """A hand straight below the shoulder leaves an elbow that "points down" nowhere to be."""
    shoulder = pose(side).arms[side].shoulder
    with pytest.raises(OutOfRangeError, match=f"{side} elbow .* along the line"):
        solved(shoulder + [0, 0, -0.5], direction(["down"], side), side, of=body())
    solved(shoulder + [0, 0, -0.5], direction(["back"], side), side, of=body())
