"""`firstpush backup` and `firstpush restore`: a whole copy of the data, and the way back."""

from __future__ import annotations

from pathlib import Path

import click

from firstpush.cli.options import FILE, FOLDER
from firstpush.cli.output import remark


@click.command()
@click.argument("file", type=FILE)
@click.option("--folder", required=True, type=FOLDER, help="Where the data lies.")
@click.option("--overwrite", is_flag=True, help="Write over FILE when it is there already.")
def backup(file: Path, folder: Path, overwrite: bool) -> None:
    """Copy all data of a folder into FILE and check the copy; it may be in use meanwhile.

    Example: firstpush backup club-monday.sqlite3 --folder club
    """
    from firstpush.web.backup import back_up

    back_up(folder, file, overwrite=overwrite)
    remark(f"wrote {file} and checked it; it holds health data: keep it where only you can read it")


@click.command()
@click.argument("file", type=FILE)
@click.option("--folder", required=True, type=FOLDER, help="Where the data shall lie.")
@click.option("--replace", is_flag=True, help="Put it in the place of the data that is there, which is kept aside.")
def restore(file: Path, folder: Path, replace: bool) -> None:
    """Put the backup FILE into a folder, after checking that it is whole.

    Example: firstpush restore club-monday.sqlite3 --folder club --replace
    """
    from firstpush.web.backup import restore as put_back

    aside = put_back(file, folder, replace=replace)
    remark(f"{folder} holds {file} now")
    if aside is not None:
        remark(f"what was there before is kept in {aside}; delete it when you no longer need it")
