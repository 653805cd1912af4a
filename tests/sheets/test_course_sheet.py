"""The printed course: one page A4, to the scale it names, with what fits, what does not, and how to set it out."""

from __future__ import annotations

import io
import math
import re
from dataclasses import replace
from datetime import date
from functools import cache
from itertools import combinations

import pytest
from measured_pdf import MILLIMETRE, painted
from pypdf import PdfReader

from firstpush.core.courses import (
    LAYOUTS,
    Cone,
    Course,
    Leg,
    Pass,
    Place,
    Split,
    athlete_speed,
    course_from_text,
    fit_sprint,
)
from firstpush.core.courses.course import CONE_RADIUS, MARGIN
from firstpush.core.courses.set_out import stops_of
from firstpush.core.errors import FirstpushError
from firstpush.core.kit.venue import Venue
from firstpush.core.kit.venue_file import load_venue
from firstpush.core.people.athlete import Athlete
from firstpush.core.people.athlete_file import load_athlete
from firstpush.demo.club import club_files
from firstpush.sheets.content import JUDGEMENT
from firstpush.sheets.course_care import care_lines
from firstpush.sheets.course_sheet import course_content, course_pdf
from firstpush.sheets.make_course import MadeCourse, course_document, make_course

A4 = (297 * MILLIMETRE, 210 * MILLIMETRE)


@cache
def athlete(name: str) -> Athlete:
    """Return somebody of the invented club."""
    return load_athlete(next(path for path in club_files()["athletes"] if path.stem == name))


@cache
def venue(name: str = "slipway_hall") -> Venue:
    """Return a floor of the invented club."""
    return load_venue(next(path for path in club_files()["venues"] if path.stem == name))


@cache
def made(
    name: str, *who: str, on: str = "slipway_hall", spacing: float | None = None, count: int | None = None
) -> MadeCourse:
    """Return a layout for some of the club."""
    people = [athlete(each) for each in who or ("runa_velde",)]
    return make_course(name, athletes=people, venue=venue(on), spacing=spacing, count=count)


PRINTED: dict[int, tuple[MadeCourse, bytes]] = {}


def printed(of: MadeCourse) -> bytes:
    """Return its page, made once."""
    if id(of) not in PRINTED:
        PRINTED[id(of)] = (of, course_pdf(course_content(of)))
    return PRINTED[id(of)][1]


def text(pdf: bytes) -> str:
    """Return the words of the page, spaces and line ends alike."""
    return re.sub(r"\s+", " ", PdfReader(io.BytesIO(pdf)).pages[0].extract_text())


@pytest.mark.parametrize("who", ["nilo_fyrvang", "tovi_ankerlund"])
@pytest.mark.parametrize("name", LAYOUTS)
def test_every_layout_is_one_page_a4(name: str, who: str) -> None:
    """Also for an athlete with two long cautions."""
    pages = PdfReader(io.BytesIO(printed(made(name, who)))).pages
    assert len(pages) == 1
    assert (float(pages[0].mediabox.width), float(pages[0].mediabox.height)) == pytest.approx(A4, abs=0.1)


@pytest.mark.parametrize(
    ("name", "count"), [("half-circle", 13), ("slalom", 20), ("push-lanes", 8), ("push-lanes", 10)]
)
def test_the_longest_courses_still_are_one_page(name: str, count: int) -> None:
    """Thirteen cones, twenty cones, ten lengths with all their cues, for an athlete with two long cautions."""
    of = made(name, "signe_marhaven", count=count)
    assert len(PdfReader(io.BytesIO(printed(of))).pages) == 1
    words = text(printed(of))
    assert of.table is not None
    stops = {place for place, _ in stops_of(of.course)}
    for row in of.table.rows:
        if of.lanes and row.name in stops:
            continue
        assert f"{row.name} {row.from_first:.2f} {row.from_second:.2f}" in words
    if of.lanes:
        inset = of.course.start.x - of.course.cone("0").x
        assert f"Each stop: {inset:.2f} before its cone, " in words
        beside = abs(of.course.start.y - of.course.cone("0").y)
        by_hand = of.on_floor.line.outline.swing + 0.15 + 0.10
        assert by_hand <= math.hypot(inset, beside) < by_hand + 0.15, (
            "what the chair turns in, the margin, and the cone"
        )


