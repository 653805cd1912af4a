"""`firstpush session`: a whole session for one athlete, computed, drawn and printed."""

from __future__ import annotations

from datetime import date, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from firstpush.cli.asking import asked_from, asking_options
from firstpush.cli.options import FOLDER, as_json, circumstances_of, input_files, moving_option
from firstpush.cli.output import print_json, print_table, remark

if TYPE_CHECKING:
    from firstpush.core.session.asked import Asked
    from firstpush.core.session.kinds import KindName


@click.command()
@input_files(venue_required=False)
@click.option(
    "--minutes", required=True, type=click.FloatRange(min=1, max=120), help="Time from the first check to the end."
)
@click.option(
    "--kind",
    type=click.Choice(["before training", "before a match", "strength", "home", "travel"]),
    default="before training",
    show_default=True,
    help="Kind of session; at home and on a journey the venue may be left out.",
)
@click.option("--date", "on", type=click.DateTime(["%Y-%m-%d"]), help="Day of the session; today when left out.")
@asking_options
@click.option("--seed", type=int, default=0, show_default=True, help="Same input and seed, same session.")
@click.option("--out", required=True, type=FOLDER, help="Folder for session.json, session.pdf and figures/.")
@moving_option
@as_json
def session(
    athlete: Path,
    kit: Path,
    venue: Path | None,
    minutes: float,
    kind: KindName,
    on: datetime | None,
    seed: int,
    out: Path,
    moving: bool,
    json_: bool,
    **asking: Any,
) -> None:
    """Make a session that fits the minutes.

    Example: firstpush session --athlete athlete.toml --kit kit.toml --venue venue.toml --minutes 18 --out sheet
    """
    if venue is None and kind not in ("home", "travel"):
        raise click.UsageError("Missing option '--venue'; only a session at home or on a journey goes without a venue.")
    make_session(
        athlete,
        kit,
        venue,
        minutes=minutes,
        kind=kind,
        on=on.date() if on is not None else date.today(),
        asked=asked_from(**asking),
        seed=seed,
        out=out,
        moving=moving,
        json_=json_,
    )


def make_session(
    athlete: Path,
    kit: Path,
    venue: Path | None,
    *,
    minutes: float,
    kind: KindName = "before training",
    on: date | None = None,
    asked: Asked | None = None,
    seed: int,
    out: Path,
    moving: bool,
    json_: bool,
) -> None:
    """Compose, draw, print and tell one session."""
    from firstpush.sheets.make import MadeSession, make, write

    case = circumstances_of(athlete, kit, venue, on=on)
    files = [path for path in (athlete, kit, venue) if path is not None]
    made: MadeSession = make(case, minutes=minutes, seed=seed, kind=kind, asked=asked, files=files)
    written = write(made, out, moving=moving) if made.session.items else ()
    if json_:
        print_json(made.document)
    else:
        _tell(made)
    for path in written:
        remark(f"wrote {path}")
    if not made.session.items:
        raise SystemExit(1)


def _tell(made: object) -> None:
    from firstpush.sheets.content import clock
    from firstpush.sheets.make import MadeSession

    assert isinstance(made, MadeSession)
    session = made.session
    notices = "\n".join(map(str, (*made.notices, *session.notices)))
    if not session.items:
        # What is in the way comes before all that cannot be done here anyway.
        click.echo(notices)
    else:
        rows = []
        for item, words in zip(session.items, made.contents[1].items, strict=True):
            band = item.candidate.band or "–"
            rows.append(
                (words.start_clock, words.title, words.side_words or "–", words.dose_large, band, words.minutes)
            )
        print_table(rows, heading=("at", "exercise", "sides", "dose", "band", "takes"))
        click.echo(f"{clock(session.total_s)} of {session.minutes:g}:00 minutes, {session.status}.")
    for out in made.prepared.left_out:
        click.echo(f"Left out: {out.exercise.title}: {out.reason}.")
    others = len(session.left_out) - len(made.prepared.left_out)
    if others > 0 and session.items:
        click.echo(f"{others} more can be done here and fit less well into the time; the practitioner's copy says why.")
    if session.items and notices:
        click.echo(notices)
