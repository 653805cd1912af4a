"""Where the wanted load comes from: by hand, from strength, or the start table."""

from __future__ import annotations

from dataclasses import replace
from typing import Literal

import pytest
from setup_cases import EVEN, RUNA

from firstpush.core.exercises.loader import exercise_named, library
from firstpush.core.people.athlete import Pain, StrengthTest
from firstpush.core.people.body_size import body_size
from firstpush.core.setup.targets import Today, target_for

SIZE = EVEN.mass * body_size(EVEN).reach / (65.0 * 0.70)
"""Start loads are written for 65 kg and a reach of 0.70 m, and go with mass and reach as moments do."""

ROTATION = exercise_named("external_rotation_90")
ROW = exercise_named("seated_row")


def measured(
    position: str, *, how: Literal["make", "break"] = "make", moment: float = 20.0, movement: str = "external rotation"
) -> StrengthTest:
    """Return a strength test of the right arm."""
    return StrengthTest(side="right", movement=movement, moment=moment, position=position, test=how)


def test_nothing_known_starts_from_the_table_of_the_exercise() -> None:
    """The start load of the exercise file, as a try-out set, and the file's own largest load as its limit."""
    target = target_for(ROTATION, EVEN, side="right")
    assert target is not None
    assert target.kind == "try-out"
    assert (target.value, target.largest) == pytest.approx((4.0 * SIZE, 15.0 * SIZE))
    assert target.known == "our choice"


@pytest.mark.parametrize(
    ("position", "how", "share"),
    [
        ("seated, arm at 90 degrees of abduction", "make", 0.45),
        ("seated, arm at side", "make", 0.45 * 0.8),
        ("seated, arm at 90 degrees", "break", 0.45 * 0.85),
        ("lying, arm at side", "break", 0.45 * 0.8 * 0.85),
    ],
)
def test_strength_is_taken_at_its_share(position: str, how: Literal["make", "break"], share: float) -> None:
    """45 % at the tested position, four fifths of that from another, 85 % of a break test."""
    target = target_for(ROTATION, replace(EVEN, strength=(measured(position, how=how),)), side="right")
    assert target is not None
    assert target.kind == "strength"
    assert target.value == pytest.approx(share * 20.0)
    assert "20.0 N·m" in target.words and position in target.words


def test_a_test_speaks_for_its_own_side_and_movement() -> None:
    """The right arm's test says nothing about the left, nor rotation about the row."""
    athlete = replace(EVEN, strength=(measured("arm at 90 degrees"),))
    left, row = target_for(ROTATION, athlete, side="left"), target_for(ROW, athlete, side="right")
    assert left is not None and row is not None
    assert (left.kind, row.kind) == ("try-out", "try-out")


def test_great_strength_stops_at_the_largest_of_the_exercise() -> None:
    """60 N·m would give 27; the exercise goes to 15 for the body it is written for."""
    target = target_for(ROTATION, replace(EVEN, strength=(measured("arm at 90 degrees", moment=60.0),)), side="right")
    assert target is not None
    assert target.value == pytest.approx(15.0 * SIZE)


def test_by_hand_comes_before_strength() -> None:
    """A decision accepted by the practitioner is taken as it is."""
    target = target_for(ROTATION, RUNA, side="right", given=7.5)
    assert target is not None
    assert (target.kind, target.value) == ("given", 7.5)


def test_by_hand_does_not_lift_the_largest() -> None:
    """What the exercise file calls its largest load stays its largest load, whatever is typed."""
    target = target_for(ROTATION, EVEN, side="right", given=40.0)
    assert target is not None
    assert target.value == target.largest == pytest.approx(15.0 * SIZE)


def test_no_moment_no_target() -> None:
    """Where the exercise states no moment there is nothing to aim at, not even by hand."""
    for exercise in library().values():
        if exercise.loads == "none" and not exercise.loaded_links:
            assert target_for(exercise, RUNA, side="right") is None
            assert target_for(exercise, RUNA, side="right", given=5.0) is None


def test_every_start_load_is_below_its_largest() -> None:
    """In the whole library the first load is at most half of the largest, and both are above 0."""
    for exercise in library().values():
        if exercise.start_load is not None:
            assert 0 < exercise.start_load.first.value <= 0.5 * exercise.start_load.largest.value, exercise.id


def test_a_first_time_says_why_in_words_of_its_own() -> None:
    """Not known, too young, or sore: three reasons, and none denies a test that was done (common practice)."""
    tested = replace(EVEN, strength=(measured("seated, arm at side"),))
    unknown = target_for(ROW, tested, side="right")
    young = target_for(ROTATION, tested, side="right", today=Today(junior=True))
    untested = target_for(ROTATION, EVEN, side="right", today=Today(junior=True))
    pain = (Pain(place="shoulder top", side="right", usual=1, now=4),)
    sore = target_for(ROTATION, replace(tested, health=replace(tested.health, pain=pain)), side="right")
    known = target_for(ROTATION, tested, side="right")
    assert unknown is not None and young is not None and untested is not None and sore is not None and known is not None
    assert unknown.first_time.startswith("first time: no strength or earlier load known")
    assert young.first_time.endswith("whatever was tested")
    assert untested.first_time == "first time: a junior begins at the lightest start of this exercise"
    assert sore.first_time == "the right side hurts too much today, so 50 % of the start load"
    assert known.first_time == ""
