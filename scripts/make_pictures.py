"""Make the pictures of the documentation from the demo: needs `pdftoppm` (Debian: poppler-utils).

python scripts/make_pictures.py
"""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path
from tempfile import TemporaryDirectory

PICTURES = Path(__file__).resolve().parent.parent / "docs" / "pictures"
WIDTH = 800
"""Pixels across a page: readable on a repository's front page."""
LARGEST = 400_000
"""Bytes a picture may have, so that a clone stays small."""


def main() -> int:
    """Print the demo's first page as a picture."""
    PICTURES.mkdir(parents=True, exist_ok=True)
    with TemporaryDirectory() as folder:
        subprocess.run([sys.executable, "-c", _DEMO, folder], check=True, stdout=subprocess.DEVNULL)
        subprocess.run(
            ["pdftoppm", "-png", "-singlefile", "-f", "1", "-l", "1", "-scale-to-x", str(WIDTH), "-scale-to-y", "-1"]
            + [f"{folder}/session.pdf", str(PICTURES / "sheet")],
            check=True,
        )
    size = (PICTURES / "sheet.png").stat().st_size
    print(f"docs/pictures/sheet.png: {size / 1000:.0f} kB")
    return 0 if size <= LARGEST else 1


_DEMO = "import sys; from firstpush.cli import commands; commands(['demo', '--once', '--out', sys.argv[1]])"

if __name__ == "__main__":
    sys.exit(main())
