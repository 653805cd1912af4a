"""Triggers that let the database itself refuse to change or delete a version."""

from __future__ import annotations

APPEND_ONLY_TABLES = (
    "athletes_athleteversion",
    "kit_kitversion",
    "kit_venueversion",
    "exercises_ownexerciseversion",
    "plans_planversion",
    "programmes_programme",
    "courses_owncourseversion",
)
"""Tables whose rows are added and never changed; triggers of the database see to it."""


ENTRY_TABLES = ("oncourt_courtentry", "oncourt_setaside")
"""The same for what was logged on court; of what was set aside only that somebody saw it may be written."""


AFTER_TABLES = ("after_word", "after_rulenumbers")
"""The same for what was said after a session, and the numbers of the rule."""


COURSE_TABLES = ("courses_speedtest", "courses_coursetime")
"""The same for speeds and times that were measured: a later row takes one back."""


def append_only_sql(table: str, *, what: str = "versions", columns: tuple[str, ...] = ()) -> tuple[str, ...]:
    """Return the triggers that keep rows of `table` as they are, but for an erasure in progress (see `Erasing`).

    Parameters
    ----------
    table : str
    what : str
        What its rows are called in the refusal.
    columns : tuple of str
        The columns that stay as they are; left out, all of them.
    """
    of_columns = f" OF {', '.join(columns)}" if columns else ""
    return tuple(
        f"CREATE TRIGGER {table}_no_{action.lower().split()[0]} BEFORE {action} ON {table} "
        "WHEN NOT EXISTS (SELECT 1 FROM club_erasing) "
        f"BEGIN SELECT RAISE(ABORT, '{what} are added, never changed'); END"
        for action in (f"UPDATE{of_columns}", "DELETE")
    )


def no_append_only_sql(table: str) -> tuple[str, ...]:
    """Return what takes the triggers of `append_only_sql` away again."""
    return tuple(f"DROP TRIGGER {table}_no_{action}" for action in ("update", "delete"))
