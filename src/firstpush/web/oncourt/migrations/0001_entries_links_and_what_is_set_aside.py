"""Keep what is logged on court, links to a session, and what is set aside."""

import uuid

import django.db.models.deletion
from django.conf import settings
from django.db import migrations, models


class Migration(migrations.Migration):
    initial = True

    dependencies = [
        ("athletes", "0003_versions_are_only_added"),
        ("club", "0001_initial"),
        ("plans", "0003_days_have_a_plan_and_events"),
        migrations.swappable_dependency(settings.AUTH_USER_MODEL),
    ]

    operations = [
        migrations.CreateModel(
            name="CourtLink",
            fields=[
                (
                    "id",
                    models.UUIDField(
                        default=uuid.uuid4,
                        editable=False,
                        help_text="the secret of the link",
                        primary_key=True,
                        serialize=False,
                    ),
                ),
                ("made_at", models.DateTimeField(auto_now_add=True)),
                ("expires_at", models.DateTimeField()),
                ("withdrawn_at", models.DateTimeField(null=True)),
                (
                    "made_by",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT, related_name="+", to=settings.AUTH_USER_MODEL
                    ),
                ),
                (
                    "plan",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE, related_name="court_links", to="plans.plan"
                    ),
                ),
            ],
            options={
                "ordering": ["made_at"],
            },
        ),
        migrations.CreateModel(
            name="CourtEntry",
            fields=[
                ("id", models.UUIDField(editable=False, primary_key=True, serialize=False)),
                ("run", models.UUIDField()),
                ("sequence", models.PositiveIntegerField()),
                ("kind", models.CharField(max_length=10)),
                ("exercise", models.CharField(blank=True, max_length=120)),
                ("at", models.DateTimeField(help_text="by the clock of the device")),
                ("zone", models.CharField(help_text="of the device, as it was sent", max_length=20)),
                ("text", models.TextField()),
                ("digest", models.CharField(help_text="SHA-256 of the text", max_length=64)),
                ("corrects", models.UUIDField(null=True)),
                ("late", models.BooleanField(default=False, help_text="typed in afterwards")),
                ("received_at", models.DateTimeField()),
                (
                    "came_by",
                    models.CharField(
                        choices=[
                            ("page", "sent by the page"),
                            ("file", "from a file"),
                            ("paper", "typed in from paper"),
                        ],
                        max_length=5,
                    ),
                ),
                (
                    "account",
                    models.ForeignKey(
                        null=True,
                        on_delete=django.db.models.deletion.SET_NULL,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "athlete",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE,
                        related_name="court_entries",
                        to="athletes.athleterecord",
                    ),
                ),
                (
                    "version",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE,
                        related_name="court_entries",
                        to="plans.planversion",
                    ),
                ),
                (
                    "link",
                    models.ForeignKey(
                        null=True, on_delete=django.db.models.deletion.CASCADE, related_name="+", to="oncourt.courtlink"
                    ),
                ),
            ],
            options={
                "ordering": ["run", "sequence"],
            },
        ),
        migrations.CreateModel(
            name="SetAside",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                ("text", models.TextField()),
                ("digest", models.CharField(help_text="SHA-256 of the text", max_length=64)),
                (
                    "why",
                    models.CharField(
                        choices=[
                            ("other content", "same id with other content"),
                            ("place taken", "same place in the run with another id"),
                            ("unreadable", "not readable"),
                            ("not allowed", "not for this login"),
                        ],
                        max_length=15,
                    ),
                ),
                ("said", models.TextField(help_text="what was answered to the device")),
                ("received_at", models.DateTimeField()),
                (
                    "came_by",
                    models.CharField(
                        choices=[
                            ("page", "sent by the page"),
                            ("file", "from a file"),
                            ("paper", "typed in from paper"),
                        ],
                        max_length=5,
                    ),
                ),
                ("seen_at", models.DateTimeField(null=True)),
                (
                    "account",
                    models.ForeignKey(
                        null=True,
                        on_delete=django.db.models.deletion.SET_NULL,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "against",
                    models.ForeignKey(
                        null=True,
                        on_delete=django.db.models.deletion.SET_NULL,
                        related_name="+",
                        to="oncourt.courtentry",
                    ),
                ),
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
                    models.ForeignKey(
                        help_text="of who sent it",
                        on_delete=django.db.models.deletion.CASCADE,
                        related_name="+",
                        to="club.club",
                    ),
                ),
            ],
            options={
                "ordering": ["-received_at", "-id"],
            },
        ),
        migrations.AddConstraint(
            model_name="courtentry",
            constraint=models.UniqueConstraint(fields=("run", "sequence"), name="place_in_a_run_once"),
        ),
        migrations.AddConstraint(
            model_name="setaside",
            constraint=models.UniqueConstraint(fields=("club", "digest", "why"), name="set_aside_once"),
        ),
    ]
