"""The plan of a course: lengths that a ruler confirms, words that cover no word, grey that says as much as colour."""

from __future__ import annotations

import math
import re
import xml.etree.ElementTree as ET
from functools import cache
from itertools import combinations, pairwise

import pytest
import shapely
import shapely.affinity

from firstpush.core.courses import LAYOUTS, Area, Extent, OnFloor, course_from, fit, outline_of, put_on
from firstpush.core.errors import OutOfRangeError
from firstpush.core.figure.chair_from_above import chair_from_above
from firstpush.core.figure.course_names import order_words
from firstpush.core.figure.course_page import SCALES, chains_of, scale_for
from firstpush.core.figure.course_plan import CoursePlan, draw_course_plan
from firstpush.core.figure.labels import text_width
from firstpush.core.figure.palette import ACCENT, Scheme, every_colour
from firstpush.core.people.athlete import Chair
from firstpush.core.people.chair_presets import filled_chair

HALL = Area(name="hall", length=32.0, width=19.0, room=0.5, edge="wall")
COURT = Area(name="court", length=17.4, width=9.1, room=0.0, edge="wall")
RULER_MM = 0.5
DRAWN_MM = 0.02
"""Places are written to a hundredth of a millimetre."""
SVG = "{http://www.w3.org/2000/svg}"


def chair(width: float) -> Chair:
    """Return a court chair of that width [m]."""
    return filled_chair("court", name="chair", measured=frozenset(), given={"overall_width": width})


@cache
def placed(name: str, width: float, *areas: Area) -> OnFloor:
    """Return a layout on a floor."""
    return fit(name, outlines=[outline_of(chair(width), name="Runa")], areas=list(areas or (HALL,)))


@cache
def drawn(name: str, width: float = 0.77, *areas: Area, scheme: Scheme = "paper") -> CoursePlan:
    """Return its plan on A4."""
    return draw_course_plan(placed(name, width, *areas), chair=chair(width), scheme=scheme)


def circles(svg: str, name: str) -> list[tuple[float, float, float]]:
    """Return middle and radius of every circle of a class [mm]."""
    return [
        (float(each.attrib["cx"]), float(each.attrib["cy"]), float(each.attrib["r"]))
        for each in ET.fromstring(svg).iter(f"{SVG}circle")
        if each.get("class") == name
    ]


def grid_lines(svg: str) -> tuple[list[float], list[float]]:
    """Return x of the upright and y of the level lines of the grid [mm]."""
    (group,) = [each for each in ET.fromstring(svg).iter(f"{SVG}g") if each.get("class") == "grid"]
    upright, level = [], []
    for path in group:
        found = re.fullmatch(r"M([-.\d]+) ([-.\d]+)l([-.\d]+?) ?(-?[.\d]+)", path.attrib["d"])
        assert found, path.attrib["d"]
        x, y, dx, dy = (float(each) for each in found.groups())
        if dx == 0.0:
            upright.append(x)
        else:
            assert dy == 0.0
            level.append(y)
    return sorted(upright), sorted(level)


def words(svg: str) -> list[tuple[str, shapely.Polygon]]:
    """Return every word that is read, with the room it takes [mm]; halos are drawn under it and are not read."""
    found = []

    def walk(node: ET.Element, turn: tuple[float, float, float] | None) -> None:
        if transform := re.fullmatch(r"rotate\(([-.\d]+) ([-.\d]+) ([-.\d]+)\)", node.get("transform", "")):
            turn = tuple(float(each) for each in transform.groups())  # type: ignore[assignment]
        if node.tag == f"{SVG}text" and node.get("aria-hidden") is None:
            size = float(node.attrib["font-size"])
            wide = text_width(node.text or "", size / (25.4 / 72))
            x = float(node.attrib["x"]) - {"middle": wide / 2, "end": wide}.get(node.get("text-anchor", ""), 0.0)
            y = float(node.attrib["y"])
            # Capitals and figures stand 0.68 of the size high, tails hang 0.2 (read from the shipped font).
            box = shapely.box(x, y - 0.68 * size, x + wide, y + 0.2 * size)
            if turn:
                box = shapely.affinity.rotate(box, turn[0], origin=turn[1:])
            found.append((node.text or "", box))
        for child in node:
            walk(child, turn)

    walk(ET.fromstring(svg), None)
    return found


