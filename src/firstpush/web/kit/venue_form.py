"""A venue as a form: floor, helpers, and what a band can be tied to."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any, ClassVar

from django import forms
from django.forms.formsets import formset_factory
from django.http import QueryDict

from firstpush.core.setup.floor_grip import SURFACES
from firstpush.web.forms import NumberField
from firstpush.web.kit.entry import DocumentForm, Entry, RowForm, Table, WhyForm
from firstpush.web.kit.fields import HeightsField, select

KEYS = ("name", "sport", "surface", "floor_length_m", "floor_width_m", "helpers")


class VenueForm(WhyForm):
    """What stands once for a venue."""

    name = forms.CharField(max_length=120, label="Name", error_messages={"required": "Give it a name."})
    sport = forms.CharField(max_length=120, required=False, label="Sport", help_text="what is played there")
    surface = select((), label="Floor", help_text="not known counts as the least grip")
    floor_length_m = NumberField(required=False, label="Length of the floor (m)", help_text="with the run-off")
    floor_width_m = NumberField(required=False, label="Width of the floor (m)")
    helpers = NumberField(
        whole=True, required=False, label="Helpers", help_text="people who block chairs and hand things over"
    )
    field_order = KEYS

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        # A file may say another word; it stays what it is until somebody chooses.
        said = (kwargs.get("initial") or {}).get("surface") or ""
        other = [] if said in ("", "unknown", *SURFACES) else [(said, f"{said} (its grip is not known)")]
        field = self.fields["surface"]
        assert isinstance(field, forms.ChoiceField)
        field.choices = [("", "not known"), *((word, word) for word in SURFACES), *other]

    def table(self) -> Table:
        """Return the venue as the top of the document."""
        given = self.cleaned_data
        return {key: given[key] for key in KEYS if given.get(key) not in (None, "")}


class PostForm(RowForm):
    """Something that a band can be tied to."""

    name = forms.CharField(max_length=120, required=False, label="What it is")
    height_from_m = NumberField(required=False, label="Lowest (m)")
    height_to_m = NumberField(required=False, label="Highest (m)")
    height_step_m = NumberField(required=False, label="Every (m)", help_text="empty: at any height")
    heights = HeightsField(required=False, label="Or these heights (m)", help_text="0.45; 1.05")
    room_in_front_m = NumberField(required=False, label="Free floor before it (m)")
    places = NumberField(whole=True, required=False, label="Athletes at a time", help_text="1 when empty")

    fields_by_key: ClassVar = {"from": "height_from_m", "to": "height_to_m", "step": "height_step_m"}
    typed = ("name", "height_from_m", "height_to_m", "height_step_m", "heights", "room_in_front_m", "places")
    needed: ClassVar = {"name": "Give it a name.", "room_in_front_m": "Measure how much floor is free before it."}

    def field_of(self, key: str) -> str:
        """Return the field of `key`; heights are a range or a list."""
        if key.partition("[")[0] == "heights_m":
            return "heights" if self.cleaned_data.get("heights") else "height_from_m"
        return super().field_of(key)

    def clean(self) -> Table:
        """Ask for one way of saying the heights."""
        cleaned = super().clean()
        ends = [cleaned.get("height_from_m"), cleaned.get("height_to_m")]
        listed, faulty = cleaned.get("heights"), {"heights", "height_from_m", "height_to_m"} & set(self.errors)
        if self.is_blank or faulty:
            return cleaned
        if listed and any(each is not None for each in (*ends, cleaned.get("height_step_m"))):
            self.add_error(
                "heights", "Give the lowest and the highest, or a list of heights, and leave the other empty."
            )
        elif not listed and None in ends:
            missing = "height_from_m" if ends[0] is None else "height_to_m"
            self.add_error(missing, "Say from where to where a band can be tied, or list the heights.")
        return cleaned

    def table(self) -> Table:
        """Return the post as a table of the document."""
        given = self.cleaned_data
        heights: Any = given.get("heights")
        if not heights:
            ends = {
                "from": given.get("height_from_m"),
                "to": given.get("height_to_m"),
                "step": given.get("height_step_m"),
            }
            heights = {key: value for key, value in ends.items() if value is not None}
        post = {key: given.get(key) for key in ("name", "room_in_front_m", "places")} | {"heights_m": heights}
        return {key: value for key, value in post.items() if value not in (None, "", {})}


class VenueEntry(Entry):
    """A venue with its posts; without a document, a new one."""

    def __init__(self, data: QueryDict | None, *, document: Table | None = None, version: int | None = None) -> None:
        stored = document or {}
        rows: type[Any] = formset_factory(PostForm, extra=2, max_num=60)
        posts = [_initial(post) for post in stored.get("posts", [])]
        super().__init__(
            VenueForm(data, initial={"based_on": version, **{key: stored.get(key) for key in KEYS}}),
            {"posts": rows(data, prefix="posts", initial=posts)},
        )

    def document(self) -> Table:
        """Return the document of the venue."""
        assert isinstance(self.form, VenueForm)
        posts = self.tables("posts")
        return self.form.table() | ({"posts": posts} if posts else {})

    def places(self) -> Iterator[tuple[str, DocumentForm]]:
        """Yield the tables; the range of heights of a post stands in the post's row."""
        yield from super().places()
        for index, row in enumerate(self.used("posts")):
            yield f"posts[{index}].heights_m", row


def _initial(post: Table) -> Table:
    heights = post.get("heights_m")
    if isinstance(heights, dict):
        given = {f"height_{key}_m": heights.get(key) for key in ("from", "to", "step")}
    else:
        given = {"heights": heights}
    return {key: post.get(key) for key in ("name", "room_in_front_m", "places")} | given
