"""Trunk hold: the moment at the hip centre against what holds there.

    P o---> F          H hip centre, fixed to the seat; everything above turns about it
      |
   z  |   o C_arms     demand = | sum (P - H) x F + sum (C - H) x m g - the same weights sitting still |
      |   | m g
------H---v-----       capacity = weight x lean + muscles + strap + backrest + free hand
"""

import re
from dataclasses import replace
from itertools import pairwise
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from firstpush.core.errors import OutOfRangeError
from firstpush.core.people.athlete import Strap, TrunkControl
from firstpush.core.setup.trunk_hold import (
    ASKED_FACTOR,
    DIRECTIONS,
    TrunkHold,
    UpperBody,
    trunk_capacity,
    trunk_demand,
    trunk_hold,
)
from firstpush.core.tables import read_table

HIPS = np.array([0.06, 0.0, 0.58])
FULL = TrunkControl(forward="yes", turn="yes", lean_left="yes", lean_right="yes")
NONE = TrunkControl(forward="no", turn="no", lean_left="no", lean_right="no")


def upper_body(*, reach: float = 0.15) -> UpperBody:
    """28 kg above the hips, of which 2 x 3 kg arms with their centres `reach` in front of the hips."""
    return UpperBody(
        hips=HIPS,
        trunk_mass=22.0,
        trunk_centre=HIPS + np.array([0, 0, 0.30]),
        arm_masses=np.array([3.0, 3.0]),
        arm_centres=HIPS + np.array([[reach, 0.2, 0.25], [reach, -0.2, 0.25]]),
    )


def hold(
    pulls: Any, *, at: Any = ((0.0, 0.2, 0.45), (0.0, -0.2, 0.45)), reach: float = 0.15, **other: Any
) -> TrunkHold:
    """Return the hold of a 28 kg upper body pulled at places seen from the hips."""
    given: dict[str, Any] = {"control": FULL, "backrest_above_hips": 0.20, "strap": "none"} | other
    return trunk_hold(
        posture=upper_body(reach=reach),
        neutral=upper_body(),
        hand_positions=HIPS + np.asarray(at, dtype=float),
        pulls=pulls,
        **given,
    )


def side_pull(newtons: float, **other: Any) -> TrunkHold:
    """Return the hold against a pull to the left on the left hand, 0.45 m above the hips."""
    return hold([[0, newtons, 0], [0, 0, 0]], at=[[0, 0, 0.45], [0, -0.2, 0.1]], **other)


def test_weight_of_the_upper_body_holds_fourteen_newton_metres() -> None:
    """28 kg leaning 5 cm hold about 14 N·m, that is 31 N at 0.45 m (hand example of the mechanics notes)."""
    lean = read_table("trunk_hold").number("lean with control", "back")
    assert lean == 0.05
    assert 28 * 9.81 * lean == pytest.approx(14, abs=0.5)
    assert 28 * 9.81 * lean / 0.45 == pytest.approx(31, abs=0.6)
    muscles = read_table("trunk_hold").number("muscles with control", "back")
    capacity = trunk_capacity(control=FULL, upper_body_mass=28, backrest_above_hips=0, strap="none", free_hand=False)
    assert capacity.back - 28 * muscles == pytest.approx(28 * 9.81 * 0.05)


def test_demand_is_force_times_height_in_the_direction_of_the_pull() -> None:
    """Front, back, left and right, each alone; a pull at right angles to the arm of the hand turns the trunk."""
    for pull, direction, moment in (
        ([30, 0, 0], "forward", 30 * 0.45),
        ([-30, 0, 0], "back", 30 * 0.45),
        ([0, 30, 0], "left", 30 * 0.45),
        ([0, -30, 0], "right", 30 * 0.45),
    ):
        demand = hold([pull, [0, 0, 0]], at=[[0, 0, 0.45], [0, 0, 0.1]]).demand
        for name in DIRECTIONS:
            assert getattr(demand, name) == pytest.approx(moment if name == direction else 0), (pull, name)
    turning = hold([[0, 20, 0], [0, 0, 0]], at=[[0.5, 0, 0.3], [0, 0, 0.1]]).demand
    assert (turning.turn, turning.left) == (pytest.approx(20 * 0.5), pytest.approx(20 * 0.3))