@pytest.mark.parametrize("width", [0.63, 0.88])
@pytest.mark.parametrize("name", LAYOUTS)
def test_a_ruler_finds_the_distance_of_any_two_cones(name: str, width: float) -> None:
    """Millimetres between two cones times the scale are the metres on the floor, and each cone is as wide as it is."""
    plan, course = drawn(name, width), placed(name, width).line.course
    cones = circles(plan.svg, "cone")
    assert len(cones) == len(course.cones) > 1
    for (one, at), (other, there) in combinations(zip(course.cones, cones, strict=True), 2):
        on_floor = math.hypot(one.x - other.x, one.y - other.y)
        on_paper = math.hypot(at[0] - there[0], at[1] - there[1])
        assert on_paper == pytest.approx(1000 * on_floor / plan.scale, abs=DRAWN_MM)
        assert on_paper * plan.scale / 1000 == pytest.approx(on_floor, abs=RULER_MM * plan.scale / 1000)
    for cone, (_, _, radius) in zip(course.cones, cones, strict=True):
        assert radius == pytest.approx(1000 * cone.radius / plan.scale, abs=DRAWN_MM)


@pytest.mark.parametrize("name", LAYOUTS)
def test_the_grid_is_one_metre_and_counts_from_the_corner(name: str) -> None:
    """Neighbouring lines are a metre apart; a cone lies as far from a line as its place says."""
    plan, course = drawn(name), placed(name, 0.77).line.course
    metre = 1000 / plan.scale
    upright, level = grid_lines(plan.svg)
    assert len(upright) > 4
    for lines in (upright, level):
        assert [two - one for one, two in pairwise(lines)] == pytest.approx([metre] * (len(lines) - 1), abs=DRAWN_MM)
    (x, y, _), cone = circles(plan.svg, "cone")[0], course.cones[0]
    assert ((x - upright[0]) / metre - cone.x) % 1.0 == pytest.approx(0.0, abs=0.001) or (
        (x - upright[0]) / metre - cone.x
    ) % 1.0 == pytest.approx(1.0, abs=0.001)
    off = ((level[-1] - y) / metre - cone.y) % 1.0
    assert min(off, 1.0 - off) == pytest.approx(0.0, abs=0.001)


@pytest.mark.parametrize("width", [0.63, 0.88])
@pytest.mark.parametrize("name", LAYOUTS)
def test_no_word_covers_another_or_leaves_the_paper(name: str, width: float) -> None:
    """Of all words on A4 no two share more than a hair's breadth."""
    plan = drawn(name, width)
    found = words(plan.svg)
    assert len(found) > 12
    paper = shapely.box(0, 0, plan.width_mm, plan.height_mm)
    for text, box in found:
        assert paper.contains(box), text
    for (one, box), (other, room) in combinations(found, 2):
        assert box.intersection(room).area < 0.15, f"{one!r} and {other!r} lie on each other"


@pytest.mark.parametrize("name", LAYOUTS)
def test_the_scale_is_the_largest_that_fits(name: str) -> None:
    """The next larger scale would need more paper than there is beside the margins."""
    plan, size = drawn(name), placed(name, 0.77).line.extent
    assert plan.scale in SCALES
    larger = [each for each in SCALES if each < plan.scale]
    if larger:
        wide, high, hall = (1000 * each / larger[-1] for each in (size.width, size.depth, HALL.length))
        # A4 less 10 mm at each edge, heading and foot, and 5 mm round the course for words; where the walls are not
        # seen, 58 mm beside it for the small floor; a chain of dimensions takes 10 to 16 mm.
        beside = 0 if hall < 277 else 58
        assert wide > 277 - 10 - 32 - beside or high > 210 - 10 - 17 - 14 - 10 - 32


