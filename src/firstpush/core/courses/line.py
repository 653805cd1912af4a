"""The line a chair takes over a course: legs, turns on the spot and standstills one after the other, with times."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Literal

import numpy as np

from firstpush.core.courses.chair_outline import ChairOutline
from firstpush.core.courses.clearance import Extent, Poses, cone_clearances, extent
from firstpush.core.courses.course import MARGIN, Array, Course, Leg, Place
from firstpush.core.courses.limits import Limits
from firstpush.core.courses.profile import Profile, profile_of, turn_duration, turn_progress
from firstpush.core.courses.ways import NEAR_ENOUGH, Candidate, candidates, rolled

TURN_STEP = math.radians(2.0)
_NO_TURN = math.radians(0.5)

Style = Literal["quick", "hugging"]


@dataclass(frozen=True, kw_only=True)
class Roll:
    """One leg in motion; `begins` is when it sets off [s]."""

    leg: Leg
    begins: float
    candidate: Candidate
    profile: Profile

    @property
    def duration(self) -> float:
        """From setting off to its end [s]."""
        return self.profile.duration

    @property
    def chair_turned(self) -> float:
        """What is added to the direction of travel for where the chair faces [rad]."""
        return math.pi if self.leg.backward else 0.0


@dataclass(frozen=True, kw_only=True)
class Turn:
    """A turn on the spot: `angle` positive to the left [rad], from facing `facing` [rad]; times in s."""

    at: Place
    facing: float
    angle: float
    begins: float
    duration: float


@dataclass(frozen=True, kw_only=True)
class Stand:
    """A standstill, as a course asks for."""

    at: Place
    facing: float
    begins: float
    duration: float


Piece = Roll | Turn | Stand


@dataclass(frozen=True, kw_only=True)
class Line:
    """The whole line with its times.

    Parameters
    ----------
    course : Course
    outline : ChairOutline
    limits : Limits
        Those of full effort.
    pieces : tuple of Roll, Turn or Stand
        One after the other.
    clearances : mapping of cone name to float
        How near the chair comes to each cone, over everything it does [m].
    margin : float
        What was asked [m].
    """

    course: Course
    outline: ChairOutline
    limits: Limits
    pieces: tuple[Piece, ...]
    clearances: Mapping[str, float]
    margin: float
    poses: Poses = field(repr=False)

    @property
    def duration(self) -> float:
        """From go to the finish [s]."""
        return self.pieces[-1].begins + self.pieces[-1].duration

    @property
    def distance(self) -> float:
        """Rolled by the middle of the axle [m]."""
        return sum(roll.candidate.track.length for roll in self.rolls)

    @property
    def rolls(self) -> tuple[Roll, ...]:
        """The legs in motion."""
        return tuple(piece for piece in self.pieces if isinstance(piece, Roll))

    @property
    def turns(self) -> tuple[Turn, ...]:
        """The turns on the spot."""
        return tuple(piece for piece in self.pieces if isinstance(piece, Turn))

    @property
    def nearest(self) -> float:
        """How near the chair comes to any cone [m]; infinity without cones."""
        return min(self.clearances.values(), default=math.inf)

    @property
    def is_clear(self) -> bool:
        """Whether every cone has the room asked, but for `NEAR_ENOUGH`."""
        return self.nearest >= self.margin - NEAR_ENOUGH - 1e-9

    @property
    def top_speed(self) -> float:
        """The highest speed [m/s]."""
        return max(float(roll.profile.speed.max()) for roll in self.rolls)

    @property
    def run_out(self) -> float:
        """Floor that is needed after a finish passed at speed, to stop [m]; 0 where the chair stops at it."""
        return float(self.rolls[-1].profile.speed[-1]) ** 2 / (2.0 * self.limits.braking)

    @property
    def extent(self) -> Extent:
        """The rectangle round all swept floor, with the room to stop after the finish."""
        return extent(self.poses, self.outline)


def line_over(
    course: Course,
    outline: ChairOutline,
    limits: Limits | None = None,
    *,
    margin: float = MARGIN.value,
    style: Style = "quick",
    ways: Sequence[Sequence[Candidate]] | None = None,
) -> Line:
    """Return the line that a chair takes over a course, with its times.

    Parameters
    ----------
    course : Course
    outline : ChairOutline
    limits : Limits or None
        None takes those of nobody measured.
    margin : float
        Room asked between chair and every cone [m].
    style : str
        "quick": of each leg the quickest of its ways; "hugging": the one nearest to the cones.
    ways : sequence or None
        Those of `candidates` where they are known already.

    Returns
    -------
    Line
        Also where a cone is nearer than asked: see `Line.is_clear` and `Line.clearances`.

    Raises
    ------
    TooCloseError
        Where no way fits between two cones.
    """
    limits = limits or Limits()
    ways = ways or candidates(course, outline, margin=margin)
    pieces: list[Piece] = []
    # Straight legs of one length and one effort are driven alike.
    known: dict[tuple[int, float, Limits, float | None, float | None], Profile] = {}

    def driven(way: Candidate, own: Limits, start_speed: float | None, end_speed: float | None) -> Profile:
        def reckon() -> Profile:
            return profile_of(way.track, own, wheel_track=outline.track, start_speed=start_speed, end_speed=end_speed)

        if way.box:
            return reckon()
        key = (len(way.track.along), round(way.track.length, 9), own, start_speed, end_speed)
        if key not in known:
            known[key] = reckon()
        return known[key]

    now, facing, at = 0.0, course.heading, course.start
    for number, (leg, choices) in enumerate(zip(course.legs, ways, strict=True)):
        own = limits.at(share=leg.share, backward=leg.backward)
        start_speed = None if course.flying_start and number == 0 else 0.0
        end_speed = None if course.rolling_finish and leg is course.legs[-1] else 0.0
        picked = choices[:1] if style == "hugging" else choices
        rolls = [(each, driven(each, own, start_speed, end_speed)) for each in picked]
        chosen, profile = min(rolls, key=lambda roll: roll[1].duration)
        roll = Roll(leg=leg, begins=now, candidate=chosen, profile=profile)
        sets_off = float(chosen.fine.direction[0]) + roll.chair_turned
        if facing is not None:
            angle = _turn_to(sets_off - facing, leg.turn)
            if abs(angle) > _NO_TURN:
                duration = turn_duration(angle, limits, wheel_track=outline.track)
                pieces.append(Turn(at=at, facing=facing, angle=angle, begins=now, duration=duration))
                now += duration
        pieces.append(Roll(leg=leg, begins=now, candidate=chosen, profile=profile))
        now += profile.duration
        facing, at = float(chosen.fine.direction[-1]) + roll.chair_turned, leg.to
        if leg.pause:
            pieces.append(Stand(at=at, facing=facing, begins=now, duration=leg.pause))
            now += leg.pause
    poses = swept(pieces)
    found = cone_clearances(poses, outline, course.cones)
    line = Line(
        course=course,
        outline=outline,
        limits=limits,
        pieces=tuple(pieces),
        clearances={cone.name: float(room) for cone, room in zip(course.cones, found, strict=True)},
        margin=margin,
        poses=poses,
    )
    return line if line.run_out < 0.01 else _with_run_out(line)


def _with_run_out(line: Line) -> Line:
    """Return the line with the floor on which the chair stops after the finish among what it sweeps."""
    x, y, facing = line.poses.x[-1], line.poses.y[-1], line.poses.heading[-1]
    way = facing + line.rolls[-1].chair_turned
    on = np.linspace(0.0, line.run_out, max(2, round(line.run_out / 0.025)))
    after = Poses(x=x + on * math.cos(way), y=y + on * math.sin(way), heading=np.full(len(on), facing))
    poses = Poses.joined([line.poses, after])
    found = cone_clearances(poses, line.outline, line.course.cones)
    named = {cone.name: float(room) for cone, room in zip(line.course.cones, found, strict=True)}
    return Line(
        course=line.course,
        outline=line.outline,
        limits=line.limits,
        pieces=line.pieces,
        clearances=named,
        margin=line.margin,
        poses=poses,
    )


def _turn_to(angle: float, asked: str | None) -> float:
    """Return the angle by which the chair turns: to the side asked, or the shorter way, left where both are alike."""
    angle = math.remainder(angle, math.tau)
    if abs(angle) <= _NO_TURN:
        return angle
    if asked == "left":
        return angle % math.tau
    if asked == "right":
        return angle % math.tau - math.tau
    return math.pi if abs(abs(angle) - math.pi) < 1e-6 else angle


def swept(pieces: Iterable[Piece]) -> Poses:
    """Return the poses of all that is done, close enough together to tell the room to a cone."""
    parts = []
    for piece in pieces:
        if isinstance(piece, Roll):
            parts.append(rolled(piece.candidate.fine, piece.leg))
        elif isinstance(piece, Turn):
            number = max(2, math.ceil(abs(piece.angle) / TURN_STEP) + 1)
            ones = np.ones(number)
            parts.append(
                Poses(
                    x=piece.at.x * ones,
                    y=piece.at.y * ones,
                    heading=piece.facing + np.linspace(0.0, piece.angle, number),
                )
            )
    return Poses.joined(parts)


def poses_at(line: Line, times: Array) -> Poses:
    """Return where the chair is at the given times: for dots every second, or for the chair that moves on the plan.

    Parameters
    ----------
    line : Line
    times : array (n,)
        Since go, rising; before go the chair stands at the start, after the finish at its end [s].
    """
    times = np.asarray(times, dtype=float)
    x, y, heading = (np.empty(len(times)) for _ in range(3))
    begins = np.array([piece.begins for piece in line.pieces])
    which = np.clip(np.searchsorted(begins, times, side="right") - 1, 0, len(begins) - 1)
    for number, piece in enumerate(line.pieces):
        here = which == number
        if not here.any():
            continue
        since = np.clip(times[here] - piece.begins, 0.0, piece.duration)
        if isinstance(piece, Roll):
            track = piece.candidate.track
            along = _along(piece, since)
            x[here], y[here] = np.interp(along, track.along, track.x), np.interp(along, track.along, track.y)
            heading[here] = np.interp(along, track.along, track.direction) + piece.chair_turned
            continue
        x[here], y[here], heading[here] = piece.at.x, piece.at.y, piece.facing
        if isinstance(piece, Turn):
            wheel_track = line.outline.track
            heading[here] += turn_progress(piece.angle, since, line.limits, wheel_track=wheel_track)
    return Poses(x=x, y=y, heading=heading)


def _along(roll: Roll, since: Array) -> Array:
    """Return how far the chair has come, with an even acceleration within each step [m]."""
    time, speed, along = roll.profile.time, roll.profile.speed, roll.candidate.track.along
    i = np.clip(np.searchsorted(time, since, side="right") - 1, 0, len(time) - 2)
    length = np.maximum(time[i + 1] - time[i], 1e-9)
    part = np.clip((since - time[i]) / length, 0.0, 1.0)
    gone = length * part * (speed[i] + 0.5 * part * (speed[i + 1] - speed[i]))
    return np.asarray(along[i] + gone)
