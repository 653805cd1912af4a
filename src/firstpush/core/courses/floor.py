"""The floor a course must fit on: a hall to its walls, a court to its lines, and what does not fit said in metres."""

from __future__ import annotations

import math
import tomllib
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from functools import cache, partial
from importlib.resources import files
from typing import Literal

from firstpush.core.courses.chair_outline import ChairOutline, covering
from firstpush.core.courses.clearance import Extent
from firstpush.core.courses.course import MARGIN, Course, CourseError
from firstpush.core.courses.lanes import least_side
from firstpush.core.courses.layouts import lay_out, layout_named
from firstpush.core.courses.limits import Limits
from firstpush.core.courses.line import Line, line_over
from firstpush.core.courses.spacing import FINEST, LeastSpacing, Need, squad_spacing
from firstpush.core.courses.way import TooCloseError
from firstpush.core.errors import UnknownNameError
from firstpush.core.kit.venue import Venue
from firstpush.core.measured import Known, Measured
from firstpush.core.people.athlete import Side

WALL_ROOM = Measured(
    name="room kept between chair and wall",
    value=0.50,
    unit="m",
    spread=0.2,
    source="a wall gives way less than a cone",
    known="our choice",
)
LINE_ROOM = Measured(
    name="room kept between chair and line",
    value=0.0,
    unit="m",
    spread=0.0,
    source="a line hurts nobody",
    known="our choice",
)


@dataclass(frozen=True, kw_only=True)
class Court:
    """A court inside its lines, and the free floor round it by the rules; None where no rule was found [m]."""

    sport: str
    length: float
    width: float
    behind: float | None
    beside: float | None
    edition: str
    known: Known
    note: str


@dataclass(frozen=True, kw_only=True)
class Area:
    """An upright rectangle that the swept floor must stay in, `room` away from its edge [m].

    One that does not bind is drawn only: the lines of a court whose run-off may be used.  `source` is the rule text
    of a court's sizes, and how it is known; empty for a floor that was measured.
    """

    name: str
    length: float
    width: float
    room: float
    edge: Literal["wall", "line", "edge of the run-off"]
    binds: bool = True
    source: str = ""


@dataclass(frozen=True, kw_only=True)
class OnFloor:
    """A course on a floor.

    Parameters
    ----------
    line : Line
        Its course lies in the frame of the first area: (0, 0) in one corner, x along its length.
    turned : bool
        Whether it was turned by a quarter to fit.
    areas : tuple of Area
    needs : tuple of Need
        Length and width of each area, and the spacing: what is needed beside what there is.
    least : LeastSpacing or None
        The spacing that the deciding chair needs; None for a course of one's own.
    in_its_place : bool
        Whether it lies where its own coordinates say, and was not moved to the middle.
    """

    line: Line
    turned: bool
    areas: tuple[Area, ...]
    needs: tuple[Need, ...]
    least: LeastSpacing | None = None
    in_its_place: bool = False

    @property
    def fits(self) -> bool:
        """Whether all of it fits and every cone keeps the margin."""
        return self.line.is_clear and all(need.fits for need in self.needs)

    @property
    def misfits(self) -> tuple[str, ...]:
        """What does not fit, each with the metre value that would."""
        cones = [
            f"cone {name}: needs {self.line.margin:.2f} m beside the chair, has only {room:.2f} m"
            for name, room in self.line.clearances.items()
            if room < self.line.margin - 0.003
        ]
        return tuple(str(need) for need in self.needs if not need.fits) + tuple(cones)


@cache
def courts() -> dict[str, Court]:
    """Return the courts that ship, by sport."""
    text = (files(__package__) / "courts.toml").read_text(encoding="utf-8")
    return {
        row["sport"]: Court(
            sport=row["sport"],
            length=row["length_m"],
            width=row["width_m"],
            behind=row.get("behind_m"),
            beside=row.get("beside_m"),
            edition=row["edition"],
            known=row["known"],
            note=row["note"],
        )
        for row in tomllib.loads(text)["courts"]
    }


def court_of(sport: str) -> Court:
    """Return the court of a sport; UnknownNameError names those that ship."""
    if sport not in courts():
        raise UnknownNameError(kind="court", given=sport, known=courts())
    return courts()[sport]


def floor_area(venue: Venue, *, room: float = WALL_ROOM.value) -> Area:
    """Return the floor of a venue to its walls.

    Raises
    ------
    CourseError
        Where its size is not known.
    """
    if venue.floor_length is None or venue.floor_width is None:
        raise CourseError(
            f"the floor of {venue.name} is not measured; a course needs its length and width; write floor_length_m and"
            " floor_width_m into the venue."
        )
    return Area(
        name=f"floor of {venue.name}",
        length=max(venue.floor_length, venue.floor_width),
        width=min(venue.floor_length, venue.floor_width),
        room=room,
        edge="wall",
    )


