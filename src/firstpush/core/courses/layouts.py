"""The layouts that ship: each gives a course for a chair from one spacing, and the least spacing by geometry alone.

Start, finish and standstills follow from the chair.  Every layout is symmetrical about a vertical line or is mirrored
as a whole, so that it is done both ways round.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, replace

from firstpush.core.courses.chair_outline import ChairOutline
from firstpush.core.courses.course import MARGIN, Course, CourseError
from firstpush.core.courses.shapes import (
    Given,
    figure_eight,
    half_circle,
    half_circle_back,
    half_circle_back_needs,
    half_circle_needs,
    opposite_hands,
    push_lanes,
    shortest_lane,
    shortest_push,
    slalom,
    square,
    stop_and_turn,
    t_course,
    t_needs,
    two_beside,
)
from firstpush.core.errors import UnknownNameError
from firstpush.core.people.athlete import Side


@dataclass(frozen=True, kw_only=True)
class Layout:
    """One layout.

    Parameters
    ----------
    id, title : str
        For commands and files, and for people.
    spacing_word : str
        What its one length is called.
    usual : float
        That length where nothing is asked [m].
    counts : tuple of int
        Fewest, usual and most cones (half circle: on the arc; stop-and-turn: lengths).
    counted : str
        What is counted.
    says : str
        How it is done, in one sentence.
    """

    id: str
    title: str
    spacing_word: str
    usual: float
    counts: tuple[int, int, int]
    counted: str
    says: str
    build: Callable[[Given], Course]
    needs: Callable[[Given], float]


def layout_named(name: str) -> Layout:
    """Return the layout with the id `name`; UnknownNameError names those that exist."""
    if name not in LAYOUTS:
        raise UnknownNameError(kind="course", given=name, known=LAYOUTS)
    return LAYOUTS[name]


def lay_out(
    name: str,
    *,
    outline: ChairOutline,
    spacing: float | None = None,
    count: int | None = None,
    margin: float = MARGIN.value,
    first: Side = "left",
    side: float | None = None,
    top: float = 1.0,
    backward: bool = True,
) -> Course:
    """Return a course of one of the layouts for a chair.

    Parameters
    ----------
    name : str
        Id of a layout, see `LAYOUTS`.
    outline : ChairOutline
        Start, finish and standstills follow from it.
    spacing : float or None
        Its one length [m]; None takes the usual one, or the least for this chair where that is more.
    count : int or None
        How many cones; None takes the usual number.
    margin : float
        Room between chair and cone [m].
    first : str
        "left" begins on the left; "right" is the same course the other way round.
    side : float or None
        Of push lanes only: how far apart they lie [m]; None takes the usual distance.
    top : float
        Of push lanes only: share of the maximal speed on the last one.
    backward : bool
        Of push lanes only: whether the short sides are pulled backwards; else it goes there and back on one lane.

    Returns
    -------
    Course

    Raises
    ------
    UnknownNameError, CourseError
        For a layout that does not exist, or a count that it does not have.
    """
    layout = layout_named(name)
    given = _given(layout, outline=outline, spacing=spacing, count=count, margin=margin)
    given = replace(given, side=side, top=top, backward=backward)
    if spacing is None:
        given = replace(given, spacing=max(layout.usual, math.ceil(100.0 * layout.needs(given)) / 100.0))
    course = replace(layout.build(given), name=layout.title, spacing=given.spacing, spacing_word=layout.spacing_word)
    return course if first == "left" else course.mirrored()


def least_by_geometry(
    name: str, *, outline: ChairOutline, count: int | None = None, margin: float = MARGIN.value
) -> float:
    """Return the least spacing of a layout that geometry allows a chair [m], before the swept floor has confirmed it.

    Half circle of n cones: ρ/sin(π/(2 (n − 1))), with ρ half the chair's width, the cone's radius and the margin, so
    that the chord between neighbours is 2 ρ; slalom and figure eight: 2 ρ and `SLALOM_ALLOWANCE`.
    """
    layout = layout_named(name)
    return layout.needs(_given(layout, outline=outline, spacing=None, count=count, margin=margin))


def _given(layout: Layout, *, outline: ChairOutline, spacing: float | None, count: int | None, margin: float) -> Given:
    fewest, usual, most = layout.counts
    count = usual if count is None else count
    if not fewest <= count <= most:
        raise CourseError(
            f"{layout.title} with {count} {layout.counted} cannot be laid out; allowed is {fewest} to {most}; give such"
            " a number."
        )
    spacing = layout.usual if spacing is None else spacing
    if not 0.1 <= spacing <= 60.0:
        raise CourseError(
            f"a {layout.spacing_word} of {spacing:g} m cannot be laid out; allowed is 0.1 m to 60 m; check the unit."
        )
    if not 0.0 <= margin <= 1.0:
        raise CourseError(
            f"a margin of {margin:g} m cannot be kept; allowed is 0 m to 1 m; {MARGIN.value:g} m is usual."
        )
    return Given(outline=outline, spacing=spacing, count=count, margin=margin)


LAYOUTS: dict[str, Layout] = {
    each.id: each
    for each in (
        Layout(
            id="half-circle",
            title="half circle round the cones",
            spacing_word="radius",
            usual=3.0,
            counts=(3, 5, 13),
            counted="cones on the arc",
            says="Drive round each cone of the half circle, and after each round the one in the centre.",
            build=half_circle,
            needs=half_circle_needs,
        ),
        Layout(
            id="half-circle-back",
            title="half circle pulled to the centre",
            spacing_word="radius",
            usual=3.2,
            counts=(3, 5, 13),
            counted="cones on the arc",
            says="From the centre out to a cone, stop before it, pull straight back to the centre, turn to the next.",
            build=half_circle_back,
            needs=half_circle_back_needs,
        ),
        Layout(
            id="slalom",
            title="slalom",
            spacing_word="spacing",
            usual=2.0,
            counts=(2, 6, 20),
            counted="cones",
            says="Weave through the line of cones, the first on the left hand, the next on the right.",
            build=slalom,
            needs=opposite_hands,
        ),
        Layout(
            id="figure-eight",
            title="figure eight",
            spacing_word="spacing",
            usual=4.0,
            counts=(1, 2, 20),
            counted="rounds",
            says="Round one cone leftwards, round the other rightwards.",
            build=figure_eight,
            needs=opposite_hands,
        ),
        Layout(
            id="square",
            title="square",
            spacing_word="side",
            usual=5.0,
            counts=(1, 1, 20),
            counted="rounds",
            says="Round the outside of four cones.",
            build=square,
            needs=two_beside,
        ),
        Layout(
            id="t",
            title="T",
            spacing_word="half bar",
            usual=4.57,
            counts=(4, 4, 4),
            counted="cones",
            says="Up the stem, round the left end, round the right end, and back down.",
            build=t_course,
            needs=t_needs,
        ),
        Layout(
            id="stop-and-turn",
            title="stop and turn",
            spacing_word="length",
            usual=6.0,
            counts=(2, 4, 40),
            counted="lengths",
            says="Straight on, stop, turn on the spot, and back; every second turn the other way.",
            build=stop_and_turn,
            needs=shortest_push,
        ),
        Layout(
            id="push-lanes",
            title="push lanes",
            spacing_word="length",
            usual=20.0,
            counts=(1, 4, 10),
            counted="lengths",
            says="Each length faster than the one before, the last as fast as it goes; short sides pulled backwards.",
            build=push_lanes,
            needs=shortest_lane,
        ),
    )
}
"""All layouts by id."""
