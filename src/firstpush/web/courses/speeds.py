"""An athlete's speed from the tests that are kept: the newest of each kind that was not taken back."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from firstpush.core.courses import (
    AthleteSpeed,
    CircleTest,
    Ranged,
    Split,
    SprintFit,
    athlete_speed,
    backward_share,
    fit_sprint,
    timed_circle,
)
from firstpush.core.errors import OutOfRangeError
from firstpush.core.people.athlete import Athlete
from firstpush.web.courses.models import SpeedKind, SpeedTest


def holding(tests: Iterable[SpeedTest]) -> list[SpeedTest]:
    """Return the tests that were not taken back, oldest first."""
    tests = list(tests)
    gone = {each.takes_back_id for each in tests}
    kept = [each for each in tests if each.takes_back_id is None and each.pk not in gone]
    return sorted(kept, key=lambda each: (each.on, each.pk))


def newest(tests: Iterable[SpeedTest], kind: str) -> SpeedTest | None:
    """Return the newest test of a kind that holds."""
    return next((each for each in reversed(holding(tests)) if each.kind == kind), None)


def tests_key(tests: Iterable[SpeedTest]) -> tuple[int, ...]:
    """Return what stands for the tests that hold: rows are never changed."""
    return tuple(each.pk for each in holding(tests))


def sprint_of(measured: Mapping[str, Any]) -> SprintFit:
    """Return what core makes of a sprint; OutOfRangeError says what cannot be."""
    return fit_sprint(
        [Split(distance=distance, time=time) for distance, time in measured["splits"]],
        start_offset=measured["start_offset_m"],
        timed_by=measured["timed_by"],
    )


def circle_of(measured: Mapping[str, Any], *, sprint: SprintFit | None) -> CircleTest:
    """Return what core makes of a timed circle; OutOfRangeError says what cannot be."""
    return timed_circle(
        radius=measured["radius_m"],
        time=measured["time_s"],
        rounds=measured["rounds"],
        timed_by=measured["timed_by"],
        maximal_speed=None if sprint is None else sprint.maximal_speed.value,
    )


def backward_of(measured: Mapping[str, Any], *, sprint: SprintFit) -> Ranged:
    """Return what core makes of a backward pull; OutOfRangeError says what cannot be."""
    return backward_share(distance=measured["distance_m"], time=measured["time_s"], sprint=sprint)


def newest_sprint(tests: Sequence[SpeedTest]) -> SprintFit | None:
    """Return the newest sprint that holds."""
    found = newest(tests, SpeedKind.SPRINT)
    return None if found is None else sprint_of(found.measured)


def newest_circle(tests: Sequence[SpeedTest]) -> CircleTest | None:
    """Return the newest timed circle that holds."""
    found = newest(tests, SpeedKind.CIRCLE)
    return None if found is None else circle_of(found.measured, sprint=newest_sprint(tests))


def newest_backward(tests: Sequence[SpeedTest]) -> Ranged | None:
    """Return the newest backward pull that holds; None where it does not go with the newest sprint."""
    found, sprint = newest(tests, SpeedKind.BACKWARD), newest_sprint(tests)
    if found is None or sprint is None:
        return None
    try:
        return backward_of(found.measured, sprint=sprint)
    except OutOfRangeError:
        # It was checked against the sprint of its own day; a slower one since has left it behind.
        return None


def speed_of(tests: Sequence[SpeedTest], *, athlete: Athlete | None = None) -> AthleteSpeed:
    """Return how fast an athlete is, by the newest tests; what was not measured is a guess with a wide range."""
    return athlete_speed(
        sprint=newest_sprint(tests), circle=newest_circle(tests), backward=newest_backward(tests), athlete=athlete
    )