def test_a_course_too_large_for_any_scale_says_so() -> None:
    """90 m at 1:300 are 300 mm, and A4 is 297 mm long."""
    assert scale_for(Extent(left=0, right=60, low=0, high=3), width_mm=200, height_mm=100) == 300
    with pytest.raises(OutOfRangeError, match="1:300; use fewer cones"):
        scale_for(Extent(left=0, right=90, low=0, high=3), width_mm=297, height_mm=100)


def test_walls_stand_as_far_from_the_cones_as_on_the_floor() -> None:
    """On a floor small enough to be seen whole, the heavy line lies where the corner that counts as 0 lies."""
    plan = drawn("slalom", 0.77, COURT)
    assert plan.shows_walls
    (wall,) = [
        each.attrib["d"]
        for each in ET.fromstring(plan.svg).iter(f"{SVG}path")
        if each.get("stroke-width") == ".9" and each.get("d", "").endswith("z")
    ]
    left, top = (float(each) for each in re.match(r"M([-.\d]+) ([-.\d]+)", wall).groups())  # type: ignore[union-attr]
    metre = 1000 / plan.scale
    cone, (x, y, _) = placed("slalom", 0.77, COURT).line.course.cones[0], circles(plan.svg, "cone")[0]
    assert x - left == pytest.approx(cone.x * metre, abs=DRAWN_MM)
    assert y - top == pytest.approx((COURT.width - cone.y) * metre, abs=DRAWN_MM)


def test_dimensions_say_what_the_layout_asks_for() -> None:
    """A slalom has one chain of equal lengths; the half circle two radii and the chord 2 r sin(π/8) of five cones."""
    slalom = chains_of(placed("slalom", 0.77).line.course)
    (row,) = slalom.rows
    assert row.gaps == pytest.approx([2.0] * 7)
    assert slalom.chords == ()
    written = [text for text, _ in words(drawn("half-circle").svg)]
    assert written.count("3.00 m") == 3
    assert f"{2 * 3.0 * math.sin(math.pi / 8):.2f} m" in written
    lanes = [text for text, _ in words(drawn("push-lanes").svg)]
    assert "20.00 m" in lanes
    assert lanes.count("3.50 m") == 3


@pytest.mark.parametrize("paper_mm", [(124.0, 150.0), (200.0, 190.0), (297.0, 210.0)])
def test_the_figures_between_two_cones_lie_beside_the_driven_line(paper_mm: tuple[float, float]) -> None:
    """Three cones that the chair weaves through: both distances of 3.10 m (√(3² + 0.8²)) cross its line, read free."""
    corner = course_from(
        {
            "name": "corner",
            "cones": [{"name": str(k), "x_m": 3.0 * k, "y_m": 2.0 + 0.8 * (k == 2)} for k in (1, 2, 3)],
            "points": [{"name": "A", "x_m": 0.0, "y_m": 0.0}, {"name": "B", "x_m": 12.0, "y_m": 4.0}],
            "start": "A",
            "order": ["1R", "2L", "3R", "to B"],
        },
        where="corner",
    )
    on_floor = put_on(corner, outline=outline_of(chair(0.77), name="Runa"), areas=[HALL])
    wide, high = paper_mm
    svg = draw_course_plan(on_floor, chair=chair(0.77), width_mm=wide, height_mm=high, heading=False).svg
    driven = []
    for each in ET.fromstring(svg).iter(f"{SVG}path"):
        if each.get("stroke") == "#2f6f73" and float(each.get("stroke-width", 0)) >= 0.9:
            numbers = [float(found) for found in re.findall(r"-?\d*\.?\d+", each.attrib["d"])]
            driven.append(shapely.LineString(list(zip(numbers[::2], numbers[1::2], strict=True))))
    plates = []
    for group in ET.fromstring(svg).iter(f"{SVG}g"):
        text, rect = group.find(f"{SVG}text"), group.find(f"{SVG}rect")
        if text is None or rect is None or text.text != f"{math.hypot(3.0, 0.8):.2f} m":
            continue
        left, top, across, down = (float(rect.attrib[key]) for key in ("x", "y", "width", "height"))
        box = shapely.box(left, top, left + across, top + down)
        turn = re.fullmatch(r"rotate\(([-.\d]+) ([-.\d]+) ([-.\d]+)\)", group.attrib["transform"])
        assert turn is not None
        plates.append(shapely.affinity.rotate(box, float(turn[1]), origin=(float(turn[2]), float(turn[3]))))
    assert len(plates) == 2
    assert shapely.union_all(driven).length > 20, "the driven line was not found"
    for plate in plates:
        assert plate.distance(shapely.union_all(driven)) > 0.45, "half of the line's weight"


