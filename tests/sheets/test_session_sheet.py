"""The printed session: tags, words, pages. Nothing here looks at how it was laid out inside."""

from __future__ import annotations

import io
import re
from collections.abc import Iterator
from dataclasses import replace
from datetime import date
from functools import cache
from itertools import pairwise
from typing import Any

import pytest
from example_sheets import LONG_NAME, LONG_WORD, item, long_sheet, sheet
from pypdf import PdfReader

from firstpush.core.errors import OutOfRangeError
from firstpush.core.notices import LEVELS, Notice
from firstpush.sheets.content import BAND_CHECK, JUDGEMENT, Fact, SheetContent, TimelineBar
from firstpush.sheets.session_sheet import session_pdf

NAMES = {"athlete": "Athlete's sheet", "practitioner": "Practitioner's copy"}


@cache
def both() -> bytes:
    """Return both versions in one file."""
    return session_pdf([sheet("athlete"), sheet("practitioner")])


def reader(pdf: bytes) -> PdfReader:
    """Open the file."""
    return PdfReader(io.BytesIO(pdf))


def plain(text: str) -> str:
    """Take line ends, hyphens at line ends and unbreakable spaces out, so that a sentence is found where it wraps."""
    return re.sub(r"\s+", " ", text.replace("\xad", "").replace("\u2010\n", ""))


def pages(pdf: bytes) -> list[str]:
    """Return the words of each page."""
    return [plain(page.extract_text()) for page in reader(pdf).pages]


def words_of(version: str, pdf: bytes | None = None) -> str:
    """Return the words of the pages of one version."""
    return " ".join(page for page in pages(pdf or both()) if f"{NAMES[version]} · page " in page)


def elements(node: Any) -> Iterator[Any]:
    """Walk the structure tree in reading order."""
    node = node.get_object() if hasattr(node, "get_object") else node
    if isinstance(node, list):
        for kid in node:
            yield from elements(kid)
    elif isinstance(node, dict):
        if "/S" in node:
            yield node
        yield from elements(node.get("/K"))


def tagged(pdf: bytes) -> list[Any]:
    """Return every element of the structure tree in reading order."""
    return list(elements(reader(pdf).root_object["/StructTreeRoot"]))


def test_says_that_it_is_pdf_ua_1():
    """The file is tagged, names its standard, and shows its title in the window."""
    root = reader(both()).root_object
    assert root["/MarkInfo"]["/Marked"] == True  # noqa: E712 (a PDF boolean)
    # ISO 14289-1, section 5: pdfuaid:part is 1 (from memory).
    assert re.search(rb"pdfuaid:part(=\"1\"|>1<)", root["/Metadata"].get_object().get_data())
    assert root["/ViewerPreferences"]["/DisplayDocTitle"] == True  # noqa: E712


def test_has_title_and_language():
    """A screen reader knows what it reads, and in which language."""
    found = reader(both())
    assert found.metadata is not None
    assert found.metadata.title == "Strength session for Runa Velde"
    assert found.root_object["/Lang"] == "en-GB"


def test_headings_never_skip_a_level_and_start_at_the_first():
    """Headings never skip a level and start at the first."""
    levels = [int(each["/S"][2]) for each in tagged(both()) if re.fullmatch(r"/H[1-6]", each["/S"])]
    assert levels[0] == 1
    assert levels.count(1) == 2, "one for each version"
    assert all(after - before <= 1 for before, after in pairwise(levels))


def test_every_figure_has_its_words():
    """Every figure has its words."""
    alts = [str(each["/Alt"]) for each in tagged(both()) if each["/S"] == "/Figure"]
    for each in sheet("athlete").items:
        assert alts.count(each.figure_alt) == 2, f"{each.title} once in each version"
    assert sum(alt.startswith("Timeline drawn to scale: 1 from 0:00 to 2:50") for alt in alts) == 2
    assert all(alts)


def test_a_title_is_read_before_its_figure():
    """Whoever hears the sheet knows which exercise a figure belongs to."""
    for version in ("athlete", "practitioner"):
        order = [
            each["/S"]
            for each in tagged(session_pdf(sheet(version, items=2)))
            if each["/S"] in ("/H1", "/H2", "/Figure")
        ]
        # The name; Before we start, Stop and say so, Notices; the timeline; two exercises.
        assert order[:9] == ["/H1", "/H2", "/H2", "/H2", "/Figure", "/H2", "/Figure", "/H2", "/Figure"]


def test_effort_and_pain_carry_numbers_and_no_words_for_them():
    """Effort and pain carry numbers and no words for them."""
    words = words_of("athlete", session_pdf(sheet("athlete", items=1)))
    assert "Effort 6 7 8 9 10 11 12 13 14 15 16 17 18 19 20 Pain 0 1 2 3 4 5 6 7 8 9 10 where" in words
    assert "Session effort 0 1 2 3 4 5 6 7 8 9 10 Minutes done" in words
    assert not re.search(r"light|somewhat|maximal|extremely", words)


