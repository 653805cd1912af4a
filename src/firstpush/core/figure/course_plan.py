"""A course on its floor, from above and to scale: what is set out, what the chair sweeps, and the line it takes.

Lengths on the paper are true to scale within the half of a millimetre that a ruler tells.  No colour alone says
anything: what is pulled backwards is dashed with hollow heads, effort is the weight of the line, walls are heavy lines.
"""

from __future__ import annotations

from dataclasses import dataclass

from firstpush.core.courses import OnFloor
from firstpush.core.figure.course_chains import draw_chains
from firstpush.core.figure.course_chair import draw_chair
from firstpush.core.figure.course_labels import LETTERS_PT, SMALL_PT, Lettering
from firstpush.core.figure.course_layout import A4_MM, EDGE_MM, HEAD_MM, Sheet, laid_out
from firstpush.core.figure.course_legend import draw_legend, draw_scale_bar, fits_beside_bar
from firstpush.core.figure.course_locator import locator, where_words
from firstpush.core.figure.course_marks import (
    arrow_layers,
    at_the_end,
    dot_layers,
    drawn_ways,
    end_lines,
    floor_edges,
    grid,
    line_layers,
    on_the_floor,
    outline_at,
    seconds,
    swept_floor,
    swept_layers,
    turn_layers,
)
from firstpush.core.figure.course_names import draw_cones, put_efforts, put_ends, put_seconds
from firstpush.core.figure.course_page import extent_of, shown_extent
from firstpush.core.figure.outlines import Layer, line
from firstpush.core.figure.palette import INK, PAPER, Scheme, grey
from firstpush.core.figure.svg import document, paint_all, text_at
from firstpush.core.people.athlete import Chair

LOCATOR_MM = 50.0
SECOND_ROW_MM = 5.0


@dataclass(frozen=True, kw_only=True)
class CoursePlan:
    """A plan: SVG, its `scale` (50 for 1:50), its size on paper [mm], and whether the whole floor is in it."""

    svg: str
    scale: int
    width_mm: float
    height_mm: float
    shows_walls: bool


def draw_course_plan(
    on_floor: OnFloor,
    *,
    chair: Chair,
    width_mm: float = A4_MM[0],
    height_mm: float = A4_MM[1],
    heading: bool = True,
    moving: bool = False,
    scheme: Scheme = "paper",
    ground: bool = True,
) -> CoursePlan:
    """Return the plan of a course at the largest scale of `SCALES` at which it fits.

    Parameters
    ----------
    on_floor : OnFloor
        With the likely line; its places count from the corner of the floor.
    chair : Chair
        Of whom the line is: drawn at the start, to scale.
    width_mm, height_mm : float
        Paper [mm]; A4 lying on its side when left out.
    heading : bool
        Whether name and scale stand above it; without them it is no higher than it needs to be.
    moving : bool
        Whether the chair goes along the line in real time, again and again; who asks for less motion sees it stand at
        the start.
    scheme : str
        "paper", or "grey" as a printer without colour shows it.
    ground : bool
        Whether paper is painted under it.

    Returns
    -------
    CoursePlan

    Raises
    ------
    OutOfRangeError
        For a course too large for the paper at 1:300.
    """
    import shapely

    sheet = laid_out(on_floor, width_mm=width_mm, height_mm=height_mm, heading=heading)
    page, line_ = sheet.page, on_floor.line
    ways = drawn_ways(line_, page)
    arrows, heads = arrow_layers(ways, page)
    marks = seconds(line_, ways, page)
    ends = end_lines(line_, page)
    start, rests = outline_at(line_, page, time=0.0), at_the_end(line_, page)
    swept = swept_floor(line_, page)
    in_the_way = [line(each.points).simplify(0.1) for each in ways] + [layer.geometry for layer in ends]
    lettering = Lettering(
        page=sheet.window,
        lines=shapely.GeometryCollection(),
        faint=shapely.GeometryCollection(),
        scheme=scheme,
    )
    walls = page.box(extent_of(on_floor.areas[0], first=on_floor.areas[0]))
    # Not united: a long way crosses itself hundreds of times, and every crossing would become a corner.
    driven = tuple(line(each.points).simplify(0.1) for each in ways) + tuple(heads)
    measures, solid, dashed = draw_chains(
        sheet.chains,
        page,
        beside=sheet.beside,
        walls=walls,
        lettering=lettering,
        driven=driven,
    )
    lettering.lines = shapely.union_all([*in_the_way, *(head.boundary for head in heads), *solid])
    lettering.faint = shapely.union_all([*dashed, swept.boundary.simplify(0.2), *(each.geometry for each in rests)])
    lettering.taken.append(start)
    # Dots are covered by no word, their own neither.
    lettering.taken += [shapely.Point(x, y).buffer(0.9) for _, x, y in marks]
    cones = draw_cones(on_floor, page, lettering)
    put_ends(line_, page, lettering, start=start)
    put_efforts(ways, page, lettering, beside_m=line_.outline.width / 2)
    put_seconds(marks, lettering)
    layers = [
        *floor_edges(on_floor, page, within=sheet.window),
        *measures,
        *ends,
        *line_layers(ways),
        *turn_layers(line_.turns, page, swing=line_.outline.swing),
        *arrows,
        *dot_layers(marks),
        Layer(geometry=start.boundary, stroke=INK, width=0.2, role="detail"),
        *rests,
    ]
    chair_drawn, style = draw_chair(on_floor, page, chair=chair, moving=moving, scheme=scheme)
    # On the paper of a phone the bar stands over the samples.
    second_row = 0.0 if heading or fits_beside_bar(line_, width_mm=width_mm) else SECOND_ROW_MM
    height = sheet.height + second_row
    foot = height - 2.6
    body = [
        paint_all(swept_layers(swept), scheme),
        f'<g class="grid">{paint_all(grid(page, within=on_the_floor(on_floor, page, sheet.window)), scheme)}</g>',
        paint_all(layers, scheme),
        f'<g class="cones">{cones}</g>',
        chair_drawn,
        f'<g class="words">{"".join(lettering.written)}</g>',
        draw_legend(line_, x=sheet.edge, y=foot, scheme=scheme),
        draw_scale_bar(page, right=width_mm - sheet.edge, y=foot - second_row, scheme=scheme),
        _head(on_floor, sheet, scheme=scheme) if heading else "",
    ]
    svg = document(
        "".join(body),
        width_mm=width_mm,
        height_mm=height,
        title=f"Plan of the course {line_.course.name}, 1:{sheet.scale}",
        description=in_words(on_floor),
        ground=((PAPER if scheme == "paper" else grey(PAPER)) if ground else None),
        head=style,
    )
    return CoursePlan(svg=svg, scale=sheet.scale, width_mm=width_mm, height_mm=height, shows_walls=sheet.shows_walls)


