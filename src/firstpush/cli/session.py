"""`firstpush session`: a whole session for one athlete, computed, drawn and printed."""

from __future__ import annotations

from pathlib import Path

import click

from firstpush.cli.options import FOLDER, as_json, circumstances_of, input_files, moving_option
from firstpush.cli.output import print_json, print_table, remark


@click.command()
@input_files
@click.option(
    "--minutes", required=True, type=click.FloatRange(min=1, max=120), help="Time from the first check to the end."
)
@click.option("--seed", type=int, default=0, show_default=True, help="Same input and seed, same session.")
@click.option("--out", required=True, type=FOLDER, help="Folder for session.json, session.pdf and figures/.")
@moving_option
@as_json
def session(
    athlete: Path, kit: Path, venue: Path, minutes: float, seed: int, out: Path, moving: bool, json_: bool
) -> None:
    """Make a session that fits the minutes.

    Example: firstpush session --athlete athlete.toml --kit kit.toml --venue venue.toml --minutes 18 --out sheet
    """
    make_session(athlete, kit, venue, minutes=minutes, seed=seed, out=out, moving=moving, json_=json_)


def make_session(
    athlete: Path, kit: Path, venue: Path, *, minutes: float, seed: int, out: Path, moving: bool, json_: bool
) -> None:
    """Compose, draw, print and tell one session."""
    from firstpush.sheets.make import MadeSession, make, write

    case = circumstances_of(athlete, kit, venue)
    made: MadeSession = make(case, minutes=minutes, seed=seed, files=(athlete, kit, venue))
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
    if session.items:
        rows = []
        for item, words in zip(session.items, made.contents[1].items, strict=True):
            band = item.candidate.band or "–"
            rows.append((words.start_clock, words.title, words.side_words, words.dose_large, band, words.minutes))
        print_table(rows, heading=("at", "exercise", "sides", "dose", "band", "takes"))
        click.echo(f"{clock(session.total_s)} of {session.minutes:g}:00 minutes, {session.status}.")
    for out in made.prepared.left_out:
        click.echo(f"Left out: {out.exercise.title}: {out.reason}.")
    others = len(session.left_out) - len(made.prepared.left_out)
    if others:
        click.echo(f"{others} more can be done here and fit less well into the time; the practitioner's copy says why.")
    for notice in (*made.notices, *session.notices):
        click.echo(str(notice))
