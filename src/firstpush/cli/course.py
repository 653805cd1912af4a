"""`firstpush course`: a course of cones or push lanes that fits the chair and the floor, drawn, timed and printed."""

from __future__ import annotations

from datetime import date, datetime
from pathlib import Path
from typing import TYPE_CHECKING

import click

from firstpush.cli.options import FILE, as_json
from firstpush.cli.output import print_json, print_table, remark

if TYPE_CHECKING:
    from firstpush.core.courses import AthleteSpeed, Course
    from firstpush.core.kit.venue import Venue
    from firstpush.core.people.athlete import Athlete
    from firstpush.sheets.make_course import MadeCourse

ENDINGS = (".pdf", ".svg", ".wav")


@click.command()
@click.argument("name")
@click.option(
    "--athlete", "athletes", required=True, multiple=True, type=FILE, help="TOML file of the athlete; repeat for more."
)
@click.option("--venue", required=True, type=FILE, help="TOML file of the hall or court.")
@click.option("--sport", help="Court it lies on, run-off included, for example 'wheelchair badminton'.")
@click.option("--inside-lines", is_flag=True, help="Stay inside the lines of that court.")
@click.option("--spacing-m", type=click.FloatRange(min=0.2, max=60), help="Its one length; chosen when left out [m].")
@click.option("--cones", type=click.IntRange(min=1, max=40), help="How many cones, rounds or lengths.")
@click.option("--mirror", is_flag=True, help="The other way round.")
@click.option("--splits", help='Sprint of the athlete, for a narrower time: "5:2.12,10:3.32,20:5.65".')
@click.option(
    "--start-offset-m",
    type=click.FloatRange(min=0, max=3),
    default=0.0,
    show_default=True,
    help="How far behind the start line the chair stood in that sprint.",
)
@click.option("--stopwatch", is_flag=True, help="That sprint was timed by hand: a wider time.")
@click.option("--date", "on", type=click.DateTime(["%Y-%m-%d"]), help="Day of the course; today when left out.")
@click.option("--moving", is_flag=True, help="Let the chair move along the line in the .svg.")
@click.option("--out", type=FILE, help="File to write: .pdf (sheet), .svg (plan on A4) or .wav (sound cues).")
@as_json
def course(
    name: str,
    athletes: tuple[Path, ...],
    venue: Path,
    sport: str | None,
    inside_lines: bool,
    spacing_m: float | None,
    cones: int | None,
    mirror: bool,
    splits: str | None,
    start_offset_m: float,
    stopwatch: bool,
    on: datetime | None,
    moving: bool,
    out: Path | None,
    json_: bool,
) -> None:
    """Lay out a course for the chair and the floor.

    NAME is half-circle, half-circle-back, slalom, figure-eight, square, t, stop-and-turn, push-lanes, or a TOML file
    with cones of your own.  With several athletes the widest chair decides, and is named.

    Example: firstpush course half-circle --athlete athlete.toml --venue venue.toml --out course.pdf
    """
    if out is not None and out.suffix.lower() not in ENDINGS:
        raise click.UsageError(
            f"'{out.name}' is no kind of file that a course is written to; allowed are {', '.join(ENDINGS)};"
            " give --out such a name."
        )
    from firstpush.core.courses import areas_on
    from firstpush.sheets.make_course import course_document, make_course

    people, place = _read(athletes, venue)
    files = [*athletes, venue]
    what = _what(name)
    if not isinstance(what, str):
        files.append(Path(name))
    asked = (sport, inside_lines, spacing_m, cones, mirror, splits, start_offset_m, stopwatch)
    made = make_course(
        what,
        athletes=people,
        venue=place,
        speeds=_speeds(people, splits, start_offset_m=start_offset_m, by_stopwatch=stopwatch),
        areas=areas_on(place, sport=sport, inside_lines=inside_lines),
        spacing=spacing_m,
        count=cones,
        mirror=mirror,
        on=on.date() if on is not None else date.today(),
        files=files,
        request=repr((name if isinstance(what, str) else "", *asked)),
    )
    if json_:
        print_json(course_document(made))
    else:
        _tell(made)
    if out is not None:
        _write(made, out, moving=moving)
        remark(f"wrote {out}")
    if not made.on_floor.fits:
        raise SystemExit(1)