def test_where_the_chair_stops_stands_in_the_table() -> None:
    """Stop and turn: the far stop 6 m from the start, on the line; lanes: one row for all, as they lie alike."""
    of = made("stop-and-turn")
    inset = of.course.start.x - of.course.cone("1").x
    assert f"1st, 3rd stop {6 + inset:.2f} {inset:.2f} on the line" in text(printed(of))
    assert "each stop" in text(printed(made("push-lanes")))
    lanes = made("push-lanes")
    # Half the chair, the margin and the cone beside the way, and at most 2 cm to spare.
    beside = lanes.on_floor.line.outline.width / 2 + MARGIN.value + CONE_RADIUS.value
    (said,) = re.findall(r"(\d\.\d\d) before its cone, (\d\.\d\d) beside it", text(printed(lanes)))
    assert beside - 0.005 <= float(said[1]) <= beside + 0.026
    assert math.hypot(*map(float, said)) >= inset - 0.01, "room to turn on the spot"


@pytest.mark.parametrize("name", ["half-circle", "slalom", "square"])
def test_a_ruler_on_the_page_confirms_the_scale(name: str) -> None:
    """Cones are found among all that is painted by their size; their distances give the metres of the floor."""
    of = made(name)
    pdf = printed(of)
    (scale,) = {int(each) for each in re.findall(r"1:(\d+)\b", text(pdf)) if int(each) >= 20}
    wide = 2 * 1000 * of.course.cones[0].radius / scale
    middles = set()
    for each in painted(PdfReader(io.BytesIO(pdf)).pages[0]):
        left, low, right, high = (value / MILLIMETRE for value in each.box)
        if each.line_mm is None and abs(right - left - wide) < 0.02 and abs(high - low - wide) < 0.02:
            middles.add((round((left + right) / 2, 2), round((low + high) / 2, 2)))
    assert len(middles) == len(of.course.cones)
    on_paper = sorted(math.dist(one, two) * scale / 1000 for one, two in combinations(middles, 2))
    on_floor = sorted(math.hypot(a.x - b.x, a.y - b.y) for a, b in combinations(of.course.cones, 2))
    # Half a millimetre of a ruler, in metres of floor.
    assert on_paper == pytest.approx(on_floor, abs=0.5 * scale / 1000)
    assert on_paper == pytest.approx(on_floor, abs=0.03 * scale / 1000)


def test_the_page_says_what_the_course_asks() -> None:
    """Spacing, bracket, turns, load, table, cautions and footer are those of the reckoning."""
    of = made("half-circle")
    words = text(printed(of))
    assert of.on_floor.least is not None
    for each in (
        "Half circle round the cones",
        "Runa Velde",
        "Slipway hall, 32 × 19 m",
        f"{of.bracket.low:.0f}-{of.bracket.high:.0f} s",
        "Radius 3.00 m",
        f"needs {of.on_floor.least.needed:.2f} m",
        "4 left, 5 right",
        f"about {of.pushes.about} ({of.pushes.low}-{of.pushes.high})",
        f"{float(f'{of.turning.load_deg_per_min:.2g}'):.0f}° a minute",
        f"{of.turning.wheel_difference:.1f} m/s",
        "1R 0L 2R 0L 3R 0L 4R 0L 5R",
        "held back by the turn",
        "cones 1 and 5, 6.00 m apart",
        "Warm up before full speed",
        "Anti-tip",
        "rakes",
        "Floor dry",
        "Measure next: a sprint",
        JUDGEMENT,
        "page 1 of 1",
        f"inputs {of.checksum}",
    ):
        assert each in words, each
    # Two tapes to cone 3, the middle of five on a half circle of 3 m: √2 × 3 m from either end of the base.
    assert f"3 {3 * math.sqrt(2):.2f} {3 * math.sqrt(2):.2f} left" in words


