"""Clock words of a push, against the hours of a dial."""

from __future__ import annotations

import math

import pytest

from firstpush.core.courses import clock_words, facts_at
from firstpush.core.errors import OutOfRangeError


@pytest.mark.parametrize(("degrees", "hour"), [(-60, 10), (-30, 11), (0, 12), (30, 1), (60, 2), (90, 3), (180, 6)])
def test_hours_seen_from_the_right_run_forward(degrees: float, hour: int) -> None:
    """Seen from the wheel's right side, forward is clockwise, 30 degrees an hour."""
    assert clock_words(math.radians(degrees), seen_from="right") == f"{hour} o'clock, seen from the right"


@pytest.mark.parametrize("degrees", [-75, -60, -15, 0, 45, 90])
def test_from_the_left_the_dial_is_mirrored(degrees: float) -> None:
    """What is 2 o'clock from one side is 10 o'clock from the other."""
    left = clock_words(math.radians(degrees), seen_from="left")
    assert left.replace("left", "right") == clock_words(math.radians(-degrees), seen_from="right")


def test_half_hours_are_said() -> None:
    """45 degrees forward."""
    assert clock_words(math.radians(45), seen_from="right") == "half past 1, seen from the right"
    assert clock_words(math.radians(-15), seen_from="right") == "half past 11, seen from the right"


def test_beyond_the_wheel_there_is_no_hour() -> None:
    """200 degrees from the top."""
    with pytest.raises(OutOfRangeError, match="200 degrees from the top of the wheel is no place on it"):
        clock_words(math.radians(200), seen_from="left")


def test_every_fact_says_where_it_comes_from() -> None:
    """Easy lengths and fast ones have different facts."""
    assert facts_at(0.25) != facts_at(1.0)
    assert all(fact.source and fact.says for share in (0.25, 0.5, 0.75, 1.0) for fact in facts_at(share))
