"""A layout as a drill of a session: spacing by another search, floor and times by hand, and what is refused."""

from __future__ import annotations

import math
import re
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from course_cases import chair

import firstpush.demo
from firstpush.core.courses import (
    LAYOUTS,
    Area,
    CourseError,
    Limits,
    Roll,
    Turn,
    athlete_speed,
    fit,
    outline_of,
)
from firstpush.core.courses.drill import (
    SHORTEST_LADDER,
    WALKING_PACE,
    Drill,
    DrillCourse,
    drill_course,
    floor_of,
    placed,
    timed,
)
from firstpush.core.kit.venue import Venue
from firstpush.core.kit.venue_file import load_venue
from firstpush.core.people.athlete_file import load_athlete

CLUB = Path(firstpush.demo.__file__).parent / "club"
LADDER = (0.25, 0.5, 0.75, 1.0)
DRILLS = (
    Drill(layout="half-circle-back", count=5),
    Drill(layout="slalom", count=6, runs=2),
    Drill(layout="stop-and-turn", count=6),
    Drill(layout="push-lanes", count=4, shares=LADDER),
)


def hall(length: float, width: float) -> tuple[Area, ...]:
    """Return a hall with half a metre kept to its walls."""
    return (Area(name="floor of a hall", length=length, width=width, room=0.5, edge="wall"),)


def laid(drill: Drill, areas: tuple[Area, ...] = (), **other: float) -> DrillCourse:
    """Return a drill of a court chair 0.80 m wide."""
    return drill_course(drill, chair=chair(overall_width=0.80, **other), name="Runa", areas=areas)


@pytest.mark.parametrize("drill", DRILLS, ids=lambda each: each.layout)
@pytest.mark.parametrize("venue", ["slipway_hall", "quay_court"])
def test_the_spacing_is_what_the_search_of_courses_finds(drill: Drill, venue: str) -> None:
    """The page of a course halves its way to the longest spacing; here a straight line is followed: the same metres."""
    areas = floor_of(load_venue(CLUB / "venues" / f"{venue}.toml"))
    for name in ("runa_velde", "tovi_ankerlund", "nilo_fyrvang"):
        athlete = load_athlete(CLUB / "athletes" / f"{name}.toml")
        speed = athlete_speed(sport=athlete.sport)
        found = drill_course(drill, chair=athlete.chair, name=athlete.name, areas=areas, speed=speed)
        outline = outline_of(athlete.chair, name=athlete.name)
        other = fit(drill.layout, outlines=[outline], areas=areas, count=drill.count, limits=speed.limits())
        assert found.spacing == pytest.approx(other.line.course.spacing, abs=0.011)
        assert placed(found).fits


def test_the_floor_of_stop_and_turn_is_its_length_and_two_turns() -> None:
    """At both ends the chair turns about its axle: 6 m, twice its farthest corner, twice half a metre to the walls."""
    found = laid(Drill(layout="stop-and-turn", count=6), hall(32.0, 19.0))
    assert found.spacing == 6.0
    corner = max(math.hypot(x, y) for x, y in found.outline.polygon)
    assert found.length == pytest.approx(6.0 + 2 * corner + 2 * 0.5, abs=0.02)


def test_the_marks_of_a_half_circle_stand_on_it() -> None:
    """Five on a circle, 45 degrees from each other; the sixth as far behind as the chair turns beside it."""
    found = laid(Drill(layout="half-circle-back", count=5), hall(32.0, 19.0))
    behind, *arc = found.course.cones
    angles = [math.degrees(math.atan2(each.y, each.x)) for each in arc]
    assert [math.hypot(each.x, each.y) for each in arc] == pytest.approx([found.spacing] * 5)
    assert angles == pytest.approx([180, 135, 90, 45, 0])
    corner = max(math.hypot(x, y) for x, y in found.outline.polygon)
    assert -behind.y == pytest.approx(corner + 0.15 + 0.10, abs=0.01)


def driven(length: float, limits: Limits) -> float:
    """Return the time from rest to rest over a length by adding up millimetres: push as long as braking still does."""
    x = np.arange(0.0, length, 0.0005)
    step = x[1]
    speed = np.zeros(len(x))
    for k in range(1, len(x)):
        v = max(float(speed[k - 1]), 1e-4)
        push = limits.maximal_speed / limits.time_constant * (1 - v / limits.maximal_speed)
        speed[k] = math.sqrt(v * v + 2 * push * step)
    brake = np.sqrt(2 * limits.braking * (length - x))
    between = np.maximum(np.minimum(speed, brake), 1e-3)
    return float((step / np.maximum(0.5 * (between[1:] + between[:-1]), 1e-3)).sum())


def test_a_set_is_as_long_as_its_pieces() -> None:
    """Six lengths of 6 m, each added up by hand, and five half turns; planned up to the next five seconds."""
    found = laid(Drill(layout="stop-and-turn", count=6), hall(32.0, 19.0))
    slow = found.slow
    rolls = [piece for piece in slow.pieces if isinstance(piece, Roll)]
    turns = [piece for piece in slow.pieces if isinstance(piece, Turn)]
    assert (len(rolls), len(turns)) == (6, 5)
    for roll in rolls:
        assert roll.duration == pytest.approx(driven(6.0, slow.limits), rel=0.01)
    assert found.slowest == pytest.approx(6 * rolls[0].duration + 5 * turns[0].duration, abs=1e-6)
    assert found.set_s % 5 == 0
    assert 0 <= found.set_s - found.slowest < 5


