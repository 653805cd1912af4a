"""What is asked of a programme: the same choices as `firstpush programme` has."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date, time, timedelta
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils import timezone
from django.utils.dateparse import parse_date

from firstpush.core.errors import FirstpushError
from firstpush.core.programme import Break, Calendar
from firstpush.core.programme.calendar import MOST_WEEKS
from firstpush.core.programme.days import DAY_NAMES
from firstpush.core.programme.plan import MATCH_MINUTES
from firstpush.core.session.kinds import KindName, kind_named
from firstpush.web import access
from firstpush.web.access import User
from firstpush.web.athletes.models import AthleteRecord
from firstpush.web.kit.models import KitRecord, VenueRecord
from firstpush.web.sessions.forms import ALONE
from firstpush.web.sessions.usual_place import usual_place

KINDS: tuple[KindName, ...] = ("before training", "strength", "home", "travel")
USUAL: dict[str, Any] = {
    "kind": "before training",
    "minutes": 18,
    "weeks": 6,
    "days": ["0", "2", "4"],
    "light_week": 4,
    "match_minutes": int(MATCH_MINUTES[1]),
    "at": "17:30",
    "back_to_front": 2,
}


class DaysField(forms.Field):
    """Days, one a line, as 2026-12-12."""

    widget = forms.Textarea(attrs={"rows": 3, "placeholder": "2026-12-12"})

    def to_python(self, value: Any) -> tuple[date, ...]:
        """Return the days that were typed, each once, in order."""
        return tuple(sorted({_day(line) for line in str(value or "").splitlines() if line.strip()}))


class BreaksField(forms.Field):
    """Breaks, one a line, as 2026-12-24 to 2027-01-03, or one day alone."""

    widget = forms.Textarea(attrs={"rows": 3, "placeholder": "2026-12-24 to 2027-01-03"})

    def to_python(self, value: Any) -> tuple[Break, ...]:
        """Return the breaks that were typed."""
        found = []
        for line in str(value or "").splitlines():
            if line.strip():
                first, _, last = line.partition(" to ")
                try:
                    found.append(Break(first=_day(first), last=_day(last or first)))
                except FirstpushError as error:
                    raise ValidationError(_as_sentence(error)) from error
        return tuple(found)


class ProgrammeForm(forms.Form):
    """Days, weeks and minutes, and what falls into them."""

    start = forms.DateField(
        label="First day",
        widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"),
        help_text="Weeks count from it.",
    )
    weeks = forms.IntegerField(label="Weeks", min_value=1, max_value=MOST_WEEKS, help_text=f"1 to {MOST_WEEKS}.")
    days = forms.MultipleChoiceField(
        label="Training days of the week",
        choices=[(str(number), name) for number, name in enumerate(DAY_NAMES)],
        widget=forms.CheckboxSelectMultiple,
        error_messages={"required": "Choose the days on which there is training; one is enough."},
    )
    minutes = forms.FloatField(label="Minutes a training day", min_value=1, max_value=120)
    kind = forms.ChoiceField(
        label="Kind of session on training days", choices=[(name, kind_named(name).spoken) for name in KINDS]
    )
    kit = forms.ModelChoiceField(
        label="Kit",
        queryset=KitRecord.objects.none(),
        empty_label=None,
        error_messages={"required": "Choose a cupboard; without one nothing can be laid."},
    )
    venue = forms.ModelChoiceField(
        label="Venue",
        queryset=VenueRecord.objects.none(),
        required=False,
        empty_label="a room with nothing to tie a band to",
        help_text="Only at home or on a journey it can be left out.",
    )
    at = forms.TimeField(
        label="Sessions begin at",
        widget=forms.TimeInput(attrs={"type": "time"}, format="%H:%M"),
        help_text="For the calendar file.",
    )
    # Not "matches": the name of a field hides what a form in a browser calls by that name.
    match_days = DaysField(label="Days of matches", required=False, help_text="One a line, as 2026-12-12.")
    match_minutes = forms.FloatField(
        label="Minutes before a match",
        min_value=MATCH_MINUTES[0],
        max_value=MATCH_MINUTES[1],
        help_text=f"{MATCH_MINUTES[0]:g} to {MATCH_MINUTES[1]:g}.",
    )
    breaks = BreaksField(
        label="Days off, holidays and breaks",
        required=False,
        help_text="Days off and holidays, one a line: one day, as 2026-12-25, or first and last, as 2026-12-24 to "
        "2027-01-03. Holidays are not known here: what is not written is planned.",
    )
    light_week = forms.IntegerField(
        label="A light week every … weeks", min_value=0, max_value=MOST_WEEKS, help_text="4 is usual; 0 for none."
    )
    test_weeks = forms.CharField(
        label="Weeks with tests", required=False, help_text="Their numbers, with commas between them, as 6 or 4, 8."
    )
    back_to_front = forms.FloatField(
        label="Sets at the back of the shoulder for each at its front",
        min_value=0,
        max_value=10,
        help_text="2 is usual.",
    )

    def __init__(self, *args: Any, user: User, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["kit"].queryset = access.kits_for(user).filter(withdrawn_at=None)  # type: ignore[attr-defined]
        self.fields["venue"].queryset = access.venues_for(user).filter(withdrawn_at=None)  # type: ignore[attr-defined]

    @property
    def main_fields(self) -> list[forms.BoundField]:
        """What every programme is asked."""
        return [self[name] for name in ("start", "weeks", "minutes", "kind", "kit", "venue")]

    @property
    def more_fields(self) -> list[forms.BoundField]:
        """What has a usual answer."""
        names = ("test_weeks", "light_week", "match_minutes", "at", "back_to_front")
        return [self[name] for name in names]

    @property
    def day_fields(self) -> list[forms.BoundField]:
        """What falls into it."""
        return [self[name] for name in ("match_days", "breaks")]

    def clean_test_weeks(self) -> tuple[int, ...]:
        """Return the numbers of the weeks."""
        parts = [each.strip() for each in self.cleaned_data["test_weeks"].split(",") if each.strip()]
        if not all(each.isdecimal() and len(each) < 3 for each in parts):
            raise ValidationError("This is no list of weeks. Allowed: numbers with commas between them, as 4, 8.")
        return tuple(sorted({int(each) for each in parts}))

    def clean(self) -> dict[str, Any]:
        """Put a calendar together; core says what fits into it."""
        cleaned = super().clean() or {}
        if "venue" in cleaned and cleaned["venue"] is None and cleaned.get("kind", ALONE[0]) not in ALONE:
            self.add_error(
                "venue",
                f"A session {kind_named(cleaned['kind']).spoken} needs a venue. Allowed: one of the list. "
                "Choose where it takes place.",
            )
        if not self.errors:
            try:
                cleaned["calendar"] = calendar_from(cleaned)
            except FirstpushError as error:
                raise ValidationError(_as_sentence(error)) from error
        return cleaned


def calendar_from(cleaned: Mapping[str, Any]) -> Calendar:
    """Return the calendar that a form asks for; raises what core finds wrong with it."""
    return Calendar(
        start=cleaned["start"],
        weeks=cleaned["weeks"],
        weekdays=tuple(sorted(map(int, cleaned["days"]))),
        light_every=cleaned["light_week"],
        test_weeks=cleaned["test_weeks"],
        breaks=cleaned["breaks"],
        matches=cleaned["match_days"],
    )


def asked_document(cleaned: Mapping[str, Any]) -> dict[str, Any]:
    """Return what a form asked for, to be kept: as it is typed, so that it can be asked again."""
    at: time = cleaned["at"]
    return {
        "format": "firstpush programme request 1",
        "start": cleaned["start"].isoformat(),
        "weeks": cleaned["weeks"],
        "days": list(cleaned["days"]),
        "minutes": cleaned["minutes"],
        "kind": cleaned["kind"],
        "kit_id": cleaned["kit"].pk,
        "venue_id": None if cleaned["venue"] is None else cleaned["venue"].pk,
        "at": at.strftime("%H:%M"),
        "matches": [day.isoformat() for day in cleaned["match_days"]],
        "match_minutes": cleaned["match_minutes"],
        "breaks": [[each.first.isoformat(), each.last.isoformat()] for each in cleaned["breaks"]],
        "light_week": cleaned["light_week"],
        "test_weeks": list(cleaned["test_weeks"]),
        "back_to_front": cleaned["back_to_front"],
    }


def initial_of(asked: Mapping[str, Any] | None, user: User, record: AthleteRecord) -> dict[str, Any]:
    """Return what the form shows first: what was asked last, or what is usual for an athlete, from the next Monday."""
    if asked is None:
        today = timezone.localdate()
        place = usual_place(user, record)
        monday = today + timedelta(days=(7 - today.weekday()) % 7)
        return USUAL | {"start": monday, "kit": place.kit, "venue": place.venue}
    return {
        **{name: asked[name] for name in (*USUAL, "start")},
        "kit": asked["kit_id"],
        "venue": asked["venue_id"],
        "match_days": "\n".join(asked["matches"]),
        "breaks": "\n".join(first if first == last else f"{first} to {last}" for first, last in asked["breaks"]),
        "test_weeks": ", ".join(map(str, asked["test_weeks"])),
    }


def _day(text: str) -> date:
    try:
        found = parse_date(text.strip())
    except ValueError:
        found = None
    if found is None:
        raise ValidationError(f"“{text.strip()}” is no day. Allowed: year, month and day, as 2026-12-12.")
    return found


def _as_sentence(error: FirstpushError) -> str:
    told = str(error)
    return told[:1].upper() + told[1:]
