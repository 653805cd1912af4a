"""The time zone of this computer, by its name: the training day begins at midnight of the hall, not of Greenwich."""

from __future__ import annotations

import os
from pathlib import Path
from zoneinfo import available_timezones


def local_time_zone() -> str:
    """Return the name of this computer's time zone; "UTC" where it does not say."""
    known = available_timezones()
    for name in (os.environ.get("TZ", "").lstrip(":"), _from_file(Path("/etc/timezone")), _from_link()):
        if name in known:
            return name
    return "UTC"


def _from_file(path: Path) -> str:
    try:
        return path.read_text(encoding="ascii").strip()
    except (OSError, UnicodeDecodeError):
        return ""


def _from_link() -> str:
    try:
        parts = Path("/etc/localtime").resolve().parts
    except OSError:
        return ""
    return "/".join(parts[parts.index("zoneinfo") + 1 :]) if "zoneinfo" in parts else ""
