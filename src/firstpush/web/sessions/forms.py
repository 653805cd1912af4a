"""Forms of a session: what is asked of it, and how an exercise is set up by hand."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from itertools import groupby
from typing import Any

from django import forms
from django.utils import timezone

from firstpush.core.exercises.definition import AIMS, PARTS, Exercise
from firstpush.core.people.athlete import SIDES, Side
from firstpush.core.session.asked import Asked
from firstpush.core.session.compose import LARGEST_MINUTES
from firstpush.core.session.kinds import KIND_NAMES, KindName, kind_named
from firstpush.core.setup.by_hand import HandChoices, LaidByHand, SetupByHand
from firstpush.core.words import listed
from firstpush.web import access
from firstpush.web.access import User
from firstpush.web.kit.models import KitRecord, VenueRecord
from firstpush.web.sessions.making import USUAL_MINUTES
from firstpush.web.sessions.request import SessionRequest

ALONE: tuple[KindName, ...] = ("home", "travel")
"""Kinds of session that can do without a venue."""


def _spoken(kinds: Collection[KindName], *, without: bool = False) -> str:
    """Return kinds as they are spoken of, or those `without` them: "at home or on a journey"."""
    return listed([kind_named(name).spoken for name in KIND_NAMES if (name in kinds) != without], last="or")


VENUE_MAY_STAY = f"A session {_spoken(ALONE)} can do without one."
Grouped = list[tuple[str, list[tuple[str, str]]]]


def by_part(exercises: Mapping[str, Exercise]) -> Grouped:
    """Return exercises as choices, by the part of the session they belong to."""
    in_order = sorted(exercises.values(), key=lambda each: (PARTS.index(each.part), each.title))
    return [
        (part.capitalize(), [(each.id, each.title) for each in group])
        for part, group in groupby(in_order, key=lambda each: each.part)
    ]


class KindSelect(forms.Select):
    """Kinds of session; those that can do without a venue say so to the page that shows what is true for one."""

    def create_option(self, name: str, value: Any, *args: Any, **kwargs: Any) -> dict[str, Any]:
        option = super().create_option(name, value, *args, **kwargs)
        return option | {"attrs": option["attrs"] | ({"data-alone": True} if value in ALONE else {})}


class SessionForm(forms.Form):
    """What is asked of a session."""

    kind = forms.ChoiceField(
        label="Kind of session",
        widget=KindSelect,
        choices=[
            (name, f"{name}, {kind_named(name).usual_minutes[0]:g} to {kind_named(name).usual_minutes[1]:g} min")
            for name in KIND_NAMES
        ],
    )
    minutes = forms.FloatField(label="Minutes", min_value=1, max_value=LARGEST_MINUTES)
    on = forms.DateField(label="Day", widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"))
    kit = forms.ModelChoiceField(
        label="Kit",
        queryset=KitRecord.objects.none(),
        empty_label=None,
        error_messages={"required": "Choose the cupboard that is taken along; without one nothing can be laid."},
    )
    venue = forms.ModelChoiceField(
        label="Venue",
        queryset=VenueRecord.objects.none(),
        required=False,
        empty_label="a room with nothing to tie a band to",
        help_text=f"A session {_spoken(ALONE, without=True)} needs one.",
    )
    aims = forms.MultipleChoiceField(
        label="Aims that must be trained",
        choices=[(aim, aim) for aim in AIMS],
        required=False,
        widget=forms.CheckboxSelectMultiple,
    )
    keep = forms.MultipleChoiceField(
        label="Exercises that must be there", required=False, widget=forms.CheckboxSelectMultiple
    )
    without = forms.MultipleChoiceField(
        label="Exercises that must not be there", required=False, widget=forms.CheckboxSelectMultiple
    )
    back_to_front = forms.FloatField(
        label="Sets at the back of the shoulder for each at its front",
        min_value=0,
        max_value=10,
        help_text="2 is usual.",
    )

    def __init__(self, *args: Any, user: User, exercises: Mapping[str, Exercise], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["kit"].queryset = access.kits_for(user).filter(withdrawn_at=None)  # type: ignore[attr-defined]
        self.fields["venue"].queryset = access.venues_for(user).filter(withdrawn_at=None)  # type: ignore[attr-defined]
        if not self.fields["venue"].queryset.exists():  # type: ignore[attr-defined]
            self.fields["venue"].help_text = "No venue is written down yet: bands are tied to no post."
        for name in ("keep", "without"):
            self.fields[name].choices = by_part(exercises)  # type: ignore[attr-defined]

    @property
    def venue_may_stay(self) -> str:
        """What is said of the venue where a session can do without; empty while the club has none for any kind."""
        return VENUE_MAY_STAY if self.fields["venue"].queryset.exists() else ""  # type: ignore[attr-defined]

    @property
    def main_fields(self) -> list[forms.BoundField]:
        """What every session is asked."""
        return [self[name] for name in ("kind", "minutes", "on", "kit", "venue")]

    @property
    def wish_fields(self) -> list[forms.BoundField]:
        """What may be asked by hand."""
        return [self[name] for name in ("aims", "keep", "without", "back_to_front")]

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        none_chosen = "venue" in cleaned and cleaned["venue"] is None
        # A club without any venue trains in a room until it has written one down.
        if none_chosen and cleaned.get("kind", ALONE[0]) not in ALONE and self.fields["venue"].queryset.exists():  # type: ignore[attr-defined]
            self.add_error(
                "venue",
                f"A session {kind_named(cleaned['kind']).spoken} needs a venue. Allowed: one of the list. "
                "Choose where it takes place.",
            )
        return cleaned

    def request(self, before: SessionRequest | None = None) -> SessionRequest:
        """Return what is asked; `before` keeps what was done by hand beside it."""
        cleaned = self.cleaned_data
        before = before if before is not None else SessionRequest(minutes=USUAL_MINUTES)
        kept = tuple(cleaned["keep"])
        return SessionRequest(
            minutes=cleaned["minutes"],
            kind=kind_named(cleaned["kind"]).name,
            on=cleaned["on"],
            kit_id=cleaned["kit"].pk,
            venue_id=None if cleaned["venue"] is None else cleaned["venue"].pk,
            asked=Asked(
                keep=kept,
                without=tuple(cleaned["without"]),
                doses=tuple(each for each in before.asked.doses if each[0] not in cleaned["without"]),
                aims=tuple(cleaned["aims"]),
                back_to_front=cleaned["back_to_front"],
                earlier=before.asked.earlier,
            ),
            by_hand=before.by_hand,
        )


def asked_before(request: SessionRequest) -> dict[str, Any]:
    """Return a request as the form shows it."""
    return {
        "kind": request.kind,
        "minutes": f"{request.minutes:g}",
        "on": request.on or timezone.localdate(),
        "kit": request.kit_id,
        "venue": request.venue_id,
        "aims": list(request.asked.aims),
        "keep": list(request.asked.keep),
        "without": list(request.asked.without),
        "back_to_front": f"{request.asked.back_to_front:g}",
    }


class SetupForm(forms.Form):
    """How the band of one exercise is laid by hand, or the load that is wanted of it."""

    side = forms.ChoiceField(label="For", choices=[])
    band = forms.ChoiceField(label="Band", choices=[])
    mark = forms.ChoiceField(label="Tape mark", choices=[], help_text="Slack length from the anchor to the hand.")
    post = forms.ChoiceField(label="Post", choices=[])
    height = forms.ChoiceField(label="Height on the post", choices=[])
    distance = forms.ChoiceField(label="Distance", choices=[])
    load_nm = forms.FloatField(
        label="Or a load wanted, in N·m",
        required=False,
        min_value=0.1,
        max_value=200,
        help_text="The band is then laid by the search, and what is chosen above does not count.",
    )

    def __init__(self, *args: Any, choices: HandChoices | None, sides: Sequence[Side], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.sides = tuple(sides)
        self._choose(
            "side", [*([("both", "both sides")] if len(sides) == 2 else []), *((s, f"{s} side") for s in sides)]
        )
        if len(sides) == 1:
            self.fields["side"].widget = forms.HiddenInput()
        if choices is None:
            for name in ("band", "mark", "post", "height", "distance"):
                del self.fields[name]
            self.fields["load_nm"].label = "Load wanted, in N·m"
            self.fields["load_nm"].help_text = ""
            self.fields["load_nm"].required = True
            return
        folded = {1: "", 2: ", folded double"}
        self._choose(
            "band", [(f"{strands}|{name}", f"{name}{folded.get(strands, '')}") for name, strands in choices.bands]
        )
        self._choose("mark", [_metres(mark) for mark in choices.marks])
        if not choices.places:
            for name in ("post", "height", "distance"):
                del self.fields[name]
            return
        self._choose("post", [(post, post) for post in dict.fromkeys(post for post, _, _ in choices.places)])
        self._choose("height", [_metres(each) for each in sorted({height for _, height, _ in choices.places})])
        self._choose("distance", [_metres(each) for each in sorted({far for _, _, far in choices.places})])
        self.fields["distance"].help_text = f"Along the floor from {choices.measured_from} to the post."

    def _choose(self, name: str, choices: list[tuple[str, str]]) -> None:
        self.fields[name].choices = choices  # type: ignore[attr-defined]

    def setup(self) -> SetupByHand:
        """Return what is set by hand."""
        cleaned = self.cleaned_data
        if cleaned.get("load_nm"):
            return SetupByHand(target=cleaned["load_nm"])
        strands, _, band = cleaned["band"].partition("|")
        on_post = "post" in cleaned
        return SetupByHand(
            laid=LaidByHand(
                band=band,
                strands=int(strands),
                slack_length=float(cleaned["mark"]),
                post=cleaned["post"] if on_post else None,
                height=float(cleaned["height"]) if on_post else None,
                distance=float(cleaned["distance"]) if on_post else None,
            )
        )

    def chosen_sides(self) -> tuple[Side, ...]:
        """Return the sides that it is for."""
        side = self.cleaned_data["side"]
        return self.sides if side == "both" else tuple(each for each in SIDES if each == side)


def laid_before(laid: LaidByHand | None) -> dict[str, Any]:
    """Return how a band is laid as the form shows it."""
    if laid is None:
        return {}
    found = {"band": f"{laid.strands}|{laid.band}", "mark": _metres(laid.slack_length)[0]}
    if laid.post is not None and laid.height is not None and laid.distance is not None:
        found |= {"post": laid.post, "height": _metres(laid.height)[0], "distance": _metres(laid.distance)[0]}
    return found


def _metres(length: float) -> tuple[str, str]:
    return f"{length:.3f}", f"{length:.2f} m"
