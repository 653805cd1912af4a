"""The command line as a user meets it: a process with arguments, two streams and an exit code."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path
from typing import Any

from firstpush.demo import demo_file

INPUT = tuple(part for name in ("athlete", "kit", "venue") for part in (f"--{name}", str(demo_file(name))))
"""The three demo files as options."""


def run(*arguments: str, folder: Path | None = None) -> subprocess.CompletedProcess[str]:
    """Run `firstpush` with `arguments` in `folder`."""
    code = "from firstpush.cli import main; main()"
    return subprocess.run(
        [sys.executable, "-c", code, *arguments], capture_output=True, text=True, cwd=folder, check=False
    )


def run_json(*arguments: str) -> Any:
    """Run `firstpush` with `arguments` and `--json`; return what it printed."""
    done = run(*arguments, "--json")
    assert done.returncode == 0, done.stderr
    return json.loads(done.stdout)
