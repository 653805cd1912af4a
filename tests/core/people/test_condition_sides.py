"""A condition of one shoulder says nothing of the other: written for a side, read, and asked by an exercise.

Which of them are of one side is anatomy; that an unknown side counts for both is "unknown is never no restriction".
"""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from firstpush.core.checks.bodies import grid_of_athletes, reference_kit
from firstpush.core.errors import InputFileError
from firstpush.core.exercises.loader import library
from firstpush.core.people.athlete import SIDED_CONDITIONS, SIDES, Athlete, Side
from firstpush.core.people.athlete_file import load_athlete
from firstpush.core.setup.readiness import Readiness, readiness
from firstpush.demo import demo_file

PLAIN: Athlete = replace(next(iter(grid_of_athletes())), missing_limbs=frozenset())


def read(folder: Path, *lines: str) -> Athlete:
    """Return the demo athlete with these lines in place of its conditions."""
    text = demo_file("athlete").read_text(encoding="utf-8")
    (old,) = [line for line in text.splitlines() if line.startswith("conditions")]
    path = folder / "athlete.toml"
    path.write_text(text.replace(old, "\n".join(lines)), encoding="utf-8")
    return load_athlete(path)


def with_condition(condition: str, *sides: Side) -> Athlete:
    """Return a well athlete with one condition, of these sides; of none named, of an unknown side."""
    known = frozenset((condition, side) for side in sides)
    return replace(PLAIN, health=replace(PLAIN.health, conditions=frozenset({condition}), condition_sides=known))


def ready(id_: str, athlete: Athlete, side: Side) -> Readiness:
    """Return whether the athlete may do an exercise on a side."""
    return readiness(library()[id_], athlete, reference_kit(), side=side)


def test_the_old_form_is_read_and_counts_for_both(tmp_path: Path) -> None:
    """`conditions` alone says no side: left and right have it."""
    health = read(tmp_path, 'conditions = ["painful arc", "shunt"]').health
    assert health.conditions == {"painful arc", "shunt"}
    for side in SIDES:
        assert health.conditions_of([side]) == {"painful arc", "shunt"}


def test_a_side_is_read(tmp_path: Path) -> None:
    """The right shoulder has the arc; the shunt has no side."""
    health = read(tmp_path, 'conditions = ["shunt"]', 'conditions_right = ["painful arc"]').health
    assert health.conditions == {"painful arc", "shunt"}
    assert health.conditions_of(["right"]) == {"painful arc", "shunt"}
    assert health.conditions_of(["left"]) == {"shunt"}
    assert health.conditions_of(SIDES) == {"painful arc", "shunt"}


def test_both_sides_may_be_named(tmp_path: Path) -> None:
    """Left and right each: both have it."""
    lines = ('conditions = "none"', 'conditions_left = ["cuff repair"]', 'conditions_right = ["cuff repair"]')
    health = read(tmp_path, *lines).health
    for side in SIDES:
        assert health.conditions_of([side]) == {"cuff repair"}


def test_what_stands_under_both_counts_for_both(tmp_path: Path) -> None:
    """Once without a side and once for the left: the careful reading."""
    health = read(tmp_path, 'conditions = ["cuff repair"]', 'conditions_left = ["cuff repair"]').health
    assert health.conditions_of(["right"]) == {"cuff repair"}


@pytest.mark.parametrize(
    "lines",
    [
        ('conditions_left = ["painful arc"]',),  # what else there is, is not said
        ('conditions = "none"', 'conditions_left = ["shunt"]'),  # it has no side
        ('conditions = "none"', 'conditions_left = ["recent shoulder operation"]'),  # the other arm leans on it too
    ],
)
def test_what_cannot_be_of_a_side_is_a_fault(tmp_path: Path, lines: tuple[str, ...]) -> None:
    """The fault names the key."""
    with pytest.raises(InputFileError, match="conditions_left"):
        read(tmp_path, *lines)


@pytest.mark.parametrize("condition", SIDED_CONDITIONS)
def test_an_exercise_of_one_arm_asks_for_that_arm(condition: str) -> None:
    """With the right shoulder named, a one-arm exercise of the left is as without it; one of the right, as before."""
    for id_, exercise in library().items():
        right, unknown = with_condition(condition, "right"), with_condition(condition)
        for side in SIDES:
            alone = exercise.sides_of(side) == (side,) and exercise.needs.hands < 2
            expected = PLAIN if alone and side == "left" else unknown
            found, wanted = ready(id_, right, side), ready(id_, expected, side)
            assert (found.reason, found.notices, found.exercise) == (wanted.reason, wanted.notices, wanted.exercise)
