"""Calendar files, against the rules of RFC 5545 (read): sections are named where they are used.

They are read back by `read`, which is written after the RFC's grammar and shares nothing with the library that writes.
"""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import UTC, datetime, timedelta, timezone

import pytest
from hypothesis import given
from hypothesis import strategies as st

from firstpush.core.errors import OutOfRangeError
from firstpush.sheets.calendar_file import CalendarEntry, calendar_file

MADE_AT = datetime(2026, 9, 20, 14, 30, tzinfo=timezone(timedelta(hours=2)))
ENTRY = CalendarEntry(
    uid="session-41@harbour.example",
    title="Strength session",
    starts=datetime(2026, 9, 24, 18, 5),
    minutes=18,
    place="Slipway hall",
    description="Low row, overhead press; bring the thin band.\nGlass of water: yes.",
)
Line = tuple[str, str, str]
"""Name, parameters and value of a content line."""


def lines(file: bytes) -> list[Line]:
    """Return the content lines, unfolded (3.1)."""
    assert file.endswith(b"\r\n")
    assert b"\n" not in file.replace(b"\r\n", b"")
    assert b"\r" not in file.replace(b"\r\n", b"")
    unfolded = re.sub(rb"\r\n[ \t]", b"", file).decode("utf-8")
    found = []
    for line in unfolded.split("\r\n")[:-1]:
        match = re.fullmatch(r"([A-Za-z0-9-]+)((?:;[^:\"]*)*):([^\x00-\x08\x0a-\x1f\x7f]*)", line)
        assert match is not None, line
        found.append((match[1].upper(), match[2], match[3]))
    return found


def plain(value: str) -> str:
    """Return a TEXT value without its escapes (3.3.11); others than the four are not allowed."""
    rest = re.sub(r"\\[\\;,Nn]", "", value)
    assert not re.search(r"[\\;,]", rest), value
    return re.sub(r"\\(.)", lambda found: "\n" if found[1] in "Nn" else found[1], value)


def events(file: bytes) -> list[dict[str, str]]:
    """Return the value of every property of every event, by its name; none may come twice (3.6.1)."""
    found: list[dict[str, str]] = []
    for name, parameters, value in lines(file):
        if (name, value) == ("BEGIN", "VEVENT"):
            found.append({})
        elif found and name not in ("BEGIN", "END"):
            assert name not in found[-1], f"{name} twice"
            found[-1][name + parameters] = value
    return found


def one(**changes: object) -> dict[str, str]:
    """Return the properties of the entry with `changes`."""
    (event,) = events(calendar_file([replace(ENTRY, **changes)], name="Runa Velde", made_at=MADE_AT))  # type: ignore[arg-type]
    return event


def test_an_object_holds_its_version_its_maker_and_the_events():
    """Delimiters pair, PRODID and VERSION come once (3.4, 3.6), and the calendar has its name."""
    found = lines(calendar_file([ENTRY, replace(ENTRY, uid="42@harbour.example")], name="Runa Velde", made_at=MADE_AT))
    assert found[0] == ("BEGIN", "", "VCALENDAR")
    assert found[-1] == ("END", "", "VCALENDAR")
    open_ones: list[str] = []
    for name, _, value in found:
        if name == "BEGIN":
            open_ones.append(value)
        if name == "END":
            assert open_ones.pop() == value
    assert not open_ones
    assert [value for name, _, value in found if name == "VERSION"] == ["2.0"]
    assert len([name for name, _, _ in found if name == "PRODID"]) == 1
    assert [value for name, _, value in found if name == "NAME"] == ["Runa Velde"]
    assert [value for name, _, value in found if name == "BEGIN"] == ["VCALENDAR", "VEVENT", "VEVENT"]


def test_an_event_says_what_when_how_long_and_where():
    """Start, length, title, place and description come back as they went in."""
    event = one()
    assert event["SUMMARY"] == "Strength session"
    # 3.3.6: 18 minutes.
    assert event["DURATION"] == "PT18M"
    assert "DTEND" not in event, "DURATION and DTEND exclude each other (3.6.1)"
    assert event["LOCATION"] == "Slipway hall"
    assert plain(event["DESCRIPTION"]) == ENTRY.description


def test_a_start_is_the_time_on_the_wall_of_the_hall():
    """A start has neither a zone nor a Z: form 1 of 3.3.5, the same hour wherever it is read."""
    assert one()["DTSTART"] == "20260924T180500"


def test_the_stamp_is_in_utc_and_is_the_one_given():
    """DTSTAMP is in UTC (3.8.7.2): 14:30 two hours ahead of it is 12:30."""
    assert one()["DTSTAMP"] == "20260920T123000Z"


def test_a_moved_session_keeps_its_uid():
    """A program that knows the UID replaces the entry (3.8.4.7)."""
    moved = one(starts=datetime(2026, 9, 25, 17, 0), title="Strength session, moved")
    assert moved["UID"] == one()["UID"] == "session-41@harbour.example"
    assert moved["DTSTART"] != one()["DTSTART"]


