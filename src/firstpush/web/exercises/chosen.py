"""For whom and where exercises are looked at: an athlete, a cupboard and a venue of the club, or the reference body."""

from __future__ import annotations

import json
from dataclasses import dataclass, field
from datetime import date
from functools import cached_property, lru_cache
from typing import Any
from urllib.parse import urlencode

from django.utils import timezone

from firstpush.core.checks.bodies import reference_kit, reference_venue
from firstpush.core.figure.palette import Look, look_for
from firstpush.core.kit.kit_file import kit_from
from firstpush.core.kit.venue_file import venue_from
from firstpush.core.people.age import may_be_junior
from firstpush.core.people.athlete import Athlete
from firstpush.core.people.athlete_file import athlete_from
from firstpush.core.setup.circumstances import Circumstances, circumstances
from firstpush.sheets.catalogue import reference_case
from firstpush.web.athletes.models import AthleteRecord
from firstpush.web.kit.models import KitRecord, VenueRecord

CASES_KEPT = 64

Contents = tuple[str | None, str | None, str | None, bool]
"""Athlete, kit and venue as text, and whether the athlete is a junior."""


@dataclass(kw_only=True)
class ForWhom:
    """Whose exercises, with what, where; what is None is taken from the reference body, cupboard and hall.

    Without an athlete everything is of the reference: a cupboard alone sets nothing up.
    """

    athlete: AthleteRecord | None = None
    kit: KitRecord | None = None
    venue: VenueRecord | None = None
    on: date = field(default_factory=timezone.localdate)

    @cached_property
    def contents(self) -> Contents:
        """What a set-up rests on beside the exercise, as text; of the day only whether the athlete is a junior."""
        if self.athlete is None:
            return (None, None, None, False)
        document = _text(self.athlete.document)
        return (
            document,
            None if self.kit is None else _text(self.kit.document_in_use()),
            None if self.venue is None else _text(self.venue.document),
            may_be_junior(_athlete(document), on=self.on),
        )

    def case(self) -> Circumstances:
        """Return what core computes with; the case of the same contents is made once.

        Raises
        ------
        InputFileError
            When a stored document no longer passes the reader of core.
        """
        return case_of(self.contents, self.on)

    @property
    def query(self) -> str:
        """What names athlete, kit and venue in an address; with its question mark, empty for nobody in particular."""
        if self.athlete is None:
            return ""
        records = {"athlete": self.athlete, "kit": self.kit, "venue": self.venue}
        return "?" + urlencode({name: "" if record is None else record.pk for name, record in records.items()})

    @property
    def look(self) -> Look:
        """How the person is drawn: the athlete always alike, nobody in particular by default."""
        return Look() if self.athlete is None else look_for(self.athlete.name, sex=self.athlete.document.get("sex"))


def _text(document: dict[str, Any]) -> str:
    return json.dumps(document, sort_keys=True, ensure_ascii=False)


@lru_cache(maxsize=CASES_KEPT)
def _athlete(document: str) -> Athlete:
    return athlete_from(json.loads(document), where="athlete")


@lru_cache(maxsize=CASES_KEPT)
def case_of(contents: Contents, on: date) -> Circumstances:
    """Return the case of `contents` on a day; see `ForWhom.case`."""
    athlete, kit, venue, _ = contents
    if athlete is None:
        return reference_case()
    return circumstances(
        _athlete(athlete),
        reference_kit() if kit is None else kit_from(json.loads(kit), where="kit"),
        reference_venue() if venue is None else venue_from(json.loads(venue), where="venue"),
        on=on,
    )
