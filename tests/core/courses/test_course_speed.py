"""Sprint splits, timed circle and backward pull, against sprints made up by formula and against published means."""

from __future__ import annotations

import math

import numpy as np
import pytest
from course_cases import outline
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import brentq

from firstpush.core.courses import (
    Split,
    athlete_speed,
    backward_share,
    bracket_of,
    compare,
    fit_sprint,
    lay_out,
    splits_from_text,
    timed_circle,
)
from firstpush.core.errors import OutOfRangeError, UnknownNameError


def sprint(speed: float, constant: float, distances: list[float], *, offset: float = 0.0) -> list[Split]:
    """Return exact splits: the distance run turned round into a time by bisection."""

    def time(distance: float) -> float:
        if distance == 0.0:
            return 0.0
        return float(
            brentq(lambda t: speed * (t - constant * (1 - math.exp(-t / constant))) - distance, 0, 100, xtol=1e-13)
        )

    return [Split(distance=d, time=time(d + offset) - time(offset)) for d in distances]


@settings(max_examples=40, deadline=None)
@given(speed=st.floats(2.0, 5.5), constant=st.floats(0.4, 2.0), offset=st.sampled_from([0.0, 0.5]))
def test_a_sprint_made_up_comes_back(speed: float, constant: float, offset: float) -> None:
    """Three exact splits give the speed and time constant they were made with."""
    splits = sprint(speed, constant, [5.0, 10.0, 20.0], offset=offset)
    found = fit_sprint(splits, start_offset=offset)
    assert found.maximal_speed.value == pytest.approx(speed, rel=1e-4)
    assert found.time_constant.value == pytest.approx(constant, rel=1e-3)
    assert found.misses == pytest.approx((0.0, 0.0, 0.0), abs=1e-5)


def test_a_start_behind_the_line_left_out_halves_the_time_constant() -> None:
    """0.5 m ignored makes about 0.6 s of 1.2 s: why it is asked for."""
    splits = sprint(4.4, 1.2, [5.0, 10.0, 20.0], offset=0.5)
    assert fit_sprint(splits).time_constant.value == pytest.approx(0.6, abs=0.1)
    assert fit_sprint(splits, start_offset=0.5).time_constant.value == pytest.approx(1.2, abs=0.01)


def test_ranges_hold_what_they_promise() -> None:
    """Of 300 sprints with errors of the size assumed, about 90 % have the true speed in their range."""
    rng = np.random.default_rng(8)
    exact = sprint(4.2, 1.1, [5.0, 10.0, 15.0, 20.0])
    inside = 0
    for _ in range(300):
        noisy = [Split(distance=s.distance, time=s.time + float(rng.normal(0.0, 0.03))) for s in exact]
        found = fit_sprint(noisy).maximal_speed
        inside += found.low <= 4.2 <= found.high
    assert 0.85 <= inside / 300 <= 0.99


def test_a_stopwatch_is_less_sure_and_leans_on_athletes_in_general() -> None:
    """The range is wider; one split is enough for an answer, and its range wider still."""
    splits = splits_from_text("5:2.12,10:3.32,20:5.65")
    gates, by_hand = fit_sprint(splits), fit_sprint(splits, timed_by="stopwatch")
    alone = fit_sprint(splits[-1:], timed_by="stopwatch")
    assert not gates.with_prior and by_hand.with_prior and alone.with_prior

    def spread(fit_: object) -> float:
        return float(fit_.maximal_speed.spread)  # type: ignore[attr-defined]

    assert spread(gates) < spread(by_hand) < spread(alone)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("5-2.12", "'5-2.12' is no split; allowed is metres, a colon and seconds, for example 5:2.12"),
        ("5:2.12,10:2.0", "10 m in 2 s after 5 m in 2.12 s cannot be; distances and times both rise"),
        ("5:0.5", r"from 0 m to 5 m makes 10.0 m/s; allowed is up to 6 m/s in a court chair"),
        ("200:100", "a split at 200 m cannot be used; allowed is up to 100 m"),
        ("5:nan", "5 m in nan s"),
        ("5:1.6,10:2.5,20:4.2", "these splits would make a maximal speed of"),
    ],
)
def test_splits_that_cannot_be_are_refused(text: str, said: str) -> None:
    """One sentence: what is wrong, what is allowed, what to check."""
    with pytest.raises(OutOfRangeError, match=said):
        fit_sprint(splits_from_text(text))


