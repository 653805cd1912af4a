"""What a line asks of the athlete beside its time: turns to each side, turning load, pushes, where time goes."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from firstpush.core.courses.course import Array
from firstpush.core.courses.line import Line, Roll
from firstpush.core.courses.profile import turn_peak
from firstpush.core.measured import Measured
from firstpush.core.people.athlete import Side

EASY_PUSH_RATE = Measured(
    name="pushes per second in daily pushing, 1.1 m/s",
    value=1.0,
    unit="1/s",
    spread=0.2,
    source="",
    known="from memory",
)
SPRINT_PUSH_RATE = Measured(
    name="pushes per second in a sprint, 4 m/s", value=2.3, unit="1/s", spread=0.5, source="", known="from memory"
)
COUNTING = Measured(
    name="how far counts of pushes differ by the rule of counting",
    value=0.3,
    unit="1",
    spread=0.0,
    source="whether a steering stroke or a short correction counts",
    known="our choice",
)
_BRAKES = 0.15
"""Slower by more than this is braking, faster by more is speeding up [m/s²]: rolling costs less."""


@dataclass(frozen=True, kw_only=True)
class Passage:
    """One cone passed: when [s], how fast [m/s], turned about it by how much [rad, left positive], at most how fast."""

    cone: str
    hand: Side
    time: float
    speed: float
    turned: float
    fastest_turning: float


@dataclass(frozen=True, kw_only=True)
class Turning:
    """Turns of a line.

    Parameters
    ----------
    passages : tuple of Passage
        In order.
    left, right : int
        Cones passed on that hand, and turns on the spot to that side.
    turned_left, turned_right : float
        Sum of all turning [rad].
    load : float
        All turning over all the time [rad/s]; `load_deg_per_min` for people.
    wheel_difference : float
        Largest difference between the speeds of the two wheels [m/s].
    fastest : float
        Largest turning rate [rad/s].
    """

    passages: tuple[Passage, ...]
    left: int
    right: int
    turned_left: float
    turned_right: float
    load: float
    wheel_difference: float
    fastest: float

    @property
    def load_deg_per_min(self) -> float:
        """Turning load [degrees per minute]: the number by which a course is made harder."""
        return math.degrees(self.load) * 60.0

    @property
    def is_even(self) -> bool:
        """Whether as many turns go left as right."""
        return self.left == self.right


@dataclass(frozen=True, kw_only=True)
class TimeUse:
    """Where the time of a line goes [s]; the parts add up to its duration."""

    speeding_up: float
    braking: float
    held_back_by_the_turn: float
    at_speed: float
    turning_on_the_spot: float
    standing: float


def turning_of(line: Line) -> Turning:
    """Return the turns of a line to each side, cone by cone, and its turning load."""
    passages: list[Passage] = []
    left, right = 0.0, 0.0
    rates = [0.0]
    counts = {"left": 0, "right": 0}
    for roll in line.rolls:
        track = roll.candidate.track
        left, right = left + track.turned_left, right + track.turned_right
        rates.append(float(np.abs(track.curvature * roll.profile.speed).max()))
        passages += _passages(roll)
    for each in passages:
        counts[each.hand] += 1
    for turn in line.turns:
        counts["left" if turn.angle > 0.0 else "right"] += 1
        left, right = left + max(turn.angle, 0.0), right + max(-turn.angle, 0.0)
        rates.append(turn_peak(turn.angle, line.limits, wheel_track=line.outline.track))
    fastest = max(rates)
    return Turning(
        passages=tuple(passages),
        left=counts["left"],
        right=counts["right"],
        turned_left=left,
        turned_right=right,
        load=(left + right) / line.duration,
        wheel_difference=fastest * line.outline.track,
        fastest=fastest,
    )


def _passages(roll: Roll) -> list[Passage]:
    track, profile = roll.candidate.track, roll.profile
    at = np.array(roll.candidate.passing)
    if not len(at):
        return []
    # What is turned between two cones counts half way: up to there for the one, from there for the next.
    edges = np.concatenate([[0.0], 0.5 * (at[1:] + at[:-1]), [track.length]])
    facing = np.interp(edges, track.along, track.direction)
    times, speeds = np.interp(at, track.along, profile.time), np.interp(at, track.along, profile.speed)
    rate = np.abs(track.curvature * profile.speed)
    found = []
    for number, each in enumerate(roll.leg.passes):
        inside = (track.along >= edges[number]) & (track.along <= edges[number + 1])
        found.append(
            Passage(
                cone=each.cone,
                hand=each.hand,
                time=roll.begins + float(times[number]),
                speed=float(speeds[number]),
                turned=float(facing[number + 1] - facing[number]),
                fastest_turning=float(rate[inside].max(initial=0.0)),
            )
        )
    return found


def time_use(line: Line) -> TimeUse:
    """Return where the time of a line goes, step by step of its profile."""
    up = down = held = even = 0.0
    for roll in line.rolls:
        speed, time = roll.profile.speed, roll.profile.time
        lasts = np.diff(time)
        gain = np.diff(speed) / np.maximum(lasts, 1e-9)
        turn = roll.profile.held_back[1:] | roll.profile.held_back[:-1]
        faster, slower = gain > _BRAKES, gain < -_BRAKES
        held += float(lasts[turn].sum())
        up += float(lasts[faster & ~turn].sum())
        down += float(lasts[slower & ~turn].sum())
        even += float(lasts[~faster & ~slower & ~turn].sum())
    turns = sum(turn.duration for turn in line.turns)
    moving = sum(roll.duration for roll in line.rolls)
    return TimeUse(
        speeding_up=up,
        braking=down,
        held_back_by_the_turn=held,
        at_speed=even,
        turning_on_the_spot=turns,
        standing=line.duration - turns - moving,
    )


@dataclass(frozen=True, kw_only=True)
class Pushes:
    """About how many pushes; `low` to `high` by the rule of counting."""

    about: int
    low: int
    high: int


def pushes_of(line: Line) -> Pushes:
    """Return about how many pushes a line takes: while it does not brake, at a rate that rises with the speed.

    A turn on the spot takes two strokes for each quarter.
    """
    count = sum(2.0 * abs(turn.angle) / (math.pi / 2.0) for turn in line.turns)
    for roll in line.rolls:
        speed, time = roll.profile.speed, roll.profile.time
        lasts = np.diff(time)
        gain = np.diff(speed) / np.maximum(lasts, 1e-9)
        count += float((lasts * push_rate(0.5 * (speed[1:] + speed[:-1])))[gain > -_BRAKES].sum())
    spread = COUNTING.value
    return Pushes(about=round(count), low=math.floor((1 - spread) * count), high=math.ceil((1 + spread) * count))


def push_rate(speed: Array) -> Array:
    """Return pushes per second at a speed [m/s], straight between daily pushing and a sprint, level outside both."""
    return np.interp(speed, [1.1, 4.0], [EASY_PUSH_RATE.value, SPRINT_PUSH_RATE.value])
