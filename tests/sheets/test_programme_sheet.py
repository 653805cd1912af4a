"""The printed programme: tags, words, pages. Nothing here looks at how it was laid out inside."""

from __future__ import annotations

import io
import re
from collections.abc import Iterator
from dataclasses import replace
from datetime import UTC, date, datetime, time, timedelta
from functools import cache
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest
from icalendar import Calendar as ReadCalendar
from pypdf import PdfReader

from firstpush.core.errors import OutOfRangeError
from firstpush.core.exercises.loader import library
from firstpush.core.kit.kit_file import load_kit
from firstpush.core.kit.venue_file import load_venue
from firstpush.core.notices import for_athlete
from firstpush.core.people.athlete_file import load_athlete
from firstpush.core.programme import Break, Calendar
from firstpush.core.session.asked import Asked
from firstpush.core.setup.circumstances import circumstances
from firstpush.demo import demo_file
from firstpush.sheets.make import MadeSession
from firstpush.sheets.make import make as make_session
from firstpush.sheets.make_programme import MadeProgramme, make_programme, write_programme
from firstpush.sheets.programme_sheet import ProgrammeContent, programme_pdf

START = date(2026, 12, 7)
MATCH = date(2026, 12, 19)
OFF = Break(first=date(2027, 1, 4), last=date(2027, 1, 10))


@cache
def made() -> MadeProgramme:
    """Return seven weeks with a match, a light week, a break and a test week for the invented athlete."""
    case = circumstances(
        load_athlete(demo_file("athlete")), load_kit(demo_file("kit")), load_venue(demo_file("venue")), on=START
    )
    calendar = Calendar(
        start=START, weeks=7, weekdays=(0, 2, 4), matches=(MATCH,), breaks=(OFF,), test_weeks=(7,), light_every=3
    )
    return make_programme(
        case, calendar=calendar, minutes=22, at=time(17, 30), made_at=datetime(2026, 12, 1, tzinfo=UTC)
    )


@cache
def printed() -> bytes:
    """Return it on paper."""
    return programme_pdf(made().content)


def plain(text: str) -> str:
    """Take line ends, places to break and unbreakable spaces out."""
    return re.sub(r"\s+", " ", text.replace("\xad", "").replace("\u2010\n", ""))


def pages(pdf: bytes) -> list[str]:
    """Return the words of each page."""
    return [plain(page.extract_text()) for page in PdfReader(io.BytesIO(pdf)).pages]


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


def test_says_that_it_is_pdf_ua_1() -> None:
    """The file is tagged, names its standard, and shows its title in the window."""
    read = PdfReader(io.BytesIO(printed()))
    # ISO 14289-1, section 5: pdfuaid:part is 1 (from memory).
    assert re.search(rb"pdfuaid:part(=\"1\"|>1<)", read.root_object["/Metadata"].get_object().get_data())
    assert read.root_object["/ViewerPreferences"]["/DisplayDocTitle"] == True  # noqa: E712 (a PDF boolean)
    assert read.metadata is not None
    assert read.metadata.title == "Programme of 7 weeks for Runa Velde"


def test_the_same_content_gives_the_same_bytes() -> None:
    """Twice the same, byte for byte."""
    assert programme_pdf(made().content) == printed()


def test_every_page_is_a4_lying() -> None:
    """297 by 210 mm."""
    for page in PdfReader(io.BytesIO(printed())).pages:
        width, height = (float(side) / 72 * 25.4 for side in (page.mediabox.width, page.mediabox.height))
        assert (width, height) == (pytest.approx(297, abs=0.5), pytest.approx(210, abs=0.5))


