"""Whole lines: both ways round, random courses, every cone on its hand, and the chair at any time."""

from __future__ import annotations

import math

import numpy as np
import pytest
from course_cases import MARGIN, outline, random_course
from hypothesis import given, settings
from hypothesis import strategies as st

from firstpush.core.courses import (
    LAYOUTS,
    Cone,
    Course,
    Leg,
    Limits,
    Line,
    Pass,
    Place,
    candidates,
    lay_out,
    line_over,
    poses_at,
)
from firstpush.core.courses.line import Stand, Turn


@pytest.mark.parametrize("name", LAYOUTS)
def test_both_ways_round_take_the_same_time(name: str) -> None:
    """A mirrored course is as long and as quick, within a millisecond, and as near to the cones."""
    of = outline()
    course = lay_out(name, outline=of)
    one, other = line_over(course, of), line_over(course.mirrored(), of)
    assert other.duration == pytest.approx(one.duration, abs=1e-3)
    assert other.distance == pytest.approx(one.distance, abs=1e-3)
    assert other.nearest == pytest.approx(one.nearest, abs=1e-6)
    assert one.is_clear


@pytest.mark.parametrize("name", ["half-circle", "half-circle-back", "square"])
def test_the_other_way_round_needs_no_other_cones(name: str) -> None:
    """Symmetrical layouts keep their cones and names; the hands change."""
    of = outline()
    course = lay_out(name, outline=of)
    other = lay_out(name, outline=of, first="right")
    assert other.cones == course.cones
    assert other.mirrored().legs[0].passes == course.legs[0].passes


def test_the_other_way_round_passes_on_the_other_hand() -> None:
    """Half circle: from the right, every outer cone on the left hand."""
    of = outline()
    assert lay_out("half-circle", outline=of).order == "1R 0L 2R 0L 3R 0L 4R 0L 5R"
    assert lay_out("half-circle", outline=of, first="right").order == "5L 0R 4L 0R 3L 0R 2L 0R 1L"


def hands_kept(line: Line) -> bool:
    """Whether every cone lies on the hand asked, where the axle is nearest to it around its passage."""
    for roll in line.rolls:
        track = roll.candidate.track
        for each, at in zip(roll.leg.passes, roll.candidate.passing, strict=True):
            cone = line.course.cone(each.cone)
            i = int(np.abs(track.along - at).argmin())
            dx, dy = cone.x - track.x[i], cone.y - track.y[i]
            left = math.cos(track.direction[i]) * dy - math.sin(track.direction[i]) * dx
            if (left > 0.0) != (each.hand == "left"):
                return False
    return True


@pytest.mark.parametrize("seed", range(40))
def test_a_random_course_keeps_margin_and_hands(seed: int) -> None:
    """Every one of 40: no cone nearer than the margin but for 1 cm, each on the hand asked, tight line not quicker."""
    rng = np.random.default_rng(1000 + seed)
    of = outline(float(rng.uniform(0.62, 0.95)), footplate_reach=float(rng.uniform(0.42, 0.70)))
    course = random_course(rng, of)
    ways = candidates(course, of)
    line = line_over(course, of, ways=ways)
    hugging = line_over(course, of, ways=ways, style="hugging")
    assert line.nearest >= MARGIN - 0.01
    assert hugging.nearest >= MARGIN - 0.01
    assert hands_kept(line) and hands_kept(hugging)
    assert line.duration <= hugging.duration + 1e-9


@settings(max_examples=15, deadline=None)
@given(
    slower=st.floats(2.0, 4.0),
    more=st.floats(0.0, 1.5),
    name=st.sampled_from(["half-circle", "slalom", "stop-and-turn", "push-lanes"]),
)
def test_more_speed_is_never_slower(slower: float, more: float, name: str) -> None:
    """With the same time constant; the line is chosen anew for each."""
    of = outline()
    course = lay_out(name, outline=of)
    ways = candidates(course, of)
    first = line_over(course, of, Limits(maximal_speed=slower), ways=ways).duration
    second = line_over(course, of, Limits(maximal_speed=slower + more), ways=ways).duration
    assert second <= first + 1e-6


def test_the_chair_at_any_time_lies_on_its_line() -> None:
    """At the times of the profile it is where the profile says; before go at the start, after the end at the finish."""
    of = outline()
    line = line_over(lay_out("half-circle", outline=of), of)
    roll = line.rolls[0]
    found = poses_at(line, roll.profile.time)
    assert found.x == pytest.approx(roll.candidate.track.x, abs=1e-6)
    assert found.heading == pytest.approx(roll.candidate.track.direction, abs=1e-6)
    ends = poses_at(line, np.array([-1.0, line.duration + 5.0]))
    home = line.course.start
    assert (*ends.x, *ends.y) == pytest.approx((home.x, home.x, home.y, home.y), abs=1e-6)


