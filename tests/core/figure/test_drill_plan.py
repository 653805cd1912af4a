"""The small plan of a drill: true to its scale by a ruler, names that cover nothing, words for those who hear it."""

from __future__ import annotations

import math
import re
import xml.etree.ElementTree as ET
from itertools import combinations

import pytest

from firstpush.core.courses.drill import Drill, DrillCourse, drill_course
from firstpush.core.errors import OutOfRangeError
from firstpush.core.figure.drill_plan import draw_drill_plan
from firstpush.core.people.chair_presets import filled_chair

DRILLS = (
    Drill(layout="half-circle-back", count=5),
    Drill(layout="half-circle", count=5),
    Drill(layout="slalom", count=6, runs=2),
    Drill(layout="stop-and-turn", count=6),
    Drill(layout="push-lanes", count=4, shares=(0.25, 0.5, 0.75, 1.0)),
)
SVG = "{http://www.w3.org/2000/svg}"


def laid(drill: Drill) -> DrillCourse:
    """Return a drill of a court chair."""
    chair = filled_chair("court", name="court chair", measured=frozenset(), given={"overall_width": 0.80})
    return drill_course(drill, chair=chair, name="Runa", areas=())


def names_of(svg: str) -> dict[str, tuple[float, float]]:
    """Return where each bold word stands: the names of cones [mm]."""
    found = {}
    for each in ET.fromstring(svg).iter(f"{SVG}text"):
        if each.get("font-weight"):
            found["".join(each.itertext())] = (float(each.get("x", "0")), float(each.get("y", "0")))
    return found


def numbers_in(data: str) -> list[float]:
    """Return the numbers of a path."""
    return [float(each) for each in re.findall(r"-?(?:\d+\.?\d*|\.\d+)", data)]


@pytest.mark.parametrize("drill", DRILLS, ids=lambda each: each.layout)
@pytest.mark.parametrize("paper", [(88.0, 46.0), (60.0, 37.0)])
def test_the_bar_under_a_plan_is_as_long_as_it_says(drill: Drill, paper: tuple[float, float]) -> None:
    """So many metres at the scale that stands beside it: 5 m at 1:200 are 25 mm; and the plan keeps to its paper."""
    plan = draw_drill_plan(laid(drill), width_mm=paper[0], height_mm=paper[1])
    assert plan.width_mm <= paper[0] + 0.01
    assert plan.height_mm <= paper[1] + 0.01
    metres, scale = re.findall(r">([\d.]+) m · 1:(\d+)<", plan.svg)[0]
    assert int(scale) == plan.scale
    bar = re.findall(r'<g class="bar"><path d="([^"]*)"', plan.svg)[0]
    # One line across, relative: "M x y l dx 0".
    assert abs(numbers_in(bar)[2]) == pytest.approx(1000 * float(metres) / plan.scale, abs=0.02)


@pytest.mark.parametrize("drill", DRILLS, ids=lambda each: each.layout)
def test_names_of_cones_lie_as_the_cones_do(drill: Drill) -> None:
    """Each name stands within 4 mm of its cone: distances between names are those of the floor at the scale."""
    of = laid(drill)
    plan = draw_drill_plan(of, width_mm=88.0, height_mm=46.0)
    names = names_of(plan.svg)
    assert set(names) == {cone.name for cone in of.course.cones}
    for one, two in combinations(of.course.cones, 2):
        on_floor = math.hypot(one.x - two.x, one.y - two.y) * 1000 / plan.scale
        assert math.dist(names[one.name], names[two.name]) == pytest.approx(on_floor, abs=8.0)
    # No two names over each other: a figure is 1.75 mm wide and 2.2 mm high.
    for one, two in combinations(names.values(), 2):
        assert abs(one[0] - two[0]) > 1.7 or abs(one[1] - two[1]) > 2.1


def test_words_tell_what_a_plan_shows() -> None:
    """Layout, spacing, cones and the order with the hand."""
    of = laid(DRILLS[2])
    plan = draw_drill_plan(of, width_mm=88.0, height_mm=46.0)
    assert f"slalom, spacing {of.spacing:.2f} m, 6 cones" in plan.words
    assert "0L 1R 2L 3R 4L 5R" in plan.words
    assert plan.words in plan.svg


def test_paper_too_small_is_refused() -> None:
    """At 1:600 lanes of 20 m are 33 mm long."""
    with pytest.raises(OutOfRangeError, match="cannot be drawn"):
        draw_drill_plan(laid(DRILLS[4]), width_mm=30.0, height_mm=30.0)
