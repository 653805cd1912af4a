"""The printed course: plan to scale, spacing, times, turns, how to set it out; one page A4, PDF/UA-1, by Typst."""

from __future__ import annotations

import math
from dataclasses import asdict, dataclass
from datetime import date

from firstpush.core.courses import Place, SetOut
from firstpush.core.courses.course import between
from firstpush.core.courses.set_out import stops_of
from firstpush.core.errors import OutOfRangeError
from firstpush.core.figure.course_layout import laid_out
from firstpush.core.figure.course_locator import draw_course_locator, where_words
from firstpush.core.figure.course_plan import draw_course_plan, in_words
from firstpush.core.notices import Notice
from firstpush.sheets.content import JUDGEMENT, Fact
from firstpush.sheets.course_care import care_lines, head_words, notices_of, time_of, without_care
from firstpush.sheets.course_words import (
    cautions,
    cue_heads,
    cue_rows,
    cue_words,
    facts,
    lane_facts,
    spacing_words,
    sure_words,
    times_words,
    use_rows,
)
from firstpush.sheets.make_course import MadeCourse
from firstpush.sheets.typeset import typeset_pdf

PLAN_WIDTH_MM = 189.0
PLAN_HEIGHTS_MM = (150.0, 130.0, 112.0, 104.0, 95.0, 86.0, 78.0, 62.0)
"""The template takes the first plan beside which everything else still goes on the page."""
LOCATOR_WIDTH_MM = 40.0


@dataclass(frozen=True, kw_only=True)
class PlanImage:
    """A plan at one scale: SVG, its true size [mm], and whether the whole floor is in it."""

    svg: str
    scale: int
    width_mm: float
    height_mm: float
    shows_walls: bool


@dataclass(frozen=True, kw_only=True)
class CourseContent:
    """Everything that stands on a course sheet, as finished words.

    Parameters
    ----------
    title, athletes, venue, says : str
        What, who, where, how it is done.
    time : str
        The bracket, large; `sure` says what it holds, `times` those of everybody.
    pace : str
        Beside the time: of several whose it is, and at walking pace where it is; empty for one at full speed.
    goes : bool
        Whether anybody does it.
    spacing, spacing_words : str
        The length that is set out, large, and what the chair needs.
    misfits : tuple of str
        What does not fit; empty where all does.
    facts : tuple of Fact
    use : tuple of (str, float, str)
        Where the time goes [s], and the seconds as words.
    base : str
        How the base is laid; `ends` names its two cones, `rows` the other points from them.
    where : str
        Where the first cone stands on the floor.
    stops : str
        Of lanes, whose stops lie all alike: where, as the last row of the table.
    cue_words, cue_heads, cues, lane_words : str and tuples
        Of push lanes.
    cautions : tuple of str
    notices : tuple of Notice
        Of one athlete.
    care : tuple of (str, str, str)
        Of several, gravest first: name, level and words of each; `without_care` names the others.
    plans : tuple of PlanImage
        From large to small.
    plan_alt, locator_svg, locator_alt : str
        The small floor, for a plan that does not show the walls.
    """

    title: str
    athletes: str
    venue: str
    says: str
    time: str
    pace: str
    goes: bool
    sure: str
    times: tuple[str, ...]
    spacing: str
    spacing_words: str
    misfits: tuple[str, ...]
    facts: tuple[Fact, ...]
    use: tuple[tuple[str, float, str], ...]
    base: str
    ends: tuple[str, ...]
    rows: tuple[tuple[str, str, str, str], ...]
    where: str
    stops: str
    cue_words: str
    cue_heads: tuple[str, ...]
    cues: tuple[tuple[str, ...], ...]
    lane_words: tuple[str, ...]
    cautions: tuple[str, ...]
    notices: tuple[Notice, ...]
    care: tuple[tuple[str, str, str], ...]
    without_care: str
    plans: tuple[PlanImage, ...]
    plan_alt: str
    locator_svg: str
    locator_alt: str
    program_version: str
    input_checksum: str
    judgement: str = JUDGEMENT


