"""Tells Django of this folder."""

from __future__ import annotations

from django.apps import AppConfig


class OnCourtConfig(AppConfig):
    name = "firstpush.web.oncourt"
    label = "oncourt"
