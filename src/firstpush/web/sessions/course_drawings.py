"""The drills of a session that was kept: their plans for page, paper and court, laid as the words tell, or none."""

from __future__ import annotations

import json
from dataclasses import asdict
from typing import Any
from urllib.parse import urlencode

from django.urls import reverse

from firstpush.core.courses.drill import LANES, DrillCourse, placed
from firstpush.core.figure.course_plan import draw_course_plan
from firstpush.core.figure.drill_plan import draw_drill_plan
from firstpush.sheets.content import CoursePlanImage
from firstpush.sheets.drill_words import CARD_PLAN_MM, PLAN_SIZES_MM, course_plans, laid_of
from firstpush.web.courses.drawn import Size
from firstpush.web.errors import WebError
from firstpush.web.figures import content_key, kept
from firstpush.web.sessions.making import case_of, planned_of
from firstpush.web.sessions.models import PlanVersion
from firstpush.web.sessions.request import read_request

PLAN_SIZES = {
    "plan": Size(width=140.0, height=120.0),
    "narrow": Size(width=124.0, height=130.0),
    "moving": Size(width=140.0, height=120.0, moving=True),
    "moving-narrow": Size(width=124.0, height=130.0, moving=True),
}
"""Letters are as large on each of them, so that a phone gets its own."""


class NoPlanError(WebError):
    """The drill can no longer be laid as the words of the session tell it, so that no plan would be true."""


def drill_of(version: PlanVersion, item: dict[str, Any]) -> DrillCourse:
    """Return how the drill of an item is laid.

    Raises
    ------
    NoPlanError
        For an item that is no drill, or one that a newer program lays otherwise.
    FirstpushError
        When the session cannot be made again at all.
    """
    told = item.get("course")
    if told is not None:
        planned = planned_of(version)
        found = next((each for each in planned.session.items if each.candidate.id == item["exercise"]), None)
        laid = None if found is None else laid_of(found, planned.prepared)
        if laid is not None and abs(laid.spacing - told["spacing_m"]) < 0.006 and laid.drill.layout == told["layout"]:
            return laid
    raise NoPlanError(
        f"{item.get('title')} is no drill on a course, or this program lays it otherwise. Allowed: plans of what the "
        "words tell. Make the session again for a new plan."
    )


def course_drawing_key(version: PlanVersion, item: dict[str, Any], kind: str) -> str:
    """Return the key that the plan of an item is kept under: the same drill of the same chair, the same key."""
    inputs = version.request.get("inputs", {})
    told = json.dumps([inputs.get("athlete"), inputs.get("venue"), inputs.get("speed"), item.get("course")])
    return content_key("session course", kind, PLAN_SIZES.get(kind), PLAN_SIZES_MM, CARD_PLAN_MM, told)


def course_drawing(version: PlanVersion, item: dict[str, Any], kind: str) -> str:
    """Return the plan of an item as SVG, one of `PLAN_SIZES`; raises as `drill_of` does."""

    def draw() -> str:
        return _drawn(drill_of(version, item), version, PLAN_SIZES[kind])

    return kept(course_drawing_key(version, item, kind), draw, of=version.plan.athlete)


def _drawn(laid: DrillCourse, version: PlanVersion, size: Size) -> str:
    if not laid.areas:
        # Without a floor there is no place on it: the drill by itself.
        return draw_drill_plan(laid, width_mm=size.width, height_mm=size.height).svg
    return draw_course_plan(
        placed(laid),
        chair=case_of(read_request(version.request)).chair,
        width_mm=size.width,
        height_mm=size.height,
        heading=False,
        moving=size.moving,
    ).svg


def sheet_plans(
    version: PlanVersion, item: dict[str, Any], sizes: tuple[tuple[float, float], ...] = PLAN_SIZES_MM
) -> tuple[CoursePlanImage, ...]:
    """Return the plans of an item for paper; none for what is no drill. Raises as `drill_of` does."""
    if item.get("course") is None:
        return ()

    def draw() -> str:
        return json.dumps([asdict(each) for each in course_plans(drill_of(version, item), sizes)])

    key = course_drawing_key(version, item, f"sheet {sizes}")
    return tuple(CoursePlanImage(**each) for each in json.loads(kept(key, draw, of=version.plan.athlete)))


def course_link(version: PlanVersion, item: dict[str, Any]) -> str:
    """Return the address of the page of a drill's course with this athlete and venue chosen; "" for what is none."""
    told = item.get("course")
    if told is None:
        return ""
    request = read_request(version.request)
    asked: dict[str, Any] = {"athlete": version.plan.athlete_id, "venue": request.venue_id or ""}
    # Easy lengths are the first ones of the whole ladder.
    asked["count"] = 4 if told["layout"] == LANES and told["shares_percent"][-1] < 100 else told["count"]
    return f"{reverse('course', kwargs={'slug': told['layout']})}?{urlencode(asked)}"