@pytest.mark.parametrize("version", NAMES)
def test_every_title_stands_once_in_each_version(version):
    """Every title stands once in each version."""
    words = words_of(version)
    for each in sheet("athlete").items:
        assert words.count(each.title) == 1, each.title


@pytest.mark.parametrize("version", NAMES)
def test_band_check_is_the_first_of_what_is_looked_at_before_the_start(version):
    """It stands under the heading that it belongs to, above all else that is looked at, and before any exercise."""
    words = words_of(version)
    assert words.count(BAND_CHECK) == 1
    rest = words.index(sheet(version).before_we_start[0])
    assert words.index("Before we start") < words.index(BAND_CHECK) < rest < words.index("Chest stretch at a post")


def test_athlete_sees_band_place_dose_cue_and_stop_rule_but_no_moment():
    """The athlete sees band, place, dose, cue and stop rule, but no moment."""
    words, content = words_of("athlete"), sheet("athlete")
    assert "N·m" not in words
    for each in content.items:
        assert words.count(each.dose_large) == 1
        for said in (each.cue, each.stop_rule, each.side_words, each.dose_small, *(f.value for f in each.facts)):
            assert said in words
        assert f"{each.number} {each.title} at {each.start_clock}" in words
    for kept_back in ("Where the numbers come from", "Left out", "Watch for", "Harder"):
        assert kept_back not in words


def test_practitioner_sees_numbers_reasons_what_was_left_out_and_sources():
    """The practitioner sees numbers, reasons, what was left out, and sources."""
    words, content = words_of("practitioner"), sheet("practitioner")
    assert words.count("12 (9-15) N·m") == len(content.items)
    for each in content.items:
        for said in (
            *(fact.value for fact in (*each.facts, *each.numbers)),
            *(each.cue, each.why, each.dose_small, each.side_words, each.easier[1:], each.harder[1:]),
            *("; ".join(each.watch_for)[1:], f"{each.part} · {each.minutes} min"),
        ):
            assert said in words, said
        assert f"{each.number} {each.title} at {each.start_clock}" in words
    for left_out in content.left_out:
        assert f"{left_out.title}: {left_out.reason}." in words
    for source in content.sources:
        assert source in words


@pytest.mark.parametrize("version", NAMES)
def test_every_notice_is_printed_with_its_level_and_what_to_do(version):
    """Every notice is printed with its level and what to do."""
    notices = tuple(
        Notice(id=f"notice-{level}", level=level, what=f"something of level {level}", do="Do what follows from it")
        for level in reversed(LEVELS)
    )
    first = replace(item(1), notices=tuple(replace(each, what=f"{each.what} about one") for each in notices))
    words = words_of(version, session_pdf(replace(sheet(version, items=1), notices=notices, items=(first,))))
    for level in LEVELS:
        for about in ("", " about one"):
            said = f"{level.capitalize()}: something of level {level}{about}. Do what follows from it."
            assert words.count(said) == 1, said
    assert ("notice-stop" in words) is (version == "practitioner"), "ids are for looking up"


@pytest.mark.parametrize("version", NAMES)
def test_every_version_defers_to_the_professional(version):
    """Every version defers to the professional."""
    assert words_of(version).count(JUDGEMENT) == 1


def test_versions_count_their_own_pages():
    """Versions count their own pages."""
    numbers = [
        re.search(r"(Athlete's sheet|Practitioner's copy) · page (\d+) of (\d+)", page) for page in pages(both())
    ]
    found = [(each[1], int(each[2]), int(each[3])) for each in numbers if each is not None]
    assert len(found) == len(pages(both())), "every page says what it is"
    for name in NAMES.values():
        of_version = [(number, total) for said, number, total in found if said == name]
        assert of_version == [(at + 1, len(of_version)) for at in range(len(of_version))]


@pytest.mark.parametrize("count", range(1, 8))
def test_what_follows_the_session_stands_on_a_page_with_an_exercise(count):
    """What follows the session stands on a page with an exercise."""
    content = sheet("athlete", items=count)
    last = pages(session_pdf(content))[-1]
    assert "After the session" in last
    assert content.items[-1].title in last


@pytest.mark.parametrize("version", NAMES)
def test_stop_rules_that_are_the_same_are_said_once_and_others_at_their_exercise(version):
    """A rule for every exercise stands under Stop and say so; different ones stand at their exercises."""
    content = sheet(version, items=3)
    words = words_of(version, session_pdf(content))
    assert words.count(content.items[0].stop_rule) == 1
    assert words.index(content.items[0].stop_rule) < words.index(content.items[0].title)
    other = replace(content.items[1], stop_rule="Stop when the elbow drops.")
    words = words_of(version, session_pdf(replace(content, items=(content.items[0], other, content.items[2]))))
    assert words.count(content.items[0].stop_rule) == 2
    assert words.index(other.title) < words.index(other.stop_rule) < words.index(content.items[2].title)