def test_the_chair_never_jumps() -> None:
    """Every 10 ms it moves no farther than its top speed allows, through turns on the spot and pulls too."""
    of = outline()
    for name in ("push-lanes", "half-circle-back", "stop-and-turn"):
        line = line_over(lay_out(name, outline=of), of)
        found = poses_at(line, np.arange(0.0, line.duration, 0.01))
        assert np.hypot(np.diff(found.x), np.diff(found.y)).max() <= 0.01 * line.top_speed * 1.01 + 1e-6
        turned = np.abs(np.angle(np.exp(1j * np.diff(found.heading))))
        assert turned.max() <= 0.01 * line.limits.turning_rate * 1.01


def test_pulled_backwards_the_chair_faces_where_it_came_from() -> None:
    """Out, stop, pulled back to the centre: the heading stays, the place returns."""
    of = outline()
    line = line_over(lay_out("half-circle-back", outline=of), of)
    out, back = line.rolls[0], line.rolls[1]
    poses = poses_at(line, np.array([0.5 * out.duration, back.begins + 0.5 * back.duration]))
    assert math.cos(poses.heading[0] - poses.heading[1]) == pytest.approx(1.0)
    assert back.profile.duration > out.profile.duration
    turns = [piece for piece in line.pieces if isinstance(piece, Turn)]
    assert [round(math.degrees(turn.angle)) for turn in turns] == [-45] * 4


def test_a_pause_stands_and_a_turn_goes_the_way_asked() -> None:
    """Two stretches at right angles, 2 s between them, turning three quarters to the right."""
    of = outline()
    course = Course(
        name="corner",
        cones=(Cone(name="1", x=9.0, y=9.0),),
        start=Place(x=0.0, y=0.0),
        legs=(Leg(to=Place(x=4.0, y=0.0), pause=2.0), Leg(to=Place(x=4.0, y=4.0), turn="right")),
        heading=0.0,
    )
    line = line_over(course, of)
    kinds = [type(piece).__name__ for piece in line.pieces]
    assert kinds == ["Roll", "Stand", "Turn", "Roll"]
    assert isinstance(line.pieces[1], Stand) and line.pieces[1].duration == 2.0
    assert line.turns[0].angle == pytest.approx(-1.5 * math.pi)
    assert line.duration == pytest.approx(sum(piece.duration for piece in line.pieces))


def test_a_flying_start_is_quicker_and_no_faster_than_the_athlete() -> None:
    """The chair comes rolling: it begins at the maximal speed at most."""
    of = outline()
    ends = {"start": Place(x=0.0, y=0.0), "legs": (Leg(to=Place(x=15.0, y=0.0)),), "name": "length", "cones": ()}
    standing = line_over(Course(**ends, rolling_finish=True), of)
    flying = line_over(Course(**ends, flying_start=True, rolling_finish=True), of)
    assert flying.duration == pytest.approx(15.0 / Limits().maximal_speed, rel=0.01)
    assert flying.duration < standing.duration
    assert flying.top_speed <= Limits().maximal_speed + 1e-9


def test_a_finish_at_speed_needs_floor_to_stop_on() -> None:
    """v²/(2 a) beyond the finish is swept too, and a cone that stands there is too near."""
    of = outline()
    course = Course(
        name="length",
        cones=(Cone(name="1", x=17.0, y=0.0),),
        start=Place(x=0.0, y=0.0),
        legs=(Leg(to=Place(x=15.0, y=0.0)),),
        rolling_finish=True,
    )
    line = line_over(course, of)
    speed = line.rolls[0].profile.speed[-1]
    assert line.run_out == pytest.approx(speed**2 / (2 * Limits().braking))
    assert line.extent.right == pytest.approx(15.0 + line.run_out + of.front, abs=1e-6)
    assert not line.is_clear


def test_smoothing_does_not_draw_the_line_over_a_cone() -> None:
    """A hairpin round one cone, far shorter than the longest box: it is still gone round, on its hand."""
    of = outline(0.63)
    cones = (Cone(name="1", x=0.0, y=0.0),)
    legs = (Leg(to=Place(x=-3.0, y=0.8), passes=(Pass(cone="1", hand="left"),)),)
    line = line_over(Course(name="hairpin", cones=cones, start=Place(x=-3.0, y=-0.8), legs=legs), of)
    assert hands_kept(line) and line.is_clear
    assert float(line.poses.x.max()) > 0.0
