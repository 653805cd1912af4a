"""Records that hold a document in the structure of its file, and the versions of it, which are only ever added."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, ClassVar

from django.conf import settings
from django.db import models, transaction
from django.utils import timezone

from firstpush.web.club.models import Account, Club
from firstpush.web.errors import ChangedMeanwhileError


class Withdrawable(models.Model):
    """What can be taken out of use and put back, and is never deleted by that."""

    withdrawn_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        abstract = True

    def withdraw(self) -> None:
        """Take it out of use; it stays readable, and `put_back` undoes it."""
        self.withdrawn_at = timezone.now()
        self.save(update_fields=["withdrawn_at"])

    def put_back(self) -> None:
        """Take it into use again."""
        self.withdrawn_at = None
        self.save(update_fields=["withdrawn_at"])


class VersionedRecord(Withdrawable):
    """What a club keeps of an athlete, a kit or a venue; `version_model` holds every state it ever had.

    The name is the document's own; it is kept beside it only so that lists can be sorted and searched.
    """

    name = models.CharField(max_length=120, editable=False)
    document = models.JSONField()
    created_at = models.DateTimeField(auto_now_add=True)
    changed_at = models.DateTimeField()

    class Meta:
        abstract = True

    def __str__(self) -> str:
        return self.name

    @property
    def version(self) -> int:
        """Number of the newest version, counted from 1; 0 before the first."""
        newest = self.versions.order_by("-number").first()  # type: ignore[attr-defined]
        return 0 if newest is None else int(newest.number)

    def read(self) -> Any:
        """Return the document as core reads it.

        Raises
        ------
        InputFileError
            With every fault of the document.
        """
        raise NotImplementedError

    def save_document(
        self, document: Mapping[str, Any], *, by: Account | None, based_on: int | None = None, why: str = ""
    ) -> None:
        """Check `document`, keep it, and add it to the versions; nothing is written when it has a fault.

        Parameters
        ----------
        document : mapping
            In the structure of the file.
        by : Account or None
            Who made it; None for the program.
        based_on : int, optional
            Number of the version that was looked at while changing it.
        why : str
            The reason, in the words of who changed it.

        Raises
        ------
        InputFileError
            With every fault of the document.
        ChangedMeanwhileError
            When somebody else saved another version since `based_on`.
        """
        before = self.document, self.name
        self.document = dict(document)
        try:
            self.read()
            with transaction.atomic():
                self._add_version(by=by, based_on=based_on, why=why)
        except Exception:
            self.document, self.name = before
            raise

    def _add_version(self, *, by: Account | None, based_on: int | None, why: str) -> None:
        self.name = str(self.document["name"]).strip()
        self.changed_at = timezone.now()
        newest = self.version if self.pk else 0
        if based_on is not None and based_on != newest:
            raise ChangedMeanwhileError(
                f"{self.name} was changed by somebody else meanwhile (version {newest}, yours began at {based_on}). "
                "Allowed: changes to the newest version. Open it again and enter your change there."
            )
        if self.pk:
            self.save(update_fields=["name", "document", "changed_at"])
        else:
            self.save()
        self.versions.create(  # type: ignore[attr-defined]
            number=newest + 1, document=self.document, made_by=by, made_at=self.changed_at, why=why
        )


class ClubRecord(VersionedRecord):
    """A versioned record that belongs to a club."""

    club = models.ForeignKey(Club, on_delete=models.CASCADE, related_name="+")

    class Meta:
        abstract = True
        ordering: ClassVar = ["name", "id"]


class Version(models.Model):
    """One state of something: added once, never changed."""

    number = models.PositiveIntegerField()
    # An account that made something is withdrawn, not deleted: the history keeps its author.
    made_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, blank=True, related_name="+"
    )
    made_at = models.DateTimeField()
    why = models.TextField(blank=True)

    class Meta:
        abstract = True
        ordering: ClassVar = ["number"]

    def __str__(self) -> str:
        return f"version {self.number}"