def test_an_empty_session_says_so():
    """An empty session says so."""
    assert "Nothing is in this session." in words_of("athlete", session_pdf(sheet("athlete", items=0)))


def test_same_content_gives_the_same_bytes():
    """The same content gives the same bytes, and other content others."""
    assert session_pdf(sheet("athlete")) == session_pdf(sheet("athlete"))
    assert session_pdf(sheet("athlete")) != session_pdf(replace(sheet("athlete"), venue="Breakwater hall"))


def test_date_of_the_file_is_the_one_given_or_none():
    """Date of the file is the one given or none."""
    dated = reader(session_pdf(sheet("athlete", items=1), document_date=date(2026, 9, 24))).metadata
    assert dated is not None
    assert dated.creation_date is not None
    assert dated.creation_date.date() == date(2026, 9, 24)
    undated = reader(session_pdf(sheet("athlete", items=1))).metadata
    assert undated is not None
    assert undated.creation_date is None


@pytest.mark.parametrize("version", NAMES)
def test_long_words_are_printed_whole(version):
    """Long words are printed whole."""
    pdf = session_pdf(long_sheet(version))
    # Six exercises with words of 40 letters everywhere: at most half a page each, the head and the end.
    assert len(pages(pdf)) <= 6 * 0.5 + 1
    text = "".join(page.extract_text() for page in reader(pdf).pages)
    letters = re.sub(r"[\s\-\xad\u2010]", "", text)
    assert LONG_NAME.replace(" ", "").replace("-", "") in letters
    # Each exercise has it in its title, four facts and the cue; four checks have it and two notices twice.
    expected = 6 * 6 + 4 + 2 * 2
    # The practitioner's copy has it in the easier step and three times in the reason too.
    assert letters.count(LONG_WORD) == expected + (0 if version == "athlete" else 6 * 4)


def test_a_timeline_without_bars_is_left_away():
    """A timeline without bars is left away."""
    words = words_of("athlete", session_pdf(replace(sheet("athlete", items=1), timeline=())))
    assert "scale in minutes" not in words
    assert "scale in minutes" in words_of("athlete")


def test_markup_in_a_name_is_printed_and_not_run():
    """Markup in a name is printed and not run."""
    name = 'R. *V* #panic() $x$ "q" <b> \\'
    assert name in words_of("athlete", session_pdf(replace(sheet("athlete", items=1), athlete_name=name)))


def test_a_letter_that_no_font_has_is_refused_with_what_to_do():
    """A letter that no font has is refused with what to do."""
    content = replace(sheet("athlete", items=1), athlete_name="Runa \U0001e6c0")
    with pytest.raises(OutOfRangeError, match=r"install such a font, or write the name in Latin letters"):
        session_pdf(content)
    assert session_pdf(replace(content, athlete_name="Růna Øster-Łoś")).startswith(b"%PDF")


def test_nothing_to_print_is_refused():
    """Nothing to print is refused."""
    with pytest.raises(OutOfRangeError, match="no sheet was given"):
        session_pdf([])


def test_a_fifth_large_fact_is_refused():
    """A fifth large fact is refused."""
    four = item(1).facts
    assert len(four) == 4
    with pytest.raises(OutOfRangeError, match="has 5 large set-up facts; at most 4"):
        replace(item(1), facts=(*four, Fact(label="Ball", value="0.6 kg")))


def test_a_figure_without_words_is_refused():
    """A figure without words is refused."""
    with pytest.raises(OutOfRangeError, match="say what it shows"):
        replace(item(1), figure_alt=" ")


def test_a_stretch_of_time_that_ends_before_it_starts_is_refused():
    """A stretch of time that ends before it starts is refused."""
    with pytest.raises(OutOfRangeError, match="runs from 90 s to 60 s"):
        TimelineBar(label="1", start_s=90, end_s=60, kind="work")


def test_one_version_needs_no_list():
    """One version needs no list."""
    content: SheetContent = sheet("athlete", items=1)
    assert session_pdf(content) == session_pdf([content])


def test_the_copy_has_a_line_to_sign_and_the_sheet_none() -> None:
    """Who answers for it writes name, signature and date; the club stands there where there is one."""
    assert "Practitioner Signature Date" in words_of("practitioner")
    assert "Signature" not in words_of("athlete")
    of_club = session_pdf(replace(sheet("practitioner"), club="Harbour club"))
    assert "Harbour club, practitioner Signature Date" in words_of("practitioner", of_club)


def test_the_id_of_a_notice_stands_after_its_sentence_on_the_copy_only() -> None:
    """To be looked up, not to be read: no brackets in the sentence, and none of it for the athlete."""
    copy = words_of("practitioner")
    for notice in sheet("practitioner").notices:
        assert f"{notice.do}. {notice.id}" in copy
        assert f"({notice.id})" not in copy
        assert notice.id not in words_of("athlete")
