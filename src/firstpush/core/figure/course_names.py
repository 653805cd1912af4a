"""The names on a course plan: cones and when they are passed, start and finish, efforts, every fifth second."""

from __future__ import annotations

import math

from firstpush.core.courses import Line, OnFloor, Place
from firstpush.core.courses.course import between
from firstpush.core.courses.set_out import order_words
from firstpush.core.figure.course_labels import SMALL_PT, Lettering, name_disc
from firstpush.core.figure.course_marks import DrawnWay
from firstpush.core.figure.course_page import Page
from firstpush.core.figure.outlines import Geometry
from firstpush.core.figure.palette import INK
from firstpush.core.figure.svg import number

TITLE_PT = 10.0
SAME_STOP_M = 0.1
STEPS_S, MOST_SECONDS = (5, 10, 20, 30, 60), 12
"""How many seconds apart numbers stand, and how many of them there are at most."""
SECONDS_WITHIN_MM = 6.0
"""A second that has no room within this is left out: led from farther away it names nothing."""


def draw_cones(on_floor: OnFloor, page: Page, lettering: Lettering) -> str:
    """Return all cones to scale, and put their names in or beside them, with when they are passed."""
    import shapely

    line_ = on_floor.line
    passed: dict[str, list[int]] = {}
    for place, each in enumerate((each for leg in line_.course.legs for each in leg.passes), start=1):
        passed.setdefault(each.cone, []).append(place)
    drawn, later = [], []
    for cone in line_.course.cones:
        x, y = page.at(cone.x, cone.y)
        radius = cone.radius * page.per_metre
        inside = radius >= 1.9 and len(cone.name) <= 2
        lettering.taken.append(shapely.Point(x, y).buffer(max(radius, 1.0) + 0.3))
        where = f'cx="{number(x)}" cy="{number(y)}" r="{number(radius)}"'
        drawn.append(f'<circle class="cone" {where} fill="{lettering.tone(INK)}"/>')
        if inside:
            drawn.append(name_disc(cone.name, x=x, y=y, scheme=lettering.scheme))
        later.append((cone.name, x, y, max(radius, 1.0), inside))
    for name, x, y, radius, inside in later:
        words = order_words(passed.get(name, []))
        if words or not inside:
            lettering.beside(words, x=x, y=y, gap=radius + 0.7, disc="" if inside else name)
    return "".join(drawn)


def put_ends(line_: Line, page: Page, lettering: Lettering, *, start: Geometry) -> None:
    """Put down where it starts and finishes, and where the chair stops before a cone, in order."""
    course, outline = line_.course, line_.outline
    side = outline.width / 2 * page.per_metre
    same = between(course.start, course.finish) < SAME_STOP_M
    x, y = start.centroid.x, start.centroid.y
    word = "Start and finish" if same else "Start"
    lettering.beside(word, x=x, y=y, gap=side + 1.0, size_pt=TITLE_PT, bold=True)
    if not same:
        x, y = page.at(course.finish.x, course.finish.y)
        lettering.beside("Finish", x=x, y=y, gap=side + 1.0, size_pt=TITLE_PT, bold=True)
    for stop, places in _stops(line_):
        x, y = page.at(stop.x, stop.y)
        # Beside cones that say when they are passed a bare number would be taken for theirs.
        stop_word = " stop" if any(leg.passes for leg in course.legs) else ""
        lettering.beside(order_words(places) + stop_word, x=x, y=y, gap=1.6)


def _stops(line_: Line) -> list[tuple[Place, list[int]]]:
    """Return where pushed legs end, each with its numbers among them; lanes name their lengths instead."""
    course = line_.course
    legs = [leg for leg in course.legs if not leg.backward]
    if any(leg.says for leg in legs) or len(course.legs) < 2:
        return []
    if any(leg.passes for leg in legs):
        # The last one is the finish, which has its word.
        legs = legs[: None if course.legs[-1].backward else -1]
    found: list[tuple[Place, list[int]]] = []
    for place, leg in enumerate(legs, start=1):
        here = next((each for each in found if between(each[0], leg.to) < SAME_STOP_M), None)
        if here is None:
            found.append((leg.to, [place]))
        else:
            here[1].append(place)
    return found


def put_efforts(ways: tuple[DrawnWay, ...], page: Page, lettering: Lettering, *, beside_m: float) -> None:
    """Put down what a leg says, beside its middle and outside the floor it sweeps."""
    for each in ways:
        if each.roll.leg.says:
            (x, y), _ = each.at(each.roll.candidate.track.length / 2)
            gap = beside_m * page.per_metre + 0.8
            words, at = each.roll.leg.says, (float(x), float(y))
            close = 1.3
            if not lettering.beside(
                words, x=at[0], y=at[1], gap=gap, size_pt=TITLE_PT, bold=True, needed=False, farthest=close
            ):
                # Lanes too near to each other for words between them bear their words.
                lettering.on(words, x=at[0], y=at[1], size_pt=TITLE_PT, bold=True)


def put_seconds(marks: list[tuple[int, float, float]], lettering: Lettering) -> None:
    """Put down every fifth second where there is room for it; on a long way every tenth, or fewer."""
    last = max((second for second, _, _ in marks), default=0)
    step = next((each for each in STEPS_S if last <= each * MOST_SECONDS), STEPS_S[-1])
    for second, x, y in marks:
        if second % step == 0 and math.isfinite(x):
            words = f"{second} s"
            lettering.beside(words, x=x, y=y, gap=1.5, size_pt=SMALL_PT, needed=False, farthest=SECONDS_WITHIN_MM)
