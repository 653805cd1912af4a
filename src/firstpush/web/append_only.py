"""Triggers that let the database itself refuse to change or delete a version."""

from __future__ import annotations

APPEND_ONLY_TABLES = (
    "athletes_athleteversion",
    "kit_kitversion",
    "kit_venueversion",
    "exercises_ownexerciseversion",
    "plans_planversion",
)
"""Tables whose rows are added and never changed; triggers of the database see to it."""


def append_only_sql(table: str) -> tuple[str, ...]:
    """Return the triggers that keep rows of `table` as they are, but for an erasure in progress (see `Erasing`)."""
    return tuple(
        f"CREATE TRIGGER {table}_no_{action.lower()} BEFORE {action} ON {table} "
        "WHEN NOT EXISTS (SELECT 1 FROM club_erasing) "
        "BEGIN SELECT RAISE(ABORT, 'versions are added, never changed'); END"
        for action in ("UPDATE", "DELETE")
    )


def no_append_only_sql(table: str) -> tuple[str, ...]:
    """Return what takes the triggers of `append_only_sql` away again."""
    return tuple(f"DROP TRIGGER {table}_no_{action}" for action in ("update", "delete"))
