"""Club, accounts, memberships, and the mark under which versions may be erased."""

from __future__ import annotations

from typing import ClassVar

from django.contrib.auth.models import AbstractUser
from django.db import models


class Account(AbstractUser):
    """Who logs in; what it may do stands in its membership."""


class Club(models.Model):
    """A club; nothing of one club is ever seen from another."""

    name = models.CharField(max_length=120)
    created_at = models.DateTimeField(auto_now_add=True)

    def __str__(self) -> str:
        return self.name


class Role(models.TextChoices):
    """What somebody is in a club."""

    OWNER = "owner", "Owner: everything, accounts too"
    COLLEAGUE = "colleague", "Colleague: reads and writes"
    ASSISTANT = "assistant", "Assistant: reads, does sessions and logs"
    ATHLETE = "athlete", "Athlete: own sheets"

    @property
    def word(self) -> str:
        """The role in one word."""
        return str(self.label).partition(":")[0]


class Membership(models.Model):
    """An account in a club, with its role; a withdrawn one opens nothing."""

    account = models.OneToOneField(Account, on_delete=models.CASCADE, related_name="membership")
    club = models.ForeignKey(Club, on_delete=models.CASCADE, related_name="memberships")
    role = models.CharField(max_length=10, choices=Role)
    athlete = models.OneToOneField(
        "athletes.AthleteRecord", on_delete=models.CASCADE, null=True, blank=True, related_name="membership"
    )
    created_at = models.DateTimeField(auto_now_add=True)
    withdrawn_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        constraints: ClassVar = [
            models.CheckConstraint(
                condition=models.Q(role=Role.ATHLETE, athlete__isnull=False)
                | (~models.Q(role=Role.ATHLETE) & models.Q(athlete__isnull=True)),
                name="athlete_account_has_its_athlete",
            )
        ]

    def __str__(self) -> str:
        return f"{self.account.get_username()}, {self.role}"

    @property
    def role_word(self) -> str:
        """The role in one word."""
        return Role(self.role).word


class Erasing(models.Model):
    """While a row stands here, in a transaction that takes it out again, versions can be erased."""

    what = models.CharField(max_length=40)

    def __str__(self) -> str:
        return self.what
