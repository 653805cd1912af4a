"""The printed page of a course."""

from __future__ import annotations

from importlib.metadata import version

from django.utils import timezone

from firstpush.core.courses import cues_of
from firstpush.core.kit.venue import Venue
from firstpush.sheets.checksum import input_checksum
from firstpush.sheets.course_sheet import course_content, course_pdf
from firstpush.sheets.make_course import MadeCourse
from firstpush.web.courses.chosen import Chosen, says_of
from firstpush.web.courses.laying import Laid


def made_of(chosen: Chosen, now: Laid, *, venue: Venue) -> MadeCourse | None:
    """Return a course as paper takes it; None where it is for nobody in particular."""
    athletes = {each.driver.key: each.driver.athlete for each in now.each}
    decides = athletes[now.decides.key]
    if decides is None:
        return None
    return MadeCourse(
        athletes=tuple(each for each in athletes.values() if each is not None),
        decides=decides,
        venue=venue,
        says=says_of(chosen),
        on_floor=now.on_floor,
        brackets=tuple(each.bracket for each in now.each),
        turning=now.turning,
        pushes=now.pushes,
        use=now.time_use,
        table=now.table,
        lanes=now.lanes,
        cues=cues_of(now.on_floor.line),
        checksum=input_checksum((), request=repr(chosen.key)),
        program_version=version("firstpush"),
    )


def course_sheet_pdf(made: MadeCourse) -> bytes:
    """Return a course as PDF, as the command prints it."""
    return course_pdf(course_content(made), document_date=timezone.localdate())
