"""Cupboards, venues, and the bands that were taken out of use."""

from __future__ import annotations

import copy
from typing import Any, ClassVar

from django.conf import settings
from django.db import models

from firstpush.core.kit.kit import Kit
from firstpush.core.kit.kit_file import kit_from
from firstpush.core.kit.venue import Venue
from firstpush.core.kit.venue_file import venue_from
from firstpush.web.documents import ClubRecord, Version


class KitRecord(ClubRecord):
    """A cupboard; the document is the kit file."""

    def read(self) -> Kit:
        """Return the kit as core reads it, withdrawn bands included; raises `InputFileError` with every fault."""
        return kit_from(self.document, where=f"kit {self.document.get('name') or 'without a name'}")

    def kit(self) -> Kit:
        """Return the kit that can be used: what was withdrawn is not in it."""
        return kit_from(self.document_in_use(), where=f"kit {self.name}")

    def document_in_use(self) -> dict[str, Any]:
        """Return the document without the bands that were withdrawn."""
        document: dict[str, Any] = copy.deepcopy(self.document)
        out: dict[str, int] = {}
        for each in self.withdrawals.filter(brought_back_on=None):
            out[each.band] = out.get(each.band, 0) + each.count
        bands = []
        for band in document.get("bands", []):
            left = band.get("count", 1) - out.get(band["name"], 0)
            if left > 0:
                bands.append(band | {"count": left})
        if "bands" in document:
            document["bands"] = bands
        return document


class KitVersion(Version):
    """A state of a kit's document."""

    record = models.ForeignKey(KitRecord, on_delete=models.CASCADE, related_name="versions")
    document = models.JSONField()

    class Meta(Version.Meta):
        constraints: ClassVar = [models.UniqueConstraint(fields=["record", "number"], name="kit_version_once")]


class BandWithdrawal(models.Model):
    """Bands taken out of use: torn, worn, lost.  `band` is the name in the kit's document."""

    kit = models.ForeignKey(KitRecord, on_delete=models.CASCADE, related_name="withdrawals")
    band = models.CharField(max_length=120)
    count = models.PositiveSmallIntegerField(default=1)
    day = models.DateField()
    reason = models.CharField(max_length=200)
    made_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, blank=True, related_name="+"
    )
    made_at = models.DateTimeField(auto_now_add=True)
    brought_back_on = models.DateField(null=True, blank=True)
    brought_back_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, blank=True, related_name="+"
    )

    class Meta:
        ordering: ClassVar = ["day", "id"]

    def __str__(self) -> str:
        return f"{self.count} × {self.band}: {self.reason}"


class BandCheck(models.Model):
    """A look at a band that found no wear.  `band` is the name in the kit's document; `who` is who looked."""

    kit = models.ForeignKey(KitRecord, on_delete=models.CASCADE, related_name="checks")
    band = models.CharField(max_length=120)
    day = models.DateField()
    who = models.CharField(max_length=120)
    remark = models.CharField(max_length=200, blank=True)
    made_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, blank=True, related_name="+"
    )
    made_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering: ClassVar = ["day", "id"]

    def __str__(self) -> str:
        return f"{self.band}: looked over by {self.who}"


class VenueRecord(ClubRecord):
    """A hall or court; the document is the venue file."""

    def read(self) -> Venue:
        """Return the venue as core reads it; raises `InputFileError` with every fault."""
        return venue_from(self.document, where=f"venue {self.document.get('name') or 'without a name'}")

    def venue(self) -> Venue:
        """Return the venue as core reads it."""
        return self.read()


class VenueVersion(Version):
    """A state of a venue's document."""

    record = models.ForeignKey(VenueRecord, on_delete=models.CASCADE, related_name="versions")
    document = models.JSONField()

    class Meta(Version.Meta):
        constraints: ClassVar = [models.UniqueConstraint(fields=["record", "number"], name="venue_version_once")]
