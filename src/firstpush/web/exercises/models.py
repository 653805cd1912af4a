"""Exercises a club wrote itself, kept as the text of their file."""

from __future__ import annotations

import tomllib
from typing import ClassVar

from django.db import models, transaction
from django.utils import timezone

from firstpush.web.club.models import Account, Club
from firstpush.web.documents import Version, Withdrawable
from firstpush.web.errors import ChangedMeanwhileError


class OwnExercise(Withdrawable):
    """An exercise of the club's own; used in sessions only when the checks have accepted it."""

    club = models.ForeignKey(Club, on_delete=models.CASCADE, related_name="+")
    slug = models.SlugField(max_length=60)
    text = models.TextField(help_text="the exercise file, TOML")
    accepted = models.BooleanField(default=False)
    created_at = models.DateTimeField(auto_now_add=True)
    changed_at = models.DateTimeField()

    class Meta:
        ordering: ClassVar = ["slug"]
        constraints: ClassVar = [models.UniqueConstraint(fields=["club", "slug"], name="own_exercise_once")]

    def __str__(self) -> str:
        return self.slug

    @property
    def title(self) -> str:
        """Return the title that stands in the file, or the slug where none can be read."""
        try:
            title = tomllib.loads(self.text).get("title")
        except tomllib.TOMLDecodeError:
            return self.slug
        return title if isinstance(title, str) and title else self.slug

    @property
    def version(self) -> int:
        """Number of the newest version, counted from 1; 0 before the first."""
        return self.versions.count() if self.pk else 0

    @property
    def in_use(self) -> bool:
        """Whether sessions may be made with it."""
        return self.accepted and self.withdrawn_at is None

    def save_text(
        self, text: str, *, accepted: bool, by: Account | None, why: str = "", based_on: int | None = None
    ) -> None:
        """Keep `text` with what the checks said of it, and add it to the versions.

        Raises
        ------
        ChangedMeanwhileError
            When somebody else saved another version since `based_on`, and this one would write over it.
        """
        with transaction.atomic():
            if based_on is not None and based_on != self.version:
                raise ChangedMeanwhileError(
                    f"{self.title} was changed by somebody else meanwhile (version {self.version}, yours began at "
                    f"{based_on}). Allowed: changes to the newest version. Open it again and enter your change there."
                )
            self.text, self.accepted, self.changed_at = text, accepted, timezone.now()
            if self.pk:
                self.save(update_fields=["text", "accepted", "changed_at"])
            else:
                self.save()
            self.versions.create(
                number=self.version + 1,
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