def test_text_is_escaped_as_in_the_rfc():
    """Comma, semicolon, backslash and line end are escaped, a colon is not (3.3.11); the example is the RFC's."""
    example = "Project XYZ Final Review\nConference Room - 3B\nCome Prepared."
    assert one(description=example)["DESCRIPTION"] == (
        r"Project XYZ Final Review\nConference Room - 3B\nCome Prepared."
    )
    assert one(title=r"a,b;c\d:e")["SUMMARY"] == r"a\,b\;c\\d:e"
    assert one(title=r"no line end: \n")["SUMMARY"] == r"no line end: \\n"
    assert plain(one(description="one\r\ntwo\rthree")["DESCRIPTION"]) == "one\ntwo\nthree"


def test_long_lines_are_folded_between_letters():
    """No line is longer than 75 octets (3.1), and none is broken inside a letter of several octets."""
    words = "Schulterblattrückziehungsübungsanleitung – Řeka, Ørsted, 車椅子 " * 6
    file = calendar_file([replace(ENTRY, description=words, title=words)], name=words, made_at=MADE_AT)
    physical = file.split(b"\r\n")
    assert max(map(len, physical)) <= 75
    assert sum(line.startswith(b" ") for line in physical) > 15
    for line in physical:
        line.decode("utf-8")
    (event,) = events(file)
    assert plain(event["DESCRIPTION"]) == words
    assert plain(event["SUMMARY"]) == words


_LINE = st.text(st.characters(exclude_categories=["Cc", "Cs", "Zl", "Zp"]), min_size=1, max_size=120)


@given(
    title=_LINE.filter(str.strip),
    place=_LINE,
    description=st.lists(_LINE, min_size=1, max_size=4).map("\n".join),
    starts=st.datetimes(datetime(1990, 1, 1), datetime(2099, 12, 31)).map(lambda when: when.replace(microsecond=0)),
    minutes=st.integers(1, 600),
)
def test_whatever_is_written_is_read_again(title, place, description, starts, minutes):
    """Any words, any time and any length come back as they were."""
    event = one(title=title, place=place, description=description, starts=starts, minutes=minutes)
    assert plain(event["SUMMARY"]) == title
    assert plain(event["LOCATION"]) == place
    assert plain(event["DESCRIPTION"]) == description
    assert datetime.strptime(event["DTSTART"], "%Y%m%dT%H%M%S") == starts
    length = re.fullmatch(r"PT(?:(\d+)H)?(?:(\d+)M)?(?:(\d+)S)?", event["DURATION"])
    assert length is not None
    hours, rest, seconds = (int(each or 0) for each in length.groups())
    assert 60 * hours + rest + seconds / 60 == minutes


def test_what_is_empty_is_left_away():
    """An entry without place and description has no such lines."""
    event = one(place="", description="")
    assert {"UID", "DTSTAMP", "DTSTART", "DURATION", "SUMMARY"} == set(event)


def test_same_entries_give_the_same_bytes():
    """The clock is never read."""
    first = calendar_file([ENTRY], name="Runa Velde", made_at=MADE_AT)
    assert calendar_file([ENTRY], name="Runa Velde", made_at=MADE_AT.astimezone(UTC)) == first
    assert calendar_file([ENTRY], name="Runa Velde", made_at=MADE_AT + timedelta(days=1)) != first


def test_half_minutes_are_kept_to_the_second():
    """17:59 minutes are 17 minutes and 59 seconds."""
    assert one(minutes=17 + 59 / 60)["DURATION"] == "PT17M59S"


@pytest.mark.parametrize(
    ("changes", "message"),
    [
        ({"title": " "}, "has no title"),
        ({"uid": ""}, "0 octets long; allowed are 1 to 255"),
        ({"uid": "ü" * 128}, "256 octets long; allowed are 1 to 255"),
        ({"starts": datetime(2026, 9, 24, 18, 5, tzinfo=UTC)}, "without a time zone"),
        ({"starts": datetime(2026, 9, 24, 18, 5, 0, 1)}, "in whole seconds"),
        ({"minutes": 0}, "takes 0 min"),
        ({"minutes": float("nan")}, "takes nan min"),
        ({"title": "one\ntwo"}, "has several lines"),
        ({"place": "one\rtwo"}, "has several lines"),
        ({"description": "bell \x07"}, "has control characters"),
    ],
)
def test_what_a_calendar_cannot_hold_is_refused(changes, message):
    """An entry that could not be written as it is meant is refused, with what is allowed."""
    assert replace(ENTRY, uid="ü" * 127).uid
    with pytest.raises(OutOfRangeError, match=message):
        replace(ENTRY, **changes)


def test_a_file_needs_entries_of_their_own_and_a_zone_for_its_stamp():
    """No entries, two with one uid, and a stamp without zone are refused."""
    with pytest.raises(OutOfRangeError, match="at least one"):
        calendar_file([], name="Runa Velde", made_at=MADE_AT)
    with pytest.raises(OutOfRangeError, match=r"several entries have the uid 'session-41@harbour.example'"):
        calendar_file([ENTRY, replace(ENTRY, title="Other")], name="Runa Velde", made_at=MADE_AT)
    with pytest.raises(OutOfRangeError, match="has no time zone"):
        calendar_file([ENTRY], name="Runa Velde", made_at=MADE_AT.replace(tzinfo=None))
