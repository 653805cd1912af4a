"""A course made ready for paper, screen and other programs: placed, timed, and set out, from athletes and a venue."""

from __future__ import annotations

import math
import re
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date
from importlib.metadata import version
from pathlib import Path
from typing import Any

from firstpush.core.courses import (
    MARGIN,
    Area,
    AthleteSpeed,
    Bracket,
    ChairOutline,
    Course,
    Cue,
    LaneTime,
    Need,
    OnFloor,
    Pushes,
    SetOut,
    TimeUse,
    TooCloseError,
    Turning,
    areas_on,
    athlete_speed,
    bracket_of,
    cues_of,
    fit,
    lane_times,
    layout_named,
    line_over,
    outline_of,
    pushes_of,
    put_on,
    set_out,
    time_use,
    turning_of,
)
from firstpush.core.courses.drill import at_walking_pace
from firstpush.core.errors import OutOfRangeError
from firstpush.core.kit.venue import Venue
from firstpush.core.notices import Notice
from firstpush.core.people.age import athlete_notices
from firstpush.core.people.athlete import Athlete
from firstpush.core.setup.course_cautions import CourseCautions, Pace, course_cautions
from firstpush.core.setup.court import ONE_LANE, pulls_backwards
from firstpush.sheets.checksum import input_checksum

LANES = "push-lanes"
TOO_NEAR_M = 0.003
"""A cone is too near from here on, as `OnFloor.misfits` has it."""


@dataclass(frozen=True, kw_only=True)
class MadeCourse:
    """A course on its floor, with everything that is told of it.

    Parameters
    ----------
    athletes : tuple of Athlete
        Everybody who drives it.
    deciding : int
        Which of them needs most room: the line, its times and its turns are theirs.
    venue : Venue
    says : str
        How it is done, in one sentence; empty for a course of one's own.
    on_floor : OnFloor
        With the likely line of that athlete.
    speeds : tuple of AthleteSpeed
        Of each of `athletes`, at the pace that their cautions leave.
    brackets : tuple of Bracket
        One for each of `athletes`.
    cautions : tuple of CourseCautions
        What the cautions of the matching drill say of each.
    on : date or None
        The day, from which the age is counted.
    turning, pushes, use : of the likely line
    table : SetOut or None
        None where there are not two cones to measure from.
    lanes : tuple of LaneTime
        Empty but for push lanes.
    cues : tuple of Cue
    checksum, program_version : str
        For the footer.
    """

    athletes: tuple[Athlete, ...]
    deciding: int
    venue: Venue
    says: str
    on_floor: OnFloor
    speeds: tuple[AthleteSpeed, ...]
    brackets: tuple[Bracket, ...]
    cautions: tuple[CourseCautions, ...]
    on: date | None
    turning: Turning
    pushes: Pushes
    use: TimeUse
    table: SetOut | None
    lanes: tuple[LaneTime, ...]
    cues: tuple[Cue, ...]
    checksum: str
    program_version: str

    @property
    def course(self) -> Course:
        """The course as it lies on the floor."""
        return self.on_floor.line.course

    @property
    def bracket(self) -> Bracket:
        """The times of the athlete whose chair decides."""
        return self.brackets[self.deciding]

    @property
    def decides(self) -> Athlete:
        """Whose chair needs most room."""
        return self.athletes[self.deciding]

    @property
    def paces(self) -> tuple[Pace, ...]:
        """How each may do it."""
        return tuple(each.pace for each in self.cautions)

    @property
    def pace(self) -> Pace:
        """How the athlete whose chair decides may do it."""
        return self.cautions[self.deciding].pace

    def notices_of(self, number: int) -> tuple[Notice, ...]:
        """Return all that is told of one of the athletes: what stops, then health, age, and the drill's cautions."""
        health = athlete_notices(self.athletes[number], on=self.on)
        found = dict.fromkeys((*health, *self.cautions[number].notices))
        return tuple(sorted(found, key=lambda notice: notice.level != "stop"))

    @property
    def misfits(self) -> tuple[str, ...]:
        """What does not fit, each with the metre value that would; cones that are too near stand together."""
        placed = self.on_floor
        said = [str(need) for need in placed.needs if not need.fits]
        near = {name: room for name, room in placed.line.clearances.items() if room < placed.line.margin - TOO_NEAR_M}
        if near:
            what = "beside every cone" if len(near) == len(placed.line.clearances) else f"beside cone {', '.join(near)}"
            said.append(f"{what}: needs {placed.line.margin:.2f} m, has only {max(0.0, min(near.values())):.2f} m")
        return tuple(said)


