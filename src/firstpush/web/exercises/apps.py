"""Tells Django of this folder."""

from __future__ import annotations

from django.apps import AppConfig


class ExercisesConfig(AppConfig):
    name = "firstpush.web.exercises"
    label = "exercises"
