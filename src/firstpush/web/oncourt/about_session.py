"""What a page must know of a session beside its exercises: checks, stop rules, the largest effort, its file's name."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from firstpush.core.people.athlete import Chair
from firstpush.core.people.before_start import anti_tip_check
from firstpush.core.progress.effort_ceiling import effort_ceiling
from firstpush.core.progress.try_out import first_time_answers
from firstpush.web.sessions.models import PlanVersion

FIRST_TIME_ASKS = "How hard were they?"
ANTI_TIP = "anti-tip"
ASKED_BY_THE_PAGE = 2
"""Lines of the sheet, from the first, about pain, illness, bladder, straps and skin."""


def about_session(version: PlanVersion, words: Mapping[str, Any], chair: Chair) -> dict[str, Any]:
    """Return the parts ``date``, ``file_name``, ``checks``, ``stop_rules`` and ``effort_ceiling`` of a package.

    Parameters
    ----------
    version : PlanVersion
    words : mapping
        Of the athlete's sheet, as they are kept.
    chair : Chair
        As it is known now.
    """
    ceiling = effort_ceiling(version.document["kind"])
    return {
        "date": version.document.get("date"),
        "file_name": court_file_name(version),
        "checks": list(_checks(words, chair)),
        "stop_rules": list(words["stop_rules"]),
        "effort_ceiling": {"effort_6_20": ceiling.effort, "what": ceiling.what, "do": ceiling.do},
    }


def court_file_name(version: PlanVersion) -> str:
    """Return the name of the file for one session: the number on the shirt and the day, nothing else of the person.

    Who has no number, or a session that has no day, is told by the number of the session.
    """
    number, day = version.plan.athlete.number, version.document.get("date")
    who = f"session-{version.plan_id}" if number is None else str(number)
    return f"court-{who}-{day or f'session-{version.plan.number}'}.html"


def first_time_rows() -> list[dict[str, Any]]:
    """Return what follows from each number of effort after the first set of a first time."""
    return [
        {"feel" if isinstance(each.effort, str) else "effort_6_20": each.effort, "then": each.then, "words": each.words}
        for each in first_time_answers()
    ]


def _checks(words: Mapping[str, Any], chair: Chair) -> Iterator[str]:
    """Yield what is looked at; what the page asks by itself before the start is not among it."""
    if words.get("band_check"):
        yield words["band_check"]
    for line in words["before_we_start"][ASKED_BY_THE_PAGE:]:
        clauses = line.rstrip(".").split("; ")
        if not any(each.lower().startswith(ANTI_TIP) for each in clauses):
            yield line
            continue
        for clause in clauses:
            # What is known of the chair now counts, not what was known when the sheet was made.
            said = anti_tip_check(chair) if clause.lower().startswith(ANTI_TIP) else clause
            yield f"{said[:1].upper()}{said[1:]}{'' if said.endswith('?') else '.'}"