def test_arms_held_out_ask_for_their_weight() -> None:
    """6 kg of arms 0.20 m further forward than in the lap: 6 g 0.20."""
    demand = hold(np.zeros((2, 3)), reach=0.35).demand
    assert demand.forward == pytest.approx(6 * 9.81 * 0.20)
    assert hold(np.zeros((2, 3))).demand.forward == pytest.approx(0)


def test_trunk_leaning_back_against_a_pull_forward_asks_less() -> None:
    """22 kg of trunk 0.05 m behind take 22 g 0.05 off a pull of 40 N at 0.45 m."""
    leaning = replace(upper_body(), trunk_centre=HIPS + np.array([-0.05, 0, 0.30]))
    demand = trunk_demand(
        posture=leaning,
        neutral=upper_body(),
        hand_positions=HIPS + np.array([[0, 0.2, 0.45], [0, -0.2, 0.45]]),
        pulls=[[20, 0, 0], [20, 0, 0]],
    )
    assert demand.forward == pytest.approx(40 * 0.45 - 22 * 9.81 * 0.05)


@pytest.mark.parametrize("forward", ["yes", "partly"])
def test_t10_with_part_turn_and_waist_strap_rows(forward: str) -> None:
    """A seated row with 30 N on each hand at 0.30 m, arms reached out, and anti-rotation with 20 N at 0.5 m hold."""
    control = TrunkControl(forward=forward, turn="partly", lean_left="partly", lean_right="partly")  # type: ignore[arg-type]
    row = hold(
        [[30, 0, 0], [30, 0, 0]],
        at=[[0.55, 0.2, 0.30], [0.55, -0.2, 0.30]],
        reach=0.35,
        control=control,
        strap="waist",
    )
    assert row.holds, row.factor
    at = [[0.5, 0, 0.30], [0.5, 0, 0.30]]
    anti_rotation = hold([[0, 10, 0], [0, 10, 0]], at=at, reach=0.3, control=control, strap="waist")
    assert anti_rotation.holds, anti_rotation.factor
    assert anti_rotation.weakest_direction == "turn"
    heavy = hold([[0, 20, 0], [0, 20, 0]], at=at, reach=0.3, control=control, strap="waist")
    assert not heavy.holds, "twice the pull is too much"


def test_no_sideways_control_needs_a_chest_strap_or_the_free_hand() -> None:
    """25 N to the left at 0.45 m: not alone, not with a waist strap; with a chest strap or the free hand it holds."""
    assert not side_pull(25, control=NONE).holds
    assert not side_pull(25, control=NONE, strap="waist").holds
    assert side_pull(25, control=NONE, strap="chest").holds
    assert side_pull(25, control=NONE, free_hand=True).holds
    assert side_pull(25, control=NONE).weakest_direction == "left"
    assert side_pull(25, control=NONE).remedies == ("chest strap", "one arm")


def test_full_control_holds_sixty_newtons_every_way() -> None:
    """60 N at 0.45 m, to the front, back, left and right, without any strap."""
    for pull in ([60, 0, 0], [-60, 0, 0], [0, 60, 0], [0, -60, 0]):
        assert hold([pull, [0, 0, 0]], at=[[0, 0, 0.45], [0, 0, 0.1]], backrest_above_hips=0.0).holds, pull


def test_remedies_are_what_makes_it_hold() -> None:
    """Every strap named makes a new computation hold, and a strap not at hand is not named."""
    failing = side_pull(25, control=NONE, about="side raise")
    (stop,) = failing.notices
    assert (stop.id, stop.level, stop.about) == ("trunk-does-not-hold", "stop", "side raise")
    assert "does not hold to the left without a chest strap" in stop.what
    assert "one-arm variant" in stop.do
    assert "chest strap" in stop.do
    no_strap = side_pull(25, control=NONE, straps_at_hand=())
    assert no_strap.remedies == ("one arm",)
    assert "strap" not in no_strap.notices[0].what
    alone = side_pull(25, control=NONE, straps_at_hand=("waist",), one_arm_possible=False)
    assert alone.remedies == ()
    assert "lighter band" in alone.notices[0].do
    both = side_pull(75, control=NONE)
    assert both.remedies == ("one arm and chest strap",)
    assert "without a chest strap" in both.notices[0].what
    assert side_pull(75, control=NONE, strap="chest", free_hand=True).holds
    assert not side_pull(75, control=NONE, strap="waist", free_hand=True).holds
    assert not side_pull(75, control=NONE, strap="chest").holds


