"""What the page of one course shows."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any

from django.urls import reverse

from firstpush.core.courses import (
    LAYOUTS,
    CourseError,
    Step,
    TooCloseError,
    courts,
    facts_at,
    layout_named,
)
from firstpush.core.courses.both_ways import balance_words
from firstpush.sheets.course_care import care_lines, notices_of, pace_words, why_pace, without_care
from firstpush.sheets.course_words import FORWARD_OF_TOP, cautions, floor_words, measure_next, use_rows
from firstpush.web.access import User, may, membership_or_none
from firstpush.web.courses.ask_form import AskForm
from firstpush.web.courses.chosen import INSIDE, Chosen
from firstpush.web.courses.laying import Laid, can_be_stepped, laid, step_of
from firstpush.web.courses.models import CourseTime
from firstpush.web.courses.time_form import TimeForm
from firstpush.web.courses.times import TimeRow, compared, course_key, holding


@dataclass(frozen=True, kw_only=True)
class UseRow:
    """A part of the time: its words, how long [s], and how long a bar is beside the longest one [%]."""

    words: str
    seconds: float
    bar: float


def course_page(
    user: User, form: AskForm, *, step: str = "", time_data: Any = None
) -> tuple[dict[str, Any], TimeForm | None]:
    """Return what the page of a course shows, and the form for a measured time where there is one."""
    source = form.source
    context: dict[str, Any] = {"form": form, "source": source, "own": source.own, "layout": LAYOUTS.get(source.slug)}
    if source.own is not None:
        context["versions"] = source.own.versions.select_related("made_by").order_by("-number")
    if not form.is_valid():
        return context, None
    chosen = form.chosen()
    floor = form.cleaned_data.get("floor", "")
    context |= {"query": form.query(), "court": courts().get(floor.removesuffix(INSIDE))}
    try:
        now = laid(chosen)
    except CourseError as error:
        context |= _refused(form, error)
        return context, None
    context |= _figures(form, chosen, now)
    context["says"] = now.made.says
    if now.decides.record is not None:
        context |= {"sheet": True, "cautions": cautions(now.made), "notices": notices_of(now.made)}
        context |= {"care": care_lines(now.made), "without_care": without_care(now.made)}
    if step in ("harder", "easier"):
        context |= _step(form, chosen, step)
    brackets = {
        each.driver.record.pk: each.bracket
        for each in now.each
        if each.driver.record is not None and not each.pace.is_out
    }
    if not brackets or not now.fits or not may(membership_or_none(user)).do:
        time_form = None
    else:
        time_form = TimeForm(chosen.drivers, brackets, time_data)
    context |= {"time_form": time_form, "times": _times(chosen, now)}
    return context, time_form


def _refused(form: AskForm, error: CourseError) -> dict[str, Any]:
    """Return what is said where no way leads round the cones: the sentence, and the metres that would do."""
    words = str(error)
    found: dict[str, Any] = {"refused": words[:1].upper() + words[1:]}
    if isinstance(error, TooCloseError) and form.source.own is None:
        found["works"] = _works(form, error.needed)
    return found


def _works(form: AskForm, needed: float) -> dict[str, str]:
    """Return the spacing that works, to the centimetre above, and the address that lays it."""
    metres = f"{math.ceil(100.0 * needed - 1e-6) / 100.0:.2f}"
    word = layout_named(form.source.slug).spacing_word
    return {"metres": metres, "word": word, "query": form.query(spacing_m=metres)}


def _figures(form: AskForm, chosen: Chosen, now: Laid) -> dict[str, Any]:
    on_floor, bracket = now.on_floor, now.bracket
    line = on_floor.line
    needs = now.on_floor.needs
    spacing_need = now.spacing_need
    found: dict[str, Any] = {
        "laid": now,
        "line": line,
        "course": line.course,
        "bracket": bracket,
        "pace": now.made.pace,
        "pace_words": pace_words(now.made.pace),
        "why_pace": why_pace(now.made, now.made.deciding),
        "moved": not on_floor.in_its_place if chosen.source.own is not None else None,
        "needs": needs,
        "spacing_need": spacing_need,
        "several": len(now.each) > 1,
        "misfits": [each for each in now.misfits if spacing_need is None or each != str(spacing_need)],
        "uses": _bars(now),
        "turned": [round(math.degrees(each)) for each in (now.turning.turned_left, now.turning.turned_right)],
        "load": round(now.turning.load_deg_per_min, -1),
        "fastest": round(math.degrees(now.turning.fastest)),
        "guessed": measure_next(now.made, bracket),
        "drivers": [(each, measure_next(now.made, each.bracket)) for each in now.each],
        "distance": _between(bracket.quick.distance, bracket.slow.distance),
        "base_at": None if now.table is None else line.course.cone(now.table.first),
        "edge": now.on_floor.areas[0].edge,
        "unmeasured": floor_words(now.made),
        "steps": now.fits and not now.made.pace.is_out and can_be_stepped(now, chosen),
        "other_way": form.query(first="left" if chosen.first == "right" else "right"),
        "mirrored": chosen.first == "right",
        "harder": form.query(step=None) + "&step=harder",
        "easier": form.query(step=None) + "&step=easier",
        "room_cm": None if math.isinf(line.nearest) else math.floor(100.0 * line.nearest + 0.5),
    }
    if spacing_need is not None and not spacing_need.fits:
        found["works"] = _works(form, spacing_need.needed)
    if now.made.lanes:
        found |= _lanes(now)
    return found


def _between(one: float, other: float) -> str:
    low, high = sorted((round(one), round(other)))
    return f"{low}" if low == high else f"{low}-{high}"


def _bars(now: Laid) -> list[UseRow]:
    """Return where the time goes, longest first."""
    rows = use_rows(now.time_use)
    return [UseRow(words=words, seconds=seconds, bar=100.0 * seconds / rows[0][1]) for words, seconds, _ in rows]


def _step(form: AskForm, chosen: Chosen, which: str) -> dict[str, Any]:
    try:
        step: Step = step_of(chosen, harder=which == "harder")
    except CourseError as error:
        words = str(error)
        return {"step_refused": words[:1].upper() + words[1:]}
    return {
        "step": step,
        "step_word": which,
        "step_percent": round(100.0 * (step.ratio - 1.0)),
        "step_before": round(step.before.load_deg_per_min, -1),
        "step_after": round(step.after.load_deg_per_min, -1),
        "step_query": form.query(spacing_m=f"{step.spacing:.2f}"),
    }


def _lanes(now: Laid) -> dict[str, Any]:
    """Return the lengths, their sounds, and what to look for while they are pushed."""
    facts = []
    for fact, words in ((each, "easy lengths") for each in facts_at(0.25)):
        facts.append((words, fact))
    for fact, words in ((each, "fast lengths") for each in facts_at(1.0)):
        facts.append((words, fact))
    return {"lanes": now.made.lanes, "cues": now.made.cues, "facts": facts, "forward_of_top": FORWARD_OF_TOP}


def _times(chosen: Chosen, now: Laid) -> list[tuple[str, list[TimeRow], str]]:
    """Return the measured times of those chosen on this course, and which way round is due."""
    key, mirrored = course_key(chosen, now), course_key(chosen.other_way(), now)
    found = []
    for each in now.each:
        if each.driver.record is None:
            continue
        rows = CourseTime.objects.filter(athlete=each.driver.record, course_key=key).select_related("made_by")
        back = holding(CourseTime.objects.filter(athlete=each.driver.record, course_key=mirrored))
        shown = compared(rows, each.bracket)
        if shown or back:
            found.append((each.driver.name, shown, balance_words(this_way=len(shown), other_way=len(back))))
    return found


def page_address(slug: str, query: str) -> str:
    """Return the address of a course laid as `query` says."""
    return reverse("course", kwargs={"slug": slug}) + query
