"""What is wrong with an installation, and what to do about each thing."""

from __future__ import annotations

import os
import shutil
import stat
import sys
from collections.abc import Callable, Iterator
from contextlib import closing
from dataclasses import dataclass
from pathlib import Path

from firstpush.web.backup import faults_of, holds_data, sqlite_errors
from firstpush.web.database import SAFE_WRITE_AHEAD, connect, journal, library_version, put_newest_sqlite_in_place
from firstpush.web.folder import SECRET_KEY, database_of

OLDEST_PYTHON = (3, 11)
ENOUGH_SPACE = 500_000_000
"""Free bytes below which a backup or an update may fail (our choice)."""


@dataclass(frozen=True, kw_only=True)
class Finding:
    """One thing that was looked at: `found` in words; `to_do` is empty when it is right."""

    about: str
    found: str
    to_do: str = ""


def examine(folder: Path) -> list[Finding]:
    """Look at Python, SQLite, the folder and what is in it; nothing is changed."""
    put_newest_sqlite_in_place()
    looks: tuple[Callable[[Path], Iterator[Finding]], ...] = (_python, _sqlite, _folder, _database, _package)
    return [finding for look in looks for finding in look(folder)]


def _python(_: Path) -> Iterator[Finding]:
    version = ".".join(map(str, sys.version_info[:3]))
    right = sys.version_info[:2] >= OLDEST_PYTHON
    yield Finding(about="Python", found=version, to_do="" if right else "install Python 3.11 or newer")


def _sqlite(_: Path) -> Iterator[Finding]:
    version = ".".join(map(str, library_version()))
    mode = "write-ahead log" if journal() == "wal" else "rollback journal, slower and as safe"
    wanted = ".".join(map(str, SAFE_WRITE_AHEAD))
    hint = "" if journal() == "wal" else f"; the write-ahead log needs {wanted}, which the package pysqlite3 brings"
    yield Finding(about="SQLite", found=f"{version}, {mode}{hint}")


def _folder(folder: Path) -> Iterator[Finding]:
    if not folder.is_dir():
        yield Finding(
            about="folder", found=f"{folder} is not there", to_do="check the name, or make it with firstpush serve"
        )
        return
    if not os.access(folder, os.R_OK | os.W_OK | os.X_OK):
        yield Finding(about="folder", found=f"{folder} cannot be written to", to_do="give this user the right to write")
        return
    yield Finding(about="folder", found=str(folder.resolve()))
    free = shutil.disk_usage(folder).free
    yield Finding(
        about="free space",
        found=f"{free / 1e9:.1f} GB",
        to_do="" if free >= ENOUGH_SPACE else "make room: below 0.5 GB a backup or an update may fail",
    )
    open_to_others = [path.name for path in (folder / SECRET_KEY, database_of(folder)) if _others_may_read(path)]
    if open_to_others:
        yield Finding(
            about="rights",
            found=f"others on this computer can read {' and '.join(open_to_others)}",
            to_do=f"run chmod 600 on {' and '.join(str(folder / name) for name in open_to_others)}",
        )
    else:
        yield Finding(about="rights", found="nobody else on this computer can read the data")


def _others_may_read(path: Path) -> bool:
    return os.name == "posix" and path.exists() and bool(path.stat().st_mode & (stat.S_IRWXG | stat.S_IRWXO))


def _database(folder: Path) -> Iterator[Finding]:
    database = database_of(folder)
    if not holds_data(database):
        yield Finding(about="database", found="there is none yet", to_do="start firstpush serve on this folder once")
        return
    faults = faults_of(database)
    if faults:
        yield Finding(
            about="database",
            found=f"damaged ({faults[0]}{f' and {len(faults) - 1} more' if len(faults) > 1 else ''})",
            to_do="end firstpush, keep a copy of the whole folder, and run firstpush restore with the newest backup",
        )
        return
    yield Finding(about="database", found=f"whole, {database.stat().st_size / 1e6:.1f} MB")
    try:
        with closing(connect(database)) as opened:
            mode = opened.execute("PRAGMA journal_mode").fetchone()[0]
    except sqlite_errors() as error:
        yield Finding(about="journal", found=f"not readable ({error})", to_do="end what else uses the database")
        return
    yield Finding(
        about="journal",
        found=str(mode),
        to_do="" if mode == journal() else "start firstpush serve on this folder once: it sets the safe mode",
    )
    yield from _structure(folder)


def _structure(folder: Path) -> Iterator[Finding]:
    if not (folder / SECRET_KEY).is_file():
        yield Finding(
            about="secret key", found="there is none", to_do="start firstpush serve once; everybody logs in again"
        )
        return
    from firstpush.web.serve import set_up_django

    set_up_django(folder)
    from django.db.migrations.loader import MigrationLoader

    # Asked past Django's own connection, which would set the journal mode while looking.
    with closing(connect(database_of(folder))) as opened:
        done = {(app, name) for app, name in opened.execute("SELECT app, name FROM django_migrations")}
    known = set(MigrationLoader(None).graph.nodes)
    if done - known and not known - done:
        yield Finding(
            about="tables",
            found="made by a newer version of firstpush",
            to_do="install that version or a newer one, or restore a backup from before it",
        )
        return
    behind = len(known - done)
    yield Finding(
        about="tables",
        found=f"{behind} steps behind this version" if behind else "as this version needs them",
        to_do="start firstpush serve on this folder once: it keeps a copy and brings them up to date" if behind else "",
    )


def _package(_: Path) -> Iterator[Finding]:
    from importlib.resources import files

    from firstpush.core.errors import FirstpushError
    from firstpush.core.exercises.loader import library

    again = "install firstpush again: files of it are missing or changed"
    fonts = [each.name for each in (files("firstpush.sheets") / "fonts").iterdir() if each.name.endswith(".ttf")]
    found = f"{len(fonts)} of 2 there"
    yield Finding(about="fonts", found=found, to_do="" if len(fonts) >= 2 else again)
    try:
        count = len(library())
    except FirstpushError as error:
        yield Finding(about="exercises", found=str(error).splitlines()[0], to_do=again)
        return
    yield Finding(about="exercises", found=f"{count} readable", to_do="" if count else again)
