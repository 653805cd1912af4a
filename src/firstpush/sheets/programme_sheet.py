"""The printed programme: weeks as rows, days as columns, a page for every different day; A4, PDF/UA-1, by Typst."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import asdict, dataclass
from datetime import date

from firstpush.core.errors import OutOfRangeError
from firstpush.core.exercises.definition import AIMS
from firstpush.core.notices import Notice
from firstpush.core.people.athlete import SIDES
from firstpush.core.programme.days import DAY_NAMES, gap_of
from firstpush.core.programme.plan import has_load
from firstpush.core.programme.programme import (
    EASY,
    MATCH,
    MATCH_EASY,
    PlanName,
    PlannedItem,
    PlannedSession,
    Programme,
    ProgrammeWeek,
)
from firstpush.core.programme.worth import MAJOR_STRENGTH_AIMS
from firstpush.core.session.candidate import Chosen
from firstpush.core.session.timeline import clock
from firstpush.sheets.content import JUDGEMENT, Fact
from firstpush.sheets.typeset import typeset_pdf
from firstpush.sheets.words import Setups, dose_large, dose_small, facts, figure_words, first_time_words, side_words

SINGLE_DAYS = {EASY: "Day before a match", MATCH: "Before a match", MATCH_EASY: "Before a match, with another tomorrow"}
"""Titles of the days that are no training days."""
MONTHS = (
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
)
"""Written here, because the computer's own names depend on where it stands."""
WEEK_WORDS = {"training": "", "light": "Light week", "test": "Test week", "break": "Break"}
DAY_WORDS = {"training": "", "day before a match": "match tomorrow", "match": "match", "break": "break"}


@dataclass(frozen=True, kw_only=True)
class WorkLine:
    """An exercise with a load in the table of weeks: "Seated row", "2 × 8", "one step"."""

    title: str
    dose: str
    load: str


@dataclass(frozen=True, kw_only=True)
class DayCell:
    """One day in the table of weeks.

    Parameters
    ----------
    weekday : int
        0 for Monday to 6 for Sunday.
    day : str
        "7 Dec".
    plan : str
        "Day A", or what it is instead; empty when nothing is done.
    minutes : str
        "17:58"; empty when nothing is done.
    words : str
        "match", "match tomorrow", "break", or empty.
    lines : tuple of WorkLine
        Exercises with a load.
    left_out : str
        Titles of what is left out that day, or empty.
    """

    weekday: int
    day: str
    plan: str = ""
    minutes: str = ""
    words: str = ""
    lines: tuple[WorkLine, ...] = ()
    left_out: str = ""


@dataclass(frozen=True, kw_only=True)
class WeekRow:
    """One week in the table of weeks; `kind` decides its ground, `words` say the same."""

    number: int
    dates: str
    kind: str
    words: str
    cells: tuple[DayCell, ...]


@dataclass(frozen=True, kw_only=True)
class DayItem:
    """One exercise on the page of a day."""

    number: int
    title: str
    part: str
    side_words: str
    rhythm: str
    dose_large: str
    dose_small: str
    facts: tuple[Fact, ...]
    cue: str
    figure_svg: str
    figure_alt: str


@dataclass(frozen=True, kw_only=True)
class DayPage:
    """All exercises of one different day."""

    title: str
    when: str
    minutes: str
    items: tuple[DayItem, ...]


@dataclass(frozen=True, kw_only=True)
class LoadRow:
    """Weekly load of each shoulder, for the practitioner: "588 of at most 706"."""

    week: str
    words: str
    loads: tuple[str, ...]
    steps: str


@dataclass(frozen=True, kw_only=True)
class AimRow:
    """An aim in an ordinary week, for the practitioner: "2 sets", "×" or nothing on each training day."""

    aim: str
    major: bool
    days: tuple[str, ...]


@dataclass(frozen=True, kw_only=True)
class ProgrammeContent:
    """Everything that stands on the printed programme, as finished words.

    Parameters
    ----------
    athlete_name, venue, title, span : str
        Who, where, "Programme of 6 weeks", "7 December 2026 to 17 January 2027".
    weekdays : tuple of int
        The columns, in the order of a programme week.
    minutes : str
        Of a training day.
    rows : tuple of WeekRow
    pages : tuple of DayPage
    sides : tuple of str
        Shoulders in the table of loads.
    load_rows : tuple of LoadRow
    aim_days : tuple of str
        Training days in the table of aims.
    aim_rows : tuple of AimRow
    how_good : tuple of str
        What was reached and the bounds, one sentence each.
    notices : tuple of Notice
    program_version, input_checksum : str
        For the footer.
    """

    athlete_name: str
    venue: str
    title: str
    span: str
    weekdays: tuple[int, ...]
    minutes: str
    rows: tuple[WeekRow, ...]
    pages: tuple[DayPage, ...]
    sides: tuple[str, ...]
    load_rows: tuple[LoadRow, ...]
    aim_days: tuple[str, ...]
    aim_rows: tuple[AimRow, ...]
    how_good: tuple[str, ...]
    notices: tuple[Notice, ...]
    program_version: str
    input_checksum: str
    judgement: str = JUDGEMENT


