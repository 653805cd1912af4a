"""The ticked sheet, typed in afterwards: a form for the keyboard, and the entries that it makes."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from datetime import date, datetime, time
from typing import Any
from uuid import UUID, uuid4, uuid5

from django import forms
from django.core.exceptions import ValidationError
from django.utils import timezone

from firstpush.core.exercises.definition import PARTS
from firstpush.core.people.athlete import PAIN_PLACES, SIDES
from firstpush.core.people.athlete_file import MIDLINE_PLACES
from firstpush.core.people.first_aid import card_of, cards_for
from firstpush.core.people.pain import FEELINGS, PAIN_LEVELS, pain_answer
from firstpush.core.progress.entries import EFFORTS, FORMAT, SESSION_EFFORTS, SKIP_REASONS
from firstpush.web.forms import NumberField
from firstpush.web.oncourt.about_athlete import place_words
from firstpush.web.oncourt.package import current_athlete
from firstpush.web.sessions.models import PlanVersion
from firstpush.web.sessions.sheet_words import words_of

HOW = (("planned", "as planned"), ("easier", "easier"), ("not done", "not done"))
GOES_ON = ("go on", "go on with care")
PAIN_ROWS = 3
LONGEST_MINUTES = 600
PLACES = {
    place_words(place, side): (place, side)
    for place in PAIN_PLACES
    for side in ((None,) if place in MIDLINE_PLACES else SIDES)
}
DATES = ("%Y-%m-%d", "%d.%m.%Y", "%d/%m/%Y", "%d %B %Y", "%d %b %Y")
TIMES = ("%H:%M", "%H.%M", "%H%M", "%H")


def _number(label: str, allowed: range, *, required: bool = False) -> NumberField:
    return WholeField(label=label, required=required, allowed=allowed)


class WholeField(NumberField):
    """A whole number out of a range; what is outside comes back as it was typed."""

    def __init__(self, *, allowed: range, **kwargs: Any) -> None:
        super().__init__(whole=True, **kwargs)
        self.allowed = allowed

    def clean(self, value: Any) -> Any:
        """Return the number, None where nothing was typed."""
        number = super().clean(value)
        if number is not None and number not in self.allowed:
            first, last = self.allowed[0], self.allowed[-1]
            raise ValidationError(f"{number} is not on this scale. Allowed: whole numbers {first} to {last}.")
        return number


def _plain(**attributes: str) -> forms.TextInput:
    return forms.TextInput(attrs={"autocomplete": "off", **attributes})


class PaperForm(forms.Form):
    """What was ticked on the sheet of one version of a session.

    Every field is one stop of the Tab key: dates and times are text, since a browser's own take three stops.
    """

    run = forms.UUIDField(widget=forms.HiddenInput)
    day = forms.DateField(label="Day", input_formats=DATES, widget=_plain())
    at = forms.TimeField(
        label="Began at",
        input_formats=TIMES,
        help_text="such as 1805",
        widget=_plain(inputmode="numeric", autofocus="autofocus"),
    )
    minutes = WholeField(label="Minutes done", allowed=range(LONGEST_MINUTES + 1))
    session_effort = WholeField(label="Session effort, 0-10", allowed=SESSION_EFFORTS, required=False)

    def __init__(self, *args: Any, version: PlanVersion, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.version = version
        words = words_of(version.document, "athlete") or {"items": []}
        self.items = list(zip(version.document["items"], words["items"], strict=True))
        self.parts = [part for part in PARTS if any(item["part"] == part for item, _ in self.items)]
        for number, (_, row) in enumerate(self.items, start=1):
            self.fields[f"how_{number}"] = forms.ChoiceField(
                label=row["title"], choices=HOW, initial="planned", widget=forms.RadioSelect
            )
            self.fields[f"why_{number}"] = forms.ChoiceField(
                label="Why not", choices=[("", "not said"), *((each, each) for each in SKIP_REASONS)], required=False
            )
            self.fields[f"effort_{number}"] = _number("Effort, 6-20", EFFORTS)
        for part in self.parts:
            self.fields[f"part_{part}"] = _number(f"Effort of {part}, 6-20", EFFORTS)
        exercises = [("", "none in particular"), *((str(i), row["title"]) for i, (_, row) in enumerate(self.items, 1))]
        for row in range(1, PAIN_ROWS + 1):
            self.fields[f"pain_place_{row}"] = forms.ChoiceField(
                label="Where", choices=[("", "no pain"), *((words, words) for words in PLACES)], required=False
            )
            self.fields[f"pain_level_{row}"] = _number("Pain, 0-10", PAIN_LEVELS)
            self.fields[f"pain_feeling_{row}"] = forms.ChoiceField(
                label="What it is like", choices=[(each, each) for each in FEELINGS], required=False
            )
            self.fields[f"pain_exercise_{row}"] = forms.ChoiceField(
                label="In which exercise", choices=exercises, required=False
            )
        self.athlete = current_athlete(version)
        signs = [(card.title, [(sign, sign) for sign in card.signs]) for card in cards_for(self.athlete)]
        self.fields["sign"] = forms.ChoiceField(label="What was seen", choices=[("", "none"), *signs], required=False)
        self.fields["sign_exercise"] = forms.ChoiceField(label="In which exercise", choices=exercises, required=False)
        if not self.is_bound:
            self.initial.update(run=uuid4(), day=_usual_day(version).isoformat())

    @property
    def exercise_rows(self) -> Iterator[tuple[Mapping[str, Any], *tuple[forms.BoundField, ...]]]:
        """One row an exercise: its words, how it was done, why not, effort."""
        for number, (_, row) in enumerate(self.items, start=1):
            yield row, self[f"how_{number}"], self[f"why_{number}"], self[f"effort_{number}"]

    @property
    def part_rows(self) -> list[forms.BoundField]:
        """The effort of each part."""
        return [self[f"part_{part}"] for part in self.parts]

    @property
    def pain_rows(self) -> list[list[forms.BoundField]]:
        """Where, how much, what it is like, in which exercise."""
        names = ("place", "level", "feeling", "exercise")
        return [[self[f"pain_{name}_{row}"] for name in names] for row in range(1, PAIN_ROWS + 1)]

    @property
    def pain_open(self) -> bool:
        """Whether something about pain or a card was typed, so that the rows are to be seen."""
        names = [f"pain_{name}_{row}" for row in range(1, PAIN_ROWS + 1) for name in ("place", "level")]
        return self.is_bound and any(self.data.get(name) for name in (*names, "sign"))

    def clean(self) -> dict[str, Any]:
        """Ask for both place and level of a pain, and for a day that has come."""
        cleaned: dict[str, Any] = super().clean() or self.cleaned_data
        for row in range(1, PAIN_ROWS + 1):
            place, level = cleaned.get(f"pain_place_{row}"), cleaned.get(f"pain_level_{row}")
            if place and level is None and f"pain_level_{row}" not in self.errors:
                self.add_error(f"pain_level_{row}", "How much is missing. Allowed: 0 to 10. Or choose “no pain”.")
            if level is not None and not place:
                self.add_error(f"pain_place_{row}", "Where it hurt is missing. Choose a place, or empty the number.")
        day, at = cleaned.get("day"), cleaned.get("at")
        if day and at and self._began(day, at) > timezone.now():
            self.add_error("day", f"{day:%d.%m.%Y} {at:%H:%M} has not come yet. Type in when it was done.")
        return cleaned

    def texts(self) -> list[str]:
        """Return the entries; the same form gives the same letters, so that sending it twice adds nothing."""
        run: UUID = self.cleaned_data["run"]
        began = self._began(self.cleaned_data["day"], self.cleaned_data["at"])
        head = {"plan": self.version.plan_id, "version": self.version.number, "athlete": self.version.plan.athlete_id}
        return [
            json.dumps(
                {
                    "format": FORMAT,
                    "id": str(uuid5(run, str(sequence))),
                    "run": str(run),
                    "sequence": sequence,
                    **head,
                    "at": began.isoformat(),
                    "late": True,
                    **said,
                },
                ensure_ascii=False,
            )
            for sequence, said in enumerate(self._said(), start=1)
        ]

    def _said(self) -> Iterator[dict[str, Any]]:
        typed = self.cleaned_data
        pains = list(self._pains())
        stopped = self._stopped()
        # What a pain or a card broke off was not done as planned, whatever is ticked beside it.
        broken = {each.get("exercise") for each in pains if each["outcome"] not in GOES_ON} | {stopped.get("exercise")}
        yield {"kind": "begin", "device": "paper"}
        for number, (item, _) in enumerate(self.items, start=1):
            about, how = {"exercise": item["exercise"]}, typed[f"how_{number}"]
            if how == "not done":
                yield {"kind": "skipped", **about, "reason": typed[f"why_{number}"] or "other"}
            else:
                as_planned = how == "planned" and item["exercise"] not in broken
                yield {"kind": "done", **about, "as_planned": as_planned, "variant": how}
            if typed[f"effort_{number}"] is not None:
                yield {"kind": "effort", **about, "effort_6_20": typed[f"effort_{number}"]}
        for part in self.parts:
            if typed[f"part_{part}"] is not None:
                yield {"kind": "effort", "part": part, "effort_6_20": typed[f"part_{part}"]}
        yield from pains
        if stopped:
            yield stopped
        yield {"kind": "ended", "session_effort_0_10": typed["session_effort"], "minutes": typed["minutes"]}

    def _pains(self) -> Iterator[dict[str, Any]]:
        """Yield each pain with what it means by the one rule, with what was said of its place in the rows before."""
        typed, health = self.cleaned_data, self.athlete.health
        usual = {(each.place, each.side): each.usual for each in health.pain or ()}
        before: dict[tuple[str, str | None], int] = {}
        for row in range(1, PAIN_ROWS + 1):
            if not typed[f"pain_place_{row}"]:
                continue
            place, side = where = PLACES[typed[f"pain_place_{row}"]]
            level, feeling = typed[f"pain_level_{row}"], typed[f"pain_feeling_{row}"] or FEELINGS[0]
            answer = pain_answer(
                level, feeling=feeling, usual=usual.get(where), limit=health.pain_limit, before=before.get(where)
            )
            before[where] = level
            pain = {"place": place, "side": side, "level_0_10": level, "feeling": feeling, "outcome": answer.outcome}
            yield {"kind": "pain", **pain, **self._in(typed[f"pain_exercise_{row}"])}

    def _stopped(self) -> dict[str, Any]:
        sign = self.cleaned_data["sign"]
        if not sign:
            return {}
        about = self._in(self.cleaned_data["sign_exercise"])
        return {"kind": "stopped", "card": card_of(self.athlete, sign).id, "sign": sign, **about}

    def _in(self, which: str) -> dict[str, str]:
        return {"exercise": self.items[int(which) - 1][0]["exercise"]} if which else {}

    @staticmethod
    def _began(day: date, at: time) -> datetime:
        return timezone.make_aware(datetime.combine(day, at))


def _usual_day(version: PlanVersion) -> date:
    """Return the day of the session when it has come, else today."""
    told = version.document.get("date")
    today = timezone.localdate()
    return min(date.fromisoformat(told), today) if told else today
