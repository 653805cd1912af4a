"""Times and speeds against published means; sources by key, what was read of them said with each."""

from __future__ import annotations

import math

import pytest
from course_cases import outline

from firstpush.core.courses import (
    Split,
    athlete_speed,
    bracket_of,
    fit_sprint,
    lay_out,
    line_over,
    time_to,
    turning_of,
)
from firstpush.core.courses.limits import FASTEST, FASTEST_TURN

YANCI = (Split(distance=5.0, time=1.87), Split(distance=20.0, time=5.70))
"""Means of 16 basketball players (Yanci 2015, Biol Sport 32:71-78; table read): SD 0.21 and 0.43 s."""


def test_sprint_means_of_yanci_2015_come_back() -> None:
    """5 m in 1.87 s and 20 m in 5.70 s, to the digits printed; two splits, two unknowns."""
    found = fit_sprint(YANCI, start_offset=0.5)
    assert found.misses == pytest.approx((0.0, 0.0), abs=0.005)
    low, high = 4.98 - 2 * 0.43, 4.98 + 2 * 0.43
    # Highest speeds in matches of basketball, mean and SD (van der Slikke 2020, table 2, read): other players, who are
    # the best; the fit lies within two spreads of them.
    assert low <= found.maximal_speed.value <= high


def test_a_guessed_athlete_sprints_like_those_measured() -> None:
    """With nothing measured, quick to slow take in 5 m and 20 m of Yanci 2015 from 0.5 m behind the line."""
    speed = athlete_speed()
    for split in YANCI:
        quick, slow = (
            float(time_to(split.distance + 0.5, limits) - time_to(0.5, limits))
            for limits in (speed.limits("quick"), speed.limits("slow"))
        )
        assert quick <= split.time <= slow


def test_the_t_course_of_a_measured_team_lies_in_the_bracket() -> None:
    """16.96 s (SD 1.14) for a T of 9.14 and 4.57 m: from an abstract that tells no way round the cones: weak.

    The bracket of an athlete with the team's sprint means must hold a part of the mean ± one SD.
    """
    of = outline(0.80)
    speed = athlete_speed(sprint=fit_sprint(YANCI, start_offset=0.5))
    bracket = bracket_of(lay_out("t", outline=of), of, speed)
    assert bracket.low <= 16.96 + 1.14
    assert bracket.high >= 16.96 - 1.14


@pytest.mark.parametrize("name", ["half-circle", "slalom", "figure-eight", "t", "stop-and-turn"])
def test_no_line_asks_for_more_than_matches_showed(name: str) -> None:
    """Van der Slikke 2020, table 2: maximal 4.98 m/s (SD 0.43) and 388 degrees/s (SD 71); limits 6 m/s and 600."""
    of = outline()
    for edge in ("quick", "likely", "slow"):
        line = line_over(lay_out(name, outline=of), of, athlete_speed().limits(edge))
        assert line.top_speed <= 4.98 + 2 * 0.43 < FASTEST
        assert math.degrees(turning_of(line).fastest) <= 388 + 2 * 71 < math.degrees(FASTEST_TURN)