def in_words(on_floor: OnFloor) -> str:
    """Return what the plan shows, for those who do not see it."""
    line_ = on_floor.line
    course, size = line_.course, shown_extent(on_floor)
    areas = ", ".join(f"{area.name} {area.length:g} by {area.width:g} m" for area in on_floor.areas)
    spacing = "" if course.spacing is None else f", {course.spacing_word} {course.spacing:.2f} m"
    order = f" Order, with the hand each cone is on: {course.order}." if course.order else ""
    return (
        f"{course.name}{spacing}, {len(course.cones)} cones on {areas}; {size.width:.1f} by {size.depth:.1f} m"
        f" are swept.{order} Start at ({course.start.x:.2f} m, {course.start.y:.2f} m) from the corner, finish at"
        f" ({course.finish.x:.2f} m, {course.finish.y:.2f} m)."
    )


def _head(on_floor: OnFloor, sheet: Sheet, *, scheme: Scheme) -> str:
    """Return name and scale, and beside the plan where the course lies, where the plan shows no walls."""
    ink = INK if scheme == "paper" else grey(INK)
    course, edge = on_floor.line.course, sheet.edge
    spacing = "" if course.spacing is None else f" · {course.spacing_word} {course.spacing:.2f} m"
    under = f"1:{sheet.scale} on A4 · grid of 1 m · a dot each second{spacing} · {on_floor.line.outline.name}"
    name = course.name[:1].upper() + course.name[1:]
    out = [
        text_at(name, x=edge, y=edge + 5.5, size_pt=18, colour=ink, bold=True),
        text_at(under, x=edge, y=edge + 12.0, size_pt=LETTERS_PT, colour=ink),
    ]
    if not sheet.shows_walls:
        left, top = sheet.page.width - EDGE_MM - LOCATOR_MM, EDGE_MM + HEAD_MM
        drawn, high = locator(on_floor, left=left, top=top, width=LOCATOR_MM, scheme=scheme)
        out.append(drawn)
        for number, words in enumerate(where_words(on_floor)):
            y = top + high + 5.0 + 4.2 * number
            out.append(text_at(words, x=left, y=y, size_pt=SMALL_PT, colour=ink))
    return "".join(out)
