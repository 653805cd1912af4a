"""Steps of a week are counted for each arm: two of the left hold the left back, and both arms where both work."""

from __future__ import annotations

from datetime import date, timedelta

import pytest

from firstpush.core.people.athlete import Side
from firstpush.core.progress.steps_counted import others_stepped

TODAY = date(2026, 11, 25)
ARMS: dict[str, tuple[Side, ...]] = {
    "left press": ("left",),
    "left row": ("left",),
    "right row": ("right",),
    "pull apart": ("left", "right"),
}


@pytest.mark.parametrize(
    ("exercise", "count"),
    [
        ("right row", 1),  # of both arms: one; the two of the left arm are not its own
        ("left row", 2),
        ("pull apart", 2),
        ("rolling", 3),  # it loads nobody knows what: every step counts
    ],
)
def test_steps_of_the_same_arm_count(exercise: str, count: int) -> None:
    """Counted by hand over three steps of this week."""
    stepped = dict.fromkeys(("left press", "left row", "pull apart"), TODAY)
    assert others_stepped(exercise, stepped_on=stepped, arms_of=ARMS, on=TODAY) == count


@pytest.mark.parametrize(("days", "count"), [(0, 1), (6, 1), (7, 0), (-1, 0)])
def test_a_week_has_seven_days(days: int, count: int) -> None:
    """A step a week ago no longer counts (our choice), nor does one that comes later."""
    stepped = {"left press": TODAY - timedelta(days=days)}
    assert others_stepped("left row", stepped_on=stepped, arms_of=ARMS, on=TODAY) == count


def test_its_own_step_is_no_other() -> None:
    """That one is held by its own week."""
    assert others_stepped("left row", stepped_on={"left row": TODAY}, arms_of=ARMS, on=TODAY) == 0
