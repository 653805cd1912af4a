"""Speeds along a track, against closed forms, a linear program, and the limits put in again."""

from __future__ import annotations

import math

import numpy as np
import pytest
from course_cases import outline
from numpy.typing import NDArray
from scipy.integrate import quad, solve_ivp
from scipy.optimize import linprog
from scipy.sparse import lil_matrix

from firstpush.core.courses import Limits, candidates, lay_out, time_to
from firstpush.core.courses.profile import profile_of, turn_duration, turn_peak, turn_progress
from firstpush.core.courses.smooth import Track, track_of
from firstpush.core.errors import OutOfRangeError

TRACK = 0.70
LIMITS = Limits(maximal_speed=4.0, time_constant=1.0, braking=2.5)


def straight(length: float, step: float = 0.05) -> Track:
    """Return a straight track."""
    x = np.linspace(0.0, length, round(length / step) + 1)
    return track_of(np.column_stack([x, 0.0 * x]))


def test_straight_on_without_braking_is_the_closed_form() -> None:
    """20 m from standstill, passed at speed: t = τ (z + W₀(−e^(−z)))."""
    found = profile_of(straight(20.0), LIMITS, wheel_track=TRACK, end_speed=None)
    assert found.duration == pytest.approx(float(time_to(20.0, LIMITS)), rel=0.002)


def test_straight_on_to_a_stop_is_push_and_then_brake() -> None:
    """Push until braking just suffices: found by integrating x'' = a (1 − v/v_max), and braking at 2.5 m/s²."""
    length = 12.0

    def brake_now(_t: float, state: NDArray[np.float64]) -> float:
        return float(length - state[0] - state[1] ** 2 / (2 * 2.5))

    brake_now.terminal = True  # type: ignore[attr-defined]
    way = solve_ivp(lambda _t, s: [s[1], 4.0 * (1 - s[1] / 4.0)], (0, 20), [0, 0], events=brake_now, rtol=1e-9)
    expected = way.t[-1] + way.y[1, -1] / 2.5
    found = profile_of(straight(length), LIMITS, wheel_track=TRACK)
    assert found.duration == pytest.approx(expected, rel=0.003)
    assert found.speed[0] == found.speed[-1] == 0.0


def test_in_a_long_curve_the_sideways_limit_holds() -> None:
    """On a radius of 2 m, v = √(a r)."""
    angle = np.linspace(0.0, 6.0 * np.pi, 760)
    points = 2.0 * np.column_stack([np.cos(angle), np.sin(angle)])
    found = profile_of(track_of(points), Limits(lateral=3.0), wheel_track=TRACK)
    middle = found.speed[300:450]
    assert middle == pytest.approx(math.sqrt(3.0 * 2.0), rel=0.001)
    assert found.held_back[300:450].all()


def test_in_a_tight_curve_the_outer_wheel_holds() -> None:
    """Where nothing else does, v (1 + b/2r) stays at the maximal speed."""
    angle = np.linspace(0.0, 20.0 * np.pi, 2500)
    points = np.column_stack([np.cos(angle), np.sin(angle)])
    loose = Limits(maximal_speed=2.0, time_constant=0.5, lateral=12.0, turning_rate=10.0, turning_acceleration=50.0)
    found = profile_of(track_of(points), loose, wheel_track=TRACK)
    assert found.speed[1250] == pytest.approx(2.0 / (1.0 + TRACK / 2.0), rel=0.01)


def by_linear_programs(track: Track, limits: Limits, wheel_track: float) -> float:
    """Return the least time by another method: largest sum of β under all limits, the root made linear again and again.

    A program of its own on its own grid: central differences, the limits in the middle of every step.
    """
    nodes = int(track.length / 0.05)
    s = np.linspace(0.0, track.length, nodes)
    h = s[1] - s[0]
    bend = np.interp(s, track.along, track.curvature)
    middle, change = 0.5 * (bend[1:] + bend[:-1]), np.diff(bend) / h
    k = 2.0 * limits.gyration**2 / wheel_track
    steep = np.maximum(np.abs(bend), 1e-6)
    cap = np.minimum(np.minimum(limits.lateral / steep, (limits.turning_rate / steep) ** 2), limits.maximal_speed**2)
    cap[0] = cap[-1] = 0.0
    root = np.ones(nodes)
    for _ in range(8):
        rows, right = lil_matrix((6 * (nodes - 1), nodes)), np.zeros(6 * (nodes - 1))
        row = 0
        for i in range(nodes - 1):
            z = max(0.5 * (root[i] + root[i + 1]), 0.05)
            for side in (1.0, -1.0):
                c, d = 1.0 + side * k * middle[i], side * k * change[i]
                e = limits.push / limits.maximal_speed * (1.0 + side * middle[i] * wheel_track / 2.0)
                rows[row, i] = -c / (2 * h) + (d + e / (2 * z)) / 2
                rows[row, i + 1] = c / (2 * h) + (d + e / (2 * z)) / 2
                right[row] = limits.push - e * z / 2
                rows[row + 1, i], rows[row + 1, i + 1] = c / (2 * h) - d / 2, -c / (2 * h) - d / 2
                right[row + 1] = limits.braking
                t = row + 2
                rows[t, i] = side * (-middle[i] / (2 * h) + change[i] / 2)
                rows[t, i + 1] = side * (middle[i] / (2 * h) + change[i] / 2)
                right[t] = limits.turning_acceleration
                row += 3
        found = linprog(-np.ones(nodes), A_ub=rows.tocsr(), b_ub=right, bounds=[(0, each) for each in cap])
        assert found.status == 0, found.message
        before, root = root, np.sqrt(np.maximum(found.x, 0.0))
        if np.abs(root - before).max() < 1e-4:
            break
    return float((2.0 * h / np.maximum(root[1:] + root[:-1], 1e-6)).sum())


