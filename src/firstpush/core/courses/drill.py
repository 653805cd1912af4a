"""A layout as a drill of a session: laid for one chair on one floor, and how long a set of it takes.

What costs time to reckon (the bracket, the place on the floor) is reckoned for what is in a session only, see `timed`.
"""

from __future__ import annotations

import math
from collections import OrderedDict
from collections.abc import Callable, Hashable, Sequence
from dataclasses import dataclass, field, replace
from threading import Lock
from typing import Any, TypeVar, cast

from firstpush.core.courses.bracket import Bracket
from firstpush.core.courses.chair_outline import ChairOutline, outline_of
from firstpush.core.courses.clearance import Extent
from firstpush.core.courses.course import Course, CourseError
from firstpush.core.courses.cues import COUNT, Cue, cues_of
from firstpush.core.courses.floor import WALL_ROOM, Area, OnFloor, areas_on, free_run_out, put_on
from firstpush.core.courses.lanes import lane_course, least_side
from firstpush.core.courses.layouts import lay_out, layout_named, least_by_geometry
from firstpush.core.courses.line import Line, line_over
from firstpush.core.courses.profile import turn_duration
from firstpush.core.courses.set_out import SetOut, set_out
from firstpush.core.courses.spacing import FINEST, Need, least_spacing
from firstpush.core.courses.speed import AthleteSpeed, athlete_speed
from firstpush.core.courses.sprint import Ranged
from firstpush.core.courses.turning import Pushes, TimeUse, Turning, pushes_of, time_use, turning_of
from firstpush.core.courses.ways import Candidate, candidates
from firstpush.core.kit.venue import Venue
from firstpush.core.measured import Measured
from firstpush.core.people.athlete import Chair, Side

Answer = TypeVar("Answer")

LANES = "push-lanes"
WALKING_PACE = Measured(
    name="highest speed of a drill at walking pace",
    value=1.1,
    unit="m/s",
    spread=0.2,
    source="daily pushing; somebody walks beside",
    known="our choice",
)
SHORTEST_LADDER = Measured(
    name="shortest length on which effort still goes up a ladder",
    value=10.0,
    unit="m",
    spread=2.0,
    source="a chair is near its speed after some 8 m (5 m in 1.9 s, 20 m in 5.7 s: Yanci 2015)",
    known="our choice",
)
SHORTEST_STOP = Measured(
    name="shortest length from which a stop is one",
    value=4.0,
    unit="m",
    spread=1.0,
    source="four pushes",
    known="our choice",
)
SHORTEST = {LANES: SHORTEST_LADDER.value, "stop-and-turn": SHORTEST_STOP.value}
"""A drill of a session is laid no shorter than this [m], whatever its chair needs."""
WHOLE_S = 5
"""A set is timed in steps of so many seconds: its end is no finer known."""
SURE = 0.3
"""A usual spacing so far above the closed form needs no search for the least one: the line at it is checked [m]."""
KEPT = 192
"""Drills kept in memory, by all that they come from."""


@dataclass(frozen=True, kw_only=True)
class Drill:
    """What is asked for.

    Parameters
    ----------
    layout : str
        Id of a layout.
    count : int
        How many cones, rounds or lengths, as the layout counts.
    shares : tuple of float
        Of push lanes: of the maximal speed, one for each length that is done; fewer than `count` does the first ones.
    runs : int
        How often it is done in a set; between two runs the chair turns half round.
    walking : bool
        Whether it is done at walking pace.
    backward : bool
        Of push lanes: whether the short sides are pulled backwards; else it goes there and back on one lane.
    """

    layout: str
    count: int
    shares: tuple[float, ...] = ()
    runs: int = 1
    walking: bool = False
    backward: bool = True


