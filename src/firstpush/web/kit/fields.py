"""Fields of cupboards and venues beside plain text and numbers."""

from __future__ import annotations

import re
from typing import Any

from django import forms

from firstpush.web.forms import number_from


class HeightsField(forms.CharField):
    """Heights with semicolons, spaces or commas between them."""

    def clean(self, value: Any) -> list[int | float]:
        """Return the heights that were typed."""
        text = super().clean(value)
        # "0,45; 1,05" has decimal commas, "0.45,1.05" and "0.45, 1.05" have not.
        between = r"[;\s]+" if ";" in text else r",\s+|\s+" if re.search(r"\s", text) else "," if "." in text else ";"
        return [number_from(part) for part in re.split(between, text.strip(" ;,")) if part]

    def prepare_value(self, value: Any) -> Any:
        """Show stored heights as they are typed."""
        return "; ".join(f"{each:g}" for each in value) if isinstance(value, list) else value


def select(
    choices: tuple[tuple[str, str], ...],
    *,
    label: str,
    initial: str = "",
    help_text: str = "",
    required: bool = False,
) -> forms.Field:
    """Return a choice from a short list."""
    return forms.ChoiceField(choices=choices, label=label, initial=initial, required=required, help_text=help_text)
