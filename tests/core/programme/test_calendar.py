"""What lies on which day: dates checked against a printed calendar of December 2026 and January 2027."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest

from firstpush.core.errors import OutOfRangeError
from firstpush.core.programme.calendar import Break, Calendar

MONDAY = date(2026, 12, 7)
THREE_DAYS = (0, 2, 4)


def calendar(**other: Any) -> Calendar:
    """Six weeks from a Monday, three days a week."""
    given: dict[str, Any] = {"start": MONDAY, "weeks": 6, "weekdays": THREE_DAYS}
    return Calendar(**given | other)


def test_training_days_stand_on_their_dates() -> None:
    """Three days in each of six weeks, the first on Monday 7 December, the last on Friday 15 January."""
    days = calendar().days
    assert len(days) == 18
    assert (days[0].on, days[-1].on) == (date(2026, 12, 7), date(2027, 1, 15))
    assert {day.on.weekday() for day in days} == {0, 2, 4}
    assert [day.week for day in days] == [week for week in range(1, 7) for _ in range(3)]


def test_weeks_count_from_the_first_day() -> None:
    """From a Wednesday, the week has Wednesday, Friday and the Monday after."""
    from_wednesday = calendar(start=date(2026, 12, 9), weeks=1)
    assert [day.on for day in from_wednesday.days] == [date(2026, 12, 9), date(2026, 12, 11), date(2026, 12, 14)]
    assert from_wednesday.ordered_weekdays == (2, 4, 0)
    assert from_wednesday.end == date(2026, 12, 15)


def test_a_match_takes_its_day_and_makes_the_day_before_easy() -> None:
    """Saturday the 12th has a match: Friday is the day before; a match on a training day takes its place."""
    kinds = {day.on: day.kind for day in calendar(matches=(date(2026, 12, 12), date(2026, 12, 16))).days}
    assert kinds[date(2026, 12, 11)] == "day before a match"
    assert kinds[date(2026, 12, 12)] == "match"
    assert kinds[date(2026, 12, 16)] == "match"
    assert date(2026, 12, 15) not in kinds, "a Tuesday is no training day, so nothing is made easy"


def test_two_matches_in_a_row() -> None:
    """The first of two match days is also a day before a match."""
    days = {day.on: day for day in calendar(matches=(date(2026, 12, 12), date(2026, 12, 13))).days}
    assert days[date(2026, 12, 12)].match_next
    assert not days[date(2026, 12, 13)].match_next


def test_training_days_fall_out_in_a_break() -> None:
    """The first and the last day of the break included."""
    days = calendar(breaks=(Break(first=date(2026, 12, 23), last=date(2027, 1, 1)),)).days
    out = [day.on for day in days if day.kind == "break"]
    assert out == [date(2026, 12, 23), date(2026, 12, 25), date(2026, 12, 28), date(2026, 12, 30), date(2027, 1, 1)]


@pytest.mark.parametrize(
    ("given", "kinds"),
    [
        ({}, "TTTLTT"),
        ({"light_every": 0}, "TTTTTT"),
        ({"light_every": 2}, "TLTLTL"),
        ({"test_weeks": (6,)}, "TTTLTX"),
        ({"test_weeks": (2,)}, "TXTTTL"),
        ({"test_weeks": (4,)}, "TTTXTT"),
        ({"breaks": (Break(first=date(2026, 12, 21), last=date(2026, 12, 27)),)}, "TTBTTT"),
        ({"breaks": (Break(first=date(2026, 12, 21), last=date(2026, 12, 23)),)}, "TTTLTT"),
        ({"weeks": 8, "breaks": (Break(first=date(2026, 12, 21), last=date(2026, 12, 27)),)}, "TTBTTTLT"),
    ],
)
def test_light_weeks_are_counted_from_the_last_rest(given: dict[str, Any], kinds: str) -> None:
    """Every fourth, but a whole week off or a test week begins the count anew."""
    names = {"training": "T", "light": "L", "test": "X", "break": "B"}
    assert "".join(names[kind] for kind in calendar(**given).week_kinds) == kinds


@pytest.mark.parametrize(
    ("given", "words"),
    [
        ({"weeks": 0}, "0 weeks are no programme; allowed are 1 to 26"),
        ({"weeks": 27}, "27 weeks"),
        ({"weekdays": ()}, "no training days"),
        ({"weekdays": (2, 0)}, "in their order"),
        ({"weekdays": (0, 7)}, "no training days"),
        ({"light_every": 1}, "leaves no other"),
        ({"test_weeks": (7,)}, "test week 7 is no week of this programme; allowed are 1 to 6"),
        ({"matches": (date(2026, 12, 6),)}, "match on 2026-12-06 is not in this programme"),
        ({"matches": (date(2027, 1, 18),)}, "match on 2027-01-18 is not"),
        ({"breaks": (Break(first=date(2026, 11, 1), last=date(2026, 11, 8)),)}, "does not touch this programme"),
        ({"breaks": (Break(first=MONDAY, last=date(2027, 1, 17)),)}, "no training day is left"),
        (
            {"breaks": (Break(first=MONDAY, last=date(2026, 12, 9)),), "matches": (MONDAY,)},
            "a day is one or the other",
        ),
    ],
)
def test_what_does_not_fit_is_refused_in_one_sentence(given: dict[str, Any], words: str) -> None:
    """The message says what is wrong and what is allowed."""
    with pytest.raises(OutOfRangeError, match=words):
        calendar(**given)
    assert calendar(weeks=26).weeks == 26


def test_a_break_ends_after_it_begins() -> None:
    """Exchanged days are refused."""
    with pytest.raises(OutOfRangeError, match="before it begins"):
        Break(first=date(2026, 12, 9), last=date(2026, 12, 8))
    assert Break(first=MONDAY, last=MONDAY).holds(MONDAY)
