"""`firstpush cards`: an A6 card for each exercise, set up for one athlete."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from firstpush.cli.options import FOLDER, as_json, circumstances_of, input_files
from firstpush.cli.output import print_json, print_table, remark
from firstpush.cli.progress import shown_progress

if TYPE_CHECKING:
    from firstpush.sheets.cards import CardDeck


@click.command()
@click.argument("exercises", metavar="[EXERCISE]...", nargs=-1)
@input_files()
@click.option("--out", required=True, type=FOLDER, help="Folder for cards.pdf and cards_practitioner.pdf.")
@as_json
def cards(exercises: tuple[str, ...], athlete: Path, kit: Path, venue: Path, out: Path, json_: bool) -> None:
    """Make an A6 card for each exercise.

    Without a name, the whole library is made. What cannot be set up gets no card; the reason is told.

    Example: firstpush cards seated_row --athlete athlete.toml --kit kit.toml --venue venue.toml --out cards
    """
    from importlib.metadata import version

    from firstpush.core.exercises.loader import exercise_named, library
    from firstpush.sheets.cards import make_cards, write_cards
    from firstpush.sheets.checksum import input_checksum

    wanted = [exercise_named(name) for name in dict.fromkeys(exercises)] or list(library().values())
    deck = make_cards(
        circumstances_of(athlete, kit, venue),
        wanted,
        program_version=version("firstpush"),
        checksum=input_checksum((athlete, kit, venue)),
        progress=shown_progress("drawn"),
    )
    written = write_cards(deck, out) if deck.cards else ()
    if json_:
        print_json(deck.document)
    else:
        _tell(deck)
    for each in deck.not_made:
        remark(f"No card: {each.title}: {each.reason}.")
    for path in written:
        remark(f"wrote {path}")
    if not deck.cards:
        raise SystemExit(1)


def _tell(deck: CardDeck) -> None:
    if deck.cards:
        rows = [(each.title, each.side_words, each.dose_large) for each in deck.cards]
        print_table(rows, heading=("exercise", "sides", "dose"))
    for notice in deck.notices:
        click.echo(str(notice))
