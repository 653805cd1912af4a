"""Courses of one's own: cones and points by coordinates, and an order written as a list of short words."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

from firstpush.core.courses.course import Cone, Course, CourseError, Leg, Pass, Place
from firstpush.core.people.athlete import Side
from firstpush.core.toml_file import TomlFile, as_toml_file, parse_toml
from firstpush.core.toml_reader import Allowed, Reader

COORDINATE = Allowed(low=-100, high=100, unit="m")
CONE_SIZE = Allowed(low=0.02, high=0.60, unit="m")
PERCENT = Allowed(low=5, high=100, unit="%")
_PASS = re.compile(r"(?P<cone>\w+?)(?P<hand>[LR])", re.ASCII)
_STRETCH = re.compile(r"(?P<how>to|back to) (?P<point>\w+)")
_WORDS = (
    '"1L" or "1R" (cone 1 on the left or right hand), "to A" (push to point A and stop), "back to A" (pull there),'
    ' "turn left", "turn right"'
)


def course_from(document: Mapping[str, Any], *, where: str) -> Course:
    """Return a course from a document.

    Parameters
    ----------
    document : mapping
        `name`; `cones` and `points`, lists with `name`, `x_m` and `y_m`; `start`, the name of a point; `order`, a
        list of words; optionally `cone_width_m`, `speed_percent`, `tight` and `rolling_finish`.
    where : str
        What faults name in place of a file.

    Returns
    -------
    Course

    Raises
    ------
    InputFileError
        With every fault at once.
    CourseError, UnknownNameError
        For cones that stand in each other, or names that are not there.

    Examples
    --------
    >>> course = course_from(
    ...     {
    ...         "name": "corner",
    ...         "cones": [{"name": "1", "x_m": 4, "y_m": 0}],
    ...         "points": [{"name": "A", "x_m": 0, "y_m": -1}, {"name": "B", "x_m": 5, "y_m": 5}],
    ...         "start": "A",
    ...         "order": ["1L", "to B", "turn left", "back to A"],
    ...     },
    ...     where="corner",
    ... )
    >>> course.order, len(course.legs)
    ('1L', 2)
    """
    return _read(as_toml_file(document, where=where))


def course_from_text(text: str, *, where: str) -> Course:
    """Return a course from the text of a TOML file, as `course_from`; faults name their lines."""
    return _read(parse_toml(text, name=where))


def _read(file: TomlFile) -> Course:
    top = Reader(file)
    name = top.needed_text("name", write='Write name = "corner drill"')
    width = top.number("cone_width_m", CONE_SIZE)
    percent = top.number("speed_percent", PERCENT)
    cones, points = top.tables("cones"), top.tables("points")
    top.refuse_same_names(cones)
    top.refuse_same_names(points)
    start = top.needed_text("start", write='Write start = "A", the name of a point')
    if not top.given("order"):
        top.missing("order", allowed=_WORDS, write='Write order = ["1L", "to A"]')
    order = top.texts("order") or []
    tight, rolling = top.boolean("tight"), top.boolean("rolling_finish")
    placed_cones = [_place(table) for table in cones]
    placed_points = dict(_place(table) for table in points)
    _refuse_words(top, order, cones={each for each, _ in placed_cones}, points=set(placed_points), start=start)
    top.finish()
    radius = {} if width is None else {"radius": width / 2.0}
    return Course(
        name=name,
        cones=tuple(Cone(name=each, x=place.x, y=place.y, **radius) for each, place in placed_cones),
        start=placed_points[start],
        legs=tuple(_legs(order, placed_points, share=1.0 if percent is None else percent / 100.0)),
        tight=bool(tight),
        rolling_finish=bool(rolling),
    )


def _place(table: Reader) -> tuple[str, Place]:
    name = table.needed_text("name", write='Write name = "1"')
    x = table.needed_number("x_m", COORDINATE, write="Write x_m = 2.5")
    y = table.needed_number("y_m", COORDINATE, write="Write y_m = 1.0")
    return name, Place(x=x, y=y)


def _refuse_words(top: Reader, order: list[str], *, cones: set[str], points: set[str], start: str) -> None:
    """Put every word of the order that cannot be followed among the faults."""
    if start and start not in points:
        top.fault("start", wrong=f"there is no point {start!r}", allowed=_listed(points), next_step="Give one of them")
    for word in order:
        passing, stretch = _PASS.fullmatch(word), _STRETCH.fullmatch(word)
        if passing and passing["cone"] not in cones:
            top.fault(
                "order",
                wrong=f"{word!r} passes a cone {passing['cone']!r}, which does not stand there",
                allowed=_listed(cones),
                next_step="Give one of these cones, and L or R for the hand it is on",
            )
        elif stretch and stretch["point"] not in points:
            top.fault(
                "order",
                wrong=f"{word!r} leads to a point {stretch['point']!r}, which is not there",
                allowed=_listed(points),
                next_step="Give one of these points",
            )
        elif not (passing or stretch or word in ("turn left", "turn right")):
            top.fault("order", wrong=f"{word!r} is no word of an order", allowed=_WORDS, next_step="Write one of these")
    if order and not _STRETCH.fullmatch(order[-1]):
        top.fault(
            "order",
            wrong=f"it ends with {order[-1]!r}, and so nowhere",
            allowed='"to" or "back to" and a point, at the end',
            next_step="Add where the chair comes to rest",
        )


def _listed(names: set[str]) -> str:
    return ", ".join(sorted(names)) or "none: there are none yet"


def _legs(order: list[str], points: Mapping[str, Place], *, share: float) -> list[Leg]:
    legs: list[Leg] = []
    passes: list[Pass] = []
    turn: Side | None = None
    for word in order:
        if word in ("turn left", "turn right"):
            turn = "left" if word == "turn left" else "right"
        elif found := _STRETCH.fullmatch(word):
            backward = found["how"] == "back to"
            to = points[found["point"]]
            legs.append(Leg(to=to, passes=tuple(passes), backward=backward, share=share, turn=turn))
            passes, turn = [], None
        elif found := _PASS.fullmatch(word):
            passes.append(Pass(cone=found["cone"], hand="left" if found["hand"] == "L" else "right"))
        else:
            raise CourseError(f"{word!r} is no word of an order; allowed: {_WORDS}; write one of these.")
    return legs
