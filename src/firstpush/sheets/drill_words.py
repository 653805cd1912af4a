"""A court drill on a session's sheet: its plan, how it is set out with two tapes, and its numbers."""

from __future__ import annotations

import math
from collections.abc import Iterable

from firstpush.core.courses.drill import LANES, DrillCourse, TimedDrill, timed
from firstpush.core.errors import OutOfRangeError
from firstpush.core.exercises.definition import DoseOption
from firstpush.core.figure.drill_plan import draw_drill_plan
from firstpush.core.session.prepare import Prepared
from firstpush.core.session.session import SessionItem
from firstpush.core.setup.court import run_out_words
from firstpush.sheets.content import CourseOnSheet, CoursePlanImage, Fact
from firstpush.sheets.course_words import MEASURE_WORDS, two_digits, use_rows

PLAN_SIZES_MM = ((88.0, 46.0), (60.0, 37.0))
"""Paper for a plan, the roomy one first; it takes no more of it than it needs."""
CARD_PLAN_MM = (62.0, 42.0)
OTHER_WAY = "the other way round"
BOTH_WAYS = ("half-circle", "half-circle-back")


def laid_of(item: SessionItem, prepared: Prepared) -> DrillCourse | None:
    """Return how the drill of an item is laid in its dose; None for what is no drill on a course."""
    laid = prepared.courses.get(item.candidate.id)
    return None if laid is None else laid.of(item.dose)


def course_on_sheet(
    laid: DrillCourse, dose: DoseOption, *, plans: Iterable[CoursePlanImage] | None = None
) -> CourseOnSheet:
    """Return what stands of a drill beside its exercise.

    Parameters
    ----------
    laid : DrillCourse
    dose : DoseOption
    plans : iterable of CoursePlanImage, optional
        Already drawn, or left out on purpose; drawn here when not given.
    """
    drawn = tuple(plans) if plans is not None else course_plans(laid)
    return CourseOnSheet(
        set_out=set_out_lines(timed(laid)), rounds=rounds_words(laid, dose), time=time_words(laid), plans=drawn
    )


def course_plans(
    laid: DrillCourse, sizes: Iterable[tuple[float, float]] = PLAN_SIZES_MM
) -> tuple[CoursePlanImage, ...]:
    """Return the plans of a drill, each to scale, the roomy one first; a size that is too small for it has none."""
    found = []
    for width, height in sizes:
        try:
            plan = draw_drill_plan(laid, width_mm=width, height_mm=height)
        except OutOfRangeError:
            continue
        image = CoursePlanImage(
            svg=plan.svg, width_mm=plan.width_mm, height_mm=plan.height_mm, scale=plan.scale, alt=plan.words
        )
        if image not in found:
            found.append(image)
    return tuple(found)


def set_out_lines(drill: TimedDrill) -> tuple[str, ...]:
    """Return how the cones are set out with two tapes: the base first, then each point; lengths in m.

    Points where the axle stops are left out: the plan and the measures of the exercise tell them.
    """
    table = drill.table
    if table is None:
        return ()
    cones = {cone.name for cone in drill.laid.course.cones}
    rows = [row for row in table.rows if row.name in cones or row.name.startswith("start")]
    lines = [f"Tape from {table.first} to {table.second}: {table.base:.2f} m"]
    straight = [row for row in rows if row.side == "on the line"]
    if straight:
        at = ", ".join(f"{row.name} {_along(row.along, table.first, table.second, table.base)}" for row in straight)
        lines.append(f"On it: {at}")
    if len(straight) < len(rows):
        lines.append(f"From {table.first} and {table.second}, in m:")
    for row in rows:
        if row.side != "on the line":
            lines.append(f"{row.name}: {row.from_first:.2f} · {row.from_second:.2f} {row.side}")
    return tuple(lines)


def _along(along: float, first: str, second: str, base: float) -> str:
    if along < 0.0:
        return f"{-along:.2f} m before {first}"
    if along > base:
        return f"{along - base:.2f} m beyond {second}"
    return f"at {along:.2f}"


