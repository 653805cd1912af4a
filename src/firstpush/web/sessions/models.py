"""Who is here on a day, and the sessions of each athlete with every version that was made."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, ClassVar

from django.db import models, transaction
from django.utils import timezone

from firstpush.web.athletes.models import AthleteRecord
from firstpush.web.club.models import Account, Club
from firstpush.web.documents import Version


class Plan(models.Model):
    """The session of one athlete; what it holds stands in its versions."""

    athlete = models.ForeignKey(AthleteRecord, on_delete=models.CASCADE, related_name="plans")
    number = models.PositiveIntegerField(help_text="of this athlete, counted from 1")
    created_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering: ClassVar = ["athlete", "number"]
        constraints: ClassVar = [models.UniqueConstraint(fields=["athlete", "number"], name="plan_number_once")]

    def __str__(self) -> str:
        return f"{self.athlete.name}, session {self.number}"

    @classmethod
    def of(cls, athlete: AthleteRecord) -> Plan:
        """Make the next session of `athlete`, still without a version."""
        with transaction.atomic():
            newest = athlete.plans.aggregate(newest=models.Max("number"))["newest"] or 0
            return cls.objects.create(athlete=athlete, number=newest + 1)

    @property
    def newest(self) -> PlanVersion | None:
        """The version that holds; None before the first is made."""
        return self.versions.order_by("-number").first()

    def add_version(
        self, *, request: Mapping[str, Any], document: Mapping[str, Any], by: Account | None, why: str = ""
    ) -> PlanVersion:
        """Add what was asked for and what was made; earlier versions stay as they are.

        Parameters
        ----------
        request : mapping
            What was asked for, with units in the keys.
        document : mapping
            What ``session.json`` holds.
        by : Account or None
            Who made it; None for the program.
        why : str
            What changed and why, in words.
        """
        with transaction.atomic():
            newest = self.newest
            return self.versions.create(
                number=1 if newest is None else newest.number + 1,
                request=dict(request),
                document=dict(document),
                made_by=by,
                made_at=timezone.now(),
                why=why,
            )


class PlanVersion(Version):
    """A session as it was made once: what was asked for, and what came out."""

    plan = models.ForeignKey(Plan, on_delete=models.CASCADE, related_name="versions")
    request = models.JSONField()
    document = models.JSONField()

    class Meta(Version.Meta):
        constraints: ClassVar = [models.UniqueConstraint(fields=["plan", "number"], name="plan_version_once")]


class PresenceStatus(models.TextChoices):
    """Whether an athlete is here."""

    PRESENT = "present", "present"
    ABSENT = "absent", "absent"
    GUEST = "guest", "guest"


class Presence(models.Model):
    """Whether an athlete is here on a day."""

    club = models.ForeignKey(Club, on_delete=models.CASCADE, related_name="+")
    day = models.DateField()
    athlete = models.ForeignKey(AthleteRecord, on_delete=models.CASCADE, related_name="presences")
    status = models.CharField(max_length=10, choices=PresenceStatus)
    remark = models.CharField(max_length=200, blank=True)

    class Meta:
        ordering: ClassVar = ["day", "athlete"]
        constraints: ClassVar = [models.UniqueConstraint(fields=["club", "day", "athlete"], name="presence_once_a_day")]

    def __str__(self) -> str:
        return f"{self.day}: {self.athlete.name} {self.status}"
