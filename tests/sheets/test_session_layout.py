"""How the printed session is laid out, measured from the PDF: pages, sizes, boxes to tick, nothing cut or overlapping.

The limits are our choice for a sheet on a clipboard: text of 8.5 pt and doses of 14 pt at arm's length, boxes of 5 mm
for a pen, lines of 0.25 mm for a copier, 4 mm of paper that an office printer leaves white.
"""

from __future__ import annotations

import io
import re
import shutil
import subprocess
from collections import Counter, defaultdict
from dataclasses import replace
from functools import cache
from itertools import pairwise
from pathlib import Path

import pytest
from example_sheets import item, long_sheet, sheet
from measured_pdf import MILLIMETRE, Box, Painted, around, marks_under, painted
from pypdf import PdfReader
from test_session_sheet import elements, plain

from firstpush.core.figure.palette import look_for
from firstpush.core.kit.kit_file import load_kit
from firstpush.core.kit.venue_file import load_venue
from firstpush.core.people.athlete_file import load_athlete
from firstpush.core.setup.circumstances import circumstances
from firstpush.demo import demo_file
from firstpush.sheets.content import SheetContent, Version
from firstpush.sheets.make import make
from firstpush.sheets.session_sheet import session_pdf
from firstpush.sheets.small_figures import small_figure

VERSIONS: tuple[Version, ...] = ("athlete", "practitioner")
LEAST_TEXT_PT = 8.5
LEAST_DOSE_PT = 14.0
LEAST_BOX_MM = 5.0
LEAST_LINE_MM = 0.25
WHITE_EDGE_MM = 4.0
ROUNDED = 0.001
"""Numbers in the file have a few decimals."""
BOXES_AN_EXERCISE = len(range(6, 21)) + len(range(11))
BOXES_OF_THE_SESSION = len(range(11))


@cache
def demo() -> dict[Version, SheetContent]:
    """Return both versions of the demo's session, with small figures."""
    case = circumstances(load_athlete(demo_file("athlete")), load_kit(demo_file("kit")), load_venue(demo_file("venue")))
    made = make(case, minutes=18)
    look = look_for(case.athlete.name, sex=case.athlete.sex)
    setups = {setup.exercise.title: setup for setup in reversed(made.prepared.setups.values())}
    return {
        each.version: replace(
            each,
            items=tuple(
                one if one.small_figure_svg else replace(one, small_figure_svg=small_figure(setups[one.title], look))
                for one in each.items
            ),
        )
        for each in made.contents
    }


def longer_demo(count: int) -> SheetContent:
    """Return the demo's athlete's sheet with exercises done again until there are `count`."""
    content = demo()["athlete"]
    again = (*content.items, *(replace(one, title=f"{one.title}, again") for one in content.items))[:count]
    return replace(
        content,
        items=tuple(replace(one, number=number) for number, one in enumerate(again, start=1)),
    )


def content_of(name: str) -> SheetContent:
    """Return a sheet by name: the demo, a short one, a full one, one with long words; of the athlete or not."""
    which, version = name.split(" of the ")
    if which == "demo":
        return demo()[version]  # type: ignore[index]
    if which == "long words":
        return long_sheet(version)  # type: ignore[arg-type]
    return sheet(version, items=int(which))  # type: ignore[arg-type]


SHEETS = [f"{which} of the {version}" for version in VERSIONS for which in ("demo", "1", "6", "14", "long words")]


@cache
def opened(name: str) -> PdfReader:
    """Return the sheet as a PDF that was opened."""
    return PdfReader(io.BytesIO(session_pdf(content_of(name))))


@cache
def measured(name: str) -> tuple[list[Painted], ...]:
    """Return what is painted on each page."""
    return tuple(painted(page) for page in opened(name).pages)


def texts(content: SheetContent) -> list[str]:
    """Return the words of each page."""
    return [plain(page.extract_text()) for page in PdfReader(io.BytesIO(session_pdf(content))).pages]


@pytest.mark.parametrize("count", [None, 10])
def test_the_demo_stands_on_one_page(count):
    """The demo's exercises, and ten too, stand on one page with what comes before and after them."""
    content = demo()["athlete"] if count is None else longer_demo(count)
    assert len(content.items) >= 8
    assert count in (None, len(content.items))
    (page,) = texts(content)
    for one in content.items:
        for said in (one.title, one.dose_large, one.dose_small, one.side_words, one.cue, one.start_clock):
            assert _letters(said) in _letters(page), said
        for fact in one.facts:
            assert _letters(f"{fact.label} {fact.value}") in _letters(page)
    for said in (content.band_check, *content.before_we_start, *content.stop_rules, content.judgement):
        assert _letters(said) in _letters(page)
    assert content.input_checksum in page


