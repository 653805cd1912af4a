"""Run the commands of the pages that show commands with their output, and put in what they print.

    python scripts/run_docs.py            writes the output into the pages
    python scripts/run_docs.py --check    writes nothing; exit code 1 when a page shows something else

A block of TOML that begins with a comment "# NAME.toml" is a file; a line "uv run firstpush ..." in a block of commands
is run in a folder with these files; the block of text after it is what the standard output must be. What serves pages
until Ctrl-C is not run here: tests/web/test_journey.py does what a page tells to do there.
"""

from __future__ import annotations

import re
import shlex
import subprocess
import sys
from pathlib import Path
from tempfile import TemporaryDirectory

ROOT = Path(__file__).resolve().parent.parent
PAGES = (
    ROOT / "README.md",
    ROOT / "docs" / "first-session.md",
    ROOT / "docs" / "how-to" / "make-a-session-from-files.md",
)
BLOCK = re.compile(r"^```(\w+)\n(.*?)^```\n", re.S | re.M)
COMMAND = "uv run firstpush "
SERVES = re.compile(r"serve\b|demo\b(?!.*--once)")


def as_printed(page: str) -> str:
    """Return a page with every block of output replaced by what its command prints now."""
    with TemporaryDirectory() as folder:
        printed: str | None = None

        def block(match: re.Match[str]) -> str:
            nonlocal printed
            language, content = match.groups()
            if language == "toml" and (name := re.match(r"# (\w+\.toml)\n", content)):
                (Path(folder) / name[1]).write_text(content, encoding="utf-8")
            elif language == "sh":
                asked = [line for line in content.splitlines() if line.startswith(COMMAND)]
                lines = [line for line in asked if not SERVES.match(line.removeprefix(COMMAND))]
                printed = "".join(_output(line, folder) for line in lines)
            elif language == "text" and printed is not None:
                shown, printed = printed, None
                return f"```text\n{shown}```\n"
            return match[0]

        return BLOCK.sub(block, page)


def _output(line: str, folder: str) -> str:
    code = "from firstpush.cli import main; main()"
    arguments = shlex.split(line.removeprefix(COMMAND))
    done = subprocess.run([sys.executable, "-c", code, *arguments], cwd=folder, capture_output=True, text=True)
    if done.returncode != 0:
        raise SystemExit(f"{line}\nended with {done.returncode}:\n{done.stderr}")
    return done.stdout


def main() -> int:
    """Write the pages, or tell which show something else."""
    stale = []
    for path in PAGES:
        before = path.read_text(encoding="utf-8")
        after = as_printed(before)
        if before == after:
            continue
        stale.append(path)
        if "--check" not in sys.argv[1:]:
            path.write_text(after, encoding="utf-8")
    if "--check" not in sys.argv[1:]:
        return 0
    for path in stale:
        print(f"{path.relative_to(ROOT)} shows another output; run python scripts/run_docs.py", file=sys.stderr)
    return 1 if stale else 0


if __name__ == "__main__":
    sys.exit(main())