def make_course(
    what: str | Course,
    *,
    athletes: Sequence[Athlete],
    venue: Venue,
    speeds: Sequence[AthleteSpeed] | None = None,
    areas: Sequence[Area] | None = None,
    spacing: float | None = None,
    count: int | None = None,
    mirror: bool = False,
    margin: float = MARGIN.value,
    on: date | None = None,
    files: Sequence[Path] = (),
    request: str = "",
) -> MadeCourse:
    """Return a course placed on a floor, timed and set out.

    Parameters
    ----------
    what : str or Course
        Id of a layout, or a course of one's own.
    athletes : sequence of Athlete
        The widest chair decides.
    venue : Venue
        Where it lies.
    speeds : sequence of AthleteSpeed or None
        What is known of each athlete's speed, in their order; None guesses by sport and function.  Where a caution
        asks for walking pace, it is held to that, unless a sprint was measured.
    areas : sequence of Area or None
        What it must stay in, as `areas_on` gives it; None takes the venue to its walls.
    spacing : float or None
        The one length of a layout [m]; None lets it be chosen.
    count : int or None
        How many cones of a layout, rounds or lengths.
    mirror : bool
        The other way round.
    margin : float
        Room to every cone [m].
    on : date or None
        The day; None says nothing of juniors.
    files, request
        What the checksum in the footer is made of.

    Raises
    ------
    FirstpushError
        As in `fit`, `put_on` and `areas_on`; and for a spacing or count of a course that has none.
    """
    if not athletes:
        raise OutOfRangeError(
            "a course for nobody cannot be made; allowed is one athlete or more; choose who drives it."
        )
    outlines = [outline_of(each.chair, name=each.name) for each in athletes]
    if speeds is None:
        speeds = [athlete_speed(athlete=each) for each in athletes]
    if areas is None:
        areas = areas_on(venue)
    told = [
        course_cautions(what, athlete, measured=speed.maximal_speed.known == "measured")
        for athlete, speed in zip(athletes, speeds, strict=True)
    ]
    speeds = [
        at_walking_pace(speed) if each.pace.at_walking_pace else speed for speed, each in zip(speeds, told, strict=True)
    ]
    # Who is left out decides nothing, unless all are.
    goes = [number for number, each in enumerate(told) if not each.pace.is_out] or list(range(len(told)))
    going, at_speed = [outlines[number] for number in goes], [speeds[number] for number in goes]
    # Of lanes: only what the cautions leave to everybody who goes; nobody is pulled back without an anti-tip wheel.
    backward = what != LANES or all(pulls_backwards(athletes[number].chair) for number in goes)
    left = [told[number].shares for number in goes] if what == LANES else []
    shares = min(left, key=max) if left and all(left) else ()
    top = max(shares, default=1.0)
    if isinstance(what, str):
        # The quickest needs most floor to stop on; the line that is shown is the deciding one's own.
        limits = max((each.limits("likely") for each in at_speed), key=lambda each: each.maximal_speed)
        on_floor = fit(
            what,
            outlines=going,
            areas=areas,
            spacing=spacing,
            count=count if count is not None or not shares else len(shares),
            limits=limits,
            margin=margin,
            first="right" if mirror else "left",
            top=top,
            backward=backward,
        )
    else:
        _refuse_lengths(what, spacing, count)
        own = what.mirrored() if mirror else what
        on_floor = _own_on(own, outlines=going, speeds=at_speed, areas=areas, margin=margin)
    chosen = next(number for number, each in enumerate(outlines) if each is on_floor.line.outline)
    course = on_floor.line.course
    # The chair of somebody left out may not even fit: no time is told of it, and the deciding one stands there.
    brackets = tuple(
        bracket_of(course, outlines[number if number in goes else chosen], speed, margin=margin)
        for number, speed in enumerate(speeds)
    )
    likely = brackets[chosen].likely
    return MadeCourse(
        athletes=tuple(athletes),
        deciding=chosen,
        venue=venue,
        says=_lanes_say(top=top, backward=backward) if what == LANES else _says(what, mirror=mirror),
        on_floor=replace(on_floor, line=likely),
        speeds=tuple(speeds),
        brackets=brackets,
        cautions=tuple(told),
        on=on,
        turning=turning_of(likely),
        pushes=pushes_of(likely),
        use=time_use(likely),
        table=set_out(course) if len(course.cones) > 1 else None,
        lanes=lane_times(likely) if what == LANES else (),
        # Nobody is called to start who is not to start.
        cues=() if told[chosen].pace.is_out else cues_of(likely),
        checksum=input_checksum(files, request=request),
        program_version=version("firstpush"),
    )