def test_the_demo_for_the_practitioner_stands_on_four_pages_at_most():
    """Numbers, reasons, what was left out and sources of ten exercises stand on four pages at most."""
    content = demo()["practitioner"]
    found = texts(content)
    assert len(found) <= 4
    whole = _letters(" ".join(found))
    for one in content.items:
        assert _letters(one.why) in whole
        for number in one.numbers:
            assert _letters(f"{number.label} {number.value}") in whole
    for left_out in content.left_out:
        assert _letters(f"{left_out.title}: {left_out.reason}.") in whole
    for source in content.sources:
        assert _letters(source) in whole


def whole_exercises(page: str, content: SheetContent) -> list[int]:
    """Return the numbers of the exercises on a page, each of which has its title first and its boxes last."""
    letters = _letters(page)
    places = {
        one.number: letters.find(_letters(f"{one.number} {one.title} at {one.start_clock}")) for one in content.items
    }
    here = sorted((place, number) for number, place in places.items() if place >= 0)
    ends = [found.start() for found in re.finditer(_letters("Effort 6 7 8 9 10 11 12 13 14 15"), letters)]
    assert len(here) == len(ends)
    turns = sorted([(place, "title") for place, _ in here] + [(place, "boxes") for place in ends])
    assert [kind for _, kind in turns] == ["title", "boxes"] * len(here)
    return [number for _, number in here]


def _letters(words: str) -> str:
    """Take out what is different where a line ends."""
    return re.sub(r"[\s\-\u2010]", "", words)


@pytest.mark.parametrize("name", SHEETS)
def test_no_exercise_is_split_and_their_order_is_kept(name):
    """Title and boxes of one exercise stand on one page, and the exercises follow each other."""
    content = content_of(name)
    found = [number for page in texts(content) for number in whole_exercises(page, content)]
    assert found == list(range(1, len(content.items) + 1))


@pytest.mark.parametrize("content", [lambda: sheet("athlete", items=14), lambda: longer_demo(14)])
def test_fourteen_exercises_take_two_pages(content):
    """What does not fit on one page goes on a second one."""
    found = texts(content())
    assert len(found) == 2
    assert all(whole_exercises(page, content()) for page in found)
    assert "After the session" in found[1]


@pytest.mark.parametrize("name", SHEETS)
def test_no_text_is_too_small(name):
    """No text is smaller than 8.5 pt, in figures neither, and no dose smaller than 14 pt."""
    sizes = Counter(round(each.text_pt, 3) for page in measured(name) for each in page if each.text_pt is not None)
    assert min(sizes) >= LEAST_TEXT_PT - ROUNDED, sizes
    largest: list[float] = []

    def look_at(text: str, matrix: list[float], own: list[float], _font: object, size: float) -> None:
        if re.match(r"\s*(\d+( s)? × \d+.*|\d+ to \d+)\s*$", text):
            largest.append(abs(size * own[3] * matrix[3]))

    for page in opened(name).pages:
        page.extract_text(visitor_text=look_at)
    assert len(largest) == len(content_of(name).items)
    assert min(largest) >= LEAST_DOSE_PT - ROUNDED


@pytest.mark.parametrize("name", SHEETS)
def test_every_box_to_tick_has_room_for_a_pen(name):
    """Between its lines every box is 5 mm wide and high, and there is one for each number of each scale."""
    boxes = [size for page in measured(name) for size in _boxes(page)]
    assert len(boxes) == BOXES_AN_EXERCISE * len(content_of(name).items) + BOXES_OF_THE_SESSION
    assert min(min(size) for size in boxes) >= LEAST_BOX_MM - ROUNDED


def _boxes(page: list[Painted]) -> list[tuple[float, float]]:
    """Return width and height [mm] between the lines of each box in a row of boxes: neighbours of one upright pair."""
    upright: defaultdict[tuple[float, float], list[Painted]] = defaultdict(list)
    for each in page:
        left, bottom, right, top = each.box
        # What belongs to no text and no figure; lines of the timeline are thicker.
        ruled = each.straight and each.line_mm is not None and each.line_mm < 0.2 and each.marked is None
        if ruled and right - left < 0.01 and top - bottom > 4 * MILLIMETRE:
            upright[round(bottom, 1), round(top, 1)].append(each)
    found = []
    for lines in upright.values():
        ordered = sorted(lines, key=lambda each: each.box[0])
        for first, second in pairwise(ordered):
            line = first.line_mm
            assert line is not None
            wide = (second.box[0] - first.box[0]) / MILLIMETRE - line
            # Lines of the row's top and bottom lie on the ends of the upright ones.
            high = (first.box[3] - first.box[1]) / MILLIMETRE - 2 * line
            if wide < 2 * LEAST_BOX_MM:
                found.append((wide, high))
    return found


