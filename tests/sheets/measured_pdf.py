"""What is painted on a page of a PDF, and where: read from the operators of its content, not from the template.

Operators as in ISO 32000-1, sections 8.4 to 8.5 and 9.4 (from memory): `cm` multiplies onto the matrix from the left,
`W` cuts what follows down to the path, a line is as thick as its width times the scale of the matrix.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import Any

from pypdf import PageObject
from pypdf.generic import ContentStream

MILLIMETRE = 72 / 25.4
Matrix = tuple[float, float, float, float, float, float]
Box = tuple[float, float, float, float]
"""Left, bottom, right, top [pt]."""

_WHOLE: Matrix = (1, 0, 0, 1, 0, 0)


@dataclass(frozen=True, kw_only=True)
class Painted:
    """A path that was filled or drawn, or a piece of text.

    Parameters
    ----------
    marked : int or None
        Number of the marked content it belongs to, for the structure tree.
    box : Box
        Where, as far as it is not cut away; of text only where it starts.
    line_mm : float or None
        How thick the line is; None for what is filled.
    text_pt : float or None
        How large the text is.
    straight : bool
        A single line from one point to another.
    """

    marked: int | None
    box: Box
    line_mm: float | None = None
    text_pt: float | None = None
    straight: bool = False


@dataclass(kw_only=True)
class _State:
    matrix: Matrix = _WHOLE
    clip: Box = (-math.inf, -math.inf, math.inf, math.inf)
    width: float = 1.0
    size: float = 0.0


@dataclass(kw_only=True)
class _Path:
    points: list[tuple[float, float]] = field(default_factory=list)
    steps: int = 0
    curved: bool = False


def painted(page: PageObject) -> list[Painted]:
    """Return everything painted on `page`, in order."""
    content = page.get_contents()
    assert content is not None
    state, kept, path = _State(), [], _Path()
    marks: list[int | None] = []
    text_matrix = _WHOLE
    clipping = False
    found: list[Painted] = []
    for operands, operator in ContentStream(content, page.pdf).operations:
        name = operator.decode()
        numbers = [float(each) for each in operands if isinstance(each, (int, float))]
        if name == "q":
            kept.append(_State(**vars(state)))
        elif name == "Q":
            state = kept.pop()
        elif name == "cm":
            state.matrix = _product(_matrix(numbers), state.matrix)
        elif name == "w":
            state.width = numbers[0]
        elif name in ("BDC", "BMC"):
            inside = operands[1].get("/MCID") if name == "BDC" and isinstance(operands[1], dict) else None
            marks.append(None if inside is None else int(inside))
        elif name == "EMC":
            marks.pop()
        elif name in ("m", "l", "c"):
            pairs = zip(numbers[::2], numbers[1::2], strict=True)
            path.points += [_moved(pair, state.matrix) for pair in pairs]
            path.steps += name != "m"
            path.curved |= name == "c"
        elif name == "re":
            x, y, width, height = numbers
            corners = ((x, y), (x + width, y), (x + width, y + height), (x, y + height))
            path.points += [_moved(corner, state.matrix) for corner in corners]
            path.steps += 4
        elif name in ("W", "W*"):
            clipping = True
        elif name in ("S", "s", "f", "f*", "F", "B", "B*", "b", "b*", "n"):
            box = _within(_bounds(path.points), state.clip) if path.points else None
            if clipping and path.points:
                state.clip = box or (0, 0, 0, 0)
            if name != "n" and box is not None:
                drawn = name in ("S", "s", "B", "B*", "b", "b*")
                thick = state.width * _scale(state.matrix) / MILLIMETRE if drawn else None
                straight = path.steps == 1 and not path.curved
                found.append(Painted(marked=_last(marks), box=box, line_mm=thick, straight=straight))
            path, clipping = _Path(), False
        elif name == "Tf":
            state.size = numbers[-1]
        elif name == "Tm":
            text_matrix = _matrix(numbers)
        elif name in ("Tj", "TJ"):
            matrix = _product(text_matrix, state.matrix)
            x, y = matrix[4:]
            found.append(Painted(marked=_last(marks), box=(x, y, x, y), text_pt=state.size * _scale(matrix)))
        else:
            assert name not in ("Do", "sh", "Td", "TD", "T*", "v", "y", "'", '"'), f"{name} is not measured here"
    return found


def around(boxes: Iterable[Box]) -> Box:
    """Return the box round `boxes`."""
    every = list(boxes)
    return (
        min(box[0] for box in every),
        min(box[1] for box in every),
        max(box[2] for box in every),
        max(box[3] for box in every),
    )


def marks_under(element: Any, page: PageObject) -> set[int]:
    """Return the numbers of the marked content on `page` that a structure element holds."""
    element = element.get_object() if hasattr(element, "get_object") else element
    if isinstance(element, int):
        return {int(element)}
    if isinstance(element, list):
        return set().union(*(marks_under(each, page) for each in element))
    on = element.get("/Pg")
    here = on is None or on.get_object() == page.get_object()
    if "/MCID" in element:
        return {int(element["/MCID"])} if here else set()
    return marks_under(element["/K"], page) if "/K" in element and here else set()


def _last(marks: list[int | None]) -> int | None:
    return next((mark for mark in reversed(marks) if mark is not None), None)


def _matrix(numbers: list[float]) -> Matrix:
    a, b, c, d, e, f = numbers
    return (a, b, c, d, e, f)


def _product(first: Matrix, then: Matrix) -> Matrix:
    a, b, c, d, e, f = first
    g, h, i, j, k, m = then
    return (a * g + b * i, a * h + b * j, c * g + d * i, c * h + d * j, e * g + f * i + k, e * h + f * j + m)


def _moved(point: tuple[float, float], matrix: Matrix) -> tuple[float, float]:
    x, y = point
    a, b, c, d, e, f = matrix
    return (a * x + c * y + e, b * x + d * y + f)


def _scale(matrix: Matrix) -> float:
    a, b, c, d, _, _ = matrix
    return math.sqrt(abs(a * d - b * c))


def _bounds(points: list[tuple[float, float]]) -> Box:
    across, up = zip(*points, strict=True)
    return (min(across), min(up), max(across), max(up))


def _within(box: Box, clip: Box) -> Box | None:
    """Return what `clip` leaves of `box`, None where that is nothing."""
    cut = (max(box[0], clip[0]), max(box[1], clip[1]), min(box[2], clip[2]), min(box[3], clip[3]))
    return cut if cut[0] <= cut[2] and cut[1] <= cut[3] else None
