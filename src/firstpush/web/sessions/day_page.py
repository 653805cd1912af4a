"""What the page of a day shows, put together from what is stored."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any

from django.utils import timezone

from firstpush.web import access
from firstpush.web.access import User
from firstpush.web.sessions import progress
from firstpush.web.sessions.day_state import Row, day_plan_for, rows_on, taken_posts
from firstpush.web.sessions.models import DayEvent, DayOutcome, Making

WORDS = progress.WORDS | {
    "waiting": "Waiting for the sessions before it",
    "taken": "Looking at what there is",
    "drawing": "Drawing the figures",
}
"""What is being done for an athlete, by the name of the step."""


@dataclass(frozen=True, kw_only=True)
class Shown:
    """An athlete's line: the row, what is being done, and what the last event changed in it."""

    row: Row
    doing: str
    changed: DayOutcome | None


def day_context(user: User, day: date) -> dict[str, Any]:
    """Return what the templates of a day need.

    Parameters
    ----------
    user
        Who looks.
    day : date
    """
    plan = day_plan_for(user, day)
    rows = rows_on(user, day, plan)
    events = list(
        access.day_events_for(user)
        .filter(day=day)
        .select_related("made_by", "undone_by")
        .prefetch_related("outcomes__athlete", "outcomes__making")
    )
    here = [row for row in rows if row.is_here]
    today = timezone.localdate()
    return {
        "day": day,
        "is_today": day == today,
        "yesterday": day - timedelta(days=1),
        "tomorrow": day + timedelta(days=1),
        "plan": plan,
        "taken": [] if plan.venue_id is None else taken_posts(plan.venue_id, day),
        "here": [_shown(row, events) for row in here],
        "guests": sum(row.status == "guest" for row in here),
        "absent": [row for row in rows if row.status == "absent"],
        "not_said": [row for row in rows if not row.status],
        "wanted": sum(row.wanted for row in here),
        "ready": sum(row.ready for row in here),
        "not_ready": [row.record.name for row in here if not row.ready],
        "busy": any(row.busy for row in rows),
        "events": list(reversed(events)),
    }


def _shown(row: Row, events: list[DayEvent]) -> Shown:
    changed = None
    for event in events:
        for outcome in event.outcomes.all():
            same = row.version is not None and outcome.after_id == row.version.pk
            if same and event.undone_at is None:
                changed = outcome
    doing = ""
    if row.making is not None and row.making.stage != Making.FAILED:
        doing = WORDS.get(row.making.stage, "")
    return Shown(row=row, doing=doing, changed=changed)
