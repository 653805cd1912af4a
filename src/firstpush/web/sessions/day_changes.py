"""What was changed in cupboard and venue since a sheet was made, as far as it bears on the sheet.

What is merely gone, and not used by the session, leaves it the best there is: one torn band makes no work for those
who train without it.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

Table = Mapping[str, Any]

MOST_OF_ONE_BAND = 2
"""More pieces of a band than two hands hold change no set-up."""
_WORDS = {"blocking": "chocks", "floor_length_m": "floor", "floor_width_m": "floor", "surface": "floor"}
_SAYS_NOTHING = ("name", "bands", "posts", "sport", "helpers")


def changed_in_kit(before: Table, now: Table) -> list[str]:
    """Return the names of what a cupboard has otherwise than `before`, or more of."""
    return list(dict.fromkeys((*_rows(before, now, "bands"), *_others(before, now))))


def changed_in_venue(before: Table, now: Table) -> list[str]:
    """Return the names of what a venue has otherwise than `before`, or more of."""
    return list(dict.fromkeys((*_rows(before, now, "posts"), *_others(before, now))))


def _rows(before: Table, now: Table, key: str) -> Iterator[str]:
    was = {row["name"]: row for row in before.get(key, ())}
    for row in now.get(key, ()):
        old = was.get(row["name"])
        if old is None or _without_count(old) != _without_count(row) or _pieces(row) > _pieces(old):
            yield row["name"]


def _others(before: Table, now: Table) -> Iterator[str]:
    for key in (*before, *(key for key in now if key not in before)):
        if key not in _SAYS_NOTHING and before.get(key) != now.get(key):
            yield _WORDS.get(key, key.replace("_", " "))


def _without_count(row: Table) -> dict[str, Any]:
    return {key: value for key, value in row.items() if key != "count"}


def _pieces(row: Table) -> int:
    return min(int(row.get("count", 1)), MOST_OF_ONE_BAND)
