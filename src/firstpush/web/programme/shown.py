"""A programme as its page shows it: weeks that are near open, each day with its session, and the one that is next."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from itertools import groupby
from typing import Any

from django.db.models import OuterRef, Subquery
from django.urls import reverse
from django.utils.dateparse import parse_date
from django.utils.http import urlencode

from firstpush.core.programme.days import DAY_NAMES
from firstpush.web.athletes.models import AthleteRecord
from firstpush.web.programme.models import Programme
from firstpush.web.sessions.models import PlanVersion

OPEN_WEEKS = 2
"""This week and the next are looked at; the others are unfolded where there is little room."""


@dataclass(frozen=True, kw_only=True)
class DayAhead:
    """A day of a programme on which something is done.

    Parameters
    ----------
    on : date
    plan_id : int or None
        The session that stands for it.
    make_url : str
        Where its session is made, with what the programme asks of it filled in.
    is_next : bool
        Whether it is the first that is not over.
    """

    on: date
    plan_id: int | None
    make_url: str
    is_next: bool = False

    @property
    def day_name(self) -> str:
        """The day of the week."""
        return DAY_NAMES[self.on.weekday()]


@dataclass(frozen=True, kw_only=True)
class Ahead:
    """The days of a programme, and the next of them; none once it is over."""

    days: Mapping[date, DayAhead]

    @property
    def next(self) -> DayAhead | None:
        """The first day that is not over."""
        return next((each for each in self.days.values() if each.is_next), None)


def days_ahead(found: Programme, *, today: date) -> Ahead:
    """Return every day of a programme on which something is done, with its session."""
    planned = {
        date.fromisoformat(session["date"]): session
        for week in found.document.get("weeks", ())
        for session in week["sessions"]
        if session["items"]
    }
    standing = sessions_for(found.athlete, planned)
    following = min((on for on in planned if on >= today), default=None)
    return Ahead(
        days={
            on: DayAhead(
                on=on,
                plan_id=standing.get(on),
                make_url=_make_url(found, on, planned[on]),
                is_next=on == following,
            )
            for on in sorted(planned)
        }
    )


def sessions_for(record: AthleteRecord, days: Iterable[date]) -> dict[date, int]:
    """Return the session that stands for each day, the newest of several."""
    newest = PlanVersion.objects.filter(plan=OuterRef("plan")).order_by("-number").values("pk")[:1]
    versions = PlanVersion.objects.filter(
        plan__athlete=record, pk=Subquery(newest), request__date__in=[day.isoformat() for day in days]
    )
    rows = versions.order_by("plan__number").values_list("request__date", "plan_id")
    return {day: plan_id for text, plan_id in rows if (day := parse_date(text)) is not None}


def weeks_shown(found: Programme, ahead: Ahead, *, today: date) -> list[dict[str, Any]]:
    """Return the weeks in groups: those that are open side by side in one table, each that is folded by itself.

    Of every week there is a cell for every column, with its day where something is done.
    """
    words, start = found.words, date.fromisoformat(found.asked["start"])
    rows = []
    for row in words["rows"]:
        first = start + timedelta(weeks=row["number"] - 1)
        days = {day.weekday(): day for day in (first + timedelta(days=n) for n in range(7))}
        by_day = {cell["weekday"]: cell | {"ahead": ahead.days.get(days[cell["weekday"]])} for cell in row["cells"]}
        cells = [(DAY_NAMES[day], by_day.get(day)) for day in words["weekdays"]]
        rows.append(row | {"cells": cells, "over": max(days.values()) < today})
    near = [row["number"] for row in rows if not row["over"]][:OPEN_WEEKS]
    near = near or [row["number"] for row in rows][-OPEN_WEEKS:]

    def group_of(row: dict[str, Any]) -> int:
        return 0 if row["number"] in near else row["number"]

    return [{"folded": key > 0, "rows": list(group)} for key, group in groupby(rows, key=group_of)]


def days_shown(words: Mapping[str, Any]) -> list[dict[str, Any]]:
    """Return the different days, with the cautions of each that do not stand above all of them already."""
    above = list(words.get("notices", ()))
    return [
        page
        | {
            "notices": [each for each in page.get("notices", ()) if each["level"] != "note" and each not in above],
            "items": [
                item | {"notices": [each for each in item.get("notices", ()) if each["level"] != "note"]}
                for item in page["items"]
            ],
        }
        for page in words["pages"]
    ]


def _make_url(found: Programme, on: date, session: Mapping[str, Any]) -> str:
    """Return the form of a session with what the programme asks of a day."""
    asked = found.asked
    match = session["kind"] == "match"
    query = {
        "on": on.isoformat(),
        "kind": "before a match" if match else asked["kind"],
        "minutes": f"{asked['match_minutes'] if match else asked['minutes']:g}",
        "kit": asked["kit_id"],
        "venue": "" if asked["venue_id"] is None else asked["venue_id"],
        "keep": [item["exercise"] for item in session["items"]],
    }
    return f"{reverse('make_session', kwargs={'id_': found.athlete_id})}?{urlencode(query, doseq=True)}"
