"""Turns, pushes and time of a line: sums, symmetries and hand arithmetic; and a course one step on."""

from __future__ import annotations

import math

import numpy as np
import pytest
from course_cases import outline

from firstpush.core.courses import (
    LAYOUTS,
    CourseError,
    Limits,
    lay_out,
    least_spacing,
    line_over,
    pushes_of,
    step_course,
    time_use,
    turning_of,
)
from firstpush.core.courses.turning import push_rate


def test_a_half_circle_turns_once_for_each_passage() -> None:
    """Five outer cones on the right hand, the centre four times on the left: as counted on the plan."""
    of = outline()
    found = turning_of(line_over(lay_out("half-circle", outline=of), of))
    assert (found.left, found.right) == (4, 5)
    assert [each.cone for each in found.passages] == list("102030405")
    assert all((each.turned > 0) == (each.hand == "left") for each in found.passages)
    times = [each.time for each in found.passages]
    assert times == sorted(times)


@pytest.mark.parametrize("name", LAYOUTS)
def test_the_other_way_round_exchanges_left_and_right(name: str) -> None:
    """Counts, sums of angles; load and wheel difference stay."""
    of = outline()
    course = lay_out(name, outline=of)
    one, other = turning_of(line_over(course, of)), turning_of(line_over(course.mirrored(), of))
    assert (other.left, other.right) == (one.right, one.left)
    assert (other.turned_left, other.turned_right) == pytest.approx((one.turned_right, one.turned_left), abs=1e-6)
    assert other.load == pytest.approx(one.load, rel=1e-6)
    assert other.wheel_difference == pytest.approx(one.wheel_difference, rel=1e-4)


def test_all_turning_is_the_change_of_heading() -> None:
    """Left less right is where the chair faces at the end; stop-and-turn: half turns of 180 degrees to both sides."""
    of = outline()
    line = line_over(lay_out("half-circle", outline=of), of)
    found, direction = turning_of(line), line.rolls[0].candidate.track.direction
    assert found.turned_left - found.turned_right == pytest.approx(direction[-1] - direction[0])
    assert sum(each.turned for each in found.passages) == pytest.approx(direction[-1] - direction[0])
    turns = turning_of(line_over(lay_out("stop-and-turn", outline=of, count=5), of))
    assert (turns.left, turns.right) == (2, 2)
    assert (turns.turned_left, turns.turned_right) == pytest.approx((2 * math.pi, 2 * math.pi))


def test_the_wheel_difference_of_a_turn_on_the_spot_by_hand() -> None:
    """Both wheels run half a track from the middle in opposite directions: difference = rate × track."""
    of = outline()
    line = line_over(lay_out("stop-and-turn", outline=of), of, Limits(turning_rate=2.0))
    found = turning_of(line)
    assert found.fastest == pytest.approx(2.0)
    assert found.wheel_difference == pytest.approx(2.0 * of.track)
    assert found.load_deg_per_min == pytest.approx(3 * 180 / line.duration * 60)


@pytest.mark.parametrize("name", LAYOUTS)
def test_where_the_time_goes_adds_up(name: str) -> None:
    """No second is lost or counted twice."""
    of = outline()
    line = line_over(lay_out(name, outline=of), of)
    found = time_use(line)
    parts = [
        found.speeding_up,
        found.braking,
        found.held_back_by_the_turn,
        found.at_speed,
        found.turning_on_the_spot,
        found.standing,
    ]
    assert sum(parts) == pytest.approx(line.duration)
    assert min(parts) >= -1e-9
    assert (found.turning_on_the_spot > 0) == bool(line.turns)


def test_pushes_by_hand() -> None:
    """One length of 20 m at an even push rate of 1 a second: the time it is pushed, not braked."""
    of = outline()
    slow = Limits(maximal_speed=1.0, time_constant=0.5)
    line = line_over(lay_out("push-lanes", outline=of, count=1), of, slow)
    pushed = line.duration - 1.0 / slow.braking
    found = pushes_of(line)
    assert found.about == pytest.approx(pushed, abs=1.0)
    assert found.low == math.floor(0.7 * pushed) or abs(found.low - 0.7 * found.about) <= 1.0
    assert found.low < found.about < found.high
    assert push_rate(np.array([0.5, 1.1, 2.55, 4.0, 5.0])) == pytest.approx([1.0, 1.0, 1.65, 2.3, 2.3])


def test_closer_cones_turn_the_chair_more_per_minute() -> None:
    """Wider spacing, lower load: what a course is made harder by."""
    of = outline()
    loads = [
        turning_of(line_over(lay_out("half-circle", outline=of, spacing=radius), of)).load for radius in (2, 3, 4, 5)
    ]
    assert loads == sorted(loads, reverse=True)


def test_a_step_harder_is_a_tenth_more_turning_and_back_again_easier() -> None:
    """Within what 5 cm of spacing make; the chair still has its room; the time hardly moves."""
    of = outline()
    harder = step_course("half-circle", outline=of, spacing=3.5, harder=True)
    easier = step_course("half-circle", outline=of, spacing=harder.spacing, harder=False)
    assert harder.reached and harder.limit == ""
    assert harder.ratio == pytest.approx(1.10, abs=0.02)
    assert harder.spacing < 3.5
    assert easier.spacing == pytest.approx(3.5, abs=0.1)
    assert abs(harder.duration_after / harder.duration_before - 1) < 0.06
    assert (harder.after.left, harder.after.right) == (harder.before.left, harder.before.right)


def test_where_no_step_is_left_the_reason_is_told() -> None:
    """At the least spacing the cones cannot come closer."""
    of = outline()
    least = least_spacing("half-circle", outline=of).needed
    found = step_course("half-circle", outline=of, spacing=least, harder=True)
    assert not found.reached
    assert found.spacing == least
    assert found.limit.startswith(f"at the least radius, {least:.2f} m, the chair turns +0 % per minute, not +10 %")
    with pytest.raises(CourseError, match="push lanes has no turn that a spacing makes harder"):
        step_course("push-lanes", outline=of, spacing=20.0, harder=True)
