"""What was logged on court, what could not be taken in and why, and links that open one session."""

from __future__ import annotations

import uuid
from typing import ClassVar

from django.conf import settings
from django.db import models
from django.utils import timezone

from firstpush.web.athletes.models import AthleteRecord
from firstpush.web.club.models import Club
from firstpush.web.sessions.models import Plan, PlanVersion


class CourtLink(models.Model):
    """Opens one session of one athlete without a login, until it runs out or is withdrawn."""

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False, help_text="the secret of the link")
    plan = models.ForeignKey(Plan, on_delete=models.CASCADE, related_name="court_links")
    made_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    made_at = models.DateTimeField(auto_now_add=True)
    expires_at = models.DateTimeField()
    withdrawn_at = models.DateTimeField(null=True)

    class Meta:
        ordering: ClassVar = ["made_at"]

    def __str__(self) -> str:
        return f"link to {self.plan}"

    @property
    def opens(self) -> bool:
        """Whether it still opens its session."""
        return self.withdrawn_at is None and self.expires_at > timezone.now()


class CameBy(models.TextChoices):
    """The way an entry came home."""

    PAGE = "page", "sent by the page"
    FILE = "file", "from a file"
    PAPER = "paper", "typed in from paper"


class CourtEntry(models.Model):
    """One entry, letter by letter as it was made; added once, never changed.

    The columns beside `text` are taken from it, so that it can be found.
    """

    id = models.UUIDField(primary_key=True, editable=False)
    run = models.UUIDField()
    sequence = models.PositiveIntegerField()
    athlete = models.ForeignKey(AthleteRecord, on_delete=models.CASCADE, related_name="court_entries")
    version = models.ForeignKey(PlanVersion, on_delete=models.CASCADE, related_name="court_entries")
    kind = models.CharField(max_length=10)
    exercise = models.CharField(max_length=120, blank=True)
    at = models.DateTimeField(help_text="by the clock of the device")
    zone = models.CharField(max_length=20, help_text="of the device, as it was sent")
    text = models.TextField()
    digest = models.CharField(max_length=64, help_text="SHA-256 of the text")
    corrects = models.UUIDField(null=True)
    late = models.BooleanField(default=False, help_text="typed in afterwards")
    received_at = models.DateTimeField()
    # Only an athlete's account is ever deleted, and only while the athlete is erased.
    account = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.SET_NULL, null=True, related_name="+")
    link = models.ForeignKey(CourtLink, on_delete=models.CASCADE, null=True, related_name="+")
    came_by = models.CharField(max_length=5, choices=CameBy)

    class Meta:
        ordering: ClassVar = ["run", "sequence"]
        constraints: ClassVar = [models.UniqueConstraint(fields=["run", "sequence"], name="place_in_a_run_once")]

    def __str__(self) -> str:
        return f"{self.kind} {self.sequence} of {self.run}"


class Why(models.TextChoices):
    """Why something was set aside instead of kept as an entry."""

    OTHER_CONTENT = "other content", "same id with other content"
    PLACE_TAKEN = "place taken", "same place in the run with another id"
    UNREADABLE = "unreadable", "not readable"
    NOT_ALLOWED = "not allowed", "not for this login"


class SetAside(models.Model):
    """What came in and is no new entry: kept once, for somebody to look at."""

    club = models.ForeignKey(Club, on_delete=models.CASCADE, related_name="+", help_text="of who sent it")
    # Whom it is about as far as it says so: it goes when they are erased.
    athlete = models.ForeignKey(AthleteRecord, on_delete=models.CASCADE, null=True, related_name="+")
    text = models.TextField()
    digest = models.CharField(max_length=64, help_text="SHA-256 of the text")
    why = models.CharField(max_length=15, choices=Why)
    said = models.TextField(help_text="what was answered to the device")
    against = models.ForeignKey(CourtEntry, on_delete=models.SET_NULL, null=True, related_name="+")
    received_at = models.DateTimeField()
    account = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.SET_NULL, null=True, related_name="+")
    came_by = models.CharField(max_length=5, choices=CameBy)
    seen_at = models.DateTimeField(null=True)

    class Meta:
        ordering: ClassVar = ["-received_at", "-id"]
        constraints: ClassVar = [
            models.UniqueConstraint(fields=["club", "digest", "why"], name="set_aside_once"),
        ]

    def __str__(self) -> str:
        return f"{self.why}: {self.text[:60]}"
