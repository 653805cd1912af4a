"""What is measured of an athlete's speed: a sprint, a timed circle, a backward pull."""

from __future__ import annotations

from typing import Any

from django import forms
from django.utils import timezone

from firstpush.core.errors import OutOfRangeError
from firstpush.web.courses.models import SpeedKind, SpeedTest
from firstpush.web.courses.speeds import backward_of, circle_of, newest_sprint, sprint_of
from firstpush.web.forms import NumberField

SPLITS = 4
USUAL_AT = (5, 10, 20, "")
TIMED_BY = (("", "choose"), ("gates", "light gates"), ("stopwatch", "stopwatch"))


class SpeedForm(forms.Form):
    """A test; `measured` of a valid one is what is kept."""

    kind: str = ""
    on = forms.DateField(label="Day", widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"))
    remark = forms.CharField(label="Remark", required=False, max_length=200)

    def __init__(self, tests: list[SpeedTest], data: Any = None) -> None:
        super().__init__(data, initial={"on": timezone.localdate()}, label_suffix="", prefix=self.kind)
        self.tests = tests
        self.measured: dict[str, Any] = {}

    def clean(self) -> dict[str, Any]:
        """Let core look at what was measured."""
        given = dict(super().clean() or self.cleaned_data)
        if (on := given.get("on")) is not None and on > timezone.localdate():
            self.add_error("on", f"{on:%Y-%m-%d} is still to come. Allowed: today or earlier. Correct the day.")
        if not self.errors:
            try:
                self.measured = self.read(given)
            except OutOfRangeError as error:
                words = str(error)
                self.add_error(None, words[:1].upper() + words[1:])
        return given

    def read(self, given: dict[str, Any]) -> dict[str, Any]:
        """Return what is kept of a test, after core has accepted it; OutOfRangeError says why not."""
        raise NotImplementedError


class SprintForm(SpeedForm):
    """Splits of one sprint out of standstill."""

    kind = SpeedKind.SPRINT
    start_offset_m = NumberField(
        label="How far behind the start line the chair stood (m)",
        help_text="From the line where the clock starts to where it broke the beam, or to the caster. Left out, it "
        "makes the athlete start far too well.",
    )
    timed_by = forms.ChoiceField(label="Timed by", choices=TIMED_BY)

    def __init__(self, tests: list[SpeedTest], data: Any = None) -> None:
        super().__init__(tests, data)
        for number in range(1, SPLITS + 1):
            at = NumberField(required=False, label=f"Split {number}, distance in m", initial=USUAL_AT[number - 1])
            self.fields[f"distance_{number}"] = at
            self.fields[f"time_{number}"] = NumberField(required=False, label=f"Split {number}, time in s")
            for name in ("distance", "time"):
                self.fields[f"{name}_{number}"].widget.attrs["class"] = "plain"

    @property
    def splits(self) -> list[tuple[forms.BoundField, forms.BoundField]]:
        """The fields of each split."""
        return [(self[f"distance_{number}"], self[f"time_{number}"]) for number in range(1, SPLITS + 1)]

    @property
    def others(self) -> list[forms.BoundField]:
        """The other fields."""
        return [self[name] for name in ("start_offset_m", "timed_by", "on", "remark")]

    def read(self, given: dict[str, Any]) -> dict[str, Any]:
        """Take the rows that have a time."""
        splits = []
        for number in range(1, SPLITS + 1):
            distance, time = given.get(f"distance_{number}"), given.get(f"time_{number}")
            if time is None:
                continue
            if distance is None:
                raise OutOfRangeError(
                    f"split {number} has a time of {time:g} s and no distance; both are needed; write how far it is."
                )
            splits.append([float(distance), float(time)])
        measured = {
            "splits": splits,
            "start_offset_m": float(given["start_offset_m"]),
            "timed_by": given["timed_by"],
        }
        sprint_of(measured)
        return measured


class CircleForm(SpeedForm):
    """One circle driven as fast as the athlete dares."""

    kind = SpeedKind.CIRCLE
    radius_m = NumberField(label="Radius, to the middle of the axle (m)")
    time_s = NumberField(label="Time for all rounds (s)")
    rounds = NumberField(label="Rounds", initial=1)
    timed_by = forms.ChoiceField(label="Timed by", choices=TIMED_BY)
    field_order = ("radius_m", "time_s", "rounds", "timed_by", "on", "remark")

    def read(self, given: dict[str, Any]) -> dict[str, Any]:
        """Let core look at the circle."""
        measured = {name: float(given[name]) for name in ("radius_m", "time_s", "rounds")}
        measured["timed_by"] = given["timed_by"]
        circle_of(measured, sprint=newest_sprint(self.tests))
        return measured


class BackwardForm(SpeedForm):
    """One pull backwards out of standstill; it is told as a share of the sprint."""

    kind = SpeedKind.BACKWARD
    distance_m = NumberField(label="Distance (m)")
    time_s = NumberField(label="Time (s)")
    field_order = ("distance_m", "time_s", "on", "remark")

    def read(self, given: dict[str, Any]) -> dict[str, Any]:
        """Let core look at the pull beside the newest sprint."""
        measured = {name: float(given[name]) for name in ("distance_m", "time_s")}
        sprint = newest_sprint(self.tests)
        if sprint is None:
            raise OutOfRangeError(
                "a backward pull is told as a share of the sprint, and none is kept; a sprint comes first; add one"
                " above."
            )
        backward_of(measured, sprint=sprint)
        return measured


FORMS: dict[str, type[SpeedForm]] = {each.kind: each for each in (SprintForm, CircleForm, BackwardForm)}