def _speeds(
    people: list[Athlete], splits: str | None, *, start_offset_m: float, by_stopwatch: bool
) -> list[AthleteSpeed]:
    """Return what is known of everybody's speed: of one athlete the splits, else a guess by sport and function."""
    from firstpush.core.courses import athlete_speed, fit_sprint, splits_from_text

    if splits is None:
        return [athlete_speed(athlete=each) for each in people]
    if len(people) > 1:
        raise click.UsageError(
            f"one sprint cannot stand for {len(people)} athletes; allowed is one athlete with splits;"
            " leave the splits out, or make the course for that athlete alone."
        )
    sprint = fit_sprint(
        splits_from_text(splits), start_offset=start_offset_m, timed_by="stopwatch" if by_stopwatch else "gates"
    )
    return [athlete_speed(sprint=sprint, athlete=people[0])]


def _read(athletes: tuple[Path, ...], venue: Path) -> tuple[list[Athlete], Venue]:
    """Read all files, the faults of all at once."""
    from firstpush.core.errors import Fault, InputFileError
    from firstpush.core.kit.venue_file import load_venue
    from firstpush.core.people.athlete_file import load_athlete

    faults: list[Fault] = []
    people = []
    for path in athletes:
        try:
            people.append(load_athlete(path))
        except InputFileError as error:
            faults.extend(error.faults)
    try:
        place = load_venue(venue)
    except InputFileError as error:
        faults.extend(error.faults)
    if faults:
        raise InputFileError(faults)
    return people, place


def _what(name: str) -> str | Course:
    """Return the id of a layout, or the course in a file of one's own."""
    from firstpush.core.courses import course_from_text, layout_named

    path = Path(name)
    if path.suffix.lower() != ".toml":
        return layout_named(name).id
    if not path.is_file():
        raise click.UsageError(
            f"there is no file '{name}'; allowed is a TOML file with cones, or a layout; check the name."
        )
    return course_from_text(path.read_text(encoding="utf-8"), where=name)


def _write(made: MadeCourse, out: Path, *, moving: bool) -> None:
    from firstpush.core.courses import sound
    from firstpush.core.figure.course_plan import draw_course_plan
    from firstpush.sheets.course_sheet import course_content, course_pdf

    ending = out.suffix.lower()
    if ending == ".pdf":
        out.write_bytes(course_pdf(course_content(made)))
    elif ending == ".svg":
        out.write_text(draw_course_plan(made.on_floor, chair=made.decides.chair, moving=moving).svg, encoding="utf-8")
    else:
        out.write_bytes(sound(made.cues))


def _tell(made: MadeCourse) -> None:
    from firstpush.sheets.course_care import care_lines, head_words, notices_of, time_of, without_care
    from firstpush.sheets.course_words import facts, spacing_words, sure_words, times_words, use_rows

    large, small = spacing_words(made)
    title = made.course.name[:1].upper() + made.course.name[1:]
    click.echo(f"{title}: {large}." if large else f"{title}.")
    click.echo(small)
    for misfit in made.misfits:
        click.echo(f"Does not fit: {misfit}.")
    for notice in notices_of(made):
        click.echo(f"{notice.level.capitalize()}: {notice.what}. {notice.do}.")
    for line in care_lines(made):
        click.echo(f"Care: {line}.")
    if others := without_care(made):
        click.echo(others)
    whose = "" if made.pace.is_out else head_words(made)
    time = ", ".join(filter(None, (time_of(made.bracket, made.pace), whose)))
    click.echo(f"Time: {time}. {sure_words(made)}")
    for words in times_words(made):
        click.echo(f"  {words}")
    rows = [(each.label, each.value) for each in facts(made)]
    if not made.pace.is_out:
        rows.append(("Time goes into", ", ".join(f"{what} {words}" for what, _, words in use_rows(made.use))))
    print_table(rows, heading=("what", "how much"))
    table = made.table
    if table is None:
        return
    click.echo(
        f"First the base: cones {table.first} and {table.second}, {table.base:.2f} m apart. Then with two tapes:"
    )
    points = [(row.name, f"{row.from_first:.2f} m", f"{row.from_second:.2f} m", row.side) for row in table.rows]
    if points:
        print_table(points, heading=("point", f"from {table.first}", f"from {table.second}", "side"))
