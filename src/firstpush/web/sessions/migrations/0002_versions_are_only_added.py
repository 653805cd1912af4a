"""Let the database refuse to change or delete a version."""

from __future__ import annotations

from typing import ClassVar

from django.db import migrations

from firstpush.web.append_only import append_only_sql, no_append_only_sql


class Migration(migrations.Migration):
    dependencies: ClassVar = [("plans", "0001_initial"), ("club", "0001_initial")]
    operations: ClassVar = [
        migrations.RunSQL(append_only_sql("plans_planversion"), no_append_only_sql("plans_planversion")),
    ]
