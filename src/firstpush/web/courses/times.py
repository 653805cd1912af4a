"""Measured times of athletes on a course: kept as rows, compared with the bracket and with their own earlier ones."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from django.utils import timezone

from firstpush.core.courses import LAYOUTS, Bracket, Comparison, compare
from firstpush.web.athletes.models import AthleteRecord
from firstpush.web.club.models import Account
from firstpush.web.courses.chosen import Chosen, asked_of
from firstpush.web.courses.laying import Laid
from firstpush.web.courses.models import CourseTime


@dataclass(frozen=True, kw_only=True)
class TimeRow:
    """A time beside what is known of it."""

    row: CourseTime
    comparison: Comparison


def course_key(chosen: Chosen, now: Laid) -> str:
    """Return what says which course it was: times of another spacing, count, way round or version are not compared."""
    if chosen.source.own is not None:
        return f"{chosen.source.slug} version {chosen.source.own.version} {chosen.first}"
    layout = LAYOUTS[chosen.source.slug]
    count = layout.counts[1] if chosen.count is None else chosen.count
    return f"{layout.id} {now.spacing:.2f} m {count} {chosen.first}"


def title_of(chosen: Chosen, now: Laid) -> str:
    """Return the course as it is called in a list of times."""
    course = now.on_floor.line.course
    spacing = "" if course.spacing is None else f", {course.spacing_word} {course.spacing:.2f} m"
    mirrored = ", the other way round" if chosen.first == "right" else ""
    return f"{chosen.source.title}{spacing}{mirrored}"


def keep_time(
    record: AthleteRecord, *, chosen: Chosen, now: Laid, bracket: Bracket, given: dict[str, Any], by: Account
) -> CourseTime:
    """Keep a measured time of an athlete."""
    return CourseTime.objects.create(
        athlete=record,
        club=record.club,
        course_key=course_key(chosen, now),
        slug=chosen.source.slug,
        title=title_of(chosen, now),
        asked=dict(asked_of(chosen, spacing=now.spacing)),
        on=given["on"],
        time_s=given["time_s"],
        touches=given["touches"],
        remark=given["remark"],
        bracket_s=[round(bracket.low, 2), round(bracket.high, 2)],
        made_by=by,
        made_at=timezone.now(),
    )


def holding(rows: Iterable[CourseTime]) -> list[CourseTime]:
    """Return the times that were not taken back, oldest first."""
    rows = list(rows)
    gone = {each.takes_back_id for each in rows}
    kept = [each for each in rows if each.takes_back_id is None and each.pk not in gone]
    return sorted(kept, key=lambda each: (each.on, each.pk))


def compared(rows: Iterable[CourseTime], bracket: Bracket) -> list[TimeRow]:
    """Return the times of one athlete on one course, newest first, each against those before it."""
    found: list[TimeRow] = []
    earlier: list[float] = []
    for row in holding(rows):
        assert row.time_s is not None, "only a row that takes back has no time"
        found.append(TimeRow(row=row, comparison=compare(row.time_s, bracket, earlier=earlier)))
        earlier.append(row.time_s)
    return found[::-1]
