"""The timeline against sums by hand, and properties that any true account of time has."""

from dataclasses import replace
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from session_cases import BOTH, catalogues, only_dose, ready

from firstpush.core.errors import OutOfRangeError
from firstpush.core.people.athlete import SIDES
from firstpush.core.session import Candidate, Chosen, Timeline, timeline
from firstpush.core.session.changes import change
from firstpush.core.session.timeline import clock

START = 60


@st.composite
def plans(draw: st.DrawFn) -> list[Chosen]:
    """Exercises with doses in any order, also in one that no session has."""
    candidates = draw(catalogues(largest=5))
    return [Chosen(candidate=each, dose=draw(st.sampled_from(each.exercise.doses))) for each in candidates]


@settings(max_examples=60, deadline=None)
@given(items=plans())
def test_steps_add_up_to_the_second(items: list[Chosen]) -> None:
    """Each step begins where the one before ends, takes at least a second, and all together are the whole."""
    plan = timeline(items)
    assert plan.steps[0].start_s == 0
    for one, two in pairwise(plan.steps):
        assert one.end_s == two.start_s
    assert all(step.seconds > 0 for step in plan.steps)
    assert plan.total_s == sum(step.seconds for step in plan.steps) == plan.steps[-1].end_s


@settings(max_examples=60, deadline=None)
@given(items=plans())
def test_every_set_of_the_dose_is_done_on_every_side(items: list[Chosen]) -> None:
    """As many sets as the dose says, on the sides the candidate has, and on no other."""
    plan = timeline(items)
    for chosen in items:
        done = [step for step in plan.steps_of(chosen.candidate.id) if step.kind == "set"]
        if chosen.candidate.together:
            assert [step.side for step in done] == [None] * chosen.dose.sets
            continue
        for side in SIDES:
            expected = chosen.dose.sets if side in chosen.candidate.sides else 0
            assert sum(step.side == side for step in done) == expected


@settings(max_examples=60, deadline=None)
@given(items=plans())
def test_a_side_rests_at_least_as_long_as_the_dose_says(items: list[Chosen]) -> None:
    """Between two sets of one side lies the pause of the dose or more."""
    plan = timeline(items)
    for chosen in items:
        for side in (None, *SIDES):
            done = [s for s in plan.steps_of(chosen.candidate.id) if s.kind == "set" and s.side == side]
            for one, two in pairwise(done):
                assert two.start_s - one.end_s >= chosen.dose.pause_s


@settings(max_examples=60, deadline=None)
@given(items=plans())
def test_a_blocked_chair_never_moves(items: list[Chosen]) -> None:
    """The chair is blocked for the sets that ask for it, freed before it moves or turns, and free at the end."""
    asks = {chosen.candidate.id: chosen.candidate.blocked for chosen in items}
    turned_by = {"Turn": True, "Change": False}
    blocked = False
    for step in timeline(items).steps:
        if step.kind == "block the chair":
            assert not blocked
            blocked = True
        elif step.kind == "free the chair":
            assert blocked
            blocked = False
        elif step.kind == "move" or (step.kind == "change sides" and turned_by[step.words.split()[0]]):
            assert not blocked
        elif step.kind == "set":
            assert step.exercise is not None
            assert blocked == asks[step.exercise]
    assert not blocked


def test_seated_row_takes_what_the_sum_by_hand_says() -> None:
    """Check, set up in full, block, two sets of ten at 2 + 1 + 2 s with 45 s between, free."""
    plan = timeline([only_dose(ready("seated_row"))])
    assert plan.total_s == START + 40 + 20 + 10 * (2 + 1 + 2) + 45 + 10 * (2 + 1 + 2) + 15


def test_the_other_side_works_in_the_pause() -> None:
    """Two sets of ten at 5 s a side with 30 s of pause: 5 s of changing hands are the only pause there is."""
    plan = timeline([only_dose(ready("external_rotation_90"))])
    one_set, hands = 10 * (2 + 0 + 3), 5
    assert plan.total_s == START + 45 + 20 + 4 * one_set + 3 * hands + 15
    assert plan.seconds_of("pause") == 0
    assert [step.side for step in plan.steps if step.kind == "set"] == ["left", "right", "left", "right"]


def test_a_pause_remains_where_the_other_side_works_too_short() -> None:
    """With 100 s of pause, 50 s of the other side and twice 5 s of changing hands, 40 s are left to wait."""
    base = ready("external_rotation_90")
    long_pause = replace(base.exercise.doses[0], pause_s=100)
    candidate = replace(base, exercise=replace(base.exercise, doses=(long_pause,)))
    assert timeline([only_dose(candidate)]).seconds_of("pause") == 100 - 50 - 2 * 5


def test_the_chair_is_turned_once_where_turning_takes_longer_than_resting() -> None:
    """A post at the working side and a blocked chair: both sets on one side, one turn, both on the other."""
    plan = timeline([only_dose(ready("anti_rotation_press"))])
    one_set, turn = 8 * (2 + 2 + 2), 15 + 25 + 20
    assert plan.total_s == START + 45 + 20 + 2 * (one_set + 20 + one_set) + turn + 15
    assert [step.side for step in plan.steps if step.kind == "set"] == ["left", "left", "right", "right"]


