"""The programmes that were made for an athlete, each with what was asked and every word of it."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, ClassVar

from django.db import models, transaction
from django.utils import timezone

from firstpush.web.athletes.models import AthleteRecord
from firstpush.web.club.models import Account
from firstpush.web.documents import Version


class Programme(Version):
    """A programme as it was made once; a later one of the same athlete takes its place, and this stays.

    `asked` holds the choices and the documents it was made from, `document` what ``programme.json`` holds, `words`
    what stands on paper without its drawings, `figures` the drawings by the title of the exercise.
    """

    athlete = models.ForeignKey(AthleteRecord, on_delete=models.CASCADE, related_name="programmes")
    asked = models.JSONField()
    document = models.JSONField()
    words = models.JSONField()
    figures = models.JSONField()
    sheet = models.BinaryField(help_text="the PDF, so that it prints the same again")
    calendar = models.BinaryField(help_text="the calendar file")

    class Meta(Version.Meta):
        constraints: ClassVar = [models.UniqueConstraint(fields=["athlete", "number"], name="programme_number_once")]

    def __str__(self) -> str:
        return f"{self.athlete.name}, programme {self.number}"

    @classmethod
    def add(
        cls, athlete: AthleteRecord, *, by: Account | None, made: Mapping[str, Any], why: str = "made"
    ) -> Programme:
        """Keep what was made as the next programme of `athlete`."""
        with transaction.atomic():
            newest = athlete.programmes.aggregate(newest=models.Max("number"))["newest"] or 0
            return cls.objects.create(
                athlete=athlete, number=newest + 1, made_by=by, made_at=timezone.now(), why=why, **made
            )
