"""The whole library drawn: every exercise on a sheet's size, bodies taken in turn."""

from __future__ import annotations

import gzip
import re
import xml.etree.ElementTree as ET
from functools import cache

import numpy as np
import pytest
from labelled import labelled

from firstpush.core.checks.bodies import grid_of_athletes, reference_kit, reference_venue
from firstpush.core.exercises.loader import library
from firstpush.core.figure.from_setup import scene_of
from firstpush.core.figure.lettering import SMALLEST_PT
from firstpush.core.figure.moving import draw_moving
from firstpush.core.figure.one_frame import drawn_area
from firstpush.core.figure.palette import every_colour
from firstpush.core.figure.scene import Scene
from firstpush.core.figure.still import draw_still
from firstpush.core.people.athlete import Athlete
from firstpush.core.setup.circumstances import circumstances
from firstpush.core.setup.result import ExerciseSetup
from firstpush.core.setup.search import search_setup

SVG = "{http://www.w3.org/2000/svg}"
POINT_MM = 25.4 / 72
WIDTH, HEIGHT = 118.0, 64.0
PANEL = (WIDTH - 4.0) / 2
IDS = tuple(library())


def people() -> tuple[Athlete, ...]:
    """Return the smallest in a daily chair, the tallest in a court chair, and a double above-knee amputee."""
    grid = grid_of_athletes()
    small = next(each for each in grid if each.name.startswith("1.50") and "daily" in each.name)
    tall = next(each for each in grid if each.name.startswith("1.98") and "court" in each.name)
    cut = next(each for each in grid if each.name.startswith("1.82") and "double" in each.name)
    return small, tall, cut


@cache
def setup_of(name: str) -> ExerciseSetup | None:
    """Return the best set-up of an exercise for one of the three, who take turns through the library."""
    index = IDS.index(name)
    athlete = people()[index % 3]
    case = circumstances(athlete, reference_kit(), reference_venue())
    return search_setup(library()[name], case, side="right" if index % 2 else "left", best=1).best


def scene(name: str) -> Scene:
    """Return the scene of an exercise; one that cannot be set up is the matter of the exercise's own check."""
    setup = setup_of(name)
    if setup is None:
        pytest.skip(f"{name} has no set-up for this body")
    return scene_of(setup)


@pytest.mark.parametrize("name", IDS)
def test_every_exercise_is_drawn_on_a_sheet(name: str) -> None:
    """Valid, in the palette, lettering of 8 pt or more, a panel for each pose of a chain and two for the others."""
    drawn = scene(name)
    svg = draw_still(drawn, width_mm=WIDTH, height_mm=HEIGHT, title=name, description="As set up.")
    root = ET.fromstring(svg)
    assert "nan" not in svg.replace("nance", "")
    assert set(re.findall(r"#[0-9a-f]{6}", svg)) <= every_colour()
    sizes = [float(text.get("font-size", "0")) for text in root.iter(f"{SVG}text")]
    assert min(sizes) >= SMALLEST_PT * POINT_MM - 0.01
    numbers = [text.text for text in root.iter(f"{SVG}text") if (text.text or "").isdigit()]
    panels = len(drawn.poses) if len(drawn.poses) > 2 else min(2, drawn.frames)
    assert numbers == [str(count + 1) for count in range(panels)]
    assert [text.text for text in root.iter(f"{SVG}text")].count("Start") <= 1


@pytest.mark.parametrize("name", IDS)
def test_dimensions_are_clear_of_all_that_is_drawn(name: str) -> None:
    """No figure lies on a part, the plate of the post, the band, the break, another figure or the edge."""
    import shapely

    given = scene(name)
    picture, parts, labels = labelled(given, width=PANEL, height=HEIGHT)
    assert [label.dimension.text for label in labels] == [item.text for item in given.dimensions]
    taken = [drawn_area(picture, parts, picture.scene.start), *(part.shape for part in parts)]
    if picture.strip is not None:
        low, high = sorted((picture.strip.near_x, picture.strip.far_x))
        taken.append(shapely.box(low, 0.0, high, HEIGHT))
    every = shapely.union_all(taken)
    for label in labels:
        assert label.area.intersection(every).area == 0.0
        assert shapely.box(0.0, 0.0, PANEL, HEIGHT).covers(label.area)
        others = [other for other in labels if other is not label]
        assert all(not label.area.intersects(other.area) for other in others)
        assert all(not label.area.intersects(shapely.LineString([other.start, other.end])) for other in others)


@pytest.mark.parametrize("name", IDS)
def test_dimension_line_is_as_long_as_its_figure(name: str) -> None:
    """In the scene the distance is laid from the post as far as the set-up says, the height from the floor up."""
    setup = setup_of(name)
    given = scene(name)
    assert setup is not None
    for item in given.dimensions:
        length = float(np.linalg.norm(np.subtract(item.to_point, item.from_point)))
        assert f"{length:.2f} m" == item.text
    if setup.band is not None and setup.band.post is not None:
        assert len(given.dimensions) == 2


@pytest.mark.parametrize("name", IDS[::9])
def test_moving_drawings_stay_small(name: str) -> None:
    """Below 30 kB compressed, one exercise in nine."""
    svg = draw_moving(scene(name), title=name, description="It moves.")
    ET.fromstring(svg)
    assert len(gzip.compress(svg.encode(), 9)) < 30_000


def chains() -> list[str]:
    """Return the exercises that are shown pose by pose."""
    return [name for name in IDS if 3 <= len(library()[name].poses) <= 5]


@pytest.mark.parametrize("name", chains())
def test_chain_names_its_poses_and_draws_one_post(name: str) -> None:
    """Every pose has its name over its panel; what is lettered lies within the page."""
    svg = draw_still(scene(name), width_mm=WIDTH, height_mm=HEIGHT, title=name, description="A chain.")
    root = ET.fromstring(svg)
    words = " ".join(text.text or "" for text in root.iter(f"{SVG}text"))
    for pose in library()[name].poses:
        for word in pose.name.split():
            assert word.casefold() in words.casefold()
    places = re.findall(r'<g transform="translate\(([\d.]+) ([\d.]+)\)"><g transform="translate', svg)
    corners = [(float(y), float(x)) for x, y in places]
    assert len(corners) == len(library()[name].poses)
    assert corners == sorted(corners)
    assert max(x for _, x in corners) < WIDTH - 10.0
    assert max(y for y, _ in corners) < HEIGHT - 20.0
    two = draw_still(
        scene(name), panels=("start", "end"), width_mm=WIDTH, height_mm=HEIGHT, title=name, description="A chain."
    )
    assert ">End</text>" in two
