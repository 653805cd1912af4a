"""Forms: how they look, and how the faults of core get beside the fields they are about."""

from __future__ import annotations

from collections.abc import Mapping

from django import forms
from django.forms.renderers import TemplatesSetting

from firstpush.core.errors import InputFileError


class FormsInOurLook(TemplatesSetting):
    """Draws ``{{ form }}`` with label, explanation, fault and field together."""

    form_template_name = "forms/form.html"
    field_template_name = "forms/field.html"


def add_faults(form: forms.BaseForm, error: InputFileError, *, fields: Mapping[str, str]) -> None:
    """Put each fault of `error` beside its field; what belongs to no field stands above the form.

    Parameters
    ----------
    form : Form
        A form that has been validated.
    error : InputFileError
        What the reader of core found.
    fields : mapping
        Name of the form's field by the dotted key of the document, such as ``{"mass_kg": "mass_kg"}``.
    """
    for fault in error.faults:
        field = fields.get(fault.key)
        sentence = f"{fault.wrong[:1].upper()}{fault.wrong[1:]}. Allowed: {fault.allowed}. {fault.next_step}."
        if field in form.fields:
            form.add_error(field, sentence)
        else:
            form.add_error(None, f"{fault.key}: {sentence}")
