"""What exercises are chosen by: part, aim, and for whom with what and where."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TypeVar

from django import forms
from django.db.models import Model, QuerySet
from django.http import QueryDict

from firstpush.core.exercises.definition import AIMS, PARTS, Exercise
from firstpush.web import access
from firstpush.web.access import User
from firstpush.web.exercises.chosen import ForWhom
from firstpush.web.exercises.figure_views import whom_of

Stored = TypeVar("Stored", bound=Model)

SHOWN = (("", "all"), ("possible", "only what can be done"))


def chosen_whom(user: User, asked: QueryDict) -> ForWhom:
    """Return for whom a page is asked; with an athlete alone, what today's training has, else what the club has newest.

    A club that has no cupboard, or no venue, is shown the reference ones.
    """
    whom = whom_of(user, asked)
    if whom.athlete is None or ("kit" in asked and "venue" in asked):
        return whom
    today = access.day_plans_for(user).filter(day=whom.on).first()
    if "kit" not in asked:
        whom.kit = today.kit if today is not None and today.kit is not None else _newest(access.kits_for(user))
    if "venue" not in asked:
        whom.venue = today.venue if today is not None and today.kit is not None else _newest(access.venues_for(user))
    return whom


def _newest(records: QuerySet[Stored]) -> Stored | None:
    return records.filter(withdrawn_at=None).order_by("-created_at", "-pk").first()


class WhomForm(forms.Form):
    """Athlete, cupboard and venue; drawn in one line of a page."""

    athlete = forms.ChoiceField(required=False, label="For")
    kit = forms.ChoiceField(required=False, label="with")
    venue = forms.ChoiceField(required=False, label="in")

    def __init__(self, user: User, whom: ForWhom, **more: str) -> None:
        chosen = {"athlete": whom.athlete, "kit": whom.kit, "venue": whom.venue}
        given = {name: record.pk for name, record in chosen.items() if record is not None}
        super().__init__(initial=more | given, prefix=None)
        offered: dict[str, tuple[str, QuerySet[Model]]] = {
            "athlete": ("nobody in particular", access.athletes_for(user)),
            "kit": ("the reference cupboard", access.kits_for(user)),
            "venue": ("the reference hall", access.venues_for(user)),
        }
        for name, (empty, records) in offered.items():
            field = self.fields[name]
            assert isinstance(field, forms.ChoiceField)
            field.choices = [("", empty), *_in_use(records, chosen[name])]
        for each in self.fields.values():
            each.widget.attrs["class"] = "plain"


class ChooseForm(WhomForm):
    """What the list shows, and for whom."""

    part = forms.ChoiceField(required=False, label="Part", choices=[("", "all parts"), *((p, p) for p in PARTS)])
    aim = forms.ChoiceField(required=False, label="Aim", choices=[("", "all aims"), *((a, a) for a in AIMS)])
    show = forms.ChoiceField(required=False, label="Of these", choices=SHOWN)

    field_order = ("part", "aim", "athlete", "kit", "venue", "show")


def _in_use(records: QuerySet[Model], chosen: Model | None) -> list[tuple[int, str]]:
    return [
        (each.pk, str(each))
        for each in records
        if getattr(each, "withdrawn_at", None) is None or (chosen is not None and each.pk == chosen.pk)
    ]


def filtered(exercises: Iterable[Exercise], asked: QueryDict) -> list[Exercise]:
    """Return the exercises of the part and aim asked for, in the order of the parts; an unknown word asks for all."""
    part, aim = asked.get("part"), asked.get("aim")
    in_order = sorted(exercises, key=lambda each: (PARTS.index(each.part), each.title))
    return [
        each for each in in_order if (part not in PARTS or each.part == part) and (aim not in AIMS or aim in each.aims)
    ]
