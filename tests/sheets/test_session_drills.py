"""Drills on a session's sheet: a plan that a ruler confirms, how it is set out, and the practitioner's numbers."""

from __future__ import annotations

import io
import math
import re
from dataclasses import replace
from itertools import combinations
from pathlib import Path

import pytest
from example_sheets import sheet
from measured_pdf import MILLIMETRE, painted
from pypdf import PdfReader

import firstpush.demo
from firstpush.core.courses.drill import LANES, Drill, DrillCourse, drill_course, timed
from firstpush.core.courses.floor import Area, areas_on
from firstpush.core.exercises.definition import DoseOption
from firstpush.core.kit.venue_file import load_venue
from firstpush.core.people.athlete_file import load_athlete
from firstpush.demo.club import club_files
from firstpush.sheets.content import SheetContent, Version
from firstpush.sheets.drill_words import course_numbers, course_on_sheet, rounds_large, rounds_words, set_out_lines
from firstpush.sheets.session_sheet import session_pdf

VERSIONS: tuple[Version, ...] = ("athlete", "practitioner")
ROUND = DoseOption(
    name="one round each way", sets=2, seconds=30, rounds=1, rounds_words="every second set the other way round"
)
"""As the library has it."""


def half_circle() -> DrillCourse:
    """Return the half circle of the demo athlete."""
    athlete = load_athlete(Path(firstpush.demo.__file__).parent / "club" / "athletes" / "runa_velde.toml")
    return drill_course(Drill(layout="half-circle-back", count=5), chair=athlete.chair, name=athlete.name, areas=())


def with_drill(version: Version, laid: DrillCourse) -> SheetContent:
    """Return a short sheet whose last exercise is a drill."""
    plain = sheet(version, items=3)
    *others, last = plain.items
    drill = replace(last, course=course_on_sheet(laid, ROUND), numbers=course_numbers(laid))
    return replace(plain, items=(*others, drill))


def read(pdf: bytes) -> str:
    """Return the words of a PDF with single spaces between them."""
    return " ".join(" ".join(page.extract_text() for page in PdfReader(io.BytesIO(pdf)).pages).split())


def test_a_ruler_on_the_sheet_confirms_the_scale() -> None:
    """Cones are found among all that is painted by their size; their distances are the metres of the floor."""
    laid = half_circle()
    pdf = session_pdf(with_drill("athlete", laid))
    words = read(pdf)
    (scale,) = {int(each) for each in re.findall(r"1:(\d{2,3})\b", words) if int(each) in (50, 100, 150, 200, 250, 300)}
    wide = max(2 * 0.75, 2 * 1000 * laid.course.cones[0].radius / scale)
    middles = set()
    for paper in PdfReader(io.BytesIO(pdf)).pages:
        for each in painted(paper):
            left, low, right, high = (value / MILLIMETRE for value in each.box)
            if each.line_mm is None and abs(right - left - wide) < 0.02 and abs(high - low - wide) < 0.02:
                middles.add((round((left + right) / 2, 2), round((low + high) / 2, 2)))
    assert len(middles) == len(laid.course.cones)
    on_paper = sorted(math.dist(one, two) * scale / 1000 for one, two in combinations(middles, 2))
    on_floor = sorted(math.hypot(a.x - b.x, a.y - b.y) for a, b in combinations(laid.course.cones, 2))
    # Half a millimetre of a ruler, in metres of floor.
    assert on_paper == pytest.approx(on_floor, abs=0.5 * scale / 1000)


def test_two_tapes_give_the_half_circle_back() -> None:
    """From the ends of the diameter: cone 3 at √2 r from both, cones 2 and 4 at 2 r sin 22.5° and 2 r cos 22.5°."""
    laid = half_circle()
    r = laid.spacing
    lines = set_out_lines(timed(laid))
    near, far = 2 * r * math.sin(math.pi / 8), 2 * r * math.cos(math.pi / 8)
    assert lines[0] == f"Tape from 1 to 5: {2 * r:.2f} m"
    assert f"3: {math.sqrt(2) * r:.2f} · {math.sqrt(2) * r:.2f} left" in lines
    assert f"2: {near:.2f} · {far:.2f} left" in lines
    assert f"4: {far:.2f} · {near:.2f} left" in lines
    assert f"On it: start and finish at {r:.2f}" in lines