def test_what_does_not_fit_is_said_in_metres() -> None:
    """A chair 0.80 m wide does not get through 1.50 m, and the page says what it needs."""
    of = made("half-circle", "tovi_ankerlund", spacing=1.50)
    assert of.on_floor.least is not None
    needed = of.on_floor.least.needed
    assert needed > 1.50
    words = text(printed(of))
    assert "Does not fit." in words
    assert f"needs {needed:.2f} m, has only 1.50 m" in words
    right = made("half-circle", "tovi_ankerlund", spacing=needed)
    assert "Does not fit" not in text(printed(right))


def test_of_several_chairs_the_one_that_decides_is_named() -> None:
    """Everybody has a time of their own; the widest chair is the one drawn."""
    of = made("slalom", "nilo_fyrvang", "tovi_ankerlund", on="quay_court")
    assert of.decides.name == "Tovi Ankerlund"
    words = text(printed(of))
    assert "The chair of Tovi Ankerlund, 0.80 m wide, decides among 2" in words
    for person, bracket in zip(of.athletes, of.brackets, strict=True):
        assert f"{person.name}: {bracket}" in words


def test_push_lanes_have_their_cues_in_words() -> None:
    """Go falls three seconds after the first count; each length has its own row, the last ends."""
    of = made("push-lanes")
    content = course_content(of)
    assert [row[0] for row in content.cues] == ["1 · 25 %", "2 · 50 %", "3 · 75 %", "4 · 100 %"]
    assert content.cue_words == "3, 2, 1, a second apart; go at 3 s; then a tick every 5 m."
    assert content.cue_heads == ("", "go", "each 5 m", "brake", "turn", "back", "brake", "turn")
    assert content.cues[0][1] == "3.0"
    assert content.cues[0][4].startswith("left ")
    assert content.cues[1][4].startswith("right ")
    assert content.cues[3][4].startswith("end ")
    assert content.cues[3][5:] == ("–", "–", "–")
    said = re.findall(r"\d+\.\d", " ".join(" ".join(row[1:]) for row in content.cues))
    times = [float(each) for each in said]
    assert times == sorted(times)
    assert len(times) == len([cue for cue in of.cues if cue.kind != "count"])
    assert times == pytest.approx([cue.time for cue in of.cues if cue.kind != "count"], abs=0.051)
    assert "Contact near the top of the wheel" in text(printed(of))


def test_a_mirrored_course_says_so_in_its_sentence() -> None:
    """The first cone of a slalom is on the left hand, the other way round on the right."""
    there = make_course("slalom", athletes=[athlete("runa_velde")], venue=venue())
    back = make_course("slalom", athletes=[athlete("runa_velde")], venue=venue(), mirror=True)
    assert "first on the left hand" in there.says
    assert "first on the right hand" in back.says
    assert (back.turning.left, back.turning.right) == (there.turning.right, there.turning.left)
    assert back.bracket.likely.duration == pytest.approx(there.bracket.likely.duration, abs=1e-3)


def test_a_missing_anti_tip_wheel_is_a_caution() -> None:
    """Named with the athlete; with one, it says that it be down."""
    chair = replace(athlete("runa_velde").chair, anti_tip=None, brakes=True)
    bare = replace(athlete("runa_velde"), chairs=(chair,))
    content = course_content(make_course("slalom", athletes=[bare], venue=venue()))
    assert any("No anti-tip wheel on the chair of Runa Velde" in each for each in content.cautions)
    assert any(each.startswith("Brakes off") for each in content.cautions)
    assert any(each.startswith("Anti-tip wheel down") for each in course_content(made("slalom")).cautions)


