"""Let the database refuse to change or delete what was said after a session, or the numbers of the rule."""

from __future__ import annotations

from typing import ClassVar

from django.db import migrations

from firstpush.web.append_only import append_only_sql, no_append_only_sql


class Migration(migrations.Migration):
    dependencies: ClassVar = [("after", "0001_words_and_numbers_of_the_rule"), ("club", "0001_initial")]
    operations: ClassVar = [
        migrations.RunSQL(append_only_sql(table, what="words"), no_append_only_sql(table))
        for table in ("after_word", "after_rulenumbers")
    ]
