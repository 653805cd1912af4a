"""The floor a chair covers, against the shape of its wheels and a second library."""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely
from course_cases import chair, outline

from firstpush.core.courses import outline_of, widest
from firstpush.core.errors import OutOfRangeError


def test_the_outline_is_as_wide_and_long_as_the_chair() -> None:
    """Width at the floor over the wheels; length from the front of the feet to the back of the wheels."""
    of = outline_of(chair(overall_width=0.88, overall_length=0.95, footplate_reach=0.60, wheel_diameter=0.635))
    left, low, right, high = shapely.Polygon(of.polygon).bounds
    assert high - low == pytest.approx(0.88)
    assert -left == pytest.approx(0.635 / 2, abs=0.001)
    assert right == pytest.approx(0.95 - 0.635 / 2)


def test_no_part_of_a_cambered_wheel_stands_out() -> None:
    """Every point of the lower rim, by the geometry of a tilted circle, lies in the outline; and hardly inside it."""
    of = chair(overall_width=0.80, wheel_diameter=0.66, camber=math.radians(20.0))
    shape = shapely.Polygon(outline_of(of).polygon)
    angle = np.linspace(0.0, 2.0 * np.pi, 721)
    radius, depth = 0.33, 0.33 * math.sin(math.radians(20.0))
    for side in (1.0, -1.0):
        rim = np.column_stack([radius * np.cos(angle), side * (0.40 - depth + depth * np.sin(angle))])
        assert shape.buffer(1e-9).contains(shapely.MultiPoint(rim))
    assert shape.exterior.distance(shapely.Point(0.0, 0.40)) < 1e-9


def test_the_outline_is_convex_and_anticlockwise() -> None:
    """What the distance to it relies on."""
    ring = shapely.LinearRing(outline().polygon)
    assert ring.is_ccw
    assert shapely.Polygon(ring).convex_hull.area == pytest.approx(shapely.Polygon(ring).area)


def test_reach_outside_a_circle_is_the_farthest_corner() -> None:
    """The outer wheel or the far corner of the feet, whichever is farther from the middle: by Pythagoras."""
    of = outline(0.70, footplate_reach=0.65, overall_length=0.98)
    feet = math.hypot(0.98 - 0.635 / 2, 0.16 + 0.6)
    assert of.reach_outside(0.6) >= max(feet, 0.6 + 0.35) - 1e-9
    assert of.reach_outside(0.6) == pytest.approx(max(np.hypot(x, y + 0.6) for x, y in of.polygon))


def test_the_widest_chair_is_found() -> None:
    """Of two equally wide ones the longer."""
    chairs = [outline(0.80, name="a"), outline(0.88, name="b"), outline(0.88, name="c", footplate_reach=0.75)]
    assert widest(chairs).name == "c"


def test_a_chair_in_centimetres_is_refused() -> None:
    """The message says what is allowed."""
    with pytest.raises(OutOfRangeError, match=r"a chair of 88 m width .* allowed is 0.3 to 2 m; measure it again"):
        outline(88.0)
