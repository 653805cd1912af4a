"""Let the database refuse to change or delete an entry, or what was set aside."""

from __future__ import annotations

from typing import ClassVar

from django.db import migrations

from firstpush.web.append_only import append_only_sql, no_append_only_sql

SET_ASIDE = (
    "id",
    "club_id",
    "athlete_id",
    "text",
    "digest",
    "why",
    "said",
    "against_id",
    "received_at",
    "account_id",
    "came_by",
)
"""All columns but the one that says when somebody saw it."""


class Migration(migrations.Migration):
    dependencies: ClassVar = [("oncourt", "0001_entries_links_and_what_is_set_aside"), ("club", "0001_initial")]
    operations: ClassVar = [
        migrations.RunSQL(
            append_only_sql("oncourt_courtentry", what="entries"), no_append_only_sql("oncourt_courtentry")
        ),
        migrations.RunSQL(
            append_only_sql("oncourt_setaside", what="entries", columns=SET_ASIDE),
            no_append_only_sql("oncourt_setaside"),
        ),
    ]
