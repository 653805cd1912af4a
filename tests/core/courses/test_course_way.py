"""Belts round cones and their smoothing, against lengths by hand, closed forms and the sense of every passage."""

from __future__ import annotations

import math

import numpy as np
import pytest

from firstpush.core.courses import Cone, Course, CourseError, Leg, Pass, Place, TooCloseError
from firstpush.core.courses.smooth import smoothed, track_of
from firstpush.core.courses.way import Belt, lay_belt
from firstpush.core.errors import UnknownNameError


def course(
    *order: str, cones: dict[str, tuple[float, float]], start: tuple[float, float], to: tuple[float, float]
) -> Course:
    """Return a course with an order such as "1L"."""
    passes = tuple(Pass(cone=each[:-1], hand="left" if each[-1] == "L" else "right") for each in order)
    return Course(
        name="test",
        cones=tuple(Cone(name=name, x=x, y=y) for name, (x, y) in cones.items()),
        start=Place(x=start[0], y=start[1]),
        legs=(Leg(to=Place(x=to[0], y=to[1]), passes=passes),),
    )


def belt(of: Course, radius: float) -> Belt:
    """Return the belt of its only leg."""
    return lay_belt(of, start=of.start, leg=of.legs[0], radii={cone.name: radius for cone in of.cones})


def length(of: Belt) -> float:
    """Return the length of the polygon through its points."""
    return float(np.hypot(*np.diff(of.points, axis=0).T).sum())


def test_round_one_cone_and_back() -> None:
    """From 3 m away round a circle of 1 m: twice √(3² − 1²), and the arc 2π − 2 arccos(1/3)."""
    of = course("1L", cones={"1": (3.0, 0.0)}, start=(0.0, 0.0), to=(0.0, 0.0))
    assert length(belt(of, 1.0)) == pytest.approx(2 * math.sqrt(8) + 2 * math.pi - 2 * math.acos(1 / 3), abs=2e-4)


def test_between_two_cones_on_different_hands() -> None:
    """Centres 4 m apart, radius 1 m: the inner tangent is √(4² − 2²) long."""
    of = course("1L", "2R", cones={"1": (0.0, 0.0), "2": (4.0, 0.0)}, start=(-3.0, -1.0), to=(7.0, 1.0))
    # Point-symmetrical about (2, 0): start and finish lie level with the lowest and the highest point.
    half_turn = math.asin(2 / 4)
    expected = 2 * 3.0 + 2 * half_turn + math.sqrt(12)
    assert length(belt(of, 1.0)) == pytest.approx(expected, abs=2e-4)


def test_between_two_cones_on_the_same_hand() -> None:
    """The outer tangent of equal circles is as long as their distance, and lies beside both at the radius."""
    of = course("1R", "2R", cones={"1": (0.0, 0.0), "2": (4.0, 0.0)}, start=(-3.0, 1.0), to=(7.0, 1.0))
    found = belt(of, 1.0)
    assert length(found) == pytest.approx(10.0)
    assert found.points[:, 1] == pytest.approx(1.0)


def test_a_cone_that_the_straight_line_passes_as_asked_is_left_out() -> None:
    """On the hand asked and farther than the radius: no detour; on the other hand: all the way round."""
    places = {"1": (3.0, 1.5)}
    straight = belt(course("1L", cones=places, start=(0.0, 0.0), to=(6.0, 0.0)), 1.0)
    round_it = belt(course("1R", cones=places, start=(0.0, 0.0), to=(6.0, 0.0)), 1.0)
    assert straight.straight and length(straight) == pytest.approx(6.0)
    assert straight.points[straight.passing[0]] == pytest.approx((3.0, 0.0), abs=0.02)
    assert round_it.points[:, 1].max() > 2.4
    assert not round_it.straight


def test_a_cone_behind_is_no_passage() -> None:
    """A straight line that ends before the cone does not pass it: the belt goes round."""
    found = belt(course("1L", cones={"1": (5.0, 1.5)}, start=(0.0, 0.0), to=(3.0, 0.0)), 1.0)
    assert found.points[:, 0].max() > 5.9


def test_a_cone_in_the_way_is_gone_round_on_its_nearer_side() -> None:
    """A cone that is not passed, 0.2 m left of the straight line: the chair keeps to the right of it."""
    of = course(cones={"1": (3.0, 0.2)}, start=(0.0, 0.0), to=(6.0, 0.0))
    found = belt(of, 1.0)
    assert found.points[:, 1].min() == pytest.approx(-0.8, abs=1e-3)
    assert np.hypot(found.points[:, 0] - 3.0, found.points[:, 1] - 0.2).min() == pytest.approx(1.0, abs=1e-3)


def test_cones_too_close_say_what_would_do() -> None:
    """Different hands need twice the radius between them."""
    of = course("1L", "2R", cones={"1": (0.0, 0.0), "2": (1.5, 0.0)}, start=(-3.0, 0.0), to=(5.0, 0.0))
    with pytest.raises(TooCloseError, match=r"cones 1 and 2 stand 1.50 m apart; .* needs 2.00 m") as found:
        belt(of, 1.0)
    assert (found.value.needed, found.value.has) == (2.0, 1.5)


