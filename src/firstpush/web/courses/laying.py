"""A course laid out for those chosen, as the command lays it out; the same is reckoned once."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from firstpush.core.courses import (
    Bracket,
    CourseError,
    Need,
    OnFloor,
    Pushes,
    SetOut,
    Step,
    TimeUse,
    Turning,
    step_course,
)
from firstpush.core.setup.course_cautions import Pace
from firstpush.sheets.make_course import MadeCourse, make_course
from firstpush.web.courses.chosen import Chosen, Driver
from firstpush.web.reckoned import Reckoned


@dataclass(frozen=True, kw_only=True)
class OneDriver:
    """One of those who drive the course, at which pace, and between which times."""

    driver: Driver
    bracket: Bracket
    pace: Pace


@dataclass(frozen=True, kw_only=True)
class Laid:
    """A course on its floor as core and sheet have it, with the drivers of the page in the order they were chosen."""

    made: MadeCourse
    drivers: tuple[Driver, ...]

    @property
    def on_floor(self) -> OnFloor:
        """With the likely line of the driver who decides."""
        return self.made.on_floor

    @property
    def decides(self) -> Driver:
        """Whose chair needs most."""
        return self.drivers[self.made.deciding]

    @property
    def each(self) -> tuple[OneDriver, ...]:
        """Everybody with their times."""
        return tuple(
            OneDriver(driver=driver, bracket=bracket, pace=pace)
            for driver, bracket, pace in zip(self.drivers, self.made.brackets, self.made.paces, strict=True)
        )

    @property
    def turning(self) -> Turning:
        """Turns of the likely line."""
        return self.made.turning

    @property
    def time_use(self) -> TimeUse:
        """Where its time goes."""
        return self.made.use

    @property
    def pushes(self) -> Pushes:
        """How many pushes it takes, about."""
        return self.made.pushes

    @property
    def table(self) -> SetOut | None:
        """None with fewer than two cones."""
        return self.made.table

    @property
    def spacing(self) -> float | None:
        """The one length of its layout [m]."""
        return self.made.course.spacing

    @property
    def bracket(self) -> Bracket:
        """Between which times the driver who decides does it."""
        return self.made.bracket

    @property
    def misfits(self) -> tuple[str, ...]:
        """What does not fit, each with the metre value that would."""
        return self.made.misfits

    @property
    def fits(self) -> bool:
        """Whether it fits for everybody."""
        return self.on_floor.fits

    @property
    def spacing_need(self) -> Need | None:
        """What the chair that decides needs as spacing; None for a course of one's own."""
        least = self.on_floor.least
        return None if least is None or self.spacing is None else least.against(self.spacing)


_LAID = Reckoned[Laid](most=48)
_STEPS = Reckoned[Step](most=96)


def laid(chosen: Chosen) -> Laid:
    """Return a course laid out as chosen.

    Raises
    ------
    CourseError
        For what cannot be laid out; `TooCloseError` where no way leads between two cones, with the metres that would.
    """
    return _LAID.of(chosen.key, lambda: _lay(chosen))


def _lay(chosen: Chosen) -> Laid:
    own = chosen.source.own
    made = make_course(
        chosen.source.slug if own is None else own.read(),
        athletes=[each.athlete for each in chosen.drivers],
        venue=chosen.venue,
        speeds=[each.speed for each in chosen.drivers],
        areas=chosen.areas,
        spacing=chosen.spacing,
        count=chosen.count,
        mirror=chosen.first == "right",
        on=chosen.on,
        request=repr(chosen.key),
    )
    return Laid(made=made, drivers=chosen.drivers)


def step_of(chosen: Chosen, *, harder: bool) -> Step:
    """Return the spacing at which the chair that decides turns one step more per minute, or less.

    Raises
    ------
    CourseError
        For a course that a spacing makes no harder.
    """
    now = laid(chosen)
    if chosen.source.own is not None or now.spacing is None:
        raise CourseError(
            f"{chosen.source.title} has no one spacing to change; allowed are the layouts round cones; move its cones."
        )
    spacing = now.spacing

    def reckon() -> Step:
        return step_course(
            chosen.source.slug,
            outline=now.decides.outline,
            spacing=spacing,
            harder=harder,
            limits=now.made.speeds[now.made.deciding].limits(),
            count=chosen.count,
            first=chosen.first,
        )

    key: tuple[Any, ...] = (chosen.key, harder)
    return _STEPS.of(key, reckon)


def can_be_stepped(now: Laid, chosen: Chosen) -> bool:
    """Whether a spacing makes the course harder: it has one, and the chair turns round cones."""
    return chosen.source.own is None and bool(now.turning.passages)
