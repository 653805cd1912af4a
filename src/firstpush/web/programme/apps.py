"""Tells Django of this folder."""

from __future__ import annotations

from django.apps import AppConfig


class ProgrammeConfig(AppConfig):
    name = "firstpush.web.programme"
    label = "programmes"
