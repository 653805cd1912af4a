"""Let the database refuse to change or delete a version, a speed test or a measured time."""

from __future__ import annotations

from typing import ClassVar

from django.db import migrations

from firstpush.web.append_only import append_only_sql, no_append_only_sql

VERSIONS = "courses_owncourseversion"
MEASURED = ("courses_speedtest", "courses_coursetime")


class Migration(migrations.Migration):
    dependencies: ClassVar = [("courses", "0001_own_courses_speeds_and_times"), ("club", "0001_initial")]
    operations: ClassVar = [
        migrations.RunSQL(append_only_sql(VERSIONS), no_append_only_sql(VERSIONS)),
        *(
            migrations.RunSQL(append_only_sql(table, what="measurements"), no_append_only_sql(table))
            for table in MEASURED
        ),
    ]