def test_one_arm_variant_of_two_bands_halves_the_pull_and_of_one_joined_band_does_not() -> None:
    """2 x 30 N forward: 30 N are left on the one arm with two bands, 60 N when both hands held one band."""
    common: dict[str, Any] = {"control": NONE, "straps_at_hand": ()}
    at = [[0.3, 0.05, 0.45], [0.3, -0.05, 0.45]]
    # Free hand and weight hold 28 (1.0 + 0.01 g) = 30.7 N·m forward; 1.2 x 30 x 0.45 is less, 1.2 x 60 x 0.45 more.
    assert hold([[30, 0, 0], [30, 0, 0]], at=at, **common).remedies == ("one arm",)
    assert hold([[30, 0, 0], [30, 0, 0]], at=at, joined=True, **common).remedies == ()
    one = hold([[30, 0, 0], [0, 0, 0]], at=at, free_hand=True, **common)
    assert one.holds
    with pytest.raises(OutOfRangeError, match="both hands are pulled"):
        hold([[30, 0, 0], [30, 0, 0]], at=at, free_hand=True, **common)


def test_one_arm_variant_rests_the_arm_that_does_not_pull() -> None:
    """The left hand pulls 20 N at 0.45 m; the right arm, 3 kg held 0.75 m further out, comes back to the frame.

    Resting it, 1.2 x 20 x 0.45 is below the 30.7 N·m of weight and free hand; held out, 1.2 x (9 + 3 g 0.75) is not.
    """
    neutral = upper_body()
    held_out = replace(neutral, arm_centres=neutral.arm_centres + np.array([[0, 0, 0], [0.75, 0, 0]]))
    answer = trunk_hold(
        posture=held_out,
        neutral=neutral,
        hand_positions=HIPS + np.array([[0.0, 0, 0.45], [1.0, 0, 0.3]]),
        pulls=[[20, 0, 0], [0, 0, 0]],
        control=NONE,
        backrest_above_hips=0.2,
        strap="none",
        straps_at_hand=(),
    )
    assert answer.demand.forward == pytest.approx(20 * 0.45 + 3 * 9.81 * 0.75)
    assert answer.remedies == ("one arm",)


def test_unknown_control_counts_as_none_and_says_so() -> None:
    """The factors of "no", with a caution that names what to find out."""
    unknown, none = side_pull(25, control=TrunkControl(turn="yes")), side_pull(25, control=replace(NONE, turn="yes"))
    assert unknown.smallest_factor == none.smallest_factor
    caution = next(notice for notice in unknown.notices if notice.id == "trunk-control-unknown")
    assert caution.level == "caution"
    assert re.search("forward, to the left, to the right is not known", caution.what)
    assert [notice.id for notice in none.notices] == ["trunk-does-not-hold"]


def test_more_support_never_holds_less() -> None:
    """Control, strap, backrest and free hand: every step up holds as much or more in every direction."""
    base: dict[str, Any] = {
        "control": NONE,
        "upper_body_mass": 28.0,
        "backrest_above_hips": 0.1,
        "strap": "none",
        "free_hand": False,
    }
    ladders: dict[str, list[Any]] = {
        "control": [
            NONE,
            TrunkControl(forward="partly", turn="partly", lean_left="partly", lean_right="partly"),
            FULL,
        ],
        "strap": ["none", "waist", "chest"],
        "backrest_above_hips": [-0.1, 0.0, 0.2, 0.4],
        "free_hand": [False, True],
        "upper_body_mass": [10.0, 28.0, 50.0],
    }
    for name, steps in ladders.items():
        stacked = [trunk_capacity(**base | {name: step}).stacked() for step in steps]
        for less, more in pairwise(stacked):
            assert np.all(more >= less), name
        assert np.any(stacked[-1] > stacked[0]), name
    assert (
        trunk_capacity(**base | {"backrest_above_hips": -0.1}).back
        == trunk_capacity(**base | {"backrest_above_hips": 0.0}).back
    )


