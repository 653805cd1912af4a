"""What the practitioner said after a session about each exercise, and the numbers of the rule for one athlete."""

from __future__ import annotations

from typing import ClassVar

from django.conf import settings
from django.db import models

from firstpush.web.athletes.models import AthleteRecord
from firstpush.web.sessions.models import PlanVersion


class Said(models.TextChoices):
    """What was said about an exercise."""

    AS_DONE = "as done", "keep it as it was done"
    HARDER = "harder", "make it harder"
    EASIER = "easier", "make it easier"
    LEAVE_OUT = "leave out", "leave it out"
    NOTHING = "nothing", "nothing changes"
    TAKEN_BACK = "taken back", "what was agreed is taken back"
    TRIED_OUT = "tried out", "first load from a try-out"


class Word(models.Model):
    """The practitioner's word about one exercise of one athlete; added once, never changed: a later word goes before.

    `agreed` holds what is agreed by it, in the structure of `firstpush.core.session.agreed`.
    """

    athlete = models.ForeignKey(AthleteRecord, on_delete=models.CASCADE, related_name="words")
    version = models.ForeignKey(PlanVersion, on_delete=models.CASCADE, related_name="+", null=True)
    run = models.UUIDField(null=True, help_text="the doing of a session that it is about")
    exercise = models.CharField(max_length=120)
    title = models.CharField(max_length=120)
    on = models.DateField(help_text="the day from which it holds")
    said = models.CharField(max_length=12, choices=Said)
    proposed = models.CharField(max_length=12, blank=True, help_text="what the rule proposed")
    because = models.TextField(blank=True, help_text="why the rule proposed it")
    reason = models.CharField(max_length=300, blank=True, help_text="why the practitioner said otherwise")
    agreed = models.JSONField(default=list)
    made_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, related_name="+")
    made_at = models.DateTimeField()

    class Meta:
        ordering: ClassVar = ["id"]

    def __str__(self) -> str:
        return f"{self.athlete.name}, {self.title}: {self.said}"


class RuleNumbers(models.Model):
    """The numbers of the rule for one athlete; added once, never changed: the newest row holds."""

    athlete = models.ForeignKey(AthleteRecord, on_delete=models.CASCADE, related_name="rule_numbers")
    numbers = models.JSONField(help_text="as `firstpush.core.progress.decide.Rules` names them")
    why = models.CharField(max_length=300)
    made_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, related_name="+")
    made_at = models.DateTimeField()

    class Meta:
        ordering: ClassVar = ["id"]

    def __str__(self) -> str:
        return f"{self.athlete.name}, {self.made_at:%Y-%m-%d}"
