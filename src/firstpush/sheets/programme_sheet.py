"""The printed programme: weeks as rows, days as columns, a page for every different day; A4, PDF/UA-1, by Typst."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import asdict, dataclass, replace
from datetime import date

from firstpush.core.errors import OutOfRangeError
from firstpush.core.exercises.definition import AIMS
from firstpush.core.notices import Notice, for_athlete, sides_together, without_repeats
from firstpush.core.people.athlete import SIDES, Athlete
from firstpush.core.programme.days import DAY_NAMES, gap_of
from firstpush.core.programme.programme import (
    PlanName,
    PlannedItem,
    PlannedSession,
    Programme,
    ProgrammeWeek,
)
from firstpush.core.programme.worth import MAJOR_STRENGTH_AIMS
from firstpush.core.session.timeline import clock
from firstpush.sheets.content import JUDGEMENT
from firstpush.sheets.programme_days import (
    SINGLE_DAYS,
    DayPage,
    day_pages,
    long_day,
    practitioners_notices,
    short_day,
)
from firstpush.sheets.typeset import typeset_pdf
from firstpush.sheets.words import Setups, dose_large

WEEK_WORDS = {"training": "", "light": "Light week", "test": "Test week", "break": "Break"}
LOAD_TO_S = 10
"""Weekly loads are shown to this many seconds: no tempo is kept more exactly."""
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
class LoadRow:
    """Weekly load of each shoulder, for the practitioner: "590 s of at most 710 s"."""

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
        About the athlete and the programme.
    exercise_notices : tuple of Notice
        What single exercises tell the practitioner alone, for the practitioner's page.
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
    exercise_notices: tuple[Notice, ...]
    program_version: str
    input_checksum: str
    judgement: str = JUDGEMENT


def programme_content(
    programme: Programme,
    *,
    athlete: Athlete,
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
    athlete : Athlete
    venue : str
        Its name.
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
    told = loads_told(programme)
    pages = tuple(day_pages(programme, athlete=athlete, setups=setups, figures=figures, notices=notices))
    candidates = (*programme.candidates, *(i.candidate for plan in programme.plans.values() for i in plan.items))
    of_athlete = for_athlete(
        each for page in pages for each in (*page.notices, *(n for i in page.items for n in i.notices))
    )
    return ProgrammeContent(
        athlete_name=athlete.name,
        venue=venue,
        title=f"Programme of {calendar.weeks} week{'s' if calendar.weeks > 1 else ''}",
        span=f"{long_day(calendar.start)} to {long_day(calendar.end)}",
        weekdays=tuple(columns),
        minutes=f"{programme.week.minutes:g} min",
        rows=tuple(_row(week, told) for week in programme.weeks),
        pages=pages,
        sides=tuple(side for side in SIDES if any(side in week.loads for week in programme.weeks)),
        load_rows=tuple(_load_row(week) for week in programme.weeks),
        aim_days=tuple(DAY_NAMES[day] for day in calendar.ordered_weekdays),
        aim_rows=tuple(_aim_rows(programme)),
        how_good=_how_good(programme),
        notices=tuple(without_repeats([*sides_together([*notices, *programme.notices])])),
        exercise_notices=practitioners_notices(candidates, of_athlete=of_athlete),
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
    pages = tuple(
        replace(
            page,
            notices=for_athlete(page.notices),
            items=tuple(replace(item, notices=for_athlete(item.notices)) for item in page.items),
        )
        for page in content.pages
    )
    data = asdict(replace(content, pages=pages)) | {
        "document_title": f"{content.title} for {content.athlete_name}",
        "columns": [DAY_NAMES[day] for day in content.weekdays],
    }
    return typeset_pdf("programme.typ", data, document_date=document_date)


def loads_told(programme: Programme) -> dict[tuple[date, str], str]:
    """Return what is said of the load of each exercise on each date: "first load", "as last time", "one step" ...

    What was done earlier in the week is named by its day, because the step may be the one of that day; a match was
    lighter, and is not what the next load is like.
    """
    told: dict[tuple[date, str], str] = {}
    before: dict[str, PlannedSession] = {}
    for week in programme.weeks:
        for session in (each for each in week.sessions if each.items):
            for item in (each for each in session.items if each.load_share is not None):
                id_ = item.exercise.id
                told[session.on, id_] = _load_words(item, before.get(id_), first=week.first)
                before[id_] = session
    return told


def _load_words(item: PlannedItem, before: PlannedSession | None, *, first: date) -> str:
    """Return what is said of a load when the exercise was last done in the session `before`."""
    change: str = item.change or ""
    if item.light:
        return "light" if change in ("as before", "") else f"{change}, light"
    if change != "as before":
        return change
    if before is None:
        return "as last time"
    if before.kind == "match":
        return "as before the match"
    return f"as on {DAY_NAMES[before.on.weekday()][:3]}" if before.on >= first else "as last time"


def session_title(session: PlannedSession) -> str:
    """Return what a session is called: "Day A", "Before a match" ...; empty where nothing is done."""
    return "" if not session.plan else SINGLE_DAYS.get(session.plan, f"Day {session.plan}")


def _row(week: ProgrammeWeek, told: Mapping[tuple[date, str], str]) -> WeekRow:
    last = date.fromordinal(week.first.toordinal() + 6)
    return WeekRow(
        number=week.number,
        dates=f"{short_day(week.first)} to {short_day(last)}",
        kind="done" if week.done else "back" if week.back is not None and week.kind == "training" else week.kind,
        words=_week_words(week),
        cells=tuple(_cell(session, told) for session in week.sessions),
    )


def _week_words(week: ProgrammeWeek) -> str:
    """Return what kind of week it is."""
    if week.done:
        return "Done"
    if week.back is None:
        return WEEK_WORDS[week.kind]
    return "Back after a break" if week.kind == "training" else f"{WEEK_WORDS[week.kind]}, back after a break"


def _cell(session: PlannedSession, told: Mapping[tuple[date, str], str]) -> DayCell:
    lines = tuple(
        WorkLine(
            title=item.exercise.title,
            dose=dose_large(item.dose, item.exercise),
            load=told[session.on, item.exercise.id],
        )
        for item in session.items
        if item.load_share is not None
    )
    return DayCell(
        weekday=session.on.weekday(),
        day=short_day(session.on),
        plan=session_title(session),
        minutes=clock(session.total_s) if session.items else "",
        words=DAY_WORDS[session.kind],
        lines=lines,
        left_out=", ".join(exercise.title for exercise in session.left_out),
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
        load = _seconds(week.loads[side])
        loads.append(load if largest is None else f"{load} of at most {_seconds(largest)}")
    return LoadRow(
        week=f"{week.number}", words=_week_words(week), loads=tuple(loads), steps=", ".join(stepped) or "none"
    )


def _seconds(load: float) -> str:
    """Return a weekly load as seconds, no more exactly than it is known."""
    return f"{round(load / LOAD_TO_S) * LOAD_TO_S} s"


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
