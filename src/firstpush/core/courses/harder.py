"""A course made harder or easier by its turning load: the spacing at which the chair turns so much more, or less."""

from __future__ import annotations

from dataclasses import dataclass

from firstpush.core.courses.chair_outline import ChairOutline
from firstpush.core.courses.course import MARGIN, CourseError
from firstpush.core.courses.layouts import lay_out, layout_named
from firstpush.core.courses.limits import Limits
from firstpush.core.courses.line import line_over
from firstpush.core.courses.spacing import least_spacing
from firstpush.core.courses.turning import Turning, turning_of
from firstpush.core.measured import Measured
from firstpush.core.people.athlete import Side

STEP = Measured(
    name="one step of turning load",
    value=0.10,
    unit="1",
    spread=0.0,
    source="a tenth, as for other loads",
    known="our choice",
)
_WIDEST = 12.0
_FINE = 0.05
"""Spacings are tried to this [m]: a tape lays no course that turns differently in between."""


@dataclass(frozen=True, kw_only=True)
class Step:
    """A course one step harder or easier.

    Parameters
    ----------
    spacing : float
        To set out [m].
    before, after : Turning
        What it asks at the old and at the new spacing.
    duration_before, duration_after : float
        Time of the likely line [s]: it hardly moves, and is no measure of how hard a course is.
    reached : bool
        Whether the whole step was found.
    limit : str
        What stands against a whole step, in one sentence; empty where it was reached.
    """

    spacing: float
    before: Turning
    after: Turning
    duration_before: float
    duration_after: float
    reached: bool
    limit: str

    @property
    def ratio(self) -> float:
        """Turning load after over that before."""
        return self.after.load / self.before.load


def step_course(
    name: str,
    *,
    outline: ChairOutline,
    spacing: float,
    harder: bool,
    limits: Limits | None = None,
    count: int | None = None,
    margin: float = MARGIN.value,
    step: float = STEP.value,
    first: Side = "left",
) -> Step:
    """Return the spacing at which a layout turns the chair one step more, or less, per minute.

    Parameters
    ----------
    name : str
        Id of a layout that turns.
    outline : ChairOutline
    spacing : float
        As it was done [m].
    harder : bool
        Closer cones turn the chair more.
    limits : Limits or None
        Of the athlete.
    count, margin, first
        As it was done; both ways round turn alike, so the balance stays.
    step : float
        By which share the load changes.

    Raises
    ------
    CourseError
        For a layout that does not turn the chair while it rolls.
    """
    layout = layout_named(name)
    least = least_spacing(name, outline=outline, count=count, margin=margin)

    def at(distance: float) -> tuple[Turning, float]:
        course = lay_out(name, outline=outline, spacing=distance, count=count, margin=margin, first=first)
        line = line_over(course, outline, limits, margin=margin)
        return turning_of(line), line.duration

    before, duration_before = at(spacing)
    if before.turned_left + before.turned_right < 0.1 or not before.passages:
        raise CourseError(
            f"{layout.title} has no turn that a spacing makes harder; layouts round cones have; change its"
            f" {layout.spacing_word} or the share of the maximal speed."
        )
    wanted = before.load * (1.0 + step if harder else 1.0 / (1.0 + step))
    # Load falls with the spacing: halve between the one that was done and the least or the widest.
    low, high = (min(least.needed, spacing), spacing) if harder else (spacing, max(_WIDEST, spacing))
    end = low if harder else high
    load_there = at(end)[0].load
    reached = load_there >= wanted if harder else load_there <= wanted
    found, limit = end, ""
    if reached:
        while high - low > _FINE:
            middle = (low + high) / 2.0
            low, high = (middle, high) if at(middle)[0].load >= wanted else (low, middle)
        found = low if harder else high
    else:
        edge = "the least" if harder else "the widest tried"
        limit = (
            f"at {edge} {layout.spacing_word}, {end:.2f} m, the chair turns {100 * (load_there / before.load - 1):+.0f}"
            f" % per minute, not {100 * (wanted / before.load - 1):+.0f} %: change the speed or the rounds"
        )
    found = round(found, 2)
    after, duration_after = at(found)
    return Step(
        spacing=found,
        before=before,
        after=after,
        duration_before=duration_before,
        duration_after=duration_after,
        reached=reached,
        limit=limit,
    )
