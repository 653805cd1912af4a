"""Forms: how they look, how numbers are typed, and how the faults of core get beside the fields they are about."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.forms.renderers import TemplatesSetting

from firstpush.core.errors import Fault, InputFileError

NOT_A_NUMBER = "This is not a number. Write digits, with a point or a comma before the decimals."


class FormsInOurLook(TemplatesSetting):
    """Draws ``{{ form }}`` with label, explanation, fault and field together."""

    form_template_name = "forms/form.html"
    field_template_name = "forms/field.html"


class NumberField(forms.Field):
    """A number as text, so that what cannot be read comes back as it was typed; whole ones stay whole.

    Core says which numbers are allowed.

    Parameters
    ----------
    whole : bool
        Whether it is a count, or a number from a scale of whole ones.
    unit : str
        Stands beside the field, where the number is typed.
    """

    def __init__(self, *, whole: bool = False, unit: str = "", **kwargs: Any) -> None:
        mode = "numeric" if whole else "decimal"
        kwargs.setdefault("widget", forms.TextInput(attrs={"inputmode": mode, "autocomplete": "off"}))
        super().__init__(**kwargs)
        self.unit = unit

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


_WORDS_OF_A_FILE = (
    (r"a text in quotation marks(, not empty)?", "words"),
    (r", without quotation marks and with a decimal point", ""),
    (r"^from (\S+ m) is above to (\S+ m)", r"the lowest, \1, is above the highest, \2"),
    (r"^\[.*\] is not a window", "these two ends make no window"),
    (r"\[lowest, highest\]", "the lowest and the highest"),
    (r"^Write .*[{\[].*", "Correct it"),
)
"""How core tells of a file that is being written, and what a page says instead."""
_ROWS = {"balls": "ball", "bands": "band", "chairs": "chair", "cuffs": "cuff", "posts": "post"}
"""What one of a list is called."""


def sentence_of(fault: Fault, *, labels: Mapping[str, str]) -> str:
    """Return a fault as a page tells it: what core says, with the names of fields in place of the keys of a file.

    Parameters
    ----------
    fault : Fault
    labels : mapping
        What the page calls a field, by the last part of its key.
    """
    allowed = re.sub(r"(?<=\w)_(?=\w+\")", " ", _in_words(fault.allowed, labels))
    if fault.wrong.startswith("it is missing"):
        return f"It is missing. Allowed: {allowed}. Fill it in."
    wrong = _in_words(fault.wrong, labels)
    return f"{wrong[:1].upper()}{wrong[1:]}. Allowed: {allowed}. {_in_words(fault.next_step, labels)}."


def name_of(key: str, *, labels: Mapping[str, str]) -> str:
    """Return what a page calls the place of `key` in a document.

    Examples
    --------
    >>> name_of("posts[1].room_in_front_m", labels={"room_in_front_m": "Free floor before it"})
    'Post 2, free floor before it'
    """
    found = []
    for part in key.split("."):
        name, _, index = part.partition("[")
        word = labels.get(name) or _ROWS.get(name) or name.replace("_", " ")
        found.append(
            f"{word[:1].lower()}{word[1:]} {int(index[:-1]) + 1}" if index else f"{word[:1].lower()}{word[1:]}"
        )
    told = ", ".join(found)
    return f"{told[:1].upper()}{told[1:]}"


def _in_words(text: str, labels: Mapping[str, str]) -> str:
    for pattern, words in _WORDS_OF_A_FILE:
        text = re.sub(pattern, words, text)
    text = re.sub(
        r"\b([a-z]+)\[(\d+)\]",
        lambda found: f"{_ROWS.get(found[1], found[1])} {int(found[2]) + 1}",
        text,
    )
    # A key with what it holds, then keys alone; those without an underscore are words like any other.
    text = re.sub(
        r"\bWrite (\w+) = (\"[^\"]*\"|[\d.]+)", lambda m: f"Give {m[2]} under “{labels.get(m[1], m[1])}”", text
    )
    text = re.sub(r"\b(\w+) = (?=\"|\d)", lambda m: f"“{labels.get(m[1], m[1])}” ", text)
    return re.sub(
        r"(?<![\"\w])[a-z]+(?:_[a-z]+)+(?![\"\w])", lambda m: f"“{labels[m[0]]}”" if m[0] in labels else m[0], text
    )


def add_faults(
    form: forms.BaseForm, error: InputFileError, *, fields: Mapping[str, str], labels: Mapping[str, str] | None = None
) -> None:
    """Put each fault of `error` beside its field; what belongs to no field stands above the form.

    Parameters
    ----------
    form : Form
        A form that has been validated.
    error : InputFileError
        What the reader of core found.
    fields : mapping
        Name of the form's field by the dotted key of the document, such as ``{"mass_kg": "mass_kg"}``.
    labels : mapping, optional
        What the page calls a field, by the last part of its key; left out, the labels of `form`.
    """
    called = labels_of(form) if labels is None else labels
    for fault in error.faults:
        field = fields.get(fault.key)
        sentence = sentence_of(fault, labels=called)
        if field in form.fields:
            form.add_error(field, sentence)
        else:
            form.add_error(None, f"{name_of(fault.key, labels=called)}: {sentence}")


def labels_of(form: forms.BaseForm) -> dict[str, str]:
    """Return the label of every field of `form` by its name."""
    return {name: str(field.label or name) for name, field in form.fields.items()}
