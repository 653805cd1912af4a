"""The printed page of a course."""

from __future__ import annotations

from django.utils import timezone

from firstpush.sheets.course_sheet import course_content, course_pdf
from firstpush.sheets.make_course import MadeCourse


def course_sheet_pdf(made: MadeCourse) -> bytes:
    """Return a course as PDF, as the command prints it."""
    return course_pdf(course_content(made), document_date=timezone.localdate())