@pytest.mark.parametrize("name", SHEETS)
def test_nothing_is_painted_on_the_edge_of_the_paper(name):
    """What an office printer cannot print is left white."""
    for page in measured(name):
        left, bottom, right, top = (edge / MILLIMETRE for edge in around(each.box for each in page))
        assert left >= WHITE_EDGE_MM
        assert bottom >= WHITE_EDGE_MM
        assert right <= 210 - WHITE_EDGE_MM
        assert top <= 297 - WHITE_EDGE_MM


PLAN = "Plan to scale"
"""How the words of a drill's plan begin: its letters are its own."""


def _figures(name: str, *, plans: bool = True) -> list[tuple[int, Box, list[Painted]]]:
    """Return the drawings of the exercises: their page, their box and what they are painted with."""
    found = []
    pdf = opened(name)
    for each in elements(pdf.root_object["/StructTreeRoot"]):
        if each["/S"] != "/Figure" or str(each["/Alt"]).startswith("Timeline"):
            continue
        if not plans and str(each["/Alt"]).startswith(PLAN):
            continue
        for number, page in enumerate(pdf.pages):
            marks = marks_under(each, page)
            parts = [part for part in measured(name)[number] if part.marked in marks]
            if parts:
                found.append((number, around(part.box for part in parts), parts))
    return found


@pytest.mark.parametrize("name", SHEETS)
def test_lines_of_figures_are_thick_enough_to_be_copied(name):
    """However small a figure is shown, its lines are 0.25 mm thick at least."""
    figures = _figures(name)
    assert len(_figures(name, plans=False)) == len(content_of(name).items)
    thinnest = min(part.line_mm for _, _, parts in figures for part in parts if part.line_mm is not None)
    assert thinnest >= LEAST_LINE_MM - ROUNDED


@pytest.mark.skipif(shutil.which("pdftotext") is None, reason="pdftotext (poppler) measures where words stand")
@pytest.mark.parametrize("name", SHEETS)
def test_no_word_leaves_the_margins_or_stands_on_another_or_on_a_figure(name, tmp_path: Path):
    """No word leaves the margins, and none stands on another one or on a figure."""
    (tmp_path / "sheet.pdf").write_bytes(session_pdf(content_of(name)))
    run = subprocess.run(
        ["pdftotext", "-bbox", str(tmp_path / "sheet.pdf"), "-"], capture_output=True, text=True, check=True
    )
    figures = _figures(name, plans=False)
    for number, page in enumerate(run.stdout.split("<page ")[1:]):
        found = re.findall(r'<word xMin="(.+?)" yMin="(.+?)" xMax="(.+?)" yMax="(.+?)">(.*)</word>', page)
        assert len(found) > 20
        boxes = [(*map(float, numbers), word) for *numbers, word in found]
        for x_min, y_min, x_max, y_max, word in boxes:
            assert x_min >= 7.4 * MILLIMETRE, word
            assert x_max <= (210 - 7.4) * MILLIMETRE, word
            assert WHITE_EDGE_MM * MILLIMETRE < y_min < y_max < (297 - WHITE_EDGE_MM) * MILLIMETRE, word
            middle = 297 * MILLIMETRE - (y_min + y_max) / 2
            for on, (left, bottom, right, top), _ in figures:
                clear = x_max <= left + 0.5 or x_min >= right - 0.5 or middle <= bottom or middle >= top
                assert on != number or clear, f"{word!r} on a figure"
        # Text boxes count ascender and descender, so neighbours on two lines overlap a little: look at their middles.
        for at, (x_min, y_min, x_max, y_max, word) in enumerate(boxes):
            for a, b, c, d, other in boxes[at + 1 :]:
                apart = abs((y_min + y_max) - (b + d)) / 2
                beside = min(x_max, c) - max(x_min, a)
                assert beside < 1 or apart > 0.45 * min(y_max - y_min, d - b), f"{word!r} on {other!r}"


def test_an_easier_step_gives_way_before_a_second_page():
    """The athlete's sheet says the easier step where there is room, and leaves it away rather than take a page more."""
    found = {count: texts(sheet("athlete", items=count)) for count in range(1, 15)}
    said = {count: " ".join(each).count("Too hard?") for count, each in found.items()}
    assert all(number in (0, count) for count, number in said.items()), "of all exercises or of none"
    on_one = [count for count, each in found.items() if len(each) == 1]
    assert on_one == list(range(1, len(on_one) + 1))
    assert said[on_one[0]] > 0 == said[on_one[-1]]
    assert said[on_one[-1] + 1] > 0, "a second page has room again"


def test_a_figure_that_is_not_drawn_small_is_shown_as_it_is():
    """An exercise without a small figure shows the other one."""
    one = replace(item(1), small_figure_svg="")
    content = replace(sheet("athlete", items=1), items=(one,))
    (page,) = texts(content)
    assert "Start" in page
    assert "Start" not in texts(sheet("athlete", items=1))[0]