def test_every_cone_says_when_it_is_passed() -> None:
    """The centre of a half circle is passed after each outer cone."""
    written = [text for text, _ in words(drawn("half-circle").svg)]
    for each in ("1st", "2nd, 4th, 6th, 8th", "3rd", "5th", "7th", "9th", "Start and finish"):
        assert each in written
    assert order_words([11, 21, 22]) == "11th, 21st, 22nd"
    assert order_words(list(range(2, 26, 2))) == "2nd, 4th … 24th"


def test_no_colour_alone_says_anything() -> None:
    """Grey has only greys and the same shapes; backward pulls are dashed, which is the same in both."""
    colour, print_ = drawn("push-lanes"), drawn("push-lanes", scheme="grey")
    found = set(re.findall(r"#[0-9a-f]{6}", colour.svg))
    assert found <= every_colour()
    assert ACCENT not in found, "the accent is for hand and band only"
    for each in set(re.findall(r"#[0-9a-f]{6}", print_.svg)):
        assert each[1:3] == each[3:5] == each[5:7]
    bare = [re.sub(r"#[0-9a-f]{6}", "", svg) for svg in (colour.svg, print_.svg)]
    assert bare[0] == bare[1]
    backward = sum(leg.backward for leg in placed("push-lanes", 0.77).line.course.legs)
    assert len(re.findall(r'stroke-dasharray="1.7 1.1"', colour.svg)) == backward + 1, "and one in the legend"
    assert not re.findall(r'stroke-dasharray="1.7 1.1"', drawn("slalom").svg)


def test_effort_is_read_from_the_weight_of_the_line() -> None:
    """Four lanes at rising shares are drawn with four rising weights."""
    svg = drawn("push-lanes").svg
    weights = [float(each) for each in re.findall(r'fill="none" stroke="#2f6f73" stroke-width="([.\d]+)"/>', svg)]
    lanes = weights[:4]
    assert lanes == sorted(set(lanes))


def test_the_chair_is_to_scale_and_turns_with_its_heading() -> None:
    """A chair 0.88 m wide and facing right is as high on the paper as it is wide facing up, at 20 mm to the metre."""
    of = chair(0.88)
    right, up = (
        shapely.unary_union([layer.geometry for layer in chair_from_above(of, scale=20, x=0, y=0, heading=turned)])
        for turned in (0.0, math.pi / 2)
    )
    left, top, ahead, bottom = right.bounds
    assert bottom - top == pytest.approx(20 * 0.88, abs=0.02)
    assert ahead == pytest.approx(20 * of.footplate_reach, abs=0.3), "but for the line round it"
    assert up.bounds == pytest.approx((top, -ahead, bottom, -left), abs=0.05)


