"""A drill on its course for the page on court: plan, three large facts, and when each sound of push lanes falls."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from firstpush.core.courses import Cue
from firstpush.core.courses.drill import LANES, DrillCourse, placed, timed
from firstpush.core.errors import FirstpushError
from firstpush.core.exercises.definition import DoseOption
from firstpush.core.figure.course_plan import draw_course_plan, in_words
from firstpush.core.figure.drill_plan import draw_drill_plan
from firstpush.sheets.drill_words import rounds_large, set_out_lines, time_words
from firstpush.web.figures import content_key, kept
from firstpush.web.sessions.course_drawings import course_drawing_key, drill_of
from firstpush.web.sessions.making import case_of
from firstpush.web.sessions.models import PlanVersion
from firstpush.web.sessions.request import read_request

PLAN_MM = (124.0, 110.0)
"""Paper of the plan: its letters are read where 350 px show it."""


def with_courses(
    version: PlanVersion,
    item: Mapping[str, Any],
    *,
    laid: Mapping[str, DrillCourse],
    doses: Mapping[str, DoseOption],
    found: dict[str, dict[str, Any]],
) -> None:
    """Add the course to each way of doing a drill; nothing where the words of the session tell another one.

    Parameters
    ----------
    version : PlanVersion
    item : mapping
        Of the document of the version.
    laid, doses : mapping of "planned", "easier" and "harder"
    found : dict of the same to dict
        The variants of the package, changed in place.
    """
    try:
        drill_of(version, dict(item))
    except FirstpushError:
        return
    as_planned = laid["planned"].drill
    for name, variant in found.items():
        if name not in laid:
            continue
        course = _course(laid[name], doses[name])
        # One that is laid alike has the plan as planned.
        if name == "planned" or laid[name].drill != as_planned:
            course["plan"], course["plan_alt"] = _plan(version, dict(item), laid[name])
        variant["course"] = course
        # The one length stands large already; where the cones stand is said in words beside their number.
        variant["facts"] = [fact for fact in variant["facts"] if fact["label"] != course["facts"][0]["label"]]
        cues = list(cue_rows(timed(laid[name]).cues, laid[name])) if laid[name].drill.layout == LANES else []
        for step in variant["steps"]:
            if step["kind"] == "set" and cues:
                step["cues"] = cues


def _course(laid: DrillCourse, dose: DoseOption) -> dict[str, Any]:
    course = laid.course
    word = course.spacing_word
    stands = "Marks" if laid.drill.layout in (LANES, "stop-and-turn") else "Cones"
    facts = [
        (word[:1].upper() + word[1:], f"{laid.spacing:.2f} m"),
        (stands, f"{len(course.cones)}"),
        ("Rounds", rounds_large(laid, dose)),
    ]
    return {
        "facts": [{"label": label, "value": value} for label, value in facts],
        "time": time_words(laid),
        "set_out": list(set_out_lines(timed(laid))),
    }


def _plan(version: PlanVersion, item: dict[str, Any], laid: DrillCourse) -> tuple[str, str]:
    width, height = PLAN_MM
    if not laid.areas:
        drawn = draw_drill_plan(laid, width_mm=width, height_mm=height)
        return drawn.svg, drawn.words
    on_floor = placed(laid)

    def draw() -> str:
        return draw_course_plan(
            on_floor,
            chair=case_of(read_request(version.request)).chair,
            width_mm=width,
            height_mm=height,
            heading=False,
            moving=True,
            ground=False,
        ).svg

    key = content_key("court course", course_drawing_key(version, item, "court"), laid.drill, PLAN_MM)
    return kept(key, draw, of=version.plan.athlete), in_words(on_floor)


def cue_rows(cues: Sequence[Cue], laid: DrillCourse) -> Iterator[dict[str, Any]]:
    """Yield the cues of a set, seconds from its start: the same times as in the sound file.

    A go says how hard the length is pushed.  What has no `words` is heard only.
    """
    shares = iter(laid.drill.shares)
    for cue in cues:
        words = {"tick": "", "end": "Done"}.get(cue.kind, f"{cue.says[:1].upper()}{cue.says[1:]}")
        row: dict[str, Any] = {"time_s": round(cue.time, 3), "kind": cue.kind}
        if cue.kind == "go":
            row["effort"] = f"{100 * next(shares):.0f} %"
            words = f"Go: {row['effort']}"
        yield row | {"words": words}