def test_seven_weeks_stand_on_the_first_page() -> None:
    """Every week with its dates, what kind it is, and every day with its plan, its time and its loads."""
    first = pages(printed())[0]
    for week in range(1, 8):
        assert f"Week {week}" in first
    for words in ("Light week", "Test week", "Break", "Back after a break", "Before a match", "Day before a match"):
        assert words in first
    loads = {line.load for row in made().content.rows for cell in row.cells for line in cell.lines}
    assert {"first load", "as last time", "light"} <= loads
    for words in loads:
        assert words in first
    for row in made().content.rows:
        for cell in row.cells:
            assert cell.day in first
            for line in cell.lines:
                assert line.title in first
                assert line.dose in first


def test_every_different_day_has_a_page_with_its_exercises() -> None:
    """Title, dose, cue and set-up of each; one page a day."""
    found = pages(printed())
    content = made().content
    assert len(found) == 1 + len(content.pages) + 1
    for page, words in zip(content.pages, found[1:], strict=False):
        assert page.title in words
        assert page.when in words
        for item in page.items:
            for text in (item.title, item.dose_large, item.cue, *(fact.value for fact in item.facts)):
                assert plain(text) in words, f"{text!r} is not on the page of {page.title}"


def test_every_drawing_is_described() -> None:
    """One figure with words for each exercise of each day."""
    tree = PdfReader(io.BytesIO(printed())).root_object["/StructTreeRoot"]
    found = [str(each["/Alt"]) for each in elements(tree) if each["/S"] == "/Figure"]
    assert sorted(found) == sorted(item.figure_alt for page in made().content.pages for item in page.items)


def test_the_table_of_weeks_has_headings() -> None:
    """A screen reader can tell the columns."""
    tree = PdfReader(io.BytesIO(printed())).root_object["/StructTreeRoot"]
    assert sum(each["/S"] == "/TH" for each in elements(tree)) >= len(made().content.weekdays)


def test_the_athletes_pages_carry_no_loads_in_numbers() -> None:
    """Newton metres nowhere; weekly loads only on the practitioner's page."""
    found = pages(printed())
    assert not any("N·m" in page for page in found)
    assert "Weekly load of each shoulder" in found[-1]
    assert not any("Weekly load" in page for page in found[:-1])


@cache
def of_signe() -> tuple[MadeProgramme, MadeSession]:
    """Return two weeks with a match and the session of the first day, for the athlete who holds no trunk (T4)."""
    club = demo_file("athlete").parent / "club"
    case = circumstances(
        load_athlete(club / "athletes" / "signe_marhaven.toml"),
        load_kit(club / "kits" / "cupboard.toml"),
        load_venue(club / "venues" / "quay_court.toml"),
        on=START,
    )
    programme = make_programme(
        case,
        calendar=Calendar(start=START, weeks=2, weekdays=(0, 2), matches=(MATCH,)),
        minutes=18,
        at=time(17, 30),
        made_at=datetime(2026, 12, 1, tzinfo=UTC),
    )
    kept = tuple(item.candidate.id for item in programme.programme.week.days[0].items)
    others = tuple(sorted(set(library()) - set(kept)))
    return programme, make_session(case, minutes=18, asked=Asked(keep=kept, without=others))


def test_a_day_says_of_each_exercise_what_the_sheet_of_a_session_says() -> None:
    """Cautions, cue and set-up with its support, and when to stop: the sheet of the same exercises is the source."""
    programme, session = of_signe()
    sheet = session.contents[0]
    page = programme.content.pages[0]
    on_sheet = {item.title: item for item in sheet.items}
    assert set(on_sheet) == {item.title for item in page.items}
    printed = pages(programme_pdf(programme.content))
    # As far as the page of the next day: a day of many exercises goes on on a second page.
    second = next(at for at, each in enumerate(printed) if each.startswith(programme.content.pages[1].title))
    words = " ".join(printed[1:second])
    for item in page.items:
        same = on_sheet[item.title]
        assert (for_athlete(item.notices), item.cue, item.facts, item.side_words) == (
            same.notices,
            same.cue,
            same.facts,
            same.side_words,
        )
        for notice in same.notices:
            assert plain(notice.what) in words
            assert plain(notice.do) in words
    assert (page.stop_rules, page.before_we_start, page.band_check) == (
        sheet.stop_rules,
        sheet.before_we_start,
        sheet.band_check,
    )
    for line in (*sheet.stop_rules, *sheet.before_we_start):
        assert plain(line) in words
    assert any("no trunk control" in notice.what for item in page.items for notice in item.notices)
    # Spinal injuries at T6 or above: sit upright at the signs of dysreflexia, tilt back when faint (common practice).
    assert "loosen straps" in words
    assert "legs up" in words