def test_the_chair_moves_in_real_time_and_rests_for_those_who_ask() -> None:
    """Frames lie where the legs end when the legs end; between two no wheel is faster than the line allows."""
    on_floor = placed("push-lanes", 0.77)
    svg = draw_course_plan(on_floor, chair=chair(0.77), moving=True).svg
    assert "<script" not in svg
    still = draw_course_plan(on_floor, chair=chair(0.77))
    frames = [
        tuple(float(each) for each in found)
        for found in re.findall(
            r"([.\d]+)%\{transform:translate\(([-.\d]+)px,([-.\d]+)px\) rotate\(([-.\d]+)deg\)\}", svg
        )
    ]
    (cycle,) = (float(each) for each in re.findall(r"animation:\w+ ([.\d]+)s linear", svg))
    line = on_floor.line
    assert cycle == pytest.approx(line.duration + 2.0, abs=0.01)
    metre, (x0, y0, _) = 1000 / still.scale, circles(svg, "cone")[0]
    cone = line.course.cones[0]
    for roll in line.rolls:
        at = 100 * (roll.begins + roll.duration) / cycle
        percent, x, y, _ = min(frames, key=lambda frame: abs(frame[0] - at))
        assert percent == pytest.approx(at, abs=0.002)
        assert (x - x0) / metre + cone.x == pytest.approx(roll.leg.to.x, abs=0.01)
        assert (y0 - y) / metre + cone.y == pytest.approx(roll.leg.to.y, abs=0.01)
    for (p, x, y, _), (q, u, v, _) in pairwise(frames):
        metres, seconds = math.hypot(u - x, v - y) / metre, (q - p) * cycle / 100
        assert metres <= line.top_speed * seconds * 1.02 + 0.003
    assert re.search(r"@media \(prefers-reduced-motion:reduce\)\{\.\w+\{animation:none\}\}", svg)
    (resting,) = re.findall(r'transform="translate\(([-.\d]+) ([-.\d]+)\) rotate\([-.\d]+\)"', svg)
    start = line.course.start
    assert (float(resting[0]) - x0) / metre + cone.x == pytest.approx(start.x, abs=0.01)
    assert (y0 - float(resting[1])) / metre + cone.y == pytest.approx(start.y, abs=0.01)


def test_a_plan_without_heading_is_no_higher_than_it_needs() -> None:
    """The plan of a sheet has the same scale rules; a slalom is low."""
    plan = draw_course_plan(
        placed("slalom", 0.77), chair=chair(0.77), width_mm=189, height_mm=150, heading=False, ground=False
    )
    assert plan.scale == 100
    assert plan.height_mm < 70
    cones = circles(plan.svg, "cone")
    assert cones[1][0] - cones[0][0] == pytest.approx(20.0, abs=DRAWN_MM)


def test_straight_legs_on_each_other_are_drawn_side_by_side() -> None:
    """Pushed out and pulled back over the same floor are two lines on the paper, and the cones stay where they are."""
    on_floor = placed("half-circle-back", 0.77)
    plan = drawn("half-circle-back")
    out = re.findall(r'<path d="M([-.\d]+) ([-.\d]+)l[^"]+" fill="none" stroke="#2f6f73" stroke-width="1"/>', plan.svg)
    back = re.findall(r'<path d="M([-.\d]+) ([-.\d]+)l[^"]+" fill="none" stroke="#1d2b31" stroke-width=".6"', plan.svg)
    assert len(on_floor.line.rolls) == 10
    # Each pull begins where its push ended, 1.7 mm aside; the last of each is the sample of the legend.
    metre = 1000 / plan.scale
    x0, y0, _ = circles(plan.svg, "cone")[0]
    zero = on_floor.line.course.cones[0]
    for (x, y), roll in zip(back[:5], on_floor.line.rolls[1::2], strict=True):
        begin = roll.candidate.track
        px, py = x0 + (begin.x[0] - zero.x) * metre, y0 - (begin.y[0] - zero.y) * metre
        assert math.hypot(float(x) - px, float(y) - py) == pytest.approx(1.7 / 2, abs=DRAWN_MM)
    assert len(out) >= 5


def test_a_mirrored_course_keeps_its_cones_and_turns_its_order() -> None:
    """The other way round the cones stand where they stood, and what was passed first is passed last."""
    there = placed("slalom", 0.77)
    back = fit("slalom", outlines=[there.line.outline], areas=[HALL], first="right")
    svg = draw_course_plan(back, chair=chair(0.77)).svg
    one, other = (sorted(circles(each, "cone")) for each in (svg, drawn("slalom").svg))
    assert [b[0] - a[0] for a, b in pairwise(one)] == pytest.approx([b[0] - a[0] for a, b in pairwise(other)], abs=0.02)
    assert "6th" in [text for text, _ in words(svg)]
    assert back.line.course.order.split()[0][0] == there.line.course.order.split()[-1][0]
