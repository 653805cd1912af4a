"""Tells Django of this folder."""

from __future__ import annotations

from django.apps import AppConfig


class ExercisesConfig(AppConfig):
    name = "firstpush.web.exercises"
    label = "exercises"

    def ready(self) -> None:
        """Let the drawings of an athlete go with the record."""
        from django.db.models.signals import post_delete

        from firstpush.web.athletes.models import AthleteRecord
        from firstpush.web.figures import forget

        def forget_drawings(sender: object, instance: AthleteRecord, **_: object) -> None:
            forget(instance.pk)

        post_delete.connect(forget_drawings, sender=AthleteRecord, weak=False, dispatch_uid="forget drawings")