def test_there_and_back_is_two_runs_and_the_turn_between() -> None:
    """Twice one run and a half turn; the shortest and the longest time of a set are those of a run alike."""
    once, back = (laid(Drill(layout="slalom", count=6, runs=runs), hall(32.0, 19.0)) for runs in (1, 2))
    turn = back.slowest - 2 * once.slowest
    assert 0.3 < turn < 3.0
    low, high = timed(back).set_times
    assert low == pytest.approx(2 * timed(once).set_times[0], abs=3.0)
    assert low < high == pytest.approx(back.slowest)
    assert timed(once).bracket.low == pytest.approx(timed(back).bracket.low)


def test_walking_pace_holds_the_speed_and_takes_longer() -> None:
    """14 m at 1.1 m/s and no faster take more than 12 s; at full pace it is quicker and the spacing the same."""
    drill = Drill(layout="slalom", count=6)
    fast, slow = (laid(replace(drill, walking=walking), hall(32.0, 19.0)) for walking in (False, True))
    assert slow.likely.top_speed <= WALKING_PACE.value + 1e-6
    assert slow.likely.duration > slow.likely.distance / WALKING_PACE.value
    assert fast.likely.top_speed > 1.5 * slow.likely.top_speed
    assert fast.spacing == slow.spacing


def test_of_lanes_the_first_ones_of_the_ladder_are_done_easily() -> None:
    """Two lengths at a quarter and a half: the times of these lengths in the whole ladder, and no faster one."""
    whole = laid(Drill(layout="push-lanes", count=4, shares=LADDER), hall(32.0, 19.0))
    easy = laid(Drill(layout="push-lanes", count=4, shares=LADDER[:2]), hall(32.0, 19.0))
    pushed = [roll.duration for roll in whole.likely.rolls if not roll.leg.backward]
    assert [roll.duration for roll in easy.likely.rolls if not roll.leg.backward] == pytest.approx(pushed[:2])
    assert pushed == sorted(pushed, reverse=True)
    assert [cue.says for cue in timed(easy).cues][:4] == ["3", "2", "1", "go"]


@pytest.mark.parametrize("drill", DRILLS, ids=lambda each: each.layout)
def test_a_floor_that_is_a_centimetre_too_small_makes_it_shorter(drill: Drill) -> None:
    """What a drill takes is what it needs: on just that floor it is laid so, on less it is shorter."""
    free = laid(drill)
    assert not free.areas and not free.is_shortened
    exact = laid(drill, hall(free.length + 0.001, free.width + 0.001))
    assert exact.spacing == free.spacing
    shorter = laid(drill, hall(free.length - 0.02, free.width + 0.001))
    assert free.spacing - 0.1 < shorter.spacing < free.spacing
    assert shorter.is_shortened and shorter.usual == free.usual
    assert shorter.length <= free.length - 0.02 + 0.002


@pytest.mark.parametrize("drill", DRILLS, ids=lambda each: each.layout)
def test_where_it_does_not_fit_the_metres_are_told(drill: Drill) -> None:
    """The metres said to be needed are enough: a floor of just these takes it."""
    with pytest.raises(CourseError, match=r"needs \d+\.\d\d m, has only (2\.50|3\.00) m") as found:
        laid(drill, hall(3.0, 2.5))
    needed = [float(each) for each in re.findall(r"needs (\d+\.\d\d) m", str(found.value))]
    assert needed
    assert laid(drill, hall(max(needed), max(needed))).spacing > 0


def test_lanes_too_short_to_get_fast_are_refused() -> None:
    """On 11 m of floor no length of 10 m goes: both ends take the chair's turn and half a metre; 13 m do."""
    what = rf"needs 1\d\.\d\d m, has only 11\.00 m for a length of {SHORTEST_LADDER.value:.2f}"
    with pytest.raises(CourseError, match=what):
        laid(DRILLS[3], hall(11.0, 9.0))
    assert SHORTEST_LADDER.value <= laid(DRILLS[3], hall(13.0, 9.0)).spacing < 13.0


def test_a_wide_chair_gets_the_spacing_that_it_needs() -> None:
    """On the slalom two circles of half the width, the cone and the margin, and 7 cm: 2 (w/2 + 0.10 + 0.15) + 0.07."""
    wide = drill_course(
        Drill(layout="slalom", count=6), chair=chair(overall_width=1.60), name="Wide", areas=hall(40.0, 20.0)
    )
    assert wide.spacing >= 2 * (0.80 + 0.25) - 0.01
    assert wide.likely.is_clear
    assert laid(DRILLS[1]).spacing == LAYOUTS["slalom"].usual


def test_a_floor_nobody_measured_is_the_court_of_its_sport() -> None:
    """Basketball: 28 by 15 m and its run-off; of a hall without a sport nothing is known."""
    court = floor_of(Venue(name="hall", surface="sprung wood", sport="wheelchair basketball"))
    assert court and court[0].length >= 28.0
    assert floor_of(Venue(name="hall", surface="sprung wood")) == ()


def test_with_nothing_measured_the_bracket_is_wide() -> None:
    """A sprint narrows it: nothing measured spans more of the likely time."""
    found = timed(laid(DRILLS[2], hall(32.0, 19.0)))
    assert "maximal speed" in found.bracket.guessed
    assert (found.bracket.high - found.bracket.low) / found.bracket.likely.duration > 0.2
