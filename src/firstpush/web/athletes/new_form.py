"""A new athlete in two minutes: what a first sheet rests on, everything else stays unknown."""

from __future__ import annotations

from typing import Any

from django import forms

from firstpush.core.errors import Fault
from firstpush.core.people.athlete import MIDLINE, PAIN_PLACES, SIDES
from firstpush.web.athletes.fields import ARM_SPAN, CONDITION, LATEX, LEVEL, LIMBS, MASS, NAME, Document, put_at
from firstpush.web.athletes.table_form import UNKNOWN_CHOICE, TableForm
from firstpush.web.kit.fields import NumberField

CHAIRS = (("court", "court chair, usual sizes"), ("daily", "daily chair, usual sizes"))
PAIN_STATES = (("", "not asked"), ("none", "none"), ("here", "here:"))