def _says(what: str | Course, *, mirror: bool) -> str:
    """Return how a layout is done; the other way round left and right are exchanged in the sentence too."""
    if not isinstance(what, str):
        return ""
    says = layout_named(what).says
    other = {"left": "right", "right": "left"}
    return re.sub(r"\b(left|right)", lambda found: other[found[0]], says) if mirror else says


def _lanes_say(*, top: float, backward: bool) -> str:
    """Return how push lanes are done where not all of the layout is; it has neither left nor right."""
    if top == 1.0 and backward:
        return layout_named(LANES).says
    last = "as fast as it goes" if top == 1.0 else f"at {100 * top:.0f} % of the fastest"
    between = "short sides pulled backwards" if backward else ONE_LANE
    return f"Each length faster than the one before, the last {last}; {between}."


def _refuse_lengths(course: Course, spacing: float | None, count: int | None) -> None:
    if spacing is not None or count is not None:
        raise OutOfRangeError(
            f"{course.name!r} has its own cones; a spacing or a number of cones is for layouts that ship only;"
            " leave it out, or change the coordinates in the file."
        )


def _own_on(
    course: Course,
    *,
    outlines: Sequence[ChairOutline],
    speeds: Sequence[AthleteSpeed],
    areas: Sequence[Area],
    margin: float,
) -> OnFloor:
    """Return a course of one's own on the floor, with the chair that decides, and what the others need.

    A chair that does not fit decides before one that does; then the widest, then the longest.
    """
    each: list[OnFloor] = []
    for outline, speed in zip(outlines, speeds, strict=True):
        try:
            limits = speed.limits("likely")
            placed = put_on(course, outline=outline, areas=areas, limits=limits, margin=margin, keep_place=True)
            each.append(placed)
        except TooCloseError as error:
            if len(outlines) == 1:
                raise
            raise TooCloseError(f"{outline.name}: {error}", needed=error.needed, has=error.has) from error
    worst = min(each, key=lambda placed: (placed.fits, -placed.line.outline.width, -placed.line.outline.length))
    if worst.in_its_place and not all(placed.in_its_place for placed in each):
        outline, limits = worst.line.outline, speeds[each.index(worst)].limits("likely")
        moved = put_on(course, outline=outline, areas=areas, limits=limits, margin=margin)
        each[each.index(worst)] = worst = moved
    others = []
    for placed in each:
        if placed is worst:
            continue
        name = placed.line.outline.name
        others += [replace(need, what=f"{need.what} for {name}") for need in placed.needs if not need.fits]
        room = line_over(worst.line.course, placed.line.outline, margin=margin).nearest
        others.append(Need(what=f"room beside the cones for {name}", needed=margin, has=room))
    return replace(worst, needs=(*worst.needs, *others))


