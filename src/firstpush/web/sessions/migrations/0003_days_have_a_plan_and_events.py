"""Keep what holds for a training day, what happened on it, and which sessions are being made."""

import django.db.models.deletion
from django.conf import settings
from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("athletes", "0003_versions_are_only_added"),
        ("club", "0001_initial"),
        ("kit", "0004_withdrawn_bands_can_be_brought_back"),
        ("plans", "0002_versions_are_only_added"),
        migrations.swappable_dependency(settings.AUTH_USER_MODEL),
    ]

    operations = [
        migrations.CreateModel(
            name="DayEvent",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                ("day", models.DateField()),
                (
                    "kind",
                    models.CharField(
                        choices=[("sore", "a shoulder is sore"), ("torn", "a band tore"), ("taken", "a post is taken")],
                        max_length=10,
                    ),
                ),
                ("words", models.CharField(max_length=200)),
                ("side", models.CharField(blank=True, max_length=5)),
                ("pain_before", models.JSONField(null=True)),
                ("pain_after", models.JSONField(null=True)),
                ("post", models.CharField(blank=True, max_length=120)),
                ("made_at", models.DateTimeField(auto_now_add=True)),
                ("undone_at", models.DateTimeField(null=True)),
                (
                    "athlete",
                    models.ForeignKey(
                        null=True,
                        on_delete=django.db.models.deletion.CASCADE,
                        related_name="+",
                        to="athletes.athleterecord",
                    ),
                ),
                (
                    "club",
                    models.ForeignKey(on_delete=django.db.models.deletion.CASCADE, related_name="+", to="club.club"),
                ),
                (
                    "made_by",
                    models.ForeignKey(
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "undone_by",
                    models.ForeignKey(
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "venue",
                    models.ForeignKey(
                        null=True, on_delete=django.db.models.deletion.CASCADE, related_name="+", to="kit.venuerecord"
                    ),
                ),
                (
                    "withdrawal",
                    models.ForeignKey(
                        null=True,
                        on_delete=django.db.models.deletion.CASCADE,
                        related_name="+",
                        to="kit.bandwithdrawal",
                    ),
                ),
            ],
            options={
                "ordering": ["id"],
            },
        ),
        migrations.CreateModel(
            name="DayOutcome",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                (
                    "touched",
                    models.JSONField(default=list, help_text="exercises that had to be set up again, in words"),
                ),
                ("changes", models.JSONField(default=list, help_text="what is different, in words")),
                (
                    "undone",
                    models.CharField(
                        blank=True, help_text="what became of it when the event was undone", max_length=200
                    ),
                ),
                (
                    "after",
                    models.ForeignKey(
                        null=True, on_delete=django.db.models.deletion.CASCADE, related_name="+", to="plans.planversion"
                    ),
                ),
                (
                    "athlete",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE, related_name="+", to="athletes.athleterecord"
                    ),
                ),
                (
                    "before",
                    models.ForeignKey(
                        null=True, on_delete=django.db.models.deletion.CASCADE, related_name="+", to="plans.planversion"
                    ),
                ),
                (
                    "event",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE, related_name="outcomes", to="plans.dayevent"
                    ),
                ),
            ],
            options={
                "ordering": ["id"],
            },
        ),
        migrations.CreateModel(
            name="Making",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                ("day", models.DateField()),
                ("stage", models.CharField(default="waiting", max_length=20)),
                ("said", models.TextField(blank=True)),
                ("touched_at", models.DateTimeField()),
                (
                    "asked_by",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT, related_name="+", to=settings.AUTH_USER_MODEL
                    ),
                ),
                (
                    "athlete",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE, related_name="+", to="athletes.athleterecord"
                    ),
                ),
                (
                    "outcome",
                    models.OneToOneField(
                        null=True,
                        on_delete=django.db.models.deletion.CASCADE,
                        related_name="making",
                        to="plans.dayoutcome",
                    ),
                ),
            ],
            options={
                "ordering": ["id"],
            },
        ),
        migrations.CreateModel(
            name="DayPlan",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                ("day", models.DateField()),
                ("minutes", models.FloatField()),
                ("kind", models.CharField(max_length=30)),
                ("changed_at", models.DateTimeField(auto_now=True)),
                (
                    "club",
                    models.ForeignKey(on_delete=django.db.models.deletion.CASCADE, related_name="+", to="club.club"),
                ),
                (
                    "kit",
                    models.ForeignKey(
                        null=True, on_delete=django.db.models.deletion.CASCADE, related_name="+", to="kit.kitrecord"
                    ),
                ),
                (
                    "venue",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.CASCADE,
                        related_name="+",
                        to="kit.venuerecord",
                    ),
                ),
            ],
            options={
                "constraints": [models.UniqueConstraint(fields=("club", "day"), name="day_plan_once_a_day")],
            },
        ),
    ]
