"""Tells Django of this folder."""

from __future__ import annotations

from django.apps import AppConfig


class ClubConfig(AppConfig):
    name = "firstpush.web.club"
    label = "club"