def court_area(court: Court, *, with_run_off: bool = False) -> Area:
    """Return a court to its lines, or with the free floor round it, where that is known."""
    behind, beside = (court.behind or 0.0, court.beside or 0.0) if with_run_off else (0.0, 0.0)
    has_run_off = bool(behind or beside)
    return Area(
        name=f"{court.sport} court{' with run-off' if has_run_off else ''}",
        length=court.length + 2.0 * behind,
        width=court.width + 2.0 * beside,
        room=LINE_ROOM.value,
        edge="edge of the run-off" if has_run_off else "line",
        source=f"{court.edition} ({court.known})",
    )


def areas_on(venue: Venue, *, sport: str | None = None, inside_lines: bool = False) -> tuple[Area, ...]:
    """Return what a course in a venue must stay in, the frame of its places first.

    Parameters
    ----------
    venue : Venue
    sport : str or None
        Whose court it lies on; None takes the floor to the walls.
    inside_lines : bool
        Whether it stays inside the lines of that court, or may use the run-off; where no run-off is known the lines
        bind.

    Returns
    -------
    tuple of Area
        The hall, where it is measured, about the same middle as the court.  Of a hall that is not measured only the
        court is left, of `sport` or else of the venue's own sport.

    Raises
    ------
    UnknownNameError
        For a sport whose court does not ship.
    CourseError
        Where neither the floor nor a court is known, or lines are asked for without a court.
    """
    measured = venue.floor_length is not None and venue.floor_width is not None
    if inside_lines and not sport:
        raise CourseError(
            "lines without a court cannot be stayed inside; allowed is a sport together with its lines; give the sport"
            " whose court it is."
        )
    if not sport and not measured and venue.sport in courts():
        sport = venue.sport
    if not sport:
        return (floor_area(venue),)
    court = court_of(sport)
    hall = (floor_area(venue),) if measured else ()
    lines, with_run_off = court_area(court), court_area(court, with_run_off=True)
    if inside_lines or with_run_off == lines:
        return (*hall, lines)
    return (*hall, with_run_off, replace(lines, binds=False))


def put_on(
    course: Course,
    *,
    outline: ChairOutline,
    areas: Sequence[Area],
    limits: Limits | None = None,
    margin: float = MARGIN.value,
    least: LeastSpacing | None = None,
    keep_place: bool = False,
) -> OnFloor:
    """Return a course moved to the middle of its floor, turned by a quarter where it fits only so.

    Parameters
    ----------
    course : Course
    outline : ChairOutline
    areas : sequence of Area
        One or more about the same middle: the hall, the court in it.
    limits : Limits or None
        A finish at speed needs floor to stop on.
    margin : float
        Room to every cone [m].
    least : LeastSpacing or None
        What the spacing is compared with.
    keep_place : bool
        Whether its coordinates are places on the first area, from one corner, where it stays if it fits there.

    Returns
    -------
    OnFloor

    Raises
    ------
    CourseError
        Without an area, or where no way fits between two cones.
    """
    if not areas:
        raise CourseError("a course without a floor cannot be placed; allowed is one floor or more; choose a venue.")
    line = line_over(course, outline, limits, margin=margin)
    size = line.extent
    ways_round = []
    for turned in (False, True):
        wide, deep = (size.depth, size.width) if turned else (size.width, size.depth)
        needs = []
        for area in (each for each in areas if each.binds):
            for what, needed, has in (("length", wide, area.length), ("width", deep, area.width)):
                needs.append(Need(what=f"{what} of the {area.name}", needed=needed + 2.0 * area.room, has=has))
        ways_round.append((turned, needs))
    if keep_place and _lies_within(size, areas):
        return OnFloor(
            line=line, turned=False, areas=tuple(areas), needs=tuple(ways_round[0][1]), least=least, in_its_place=True
        )
    turned, needs = min(
        ways_round,
        key=lambda way: (not all(need.fits for need in way[1]), sum(max(0.0, n.needed - n.has) for n in way[1])),
    )
    if turned:
        course = course.moved(turned=math.pi / 2.0)
        line = line_over(course, outline, limits, margin=margin)
        size = line.extent
    course = course.moved(
        right=areas[0].length / 2.0 - (size.left + size.right) / 2.0,
        up=areas[0].width / 2.0 - (size.low + size.high) / 2.0,
    )
    spacing = [] if least is None or course.spacing is None else [least.against(course.spacing)]
    return OnFloor(
        line=line_over(course, outline, limits, margin=margin),
        turned=turned,
        areas=tuple(areas),
        needs=(*needs, *spacing),
        least=least,
    )


