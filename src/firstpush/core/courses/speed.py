"""How fast an athlete is on a course: measured by sprint, timed circle and backward pull, or a wide guess."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from firstpush.core.courses.function_speed import FULLEST, Function, function_of
from firstpush.core.courses.limits import (
    BACKWARD_SHARE,
    BRAKING,
    FASTEST,
    FASTEST_TURN,
    LATERAL,
    MAXIMAL_SPEED,
    TIME_CONSTANT,
    TURNING_ACCELERATION,
    TURNING_RATE,
    Limits,
)
from firstpush.core.courses.sprint import GATE_ERROR, HAND_ERROR, Ranged, SprintFit, TimedBy
from firstpush.core.errors import OutOfRangeError
from firstpush.core.measured import Measured
from firstpush.core.people.athlete import Athlete

Edge = Literal["quick", "likely", "slow"]

MATCH_SPEEDS = {
    "wheelchair basketball": (4.98, 0.43),
    "wheelchair rugby": (3.37, 0.99),
    "wheelchair tennis": (4.40, 0.40),
}
"""Highest speeds in matches, mean and spread [m/s] (van der Slikke 2020, table 2, read)."""
RUGBY = "wheelchair rugby"
CLUB_SHARE = Measured(
    name="maximal speed in a club over that in the matches measured",
    value=0.9,
    unit="1",
    spread=0.1,
    source="those were national and international players",
    known="our choice",
)


def _ranged(of: Measured) -> Ranged:
    return Ranged(value=of.value, spread=of.spread / of.value, unit=of.unit, known=of.known, source=of.source)


@dataclass(frozen=True, kw_only=True)
class CircleTest:
    """A timed circle: speed [m/s], turning rate [rad/s], sideways acceleration.

    `is_least` says that the chair was as fast as it goes straight on: sideways it could do more.
    """

    speed: float
    turning_rate: float
    lateral: Ranged
    is_least: bool


@dataclass(frozen=True, kw_only=True)
class AthleteSpeed:
    """What is known of an athlete's speed, measured or guessed, each with its range."""

    maximal_speed: Ranged
    time_constant: Ranged
    lateral: Ranged
    braking: Ranged
    turning_rate: Ranged
    turning_acceleration: Ranged
    backward_share: Ranged

    @property
    def guessed(self) -> tuple[str, ...]:
        """What was not measured, the one that decides most first: measure it next."""
        fields = ("maximal_speed", "lateral", "time_constant", "backward_share", "braking")
        return tuple(each.replace("_", " ") for each in fields if getattr(self, each).known != "measured")

    def limits(self, edge: Edge = "likely") -> Limits:
        """Return the limits to reckon with: the likely ones, or all of them one standard deviation to one side.

        All at once at the ends of their ranges would be rarer than any of them alone; one standard deviation each is
        about as rare as that.
        """
        by = {"quick": 1.0, "likely": 0.0, "slow": -1.0}[edge]
        return Limits(
            maximal_speed=min(self.maximal_speed.aside(by), FASTEST),
            time_constant=self.time_constant.aside(-by),
            lateral=self.lateral.aside(by),
            braking=self.braking.aside(by),
            turning_rate=min(self.turning_rate.aside(by), FASTEST_TURN),
            turning_acceleration=self.turning_acceleration.aside(by),
            backward_share=min(self.backward_share.aside(by), 1.0),
        )


def timed_circle(
    *,
    radius: float,
    time: float,
    rounds: float = 1.0,
    timed_by: TimedBy = "stopwatch",
    maximal_speed: float | None = None,
) -> CircleTest:
    """Return the sideways acceleration of a circle driven as fast as the athlete dares, from a flying start.

    Parameters
    ----------
    radius : float
        From the middle of the circle to the middle of the axle [m].
    time : float
        For all rounds [s].
    rounds : float
    timed_by : str
    maximal_speed : float or None
        Straight on, where it is known [m/s].

    Raises
    ------
    OutOfRangeError
        For a circle that cannot be driven so.
    """
    for what, value, low, high, unit in (
        ("a radius", radius, 0.3, 15.0, "m"),
        ("a time", time, 0.5, 300.0, "s"),
        ("a number of rounds", rounds, 0.5, 50.0, "rounds"),
    ):
        if not low <= value <= high:
            raise OutOfRangeError(
                f"{what} of {value:g} {unit} cannot be used; allowed is {low:g} to {high:g} {unit}; measure it again."
            )
    speed = math.tau * radius * rounds / time
    rate = speed / radius
    if speed > FASTEST or rate > FASTEST_TURN:
        raise OutOfRangeError(
            f"{rounds:g} rounds of {radius:g} m radius in {time:g} s make {speed:.1f} m/s and"
            f" {math.degrees(rate):.0f} degrees/s; allowed is up to {FASTEST:g} m/s and"
            f" {math.degrees(FASTEST_TURN):.0f} degrees/s; check radius, rounds and time."
        )
    error = (HAND_ERROR.spread if timed_by == "stopwatch" else GATE_ERROR.spread) * math.sqrt(2.0)
    spread = math.hypot(2.0 * error / time, 0.05 / radius)
    lateral = Ranged(
        value=speed * speed / radius, spread=spread, unit="m/s2", known="measured", source=f"circle by {timed_by}"
    )
    return CircleTest(
        speed=speed,
        turning_rate=rate,
        lateral=lateral,
        is_least=maximal_speed is not None and speed > 0.85 * maximal_speed,
    )


