"""A measured time and the cones that were touched."""

from __future__ import annotations

from typing import Any

from django import forms
from django.utils import timezone

from firstpush.core.courses import Bracket, compare
from firstpush.core.errors import OutOfRangeError
from firstpush.web.courses.chosen import Driver
from firstpush.web.forms import NumberField

MOST_TOUCHES = 100


class TimeForm(forms.Form):
    """One run of one athlete; of several chosen it is said who."""

    who = forms.ChoiceField(label="Who")
    time_s = NumberField(label="Time (s)")
    touches = NumberField(label="Cones touched", whole=True, required=False, help_text="Left out: not counted.")
    on = forms.DateField(label="Day", widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"))
    remark = forms.CharField(label="Remark", required=False, max_length=200)

    def __init__(self, drivers: tuple[Driver, ...], brackets: dict[int, Bracket], data: Any = None) -> None:
        super().__init__(
            data, initial={"on": timezone.localdate(), "who": str(next(iter(brackets), ""))}, label_suffix=""
        )
        self._brackets = brackets
        who = self.fields["who"]
        assert isinstance(who, forms.ChoiceField)
        who.choices = [
            (str(each.record.pk), each.name)
            for each in drivers
            if each.record is not None and each.record.pk in brackets
        ]
        if len(brackets) == 1:
            who.widget = who.hidden_widget()

    def clean(self) -> dict[str, Any]:
        """Refuse what is no time, and no count of cones."""
        given = dict(super().clean() or self.cleaned_data)
        time, who, touches = given.get("time_s"), given.get("who"), given.get("touches")
        if time is not None and who:
            try:
                compare(float(time), self._brackets[int(who)])
            except OutOfRangeError as error:
                words = str(error)
                self.add_error("time_s", words[:1].upper() + words[1:])
        if touches is not None and not (isinstance(touches, int) and 0 <= touches <= MOST_TOUCHES):
            self.add_error(
                "touches", f"{touches:g} cones cannot be touched. Allowed: 0 to {MOST_TOUCHES}. Count them again."
            )
        if (on := given.get("on")) is not None and on > timezone.localdate():
            self.add_error("on", f"{on:%Y-%m-%d} is still to come. Allowed: today or earlier. Correct the day.")
        return given