def rounds_words(laid: DrillCourse, dose: DoseOption) -> str:
    """Return how often it is done, by direction where it is done both ways round.

    Examples
    --------
    "2 one way, 2 the other", "4 lengths: 25, 50, 75, 100 %", "3 times there and back".
    """
    sets = dose.sets
    if laid.drill.layout == LANES:
        shares = ", ".join(f"{100 * share:.0f}" for share in laid.drill.shares)
        often = "" if sets == 1 else f", {_times(sets)}"
        return f"{len(laid.drill.shares)} lengths: {shares} %{often}"
    if OTHER_WAY in dose.rounds_words:
        other = sets // 2
        return f"{sets - other} one way, {other} the other" if other else "1, one way"
    if laid.drill.runs == 2:
        return f"{_times(sets)} there and back"
    if laid.drill.layout == "stop-and-turn":
        return f"{laid.drill.count} stops{'' if sets == 1 else f', {_times(sets)}'}"
    return _times(sets)


def rounds_large(laid: DrillCourse, dose: DoseOption) -> str:
    """Return the same as `rounds_words`, short enough to be read at arm's length.

    Examples
    --------
    "2 one way, 2 other", "4 lengths", "3 there and back", "2 × 6 stops".
    """
    sets = dose.sets
    if laid.drill.layout == LANES or laid.drill.layout == "stop-and-turn":
        lanes = laid.drill.layout == LANES
        each = f"{len(laid.drill.shares)} lengths" if lanes else f"{laid.drill.count} stops"
        return each if sets == 1 else f"{sets} × {each}"
    if OTHER_WAY in dose.rounds_words and sets > 1:
        return f"{sets - sets // 2} one way, {sets // 2} other"
    return f"{sets} there and back" if laid.drill.runs == 2 else f"{sets}"


def _times(count: int) -> str:
    return {1: "once", 2: "twice"}.get(count, f"{count} times")


def time_words(laid: DrillCourse) -> str:
    """Return between which times a set is done."""
    low, high = timed(laid).set_times
    return f"{math.floor(low)}-{math.ceil(high)} s a set"


def course_numbers(laid: DrillCourse) -> tuple[Fact, ...]:
    """Return the practitioner's numbers of a drill."""
    drill = timed(laid)
    turning, pushes, bracket = drill.turning, drill.pushes, drill.bracket
    pace = " at walking pace" if laid.drill.walking else ""
    planned = f"planned {laid.set_s:.0f} s{pace}, the slow side rounded up"
    run = f"; one run {bracket}" if laid.drill.runs > 1 else ""
    load = two_digits(turning.load_deg_per_min)
    turned = [two_digits(math.degrees(each)) for each in (turning.turned_left, turning.turned_right)]
    runs = " a run" if laid.drill.runs > 1 else " a set"
    mirrored = "; the other way round exchanged" if laid.drill.layout in BOTH_WAYS else ""
    uses = ", ".join(f"{words} {seconds}" for words, _, seconds in use_rows(drill.use)[:4])
    found = [
        Fact(label="Time", value=f"{time_words(laid)}{run}; {planned}"),
        Fact(
            label="Turns",
            value=f"{turning.left} left, {turning.right} right{runs} ({turned[0]}°, {turned[1]}°);"
            f" about {load}° a minute{mirrored}",
        ),
        Fact(label="Pushes", value=f"about {pushes.about} ({pushes.low}-{pushes.high}){runs}"),
        Fact(label="Time goes", value=uses),
        Fact(label="Floor", value=_floor(laid)),
    ]
    wanted = list(dict.fromkeys(MEASURE_WORDS[each] for each in bracket.guessed if each in MEASURE_WORDS))
    if wanted and not laid.drill.walking:
        found.append(Fact(label="Measure", value=f"{wanted[0]}: the times get nearer to each other"))
    return tuple(found)


def _and_run_out(free: float | None) -> str:
    said = run_out_words(free)
    return f" and a free run-out of {said}" if said[0].isdigit() else f"; free run-out {said}"


def _floor(laid: DrillCourse) -> str:
    words = f"takes {laid.length:.1f} by {laid.width:.1f} m"
    binding = [area for area in laid.areas if area.binds]
    if binding:
        words += f" of {binding[0].length:g} by {binding[0].width:g} m"
    # The length ends at the marks: the way to stop on beyond them is floor that must be free as well.
    if laid.drill.layout == LANES:
        words += _and_run_out(laid.run_out)
    room = laid.likely.nearest
    return words + (f"; {100 * room:.0f} cm to the nearest cone" if math.isfinite(room) else "")
