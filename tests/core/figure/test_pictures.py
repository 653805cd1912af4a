"""Whole drawings: valid, legible, free of collisions, in the palette, small."""

from __future__ import annotations

import gzip
import re
import xml.etree.ElementTree as ET
from dataclasses import replace

import pytest
from labelled import labelled
from scenes import ALL, body, chair, external_rotation, pushing, row

from firstpush.core.errors import OutOfRangeError
from firstpush.core.figure.lane import draw_push_lane
from firstpush.core.figure.moving import draw_moving
from firstpush.core.figure.palette import Look, every_colour, look_for
from firstpush.core.figure.scene import Scene
from firstpush.core.figure.still import draw_single, draw_still

SVG = "{http://www.w3.org/2000/svg}"
POINT_MM = 25.4 / 72
BODIES = {
    "small woman, daily chair": (body(stature=1.50, mass=52.0, sex="female"), chair("daily")),
    "tall man, court chair": (body(stature=1.98, mass=98.0, sex="male"), chair("court")),
    "no legs below the thigh": (body(missing=frozenset({"left above knee", "right above knee"})), chair("court")),
}


def still(scene: Scene, **more: object) -> str:
    """Return the two panels of `scene`."""
    return draw_still(scene, title="Seated row", description="Start and end.", **more)  # type: ignore[arg-type]


def colours(svg: str) -> set[str]:
    """Return every colour in `svg`."""
    return set(re.findall(r"#[0-9a-f]{6}", svg))


@pytest.mark.parametrize("name", ALL)
@pytest.mark.parametrize("scheme", ["paper", "grey"])
def test_still_is_valid_and_in_the_palette(name: str, scheme: str) -> None:
    """Well-formed, with title and description, no missing number, plain attributes, colours of the palette only."""
    svg = still(ALL[name](), scheme=scheme)
    root = ET.fromstring(svg)
    assert root.find(f"{SVG}title").text == "Seated row"  # type: ignore[union-attr]
    assert root.find(f"{SVG}desc").text == "Start and end."  # type: ignore[union-attr]
    assert "nan" not in svg
    assert "inf" not in svg.replace("information", "")
    assert not re.search(r"<style|<filter|foreignObject|<image|href", svg)
    assert colours(svg) <= every_colour()
    if scheme == "grey":
        assert all(colour[1:3] == colour[3:5] == colour[5:7] for colour in colours(svg))


@pytest.mark.parametrize("body_name", BODIES)
@pytest.mark.parametrize("name", ALL)
def test_lettering_is_legible_and_covers_nothing(name: str, body_name: str) -> None:
    """Every letter is 8 pt or larger; no label lies on a drawn part, on another label or off the page."""
    import shapely

    size, seat = BODIES[body_name]
    scene = ALL[name](size, seat)
    width, height = 66.0, 78.0
    for text in ET.fromstring(still(scene)).iter(f"{SVG}text"):
        assert float(text.get("font-size", "0")) >= 8.0 * POINT_MM
    picture, parts, labels = labelled(scene, width=width, height=height)
    assert len(labels) == len(picture.scene.dimensions)
    drawn = shapely.union_all([part.shape for part in parts])
    for index, label in enumerate(labels):
        assert label.area.intersection(drawn).area == 0.0
        assert shapely.box(0, 0, width, height).covers(label.area)
        for other in labels[index + 1 :]:
            assert not label.area.intersects(other.area)


def test_drawing_is_the_same_every_time() -> None:
    """Same scene, same text; another skin, another text."""
    assert still(row()) == still(row())
    assert still(row()) != still(row(look=Look(skin=3)))
    assert look_for("Ilse Varga") == look_for("Ilse Varga")


@pytest.mark.parametrize("attach", ["hand", "wrist_cuff", "forearm_cuff", "upper_arm_cuff"])
@pytest.mark.parametrize("grip", ["handle", "wrapped"])
def test_every_way_of_holding_can_be_drawn(attach: str, grip: str) -> None:
    """Handle, wrapped hand and each cuff, one strand or two, post or rail, chocks or brakes, straps."""
    scene = external_rotation(seat=chair("daily"), blocking="brakes", strap="chest")
    assert scene.band is not None
    band = replace(scene.band, attach=attach, grip=grip, strands=2)  # type: ignore[arg-type]
    for extra in (
        replace(scene, band=band),
        replace(scene, band=band, anchor_post=False, blocking="chocks", strap="waist"),
    ):
        svg = draw_single(extra, 9, title="x", description="y", dimensions=True)
        ET.fromstring(svg)
        assert "nan" not in svg


