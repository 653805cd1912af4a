"""Fields for what is measured: typed as people type it, given to core as a number."""

from __future__ import annotations

import re
from typing import Any

from django import forms
from django.core.exceptions import ValidationError

NOT_A_NUMBER = "This is not a number. Write digits, with a point or a comma before the decimals."


class NumberField(forms.Field):
    """A number as text, so that what cannot be read comes back as it was typed; whole ones stay whole.

    Core says which numbers are allowed.
    """

    def __init__(self, *, whole: bool = False, **kwargs: Any) -> None:
        mode = "numeric" if whole else "decimal"
        kwargs.setdefault("widget", forms.TextInput(attrs={"inputmode": mode, "autocomplete": "off"}))
        super().__init__(**kwargs)

    def to_python(self, value: Any) -> int | float | None:
        """Return the number that was typed, None when nothing was."""
        text = "" if value is None else str(value).strip()
        return number_from(text) if text else None

    def prepare_value(self, value: Any) -> Any:
        """Show a stored number without digits that binary fractions add."""
        return f"{value:.10g}" if isinstance(value, float) else value


def number_from(text: str) -> int | float:
    """Return the number that `text` says; a comma before the decimals is a point.

    Raises
    ------
    ValidationError
        When it says none.
    """
    plain = text.strip().replace("−", "-")
    if re.fullmatch(r"[+-]?\d+,\d+", plain):
        plain = plain.replace(",", ".")
    if re.fullmatch(r"[+-]?\d{1,12}", plain):
        return int(plain)
    if re.fullmatch(r"[+-]?(\d{1,12}\.?\d{0,12}|\.\d{1,12})", plain):
        return float(plain)
    raise ValidationError(NOT_A_NUMBER)


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
