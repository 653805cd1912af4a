"""`firstpush doctor`: what is wrong with an installation, and what to do."""

from __future__ import annotations

from dataclasses import asdict
from pathlib import Path

import click

from firstpush.cli.options import FOLDER, as_json
from firstpush.cli.output import print_json, print_table


@click.command()
@click.option("--folder", required=True, type=FOLDER, help="Where the data lies.")
@as_json
def doctor(folder: Path, json_: bool) -> None:
    """Look at Python, SQLite, folder, database and files; changes nothing.

    Example: firstpush doctor --folder club
    """
    from firstpush.web.doctor import examine

    findings = examine(folder)
    if json_:
        print_json([asdict(each) for each in findings])
    else:
        rows = [(each.about, "wrong" if each.to_do else "right", each.found) for each in findings]
        print_table(rows, heading=("what", "", "found"))
        for each in findings:
            if each.to_do:
                click.echo(f"{each.about}: {each.to_do}.")
    if any(each.to_do for each in findings):
        raise SystemExit(1)
