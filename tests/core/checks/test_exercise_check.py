"""The check of exercises: right ones pass, and wrong ones are refused with the reason that is wrong with them."""

from __future__ import annotations

from dataclasses import replace
from math import radians

import pytest

from firstpush.core.checks.bodies import STATURES, grid_of_athletes
from firstpush.core.checks.exercise_check import Finding, check_exercise
from firstpush.core.exercises.definition import Exercise
from firstpush.core.exercises.loader import exercise_named, library

KNOWN = frozenset(library())


def findings(exercise: Exercise) -> dict[str, Finding]:
    """Return the findings by rule, without drawings."""
    return {each.rule: each for each in check_exercise(exercise, known_ids=KNOWN)}


@pytest.mark.parametrize("name", ["seated_row", "external_rotation_90", "chest_stretch_post"])
def test_a_right_exercise_gives_no_finding(name: str) -> None:
    """Three of the library, told by angles, by a hand that stays, and by both arms."""
    assert findings(exercise_named(name)) == {}


def test_a_band_tied_on_the_wrong_side_is_refused_for_what_it_loads() -> None:
    """Rotation against a post behind: the pull helps to turn out instead of loading it."""
    right = exercise_named("external_rotation_90")
    assert right.band is not None
    found = findings(replace(right, band=replace(right.band, anchor_side="behind")))
    assert "external rotation" in found["load"].what


def test_an_axis_that_is_not_loaded_is_refused() -> None:
    """A row that claims to load the internal rotators does not load them for most of the movement, nor mostly them."""
    found = findings(replace(exercise_named("seated_row"), loads="internal rotation"))
    assert {"load", "axis", "set-up"} & set(found)


def test_an_elbow_bent_too_far_is_refused_with_its_angle() -> None:
    """170° is more than an elbow bends; the finding says what is allowed."""
    right = exercise_named("seated_row")
    poses = tuple(
        replace(pose, working=replace(pose.working, elbow=radians(170)), other=replace(pose.other, elbow=radians(170)))
        for pose in right.poses
    )
    found = findings(replace(right, poses=poses))
    assert "elbow flexion is 170°, allowed 0 to 150°" in found["range"].what


def test_a_forearm_through_the_belly_is_refused() -> None:
    """Turned in by 100° with the elbow bent and the arm hanging, the forearm goes through the trunk."""
    right = exercise_named("external_rotation_side")
    start = right.poses[0]
    inside = replace(start, working=replace(start.working, plane=0.0, elevation=0.0, rotation=radians(-100)))
    found = findings(replace(right, poses=(inside, *right.poses[1:])))
    assert "trunk" in found["through the body"].what


def test_a_hand_out_of_reach_is_refused() -> None:
    """Hands farther from the breastbone than an arm is long cannot be posed for anybody."""
    right = exercise_named("anti_rotation_press")
    end = right.poses[-1]
    assert end.working.target is not None
    far = replace(end.working, target=replace(end.working.target, forward=1.2))
    found = findings(replace(right, poses=(*right.poses[:-1], replace(end, working=far, other=far))))
    assert "this arm reaches" in found["reach"].what


def test_a_step_to_an_exercise_that_is_not_there_is_refused() -> None:
    """The easier exercise must exist."""
    found = findings(replace(exercise_named("seated_row"), easier_exercise="no_such_row"))
    assert "no_such_row" in found["links"].what


def test_the_grid_is_as_wide_as_it_says() -> None:
    """From 1.50 m to 1.98 m, both sexes, both chairs, with and without legs."""
    people = grid_of_athletes()
    assert len(people) == len(STATURES) * 2 * 2
    assert {each.sex for each in people} == {"female", "male"}
    assert {each.chair.kind for each in people} == {"court", "daily"}
    assert (min(STATURES), max(STATURES)) == (1.50, 1.98)