@dataclass(frozen=True, kw_only=True, eq=False)
class DrillCourse:
    """A drill laid for a chair on a floor; lengths in m, times in s.

    Parameters
    ----------
    drill : Drill
    course : Course
        By itself: not yet in its place on the floor.
    usual : float
        The spacing that it has where there is floor enough.
    side : float or None
        Between two push lanes.
    outline : ChairOutline
    speed : AthleteSpeed
        With the pace of the drill in it.
    areas : tuple of Area
        Empty where nothing is known of the floor.
    length, width : float
        Floor that it takes, with the room kept to its edge; the longer side first.
    likely, slow : Line
        Of the athlete as known, and the slow side of the bracket.
    ways : tuple
        Those of `candidates`.
    """

    drill: Drill
    course: Course
    usual: float
    side: float | None
    outline: ChairOutline
    speed: AthleteSpeed
    areas: tuple[Area, ...]
    length: float
    width: float
    likely: Line = field(repr=False)
    slow: Line = field(repr=False)
    ways: tuple[tuple[Candidate, ...], ...] = field(repr=False)

    @property
    def spacing(self) -> float:
        """The one length of its layout."""
        assert self.course.spacing is not None, "every layout has one"
        return self.course.spacing

    @property
    def run_out(self) -> float | None:
        """What is free straight on at the end of a lane, in the middle of its floor [m]; None where not known."""
        across = not all(
            self.likely.extent.width + 2.0 * area.room <= area.length
            and self.likely.extent.depth + 2.0 * area.room <= area.width
            for area in self.areas
            if area.binds
        )
        line = line_over(self.course.moved(turned=math.pi / 2.0), self.outline) if across else self.likely
        return free_run_out(line, self.areas, turned=across)

    @property
    def is_shortened(self) -> bool:
        """Whether the floor asked for less than the usual spacing."""
        return self.spacing < self.usual - FINEST / 2.0

    @property
    def slowest(self) -> float:
        """The longest that a set takes [s]."""
        return _of_set(self.drill, self.slow.duration, half_turn=_half_turn(self.speed, "slow", self.outline))

    @property
    def set_s(self) -> float:
        """How long a set is planned: nobody is cut off before the finish, in steps of `WHOLE_S`."""
        return float(WHOLE_S * math.ceil(self.slowest / WHOLE_S - 1e-9))


@dataclass(frozen=True, kw_only=True)
class TimedDrill:
    """All that is told of a drill; its times are of one run, and `set_times` of a set, shortest and longest [s]."""

    laid: DrillCourse
    bracket: Bracket
    set_times: tuple[float, float]
    turning: Turning
    pushes: Pushes
    use: TimeUse
    table: SetOut | None
    cues: tuple[Cue, ...]


def floor_of(venue: Venue) -> tuple[Area, ...]:
    """Return the floor a drill must stay on: the hall to its walls, else the court of its sport; empty: not known."""
    try:
        return areas_on(venue)
    except CourseError:
        return ()


def drill_course(
    drill: Drill,
    *,
    chair: Chair,
    name: str,
    areas: Sequence[Area],
    speed: AthleteSpeed | None = None,
    like: DrillCourse | None = None,
) -> DrillCourse:
    """Return a drill laid for a chair on a floor.

    Parameters
    ----------
    drill : Drill
    chair : Chair
    name : str
        Of the athlete, for what is said where it does not fit.
    areas : sequence of Area
        Of `floor_of`; empty where the floor is not known.
    speed : AthleteSpeed or None
        None: nothing is measured.
    like : DrillCourse or None
        Another dose of the same exercise: it is laid at the same spacing.

    Returns
    -------
    DrillCourse
        At the usual spacing, or at what the chair needs where that is more, or at the longest that the floor has room
        for: the spacing that `fit` finds.

    Raises
    ------
    CourseError
        Where it does not fit, with the metres that are needed and those that there are.
    UnknownNameError
        For a layout that does not exist.
    """
    given = None if like is None else (like.spacing, like.side)
    key = ("laid", drill, chair, name, tuple(areas), speed, given)
    return _kept(key, lambda: _laid(drill, chair, name, tuple(areas), speed, like))


def timed(laid: DrillCourse) -> TimedDrill:
    """Return all that is told of a drill: bracket, turns, pushes, where the time goes, two-tape table, cues."""
    # Of one chair, one speed and one floor the object itself stands for them all.
    return _kept(("timed", laid), lambda: _timed(laid))


def placed(laid: DrillCourse, *, first: Side = "left") -> OnFloor:
    """Return a drill in its place on the floor, with the likely line; `first` "right" is the other way round.

    Raises
    ------
    CourseError
        Where nothing is known of the floor.
    """
    return _kept(("placed", laid, first), lambda: _placed(laid, first))


