"""What a link to the form of a session fills in; what cannot be read is left to what is usual."""

from __future__ import annotations

import math
from collections.abc import Collection
from typing import Any

from django.http import QueryDict
from django.utils.dateparse import parse_date

from firstpush.core.session.compose import LARGEST_MINUTES
from firstpush.core.session.kinds import KIND_NAMES


def prefilled(query: QueryDict, exercises: Collection[str]) -> dict[str, Any]:
    """Return the fields of a session's form that an address names.

    Parameters
    ----------
    query : QueryDict
        `on`, `kind`, `minutes`, `kit` and `venue` (numbers of records; an empty venue is a room), and `keep` once for
        each exercise that must be there.
    exercises : collection of str
        Ids that there are.
    """
    found: dict[str, Any] = {}
    on = _day(query.get("on", ""))
    if on is not None:
        found["on"] = on
    if query.get("kind") in KIND_NAMES:
        found["kind"] = query["kind"]
    minutes = _number(query.get("minutes", ""))
    if minutes is not None and 1 <= minutes <= LARGEST_MINUTES:
        found["minutes"] = f"{minutes:g}"
    for name in ("kit", "venue"):
        number = query.get(name, "")
        if number.isdecimal():
            found[name] = int(number)
    if query.get("venue") == "":
        found["venue"] = None
    kept = [id_ for id_ in query.getlist("keep") if id_ in exercises]
    if kept:
        found["keep"] = kept
    return found


def _day(text: str) -> Any:
    try:
        return parse_date(text)
    except ValueError:
        return None


def _number(text: str) -> float | None:
    try:
        number = float(text)
    except ValueError:
        return None
    return number if math.isfinite(number) else None
