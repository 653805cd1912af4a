"""Copies of the database that are whole, and the way back from one."""

from __future__ import annotations

import sqlite3
import sys
from contextlib import closing
from datetime import datetime
from pathlib import Path

from firstpush.web.database import connect, put_newest_sqlite_in_place
from firstpush.web.errors import WebError
from firstpush.web.folder import database_of, held, make_folder

OURS = "club_club"
"""A table by which a database is known as one of Firstpush."""


def back_up(folder: Path, file: Path, *, overwrite: bool = False) -> None:
    """Copy the database of `folder` to `file`, while it may be in use, and check the copy.

    Raises
    ------
    WebError
        When there is nothing to copy, `file` is there already, or the copy is not whole.
    """
    put_newest_sqlite_in_place()
    database = database_of(folder)
    if not database.is_file():
        raise WebError(f"there is no {database.name} in {folder}. Allowed: a folder made by firstpush serve. Check it.")
    if file.exists() and not overwrite:
        raise WebError(f"{file} is there already. Allowed: a new name. Give another, or --overwrite to write over it.")
    if file.exists() and file.samefile(database):
        raise WebError(f"{file} is the database itself. Allowed: another file. Give another name.")
    file.parent.mkdir(parents=True, exist_ok=True)
    copy_database(database, file)


def restore(file: Path, folder: Path, *, replace: bool = False) -> Path | None:
    """Put the backup `file` in the place of the database of `folder`; the old one is kept aside.

    Returns
    -------
    Path or None
        Where the old database lies now; None when there was none.

    Raises
    ------
    WebError
        When the backup is not whole, the folder is in use, or there is a database and `replace` was not said.
    """
    put_newest_sqlite_in_place()
    check_whole(file)
    database = database_of(folder)
    if holds_data(database) and not replace:
        raise WebError(
            f"there is a database in {folder} already. Allowed: a new folder. Give another --folder, "
            "or --replace to put the backup in its place; the old one is then kept aside."
        )
    folder.mkdir(parents=True, exist_ok=True, mode=0o700)
    with held(folder):
        make_folder(folder)
        aside = None
        if holds_data(database):
            aside = folder / f"before-restore-{datetime.now().strftime('%Y%m%d-%H%M%S')}.sqlite3"
            try:
                copy_database(database, aside)
            except WebError:
                # A damaged database cannot be copied page by page; its bytes may still be worth something.
                aside.write_bytes(database.read_bytes())
                aside.chmod(0o600)
        fresh = folder / "restoring.sqlite3"
        copy_database(file, fresh)
        for leftover in ("-wal", "-shm", "-journal"):
            database.with_name(database.name + leftover).unlink(missing_ok=True)
        fresh.replace(database)
    return aside


def copy_database(source: Path, target: Path) -> None:
    """Copy a database by SQLite's own means and check the copy; nothing half-made is left at `target`.

    Raises
    ------
    WebError
        When the source cannot be read or the copy is not whole.
    """
    put_newest_sqlite_in_place()
    making = target.with_name(target.name + ".making")
    making.unlink(missing_ok=True)
    making.touch(mode=0o600)
    try:
        with closing(connect(source)) as old, closing(connect(making)) as new:
            old.backup(new)
            # One file that needs no log beside it, whatever mode the original is in.
            new.execute("PRAGMA journal_mode=DELETE")
        check_whole(making)
        making.replace(target)
    except sqlite_errors() as error:
        raise WebError(
            f"{source} cannot be copied ({error}). Allowed: a whole database. Run firstpush doctor on its folder."
        ) from error
    finally:
        for leftover in ("", "-wal", "-shm", "-journal"):
            making.with_name(making.name + leftover).unlink(missing_ok=True)


def check_whole(file: Path) -> None:
    """Refuse what is no whole database of Firstpush.

    Raises
    ------
    WebError
        When it is not there, damaged, or something else.
    """
    if not file.is_file():
        raise WebError(f"{file} is not there. Allowed: a file made by firstpush backup. Check the name and the folder.")
    faults = faults_of(file)
    if faults:
        raise WebError(
            f"{file} is not a whole backup ({faults[0]}). Allowed: a file made by firstpush backup. Take an older one."
        )


def faults_of(file: Path) -> list[str]:
    """Return what SQLite finds wrong with the database in `file`; an empty list when it is whole."""
    put_newest_sqlite_in_place()
    try:
        with closing(connect(file)) as database:
            found = [str(row[0]) for row in database.execute("PRAGMA integrity_check")]
            found = [each for each in found if each != "ok"]
            found += [
                f"{table} row {row} points to nothing in {other}"
                for table, row, other, _ in database.execute("PRAGMA foreign_key_check")
            ]
            if not found and not _has_our_tables(database):
                found = ["it holds no club of Firstpush"]
    except sqlite_errors() as error:
        return [str(error)]
    return found


def holds_data(file: Path) -> bool:
    """Whether there is a database of Firstpush in `file`, be it damaged; not so before the first start has ended."""
    put_newest_sqlite_in_place()
    if not file.is_file() or file.stat().st_size == 0:
        return False
    try:
        with closing(connect(file)) as database:
            return _has_our_tables(database)
    except sqlite_errors():
        return True


def _has_our_tables(database: sqlite3.Connection) -> bool:
    asked = "SELECT 1 FROM sqlite_master WHERE type = 'table' AND name = ?"
    return database.execute(asked, (OURS,)).fetchone() is not None


def sqlite_errors() -> tuple[type[Exception], ...]:
    """Return the errors of Python's SQLite and of the one put in its place: they are not related."""
    return (sqlite3.Error, sys.modules["sqlite3"].Error)