vectors = st.tuples(*[st.floats(-60, 60).map(lambda force: round(force, 3)) for _ in range(3)])


@given(left=vectors, right=vectors, strap=st.sampled_from(["none", "waist", "chest"]))
@settings(max_examples=60, deadline=None)
def test_mirrored_pulls_swap_left_and_right(left: Any, right: Any, strap: Strap) -> None:
    """Mirror the pulls and the control, and only the words left and right change."""
    control = TrunkControl(forward="partly", turn="partly", lean_left="yes", lean_right="no")
    swapped = replace(control, lean_left="no", lean_right="yes")
    mirror = np.array([1, -1, 1])
    one = hold([left, right], control=control, strap=strap)
    other = hold([right * mirror, left * mirror], control=swapped, strap=strap)
    words = {"left": "right", "right": "left"}
    for name in DIRECTIONS:
        expected = pytest.approx(getattr(other.demand, words.get(name, name)), abs=1e-9)
        assert getattr(one.demand, name) == expected, name
    assert one.smallest_factor == pytest.approx(float(other.smallest_factor))
    assert one.remedies == other.remedies


@given(left=vectors, right=vectors, times=st.floats(1.1, 5))
@settings(max_examples=60, deadline=None)
def test_a_larger_pull_never_holds_better(left: Any, right: Any, times: float) -> None:
    """The factor is capacity over demand, so with the weights in balance it falls in proportion to the pull."""
    pulls = np.array([left, right])
    once, more = hold(pulls), hold(times * pulls)
    assert more.smallest_factor == pytest.approx(float(once.smallest_factor) / times, rel=1e-6)


def test_many_frames_at_once_are_the_frames_one_by_one() -> None:
    """A leading shape of frames; one bad frame is enough for the notice."""
    pulls = np.array([[[0, f, 0], [0, 0, 0]] for f in (5.0, 10.0, 40.0)])
    together = hold(pulls, control=NONE)
    for i in range(3):
        alone = hold(pulls[i], control=NONE)
        assert together.smallest_factor[i] == pytest.approx(float(alone.smallest_factor))
        assert together.weakest_direction[i] == alone.weakest_direction
    assert [notice.id for notice in together.notices] == ["trunk-does-not-hold"]
    assert together.smallest_factor.min() < ASKED_FACTOR.value


def test_no_mass_is_refused() -> None:
    """A body of 0 kg is a mistake; 1 kg is not."""
    good: dict[str, Any] = {"control": FULL, "backrest_above_hips": 0.1, "strap": "none", "free_hand": False}
    assert trunk_capacity(upper_body_mass=1.0, **good).left > 0
    with pytest.raises(OutOfRangeError, match="above 0 kg"):
        trunk_capacity(upper_body_mass=0.0, **good)


def test_explanation_prints_the_table_that_is_used() -> None:
    """Every row of the table in docs/why/stability.md has the numbers of trunk_hold.csv."""
    page = (Path(__file__).parents[3] / "docs/why/stability.md").read_text(encoding="utf-8")
    levels = ("with control", "with part control", "without control")
    rows = {
        "lean: ": [f"lean {level}" for level in levels],
        "muscles: ": [f"muscles {level}" for level in levels],
        "waist strap [": ["waist strap"],
        "chest strap [": ["chest strap"],
        "free hand on": ["free hand"],
        "backrest, times": ["backrest"],
    }
    table = read_table("trunk_hold")
    for start, names in rows.items():
        line = next(line for line in page.splitlines() if line.startswith(f"| {start}"))
        printed = [cell.strip() for cell in line.strip("|").split("|")[1:]]
        for column, cell in zip(("forward", "back", "sideways", "turn"), printed, strict=True):
            used = [table.number(name, column) for name in names]
            shown = [0.0] * len(names) if cell == "–" else [float(part) for part in cell.split(", ")]
            assert shown == used, (start, column)
