"""Whether an exercise is for this athlete at all: one thing that speaks against it at a time, with its words."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Any

import pytest
from setup_cases import BANDED, CUPBOARD, EVEN, FULL_ARM, NO_STRAPS, in_chair

from firstpush.core.exercises.loader import exercise_named, library
from firstpush.core.people.athlete import SIDES, Athlete, Pain, Side
from firstpush.core.setup.readiness import Readiness, one_arm, readiness

NO_CUFFS = replace(CUPBOARD, cuffs=())


def ready(name: str, athlete: Athlete = EVEN, *, side: Side = "right", kit: Any = CUPBOARD) -> Readiness:
    """Return whether a library exercise is for the athlete."""
    return readiness(exercise_named(name), athlete, kit, side=side)


def right(**change: Any) -> Athlete:
    """Return the athlete with another right arm."""
    return replace(EVEN, right=replace(FULL_ARM, **change))


def test_an_able_athlete_may_do_everything_without_a_word() -> None:
    """Full function on both sides: every exercise on every side is ready, nothing is said."""
    for name in library():
        for side in SIDES:
            found = ready(name, side=side)
            assert found.reason is None, name
            assert found.notices == (), name
            band = exercise_named(name).band
            assert set(found.attach.values()) <= {"hand" if band is None else band.attach}


def test_a_band_worn_on_a_cuff_needs_a_cuff_in_the_cupboard() -> None:
    """Where the hand holds a ball and the band goes to the wrist, also a full grip needs the cuff, free of latex where
    latex is avoided.
    """
    latex = replace(CUPBOARD, cuffs=tuple(replace(cuff, material="latex") for cuff in CUPBOARD.cuffs))
    avoiding = replace(EVEN, health=replace(EVEN.health, latex="avoid"))
    for name, exercise in library().items():
        if exercise.band is not None and exercise.band.attach == "wrist_cuff":
            assert "wrist cuff" in (ready(name, kit=NO_CUFFS).reason or ""), name
            assert "wrist cuff" in (ready(name, avoiding, kit=latex).reason or ""), name


@pytest.mark.parametrize(("degrees", "may"), [(99.0, False), (100.0, True)])
def test_elevation_is_asked_with_ten_degrees_in_reserve(degrees: float, may: bool) -> None:
    """Rotation at 90° asks for 90 + 10."""
    found = ready("external_rotation_90", right(elevation=math.radians(degrees)))
    assert (found.reason is None) == may
    if not may:
        assert found.reason == "right active elevation is 99° and this asks for 100°, reserve included"


def test_the_other_arm_does_not_count_where_one_works() -> None:
    """A stiff right arm leaves the left one's rotation alone."""
    assert ready("external_rotation_90", right(elevation=0.5), side="left").reason is None


def test_both_arms_count_where_both_work() -> None:
    """The row asks both; the reason names the arm."""
    for side in SIDES:
        reason = ready("seated_row", right(elevation=math.radians(40)), side=side).reason
        assert reason is not None and reason.startswith("right active elevation is 40°")


def test_rotation_is_ended_before_the_arm_ends() -> None:
    """An arm that turns out to 75° is worked to 70°, said as a note; at 95° the movement stays as written."""
    found = ready("external_rotation_90", right(external_rotation=math.radians(75)))
    assert found.reason is None
    assert max(pose.working.rotation for pose in found.exercise.poses) == pytest.approx(math.radians(70))
    assert [notice.id for notice in found.notices] == ["range-shortened"]
    assert ready("external_rotation_90").exercise == exercise_named("external_rotation_90")


def test_unknown_is_asked_and_never_taken_as_none() -> None:
    """Range and grade not known: the exercise may be tried, with a caution that names what is not known."""
    found = ready("ball_circles", right(elevation=None, elbow_extension=None))
    assert found.reason is None
    notices = [each for each in found.notices if each.id == "function-unknown"]
    assert {each.level for each in notices} == {"caution"}
    assert [each.what for each in notices] == ["right active elevation: not known", "right elbow extensors: not known"]


@pytest.mark.parametrize("grade", range(6))
def test_elbow_extensors_below_three_refuse_the_press(grade: int) -> None:
    """Grades 0 to 2 refuse, 3 to 5 do not."""
    reason = ready("anti_rotation_press", right(elbow_extension=grade)).reason
    assert (reason is None) == (grade >= 3)
    if reason:
        assert f"grade {grade} of 5" in reason


