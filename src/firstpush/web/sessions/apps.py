"""Tells Django of this folder."""

from __future__ import annotations

from django.apps import AppConfig


class SessionsConfig(AppConfig):
    name = "firstpush.web.sessions"
    # "sessions" is the label of Django's own logins.
    label = "plans"
