"""What to measure next, worked out once for the same athlete, cupboard and venue."""

from __future__ import annotations

from collections import OrderedDict
from dataclasses import dataclass
from datetime import date
from threading import Lock

from django.urls import reverse

from firstpush.core.exercises.loader import library
from firstpush.core.setup.measure_next import MeasureNext, measure_next
from firstpush.web.access import User
from firstpush.web.athletes.models import AthleteRecord
from firstpush.web.exercises.chosen import Contents, ForWhom, case_of
from firstpush.web.sessions.usual_place import usual_place

SHOWN = 5
SEVERAL = 2
"""From so many exercises on they are counted, not named."""
KEPT = 200
_PAGES = {"function": "edit_function", "active_range_deg": "edit_function", "strength": "edit_strength"}


@dataclass(frozen=True, kw_only=True)
class Proposal:
    """One thing to measure, with the address where it is written down."""

    measure: MeasureNext
    address: str

    @property
    def brief(self) -> str:
        """What knowing it decides, without the titles of the exercises where several hang on it."""
        count = len(self.measure.decides)
        if count < SEVERAL:
            return self.measure.words
        if self.measure.of_the_trunk:
            return f"decides whether the best set-ups of {count} exercises hold without added support"
        return f"decides whether {count} exercises can be done"

    @property
    def is_brief(self) -> bool:
        """Whether `brief` leaves out something that is known about it."""
        return self.brief != self.measure.words or bool(self.measure.between)


_kept: OrderedDict[tuple[Contents, date], tuple[MeasureNext, ...]] = OrderedDict()
_lock = Lock()
_one_at_a_time = Lock()


def whom_of(user: User, record: AthleteRecord) -> ForWhom:
    """Return the athlete with what is usual today; with the reference cupboard and venue where there is none yet."""
    place = usual_place(user, record)
    return ForWhom(athlete=record, kit=place.kit, venue=place.venue)


def proposals(whom: ForWhom) -> list[Proposal]:
    """Return what to measure next of an athlete, what would decide most first; takes a second or two the first time."""
    found = known_already(whom)
    if found is not None:
        return found
    with _one_at_a_time:
        key = (whom.contents, whom.on)
        if key not in _kept:
            measured = measure_next(case_of(*key), library().values(), best=SHOWN)
            with _lock:
                _kept[key] = measured
                while len(_kept) > KEPT:
                    _kept.popitem(last=False)
    return known_already(whom) or []


def known_already(whom: ForWhom) -> list[Proposal] | None:
    """Return the same when it was worked out before, None when it was not."""
    with _lock:
        found = _kept.get((whom.contents, whom.on))
    if found is None or whom.athlete is None:
        return None
    return [Proposal(measure=each, address=_address(whom.athlete, each)) for each in found]


def _address(record: AthleteRecord, measure: MeasureNext) -> str:
    part = measure.keys[0].partition(".")[0].partition("[")[0]
    page = "edit_chairs" if part == "chairs" else _PAGES.get(part, "edit_body")
    return reverse(page, kwargs={"id_": record.pk})