def test_pages_of_matches_say_when_to_stop_too() -> None:
    """The page that each day begins on has it; a day of up to seven exercises fits on one page, a longer one on two."""
    programme, _ = of_signe()
    found = pages(programme_pdf(programme.content))
    begin = [
        next(at for at, each in enumerate(found) if each.startswith(page.title)) for page in programme.content.pages
    ]
    taken = [after - before for before, after in pairwise([*begin, len(found) - 1])]
    assert begin[0] == 1
    for page, first, count in zip(programme.content.pages, begin, taken, strict=True):
        assert count <= (1 if len(page.items) <= 7 else 2), page.title
        words = found[first]
        assert "Stop and say so" in words, page.title
        assert "Stop everything at faintness" in words, page.title


def test_the_load_of_an_earlier_time_is_named_by_its_day() -> None:
    """The load "as on Mon" is that of this Monday, "as last time" that of the time before; read from the JSON file."""
    document = made().document
    shares: dict[tuple[str, date], float] = {}
    for week in document["weeks"]:
        for session in week["sessions"]:
            for item in session["items"]:
                if item["load_percent"] is not None:
                    shares[item["exercise"], date.fromisoformat(session["date"])] = item["load_percent"]
    ids = {each["title"]: each["exercise"] for each in document["exercises"]}
    names = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
    said = set()
    for row in made().content.rows:
        first = START + timedelta(weeks=row.number - 1)
        for cell in row.cells:
            on = first + timedelta(days=cell.weekday)
            for line in cell.lines:
                earlier = [day for id_, day in shares if id_ == ids[line.title] and day < on]
                share = shares[ids[line.title], on]
                if line.load.startswith("as on "):
                    day = first + timedelta(days=names.index(line.load.removeprefix("as on ")))
                    assert day < on
                    assert shares[ids[line.title], day] == share
                elif line.load == "as last time":
                    assert shares[ids[line.title], max(earlier)] == share
                elif line.load == "as before the match":
                    assert max(earlier) == MATCH
                    assert shares[ids[line.title], max(day for day in earlier if day < MATCH)] == share
                said.add(line.load.split(" ")[1] if line.load.startswith("as ") else line.load)
    assert {"on", "last", "before"} <= said, "the programme of the test has each of them"
    assert not any(line.load == "as before" for row in made().content.rows for c in row.cells for line in c.lines)


def test_weekly_loads_are_told_to_ten_seconds() -> None:
    """No tempo is kept to the second: 1123 s would be falsely precise; the bound stays above the load."""
    document = made().document
    for row, week in zip(made().content.load_rows, document["weeks"], strict=True):
        for side, load in zip(made().content.sides, row.loads, strict=True):
            numbers = [int(each) for each in re.findall(r"\d+", load)]
            assert all(number % 10 == 0 for number in numbers)
            exact = [week["weekly_load_s"][side], week["largest_weekly_load_s"][side]]
            for number, value in zip(numbers, (each for each in exact if each is not None), strict=True):
                assert abs(number - value) <= 5.1


def test_the_practitioners_page_says_how_good_the_plan_is() -> None:
    """Bounds, weekly loads beside what is allowed, and every notice with its id."""
    last = pages(printed())[-1]
    content = made().content
    for sentence in content.how_good:
        assert plain(sentence) in last
    for row in content.load_rows:
        for load in row.loads:
            assert load in last
    assert any("of at most" in load for row in content.load_rows for load in row.loads)
    for notice in content.notices:
        assert plain(notice.what) in last