def _laid(
    drill: Drill, chair: Chair, name: str, areas: tuple[Area, ...], speed: AthleteSpeed | None, like: DrillCourse | None
) -> DrillCourse:
    layout = layout_named(drill.layout)
    outline = outline_of(chair, name=name)
    of_athlete = speed if speed is not None else athlete_speed()
    if drill.walking:
        of_athlete = at_walking_pace(of_athlete)
    tries = _Tries(drill=drill, outline=outline, speed=of_athlete, areas=areas)
    if like is not None:
        return tries.at(like.spacing, like.side, usual=like.usual)
    least = least_by_geometry(drill.layout, outline=outline, count=drill.count)
    usual = layout.usual
    if least > usual - SURE:
        least = least_spacing(drill.layout, outline=outline, count=drill.count).needed
        usual = max(usual, least)
    wanted = tries.at(usual, None, usual=usual)
    if tries.fits(wanted):
        return wanted
    best = _longest(tries, wanted, least=_up(least))
    shortest = max(SHORTEST.get(drill.layout, 0.0), _up(least))
    if best is not None and best.spacing >= shortest - 1e-9:
        return best
    raise CourseError(_why_not(tries, wanted, shortest=shortest))


@dataclass(frozen=True, kw_only=True)
class _Tries:
    """One drill tried at several spacings."""

    drill: Drill
    outline: ChairOutline
    speed: AthleteSpeed
    areas: tuple[Area, ...]

    def at(self, spacing: float, side: float | None, *, usual: float) -> DrillCourse:
        """Return the drill at a spacing, whether it fits or not."""
        course = self._course(spacing, side)
        ways = candidates(course, self.outline)
        line = line_over(course, self.outline, self.speed.limits("likely"), ways=ways)
        limits = self.speed.limits("slow")
        slow = line_over(course, self.outline, limits, ways=ways, style="hugging")
        length, width = _floor_taken(line.extent, self.areas)
        return DrillCourse(
            drill=self.drill,
            course=course,
            usual=usual,
            side=side,
            outline=self.outline,
            speed=self.speed,
            areas=self.areas,
            length=length,
            width=width,
            likely=line,
            slow=slow,
            ways=ways,
        )

    def _course(self, spacing: float, side: float | None) -> Course:
        if self.drill.layout != LANES:
            return lay_out(self.drill.layout, outline=self.outline, spacing=spacing, count=self.drill.count)
        return lane_course(
            outline=self.outline, length=spacing, shares=self.drill.shares, side=side, backward=self.drill.backward
        )

    def fits(self, laid: DrillCourse) -> bool:
        """Whether there is floor enough; of a floor that is not known nothing is said."""
        return all(need.fits for need in _needs(laid, self.areas))


def _needs(laid: DrillCourse, areas: Sequence[Area]) -> list[Need]:
    found = []
    for area in (each for each in areas if each.binds):
        long, short = max(area.length, area.width), min(area.length, area.width)
        found.append(Need(what=f"length of the {area.name}", needed=laid.length, has=long))
        found.append(Need(what=f"width of the {area.name}", needed=laid.width, has=short))
    return found


def _floor_taken(size: Extent, areas: Sequence[Area]) -> tuple[float, float]:
    room = max((area.room for area in areas if area.binds), default=WALL_ROOM.value)
    one, other = size.width + 2.0 * room, size.depth + 2.0 * room
    return max(one, other), min(one, other)


def _longest(tries: _Tries, wanted: DrillCourse, *, least: float) -> DrillCourse | None:
    """Return the drill at the longest spacing that fits, to the centimetre; None where the least does not."""
    usual = wanted.usual
    # Lanes may lie nearer to each other before they are made shorter.
    lanes = tries.drill.layout == LANES
    sides = [_up(least_side(tries.outline)), None] if lanes else [None]
    found = []
    for side in sides:
        shortest = tries.at(least, side, usual=usual)
        if not tries.fits(shortest):
            continue
        longest = tries.at(usual, side, usual=usual)
        if tries.fits(longest):
            found.append(longest)
            continue
        found.append(_between(tries, shortest, longest))
    return max(found, key=lambda each: each.spacing, default=None)


