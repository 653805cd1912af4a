"""What takes long to make and is the same for all: made once in a run of the tests, and copied."""

from __future__ import annotations

import fcntl
import os
from collections.abc import Callable
from pathlib import Path


def once_in_a_run(name: str, make: Callable[[Path], None]) -> Path:
    """Return a folder that `make` filled for whoever asked first; other workers wait until it is there.

    What is in it is not to be changed.
    """
    run = Path(os.environ["FIRSTPUSH_TEST_RUN"])
    folder, made = run / name, run / f"{name}.made"
    with (run / f"{name}.lock").open("w") as lock:
        fcntl.flock(lock, fcntl.LOCK_EX)
        if not made.exists():
            # One that failed before leaves half of it behind.
            while folder.exists():
                folder = folder.with_name(f"{folder.name} again")
            folder.mkdir()
            make(folder)
            made.write_text(folder.name, encoding="utf-8")
    return run / made.read_text(encoding="utf-8")
