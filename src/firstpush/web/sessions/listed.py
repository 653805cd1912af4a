"""Sessions in a list: when, of which kind, how long, and whether they were done."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from django.db.models import OuterRef, Subquery
from django.utils.dateparse import parse_date

from firstpush.web.oncourt.logged import Run, runs_of_athlete
from firstpush.web.sessions.models import Plan, PlanVersion


@dataclass(frozen=True, kw_only=True)
class ListedSession:
    """One session of an athlete, as its newest version asks for it.

    Parameters
    ----------
    plan : Plan
    day : date or None
        That it is for.
    kind : str
        Empty before the first version is made.
    minutes : float or None
        Asked for [min].
    runs : tuple of Run
        What was logged of it, the newest first.
    """

    plan: Plan
    day: date | None
    kind: str
    minutes: float | None
    runs: tuple[Run, ...]

    @property
    def said(self) -> str:
        """Whether it was done, in words."""
        ended = sum(run.ended for run in self.runs)
        if not self.runs:
            return "nothing logged"
        if not ended:
            return "begun, not ended"
        return "done" if ended == 1 else f"done {ended} times"


def listed_sessions(plans: Iterable[Plan], athlete_id: int) -> list[ListedSession]:
    """Return the sessions of one athlete, the latest day first.

    Parameters
    ----------
    plans : iterable of Plan
        All of this athlete.
    athlete_id : int
    """
    runs: dict[int, list[Run]] = {}
    for run in runs_of_athlete(athlete_id):
        runs.setdefault(run.plan_id, []).append(run)
    # Of a version, a hundred kilobytes, the three words that a list shows.
    newest = PlanVersion.objects.filter(plan=OuterRef("plan")).order_by("-number").values("pk")[:1]
    asked = {
        row[0]: row[1:]
        for row in PlanVersion.objects.filter(plan__athlete=athlete_id, pk=Subquery(newest)).values_list(
            "plan_id", "request__date", "request__kind", "request__minutes"
        )
    }
    found = []
    for plan in plans:
        day, kind, minutes = asked.get(plan.pk, (None, None, None))
        found.append(
            ListedSession(
                plan=plan,
                day=parse_date(day) if day else None,
                kind=kind or "",
                minutes=minutes,
                runs=tuple(runs.get(plan.pk, ())),
            )
        )
    return sorted(found, key=lambda each: (each.day or date.min, each.plan.number), reverse=True)
