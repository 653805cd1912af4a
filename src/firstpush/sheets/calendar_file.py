"""Training days as a calendar file (iCalendar, RFC 5545) that a phone or a club's calendar takes in."""

from __future__ import annotations

import math
import re
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta

from firstpush.core.errors import OutOfRangeError

PRODUCT = "-//Firstpush//Calendar file//EN"
MOST_UID_OCTETS = 255
"""What every program keeps of a UID (RFC 5545, section 3.8.4.7)."""
_CONTROL = re.compile(r"[\x00-\x08\x0b-\x1f\x7f]")


@dataclass(frozen=True, kw_only=True)
class CalendarEntry:
    """One session in the calendar.

    Parameters
    ----------
    uid : str
        Stays the same when the session is moved or renamed, so that the entry is replaced and not doubled; unlike every
        other one in the world ("session-41@club.example").
    title : str
        One line: "Strength session".
    starts : datetime
        By the clock in the hall, without a time zone; whole seconds.
    minutes : float
        How long it takes [min].
    place, description : str
        Both may be empty; the description may have several lines.
    """

    uid: str
    title: str
    starts: datetime
    minutes: float
    place: str = ""
    description: str = ""

    def __post_init__(self) -> None:
        if not self.title.strip():
            raise OutOfRangeError(
                f"the entry {self.uid!r} has no title; a calendar shows it; say what kind of session it is."
            )
        if not self.uid.strip() or len(self.uid.encode()) > MOST_UID_OCTETS:
            raise OutOfRangeError(
                f"the uid of {self.title!r} is {len(self.uid.encode())} octets long; "
                f"allowed are 1 to {MOST_UID_OCTETS}; give one of that length."
            )
        if self.starts.tzinfo is not None or self.starts.microsecond:
            raise OutOfRangeError(
                f"{self.title!r} starts at {self.starts.isoformat()}; the time is the one on the clock in the hall, "
                "in whole seconds and without a time zone; leave the zone and fractions away."
            )
        if not (math.isfinite(self.minutes) and self.minutes > 0):
            raise OutOfRangeError(
                f"{self.title!r} takes {self.minutes:g} min; a session takes more than 0 min; give its length."
            )
        for what, words in (("title", self.title), ("place", self.place), ("uid", self.uid)):
            if "\n" in words or "\r" in words:
                raise OutOfRangeError(f"the {what} {words!r} has several lines; one is allowed; write it in one line.")
        for words in (self.title, self.place, self.uid, _with_plain_line_ends(self.description)):
            if _CONTROL.search(words):
                raise OutOfRangeError(
                    f"{words!r} has control characters; allowed are letters, signs, spaces and, in a description, "
                    "line ends; take them out."
                )


def calendar_file(entries: Sequence[CalendarEntry], *, name: str, made_at: datetime) -> bytes:
    """Return the entries as a calendar file; the same entries made at the same time give the same bytes.

    Parameters
    ----------
    entries : sequence of CalendarEntry
        At least one; each with a uid of its own.
    name : str
        Of the calendar, for programs that show one.
    made_at : datetime
        When the entries were last changed, with a time zone; never read from a clock here.

    Returns
    -------
    bytes
        UTF-8, lines of 75 octets at most, ended by CR LF.

    Raises
    ------
    OutOfRangeError
        Without an entry, with one uid twice, or with a time of making that has no time zone.

    Source
    ------
    RFC 5545, sections 3.1, 3.3.5, 3.3.11, 3.4, 3.6, 3.6.1, 3.8.4.7 and 3.8.7.2 (read); the calendar's NAME is from
    RFC 7986 (from memory).
    """
    from icalendar import Calendar, Event

    if not entries:
        raise OutOfRangeError("no entry was given; a calendar file has at least one; choose a day with a session.")
    twice = [uid for uid, count in Counter(entry.uid for entry in entries).items() if count > 1]
    if twice:
        raise OutOfRangeError(
            f"several entries have the uid {twice[0]!r}; each needs its own; number the sessions of a day."
        )
    if made_at.tzinfo is None:
        raise OutOfRangeError(
            f"the time of making {made_at.isoformat()} has no time zone; it is written in UTC; give it with one."
        )
    stamp = made_at.astimezone(UTC).replace(microsecond=0)
    calendar = Calendar()
    calendar.add("prodid", PRODUCT)
    calendar.add("version", "2.0")
    calendar.add("name", name)
    for entry in entries:
        event = Event()
        event.add("uid", entry.uid)
        event.add("dtstamp", stamp)
        # Without a time zone the time "floats": 18:00 is 18:00 on the wall of the hall, whatever zone the phone is set
        # to and whether or not the rules of summer time change until then. Training is where the hall is.
        event.add("dtstart", entry.starts)
        event.add("duration", timedelta(seconds=max(1, round(60 * entry.minutes))))
        event.add("summary", entry.title)
        if entry.place:
            event.add("location", entry.place)
        if entry.description:
            event.add("description", _with_plain_line_ends(entry.description))
        calendar.add_component(event)
    return bytes(calendar.to_ical())


def _with_plain_line_ends(words: str) -> str:
    return words.replace("\r\n", "\n").replace("\r", "\n")
