"""Let the database refuse to change or delete a programme that was made."""

from __future__ import annotations

from typing import ClassVar

from django.db import migrations

from firstpush.web.append_only import append_only_sql, no_append_only_sql

TABLE = "programmes_programme"


class Migration(migrations.Migration):
    dependencies: ClassVar = [("programmes", "0001_programmes_of_athletes"), ("club", "0001_initial")]
    operations: ClassVar = [migrations.RunSQL(append_only_sql(TABLE), no_append_only_sql(TABLE))]