def programme_content(
    programme: Programme,
    *,
    athlete: str,
    venue: str,
    setups: Mapping[PlanName, Mapping[str, Setups]],
    figures: Mapping[str, str],
    notices: tuple[Notice, ...] = (),
    program_version: str,
    checksum: str,
) -> ProgrammeContent:
    """Return the words of a printed programme.

    Parameters
    ----------
    programme : Programme
    athlete, venue : str
        Names.
    setups : mapping of plan name to mapping of exercise to Setups
        Set-ups for training days under "", for single days under their name.
    figures : mapping of exercise to str
        Small drawings (SVG).
    notices : tuple of Notice
        About the athlete.
    program_version, checksum : str
        For the footer.
    """
    calendar = programme.calendar
    used = {session.on.weekday() for week in programme.weeks for session in week.sessions} | set(calendar.weekdays)
    columns = sorted(used, key=lambda day: (day - calendar.start.weekday()) % 7)
    return ProgrammeContent(
        athlete_name=athlete,
        venue=venue,
        title=f"Programme of {calendar.weeks} week{'s' if calendar.weeks > 1 else ''}",
        span=f"{_long(calendar.start)} to {_long(calendar.end)}",
        weekdays=tuple(columns),
        minutes=f"{programme.week.minutes:g} min",
        rows=tuple(_row(week) for week in programme.weeks),
        pages=tuple(_pages(programme, setups, figures)),
        sides=tuple(side for side in SIDES if any(side in week.loads for week in programme.weeks)),
        load_rows=tuple(_load_row(week) for week in programme.weeks),
        aim_days=tuple(DAY_NAMES[day] for day in calendar.ordered_weekdays),
        aim_rows=tuple(_aim_rows(programme)),
        how_good=_how_good(programme),
        notices=(*notices, *programme.notices),
        program_version=program_version,
        input_checksum=checksum,
    )


def programme_pdf(content: ProgrammeContent, *, document_date: date | None = None) -> bytes:
    """Return the programme as a tagged PDF; the same content gives the same bytes.

    Parameters
    ----------
    content : ProgrammeContent
    document_date : date, optional
        Creation date in the file's metadata; left out, the file carries none. The clock is never read.

    Returns
    -------
    bytes
        A PDF 1.7 that says it conforms to PDF/UA-1.

    Raises
    ------
    OutOfRangeError
        When there is no week to print, or a letter is in none of the fonts, this computer's included.
    """
    if not content.rows:
        raise OutOfRangeError("no week was given to print; at least one is needed; give the weeks of a programme.")
    data = asdict(content) | {
        "document_title": f"{content.title} for {content.athlete_name}",
        "columns": [DAY_NAMES[day] for day in content.weekdays],
    }
    return typeset_pdf("programme.typ", data, document_date=document_date)


def load_words(item: PlannedItem) -> str:
    """Return what is planned for the load of an exercise: "as before", "one step", "light" ..."""
    if item.light and item.change in ("as before", None):
        return "light"
    if item.light:
        return f"{item.change}, light"
    return item.change or ""


def session_title(session: PlannedSession) -> str:
    """Return what a session is called: "Day A", "Before a match" ...; empty where nothing is done."""
    return "" if not session.plan else SINGLE_DAYS.get(session.plan, f"Day {session.plan}")


def _row(week: ProgrammeWeek) -> WeekRow:
    words = "Done" if week.done else "Back after a break" if week.back is not None else WEEK_WORDS[week.kind]
    if week.back is not None and week.kind != "training":
        words = f"{WEEK_WORDS[week.kind]}, back after a break"
    last = date.fromordinal(week.first.toordinal() + 6)
    return WeekRow(
        number=week.number,
        dates=f"{_short(week.first)} to {_short(last)}",
        kind="done" if week.done else "back" if week.back is not None and week.kind == "training" else week.kind,
        words=words,
        cells=tuple(_cell(session) for session in week.sessions),
    )


def _cell(session: PlannedSession) -> DayCell:
    lines = tuple(
        WorkLine(title=item.exercise.title, dose=dose_large(item.dose, item.exercise), load=load_words(item))
        for item in session.items
        if item.load_share is not None
    )
    return DayCell(
        weekday=session.on.weekday(),
        day=_short(session.on),
        plan=session_title(session),
        minutes=clock(session.total_s) if session.items else "",
        words=DAY_WORDS[session.kind],
        lines=lines,
        left_out=", ".join(exercise.title for exercise in session.left_out),
    )