def course_content(made: MadeCourse) -> CourseContent:
    """Return the words and drawings of a course sheet."""
    course = made.course
    plans = _plans(made)
    large, small = spacing_words(made)
    names = [each.name for each in made.athletes]
    area = made.on_floor.areas[0]
    return CourseContent(
        title=course.name[:1].upper() + course.name[1:],
        athletes=", ".join(names) if len(names) < 5 else f"{', '.join(names[:3])} and {len(names) - 3} more",
        venue=f"{made.venue.name}, {area.length:g} × {area.width:g} m{_court(made)}",
        says=made.says,
        time=time_of(made.bracket, made.pace),
        pace=head_words(made),
        goes=not all(each.is_out for each in made.paces),
        sure=sure_words(made),
        times=times_words(made),
        spacing=large,
        spacing_words=small,
        misfits=made.misfits,
        facts=facts(made),
        use=() if made.pace.is_out else use_rows(made.use),
        base=_base(made.table),
        ends=() if made.table is None else (made.table.first, made.table.second),
        rows=() if made.table is None else _rows(made),
        where=_where(made),
        stops=_stops(made),
        cue_words=cue_words(made),
        cue_heads=cue_heads(made),
        cues=cue_rows(made),
        lane_words=lane_facts(made.lanes),
        cautions=cautions(made),
        notices=notices_of(made),
        care=tuple((each.name, each.level, each.says) for each in care_lines(made)),
        without_care=without_care(made),
        plans=plans,
        plan_alt=in_words(made.on_floor),
        locator_svg=draw_course_locator(made.on_floor, width_mm=LOCATOR_WIDTH_MM),
        locator_alt=" ".join(where_words(made.on_floor)),
        program_version=made.program_version,
        input_checksum=made.checksum,
    )


def course_pdf(content: CourseContent, *, document_date: date | None = None) -> bytes:
    """Return a course as a tagged PDF of one page; the same content gives the same bytes.

    Parameters
    ----------
    content : CourseContent
    document_date : date, optional
        Creation date in the file's metadata; left out, the file carries none. The clock is never read.

    Returns
    -------
    bytes
        A PDF 1.7 that says it conforms to PDF/UA-1.

    Raises
    ------
    OutOfRangeError
        Where a letter is in none of the fonts, this computer's included.
    """
    data = asdict(content) | {"document_title": f"{content.title} for {content.athletes}"}
    return typeset_pdf("course.typ", data, document_date=document_date)


def _plans(made: MadeCourse) -> tuple[PlanImage, ...]:
    found: list[PlanImage] = []
    for height in PLAN_HEIGHTS_MM:
        try:
            sheet = laid_out(made.on_floor, width_mm=PLAN_WIDTH_MM, height_mm=height, heading=False)
        except OutOfRangeError:
            # Too large for this little paper; for the largest it is a fault of the request.
            if not found:
                raise
            break
        if found and (sheet.scale, sheet.shows_walls) == (found[-1].scale, found[-1].shows_walls):
            continue
        plan = draw_course_plan(
            made.on_floor,
            chair=made.decides.chair,
            width_mm=PLAN_WIDTH_MM,
            height_mm=height,
            heading=False,
            ground=False,
        )
        found.append(PlanImage(**vars(plan)))
    return tuple(found)


def _court(made: MadeCourse) -> str:
    """Return the court a course must stay on, with the rule text of its size; empty for a floor to its walls."""
    court = next((area for area in made.on_floor.areas if area.source and area.binds), None)
    return "" if court is None else f" · {court.name}: {court.source}"


def _base(table: SetOut | None) -> str:
    if table is None:
        return "Fewer than two cones: measure the start from a corner of the floor."
    return f"First the base: cones {table.first} and {table.second}, {table.base:.2f} m apart."


def _stops(made: MadeCourse) -> str:
    """Return where the stops of lanes lie: each as far before its cone as the start is; empty for other courses."""
    if made.table is None or not made.lanes:
        return ""
    start, heading = made.course.start, made.course.heading or 0.0
    cone = min(made.course.cones, key=lambda each: between(start, each))
    ahead, aside = math.cos(heading), math.sin(heading)
    before = abs((cone.x - start.x) * ahead + (cone.y - start.y) * aside)
    beside = abs((cone.y - start.y) * ahead - (cone.x - start.x) * aside)
    return f"{before:.2f} before its cone, {beside:.2f} beside it"


def _rows(made: MadeCourse) -> tuple[tuple[str, str, str, str], ...]:
    table = made.table
    assert table is not None
    left_out = {name for name, _ in stops_of(made.course)} if _stops(made) else set()
    return tuple(
        (
            row.name,
            f"{row.from_first:.2f}",
            f"{row.from_second:.2f}",
            row.side,
        )
        for row in table.rows
        if row.name not in left_out
    )


def _where(made: MadeCourse) -> str:
    """Return where on the floor the first cone of the base stands, or the start."""
    table, area = made.table, made.on_floor.areas[0]
    place: Place = made.course.start if table is None else made.course.cone(table.first)
    what = "Start" if table is None else f"Cone {table.first}"
    return f"{what}: {place.x:.2f} m from the left {area.edge}, {place.y:.2f} m from the near one, as the plan lies."
