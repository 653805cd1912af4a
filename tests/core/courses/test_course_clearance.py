"""Room beside a moving chair, against Shapely and against the same sweep at fine steps."""

from __future__ import annotations

import numpy as np
import pytest
import shapely
from course_cases import CONE, MARGIN, outline, random_course
from hypothesis import given, settings
from hypothesis import strategies as st

from firstpush.core.courses import Cone, Line, Poses, cone_clearances, corners_swept, lay_out, line_over
from firstpush.core.courses.clearance import extent, to_polygon


@given(
    x=st.floats(-3, 3), y=st.floats(-3, 3), heading=st.floats(-7, 7), cone_x=st.floats(-3, 3), cone_y=st.floats(-3, 3)
)
def test_the_room_to_a_cone_is_what_shapely_measures(
    x: float, y: float, heading: float, cone_x: float, cone_y: float
) -> None:
    """One pose, one cone: distance of a point to a polygon, less the radius; inside, less the depth."""
    of = outline()
    pose = Poses(x=np.array([x]), y=np.array([y]), heading=np.array([heading]))
    cone = Cone(name="1", x=cone_x, y=cone_y)
    body, point = shapely.Polygon(corners_swept(pose, of)[0]), shapely.Point(cone_x, cone_y)
    expected = body.distance(point) if not body.contains(point) else -body.exterior.distance(point)
    assert cone_clearances(pose, of, [cone])[0] == pytest.approx(expected - CONE, abs=1e-9)


def test_many_points_at_once_are_the_same_as_one_by_one() -> None:
    """Leading axes are kept."""
    points = np.random.default_rng(3).uniform(-2, 2, size=(4, 5, 2))
    together = to_polygon(outline().polygon, points)
    assert together.shape == (4, 5)
    assert together[2, 3] == to_polygon(outline().polygon, points[2, 3])


def finer(line: Line, times: int) -> Poses:
    """Return the poses of a line with others in between, straight between two."""
    at = np.arange(len(line.poses.x))
    fine = np.linspace(0, at[-1], times * at[-1] + 1)
    return Poses(**{each: np.interp(fine, at, getattr(line.poses, each)) for each in ("x", "y", "heading")})


@pytest.mark.parametrize("seed", range(6))
def test_nothing_is_missed_between_two_poses(seed: int) -> None:
    """Twenty times finer, about 1 mm apart, no cone is nearer by more than a millimetre."""
    rng = np.random.default_rng(seed)
    of = outline(float(rng.uniform(0.62, 0.95)))
    line = line_over(random_course(rng, of), of)
    fine = cone_clearances(finer(line, 20), of, line.course.cones)
    assert fine == pytest.approx(list(line.clearances.values()), abs=0.001)


@pytest.mark.parametrize("name", ["half-circle", "half-circle-back", "push-lanes", "t"])
def test_the_swept_floor_of_shapely_keeps_the_margin_too(name: str) -> None:
    """The union of all outlines, as a second library makes it, is as far from the cones; and as large."""
    of = outline()
    line = line_over(lay_out(name, outline=of), of)
    bodies = shapely.union_all([shapely.Polygon(each) for each in corners_swept(line.poses, of)])
    for cone in line.course.cones:
        expected = bodies.distance(shapely.Point(cone.x, cone.y)) - CONE
        assert line.clearances[cone.name] == pytest.approx(expected, abs=1e-6)
        assert expected >= MARGIN - 0.003
    size = extent(line.poses, of)
    assert (size.left, size.low, size.right, size.high) == pytest.approx(bodies.bounds)


@settings(max_examples=20, deadline=None)
@given(turn=st.floats(-4, 4), right=st.floats(-20, 20), up=st.floats(-20, 20))
def test_moving_the_whole_course_changes_no_room(turn: float, right: float, up: float) -> None:
    """Room to cones knows no place and no direction on the floor."""
    of = outline()
    course = lay_out("slalom", outline=of, count=3)
    before = line_over(course, of)
    after = line_over(course.moved(right=right, up=up, turned=turn), of)
    assert list(after.clearances.values()) == pytest.approx(list(before.clearances.values()), abs=1e-6)
    assert after.duration == pytest.approx(before.duration, abs=1e-3)
