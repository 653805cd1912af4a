"""The least spacing of a layout for a chair or a squad, confirmed by the floor that is swept, said in metres."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from firstpush.core.courses.chair_outline import ChairOutline
from firstpush.core.courses.course import MARGIN, Course, CourseError
from firstpush.core.courses.layouts import lay_out, layout_named, least_by_geometry
from firstpush.core.courses.line import line_over
from firstpush.core.courses.way import TooCloseError
from firstpush.core.courses.ways import BOXES, candidates

FINEST = 0.01
"""Spacings are laid with a tape: this is the step they are given in [m]."""
_FARTHEST_ABOVE = 1.0


@dataclass(frozen=True, kw_only=True)
class Need:
    """One length: what it is, how much is needed, how much there is [m]."""

    what: str
    needed: float
    has: float

    @property
    def fits(self) -> bool:
        """Whether there is enough, but for a tape's thickness."""
        return self.has >= self.needed - 0.002

    def __str__(self) -> str:
        # Rounded so that what is said never fits where it does not.
        needed, has = math.ceil(100.0 * self.needed - 1e-6) / 100.0, math.floor(100.0 * self.has + 1e-6) / 100.0
        if self.fits:
            return f"{self.what}: needs {needed:.2f} m, has {self.has:.2f} m"
        return f"{self.what}: needs {needed:.2f} m, has only {has:.2f} m"


@dataclass(frozen=True, kw_only=True)
class LeastSpacing:
    """The least spacing at which a chair passes every cone at the margin.

    Parameters
    ----------
    layout, word : str
        Id of the layout, and what its spacing is called.
    needed : float
        Confirmed by the swept floor, rounded up to a centimetre [m].
    by_geometry : float
        By the closed form alone [m].
    outline : ChairOutline
        The chair that decides.
    margin : float
        Room asked to every cone [m].
    """

    layout: str
    word: str
    needed: float
    by_geometry: float
    outline: ChairOutline
    margin: float

    def against(self, spacing: float) -> Need:
        """Return what this chair needs beside what there is."""
        title = layout_named(self.layout).title
        return Need(what=f"{self.word} of the {title} for {self.outline.name}", needed=self.needed, has=spacing)


def is_clear(course: Course, outline: ChairOutline, *, margin: float = MARGIN.value) -> bool:
    """Return whether a way exists on which the swept floor keeps the margin to every cone, start to finish."""
    try:
        ways = candidates(course, outline, margin=margin, boxes=BOXES[:1])
    except TooCloseError:
        return False
    return line_over(course, outline, margin=margin, style="hugging", ways=ways).is_clear


def least_spacing(
    name: str, *, outline: ChairOutline, count: int | None = None, margin: float = MARGIN.value
) -> LeastSpacing:
    """Return the least spacing of a layout for a chair.

    Parameters
    ----------
    name : str
        Id of the layout.
    outline : ChairOutline
    count : int or None
        How many cones; None takes the usual number.
    margin : float
        Room to every cone [m].

    Returns
    -------
    LeastSpacing
        Begins at the closed form and goes up in steps of 1 cm until the swept floor is clear.

    Raises
    ------
    CourseError
        Where even 1 m more than the closed form is not clear.
    """
    layout = layout_named(name)
    by_geometry = least_by_geometry(name, outline=outline, count=count, margin=margin)
    first = math.ceil(by_geometry / FINEST - 1e-6)
    for step in range(round(_FARTHEST_ABOVE / FINEST) + 1):
        spacing = round((first + step) * FINEST, 2)
        course = lay_out(name, outline=outline, spacing=spacing, count=count, margin=margin)
        if is_clear(course, outline, margin=margin):
            return LeastSpacing(
                layout=name,
                word=layout.spacing_word,
                needed=spacing,
                by_geometry=by_geometry,
                outline=outline,
                margin=margin,
            )
    raise CourseError(
        f"no {layout.spacing_word} up to {by_geometry + _FARTHEST_ABOVE:.2f} m makes room for {outline.name} on the"
        f" {layout.title}; allowed are chairs that pass it; ask for fewer cones or a smaller margin."
    )


def squad_spacing(
    name: str, *, outlines: Sequence[ChairOutline], count: int | None = None, margin: float = MARGIN.value
) -> LeastSpacing:
    """Return the least spacing at which every chair of a squad passes; its `outline` names the chair that decides.

    Raises
    ------
    CourseError
        Without a chair.
    """
    if not outlines:
        raise CourseError("a course for no chair has no spacing; allowed is one chair or more; choose who drives it.")
    each = [least_spacing(name, outline=outline, count=count, margin=margin) for outline in outlines]
    return max(each, key=lambda least: (least.needed, least.by_geometry, least.outline.width))