def test_a_start_too_near_its_first_cone_says_so() -> None:
    """The circle of the first cone does not lie over the start."""
    of = course("1L", cones={"1": (0.0, 0.0)}, start=(0.5, 0.0), to=(5.0, 0.0))
    with pytest.raises(TooCloseError, match=r"cone 1 stands 0.50 m from the start; this chair needs 1.00 m there"):
        belt(of, 1.0)


@pytest.mark.parametrize("box", [0.43, 1.2, 2.5])
def test_smoothing_keeps_start_and_finish(box: float) -> None:
    """Both ends stay, to the last digit; in between the way is shorter."""
    of = course("1L", "2R", cones={"1": (0.0, 0.0), "2": (4.0, 0.0)}, start=(-3.0, -1.0), to=(7.0, 1.0))
    points = belt(of, 1.0).points
    found = smoothed(points, box=box, step=0.025)
    assert (found[0] == points[0]).all()
    assert (found[-1] == points[-1]).all()
    assert len(found) == len(points)
    assert np.hypot(*np.diff(found, axis=0).T).sum() < np.hypot(*np.diff(points, axis=0).T).sum()


def test_smoothing_a_circle_makes_it_smaller_by_its_closed_form() -> None:
    """A box of length b takes a circle of radius r to r sin(b/2r)/(b/2r), twice."""
    radius, step = 1.0, 0.005
    angle = np.arange(0.0, 4.0 * np.pi, step / radius)
    points = radius * np.column_stack([np.cos(angle), np.sin(angle)])
    middle = smoothed(points, box=1.0, step=step)[len(angle) // 2]
    half = 0.5 / radius
    assert math.hypot(*middle) == pytest.approx(radius * (math.sin(half) / half) ** 2, abs=0.001)


def test_a_straight_way_stays_straight() -> None:
    """Reflection in the end point continues a line by the same line."""
    points = np.column_stack([np.linspace(0.0, 5.0, 201), np.linspace(0.0, 2.0, 201)])
    assert smoothed(points, box=2.0, step=0.027) == pytest.approx(points)


def test_curvature_of_a_circle() -> None:
    """1/r to the left, -1/r to the right, and a full turn sums to 2π."""
    angle = np.linspace(0.0, 2.0 * np.pi, 1000)
    points = 2.0 * np.column_stack([np.cos(angle), np.sin(angle)])
    assert track_of(points).curvature == pytest.approx(0.5, abs=1e-4)
    assert track_of(points[::-1]).curvature == pytest.approx(-0.5, abs=1e-4)
    assert track_of(points).turned_left == pytest.approx(2.0 * np.pi, abs=0.01)
    assert track_of(points, every=3).length == pytest.approx(4.0 * np.pi, abs=0.001)


def test_a_course_that_cannot_be_is_refused() -> None:
    """Names twice, cones in cones, a cone that is not there, a place off every floor."""
    two = {"1": (0.0, 0.0), "2": (0.1, 0.0)}
    with pytest.raises(CourseError, match=r"cones 1 and 2 stand 0.10 m apart, one inside the other; allowed is 0.20 m"):
        course(cones=two, start=(-3.0, 0.0), to=(3.0, 0.0))
    with pytest.raises(UnknownNameError, match=r"there is no cone '3'; did you mean"):
        course("3L", cones={"1": (0.0, 0.0), "33": (5.0, 0.0)}, start=(-3.0, 0.0), to=(3.0, 0.0))
    with pytest.raises(CourseError, match=r"\(900 m, 0 m\) is no place on a floor; allowed is up to 200 m"):
        course(cones={"1": (900.0, 0.0)}, start=(-3.0, 0.0), to=(3.0, 0.0))
    cone = Cone(name="1", x=0.0, y=0.0)
    leg = Leg(to=Place(x=3.0, y=0.0))
    with pytest.raises(CourseError, match=r"two cones of .a. have the name .1."):
        Course(name="a", cones=(cone, Cone(name="1", x=3.0, y=0.0)), start=Place(x=-3.0, y=0.0), legs=(leg,))
    with pytest.raises(CourseError, match="leads nowhere"):
        Course(name="a", cones=(cone,), start=Place(x=-3.0, y=0.0), legs=())
    with pytest.raises(CourseError, match="a pause of -1 s cannot be"):
        Course(name="a", cones=(cone,), start=Place(x=0, y=0), legs=(Leg(to=Place(x=3.0, y=0.0), pause=-1.0),))
    with pytest.raises(CourseError, match=r"1.5 of the maximal speed cannot be pushed"):
        Course(name="a", cones=(cone,), start=Place(x=0, y=0), legs=(Leg(to=Place(x=3.0, y=0.0), share=1.5),))
