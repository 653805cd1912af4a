"""The two-tape table: what two people with tapes lay by it, rounded as printed, is the course again."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from course_cases import outline
from hypothesis import given, settings
from hypothesis import strategies as st

from firstpush.core.courses import LAYOUTS, Cone, Course, CourseError, Leg, Place, lay_out, set_out
from firstpush.core.courses.lanes import SPARE
from firstpush.core.courses.set_out import placed


@pytest.mark.parametrize("name", LAYOUTS)
def test_a_course_laid_by_the_table_has_all_its_distances(name: str) -> None:
    """Rounded to a centimetre; every pair of cones is then as far apart as planned, within 4 cm."""
    course = lay_out(name, outline=outline())
    table = set_out(course)
    rounded = replace(
        table,
        base=round(table.base, 2),
        rows=tuple(
            replace(
                row,
                from_first=round(row.from_first, 2),
                from_second=round(row.from_second, 2),
                along=round(row.along, 2),
            )
            for row in table.rows
        ),
    )
    found = placed(rounded)
    assert {cone.name for cone in course.cones} <= set(found)
    for one in course.cones:
        for other in course.cones:
            apart = math.dist((one.x, one.y), (other.x, other.y))
            assert math.dist(found[one.name], found[other.name]) == pytest.approx(apart, abs=0.04)


def test_the_half_circle_by_hand() -> None:
    """Radius 3 m, base from cone 1 to cone 5: 2 and 4 are 2.30 m from one end, 5.54 m from the other, on the left."""
    table = set_out(lay_out("half-circle", outline=outline(), spacing=3.0))
    rows = {row.name: row for row in table.rows}
    assert (table.first, table.second, table.base) == ("1", "5", 6.0)
    assert rows["0"].side == "on the line"
    assert (rows["2"].from_first, rows["2"].from_second) == pytest.approx((2.30, 5.54), abs=0.005)
    assert (rows["3"].from_first, rows["3"].from_second) == pytest.approx((4.24, 4.24), abs=0.005)
    assert {rows[name].side for name in ("2", "3", "4")} == {"left"}
    assert rows["start and finish"].side == "right"


def test_stops_stand_in_the_table_each_place_once() -> None:
    """Four lengths of 6 m between two places: the far one is the 1st and 3rd stop, the near one is the start.

    The cones stand the room to turn (`swing`), 0.15 m and a cone of 0.10 m beyond both ends.
    """
    beyond = outline().swing + 0.15 + 0.10
    rows = {row.name: row for row in set_out(lay_out("stop-and-turn", outline=outline(), spacing=6.0)).rows}
    assert set(rows) == {"start and finish", "1st, 3rd stop"}
    far = rows["1st, 3rd stop"]
    assert (far.from_first, far.from_second) == pytest.approx((6.0 + beyond, beyond))


def test_each_end_of_each_lane_stands_in_the_table() -> None:
    """Lanes of 20 m, 3.50 m apart: after the 1st stop the chair is pulled to where the 2nd length starts.

    From cone 0, as far from the start as a turn on the spot needs, and half a chair, 0.15 m and a cone of 0.10 m beside
    the way, on the left of the first length; by Pythagoras; the 4th length ends at the finish.
    """
    beside = outline().width / 2 + 0.15 + 0.10 + SPARE
    ahead = max(math.sqrt((outline().swing + 0.15 + 0.10) ** 2 - beside**2), beside - SPARE) + SPARE
    rows = {row.name: row for row in set_out(lay_out("push-lanes", outline=outline(), spacing=20.0)).rows}
    stops = ["1st stop", "2nd start", "2nd stop", "3rd start", "3rd stop", "4th start"]
    assert [name for name in rows if "st" in name and name[0].isdigit()] == stops
    assert rows["1st stop"].from_first == pytest.approx(math.hypot(20.0 + ahead, beside))
    assert rows["2nd start"].from_first == pytest.approx(math.hypot(20.0 + ahead, beside + 3.5))
    assert rows["3rd start"].from_first == pytest.approx(math.hypot(ahead, beside + 2 * 3.5))


@settings(max_examples=50, deadline=None)
@given(turned=st.floats(-4, 4), right=st.floats(-9, 9), x=st.floats(-5, 5), y=st.floats(0.1, 5))
def test_the_table_knows_no_place_and_no_direction(turned: float, right: float, x: float, y: float) -> None:
    """Moving the whole course changes no distance and no side."""
    cones = (Cone(name="a", x=-7.0, y=0.0), Cone(name="b", x=7.0, y=0.0), Cone(name="c", x=x, y=y))
    course = Course(name="three", cones=cones, start=Place(x=0, y=-1), legs=(Leg(to=Place(x=0, y=-3)),))
    one, other = set_out(course), set_out(course.moved(turned=turned, right=right))
    assert (one.first, one.second) == ("a", "b")
    for before, after in zip(one.rows, other.rows, strict=True):
        assert (after.from_first, after.from_second) == pytest.approx((before.from_first, before.from_second))
        assert after.side == before.side == ("left" if before.name == "c" else after.side)


def test_one_cone_has_no_base() -> None:
    """The message says what to do instead."""
    course = Course(
        name="round one",
        cones=(Cone(name="1", x=0.0, y=0.0),),
        start=Place(x=3.0, y=0.0),
        legs=(Leg(to=Place(x=3.0, y=2.0)),),
    )
    with pytest.raises(CourseError, match="round one with 1 cone has no base to measure from; two cones or more"):
        set_out(course)
