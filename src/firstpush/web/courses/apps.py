"""Tells Django of this folder."""

from __future__ import annotations

from django.apps import AppConfig


class CoursesConfig(AppConfig):
    name = "firstpush.web.courses"
    label = "courses"
