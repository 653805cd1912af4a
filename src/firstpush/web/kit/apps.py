"""Tells Django of this folder."""

from __future__ import annotations

from django.apps import AppConfig


class KitConfig(AppConfig):
    name = "firstpush.web.kit"
    label = "kit"
