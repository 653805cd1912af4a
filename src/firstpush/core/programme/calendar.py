"""What lies on which day of a programme: training days, matches, the days before them, breaks, light and test weeks."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from typing import Literal

from firstpush.core.errors import OutOfRangeError
from firstpush.core.measured import Measured
from firstpush.core.programme.load import WeekKind

DayKind = Literal["training", "day before a match", "match", "break"]
MOST_WEEKS = 26
"""Half a year; a longer plan is a wish."""
LIGHT_EVERY = Measured(
    name="every so-many-th training week is light",
    value=4.0,
    unit="weeks",
    spread=1.0,
    source="three weeks of building, one to let it settle",
    known="common practice",
)


@dataclass(frozen=True, kw_only=True)
class Break:
    """Days without sessions, the first and the last included."""

    first: date
    last: date

    def __post_init__(self) -> None:
        if self.last < self.first:
            raise OutOfRangeError(
                f"the break from {self.first} ends on {self.last}, before it begins; allowed is a last day on or after "
                "the first. Exchange the two."
            )

    def holds(self, day: date) -> bool:
        """Whether `day` lies in it."""
        return self.first <= day <= self.last


@dataclass(frozen=True, kw_only=True)
class CalendarDay:
    """A day with something on it.

    Parameters
    ----------
    on : date
    week : int
        Week of the programme, from 1.
    kind : str
        "training", "day before a match" (a training day whose next day has a match), "match", or "break" (a training
        day that falls out).
    match_next : bool
        Whether the next day has a match.
    """

    on: date
    week: int
    kind: DayKind
    match_next: bool = False


@dataclass(frozen=True, kw_only=True)
class Calendar:
    """When a programme takes place.

    Weeks have seven days and count from the first day, whatever weekday that is.

    Parameters
    ----------
    start : date
        First day of the first week.
    weeks : int
        1 to 26.
    weekdays : tuple of int
        Training days, rising, 0 for Monday to 6 for Sunday.
    light_every : int
        Every so-many-th training week is light; a break or a test week begins the count anew; 0 for none.
    test_weeks : tuple of int
        Weeks with tests, from 1: sets as in a light week, and no step.
    breaks : tuple of Break
    matches : tuple of date

    Raises
    ------
    OutOfRangeError
        When something lies outside the programme, or on top of something else.
    """

    start: date
    weeks: int
    weekdays: tuple[int, ...]
    light_every: int = int(LIGHT_EVERY.value)
    test_weeks: tuple[int, ...] = ()
    breaks: tuple[Break, ...] = ()
    matches: tuple[date, ...] = ()

    def __post_init__(self) -> None:
        if not 1 <= self.weeks <= MOST_WEEKS:
            raise OutOfRangeError(
                f"{self.weeks} weeks are no programme; allowed are 1 to {MOST_WEEKS}. Give as many as can be foreseen."
            )
        if (
            not self.weekdays
            or list(self.weekdays) != sorted(set(self.weekdays))
            or not set(self.weekdays) <= set(range(7))
        ):
            raise OutOfRangeError(
                f"{self.weekdays} are no training days of a week; allowed are 1 to 7 different days from 0 for Monday "
                "to 6 for Sunday, in their order. Give each day once."
            )
        if self.light_every != 0 and self.light_every < 2:
            raise OutOfRangeError(
                f"a light week every {self.light_every} weeks leaves no other; allowed are 2 or more, and 0 for none. "
                "Give 4 when nothing else is known."
            )
        for week in self.test_weeks:
            if not 1 <= week <= self.weeks:
                raise OutOfRangeError(
                    f"the test week {week} is no week of this programme; allowed are 1 to {self.weeks}. "
                    "Give a week of the programme."
                )
        for match in self.matches:
            self._check_match(match)
        for each in self.breaks:
            if each.last < self.start or each.first > self.end:
                raise OutOfRangeError(
                    f"the break from {each.first} to {each.last} does not touch this programme; allowed are days from "
                    f"{self.start} to {self.end}. Leave it out, or correct its days."
                )
        if not any(day.kind in ("training", "day before a match") for day in self.days):
            raise OutOfRangeError(
                f"no training day is left between {self.start} and {self.end}; at least one is needed. "
                "Shorten the breaks, or add weeks."
            )

    def _check_match(self, match: date) -> None:
        if not self.start <= match <= self.end:
            raise OutOfRangeError(
                f"the match on {match} is not in this programme; allowed are days from {self.start} to {self.end}. "
                "Leave it out, or add weeks."
            )
        for each in self.breaks:
            if each.holds(match):
                raise OutOfRangeError(
                    f"the match on {match} lies in the break from {each.first} to {each.last}; a day is one or the "
                    "other. Shorten the break, or leave the match out."
                )

    @property
    def end(self) -> date:
        """Last day of the last week."""
        return self.start + timedelta(days=7 * self.weeks - 1)

    @property
    def ordered_weekdays(self) -> tuple[int, ...]:
        """The training days in the order of a programme week, which begins with the weekday of the start."""
        first = self.start.weekday()
        return tuple(sorted(self.weekdays, key=lambda day: (day - first) % 7))

    def first_day_of(self, week: int) -> date:
        """Return the first day of a week of the programme, counted from 1."""
        return self.start + timedelta(days=7 * (week - 1))

    def week_of(self, day: date) -> int:
        """Return the week of the programme that a day lies in, from 1."""
        return (day - self.start).days // 7 + 1

    @property
    def days(self) -> tuple[CalendarDay, ...]:
        """Every training day and every match, in order."""
        found = []
        matches = set(self.matches)
        for number in range(7 * self.weeks):
            on = self.start + timedelta(days=number)
            next_day = on + timedelta(days=1) in matches
            if on in matches:
                kind: DayKind = "match"
            elif on.weekday() not in self.weekdays:
                continue
            elif any(each.holds(on) for each in self.breaks):
                kind = "break"
            else:
                kind = "day before a match" if next_day else "training"
            found.append(CalendarDay(on=on, week=self.week_of(on), kind=kind, match_next=next_day))
        return tuple(found)

    @property
    def week_kinds(self) -> tuple[WeekKind, ...]:
        """The kind of every week: a break where every training day falls out and no match is."""
        kinds: list[WeekKind] = []
        since = 0
        for week in range(1, self.weeks + 1):
            here = [day for day in self.days if day.week == week]
            since += 1
            if all(day.kind == "break" for day in here):
                kinds.append("break")
                since = 0
            elif week in self.test_weeks:
                kinds.append("test")
                since = 0
            elif self.light_every and since == self.light_every:
                kinds.append("light")
                since = 0
            else:
                kinds.append("training")
        return tuple(kinds)