@pytest.mark.parametrize(("weekdays", "weeks"), [((0,), 1), ((0, 1, 2, 3, 4, 5, 6), 6), ((1, 4), 26)])
def test_few_and_many_weeks_and_days_are_printed(weekdays: tuple[int, ...], weeks: int) -> None:
    """From one day to seven days a week, from one week to half a year: every week stands there."""
    content = stretched(made().content, weekdays, weeks)
    words = " ".join(pages(programme_pdf(content)))
    for week in range(1, weeks + 1):
        assert f"Week {week}" in words
        assert content.rows[week - 1].dates in words


def stretched(content: ProgrammeContent, weekdays: tuple[int, ...], weeks: int) -> ProgrammeContent:
    """Return the same programme with other days and more weeks; what is done on them is repeated."""
    cell = content.rows[0].cells[0]
    rows = []
    for number in range(1, weeks + 1):
        first = START + timedelta(days=7 * (number - 1))
        cells = tuple(replace(cell, weekday=day, day=f"{(first + timedelta(days=day)).day}.") for day in weekdays)
        dates = f"{first:%d.%m.} to {first + timedelta(days=6):%d.%m.}"
        rows.append(replace(content.rows[0], number=number, dates=dates, cells=cells))
    return replace(content, weekdays=weekdays, rows=tuple(rows))


def test_a_programme_without_weeks_is_refused() -> None:
    """There is nothing to print."""
    with pytest.raises(OutOfRangeError, match="no week was given"):
        programme_pdf(replace(made().content, rows=()))


def test_every_session_stands_in_the_calendar_file() -> None:
    """Read by another library: date, time, length, place, and what is done with its load."""
    events = ReadCalendar.from_ical(made().calendar).walk("VEVENT")
    sessions = made().programme.sessions
    assert len(events) == len(sessions)
    for event, session in zip(events, sessions, strict=True):
        assert event.decoded("dtstart") == datetime.combine(session.on, time(17, 30))
        assert event.decoded("duration") == timedelta(seconds=session.total_s)
        description = str(event["description"])
        for item in session.items:
            assert item.exercise.title in description
    assert len({str(event["uid"]) for event in events}) == len(events)
    break_days = {OFF.first + timedelta(days=n) for n in range(7)}
    assert not {event.decoded("dtstart").date() for event in events} & break_days


def test_what_is_written_is_whole_or_not_there(tmp_path: Path) -> None:
    """Three files; where one cannot be made, none is."""
    written = write_programme(made(), tmp_path / "out")
    assert [path.name for path in written] == ["programme.ics", "programme.json", "programme.pdf"]
    broken = replace(made(), content=replace(made().content, rows=()))
    with pytest.raises(OutOfRangeError):
        write_programme(broken, tmp_path / "other")
    assert not (tmp_path / "other").exists()


def test_a_programme_plans_no_step_for_a_shoulder_that_hurts_too_much() -> None:
    """Pain 4 of 10 with a usual of 2 at the right shoulder: lightest set-ups (common practice), so nothing that the
    right arm carries becomes harder on paper; what only the left arm carries may.
    """
    athlete = load_athlete(demo_file("athlete").parent / "club" / "athletes" / "edda_klipstrand.toml")
    case = circumstances(athlete, load_kit(demo_file("kit")), load_venue(demo_file("venue")))
    made = make_programme(
        case,
        calendar=Calendar(start=date(2026, 3, 2), weeks=4, weekdays=(0, 2, 4)),
        minutes=18,
        at=time(18, 0),
        made_at=datetime(2026, 3, 1, tzinfo=UTC),
    )
    items = [item for week in made.programme.weeks for each in week.sessions for item in each.items]
    loaded = [item for item in items if item.load_share is not None]
    assert any("right" in item.candidate.sides for item in loaded)
    for item in loaded:
        if "right" in item.candidate.sides:
            assert item.change != "one step", item.candidate.id
    assert "no-step-while-sore" in {each.id for each in made.programme.notices}
