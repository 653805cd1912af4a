"""Speeds and tests in the words of a page."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

from firstpush.core.courses import Ranged
from firstpush.core.people.athlete import Athlete
from firstpush.web.courses.models import SpeedKind, SpeedTest
from firstpush.web.courses.speeds import (
    circle_of,
    holding,
    newest,
    newest_circle,
    newest_sprint,
    speed_of,
    sprint_of,
)


@dataclass(frozen=True, kw_only=True)
class SpeedRow:
    """One number that courses are reckoned with: its value, its range, and where it comes from."""

    label: str
    value: str
    between: str
    known: str
    measured: bool


@dataclass(frozen=True, kw_only=True)
class TestRow:
    """A test as it was measured, and what it makes."""

    test: SpeedTest
    measured: str
    makes: str
    is_used: bool


def _two(value: float) -> str:
    return f"{value:.2f}" if value < 2.0 else f"{value:.1f}"


def _degrees(value: float) -> str:
    return f"{round(math.degrees(value), -1):.0f}"


def _percent(value: float) -> str:
    return f"{100.0 * value:.0f}"


_ROWS: tuple[tuple[str, str, str, Callable[[float], str]], ...] = (
    ("maximal_speed", "maximal speed", "m/s", _two),
    ("time_constant", "time constant", "s", _two),
    ("lateral", "sideways in a curve", "m/s²", _two),
    ("braking", "slowing down", "m/s²", _two),
    ("backward_share", "pulled backwards, of forwards", "%", _percent),
    ("turning_rate", "fastest turning", "°/s", _degrees),
)


def speed_rows(tests: Sequence[SpeedTest], *, athlete: Athlete) -> list[SpeedRow]:
    """Return every number with its range (90 %), and how it is known."""
    speed = speed_of(tests, athlete=athlete)
    circle = newest_circle(tests)
    rows = []
    for name, label, unit, written in _ROWS:
        ranged: Ranged = getattr(speed, name)
        value = f"{written(ranged.value)} {unit}"
        if name == "lateral" and circle is not None and circle.is_least:
            value = f"{value} or more"
        high = min(ranged.high, 1.0) if name == "backward_share" else ranged.high
        rows.append(
            SpeedRow(
                label=label,
                value=value,
                between=f"{written(ranged.low)}-{written(high)} {unit}",
                known=f"{ranged.known}: {ranged.source}" if ranged.source else ranged.known,
                measured=ranged.known == "measured",
            )
        )
    return rows


def test_rows(tests: Sequence[SpeedTest]) -> list[TestRow]:
    """Return the tests that hold, newest first."""
    used = {found.pk for kind in SpeedKind if (found := newest(tests, kind)) is not None}
    return [
        TestRow(test=each, measured=_measured(each), makes=_makes(each, tests), is_used=each.pk in used)
        for each in reversed(holding(tests))
    ]


def _measured(test: SpeedTest) -> str:
    given: dict[str, Any] = test.measured
    if test.kind == SpeedKind.SPRINT:
        splits = ", ".join(f"{distance:g} m in {time:.2f} s" for distance, time in given["splits"])
        return f"{splits}; {given['start_offset_m']:g} m behind the line, by {_by(given)}"
    if test.kind == SpeedKind.CIRCLE:
        rounds = "one round" if given["rounds"] == 1 else f"{given['rounds']:g} rounds"
        return f"radius {given['radius_m']:g} m, {rounds} in {given['time_s']:.2f} s, by {_by(given)}"
    return f"{given['distance_m']:g} m in {given['time_s']:.2f} s"


def _by(given: dict[str, Any]) -> str:
    return "light gates" if given["timed_by"] == "gates" else "stopwatch"


def _makes(test: SpeedTest, tests: Sequence[SpeedTest]) -> str:
    if test.kind == SpeedKind.SPRINT:
        fit = sprint_of(test.measured)
        speed, constant = fit.maximal_speed, fit.time_constant
        prior = "; athletes in general had a say" if fit.with_prior else ""
        return (
            f"maximal speed {_two(speed.value)} ({_two(speed.low)}-{_two(speed.high)}) m/s, time constant"
            f" {_two(constant.value)} ({_two(constant.low)}-{_two(constant.high)}) s{prior}"
        )
    if test.kind == SpeedKind.CIRCLE:
        circle = circle_of(test.measured, sprint=newest_sprint(tests))
        least = ", as fast as straight on: the least it can be" if circle.is_least else ""
        lateral = circle.lateral
        return f"sideways {_two(lateral.value)} ({_two(lateral.low)}-{_two(lateral.high)}) m/s²{least}"
    share = speed_of(tests).backward_share
    if newest(tests, SpeedKind.BACKWARD) != test or share.known != "measured":
        return "beside the newest sprint it counts no more"
    return f"{_percent(share.value)} ({_percent(share.low)}-{_percent(min(share.high, 1.0))}) % of the forward push"
