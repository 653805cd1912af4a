"""The words of a session's sheets as they are kept with a version, and back to what is printed.

Drawings are not among them: they come from the set-ups, see `drawings.py`.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import asdict, fields
from types import MappingProxyType
from typing import Any, TypeVar

from firstpush.core.notices import Notice
from firstpush.sheets.content import (
    CourseOnSheet,
    CoursePlanImage,
    Fact,
    LeftOut,
    SheetContent,
    SheetItem,
    TimelineBar,
    Version,
)

DRAWN = ("figure_svg", "small_figure_svg")
VERSIONS: tuple[Version, ...] = ("athlete", "practitioner")

Row = TypeVar("Row", Notice, Fact, LeftOut, TimelineBar)


def kept_words(contents: tuple[SheetContent, SheetContent]) -> dict[str, Any]:
    """Return athlete's sheet and practitioner's copy as plain data without their drawings."""
    found: dict[str, Any] = {}
    for content in contents:
        plain = asdict(content)
        # Who starts when is of the day, not of the session.
        plain.pop("start")
        for item in plain["items"]:
            for name in DRAWN:
                item.pop(name, None)
            if item["course"] is None:
                # Left out where there is none, so that sheets of before know no difference.
                item.pop("course")
            else:
                item["course"].pop("plans")
        found[content.version] = plain
    return found


def words_of(document: Mapping[str, Any], which: Version) -> dict[str, Any] | None:
    """Return the words of one version of the sheet; None where a session was kept without them."""
    found: dict[str, Any] | None = document.get("sheets", {}).get(which)
    return found


def content_of(
    words: Mapping[str, Any],
    figures: Mapping[str, str],
    exercises: Mapping[int, str],
    plans: Mapping[str, tuple[CoursePlanImage, ...]] = MappingProxyType({}),
) -> SheetContent:
    """Return what is printed.

    Parameters
    ----------
    words : mapping
        From `kept_words`.
    figures : mapping of exercise id to str
        Small drawings (SVG): paper has no others.
    exercises : mapping of item's number to exercise id
    plans : mapping of exercise id to tuple of CoursePlanImage
        Of drills; what is not among them is printed without a plan.
    """
    known = _known(SheetContent, words)
    return SheetContent(
        **known
        | {
            "timeline": _rows(TimelineBar, words["timeline"]),
            "before_we_start": tuple(words["before_we_start"]),
            "stop_rules": tuple(words["stop_rules"]),
            "items": tuple(
                _item(row, figures[exercises[row["number"]]], plans.get(exercises[row["number"]], ()))
                for row in words["items"]
            ),
            "notices": _rows(Notice, words["notices"]),
            "left_out": _rows(LeftOut, words["left_out"]),
            "sources": tuple(words["sources"]),
        }
    )


def _item(row: Mapping[str, Any], svg: str, plans: tuple[CoursePlanImage, ...]) -> SheetItem:
    known, told = _known(SheetItem, row), row.get("course")
    return SheetItem(
        **known
        | {
            "figure_svg": "",
            "small_figure_svg": svg,
            "facts": _rows(Fact, row["facts"]),
            "numbers": _rows(Fact, row["numbers"]),
            "notices": _rows(Notice, row["notices"]),
            "alone": _rows(Notice, row.get("alone", ())),
            "watch_for": tuple(row["watch_for"]),
            "course": None
            if told is None
            else CourseOnSheet(**_known(CourseOnSheet, told) | {"set_out": tuple(told["set_out"]), "plans": plans}),
        }
    )


def _rows(kind: type[Row], rows: Any) -> tuple[Row, ...]:
    return tuple(kind(**_known(kind, row)) for row in rows)


def _known(kind: Any, row: Mapping[str, Any]) -> dict[str, Any]:
    """Return what `kind` knows of a row: a newer program may have left a field away."""
    names = {field.name for field in fields(kind)}
    return {name: value for name, value in row.items() if name in names}