def backward_share(*, distance: float, time: float, sprint: SprintFit) -> Ranged:
    """Return the share of forward speed and push in backward pulls, from one timed pull out of standstill.

    Raises
    ------
    OutOfRangeError
        For a pull faster than the same athlete pushes, or none at all.
    """
    v, tau = sprint.maximal_speed.value, sprint.time_constant.value
    share = distance / (v * (time + tau * math.expm1(-time / tau))) if time > 0.0 else math.inf
    if not 0.05 <= share <= 1.0:
        raise OutOfRangeError(
            f"{distance:g} m pulled backwards in {time:g} s is {100 * share:.0f} % of this athlete's push; allowed is"
            " 5 % to 100 %; check distance and time."
        )
    spread = math.hypot(HAND_ERROR.spread * math.sqrt(2.0) / time, sprint.maximal_speed.spread)
    return Ranged(value=share, spread=spread, unit="1", known="measured", source="one timed pull")


def athlete_speed(
    *,
    sprint: SprintFit | None = None,
    circle: CircleTest | None = None,
    backward: Ranged | None = None,
    sport: str | None = None,
    athlete: Athlete | None = None,
) -> AthleteSpeed:
    """Return all that is known of an athlete's speed; what is not measured is a guess with a wide range.

    Parameters
    ----------
    sprint, circle, backward : results of the tests, or None
    sport : str or None
        Without a sprint, speeds of that sport's matches are the guess, where they are known; None takes that of the
        athlete.
    athlete : Athlete or None
        Whose function lowers what is guessed, see `function_of`; None guesses by the sport alone.
    """
    function = None if athlete is None else function_of(athlete)
    sport = sport or (None if athlete is None else athlete.sport)

    def guess(name: str, of: Measured) -> Ranged:
        return _ranged(of) if function is None else function.guess(name, _ranged(of))

    return AthleteSpeed(
        maximal_speed=sprint.maximal_speed if sprint else _fastest(sport, function),
        time_constant=sprint.time_constant if sprint else guess("time_constant", TIME_CONSTANT),
        lateral=circle.lateral if circle is not None else guess("lateral", LATERAL),
        braking=guess("braking", BRAKING),
        turning_rate=guess("turning_rate", TURNING_RATE),
        turning_acceleration=guess("turning_acceleration", TURNING_ACCELERATION),
        backward_share=backward or guess("backward_share", BACKWARD_SHARE),
    )


def _fastest(sport: str | None, function: Function | None) -> Ranged:
    """Return the guess of the maximal speed: by matches of a sport, by function, the slower of the two."""
    by_sport = None
    # Most who play rugby have weak arms: their matches say nothing of somebody whose arms are full.
    if sport in MATCH_SPEEDS and not (sport == RUGBY and function is not None and function.arms_are_full):
        by_sport = _of_matches(*MATCH_SPEEDS[sport], source=f"matches of {sport} (van der Slikke 2020), less a tenth")
    if function is None:
        return by_sport or _ranged(MAXIMAL_SPEED)
    if not function.losses:
        return function.guess("maximal_speed", by_sport or _ranged(MAXIMAL_SPEED))
    spread = MATCH_SPEEDS["wheelchair basketball"][1]
    full = _of_matches(FULLEST, spread, source="matches of wheelchair basketball (van der Slikke 2020), less a tenth")
    return function.guess("maximal_speed", full, sport=by_sport)


def _of_matches(mean: float, spread: float, *, source: str) -> Ranged:
    return Ranged(
        value=CLUB_SHARE.value * mean,
        spread=math.hypot(spread / mean, CLUB_SHARE.spread),
        unit="m/s",
        known="our choice",
        source=source,
    )
