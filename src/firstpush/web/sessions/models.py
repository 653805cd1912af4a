"""The sessions of each athlete with every version that was made; who is here on a day, and what happens on it."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, ClassVar

from django.conf import settings
from django.db import models, transaction
from django.utils import timezone

from firstpush.web.athletes.models import AthleteRecord
from firstpush.web.club.models import Account, Club
from firstpush.web.documents import Version
from firstpush.web.kit.models import BandWithdrawal, KitRecord, VenueRecord


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
    start_min = models.PositiveSmallIntegerField(
        default=0, help_text="minutes after the first, so that kit and places suffice"
    )

    class Meta:
        ordering: ClassVar = ["day", "athlete"]
        constraints: ClassVar = [models.UniqueConstraint(fields=["club", "day", "athlete"], name="presence_once_a_day")]

    def __str__(self) -> str:
        return f"{self.day}: {self.athlete.name} {self.status}"


class DayPlan(models.Model):
    """Where a day's training is, with what, how long, and which kind of session; chosen once for everybody."""

    club = models.ForeignKey(Club, on_delete=models.CASCADE, related_name="+")
    day = models.DateField()
    kit = models.ForeignKey(KitRecord, on_delete=models.CASCADE, related_name="+", null=True)
    # Without one it is a room with nothing to tie a band to.
    venue = models.ForeignKey(VenueRecord, on_delete=models.CASCADE, related_name="+", null=True, blank=True)
    minutes = models.FloatField()
    kind = models.CharField(max_length=30)
    changed_at = models.DateTimeField(auto_now=True)

    class Meta:
        constraints: ClassVar = [models.UniqueConstraint(fields=["club", "day"], name="day_plan_once_a_day")]

    def __str__(self) -> str:
        return f"{self.day}: {self.minutes:g} minutes, {self.kind}"


class DayEventKind(models.TextChoices):
    """What can happen on a day."""

    SORE = "sore", "a shoulder is sore"
    TORN = "torn", "a band tore"
    TAKEN = "taken", "a post is taken"


class DayEvent(models.Model):
    """Something that happened on a day; it holds until it is undone.

    A torn band stands among the kit's withdrawals, pain now in the athlete's document; a taken post stands here alone,
    for the day.
    """

    club = models.ForeignKey(Club, on_delete=models.CASCADE, related_name="+")
    day = models.DateField()
    kind = models.CharField(max_length=10, choices=DayEventKind)
    words = models.CharField(max_length=200)
    athlete = models.ForeignKey(AthleteRecord, on_delete=models.CASCADE, related_name="+", null=True)
    side = models.CharField(max_length=5, blank=True)
    pain_before = models.JSONField(null=True)
    pain_after = models.JSONField(null=True)
    withdrawal = models.ForeignKey(BandWithdrawal, on_delete=models.CASCADE, related_name="+", null=True)
    venue = models.ForeignKey(VenueRecord, on_delete=models.CASCADE, related_name="+", null=True)
    post = models.CharField(max_length=120, blank=True)
    made_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, related_name="+")
    made_at = models.DateTimeField(auto_now_add=True)
    undone_at = models.DateTimeField(null=True)
    undone_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, related_name="+")

    class Meta:
        ordering: ClassVar = ["id"]

    def __str__(self) -> str:
        return f"{self.day}: {self.words}"


class DayOutcome(models.Model):
    """What an event did to the session of one athlete: which exercises it touched, and what changed."""

    event = models.ForeignKey(DayEvent, on_delete=models.CASCADE, related_name="outcomes")
    athlete = models.ForeignKey(AthleteRecord, on_delete=models.CASCADE, related_name="+")
    before = models.ForeignKey(PlanVersion, on_delete=models.CASCADE, related_name="+", null=True)
    after = models.ForeignKey(PlanVersion, on_delete=models.CASCADE, related_name="+", null=True)
    touched = models.JSONField(default=list, help_text="exercises that had to be set up again, in words")
    changes = models.JSONField(default=list, help_text="what is different, in words")
    undone = models.CharField(max_length=200, blank=True, help_text="what became of it when the event was undone")

    class Meta:
        ordering: ClassVar = ["id"]

    def __str__(self) -> str:
        return f"{self.athlete.name}: {len(self.changes)} changes"


class Making(models.Model):
    """A session that is waited for, or that could not be made: `stage` says which, `said` says why."""

    WAITING: ClassVar = "waiting"
    FAILED: ClassVar = "failed"

    athlete = models.ForeignKey(AthleteRecord, on_delete=models.CASCADE, related_name="+")
    day = models.DateField()
    outcome = models.OneToOneField(DayOutcome, on_delete=models.CASCADE, related_name="making", null=True)
    stage = models.CharField(max_length=20, default=WAITING)
    said = models.TextField(blank=True)
    asked_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    touched_at = models.DateTimeField()

    class Meta:
        ordering: ClassVar = ["id"]

    def __str__(self) -> str:
        return f"{self.day}: {self.athlete.name}, {self.stage}"