@pytest.mark.parametrize("name", ALL)
def test_moving_drawing_is_small_and_honours_reduced_motion(name: str) -> None:
    """Below 30 kB compressed; who asks for less motion sees the end and the way of the hands."""
    svg = draw_moving(ALL[name](), title="Move", description="It moves.", loop=name == "circles")
    ET.fromstring(svg)
    assert len(gzip.compress(svg.encode(), 9)) < 30_000
    assert "@media (prefers-reduced-motion:reduce)" in svg
    assert colours(svg) <= every_colour()


def test_each_moment_shows_exactly_one_frame() -> None:
    """The spans of all frames fill the cycle once: 2 s out + 1 s hold + 2 s back + 1 s rest = 6 s."""
    svg = draw_moving(pushing(), title="x", description="y", out_s=2.0, hold_s=1.0, back_s=2.0, rest_s=1.0)
    assert "animation:6.00s step-end infinite" in svg
    changes = []
    for rule in re.findall(r"@keyframes m[0-9a-f]+-\d+\{((?:[^{}]*\{[^{}]*\})*)\}", svg):
        for marks, state in re.findall(r"([\d.%,]+)\{visibility:(\w+)\}", rule):
            changes += [(float(mark[:-1]), state) for mark in marks.split(",")]
    for moment in (0.5, 17.0, 30.0, 51.0, 70.0, 99.0):
        shown = 0
        for rule in re.findall(r"@keyframes m[0-9a-f]+-\d+\{((?:[^{}]*\{[^{}]*\})*)\}", svg):
            own = [
                (float(mark[:-1]), state)
                for marks, state in re.findall(r"([\d.%,]+)\{visibility:(\w+)\}", rule)
                for mark in marks.split(",")
            ]
            shown += max(pair for pair in own if pair[0] <= moment)[1] == "visible"
        assert shown == 1, moment
    assert len(changes) > 36


def test_times_that_cannot_be_shown_are_refused() -> None:
    """A way out of 0 s is no movement."""
    with pytest.raises(OutOfRangeError, match=r"times of 0.0, 0.6, 2.0 and 0.6 s cannot be shown"):
        draw_moving(row(), title="x", description="y", out_s=0.0)


def lane(**more: object) -> str:
    """Return a push lane, with changes."""
    given = {"length_m": 22.0, "side_m": 3.5, "chair": chair(), "title": "Lengths", "description": "Four lengths."}
    return draw_push_lane(**{**given, **more})  # type: ignore[arg-type]


def test_push_lane_is_to_scale_and_legible() -> None:
    """22 m and 3.5 m are drawn in that ratio; speeds, start and finish are lettered at 9 pt or more."""
    svg = lane()
    root = ET.fromstring(svg)
    words = [text.text for text in root.iter(f"{SVG}text")]
    assert [word for word in words if word and "%" in word] == ["1 · 25 %", "2 · 50 %", "3 · 75 %", "4 · 100 %"]
    assert {"Start", "Finish", "22 m", "3.5 m"} <= set(words)
    assert all(float(text.get("font-size", "0")) >= 9.0 * POINT_MM - 0.01 for text in root.iter(f"{SVG}text"))
    ends = re.findall(r'd="M([\d.]+) ([\d.]+)L([\d.]+) ([\d.]+)" fill="none"', svg)
    (left, _, right, _), (_, top, _, bottom) = ([float(value) for value in end] for end in ends[:2])
    assert (right - left) / (bottom - top) == pytest.approx(22.0 / 3.5, rel=0.005)
    assert colours(svg) <= every_colour()


def test_push_lane_refuses_what_it_cannot_draw() -> None:
    """A speed above the fastest push, or no length."""
    with pytest.raises(OutOfRangeError, match="each is above 0 and at most 1"):
        lane(speeds=(0.5, 1.2))
    with pytest.raises(OutOfRangeError, match="both are above 0 m"):
        lane(length_m=0.0)
