"""Athletes and every state their document had."""

from __future__ import annotations

from typing import ClassVar

from django.db import models

from firstpush.core.people.athlete import Athlete
from firstpush.core.people.athlete_file import athlete_from
from firstpush.web.documents import ClubRecord, Version


class AthleteRecord(ClubRecord):
    """An athlete of a club; the document is the athlete file, chairs inside."""

    number = models.PositiveSmallIntegerField(null=True, blank=True, help_text="on the shirt")

    def read(self) -> Athlete:
        """Return the athlete as core reads it; raises `InputFileError` with every fault."""
        return athlete_from(self.document, where=f"athlete {self.document.get('name') or 'without a name'}")

    def athlete(self) -> Athlete:
        """Return the athlete as core reads it."""
        return self.read()


class AthleteVersion(Version):
    """A state of an athlete's document."""

    record = models.ForeignKey(AthleteRecord, on_delete=models.CASCADE, related_name="versions")
    document = models.JSONField()

    class Meta(Version.Meta):
        constraints: ClassVar = [models.UniqueConstraint(fields=["record", "number"], name="athlete_version_once")]