def test_a_course_of_ones_own_is_printed_too() -> None:
    """Without a spacing; asked for one, it says why there is none."""
    own = course_from_text(
        'name = "corner"\nstart = "A"\norder = ["1L", "to B", "turn left", "back to A"]\n'
        'cones = [{ name = "1", x_m = 4, y_m = 1 }, { name = "2", x_m = 1, y_m = 4 }]\n'
        'points = [{ name = "A", x_m = 0, y_m = 0 }, { name = "B", x_m = 5, y_m = 5 }]\n',
        where="corner",
    )
    of = make_course(own, athletes=[athlete("runa_velde"), athlete("nilo_fyrvang")], venue=venue())
    assert of.decides.name == "Runa Velde"
    words = text(printed(of))
    assert "Corner" in words
    assert "look over the shoulder" in words
    with pytest.raises(FirstpushError, match="has its own cones"):
        make_course(own, athletes=[athlete("runa_velde")], venue=venue(), spacing=2.0)


def test_a_course_with_one_cone_is_set_out_from_the_corner() -> None:
    """Two tapes need two cones."""
    one = Course(
        name="post",
        cones=(Cone(name="1", x=2.0, y=0.0),),
        start=Place(x=0.0, y=-1.0),
        legs=(Leg(to=Place(x=0.0, y=1.0), passes=(Pass(cone="1", hand="left"),)),),
    )
    of = make_course(one, athletes=[athlete("runa_velde")], venue=venue())
    assert of.table is None
    assert "measure the start from a corner of the floor" in text(printed(of))


def test_a_floor_that_is_not_measured_is_its_court_with_run_off() -> None:
    """28 m and 2 m behind each line of basketball; a sport without a court says what to measure."""
    bare = replace(venue(), floor_length=None, floor_width=None)
    of = make_course("slalom", athletes=[athlete("runa_velde")], venue=bare)
    assert (of.on_floor.areas[0].length, of.on_floor.areas[0].width) == (32.0, 19.0)
    said = "The floor of Slipway hall is not measured: see that the wheelchair basketball court with run-off is free."
    assert said in text(printed(of))
    with pytest.raises(FirstpushError, match="floor_length_m"):
        make_course("slalom", athletes=[athlete("runa_velde")], venue=replace(bare, sport="bowls"))


def test_the_document_has_the_numbers_of_the_page() -> None:
    """The same reckoning for machines: distances of the table, bracket, turns."""
    of = made("half-circle")
    document = course_document(of)
    assert document["fits"] is True
    assert document["spacing_m"] == 3.0
    assert document["times"][0]["shortest_s"] < document["times"][0]["likely_s"] < document["times"][0]["longest_s"]
    assert document["turns"] == {"left": 4, "right": 5}
    assert document["set_out"]["base_m"] == 6.0
    assert sum(document["time_goes_s"].values()) == pytest.approx(document["times"][0]["likely_s"], abs=0.05)


EVERYBODY = tuple(path.stem for path in club_files()["athletes"])
FOUR = ("tovi_ankerlund", "bren_kollhaug", "ylva_rorgang", "nilo_fyrvang")


@cache
def together(name: str, *who: str) -> MadeCourse:
    """Return a course for several on a day on which the youngest is 13."""
    people = [athlete(each) for each in who]
    return make_course(name, athletes=people, venue=venue(), on=date(2026, 11, 26))


def test_of_several_each_has_one_line_the_gravest_first() -> None:
    """C6: dysreflexia, faintness, trunk and grip; then hemiplegia, a light front, a junior; and who has none."""
    of = together("half-circle", *FOUR, "runa_velde")
    lines = care_lines(of)
    assert lines[0].name == "Tovi Ankerlund"
    assert {line.name for line in lines} == {athlete(each).name for each in FOUR}
    words = text(printed(of))
    for says in (
        "Tovi Ankerlund: injury at C6: dysreflexia",
        "faintness (pale, dizzy): stop, tilt back, legs up",
        "no trunk control: at walking pace, with somebody beside who can steady the trunk",
        "Ylva Rorgang: hemiplegia: at walking pace; weak grip:",
        "Bren Kollhaug: light front: anti-tip wheel down",
        "under 18: an adult stays beside",
        "No caution known: Runa Velde.",
        "Not Tovi Ankerlund and Ylva Rorgang: at walking pace",
    ):
        assert says in words, says