@pytest.mark.parametrize("name", BANDED)
@pytest.mark.parametrize("grip", ["none", "weak"])
def test_a_weak_grip_takes_a_cuff_where_there_is_one(name: str, grip: str) -> None:
    """The band goes to the wrist on that arm alone; without a cuff the exercise is refused with the word cuff."""
    found = ready(name, right(grip=grip))
    assert found.reason is None
    assert found.attach["right"] == "wrist_cuff"
    assert found.attach.get("left", "hand") == "hand"
    refused = ready(name, right(grip=grip), kit=NO_CUFFS).reason
    assert refused is not None and "wrist cuff" in refused


def test_two_hands_need_two_cuffs() -> None:
    """One wrist cuff lies there: two hands without grip cannot both have it."""
    athlete = replace(EVEN, left=replace(FULL_ARM, grip="none"), right=replace(FULL_ARM, grip="none"))
    one = replace(CUPBOARD, cuffs=(replace(CUPBOARD.cuffs[0], count=1),))
    assert ready("seated_row", athlete, kit=CUPBOARD).reason is None
    found = ready("seated_row", athlete, kit=one)
    assert list(found.attach.values()).count("wrist_cuff") <= 1 or found.reason is not None


def test_an_unknown_grip_is_a_caution() -> None:
    """The hand is tried before the band is stretched."""
    found = ready("seated_row", right(grip=None))
    assert found.reason is None
    assert [notice.id for notice in found.notices] == ["grip-unknown"]


@pytest.mark.parametrize("name", ["partner_hold", "wall_dribble"])
def test_what_shakes_a_long_arm_puts_a_strap_on_a_trunk_nobody_has_looked_at(name: str) -> None:
    """Unknown is treated as the worst: with no trunk control a chest strap at hand is worn, so it is here.

    The caution stays; without a strap in the cupboard nothing is put on.
    """
    for turn in ("no", None):
        trunk = replace(EVEN.trunk, forward=turn, turn=turn)
        athlete = in_chair(replace(EVEN, trunk=trunk), strap="none")
        exercise = exercise_named(name)
        form = exercise if turn is None else one_arm(exercise)
        found = readiness(form, athlete, CUPBOARD, side="right")
        assert (found.reason, found.strap, found.strap_counts) == (None, "chest", True), turn
        assert any("trunk" in each.what for each in found.notices)
        assert readiness(form, athlete, NO_STRAPS, side="right").strap == "none"


@pytest.mark.parametrize("name", ["anti_rotation_press", "anti_rotation_circles"])
def test_a_strap_that_holds_against_turning_trains_no_trunk(name: str) -> None:
    """With no muscle that turns the trunk the aim is not counted, and a caution says what holds; else it is."""
    for turn, counts in (("no", False), ("partly", True), (None, True)):
        found = ready(name, replace(EVEN, trunk=replace(EVEN.trunk, turn=turn)))
        assert ("anti-rotation" in found.exercise.aims) is counts
        assert found.exercise.aims != ()
        assert any("the strap holds it" in each.what for each in found.notices) is (turn != "partly")


@pytest.mark.parametrize("name", ["low_row", "seated_row"])
def test_a_row_on_a_hemiplegic_arm_never_draws_at_a_slack_shoulder(name: str) -> None:
    """The weak arm only: shoulder blade set, slack taken up first (common practice)."""
    weak = replace(FULL_ARM, elbow_extension=3)
    health = replace(EVEN.health, conditions=frozenset({"hemiplegia"}))
    athlete = replace(EVEN, left=weak, health=health)
    for side, told in (("left", True), ("right", False)):
        found = readiness(one_arm(exercise_named(name)), athlete, CUPBOARD, side=side)
        assert found.reason is None
        assert any("slack" in each.what and "shoulder blade" in each.do for each in found.notices) is told


@pytest.mark.parametrize(("grip", "said"), [("weak", "weak grip: "), ("none", "no grip: ")])
def test_a_grip_that_is_not_there_is_not_called_weak(grip: str, said: str) -> None:
    """What is told of the hand is what the file says of it, over the whole library."""
    other = {"weak grip: ", "no grip: "} - {said}
    told = [
        words
        for name in library()
        for found in [ready(name, replace(right(grip=grip), left=replace(FULL_ARM, grip=grip)))]
        for words in [found.reason or "", *(each.what for each in found.notices)]
    ]
    assert any(said in words for words in told)
    assert not any(each in words for words in told for each in other)