@pytest.mark.parametrize("name", ["half-circle", "slalom", "figure-eight", "square"])
def test_a_second_solver_times_the_same_line_within_one_per_cent(name: str) -> None:
    """Tightest and widest way of a layout, by a sequence of linear programs."""
    of = outline()
    ways = candidates(lay_out(name, outline=of), of)[0]
    for way in (ways[0], ways[-1]):
        found = profile_of(way.track, Limits(), wheel_track=of.track).duration
        assert found == pytest.approx(by_linear_programs(way.track, Limits(), of.track), rel=0.01)


@pytest.mark.parametrize("name", ["half-circle", "slalom", "t"])
def test_the_speeds_found_obey_every_limit(name: str) -> None:
    """Accelerations of both wheels and of the turn, taken anew from the speeds by differences, stay in their limits."""
    of, limits = outline(), Limits()
    for way in candidates(lay_out(name, outline=of), of)[0]:
        found = profile_of(way.track, limits, wheel_track=of.track)
        steps = np.diff(way.track.along)
        gain = np.diff(found.speed**2) / (2.0 * steps)
        bend = 0.5 * (way.track.curvature[1:] + way.track.curvature[:-1])
        change = np.diff(way.track.curvature) / steps
        beta = found.speed[:-1] ** 2
        k = 2.0 * limits.gyration**2 / of.track
        assert (np.abs(way.track.curvature) * found.speed**2 <= limits.lateral * 1.001).all()
        assert (np.abs(bend * gain + change * beta) <= limits.turning_acceleration * 1.05 + 0.05).all()
        for side in (1.0, -1.0):
            wheel = gain * (1.0 + side * k * bend) + side * k * change * beta
            assert wheel.min() >= -limits.braking * 1.05
            assert wheel.max() <= limits.push * 1.05


def test_a_turn_on_the_spot_by_integration() -> None:
    """Long turn: ramp up, hold, ramp down; short turn: never at full rate; the angle is the integral of the rate."""
    limits = Limits(turning_rate=3.0, turning_acceleration=6.0)
    for angle in (0.3, 1.5, math.pi, -2.0 * math.pi):
        end = turn_duration(angle, limits, wheel_track=TRACK)
        peak = turn_peak(angle, limits, wheel_track=TRACK)

        def rate(t: float, end: float = end, peak: float = peak) -> float:
            return min(6.0 * t, 6.0 * (end - t), peak)

        turned, _ = quad(rate, 0.0, end, points=[peak / 6.0, end - peak / 6.0])
        assert turned == pytest.approx(abs(angle), rel=1e-6)
        at = np.linspace(0.0, end, 41)
        progress = turn_progress(angle, at, limits, wheel_track=TRACK)
        expected = [math.copysign(quad(rate, 0.0, t, limit=200)[0], angle) for t in at]
        assert progress == pytest.approx(expected, abs=1e-4)


def test_a_turn_is_slower_where_the_rims_are() -> None:
    """At a quarter of the speed the wheels cannot turn the chair at its fastest."""
    slow = Limits(maximal_speed=0.5, time_constant=0.5)
    assert turn_peak(2.0 * math.pi, slow, wheel_track=TRACK) == pytest.approx(2 * 0.5 / TRACK)


@pytest.mark.parametrize(
    ("given", "said"),
    [
        ({"maximal_speed": 7.0}, r"a maximal speed of 7 m/s cannot be used; allowed is 0.3 to 6 m/s"),
        ({"turning_rate": 11.0}, r"a turning rate of 11 rad/s cannot be used; allowed is 0.2 to 10.47 rad/s"),
        ({"lateral": float("nan")}, "a sideways acceleration of nan"),
        ({"backward_share": 1.2}, "a backward speed of 1.2 of the forward speed"),
    ],
)
def test_limits_that_no_athlete_has_are_refused(given: dict[str, float], said: str) -> None:
    """6 m/s and 600 degrees/s: above what matches showed (van der Slikke 2020)."""
    with pytest.raises(OutOfRangeError, match=said):
        Limits(**given)
