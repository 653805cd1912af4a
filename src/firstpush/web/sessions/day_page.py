"""What the page of a day shows, put together from what is stored."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import timedelta
from typing import Any

from django.utils import timezone

from firstpush.web import access
from firstpush.web.access import User
from firstpush.web.sessions import progress
from firstpush.web.sessions.day_state import Now, Row, rows_on
from firstpush.web.sessions.day_together import standing_on_band, together
from firstpush.web.sessions.models import DayEvent, DayOutcome, Making

WORDS = progress.WORDS | {
    "waiting": "Waiting for the sessions before it",
    "taken": "Looking at what there is",
    "drawing": "Drawing the figures",
}
"""What is being done for an athlete, by the name of the step."""


OPEN_AT_MOST = 2
"""Changed sheets that stand open; more would push everybody else off the page."""


@dataclass(frozen=True, kw_only=True)
class Shown:
    """An athlete's line: the row, what is being done, and what the day's events changed in it, the newest first.

    `crowded` says that so many sheets changed that they stay folded: the line names the change, the event tells all.
    """

    row: Row
    doing: str
    changed: list[DayOutcome]
    crowded: bool = False

    @property
    def news(self) -> str:
        """What is said of the sheet on the folded line; empty when there is nothing to say."""
        row = self.row
        if row.busy or row.failed:
            return "no sheet" if row.failed else ""
        if row.version is None:
            return "no sheet yet"
        if row.out_of_date:
            return "to be made again"
        words = [change for outcome in self.changed for change in outcome.changes]
        more = f", and {len(words) - 1} more" if len(words) > 1 else ""
        return f"{words[0]}{more}" if words else "set up again today" if self.changed else ""

    @property
    def open(self) -> bool:
        """Whether the line stands open: there is news of it, or something stops the session."""
        only_changed = self.row.ready and self.crowded
        return bool(self.news and not only_changed) or any(notice.level == "stop" for notice in self.row.notices)


@dataclass(frozen=True, kw_only=True)
class Happened:
    """An event of the day, and what is left for the sheets that stand on it."""

    event: DayEvent
    outcomes: list[DayOutcome]
    standing: str


def day_context(user: User, now: Now) -> dict[str, Any]:
    """Return what the templates of a day need.

    Parameters
    ----------
    user
        Who looks.
    now : Now
        What holds and what is there on the day.
    """
    plan, day = now.plan, now.plan.day
    rows = rows_on(user, day, plan, now=now)
    events = list(
        access.day_events_for(user)
        .filter(day=day)
        .select_related("made_by", "undone_by", "withdrawal")
        .prefetch_related("outcomes__athlete", "outcomes__making", "outcomes__after")
    )
    here = [row for row in rows if row.is_here]
    busy = any(row.busy for row in rows)
    today = timezone.localdate()
    return {
        "day": day,
        "is_today": day == today,
        "yesterday": day - timedelta(days=1),
        "tomorrow": day + timedelta(days=1),
        "plan": plan,
        "taken": now.taken,
        "here": _all_shown(here, events),
        "guests": sum(row.status == "guest" for row in here),
        "absent": [row for row in rows if row.status == "absent"],
        "not_said": [row for row in rows if not row.status],
        "wanted": sum(row.wanted for row in here),
        "ready": sum(row.ready for row in here),
        "not_ready": [row.record.name for row in here if not row.ready],
        "busy": busy,
        # While sheets are made it would be out of date before it is read.
        "together": None if busy else together(here, now),
        "events": [_happened(event, here, now) for event in reversed(events)],
    }


def _all_shown(here: list[Row], events: list[DayEvent]) -> list[Shown]:
    shown = [_shown(row, events) for row in here]
    crowded = sum(bool(each.changed) for each in shown) > OPEN_AT_MOST
    return [replace(each, crowded=crowded) for each in shown]


def _shown(row: Row, events: list[DayEvent]) -> Shown:
    changed = [
        outcome
        for event in reversed(events)
        for outcome in event.outcomes.all()
        if event.undone_at is None and outcome.after_id is not None and _led_to(row, outcome)
    ]
    doing = ""
    if row.making is not None and row.making.stage != Making.FAILED:
        doing = WORDS.get(row.making.stage, "")
    return Shown(row=row, doing=doing, changed=changed)


def _led_to(row: Row, outcome: DayOutcome) -> bool:
    """Whether the sheet that holds came of an outcome: of the same session, then or later."""
    version, after = row.version, outcome.after
    if version is None or after is None:
        return False
    return after.plan_id == version.plan_id and after.number <= version.number


def _happened(event: DayEvent, here: list[Row], now: Now) -> Happened:
    return Happened(event=event, outcomes=list(event.outcomes.all()), standing=standing_on_band(event, here, now))