def test_one_side_only_rests_in_pauses() -> None:
    """Only the left arm: its two sets with a pause between, and no change of sides."""
    plan = timeline([only_dose(ready("external_rotation_90", sides=("left",)))])
    assert plan.total_s == START + 45 + 20 + 50 + 30 + 50 + 15
    assert plan.seconds_of("change sides") == 0
    assert {step.side for step in plan.steps if step.kind == "set"} == {"left"}


@pytest.mark.parametrize(
    ("differs", "expected"),
    [
        ({}, 10),
        ({"anchor_height": 1.2}, 10 + 10),
        ({"band": "tube"}, 10 + 10),
        ({"slack_length": 0.5}, 10 + 10),
        ({"strands": 2}, 10 + 10),
        ({"distance": 0.8}, 10 + 10 + 15 + 20),
        ({"anchor_side": "behind"}, 10 + 25 + 15 + 20),
        # From another post everything is new, and the exercise's own 40 s are less than 10 + 25 + 10 + 10.
        ({"post": "basket upright"}, 40 + 15 + 20),
    ],
)
def test_what_stays_as_it_was_takes_no_time(differs: dict[str, object], expected: int) -> None:
    """After the row a second row needs only what differs: show 10 s, height 10 s, band 10 s, turn 25 s, block, free."""
    first = ready("seated_row")
    second = replace(first, exercise=replace(first.exercise, id="row_again"), **differs)
    both = timeline([only_dose(first), only_dose(second)]).total_s
    one_row = 10 * 5 + 45 + 10 * 5
    assert both == START + 40 + 20 + one_row + expected + one_row + 15


def test_an_exercise_without_a_post_takes_the_chair_away_from_it() -> None:
    """Between two rows at one post, the ball costs the whole setting up of the second row again."""
    row, ball = ready("seated_row"), ready("ball_circles")
    again = replace(row, exercise=replace(row.exercise, id="row_again"))
    apart = timeline([only_dose(row), only_dose(ball), only_dose(again)])
    together = timeline([only_dose(row), only_dose(again), only_dose(ball)])
    assert apart.total_s - together.total_s == (15 + 40 + 20) - 10


def test_parts_of_a_second_are_rounded_up() -> None:
    """Three repetitions of 2.1 s are 6.3 s and count as 7 s."""
    push = ready("graded_push_lengths")
    dose = replace(push.exercise.doses[0], sets=1, seconds=None, repetitions=3, out_s=1.1, hold_s=0.0, back_s=1.0)
    assert timeline([Chosen(candidate=push, dose=dose)]).seconds_of("set") == 7


def test_nothing_takes_no_time() -> None:
    """No exercise, no check before the start."""
    assert timeline([]) == Timeline(steps=())
    assert timeline([]).total_s == 0


@pytest.mark.parametrize(
    ("sides", "preference", "said"),
    [((), 1.0, "not a choice of sides"), (("left",), 1.0, "both sides are needed"), (BOTH, 1.1, "0 to 1")],
)
def test_a_candidate_that_contradicts_itself_is_refused(sides: tuple, preference: float, said: str) -> None:  # type: ignore[type-arg]
    """The row needs both arms at once; the message says what is wrong."""
    row = ready("seated_row").exercise
    assert Candidate(exercise=row, sides=BOTH, preference=1.0).together
    with pytest.raises(OutOfRangeError, match=said):
        Candidate(exercise=row, sides=sides, preference=preference)


def test_a_dose_a_side_for_both_arms_together_is_refused() -> None:
    """A dose per side of the row would count its time twice or not at all."""
    row = ready("seated_row").exercise
    wrong = replace(row, doses=(replace(row.doses[0], per_side=True),))
    with pytest.raises(OutOfRangeError, match="per_side goes with sides = 'each'"):
        Candidate(exercise=wrong, sides=BOTH)


def test_clock_reads_as_minutes_and_seconds() -> None:
    """Seconds have two digits, minutes as many as they need."""
    assert [clock(59), clock(60), clock(60 * 4 + 5)] == ["0:59", "1:00", "4:05"]


def test_cuffs_and_straps_take_their_time_once() -> None:
    """A cuff for each arm at 20 s and a strap at 20 s, the first time only (common practice, times are our choice)."""
    bare = ready("seated_row")
    dressed = ready("seated_row", attach="wrist_cuff", strap="chest")
    assert change(before=None, after=dressed).total_s - change(before=None, after=bare).total_s == 2 * 20 + 20
    assert change(before=dressed, after=dressed).total_s == change(before=bare, after=bare).total_s
    one_arm = ready("external_rotation_90", sides=("left",), attach="wrist_cuff")
    plain = ready("external_rotation_90", sides=("left",))
    assert change(before=bare, after=one_arm).total_s - change(before=bare, after=plain).total_s == 20
