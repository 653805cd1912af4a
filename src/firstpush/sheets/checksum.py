"""The eight digits in the footer of everything printed: the same input, the same digits."""

from __future__ import annotations

import hashlib
from collections.abc import Sequence
from pathlib import Path


def input_checksum(files: Sequence[Path], *, request: str = "") -> str:
    """Return eight hex digits that change when any input file, or the `request` beside them, changes."""
    digest = hashlib.sha256(request.encode())
    for path in files:
        digest.update(path.read_bytes())
    return digest.hexdigest()[:8]
