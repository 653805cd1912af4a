"""The data folder: the database, the secret key, and who is serving it."""

from __future__ import annotations

import os
import secrets
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from firstpush.web.errors import WebError

DATABASE = "firstpush.sqlite3"
SECRET_KEY = "secret-key"
LOCK = "serving.lock"


def database_of(folder: Path) -> Path:
    """Return where the database of `folder` lies."""
    return folder / DATABASE


def make_folder(folder: Path) -> None:
    """Make `folder`, an empty database and the secret key where they are missing; readable by their owner only."""
    folder.mkdir(parents=True, exist_ok=True, mode=0o700)
    secret_key_of(folder)
    descriptor = os.open(database_of(folder), os.O_CREAT | os.O_RDWR, 0o600)
    os.close(descriptor)


def secret_key_of(folder: Path) -> str:
    """Return the secret key of `folder`; the first time one is made, with mode 600.

    Raises
    ------
    WebError
        When the file is there and holds no key.
    """
    path = folder / SECRET_KEY
    try:
        descriptor = os.open(path, os.O_CREAT | os.O_EXCL | os.O_WRONLY, 0o600)
    except FileExistsError:
        key = path.read_text(encoding="ascii").strip()
        if len(key) < 50:
            raise WebError(
                f"{path} holds no whole key. Allowed: a key of 50 letters or more, as made at the first start. "
                "Delete the file: the next start makes a new one, and everybody logs in again."
            ) from None
        return key
    with os.fdopen(descriptor, "w", encoding="ascii") as file:
        key = secrets.token_urlsafe(64)
        file.write(key + "\n")
    return key


@contextmanager
def held(folder: Path) -> Iterator[None]:
    """Hold `folder` for one program: a second server, or a restore under a running one, is refused.

    The lock belongs to the process and ends with it, however it ends.

    Raises
    ------
    WebError
        When another program holds it.
    """
    with (folder / LOCK).open("a+", encoding="utf-8") as file:
        if not _lock(file.fileno()):
            raise WebError(
                f"{folder} is in use by a firstpush that is running. Allowed: one at a time. End it first (Ctrl-C)."
            )
        try:
            yield
        finally:
            _unlock(file.fileno())


if sys.platform == "win32":
    import msvcrt

    def _lock(descriptor: int) -> bool:
        os.lseek(descriptor, 0, os.SEEK_SET)
        try:
            msvcrt.locking(descriptor, msvcrt.LK_NBLCK, 1)
        except OSError:
            return False
        return True

    def _unlock(descriptor: int) -> None:
        os.lseek(descriptor, 0, os.SEEK_SET)
        msvcrt.locking(descriptor, msvcrt.LK_UNLCK, 1)

else:
    import fcntl

    def _lock(descriptor: int) -> bool:
        try:
            fcntl.flock(descriptor, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except OSError:
            return False
        return True

    def _unlock(descriptor: int) -> None:
        fcntl.flock(descriptor, fcntl.LOCK_UN)
