"""An invented club by a harbour: eight athletes who differ, one cupboard, a hall and a court in the open."""

from __future__ import annotations

from importlib.resources import files
from pathlib import Path

CLUB_FOLDERS = ("athletes", "kits", "venues")


def club_files() -> dict[str, tuple[Path, ...]]:
    """Return the files of the demo club by kind, "athletes", "kits" and "venues", each in alphabetical order.

    Examples
    --------
    >>> [path.stem for path in club_files()["venues"]]
    ['quay_court', 'slipway_hall']
    """
    club = Path(str(files("firstpush.demo.club")))
    return {folder: tuple(sorted((club / folder).glob("*.toml"))) for folder in CLUB_FOLDERS}
