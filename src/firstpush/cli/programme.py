"""`firstpush programme`: days and weeks for one athlete, planned, printed and put into a calendar."""

from __future__ import annotations

from datetime import UTC, date, datetime, time
from pathlib import Path
from typing import TYPE_CHECKING

import click

from firstpush.cli.asking import JSON_FILE, asked_from
from firstpush.cli.options import FOLDER, as_json, circumstances_of, input_files
from firstpush.cli.output import print_json, print_table, remark

if TYPE_CHECKING:
    from firstpush.core.programme import Break
    from firstpush.core.session.kinds import KindName
    from firstpush.sheets.make_programme import MadeProgramme
    from firstpush.sheets.programme_sheet import WeekRow

DATE = click.DateTime(["%Y-%m-%d"])
WEEKDAYS = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")


@click.command()
@input_files(venue_required=False)
@click.option("--minutes", required=True, type=click.FloatRange(min=1, max=120), help="Time for each training day.")
@click.option("--days", required=True, metavar="mon,wed,fri", help="Training days of the week.")
@click.option("--weeks", required=True, type=click.IntRange(1, 26), help="Weeks of the programme.")
@click.option("--from", "start", required=True, type=DATE, help="First day; weeks count from it.")
@click.option(
    "--kind",
    type=click.Choice(["before training", "strength", "home", "travel"]),
    default="before training",
    show_default=True,
    help="Kind of session on training days; at home and on a journey the venue may be left out.",
)
@click.option(
    "--light-week", type=click.IntRange(0, 26), default=4, show_default=True, help="Every so-many-th week; 0 for none."
)
@click.option("--test-week", "test_weeks", multiple=True, type=click.IntRange(1, 26), help="Week with tests; repeat.")
@click.option("--match", "matches", multiple=True, type=DATE, help="Day of a match; repeat for more.")
@click.option(
    "--break", "breaks", multiple=True, metavar="DAY..DAY", help="First and last day without sessions; repeat."
)
@click.option(
    "--match-minutes", type=click.FloatRange(8, 10), default=10, show_default=True, help="Time before a match."
)
@click.option(
    "--at", default="17:30", show_default=True, metavar="HH:MM", help="When sessions begin, for the calendar."
)
@click.option(
    "--done", multiple=True, type=JSON_FILE, help="session.json of a session done: its exercises are familiar."
)
@click.option(
    "--back-to-front",
    type=click.FloatRange(min=0, max=10),
    default=2.0,
    show_default=True,
    help="Sets at the back of the shoulder for each set at its front.",
)
@click.option("--seed", type=int, default=0, show_default=True, help="Same input and seed, same programme.")
@click.option("--out", required=True, type=FOLDER, help="Folder for programme.json, programme.pdf and programme.ics.")
@as_json
def programme(
    athlete: Path,
    kit: Path,
    venue: Path | None,
    minutes: float,
    days: str,
    weeks: int,
    start: datetime,
    kind: KindName,
    light_week: int,
    test_weeks: tuple[int, ...],
    matches: tuple[datetime, ...],
    breaks: tuple[str, ...],
    match_minutes: float,
    at: str,
    done: tuple[Path, ...],
    back_to_front: float,
    seed: int,
    out: Path,
    json_: bool,
) -> None:
    """Plan days and weeks for one athlete.

    Example: firstpush programme --athlete athlete.toml --kit kit.toml --venue venue.toml --minutes 18
    --days mon,wed,fri --weeks 6 --from 2026-12-07 --out programme
    """
    from firstpush.core.programme import Calendar
    from firstpush.sheets.make_programme import make_programme, write_programme

    if venue is None and kind not in ("home", "travel"):
        raise click.UsageError("Missing option '--venue'; only a session at home or on a journey goes without a venue.")
    calendar = Calendar(
        start=start.date(),
        weeks=weeks,
        weekdays=_weekdays(days),
        light_every=light_week,
        test_weeks=tuple(sorted(set(test_weeks))),
        breaks=tuple(_break(each) for each in breaks),
        matches=tuple(sorted({each.date() for each in matches})),
    )
    history = asked_from(
        keep=(), without=(), swaps=(), doses=(), aims=(), back_to_front=back_to_front, again=None, done=done
    ).history
    made = make_programme(
        circumstances_of(athlete, kit, venue, on=calendar.start),
        calendar=calendar,
        minutes=minutes,
        kind=kind,
        match_minutes=match_minutes,
        familiar={id_ for session in history for id_, _ in session.exercises},
        back_to_front=back_to_front,
        at=_clock_time(at),
        made_at=datetime.now(UTC),
        seed=seed,
        files=[path for path in (athlete, kit, venue) if path is not None],
    )
    written = write_programme(made, out)
    if json_:
        print_json(made.document)
    else:
        _tell(made)
    for path in written:
        remark(f"wrote {path}")


def _tell(made: MadeProgramme) -> None:
    from firstpush.core.programme.days import DAY_NAMES

    content = made.content
    for page in content.pages:
        click.echo(f"{page.title}, {page.when}, {page.minutes} min")
        rows = [(item.title, item.side_words, item.dose_large, item.rhythm or "–") for item in page.items]
        print_table(rows, heading=("exercise", "sides", "dose", "how often"))
    weeks = [(f"{row.number}", row.dates, row.words or "–", *_days(row, content.weekdays)) for row in content.rows]
    print_table(weeks, heading=("week", "dates", "kind", *(DAY_NAMES[day] for day in content.weekdays)))
    loads = [(row.week, *row.loads, row.steps) for row in content.load_rows]
    print_table(loads, heading=("week", *(f"load, {side} shoulder" for side in content.sides), "one step"))
    for sentence in content.how_good:
        click.echo(sentence)
    for notice in content.notices:
        click.echo(str(notice))


def _days(row: WeekRow, weekdays: tuple[int, ...]) -> list[str]:
    """Return what stands on each weekday of a week, once where its title says it already."""
    words = {}
    for cell in row.cells:
        told = "" if cell.words == "match" and cell.plan else cell.words
        words[cell.weekday] = " ".join(filter(None, (cell.plan, cell.minutes, told)))
    return [words.get(day, "–") for day in weekdays]


def _weekdays(text: str) -> tuple[int, ...]:
    names = [each.strip().lower()[:3] for each in text.split(",") if each.strip()]
    unknown = [each for each in names if each not in WEEKDAYS]
    if unknown or not names or len(set(names)) != len(names):
        raise click.UsageError(
            f"--days {text!r} cannot be read; allowed are 1 to 7 different days of {', '.join(WEEKDAYS)}, with commas "
            "between them."
        )
    return tuple(sorted(WEEKDAYS.index(each) for each in names))


def _break(text: str) -> Break:
    from firstpush.core.programme import Break

    first, dots, last = text.partition("..")
    try:
        return Break(
            first=date.fromisoformat(first.strip()), last=date.fromisoformat((last if dots else first).strip())
        )
    except ValueError as error:
        raise click.UsageError(
            f"--break {text!r} cannot be read; allowed is one day, or the first and the last with two dots between, "
            "like 2027-01-04..2027-01-08."
        ) from error


def _clock_time(text: str) -> time:
    try:
        return datetime.strptime(text.strip(), "%H:%M").time()
    except ValueError as error:
        raise click.UsageError(f"--at {text!r} is no time; allowed is hours and minutes, like 17:30.") from error