def _between(tries: _Tries, fits: DrillCourse, too_long: DrillCourse) -> DrillCourse:
    """Return the longest that fits between one that fits and one that does not, one centimetre at the finest.

    The floor that is taken grows nearly evenly with the spacing, so that a straight line through both ends tells where
    to look; what it tells is tried, and narrows the search from both sides.
    """
    while too_long.spacing - fits.spacing > 1.5 * FINEST:
        guess = min(
            fits.spacing
            + (too_long.spacing - fits.spacing)
            * max(0.0, one.has + 0.002 - one.needed)
            / max(other.needed - one.needed, 1e-9)
            for one, other in zip(_needs(fits, tries.areas), _needs(too_long, tries.areas), strict=True)
        )
        low, high = fits.spacing + FINEST, too_long.spacing - FINEST
        at = round(min(max(math.floor(100.0 * guess + 1e-6) / 100.0, low), high), 2)
        tried = tries.at(at, fits.side, usual=fits.usual)
        if not tries.fits(tried):
            too_long = tried
            continue
        fits = tried
        # Most often the guess is right: one centimetre more does not fit.
        if too_long.spacing - fits.spacing > 1.5 * FINEST:
            more = tries.at(round(at + FINEST, 2), fits.side, usual=fits.usual)
            if not tries.fits(more):
                return fits
            fits = more
    return fits


def _why_not(tries: _Tries, wanted: DrillCourse, *, shortest: float) -> str:
    """Return the metres of floor that the shortest drill needs, and those that there are."""
    layout = layout_named(tries.drill.layout)
    least = tries.at(shortest, _narrowest(tries), usual=wanted.usual)
    missing = "; ".join(str(need) for need in _needs(least, tries.areas) if not need.fits)
    return f"{missing} for a {layout.spacing_word} of {shortest:.2f} m"


def _narrowest(tries: _Tries) -> float | None:
    return _up(least_side(tries.outline)) if tries.drill.layout == LANES else None


def _up(value: float) -> float:
    return math.ceil(100.0 * value - 1e-6) / 100.0


def at_walking_pace(speed: AthleteSpeed) -> AthleteSpeed:
    """Return a speed that is held to walking pace, where it is above it."""
    if speed.maximal_speed.value <= WALKING_PACE.value:
        return speed
    pace = Ranged(
        value=WALKING_PACE.value,
        spread=WALKING_PACE.spread / WALKING_PACE.value,
        unit="m/s",
        known="our choice",
        source="walking pace",
    )
    return replace(speed, maximal_speed=pace)


def _half_turn(speed: AthleteSpeed, edge: Any, outline: ChairOutline) -> float:
    return turn_duration(math.pi, speed.limits(edge), wheel_track=outline.track)


def _of_set(drill: Drill, run: float, *, half_turn: float) -> float:
    """Return how long a set takes: its runs, the turns between them, and the count before push lanes [s]."""
    counted = COUNT if drill.layout == LANES else 0.0
    return counted + drill.runs * run + (drill.runs - 1) * half_turn


def _timed(laid: DrillCourse) -> TimedDrill:
    course, line, ways = laid.course, laid.likely, laid.ways
    quick = line_over(course, laid.outline, laid.speed.limits("quick"), ways=ways)
    hugging = line_over(course, laid.outline, laid.speed.limits("likely"), ways=ways, style="hugging")
    half_turn = _half_turn(laid.speed, "quick", laid.outline)
    return TimedDrill(
        laid=laid,
        bracket=Bracket(
            quick=quick,
            slow=laid.slow,
            likely=line,
            likely_hugging=hugging.duration,
            guessed=laid.speed.guessed,
        ),
        set_times=(_of_set(laid.drill, quick.duration, half_turn=half_turn), laid.slowest),
        turning=turning_of(line),
        pushes=pushes_of(line),
        use=time_use(line),
        table=set_out(course) if len(course.cones) > 1 else None,
        cues=cues_of(line),
    )


def _placed(laid: DrillCourse, first: Side) -> OnFloor:
    course = laid.course if first == "left" else laid.course.mirrored()
    return put_on(course, outline=laid.outline, areas=laid.areas, limits=laid.speed.limits())


_ANSWERS: OrderedDict[Hashable, Any] = OrderedDict()
_GUARD = Lock()


def _kept(key: Hashable, reckon: Callable[[], Answer]) -> Answer:
    """Return what was reckoned from the same before, a refusal too; two at once reckon the same twice."""
    with _GUARD:
        known = key in _ANSWERS
        found = _ANSWERS.get(key)
        if known:
            _ANSWERS.move_to_end(key)
    if not known:
        try:
            found = reckon()
        except CourseError as error:
            found = error
        with _GUARD:
            _ANSWERS[key] = found
            while len(_ANSWERS) > KEPT:
                _ANSWERS.popitem(last=False)
    if isinstance(found, CourseError):
        # A new one: an error carries where it was raised.
        raise CourseError(str(found))
    return cast("Answer", found)