@pytest.mark.parametrize("name", LAYOUTS)
def test_the_whole_club_with_all_its_cautions_is_one_page(name: str) -> None:
    """Eight athletes, seven of them with a line; who is left out of a layout is said to be."""
    of = together(name, *EVERYBODY)
    assert len(PdfReader(io.BytesIO(printed(of))).pages) == 1
    words = text(printed(of))
    assert len(care_lines(of)) == 7
    for line in care_lines(of):
        assert line.name in words
    out = [each.name for each, pace in zip(of.athletes, of.paces, strict=True) if pace.is_out]
    assert words.count("not this course (") == len(out)
    assert of.decides.name not in out, "who does not drive it decides nothing"


def test_at_walking_pace_no_time_is_quicker_than_that_pace() -> None:
    """Daily pushing is 1.0 to 1.2 m/s (from memory): distance over likely time stays below, and so does top speed."""
    tovi, bren = made("slalom", "tovi_ankerlund"), made("slalom", "bren_kollhaug")
    assert tovi.bracket.likely.distance / tovi.bracket.likely.duration < 1.2
    assert tovi.on_floor.line.top_speed < 1.2
    assert tovi.bracket.low > bren.bracket.high
    words = text(printed(tovi))
    assert "at walking pace" in words
    assert "half effort" not in words
    assert "Measure next" not in words
    assert "half effort" in text(printed(bren))


def test_with_a_measured_sprint_the_full_speed_stands_beside_the_caution() -> None:
    """The same athlete, timed over 20 m: quicker than walking, and the caution stays."""
    sprint = fit_sprint([Split(distance=5, time=3.0), Split(distance=20, time=9.5)], start_offset=0.5)
    tovi = athlete("tovi_ankerlund")
    speeds = [athlete_speed(sprint=sprint, athlete=tovi)]
    of = make_course("slalom", athletes=[tovi], venue=venue(), speeds=speeds)
    assert of.bracket.high < made("slalom", "tovi_ankerlund").bracket.high
    words = text(printed(of))
    assert "as the sprint was measured; a caution asks for walking pace: no trunk control" in words
    assert "with somebody beside who can steady the trunk" in words


def test_who_is_left_out_is_told_no_time() -> None:
    """Stop and turn with no grip: a stop, no seconds on the page or in the document, no room for runs."""
    of = made("stop-and-turn", "tovi_ankerlund")
    words = text(printed(of))
    assert "left out" in words
    assert "Not for Tovi Ankerlund: weak grip, no trunk control." in words
    assert "Top speed" not in words
    assert "Runs" not in words
    document = course_document(of)
    assert document["times"][0]["longest_s"] is None
    assert document["times"][0]["not_for"] == ["weak grip", "no trunk control"]
    assert course_document(made("stop-and-turn"))["times"][0]["longest_s"] is not None


def test_a_course_of_ones_own_keeps_its_place_for_all_or_for_none() -> None:
    """Clicked 0.6 m from the wall: a narrow chair fits there, a wide one does not, and both drive the same cones."""
    own = course_from_text(
        'name = "beside"\nstart = "A"\norder = ["to B"]\ncones = [{ name = "1", x_m = 9, y_m = 6 }]\n'
        'points = [{ name = "A", x_m = 4, y_m = 0.85 }, { name = "B", x_m = 14, y_m = 0.85 }]\n',
        where="beside",
    )
    narrow, wide = athlete("nilo_fyrvang"), athlete("runa_velde")
    alone = make_course(own, athletes=[narrow], venue=venue())
    assert alone.on_floor.in_its_place
    assert alone.course.start == own.start
    both = make_course(own, athletes=[narrow, wide], venue=venue())
    assert not both.on_floor.in_its_place
    assert both.on_floor.fits


def test_the_same_course_gives_the_same_bytes() -> None:
    """No clock and no chance in it."""
    content = course_content(made("square"))
    assert course_pdf(content) == course_pdf(content)
