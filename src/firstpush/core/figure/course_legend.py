"""The foot of a course plan: what its lines mean, and a bar of whole metres."""

from __future__ import annotations

import numpy as np

from firstpush.core.courses import Line
from firstpush.core.figure.course_labels import SMALL_PT
from firstpush.core.figure.course_marks import DOT_MM, HEAD_MM, head_points
from firstpush.core.figure.course_page import Page
from firstpush.core.figure.labels import text_width
from firstpush.core.figure.outlines import Layer, line
from firstpush.core.figure.palette import COURT, FLOOR, GHOST_LINE, INK, PAPER, Scheme, grey
from firstpush.core.figure.svg import number, paint_all, text_at

SAMPLE_MM = 9.0
LONGEST_BAR_MM = 45.0
ACROSS = np.array([1.0, 0.0])


def samples(line_: Line) -> tuple[str, ...]:
    """Return what is explained: backward pulls only where there are some."""
    backward = any(roll.leg.backward for roll in line_.rolls)
    return ("pushed", *(("pulled backwards",) if backward else ()), "swept floor", "each second")


def fits_beside_bar(line_: Line, *, width_mm: float) -> bool:
    """Whether samples and bar stand side by side on paper of a width [mm]."""
    wide = sum((SAMPLE_MM if "pu" in what else 6.0) + 5.7 + text_width(what, SMALL_PT) for what in samples(line_))
    return wide + LONGEST_BAR_MM + text_width("1:300", SMALL_PT) + 6.0 <= width_mm


def draw_legend(line_: Line, *, x: float, y: float, scheme: Scheme) -> str:
    """Return samples with words, from left to right, their baseline at `y` [mm]."""
    import shapely

    middle = y - 1.05
    out = []
    for what in samples(line_):
        end = x + SAMPLE_MM
        way = line(np.array([(x, middle), (end, middle)]))
        head = shapely.Polygon(head_points(np.array([x + 0.5 * (SAMPLE_MM + HEAD_MM), middle]), ACROSS, HEAD_MM))
        if what == "pushed":
            layers = [Layer(geometry=way, stroke=COURT, width=1.0, role="detail"), Layer(geometry=head, fill=COURT)]
        elif what == "pulled backwards":
            layers = [
                Layer(geometry=way, stroke=INK, width=0.6, cap="butt", dash=(1.7, 1.1), role="detail"),
                Layer(geometry=head, fill=PAPER),
                Layer(geometry=head.boundary, stroke=INK, width=0.35, role="detail"),
            ]
        elif what == "swept floor":
            end = x + 6.0
            box = shapely.box(x, middle - 1.5, end, middle + 1.5)
            layers = [
                Layer(geometry=box, fill=FLOOR),
                Layer(geometry=box.boundary, stroke=GHOST_LINE, width=0.16, role="detail"),
            ]
        else:
            dots = shapely.union_all([shapely.Point(x + 1 + 4 * k, middle).buffer(DOT_MM) for k in (0, 1)])
            end = x + 6.0
            layers = [
                Layer(geometry=dots, fill=PAPER),
                Layer(geometry=dots.boundary, stroke=INK, width=0.22, role="detail"),
            ]
        out.append(paint_all(layers, scheme))
        ink = INK if scheme == "paper" else grey(INK)
        out.append(text_at(what, x=end + 1.2, y=y, size_pt=SMALL_PT, colour=ink))
        x = end + 1.2 + text_width(what, SMALL_PT) + 4.5
    return "".join(out)


def draw_scale_bar(page: Page, *, right: float, y: float, scheme: Scheme) -> str:
    """Return a bar of whole metres that ends at `right`, parted once, with its scale before it."""
    ink, paper = (INK, PAPER) if scheme == "paper" else (grey(INK), grey(PAPER))
    metres = next(each for each in (10, 5, 4, 2, 1) if each * page.per_metre <= LONGEST_BAR_MM or each == 1)
    end = right - text_width(f"{metres} m", SMALL_PT) / 2
    long, step = metres * page.per_metre, page.per_metre * (1 if metres <= 5 else 5)
    left = end - long
    out = []
    for k in range(round(long / step)):
        fill = ink if k % 2 == 0 else paper
        out.append(
            f'<rect class="bar" x="{number(left + k * step)}" y="{number(y - 1.1)}" width="{number(step)}" height="1.1"'
            f' fill="{fill}" stroke="{ink}" stroke-width=".2"/>'
        )
    for words, x in (("0", left), (f"{metres} m", end)):
        out.append(text_at(words, x=x, y=y - 2.1, size_pt=SMALL_PT, colour=ink, anchor="middle"))
    out.append(text_at(f"1:{page.scale}", x=left - 2.5, y=y, size_pt=SMALL_PT, colour=ink, anchor="end", bold=True))
    return "".join(out)
