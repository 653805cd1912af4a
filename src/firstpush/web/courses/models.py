"""The club's own courses, how fast its athletes are, and the times they took."""

from __future__ import annotations

from typing import ClassVar

from django.conf import settings
from django.db import models

from firstpush.core.courses import Course, course_from
from firstpush.web.athletes.models import AthleteRecord
from firstpush.web.club.models import Club
from firstpush.web.documents import ClubRecord, Version


class OwnCourse(ClubRecord):
    """A course of the club's own; the document is what `firstpush.core.courses.course_from` reads."""

    def read(self) -> Course:
        """Return the course as core reads it.

        Raises
        ------
        InputFileError
            With every fault of the document.
        CourseError
            For cones that stand in each other, or a way that leads nowhere.
        """
        return course_from(self.document, where=f"course {self.document.get('name') or 'without a name'}")

    @property
    def slug(self) -> str:
        """What stands for it in an address, beside the ids of the layouts."""
        return f"own-{self.pk}"


class OwnCourseVersion(Version):
    """A state of an own course."""

    record = models.ForeignKey(OwnCourse, on_delete=models.CASCADE, related_name="versions")
    document = models.JSONField()

    class Meta(Version.Meta):
        constraints: ClassVar = [models.UniqueConstraint(fields=["record", "number"], name="own_course_version_once")]


class Added(models.Model):
    """A row about an athlete that is added once and never changed: a later one takes it back."""

    on = models.DateField(help_text="the day it was measured")
    remark = models.CharField(max_length=200, blank=True)
    takes_back = models.OneToOneField(
        "self", on_delete=models.CASCADE, null=True, related_name="taken_back_by", help_text="the row it makes undone"
    )
    made_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, related_name="+")
    made_at = models.DateTimeField()

    class Meta:
        abstract = True
        ordering: ClassVar = ["on", "id"]


class SpeedKind(models.TextChoices):
    """What was measured."""

    SPRINT = "sprint", "sprint"
    CIRCLE = "circle", "timed circle"
    BACKWARD = "backward", "backward pull"


class SpeedTest(Added):
    """One test of an athlete's speed.

    `measured` holds what was read off, units in the names: of a sprint `splits` (pairs of m and s), `start_offset_m`
    and `timed_by`; of a circle `radius_m`, `time_s`, `rounds`, `timed_by`; of a backward pull `distance_m`, `time_s`.
    """

    athlete = models.ForeignKey(AthleteRecord, on_delete=models.CASCADE, related_name="speed_tests")
    kind = models.CharField(max_length=10, choices=SpeedKind)
    measured = models.JSONField()

    def __str__(self) -> str:
        return f"{self.athlete.name}, {self.get_kind_display()} on {self.on:%Y-%m-%d}"


class CourseTime(Added):
    """One measured time of an athlete on a course.

    `course_key` says which course, spacing and way round it was: times under the same key are compared.
    """

    athlete = models.ForeignKey(AthleteRecord, on_delete=models.CASCADE, related_name="course_times")
    club = models.ForeignKey(Club, on_delete=models.CASCADE, related_name="+")
    course_key = models.CharField(max_length=120)
    slug = models.CharField(max_length=60, help_text="of the layout, or of the club's own course")
    title = models.CharField(max_length=200)
    asked = models.JSONField(help_text="how it was laid: spacing_m, count, first")
    time_s = models.FloatField(null=True)
    touches = models.PositiveSmallIntegerField(null=True, help_text="cones touched; left out is not counted")
    bracket_s = models.JSONField(null=True, help_text="shortest and longest time reckoned on that day")

    def __str__(self) -> str:
        return f"{self.athlete.name}, {self.title} on {self.on:%Y-%m-%d}"
