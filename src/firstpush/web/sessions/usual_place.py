"""Where an athlete trains on a day, and with what, before anybody has said it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from django.utils import timezone

from firstpush.web import access
from firstpush.web.access import User
from firstpush.web.athletes.models import AthleteRecord
from firstpush.web.kit.models import KitRecord, VenueRecord
from firstpush.web.sessions.models import PlanVersion


@dataclass(frozen=True, kw_only=True)
class UsualPlace:
    """A cupboard and a venue, both in use; without a venue it is a room, without a cupboard the club has none."""

    kit: KitRecord | None
    venue: VenueRecord | None


def usual_place(user: User, record: AthleteRecord, on: date | None = None) -> UsualPlace:
    """Return what the training day has; else what the athlete's last session had, else what the club trained with last.

    Parameters
    ----------
    user
        Whose club it is.
    record : AthleteRecord
    on : date, optional
        The day; left out, today.
    """
    kits = access.kits_for(user).filter(withdrawn_at=None)
    venues = access.venues_for(user).filter(withdrawn_at=None)
    day = on if on is not None else timezone.localdate()
    days = access.day_plans_for(user).filter(kit__withdrawn_at=None, venue__withdrawn_at=None).exclude(kit=None)
    chosen = days.filter(day=day).first()
    if chosen is None:
        last = PlanVersion.objects.filter(plan__athlete=record).order_by("-plan__number", "-number")
        ids = last.values_list("request__kit_id", "request__venue_id").first()
        kit = None if ids is None else kits.filter(pk=ids[0]).first()
        venue = None if ids is None else venues.filter(pk=ids[1]).first()
        if kit is not None and ids is not None and (venue is not None or ids[1] is None):
            return UsualPlace(kit=kit, venue=venue)
        chosen = days.filter(day__lt=day).order_by("-day").first()
    if chosen is not None:
        return UsualPlace(kit=chosen.kit, venue=chosen.venue)
    return UsualPlace(kit=kits.first(), venue=venues.first())