def course_document(made: MadeCourse) -> dict[str, Any]:
    """Return a course as a document: units in the keys."""
    course, line, placed = made.course, made.on_floor.line, made.on_floor
    return {
        "course": course.name,
        "athletes": [each.name for each in made.athletes],
        "decides": made.decides.name,
        "venue": made.venue.name,
        "fits": placed.fits,
        "in_its_place": placed.in_its_place,
        "does_not_fit": list(made.misfits),
        "spacing_word": course.spacing_word or None,
        "spacing_m": course.spacing,
        "least_spacing_m": None if placed.least is None else placed.least.needed,
        "chair_width_m": line.outline.width,
        "margin_m": line.margin,
        "needs": [
            {"what": each.what, "needed_m": _round(each.needed), "has_m": _round(each.has), "fits": each.fits}
            for each in placed.needs
        ],
        "clearance_m": {name: _round(room) for name, room in line.clearances.items()},
        "areas": [
            {
                "name": each.name,
                "length_m": each.length,
                "width_m": each.width,
                "edge": each.edge,
                "room_m": each.room,
                "binds": each.binds,
                "source": each.source or None,
            }
            for each in placed.areas
        ],
        "order": course.order,
        "cones": [{"name": each.name, "x_m": _round(each.x), "y_m": _round(each.y)} for each in course.cones],
        "start": {"x_m": _round(course.start.x), "y_m": _round(course.start.y)},
        "finish": {"x_m": _round(course.finish.x), "y_m": _round(course.finish.y)},
        "times": [
            {
                "athlete": athlete.name,
                "shortest_s": None if pace.is_out else _round(bracket.low),
                "likely_s": None if pace.is_out else _round(bracket.likely.duration),
                "longest_s": None if pace.is_out else _round(bracket.high),
                "not_measured": list(bracket.guessed),
                "at_walking_pace": pace.at_walking_pace and not pace.is_out,
                "not_for": list(pace.out),
            }
            for athlete, bracket, pace in zip(made.athletes, made.brackets, made.paces, strict=True)
        ],
        "notices": [
            {"athlete": athlete.name, "id": each.id, "level": each.level, "what": each.what, "do": each.do}
            for number, athlete in enumerate(made.athletes)
            for each in made.notices_of(number)
        ],
        "distance_m": _round(line.distance),
        "top_speed_m_s": _round(line.top_speed),
        "pushes": {"about": made.pushes.about, "low": made.pushes.low, "high": made.pushes.high},
        "turns": {"left": made.turning.left, "right": made.turning.right},
        "turned_left_deg": round(_degrees(made.turning.turned_left)),
        "turned_right_deg": round(_degrees(made.turning.turned_right)),
        "turning_load_deg_per_min": round(made.turning.load_deg_per_min),
        "wheel_speed_difference_m_s": _round(made.turning.wheel_difference),
        "time_goes_s": {name: _round(value) for name, value in vars(made.use).items()},
        "set_out": None if made.table is None else _table(made.table),
        "lanes": [
            {
                "length": each.number,
                "backward": each.backward,
                "share_percent": round(100 * each.share),
                "length_m": _round(each.length),
                "begins_s": _round(each.begins),
                "duration_s": _round(each.duration),
                "mean_speed_m_s": _round(each.mean_speed),
                "top_speed_m_s": _round(each.top_speed),
            }
            for each in made.lanes
        ],
        "cues": [{"time_s": round(each.time, 3), "kind": each.kind, "says": each.says} for each in made.cues],
        "input_checksum": made.checksum,
        "program_version": made.program_version,
    }


def _table(table: SetOut) -> dict[str, Any]:
    return {
        "first_cone": table.first,
        "second_cone": table.second,
        "base_m": _round(table.base),
        "points": [
            {
                "name": row.name,
                "from_first_m": _round(row.from_first),
                "from_second_m": _round(row.from_second),
                "along_m": _round(row.along),
                "side": row.side,
            }
            for row in table.rows
        ],
    }


def _degrees(radians: float) -> float:
    return math.degrees(radians)


def _round(value: float) -> float | None:
    """Return a length or time to the centimetre or hundredth; None where there is no end to it."""
    return None if value in (float("inf"), float("-inf")) else round(value, 2) + 0.0
