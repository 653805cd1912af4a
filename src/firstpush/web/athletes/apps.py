"""Tells Django of this folder."""

from __future__ import annotations

from django.apps import AppConfig


class AthletesConfig(AppConfig):
    name = "firstpush.web.athletes"
    label = "athletes"
