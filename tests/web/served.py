"""The application as a user starts it: a process that serves a folder, and a browser that looks at it."""

from __future__ import annotations

import re
import shutil
import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from once import once_in_a_run

CHROMIUM = shutil.which("chromium") or shutil.which("chromium-browser")
NO_CHROMIUM = "no chromium on this computer: install Debian's package chromium to run the tests in a browser"
CODE = "from firstpush.cli import main; main()"
READY_WITHIN_S = 60


@dataclass(frozen=True, kw_only=True)
class Served:
    """A running server."""

    url: str
    process: subprocess.Popen[str]
    printed: str
    """What it printed until it was ready."""


def _fill(folder: Path) -> None:
    script = Path(__file__).with_name("club_people.py")
    subprocess.run([sys.executable, str(script), str(folder / "club")], check=True, capture_output=True, text=True)


def filled(folder: Path) -> None:
    """Make `folder` with the club of `club_people` in it: its tables and passwords are made once in a run."""
    shutil.copytree(once_in_a_run("filled", _fill) / "club", folder)


@contextmanager
def serving(folder: Path, *options: str) -> Iterator[Served]:
    """Serve `folder` on a free port for as long as the block lasts."""
    process = subprocess.Popen(
        [sys.executable, "-c", CODE, "serve", "--folder", str(folder), "--port", "0", "--no-browser", *options],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
    )
    assert process.stdout is not None
    assert process.stderr is not None
    printed = ""
    try:
        began = time.monotonic()
        while "ready" not in printed:
            line = process.stdout.readline()
            assert line, f"the server ended: {process.stderr.read()}"
            assert time.monotonic() - began < READY_WITHIN_S, printed
            printed += line
        found = re.search(r"https?://\S+/", printed)
        assert found, printed
        yield Served(url=found[0], process=process, printed=printed)
    finally:
        if process.poll() is None:
            process.send_signal(signal.SIGTERM)
        process.communicate(timeout=20)