def test_a_way_of_timing_that_is_none_is_refused() -> None:
    """And a start far behind the line, and no split at all."""
    splits = splits_from_text("5:2.12,10:3.32")
    with pytest.raises(UnknownNameError, match="there is no way of timing 'sundial'"):
        fit_sprint(splits, timed_by="sundial")  # type: ignore[arg-type]
    with pytest.raises(OutOfRangeError, match="a start 50 m behind the line cannot be used; allowed is 0 m to 3 m"):
        fit_sprint(splits, start_offset=50.0)
    with pytest.raises(OutOfRangeError, match="there is no split"):
        fit_sprint([])


def test_a_timed_circle_by_hand() -> None:
    """Two rounds of 2 m radius in 9.6 s: v = 8π/9.6, a = v²/2."""
    found = timed_circle(radius=2.0, time=9.6, rounds=2.0)
    speed = 8 * math.pi / 9.6
    assert (found.speed, found.turning_rate) == pytest.approx((speed, speed / 2.0))
    assert found.lateral.value == pytest.approx(speed**2 / 2.0)
    assert not found.is_least
    assert timed_circle(radius=2.0, time=9.6, rounds=2.0, maximal_speed=2.8).is_least
    with pytest.raises(OutOfRangeError, match=r"2 rounds of 1 m radius in 2 s make 6.3 m/s and 360 degrees/s"):
        timed_circle(radius=1.0, time=2.0, rounds=2.0)


def test_a_backward_pull_gives_its_share_back() -> None:
    """5 m at 55 % of push and speed, its time by bisection."""
    fit_ = fit_sprint(sprint(4.0, 1.0, [5.0, 10.0, 20.0]))
    (pull,) = sprint(0.55 * 4.0, 1.0, [5.0])
    assert backward_share(distance=5.0, time=pull.time, sprint=fit_).value == pytest.approx(0.55, rel=1e-3)
    with pytest.raises(OutOfRangeError, match=r"5 m pulled backwards in 1 s is .* of this athlete's push"):
        backward_share(distance=5.0, time=1.0, sprint=fit_)


def test_with_nothing_measured_the_bracket_is_wide_and_says_what_to_measure() -> None:
    """It holds the bracket of somebody in the middle who was measured."""
    of = outline()
    course = lay_out("half-circle", outline=of)
    nobody = bracket_of(course, of)
    sprinted = fit_sprint(sprint(4.0, 1.1, [5.0, 10.0, 20.0]))
    circle = timed_circle(radius=2.0, time=2 * 2 * math.pi * 2.0 / math.sqrt(2 * 3.5), rounds=2.0)
    known = bracket_of(course, of, athlete_speed(sprint=sprinted, circle=circle))
    assert nobody.low < known.low < known.likely.duration < known.high < nobody.high
    assert nobody.high - nobody.low > 1.3 * (known.high - known.low)
    assert nobody.guessed[0] == "maximal speed"
    assert "maximal speed" not in known.guessed and "lateral" not in known.guessed


def test_a_sport_gives_another_guess() -> None:
    """Rugby matches are slower than basketball matches (van der Slikke 2020, table 2: 3.37 and 4.98 m/s)."""
    rugby, basketball = (athlete_speed(sport=f"wheelchair {each}").maximal_speed for each in ("rugby", "basketball"))
    assert rugby.value == pytest.approx(0.9 * 3.37)
    assert basketball.value == pytest.approx(0.9 * 4.98)
    assert rugby.known == "our choice"


def test_a_time_is_compared_with_the_bracket_and_with_earlier_times() -> None:
    """Beyond 1.96 √2 typical errors it is a change: 2.5 % of 26 s makes 1.8 s."""
    of = outline()
    bracket = bracket_of(lay_out("half-circle", outline=of), of)
    assert compare(26.0, bracket).verdict == "first time"
    assert compare(26.0, bracket).in_bracket == "inside"
    assert compare(bracket.low - 1.0, bracket).in_bracket == "quicker"
    assert compare(bracket.high + 1.0, bracket).in_bracket == "slower"
    once = compare(25.0, bracket, earlier=[26.0])
    assert once.error == pytest.approx(1.96 * math.sqrt(2.0) * 0.025 * 26.0)
    assert once.verdict == "no difference beyond the error"
    assert compare(23.5, bracket, earlier=[26.0]).verdict == "quicker"
    assert compare(28.5, bracket, earlier=[26.0]).verdict == "slower"
    often = compare(25.0, bracket, earlier=[26.0] * 9)
    assert often.error is not None and once.error is not None and often.error < once.error
    with pytest.raises(OutOfRangeError, match="a time of 0 s cannot be compared"):
        compare(0.0, bracket)
