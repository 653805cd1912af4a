"""`firstpush catalogue`: the contact sheet of the library, or of some exercises."""

from __future__ import annotations

from pathlib import Path

import click

from firstpush.cli.options import FILE, circumstances_of
from firstpush.cli.output import remark
from firstpush.cli.progress import shown_progress


@click.command()
@click.argument("exercises", metavar="[EXERCISE]...", nargs=-1)
@click.option("--out", required=True, type=FILE, help="PDF file to write.")
@click.option("--athlete", type=FILE, help="TOML file of the athlete and chair; all three files, or none.")
@click.option("--kit", type=FILE, help="TOML file of the cupboard.")
@click.option("--venue", type=FILE, help="TOML file of the hall or court.")
def catalogue(
    exercises: tuple[str, ...], out: Path, athlete: Path | None, kit: Path | None, venue: Path | None
) -> None:
    """Draw exercises on a contact sheet.

    Without a name, the whole library is drawn. Without files, it is drawn for a reference body with a reference
    cupboard in a reference hall.

    Example: firstpush catalogue --out catalogue.pdf
    """
    from importlib.metadata import version

    from firstpush.core.exercises.loader import exercise_named, library
    from firstpush.sheets.catalogue import make_catalogue, reference_case, write_catalogue

    if athlete is not None and kit is not None and venue is not None:
        case = circumstances_of(athlete, kit, venue)
    elif athlete is None and kit is None and venue is None:
        case = reference_case()
    else:
        given = {"--athlete": athlete, "--kit": kit, "--venue": venue}
        missing = " and ".join(name for name, path in given.items() if path is None)
        raise click.UsageError(
            f"{missing} is missing; the three files go together, or all are left out; add {missing}, or take the "
            "others away."
        )
    wanted = [exercise_named(name) for name in dict.fromkeys(exercises)] or list(library().values())
    made = make_catalogue(case, wanted, program_version=version("firstpush"), progress=shown_progress("drawn"))
    write_catalogue(made, out)
    for each in made.entries:
        if each.reason:
            remark(f"Drawn without its set-up: {each.title}: {each.reason}.")
    remark(f"wrote {out}")
