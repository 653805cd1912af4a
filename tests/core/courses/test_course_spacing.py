"""The least spacing, against triangles, the swept floor at fine steps, and what must hold for any chair."""

from __future__ import annotations

import math
from itertools import pairwise

import pytest
import shapely
from course_cases import CONE, MARGIN, outline
from hypothesis import given, settings
from hypothesis import strategies as st

from firstpush.core.courses import (
    ChairOutline,
    CourseError,
    Need,
    TooCloseError,
    corners_swept,
    lay_out,
    least_by_geometry,
    least_spacing,
    line_over,
    squad_spacing,
)
from firstpush.core.errors import UnknownNameError


@pytest.mark.parametrize(("count", "chord"), [(3, 1.41421), (5, 0.76537), (7, 0.51764), (9, 0.39018)])
def test_neighbours_on_the_half_circle_are_a_chord_apart(count: int, chord: float) -> None:
    """Chord over radius 2 sin(π/(2 (n − 1))), to five digits by hand; cones where the triangles put them."""
    course = lay_out("half-circle", outline=outline(), spacing=3.0, count=count)
    outer = course.cones[1:]
    for one, other in pairwise(outer):
        assert math.dist((one.x, one.y), (other.x, other.y)) == pytest.approx(3.0 * chord, abs=1e-4)
    assert all(math.hypot(cone.x, cone.y) == pytest.approx(3.0) for cone in outer)


def test_a_wide_court_chair_needs_more_than_the_usual_radius() -> None:
    """0.88 m wide, cones 0.20 m across, 15 cm: ρ = 0.44 + 0.10 + 0.15, and ρ/sin 22.5° = 1.803 m; usual is 1.5 m."""
    by_hand = 0.69 / math.sin(math.radians(22.5))
    assert least_by_geometry("half-circle", outline=outline(0.88)) == pytest.approx(by_hand, abs=0.01)
    least = least_spacing("half-circle", outline=outline(0.88, name="Tovi"))
    assert least.needed == 1.81
    assert (
        str(least.against(1.52)) == "radius of the half circle round the cones for Tovi: needs 1.81 m, has only 1.52 m"
    )


def clear_by_shapely(name: str, spacing: float, of: ChairOutline, count: int | None) -> bool:
    """Whether the tightest line keeps the margin to all cones, with the swept floor as a second library makes it."""
    try:
        line = line_over(lay_out(name, outline=of, spacing=spacing, count=count), of, style="hugging")
    except TooCloseError:
        return False
    bodies = shapely.union_all([shapely.Polygon(each) for each in corners_swept(line.poses, of)])
    return all(bodies.distance(shapely.Point(cone.x, cone.y)) - CONE >= MARGIN - 0.002 for cone in line.course.cones)


@pytest.mark.parametrize(
    ("name", "count"), [("half-circle", 3), ("half-circle", 5), ("half-circle", 7), ("slalom", 4), ("figure-eight", 1)]
)
@pytest.mark.parametrize("width", [0.63, 0.80, 0.95])
def test_the_least_spacing_is_the_swept_truth_within_three_centimetres(name: str, count: int, width: float) -> None:
    """At what is said it is clear, and 3 cm below it is not; the closed form is within 4 cm of it."""
    of = outline(width)
    least = least_spacing(name, outline=of, count=count)
    assert clear_by_shapely(name, least.needed, of, count)
    assert not clear_by_shapely(name, least.needed - 0.03, of, count)
    assert least.needed - 0.04 <= least.by_geometry <= least.needed + 0.001


@settings(max_examples=12, deadline=None)
@given(
    width=st.floats(0.60, 1.0),
    wider=st.floats(0.0, 0.2),
    name=st.sampled_from(["half-circle", "slalom", "half-circle-back", "square", "t"]),
)
def test_a_wider_chair_never_needs_less_room(width: float, wider: float, name: str) -> None:
    """Same length, same cones."""
    narrow = least_spacing(name, outline=outline(width)).needed
    assert least_spacing(name, outline=outline(width + wider)).needed >= narrow


@settings(max_examples=8, deadline=None)
@given(margin=st.floats(0.05, 0.3), more=st.floats(0.0, 0.2))
def test_a_larger_margin_never_needs_less_room(margin: float, more: float) -> None:
    """Half circle of five."""
    least = least_spacing("half-circle", outline=outline(), margin=margin).needed
    assert least_spacing("half-circle", outline=outline(), margin=margin + more).needed >= least


def test_in_a_squad_the_chair_that_needs_most_decides_and_is_named() -> None:
    """Widest of four, wherever it stands in the list."""
    squad = [outline(width, name=name) for name, width in (("Mika", 0.73), ("Bren", 0.80), ("Nilo", 0.63))]
    least = squad_spacing("half-circle", outlines=[*squad, outline(0.90, name="Runa")])
    assert least.outline.name == "Runa"
    assert least.needed == least_spacing("half-circle", outline=outline(0.90)).needed
    assert squad_spacing("half-circle", outlines=squad[::-1]).outline.name == "Bren"
    with pytest.raises(CourseError, match="a course for no chair has no spacing; allowed is one chair or more"):
        squad_spacing("half-circle", outlines=[])


def test_a_need_never_says_that_it_fits_where_it_does_not() -> None:
    """What is needed is rounded up, what there is down."""
    need = Need(what="width", needed=1.8051, has=1.7999)
    assert not need.fits
    assert str(need) == "width: needs 1.81 m, has only 1.79 m"
    assert str(Need(what="width", needed=1.8, has=2.5)) == "width: needs 1.80 m, has 2.50 m"


def test_an_unknown_layout_or_count_says_what_there_is() -> None:
    """Names and numbers that would work."""
    with pytest.raises(UnknownNameError, match="there is no course 'halfcircle'; did you mean 'half-circle'"):
        lay_out("halfcircle", outline=outline())
    with pytest.raises(
        CourseError, match="half circle round the cones with 2 cones on the arc cannot be laid out; allowed is 3 to 13"
    ):
        lay_out("half-circle", outline=outline(), count=2)
    with pytest.raises(CourseError, match=r"a radius of 300 m cannot be laid out; allowed is 0.1 m to 60 m"):
        lay_out("half-circle", outline=outline(), spacing=300.0)
    with pytest.raises(CourseError, match="a margin of 15 m cannot be kept; allowed is 0 m to 1 m"):
        lay_out("half-circle", outline=outline(), margin=15.0)
