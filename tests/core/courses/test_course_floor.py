"""Courses on floors: rule-book sizes, what fits, and the metres that are missing."""

from __future__ import annotations

import math

import pytest
from course_cases import MARGIN, outline

from firstpush.core.courses import (
    LAYOUTS,
    Area,
    CourseError,
    TooCloseError,
    areas_on,
    corners_swept,
    court_area,
    court_of,
    courts,
    fit,
    floor_area,
    lay_out,
    line_over,
    put_on,
)
from firstpush.core.courses.floor import WALL_ROOM
from firstpush.core.errors import UnknownNameError
from firstpush.core.kit.venue import Venue

HALL = Venue(name="Slipway hall", floor_length=32.0, floor_width=19.0)
QUAY = Venue(name="Quay court", floor_length=17.4, floor_width=9.1)


def hall(length: float, width: float) -> Area:
    """Return a floor to its walls."""
    return floor_area(Venue(name="hall", floor_length=length, floor_width=width))


def test_courts_have_the_sizes_of_their_rules() -> None:
    """Tennis diagonal 26.184 m (ITF 2015, table 5); basketball floor 32 by 19 m (art. 2); badminton diagonal 14.723."""
    tennis, badminton = court_of("wheelchair tennis"), court_of("wheelchair badminton")
    assert math.hypot(tennis.length, tennis.width) == pytest.approx(26.184, abs=0.0005)
    with_run_off = court_area(court_of("wheelchair basketball"), with_run_off=True)
    assert (with_run_off.length, with_run_off.width) == (32.0, 19.0)
    assert math.hypot(badminton.length, badminton.width) == pytest.approx(14.723, abs=0.0005)
    rugby = court_area(court_of("wheelchair rugby"), with_run_off=True)
    assert (rugby.length, rugby.width) == (28.0 + 2 * 3.0, 15.0 + 2 * 2.0)


def test_every_court_says_its_edition_and_how_it_is_known() -> None:
    """What was not read is marked; a run-off not found is none, not 0."""
    assert all(court.edition for court in courts().values())
    assert {sport for sport, court in courts().items() if court.known != "read"} == {"wheelchair table tennis"}
    assert court_of("wheelchair badminton").behind is None
    with pytest.raises(
        UnknownNameError, match="there is no court 'wheelchair tenis'; did you mean 'wheelchair tennis'"
    ):
        court_of("wheelchair tenis")


def test_a_court_in_a_hall_binds_by_run_off_walls_or_lines() -> None:
    """Basketball in a hall of 30 by 19 m: 28 + 2 × 2 m of run-off do not go in, so that the walls bind before it."""
    place = Venue(name="Short hall", floor_length=30.0, floor_width=19.0, sport="wheelchair basketball")
    walls, run_off, lines = areas_on(place, sport="wheelchair basketball")
    assert [(each.edge, each.binds) for each in (walls, run_off, lines)] == [
        ("wall", True),
        ("edge of the run-off", True),
        ("line", False),
    ]
    assert (run_off.length, run_off.width, lines.length, lines.width) == (32.0, 19.0, 28.0, 15.0)
    assert "FIBA rules, article 2" in run_off.source
    placed = put_on(lay_out("slalom", outline=outline()), outline=outline(), areas=(walls, run_off, lines))
    assert not any("court for" in need.what or need.has in (28.0, 15.0) for need in placed.needs), (
        "lines are drawn only"
    )
    assert {need.has for need in placed.needs if "floor of" in need.what} == {30.0, 19.0}
    inside = areas_on(place, sport="wheelchair basketball", inside_lines=True)
    assert [(each.name, each.binds) for each in inside[1:]] == [("wheelchair basketball court", True)]
    assert areas_on(place) == (walls,)


def test_without_a_known_run_off_the_lines_bind() -> None:
    """Badminton's was not found; of a hall that is not measured the court is all there is."""
    bare = Venue(name="Quay", sport="wheelchair badminton")
    (only,) = areas_on(bare)
    assert (only.length, only.width, only.edge, only.binds) == (13.40, 6.10, "line", True)
    with pytest.raises(CourseError, match="floor_length_m"):
        areas_on(Venue(name="Quay", sport="bowls"))
    with pytest.raises(CourseError, match="lines without a court"):
        areas_on(bare, inside_lines=True)


@pytest.mark.parametrize("name", LAYOUTS)
def test_in_the_hall_every_layout_fits_inside_its_walls(name: str) -> None:
    """No corner of the chair comes nearer to a wall than asked, counted in the frame of the floor."""
    found = fit(name, outlines=[outline()], areas=[floor_area(HALL)])
    assert found.fits and found.misfits == ()
    corners = corners_swept(found.line.poses, found.line.outline)
    assert corners.min() >= WALL_ROOM.value - 1e-6
    assert corners[..., 0].max() <= 32.0 - WALL_ROOM.value + 1e-6
    assert corners[..., 1].max() <= 19.0 - WALL_ROOM.value + 1e-6


def test_on_a_short_floor_the_spacing_shrinks_as_far_as_the_chair_allows() -> None:
    """It is the usual one where that fits, and one step more would not fit where it is less."""
    areas = [hall(17.4, 9.1)]
    found = fit("t", outlines=[outline()], areas=areas)
    spacing = found.line.course.spacing
    assert spacing is not None
    assert found.fits and spacing < LAYOUTS["t"].usual
    more = put_on(lay_out("t", outline=outline(), spacing=spacing + 0.03), outline=outline(), areas=areas)
    assert not more.fits


