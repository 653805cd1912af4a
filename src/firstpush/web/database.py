"""The SQLite library that keeps the data: the newest one there is, and the settings under which no commit is lost.

In write-ahead mode SQLite before 3.51.3 can lose commits when the log is started anew, so that an older library gets
the rollback journal: slower, and safe.  Both write each commit through to the disk (synchronous FULL).
"""

from __future__ import annotations

import importlib.util
import sqlite3
import sys
from pathlib import Path
from typing import Any, Literal

SAFE_WRITE_AHEAD = (3, 51, 3)
"""First SQLite whose write-ahead log loses nothing."""

Journal = Literal["wal", "delete"]

COMMON_PRAGMAS = "PRAGMA synchronous=FULL; PRAGMA secure_delete=ON"
"""What is erased is overwritten with zeros, not only marked as free."""


def put_newest_sqlite_in_place() -> None:
    """Let every later ``import sqlite3`` mean `pysqlite3`, where that is installed and newer than Python's own.

    Call it before Django is imported for the first time.
    """
    if importlib.util.find_spec("pysqlite3") is None:
        return
    import pysqlite3

    if pysqlite3.sqlite_version_info > sqlite3.sqlite_version_info:
        sys.modules["sqlite3"] = pysqlite3
        sys.modules["sqlite3.dbapi2"] = pysqlite3.dbapi2


def library_version() -> tuple[int, ...]:
    """Return the version of the SQLite library in use."""
    return tuple(sys.modules["sqlite3"].sqlite_version_info)


def journal() -> Journal:
    """Return the journal mode that is safe with the library in use."""
    return "wal" if library_version() >= SAFE_WRITE_AHEAD else "delete"


def connect(path: Path, *, read_only: bool = False) -> sqlite3.Connection:
    """Open the database at `path` outside Django, with the library in use; it must exist."""
    mode = "ro" if read_only else "rw"
    # An address made by hand: `as_uri` would need an absolute path, and "?" or "#" in a name would end it.
    name = str(path.resolve()).replace("%", "%25").replace("?", "%3f").replace("#", "%23")
    connection: sqlite3.Connection = sys.modules["sqlite3"].connect(f"file:{name}?mode={mode}", uri=True, timeout=20)
    return connection


def django_database(path: Path | None) -> dict[str, Any]:
    """Return Django's settings for the database at `path`; None keeps it in memory."""
    return {
        "ENGINE": "django.db.backends.sqlite3",
        "NAME": ":memory:" if path is None else str(path),
        # Threads of the server keep their connection: opening one costs more than a page.
        "CONN_MAX_AGE": None,
        "OPTIONS": {
            # A transaction that will write takes its lock at once, instead of failing half way.
            "transaction_mode": "IMMEDIATE",
            "timeout": 20,
            "init_command": f"PRAGMA journal_mode={journal()}; {COMMON_PRAGMAS}",
        },
    }
