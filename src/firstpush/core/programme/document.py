"""A programme as plain data with units in the keys, for ``programme.json``."""

from __future__ import annotations

from typing import Any

from firstpush.core.notices import Notice
from firstpush.core.programme.days import DAY_NAMES, gap_of
from firstpush.core.programme.programme import PlannedItem, PlannedSession, Programme, ProgrammeWeek, plan_names
from firstpush.core.session.candidate import Chosen
from firstpush.core.setup.document import dose_document, notice_document


def programme_document(
    programme: Programme, *, athlete: str, venue: str, notices: tuple[Notice, ...] = (), checksum: str
) -> dict[str, Any]:
    """Return the whole programme.

    Parameters
    ----------
    programme : Programme
    athlete, venue : str
        Names.
    notices : tuple of Notice
        About the athlete.
    checksum : str
        Of the input files: the same input gives the same document.
    """
    calendar, plan = programme.calendar, programme.plan_of_weeks
    names = plan_names(programme.week, calendar)
    return {
        "format": "firstpush programme 1",
        "input_checksum": checksum,
        "athlete": athlete,
        "venue": venue,
        "start": calendar.start.isoformat(),
        "end": calendar.end.isoformat(),
        "training_days": [DAY_NAMES[day] for day in calendar.ordered_weekdays],
        "minutes": programme.week.minutes,
        "matches": [match.isoformat() for match in calendar.matches],
        "breaks": [{"first": each.first.isoformat(), "last": each.last.isoformat()} for each in calendar.breaks],
        "how_good": {
            "days": _reached(programme.week.worth.total, programme.week.bound)
            | {"wishes_s": programme.week.worth.as_dict},
            "sets": _reached(plan.sets_worth, plan.sets_bound),
            "steps": _reached(plan.steps_worth, plan.steps_bound),
        },
        "notices": [notice_document(notice) for notice in (*notices, *programme.notices)],
        "exercises": [
            {
                "exercise": each.id,
                "title": each.exercise.title,
                "part": each.exercise.part,
                "aims": list(each.exercise.aims),
                "sides": list(each.sides),
                "rhythm": programme.rhythm_of(each.id),
                "weekdays": [DAY_NAMES[day] for day in programme.week.days_of(each.id)],
            }
            for each in programme.candidates
        ],
        "training_week": [
            {
                "weekday": DAY_NAMES[day.weekday],
                "plan": names[day.weekday],
                "total_s": day.timeline.total_s,
                "items": [_chosen(each) for each in day.items],
            }
            for day in programme.week.days
        ],
        "weeks": [_week(week) for week in programme.weeks],
    }


def _reached(worth: int, bound: int) -> dict[str, Any]:
    return {
        "worth": worth,
        "bound": bound,
        "gap_percent": round(100 * gap_of(worth, bound), 2),
        "proven_best": worth == bound,
    }


def _chosen(each: Chosen) -> dict[str, Any]:
    return {"exercise": each.candidate.id, "dose": each.dose.name, "sets": each.dose.sets}


def _week(week: ProgrammeWeek) -> dict[str, Any]:
    return {
        "number": week.number,
        "first": week.first.isoformat(),
        "kind": week.kind,
        "done": week.done,
        "after_break": None if week.back is None else {"weeks_lost": week.back.lost, "week_back": week.back.back},
        "weekly_load_s": {side: round(load, 1) for side, load in week.loads.items()},
        "largest_weekly_load_s": {
            side: None if largest is None else round(largest, 1) for side, largest in week.largest.items()
        },
        "sessions": [_session(session) for session in week.sessions],
    }


def _session(session: PlannedSession) -> dict[str, Any]:
    return {
        "date": session.on.isoformat(),
        "kind": session.kind,
        "plan": session.plan or None,
        "total_s": session.total_s,
        "items": [_item(item) for item in session.items],
        "left_out": [exercise.id for exercise in session.left_out],
    }


def _item(item: PlannedItem) -> dict[str, Any]:
    dose = item.dose
    return {
        "exercise": item.exercise.id,
        "sides": list(item.candidate.sides),
        "dose": dose_document(dose) | {"chosen_sets": item.chosen_sets},
        "load_percent": None if item.load_share is None else round(100 * item.load_share, 1),
        "change": item.change,
        "light": item.light,
    }
