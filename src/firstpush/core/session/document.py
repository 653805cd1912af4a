"""A session as plain data with units in the keys, for ``session.json``."""

from __future__ import annotations

from datetime import date
from typing import Any

from firstpush.core.courses.drill import timed
from firstpush.core.notices import Notice
from firstpush.core.session.collide import Collision
from firstpush.core.session.prepare import Prepared
from firstpush.core.session.session import Session, SessionItem
from firstpush.core.setup.document import dose_document, notice_document, setup_document


def session_document(
    session: Session,
    prepared: Prepared,
    *,
    athlete: str,
    venue: str,
    notices: tuple[Notice, ...],
    checksum: str,
    on: date | None = None,
) -> dict[str, Any]:
    """Return the whole session.

    Parameters
    ----------
    session, prepared
    athlete, venue : str
        Names.
    notices : tuple of Notice
        About the athlete and the whole session.
    checksum : str
        Of the input files: the same input gives the same document.
    on : date, optional
        Day of the session.
    """
    return {
        "format": "firstpush session 1",
        "input_checksum": checksum,
        "athlete": athlete,
        "venue": venue,
        "date": on.isoformat() if on is not None else None,
        "kind": session.kind,
        "minutes": session.minutes,
        "total_s": session.total_s,
        "status": session.status,
        "wishes": [
            {"wish": level.wish, "reached": level.reached, "bound": level.bound, "proven": level.proven}
            for level in session.levels
        ],
        "notices": [notice_document(notice) for notice in (*notices, *session.notices)],
        "items": [_item(item, prepared, session) for item in session.items],
        "timeline": [
            {
                "kind": step.kind,
                "start_s": step.start_s,
                "end_s": step.end_s,
                "exercise": step.exercise,
                "side": step.side,
                "words": step.words,
            }
            for step in session.timeline.steps
        ],
        "collision": _collision(session.collision),
        "left_out": [{"exercise": out.exercise.id, "reason": out.reason} for out in session.left_out],
    }


def _collision(colliding: Collision | None) -> dict[str, Any] | None:
    if colliding is None:
        return None
    return {
        "because": colliding.because,
        "others_too": colliding.others_too,
        "wishes": [
            {
                "kind": each.wish.kind,
                "about": each.wish.about,
                "dose": each.wish.dose,
                "words": each.words,
                "change": each.change,
                "is_enough": each.is_enough,
            }
            for each in colliding.wishes
        ],
    }


def _item(item: SessionItem, prepared: Prepared, session: Session) -> dict[str, Any]:
    exercise, dose = item.candidate.exercise, item.dose
    steps = session.steps_of(item)
    return {
        "exercise": exercise.id,
        "title": exercise.title,
        "part": exercise.part,
        "aims": list(exercise.aims),
        "sides": list(item.sides),
        "dose": dose_document(dose),
        "start_s": steps[0].start_s,
        "end_s": steps[-1].end_s,
        "setting_up_s": item.setting_up_s,
        "reason": item.reason,
        "setups": [setup_document(setup) for (id_, _), setup in prepared.setups.items() if id_ == exercise.id],
        **_course(item, prepared),
    }


def _course(item: SessionItem, prepared: Prepared) -> dict[str, Any]:
    """Return how a drill is laid on the floor, under one key; nothing for what is none."""
    laid_out = prepared.courses.get(item.candidate.id)
    if laid_out is None:
        return {}
    laid = laid_out.of(item.dose)
    drill = timed(laid)
    turning, pushes = drill.turning, drill.pushes
    return {
        "course": {
            "layout": laid.drill.layout,
            "count": laid.drill.count,
            "shares_percent": [round(100 * share) for share in laid.drill.shares],
            "walking_pace": laid.drill.walking,
            "spacing_word": laid.course.spacing_word,
            "spacing_m": round(laid.spacing, 2),
            "usual_spacing_m": round(laid.usual, 2),
            "floor_length_m": round(laid.length, 2),
            "floor_width_m": round(laid.width, 2),
            "runs_in_a_set": laid.drill.runs,
            "set_planned_s": laid.set_s,
            "set_shortest_s": round(drill.set_times[0], 1),
            "set_longest_s": round(drill.set_times[1], 1),
            "run_shortest_s": round(drill.bracket.low, 1),
            "run_longest_s": round(drill.bracket.high, 1),
            "turns": {"left": turning.left, "right": turning.right},
            "turning_load_deg_per_min": round(turning.load_deg_per_min),
            "pushes": {"about": pushes.about, "low": pushes.low, "high": pushes.high},
            "not_measured": list(drill.bracket.guessed),
        }
    }