def test_the_athlete_reads_how_it_is_set_out_and_the_practitioner_what_it_asks() -> None:
    """Tapes on both; bracket, turns, pushes and where time goes on the copy alone."""
    laid = half_circle()
    mine, theirs = (read(session_pdf(with_drill(version, laid))) for version in VERSIONS)
    for words in (mine, theirs):
        assert "Tape from 1 to 5" in words
    low, high = timed(laid).set_times
    bracket = f"{math.floor(low)}-{math.ceil(high)} s a set"
    assert bracket in theirs and bracket not in mine
    assert "a minute" in theirs and "a minute" not in mine
    assert "speeding up" in theirs and "speeding up" not in mine


@pytest.mark.parametrize(
    ("sets", "long", "large"),
    [(4, "2 one way, 2 the other", "2 one way, 2 other"), (3, "2 one way, 1 the other", "2 one way, 1 other")],
)
def test_rounds_are_counted_by_direction(sets: int, long: str, large: str) -> None:
    """Every second set goes the other way round: of four two, of three one."""
    dose = replace(ROUND, sets=sets)
    assert rounds_words(half_circle(), dose) == long
    assert rounds_large(half_circle(), dose) == large


def lanes(areas: tuple[Area, ...]) -> DrillCourse:
    """Return the four push lengths of the demo athlete."""
    athlete = load_athlete(Path(firstpush.demo.__file__).parent / "club" / "athletes" / "runa_velde.toml")
    return drill_course(
        Drill(layout=LANES, count=4, shares=(0.25, 0.5, 0.75, 1.0)), chair=athlete.chair, name=athlete.name, areas=areas
    )


@pytest.mark.parametrize(("count", "dense"), [(3, False), (7, False), (8, True)])
def test_tape_numbers_stand_beside_a_plan_or_not_at_all(count: int, dense: bool) -> None:
    """Without the plan nobody knows which cone is meant: then one line says where both are, on one page still."""
    laid = lanes(())
    plain = sheet("athlete", items=count)
    *others, last = plain.items
    drill = replace(last, course=course_on_sheet(laid, ROUND))
    pdf = session_pdf(replace(plain, items=(*others, drill)))
    words = read(pdf)
    drawn = re.search(r"\bm · 1:\d{2,3}\b", words) is not None
    assert drawn is not dense
    assert ("Tape from" in words) is drawn
    assert (re.search(r"\d\.\d\d · \d+\.\d\d (left|right)", words) is not None) is drawn
    assert (
        "Plan and tape numbers: the practitioner's copy" in words.replace("\N{RIGHT SINGLE QUOTATION MARK}", "'")
    ) is dense


def test_the_floor_of_lanes_counts_the_way_to_stop_on() -> None:
    """What lanes take and the free run-out at both ends make up the hall: 32 m, but for tenths rounded down."""
    hall = load_venue(club_files()["venues"][1])
    assert (hall.floor_length, hall.name) == (32.0, "Slipway hall")
    (floor,) = [each.value for each in course_numbers(lanes(tuple(areas_on(hall)))) if each.label == "Floor"]
    found = re.search(r"takes ([\d.]+) by [\d.]+ m of 32 by 19 m and a free run-out of ([\d.]+) m at each end", floor)
    assert found is not None, floor
    takes, run_out = map(float, found.groups())
    assert run_out > 4.0
    assert 32.0 - 2 * 0.1 - 0.05 <= takes + 2 * run_out <= 32.0 + 0.05


def test_a_run_out_that_is_not_measured_is_said_to_be_so() -> None:
    """Of a floor that nobody measured no number is told; a half circle ends on its floor and needs none."""
    (floor,) = [each.value for each in course_numbers(lanes(())) if each.label == "Floor"]
    assert "; free run-out not known: floor not measured" in floor
    (other,) = [each.value for each in course_numbers(half_circle()) if each.label == "Floor"]
    assert "run-out" not in other
