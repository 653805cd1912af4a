"""Tells Django of this folder."""

from __future__ import annotations

from django.apps import AppConfig


class AfterConfig(AppConfig):
    name = "firstpush.web.after"
    label = "after"

    def ready(self) -> None:
        """Listen to what comes home from the court."""
        from firstpush.web.after.ahead import reckon_ahead
        from firstpush.web.oncourt.signals import entries_kept

        entries_kept.connect(reckon_ahead, dispatch_uid="reckon proposals ahead")
