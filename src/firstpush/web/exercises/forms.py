"""What exercises are chosen by: part, aim, and for whom with what and where."""

from __future__ import annotations

from collections.abc import Iterable

from django import forms
from django.db.models import Model, QuerySet
from django.http import QueryDict

from firstpush.core.exercises.definition import AIMS, PARTS, Exercise
from firstpush.web import access
from firstpush.web.access import User
from firstpush.web.exercises.chosen import ForWhom
from firstpush.web.exercises.figure_views import whom_of

SHOWN = (("", "all"), ("possible", "only what can be done"))


def chosen_whom(user: User, asked: QueryDict) -> ForWhom:
    """Return for whom a page is asked; with an athlete alone, the club's first cupboard and venue are taken."""
    whom = whom_of(user, asked)
    if whom.athlete is not None:
        if "kit" not in asked:
            whom.kit = access.kits_for(user).filter(withdrawn_at=None).first()
        if "venue" not in asked:
            whom.venue = access.venues_for(user).filter(withdrawn_at=None).first()
    return whom


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
    show = forms.ChoiceField(required=False, label="Show", choices=SHOWN)

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
