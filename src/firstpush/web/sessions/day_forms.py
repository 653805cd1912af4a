"""Forms of the training day: what holds for everybody, and what happened."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, cast

from django import forms
from django.core.exceptions import ValidationError
from django.utils.safestring import SafeString

from firstpush.core.kit.kit_file import kit_from
from firstpush.core.kit.venue_file import venue_from
from firstpush.core.people.athlete import PAIN_PLACES
from firstpush.core.session.kinds import KIND_NAMES
from firstpush.web import access
from firstpush.web.access import User
from firstpush.web.athletes.models import AthleteRecord
from firstpush.web.kit.models import KitRecord, VenueRecord
from firstpush.web.reckoned import Reckoned, document_key
from firstpush.web.sessions.day_state import DAY_KINDS, Now
from firstpush.web.sessions.models import DayPlan

Posted = Mapping[str, Any] | None
SHOULDER_PLACES = tuple(place for place in PAIN_PLACES if place.startswith("shoulder"))
_CAPITAL = {name: name[:1].upper() + name[1:] for name in (*KIND_NAMES, *SHOULDER_PLACES)}


_DRAWN: Reckoned[SafeString] = Reckoned(most=64)
_COUNTS: Reckoned[dict[str, int]] = Reckoned(most=16)
_POSTS: Reckoned[tuple[str, ...]] = Reckoned(most=16)


def _counts(kit: dict[str, Any]) -> dict[str, int]:
    """Return how many there are of each band of a cupboard's document."""
    return _COUNTS.of(document_key(kit), lambda: {band.name: band.count for band in kit_from(kit, where="kit").bands})


def _posts(venue: dict[str, Any]) -> tuple[str, ...]:
    """Return the posts of a venue's document."""
    return _POSTS.of(document_key(venue), lambda: tuple(post.name for post in venue_from(venue, where="venue").posts))


class _DrawnOnce(forms.Form):
    """A form that is drawn once for the same choices and the same beginning, as long as nothing was sent with it."""

    def render(self, *args: Any, **kwargs: Any) -> SafeString:
        """Return the form as it looks; what was sent is drawn anew."""
        if self.is_bound or args or kwargs:
            return super().render(*args, **kwargs)
        fields: dict[str, Any] = dict(self.fields)
        # By its iterator: `list` would ask the database first how many there are.
        choices = [(name, [*iter(field.choices)]) for name, field in fields.items() if hasattr(field, "choices")]
        for name, found in choices:
            # Otherwise each look at the choices is a question to the database.
            fields[name].choices = found
        told = repr([(name, [(str(value), label) for value, label in found]) for name, found in choices])
        return _DRAWN.of((type(self), repr(self.initial), told), super().render)

    __str__ = render
    __html__ = render


class DayForm(_DrawnOnce):
    """Where, with what, how long and which kind: once for everybody."""

    venue = forms.ModelChoiceField(
        VenueRecord.objects.none(), required=False, empty_label="a room with nothing to tie a band to"
    )
    kit = forms.ModelChoiceField(KitRecord.objects.none(), empty_label=None, label="Cupboard")
    minutes = forms.IntegerField(min_value=1, max_value=120, help_text="from the first check to the end, 1 to 120")
    kind = forms.ChoiceField(choices=[(name, _CAPITAL[name]) for name in DAY_KINDS], label="Kind of session")

    def __init__(self, data: Posted = None, *, user: User, plan: DayPlan) -> None:
        initial = {"venue": plan.venue_id, "kit": plan.kit_id, "minutes": int(plan.minutes), "kind": plan.kind}
        super().__init__(data, initial=initial, prefix="day")
        self._plan = plan
        for name, found in (("venue", access.venues_for(user)), ("kit", access.kits_for(user))):
            choice = cast("forms.ModelChoiceField[Any]", self.fields[name])
            choice.queryset = found.filter(withdrawn_at=None)

    def save(self) -> DayPlan:
        """Keep it for the day."""
        plan, given = self._plan, self.cleaned_data
        plan.venue, plan.kit = given["venue"], given["kit"]
        plan.minutes, plan.kind = float(given["minutes"]), given["kind"]
        # A day of which nothing was stored yet is stored whole.
        plan.save(update_fields=None if plan._state.adding else ["venue", "kit", "minutes", "kind", "changed_at"])
        return plan


class SoreForm(_DrawnOnce):
    """A shoulder that hurts today."""

    athlete = forms.ModelChoiceField(AthleteRecord.objects.none(), empty_label="who?")
    side = forms.ChoiceField(choices=[("left", "Left"), ("right", "Right")], widget=forms.RadioSelect)
    place = forms.ChoiceField(choices=[("", "where?"), *((place, _CAPITAL[place]) for place in SHOULDER_PLACES)])
    now = forms.TypedChoiceField(
        choices=[(number, str(number)) for number in range(11)],
        coerce=int,
        widget=forms.RadioSelect,
        label="Pain now",
        help_text="0 is none, 10 the worst; from 6 that arm is not loaded today",
    )

    def __init__(self, data: Posted = None, *, user: User) -> None:
        super().__init__(data, prefix="sore")
        choice = cast("forms.ModelChoiceField[AthleteRecord]", self.fields["athlete"])
        choice.queryset = access.athletes_for(user).filter(withdrawn_at=None)


class TornForm(_DrawnOnce):
    """Bands that must be taken out of use; their choices are those of the day's cupboard."""

    band = forms.ChoiceField(label="Which")
    count = forms.IntegerField(min_value=1, initial=1, label="How many")
    reason = forms.CharField(max_length=200, initial="torn")

    def __init__(self, data: Posted = None, *, now: Now) -> None:
        super().__init__(data, prefix="torn")
        self._counts = {} if now.plan.kit is None else _counts(now.kit(now.plan.kit_id))
        choices = [(name, f"{name} ({count} in use)") for name, count in self._counts.items()]
        cast("forms.ChoiceField", self.fields["band"]).choices = [("", "which?"), *choices]

    def clean(self) -> dict[str, Any]:
        """Refuse more bands than there are."""
        cleaned = super().clean() or self.cleaned_data
        band, count = cleaned.get("band"), cleaned.get("count")
        if band and count and count > self._counts[band]:
            raise ValidationError(
                {"count": f"{count} of {band} are not there. Allowed: 1 to {self._counts[band]}. Correct the number."}
            )
        return cleaned


class TakenForm(_DrawnOnce):
    """A post that is not to be had today; the choices are those of the day's venue."""

    post = forms.ChoiceField(label="Which")

    def __init__(self, data: Posted = None, *, now: Now) -> None:
        super().__init__(data, prefix="taken")
        posts = () if now.plan.venue is None else _posts(now.plan.venue.document)
        choices = [(name, name) for name in posts if name not in now.taken]
        cast("forms.ChoiceField", self.fields["post"]).choices = [("", "which?"), *choices]
