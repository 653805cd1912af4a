"""Exercises a club wrote itself, kept as the text of their file."""

from __future__ import annotations

from typing import ClassVar

from django.db import models, transaction
from django.utils import timezone

from firstpush.web.club.models import Account, Club
from firstpush.web.documents import Version


class OwnExercise(models.Model):
    """An exercise of the club's own; used in sessions only when the checks have accepted it."""

    club = models.ForeignKey(Club, on_delete=models.CASCADE, related_name="+")
    slug = models.SlugField(max_length=60)
    text = models.TextField(help_text="the exercise file, TOML")
    accepted = models.BooleanField(default=False)
    created_at = models.DateTimeField(auto_now_add=True)
    changed_at = models.DateTimeField()
    withdrawn_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        ordering: ClassVar = ["slug"]
        constraints: ClassVar = [models.UniqueConstraint(fields=["club", "slug"], name="own_exercise_once")]

    def __str__(self) -> str:
        return self.slug

    def save_text(self, text: str, *, accepted: bool, by: Account | None, why: str = "") -> None:
        """Keep `text` with what the checks said of it, and add it to the versions."""
        with transaction.atomic():
            self.text, self.accepted, self.changed_at = text, accepted, timezone.now()
            if self.pk:
                self.save(update_fields=["text", "accepted", "changed_at"])
            else:
                self.save()
            self.versions.create(
                number=self.versions.count() + 1,
                text=text,
                accepted=accepted,
                made_by=by,
                made_at=self.changed_at,
                why=why,
            )


class OwnExerciseVersion(Version):
    """A state of an own exercise."""

    exercise = models.ForeignKey(OwnExercise, on_delete=models.CASCADE, related_name="versions")
    text = models.TextField()
    accepted = models.BooleanField()

    class Meta(Version.Meta):
        constraints: ClassVar = [
            models.UniqueConstraint(fields=["exercise", "number"], name="own_exercise_version_once")
        ]