def test_a_floor_too_small_says_the_metres_that_would_do() -> None:
    """At the least spacing; and a floor of that size, to the centimetre said, is enough."""
    found = fit("half-circle", outlines=[outline()], areas=[hall(8.0, 5.0)])
    assert not found.fits
    (said,) = found.misfits
    assert said.startswith("width of the floor of hall: needs 5.") and said.endswith("has only 5.00 m")
    enough = float(said.split("needs ")[1].split(" m")[0])
    assert fit("half-circle", outlines=[outline()], areas=[hall(8.0, enough)]).fits
    assert not fit("half-circle", outlines=[outline()], areas=[hall(8.0, enough - 0.02)]).fits


def test_a_spacing_asked_for_is_compared_with_what_the_chair_needs() -> None:
    """Cones 1.52 m from the centre, for a chair that needs 1.81 m."""
    areas = [floor_area(HALL)]
    found = fit("half-circle", outlines=[outline(name="Runa")], areas=areas, spacing=1.52)
    assert not found.fits
    assert found.misfits[0] == "radius of the half circle round the cones for Runa: needs 1.81 m, has only 1.52 m"
    assert found.line.nearest < MARGIN
    with pytest.raises(TooCloseError, match=r"needs 1.81 m, has only 1.20 m\. cones"):
        fit("half-circle", outlines=[outline(name="Runa")], areas=areas, spacing=1.2)
    wider = fit("half-circle", outlines=[outline(name="Runa"), outline(0.7, name="Mika")], areas=areas, spacing=1.85)
    assert wider.fits and wider.least is not None
    assert wider.least.outline.name == "Runa"


def test_a_course_is_turned_where_it_fits_only_so() -> None:
    """A narrow long hall, a T that stands across it otherwise."""
    long = lay_out("slalom", outline=outline(), count=8)
    across = put_on(long.moved(turned=math.pi / 2), outline=outline(), areas=[hall(25.0, 5.0)])
    along = put_on(long, outline=outline(), areas=[hall(25.0, 5.0)])
    assert across.turned and across.fits
    assert not along.turned and along.fits
    assert across.line.duration == pytest.approx(along.line.duration, abs=1e-3)


def test_walls_and_lines_are_checked_together() -> None:
    """The hall is large enough, the court inside its lines is not."""
    court = court_area(court_of("wheelchair badminton"))
    found = fit("push-lanes", outlines=[outline()], areas=[floor_area(HALL), court], spacing=20.0)
    assert found.misfits[0].split(":")[0] == "length of the wheelchair badminton court"


def test_lanes_move_together_before_they_get_shorter() -> None:
    """On the quay four lanes of 3.5 m side do not fit; nearer to each other they do, nearly as long as the floor."""
    found = fit("push-lanes", outlines=[outline()], areas=[floor_area(QUAY)])
    spacing = found.line.course.spacing
    assert found.fits and spacing is not None and spacing > 13.0


@pytest.mark.parametrize("name", ["half-circle-back", "stop-and-turn", "push-lanes"])
def test_in_a_squad_the_longest_chair_stops_with_its_room_too(name: str) -> None:
    """One chair is wider, another longer: the cones suit both."""
    wide, long = outline(0.90, name="Bren", footplate_reach=0.46), outline(0.70, name="Edda", footplate_reach=0.85)
    found = fit(name, outlines=[wide, long], areas=[floor_area(HALL)])
    assert found.fits, found.misfits
    for chair in (wide, long):
        assert line_over(found.line.course, chair).nearest >= MARGIN - 0.003


def test_a_floor_that_is_not_measured_says_so() -> None:
    """Unknown is never taken for large enough."""
    with pytest.raises(
        CourseError, match=r"the floor of Yard is not measured; .* write floor_length_m and floor_width_m"
    ):
        floor_area(Venue(name="Yard", floor_length=20.0))
    with pytest.raises(CourseError, match="a course without a floor cannot be placed"):
        put_on(lay_out("slalom", outline=outline()), outline=outline(), areas=[])


def test_a_course_stays_where_its_coordinates_say_as_long_as_it_fits_there() -> None:
    """A wall wants 0.50 m: a slalom stays with a centimetre more than that beside it, and not with one less."""
    of = outline()
    first = put_on(lay_out("slalom", outline=of), outline=of, areas=[hall(32.0, 19.0)])
    size = first.line.extent
    for room, stays in ((0.51, True), (0.49, False)):
        beside = first.line.course.moved(right=room - size.left, up=room - size.low)
        found = put_on(beside, outline=of, areas=[hall(32.0, 19.0)], keep_place=True)
        assert found.in_its_place == stays
        expected = beside if stays else first.line.course
        assert [(each.x, each.y) for each in found.line.course.cones] == [
            pytest.approx((each.x, each.y), abs=1e-6) for each in expected.cones
        ]
        assert found.fits


def test_a_court_that_binds_has_the_same_middle_as_the_hall() -> None:
    """A court of 28 by 15 m in a hall of 32 by 19 m begins 2 m from its corner: 1.9 m is beyond its line."""
    of = outline()
    lines = Area(name="court", length=28.0, width=15.0, room=0.0, edge="line")
    size = put_on(lay_out("slalom", outline=of), outline=of, areas=[hall(32.0, 19.0)]).line
    for low, stays in ((2.01, True), (1.9, False)):
        beside = size.course.moved(right=low - size.extent.left, up=low - size.extent.low)
        assert put_on(beside, outline=of, areas=[hall(32.0, 19.0), lines], keep_place=True).in_its_place == stays
