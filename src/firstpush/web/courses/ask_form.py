"""What a course is laid for: who drives it, on which floor, how far apart, which way round."""

from __future__ import annotations

from typing import Any

from django import forms
from django.http import QueryDict

from firstpush.core.checks.bodies import reference_venue
from firstpush.core.courses import LAYOUTS, CourseError, lay_out, layout_named, least_by_geometry
from firstpush.core.kit.venue import Venue
from firstpush.web import access
from firstpush.web.access import User
from firstpush.web.courses.chosen import Chosen, Driver, Source, areas_of, drivers_for, floor_choices, venue_for
from firstpush.web.forms import NumberField
from firstpush.web.kit.models import VenueRecord

WAYS = (("left", "begins on the left"), ("right", "the other way round"))
_PLAIN = {"class": "plain"}


class AskForm(forms.Form):
    """All of it stands in the address, so that a laid course can be kept as a link, and works without script."""

    athlete = forms.MultipleChoiceField(label="For", required=False, widget=forms.CheckboxSelectMultiple)
    venue = forms.ChoiceField(label="In", required=False)
    floor = forms.ChoiceField(label="On", required=False)
    spacing_m = NumberField(required=False)
    count = NumberField(whole=True, required=False)
    first = forms.ChoiceField(label="Way round", required=False, choices=WAYS)

    def __init__(self, user: User, source: Source, asked: QueryDict) -> None:
        # What is not the club's is not there: this answers 404 before anything is said of the rest.
        self.drivers: tuple[Driver, ...] = drivers_for(user, asked)
        self.hall: VenueRecord | None = venue_for(user, asked)
        data = asked.copy()
        if "venue" not in data:
            data["venue"] = "" if self.hall is None else str(self.hall.pk)
        if data.get("first") not in dict(WAYS):
            data["first"] = "left"
        super().__init__(data, label_suffix="")
        self.source = source
        self.venue_read: Venue = reference_venue() if self.hall is None else self.hall.read()
        self.areas: Any = ()
        chosen = {each.record.pk for each in self.drivers if each.record is not None}
        in_use = [each for each in access.athletes_for(user) if each.withdrawn_at is None or each.pk in chosen]
        self._choices("athlete", [(str(each.pk), str(each)) for each in in_use])
        venues = access.venues_for(user)
        here = [each for each in venues if each.withdrawn_at is None or each == self.hall]
        self._choices("venue", [("", "a hall of 32 by 19 m"), *((str(each.pk), str(each)) for each in here)])
        self._choices("floor", floor_choices())
        if source.own is not None:
            self._choices("first", [("left", "as it is written"), WAYS[1]])
        layout = LAYOUTS.get(source.slug)
        if layout is None:
            del self.fields["spacing_m"], self.fields["count"]
        else:
            word = layout.spacing_word
            self.fields["spacing_m"].label = f"{word[:1].upper()}{word[1:]} (m)"
            fewest, usual, most = layout.counts
            counted = layout.counted
            self.fields["count"].label = f"{counted[:1].upper()}{counted[1:]}"
            self.fields["spacing_m"].widget.attrs["placeholder"] = "the usual"
            self.fields["count"].widget.attrs["placeholder"] = str(usual)
            if fewest == most:
                del self.fields["count"]
        for name, each in self.fields.items():
            if name != "athlete":
                each.widget.attrs["class"] = "plain"

    def _choices(self, name: str, choices: list[tuple[str, str]]) -> None:
        field = self.fields[name]
        assert isinstance(field, forms.ChoiceField)
        field.choices = choices

    def clean(self) -> dict[str, Any]:
        """Refuse what cannot be laid out at all, beside its field; what does not fit is an answer, and no fault."""
        given = dict(super().clean() or self.cleaned_data)
        if "floor" not in self.errors:
            try:
                self.areas = areas_of(self.venue_read, given.get("floor", ""))
            except CourseError as error:
                self.add_error("floor", str(error))
        if self.source.own is None and not self.errors:
            self._refuse_lengths(given)
        return given

    def _refuse_lengths(self, given: dict[str, Any]) -> None:
        slug, outline, count = self.source.slug, self.drivers[0].outline, given.get("count")
        if count is not None and not isinstance(count, int):
            self.add_error("count", "This is not a whole number. Write digits.")
            return
        try:
            least_by_geometry(slug, outline=outline, count=count)
        except CourseError as error:
            self.add_error("count" if "count" in self.fields else None, _sentence(error))
            return
        try:
            lay_out(slug, outline=outline, spacing=given.get("spacing_m"), count=count)
        except CourseError as error:
            self.add_error("spacing_m", _sentence(error))

    def chosen(self) -> Chosen:
        """Return what is laid, of a valid form."""
        given = self.cleaned_data
        return Chosen(
            source=self.source,
            drivers=self.drivers,
            venue=self.venue_read,
            areas=self.areas,
            spacing=given.get("spacing_m"),
            count=given.get("count"),
            first="right" if given["first"] == "right" else "left",
        )

    def query(self, **changes: object) -> str:
        """Return the address's own words with some of them changed; None takes one out."""
        data = QueryDict(mutable=True)
        for name in self.fields:
            data.setlist(name, [each for each in self.data.getlist(name) if each])  # type: ignore[attr-defined]
        # An empty venue says "none", which is not the same as not saying it.
        data["venue"] = self.data["venue"]
        for name, value in changes.items():
            if value is None:
                data.pop(name, None)
            else:
                data[name] = str(value)
        return "?" + data.urlencode()


def _sentence(error: CourseError) -> str:
    words = str(error)
    return words[:1].upper() + words[1:]


def layout_title(slug: str) -> str:
    """Return the title of a layout as it stands on a page."""
    title = layout_named(slug).title
    return title[:1].upper() + title[1:]
