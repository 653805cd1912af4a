"""A course laid out for those chosen, with everything the page tells of it; the same is reckoned once."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any

from firstpush.core.courses import (
    Bracket,
    CourseError,
    LaneTime,
    OnFloor,
    Pushes,
    SetOut,
    Step,
    TimeUse,
    TooCloseError,
    Turning,
    bracket_of,
    fit,
    lane_times,
    pushes_of,
    put_on,
    set_out,
    step_course,
    time_use,
    turning_of,
)
from firstpush.web.courses.chosen import Chosen, Driver
from firstpush.web.reckoned import Reckoned

LANES = "push-lanes"


@dataclass(frozen=True, kw_only=True)
class OneDriver:
    """One of those who drive the course: between which times, and what of the course does not do for the chair."""

    driver: Driver
    bracket: Bracket
    misfits: tuple[str, ...] = ()


@dataclass(frozen=True, kw_only=True)
class Laid:
    """A course on its floor.

    Parameters
    ----------
    on_floor : OnFloor
        With the likely line of the driver who decides.
    decides : Driver
        Whose chair needs most.
    each : tuple of OneDriver
        In the order they were chosen.
    table : SetOut or None
        None with fewer than two cones.
    """

    on_floor: OnFloor
    decides: Driver
    each: tuple[OneDriver, ...]
    turning: Turning
    time_use: TimeUse
    pushes: Pushes
    table: SetOut | None
    lanes: tuple[LaneTime, ...]

    @property
    def spacing(self) -> float | None:
        """The one length of its layout [m]."""
        return self.on_floor.line.course.spacing

    @property
    def bracket(self) -> Bracket:
        """Between which times the driver who decides does it."""
        return next(each.bracket for each in self.each if each.driver is self.decides)

    @property
    def misfits(self) -> tuple[str, ...]:
        """What does not fit, each with the metre value that would."""
        return self.on_floor.misfits + tuple(words for each in self.each for words in each.misfits)

    @property
    def fits(self) -> bool:
        """Whether it fits for everybody."""
        return self.on_floor.fits and not self.misfits


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
    on_floor, decides, misfits = _own(chosen) if chosen.source.own is not None else _layout(chosen)
    course = on_floor.line.course
    each = tuple(
        OneDriver(
            driver=driver,
            bracket=bracket_of(course, driver.outline, driver.speed),
            misfits=misfits.get(driver.key, ()),
        )
        for driver in chosen.drivers
    )
    likely = next(one.bracket.likely for one in each if one.driver is decides)
    return Laid(
        on_floor=replace(on_floor, line=likely),
        decides=decides,
        each=each,
        turning=turning_of(likely),
        time_use=time_use(likely),
        pushes=pushes_of(likely),
        table=set_out(course) if len(course.cones) > 1 else None,
        lanes=lane_times(likely) if chosen.source.slug == LANES else (),
    )


def _layout(chosen: Chosen) -> tuple[OnFloor, Driver, dict[tuple[Any, ...], tuple[str, ...]]]:
    """Return a layout on its floor, and who decides; all chairs are checked by core."""
    # The quickest needs most floor to stop on; the line that is shown is the deciding one's own.
    limits = max((each.speed.limits() for each in chosen.drivers), key=lambda each: each.maximal_speed)
    found = fit(
        chosen.source.slug,
        outlines=[each.outline for each in chosen.drivers],
        areas=chosen.areas,
        spacing=chosen.spacing,
        count=chosen.count,
        limits=limits,
        first=chosen.first,
    )
    return found, next(each for each in chosen.drivers if each.outline is found.line.outline), {}


def _own(chosen: Chosen) -> tuple[OnFloor, Driver, dict[tuple[Any, ...], tuple[str, ...]]]:
    """Return a course of one's own on its floor, who has least room on it, and what others lack."""
    assert chosen.source.own is not None
    course = chosen.source.own.read()
    if chosen.first == "right":
        course = course.mirrored()
    found: list[tuple[Driver, OnFloor]] = []
    for driver in chosen.drivers:
        try:
            put = put_on(course, outline=driver.outline, areas=chosen.areas, limits=driver.speed.limits())
        except TooCloseError as error:
            raise TooCloseError(f"{driver.name}: {error}", needed=error.needed, has=error.has) from error
        found.append((driver, put))
    decides, on_floor = min(found, key=lambda each: (round(each[1].line.nearest, 2), -each[0].outline.width))
    others = {
        driver.key: tuple(f"{driver.name}, {words}" for words in put.misfits)
        for driver, put in found
        if driver is not decides
    }
    return on_floor, decides, others


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
            limits=now.decides.speed.limits(),
            count=chosen.count,
            first=chosen.first,
        )

    key: tuple[Any, ...] = (chosen.key, harder)
    return _STEPS.of(key, reckon)


def can_be_stepped(now: Laid, chosen: Chosen) -> bool:
    """Whether a spacing makes the course harder: it has one, and the chair turns round cones."""
    return chosen.source.own is None and bool(now.turning.passages)
