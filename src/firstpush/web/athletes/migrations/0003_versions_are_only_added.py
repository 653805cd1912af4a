"""Let the database refuse to change or delete a version."""

from __future__ import annotations

from typing import ClassVar

from django.db import migrations

from firstpush.web.append_only import append_only_sql, no_append_only_sql


class Migration(migrations.Migration):
    dependencies: ClassVar = [("athletes", "0002_athletes_belong_to_a_club"), ("club", "0001_initial")]
    operations: ClassVar = [
        migrations.RunSQL(append_only_sql("athletes_athleteversion"), no_append_only_sql("athletes_athleteversion")),
    ]