@pytest.mark.parametrize(
    ("level", "conditions", "short"),
    [
        ("T1", frozenset(), False),
        ("T2", frozenset(), True),
        ("L3", frozenset(), True),
        ("T2", frozenset({"hemiplegia"}), False),
        ("T2", None, False),
        (None, frozenset(), False),
    ],
)
def test_below_the_segments_of_the_arms_unknown_arms_are_looked_at_once(
    level: str | None, conditions: frozenset[str] | None, short: bool
) -> None:
    """T1 is the last segment that moves the hand (ISNCSCI key muscles, from memory); the caution itself stays.

    Active range is asked as before at every level.
    """
    health = replace(EVEN.health, spinal_level=level, no_spinal_injury=False, conditions=conditions)
    unknown = replace(FULL_ARM, grip=None, elbow_extension=None, elevation=None)
    found = ready("anti_rotation_press", replace(EVEN, left=unknown, right=unknown, health=health))
    of = {each.subject: each for each in found.notices if each.id in ("grip-unknown", "function-unknown")}
    assert {"left grip", "right elbow extensors", "left active elevation"} <= set(of)
    for subject, each in of.items():
        usual = short and "active" not in subject
        assert each.level == "caution"
        assert each.parts == ((("usually full", level),) if usual else ())


@pytest.mark.parametrize(("now", "may"), [(5, True), (6, False), (10, False)])
def test_pain_of_six_or_more_stops_that_arm(now: int, may: bool) -> None:
    """More than 5 of 10 stops the arm that hurts; the other may go on where it works alone."""
    pain = (Pain(place="elbow outside", side="right", usual=2, now=now),)
    athlete = replace(EVEN, health=replace(EVEN.health, pain=pain))
    assert (ready("external_rotation_90", athlete).reason is None) == may
    assert ready("external_rotation_90", athlete, side="left").reason is None
    assert (ready("seated_row", athlete, side="left").reason is None) == may


@pytest.mark.parametrize("place", ["neck", "upper back", "lower back"])
def test_pain_in_the_middle_stops_both_arms(place: str) -> None:
    """It has no side, and every pull of an arm ends there."""
    athlete = replace(EVEN, health=replace(EVEN.health, pain=(Pain(place=place, side=None, usual=1, now=8),)))
    for side in SIDES:
        reason = ready("external_rotation_90", athlete, side=side).reason
        assert reason is not None and f"{place}: pain 8 of 10 now" in reason


@pytest.mark.parametrize("limb", ["above elbow", "below elbow", "hand"])
def test_a_missing_hand_is_named(limb: str) -> None:
    """No right hand: no rotation on the right, no two-handed press; the left rotates."""
    athlete = replace(EVEN, missing_limbs=frozenset({f"right {limb}"}), right=replace(FULL_ARM, grip="none"))
    assert "there is no right hand" in (ready("external_rotation_90", athlete).reason or "")
    assert "there is no right hand" in (ready("anti_rotation_press", athlete).reason or "")
    assert ready("external_rotation_90", athlete, side="left").reason is None


def test_a_missing_leg_is_no_reason() -> None:
    """Legs do none of this, but for the feet that hold the chair at a rail."""
    athlete = replace(EVEN, missing_limbs=frozenset({"left above knee", "right below knee"}))
    assert {name for name in library() if ready(name, athlete).reason is not None} == {"rail_trunk_turns"}


def test_every_condition_of_every_exercise_is_said() -> None:
    """A condition that excludes gives its reason, one that asks for care gives a caution, in the words of the file.

    No strap is there, which could take a reason away.
    """
    unstrapped = in_chair(EVEN, strap="none")
    for name, exercise in library().items():
        for caution in exercise.cautions:
            athlete = replace(unstrapped, health=replace(EVEN.health, conditions=frozenset({caution.condition})))
            found = ready(name, athlete, kit=NO_STRAPS)
            if caution.effect == "exclude":
                assert f"{caution.condition}: {caution.why}" in (found.reason or "")
            else:
                assert found.reason is None
                assert any(notice.do == caution.do and notice.level == "caution" for notice in found.notices)


def test_a_recent_operation_excludes_the_whole_library() -> None:
    """No exercise loads or stretches a shoulder that was just operated."""
    athlete = replace(EVEN, health=replace(EVEN.health, conditions=frozenset({"recent shoulder operation"})))
    assert [name for name in library() if ready(name, athlete).reason is None] == []


def test_the_one_arm_variant_frees_a_hand() -> None:
    """Both-handed exercises become one side after the other, the other hand on the frame, doses per side."""
    for name in ("seated_row", "anti_rotation_press"):
        alone = one_arm(exercise_named(name))
        assert alone.sides == "each"
        assert alone.title.endswith("one arm")
        assert alone.needs.hands == 1
        assert alone.band is not None and alone.band.grip == "working"
        assert all(dose.per_side for dose in alone.doses)
        assert {pose.other.target.at for pose in alone.poses if pose.other.target} == {"frame"}