def _pages(
    programme: Programme, setups: Mapping[PlanName, Mapping[str, Setups]], figures: Mapping[str, str]
) -> Iterable[DayPage]:
    by_plan: dict[PlanName, list[int]] = {}
    for weekday in programme.calendar.ordered_weekdays:
        by_plan.setdefault(programme.plan_of(weekday), []).append(weekday)
    for plan, weekdays in by_plan.items():
        day = next(each for each in programme.week.days if each.weekday == weekdays[0])
        yield _page(
            f"Day {plan}",
            " and ".join(DAY_NAMES[each] for each in weekdays),
            clock(day.timeline.total_s),
            day.items,
            setups[""],
            figures,
            rhythm=programme.rhythm_of,
        )
    for name, session in programme.plans.items():
        days = [each.on for each in programme.sessions if each.plan == name]
        items = [Chosen(candidate=each.candidate, dose=each.dose) for each in session.items]
        when = ", ".join(_short(day) for day in days)
        yield _page(SINGLE_DAYS[name], when, clock(session.total_s), items, setups[name], figures)


def _page(
    title: str,
    when: str,
    minutes: str,
    items: Iterable[Chosen],
    setups: Mapping[str, Setups],
    figures: Mapping[str, str],
    *,
    rhythm: Callable[[str], str] | None = None,
) -> DayPage:
    return DayPage(
        title=title,
        when=when,
        minutes=minutes,
        items=tuple(
            _item(number, each, setups[each.candidate.id], figures[each.candidate.id], rhythm)
            for number, each in enumerate(items, start=1)
        ),
    )


def _item(number: int, each: Chosen, setups: Setups, figure: str, rhythm: Callable[[str], str] | None) -> DayItem:
    exercise = each.candidate.exercise
    tried = first_time_words(each.dose, setups) if has_load(exercise) else ""
    return DayItem(
        number=number,
        title=exercise.title,
        part=exercise.part,
        side_words=side_words(each.candidate.sides, together=each.candidate.together),
        rhythm="" if rhythm is None else rhythm(exercise.id),
        dose_large=dose_large(each.dose, exercise),
        dose_small=" · ".join(filter(None, (dose_small(each.dose, exercise), tried))),
        facts=facts(setups),
        cue=exercise.cue,
        figure_svg=figure,
        figure_alt=figure_words(next(iter(setups.values()))),
    )


def _load_row(week: ProgrammeWeek) -> LoadRow:
    stepped = dict.fromkeys(
        item.exercise.title for session in week.sessions for item in session.items if item.change == "one step"
    )
    loads = []
    for side in SIDES:
        if side not in week.loads:
            continue
        largest = week.largest.get(side)
        load = f"{week.loads[side]:.0f} s"
        loads.append(load if largest is None else f"{load} of at most {largest:.0f} s")
    return LoadRow(
        week=f"{week.number}", words=_row(week).words, loads=tuple(loads), steps=", ".join(stepped) or "none"
    )


def _aim_rows(programme: Programme) -> Iterable[AimRow]:
    """Yield the aims of the week, major ones first, in the order of the fixed list."""
    days = {day.weekday: day.items for day in programme.week.days}
    trained = {aim for items in days.values() for each in items for aim in each.candidate.exercise.aims}
    for aim in sorted(trained, key=lambda aim: (aim not in MAJOR_STRENGTH_AIMS, AIMS.index(aim))):
        cells = []
        for weekday in programme.calendar.ordered_weekdays:
            mine = [each for each in days[weekday] if aim in each.candidate.exercise.aims]
            sets = sum(each.dose.sets for each in mine if each.candidate.exercise.part == "strength")
            cells.append(f"{sets} set{'s' if sets > 1 else ''}" if sets else "×" if mine else "")
        yield AimRow(aim=aim, major=aim in MAJOR_STRENGTH_AIMS, days=tuple(cells))


def _how_good(programme: Programme) -> tuple[str, ...]:
    plan = programme.plan_of_weeks
    found = []
    for what, worth, bound in (
        ("Exercises and days", programme.week.worth.total, programme.week.bound),
        ("Sets kept", plan.sets_worth, plan.sets_bound),
        ("Steps of load", plan.steps_worth, plan.steps_bound),
    ):
        how = (
            "proven best"
            if worth == bound
            else f"nothing more than {max(0.1, 100 * gap_of(worth, bound)):.1f}\u00a0% better exists"
        )
        found.append(f"{what}: {how}.")
    return tuple(found)


def _short(day: date) -> str:
    return f"{day.day} {MONTHS[day.month - 1][:3]}"


def _long(day: date) -> str:
    return f"{day.day} {MONTHS[day.month - 1]} {day.year}"