def _lies_within(size: Extent, areas: Sequence[Area]) -> bool:
    """Whether swept floor in the frame of the first area lies in all that bind, which have one middle."""
    across, away = areas[0].length / 2.0, areas[0].width / 2.0
    return all(
        size.left >= across - area.length / 2.0 + area.room
        and size.right <= across + area.length / 2.0 - area.room
        and size.low >= away - area.width / 2.0 + area.room
        and size.high <= away + area.width / 2.0 - area.room
        for area in areas
        if area.binds
    )


def free_run_out(line: Line, areas: Sequence[Area], *, turned: bool) -> float | None:
    """Return what is free straight on before the footplate at the end of a length, in the middle of a floor [m].

    Parameters
    ----------
    line : Line
        Over push lanes.
    areas : sequence of Area
        The room kept before an edge is not counted as free.
    turned : bool
        Whether the lanes lie across the floor, `line` being as it lies there.

    Returns
    -------
    float or None
        None where nothing is known of the floor.
    """
    size = line.extent
    middle = (size.low + size.high) / 2.0 if turned else (size.left + size.right) / 2.0
    halves = [(area.width if turned else area.length) / 2.0 - area.room for area in areas if area.binds]
    if not halves:
        return None
    ends = [leg.to.y if turned else leg.to.x for leg in line.course.legs if not leg.backward]
    return min(halves) - max(abs(end - middle) for end in ends) - line.outline.front


def fit(
    name: str,
    *,
    outlines: Sequence[ChairOutline],
    areas: Sequence[Area],
    spacing: float | None = None,
    count: int | None = None,
    limits: Limits | None = None,
    margin: float = MARGIN.value,
    first: Side = "left",
    top: float = 1.0,
    backward: bool = True,
) -> OnFloor:
    """Return a layout on a floor, for the chair that decides.

    Parameters
    ----------
    name : str
        Id of the layout.
    outlines : sequence of ChairOutline
        Of everybody who drives it: the one that needs most decides.
    areas : sequence of Area
    spacing : float or None
        As asked [m]; None takes the usual one, more where a chair needs more, less where the floor is short.
    count, limits, margin, first, top, backward
        As in `lay_out` and `put_on`.

    Returns
    -------
    OnFloor
        Where it does not fit, at the least spacing, with the metres that are missing; a spacing asked for is kept and
        compared with what the chair needs.

    Raises
    ------
    UnknownNameError, CourseError
        As in `lay_out`; and where cones asked for stand so near that no way leads between them.
    """
    layout = layout_named(name)
    least = squad_spacing(name, outlines=outlines, count=count, margin=margin)
    # Starts and stops lie so that the longest chair has its room too, whichever decides the spacing.
    covers = covering(outlines)

    def at(spacing: float, side: float | None = None) -> OnFloor:
        course = lay_out(
            name,
            outline=covers,
            spacing=spacing,
            count=count,
            margin=margin,
            first=first,
            side=side,
            top=top,
            backward=backward,
        )
        found = put_on(course, outline=least.outline, areas=areas, limits=limits, margin=margin, least=least)
        others = (each for each in outlines if each is not least.outline)
        return replace(
            found, needs=found.needs + tuple(_beside_cones(found.line.course, each, margin) for each in others)
        )

    if spacing is not None:
        try:
            return at(spacing)
        except TooCloseError as found:
            raise TooCloseError(f"{least.against(spacing)}. {found}", needed=least.needed, has=spacing) from found
    usual = max(layout.usual, least.needed)
    wanted = at(usual)
    if wanted.fits:
        return wanted
    # Lanes may lie nearer to each other before they are made shorter.
    sides = [least_side(covers, margin=margin), None] if name == "push-lanes" else [None]
    longest = [_longest(partial(at, side=side), low=least.needed, high=usual) for side in sides]
    return max(longest, key=lambda each: (each.fits, each.line.course.spacing or 0.0))


def _beside_cones(course: Course, outline: ChairOutline, margin: float) -> Need:
    """Return what room another chair of the squad has beside the cones of the same course."""
    line = line_over(course, outline, margin=margin)
    return Need(what=f"room beside the cones for {outline.name}", needed=margin, has=line.nearest)


def _longest(at: Callable[[float], OnFloor], *, low: float, high: float) -> OnFloor:
    """Return the course of the longest spacing that fits, by halving; that of the shortest where none does."""
    best = at(low)
    if not best.fits:
        return best
    widest = at(high)
    if widest.fits:
        return widest
    while high - low > FINEST:
        middle = round((low + high) / 2.0, 2)
        if middle in (low, high):
            break
        tried = at(middle)
        if tried.fits:
            low, best = middle, tried
        else:
            high = middle
    return best
