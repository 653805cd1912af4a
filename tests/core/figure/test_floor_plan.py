"""The floor plan of a venue: to scale, nothing over the edge, nothing over another where there is room."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from firstpush.core.figure.floor_plan import PLACE_WIDTH, draw_floor_plan, plan_floor
from firstpush.core.figure.palette import ACCENT, every_colour
from firstpush.core.kit.venue import Post, Venue

HALL = Venue(
    name="hall",
    floor_length=30.0,
    floor_width=15.0,
    posts=(
        Post(name="bars", heights=(0.5, 1.0), room_in_front=3.0, places=3),
        Post(name="upright", heights=(0.5,), room_in_front=4.0, places=1),
        Post(name="long rope", heights=(0.5,), room_in_front=20.0, places=1),
    ),
)

POSTS = st.builds(
    Post,
    name=st.just("post"),
    heights=st.just((0.5,)),
    room_in_front=st.floats(0.3, 60.0),
    places=st.integers(1, 50),
)


def boxes(svg: str, name: str) -> list[tuple[float, ...]]:
    """Return x, y, width and height of every rectangle of a class [mm]."""
    return [
        tuple(float(each.attrib[key]) for key in ("x", "y", "width", "height"))
        for each in ET.fromstring(svg).iter()
        if each.get("class") == name and each.tag.endswith("rect")
    ]


def test_floor_and_rooms_are_to_one_scale() -> None:
    """Sides of the floor and of every room, over the millimetres they are drawn with, give one and the same scale."""
    svg = draw_floor_plan(HALL)
    ((_, _, length, width),) = boxes(svg, "edge")
    scale = length / 30.0
    assert width / 15.0 == pytest.approx(scale, rel=1e-3)
    bars, upright, rope = boxes(svg, "room")
    assert bars[3] == pytest.approx(3.0 * scale, abs=0.02)
    assert bars[2] == pytest.approx(3 * PLACE_WIDTH.value * scale, abs=0.02)
    assert upright[3] == pytest.approx(4.0 * scale, abs=0.02)
    assert rope[2] == pytest.approx(20.0 * scale, abs=0.02), "20 m fit along the floor only"


def test_the_bar_is_as_long_as_it_says() -> None:
    """The bar lettered "10 m" is ten thirtieths of the floor of 30 m."""
    svg = draw_floor_plan(HALL)
    ((_, _, length, _),) = boxes(svg, "edge")
    start, end, words = re.findall(r'd="M([\d.]+) [\d.]+v1\.2H([\d.]+)v-1\.2".*?>([\d.]+) m<', svg)[0]
    assert (float(end) - float(start)) / length == pytest.approx(float(words) / 30.0, abs=1e-3)


def test_a_chair_stands_in_each_place() -> None:
    """Five places, five chairs of two wheels, each as long as the room allows and inside it."""
    svg = draw_floor_plan(HALL)
    wheels, rooms = boxes(svg, "wheel"), boxes(svg, "room")
    assert len(wheels) == 2 * (3 + 1 + 1)
    for x, y, wide, high in wheels:
        assert any(
            left <= x and x + wide <= left + across and top <= y and y + high <= top + deep
            for left, top, across, deep in rooms
        )


@given(
    posts=st.lists(POSTS, max_size=12),
    floor=st.one_of(st.none(), st.tuples(st.floats(2.0, 150.0), st.floats(2.0, 150.0))),
)
def test_every_post_stands_at_an_edge_and_none_over_another(
    posts: list[Post], floor: tuple[float, float] | None
) -> None:
    """Whatever the venue: every post once, within its edge, and clear of its neighbours at the same edge."""
    length, width = floor or (None, None)
    plan = plan_floor(Venue(name="v", floor_length=length, floor_width=width, posts=tuple(posts)))
    assert [stand.number for stand in plan.stands] == list(range(1, len(posts) + 1))
    for side in ("far", "near", "left", "right"):
        there = sorted((stand for stand in plan.stands if stand.side == side), key=lambda stand: stand.start)
        edge = plan.length if side in ("far", "near") else plan.width
        assert all(0.0 <= stand.start < stand.end <= edge * (1 + 1e-9) for stand in there)
        assert all(first.end <= second.start + 1e-9 for first, second in pairwise(there))
    ET.fromstring(draw_floor_plan(Venue(name="v", floor_length=length, floor_width=width, posts=tuple(posts))))


def test_turning_the_floor_changes_nothing() -> None:
    """Length and width typed the other way round are the same floor."""
    turned = Venue(name="hall", floor_length=15.0, floor_width=30.0, posts=HALL.posts)
    assert draw_floor_plan(turned) == draw_floor_plan(HALL)


def test_a_floor_that_was_not_measured_is_not_drawn() -> None:
    """Only the wall and the rooms; the words say so, and no length is lettered."""
    svg = draw_floor_plan(Venue(name="yard", posts=HALL.posts[:1]))
    assert not [each for each in ET.fromstring(svg).iter() if each.get("class") == "edge" and each.tag.endswith("rect")]
    assert "The floor was not measured." in svg
    assert len(boxes(svg, "room")) == 1


def test_only_the_palette_without_the_accent() -> None:
    """No hand does anything here and no band pulls."""
    colours = set(re.findall(r"#[0-9a-f]{6}", draw_floor_plan(HALL)))
    assert colours <= every_colour()
    assert ACCENT not in colours


def test_those_who_do_not_see_it_are_told_the_same() -> None:
    """Sizes, posts, places and room in words; what somebody typed stays text."""
    root = ET.fromstring(draw_floor_plan(Venue(name="<b>", posts=HALL.posts, floor_length=30.0, floor_width=15.0)))
    said = root.findtext("{http://www.w3.org/2000/svg}desc")
    assert root.findtext("{http://www.w3.org/2000/svg}title") == "Floor plan of <b>"
    assert said == (
        "A floor of 30 by 15 m. 1: bars, 3 places, 3 m free in front; 2: upright, 1 place, 4 m free in front; "
        "3: long rope, 1 place, 20 m free in front."
    )
