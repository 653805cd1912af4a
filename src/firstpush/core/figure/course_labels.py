"""Where lettering goes on a course plan: each word beside what it names, over no other word and over little else."""

from __future__ import annotations

import math
from dataclasses import dataclass, field

import numpy as np

from firstpush.core.body.rotations import Array
from firstpush.core.figure.labels import text_width
from firstpush.core.figure.outlines import Geometry
from firstpush.core.figure.palette import INK, PAPER, Scheme, grey
from firstpush.core.figure.svg import MM_PER_POINT, number, text_at

LETTERS_PT = 9.0
SMALL_PT = 8.5
BOLDER = 1.07
"""How much wider bold lettering runs."""
_DIRECTIONS = tuple(
    math.radians(each) for each in (90, 0, 180, 270, 45, 135, 315, 225, 22, 158, 202, 338, 67, 113, 292, 247)
)
_RINGS = (0.0, 1.2, 2.6, 4.2, 6.0, 8.5, 12.0, 16.0)
_OVER_WORDS = 1000.0
_OVER_LINE = 6.0
_OVER_FAINT = 1.2
_FARTHER = 0.45
_LED_FROM_MM = 3.5
_LEAST_IN_WAY = 8.0


def _beside(x: float, y: float, turn: float, reach: float, wide: float, high: float) -> tuple[float, float]:
    """Return the middle of a box that touches the circle of radius `reach` about a point, in the direction `turn`."""
    dx, dy = math.cos(turn), -math.sin(turn)
    return (
        x + dx * reach + (0.0 if abs(dx) < 0.3 else math.copysign(wide / 2, dx)),
        y + dy * reach + (0.0 if abs(dy) < 0.3 else math.copysign(high / 2, dy)),
    )


@dataclass(kw_only=True)
class Lettering:
    """The words of one plan as they are put down, one after the other.

    Parameters
    ----------
    page : tuple of float
        Left, top, right and bottom of the paper that words may stand on [mm].
    lines : geometry
        What words should not cover: lines and arrows [mm].
    faint : geometry
        What they should rather not cover: dashed lines and edges.
    taken : list of geometry
        What words must not cover: other words, cones, the chair.
    """

    page: tuple[float, float, float, float]
    lines: Geometry
    faint: Geometry
    scheme: Scheme = "paper"
    taken: list[Geometry] = field(default_factory=list)
    written: list[str] = field(default_factory=list)

    def tone(self, colour: str) -> str:
        """Return a colour as this print has it."""
        return grey(colour) if self.scheme == "grey" else colour

    def beside(
        self,
        words: str,
        *,
        x: float,
        y: float,
        gap: float,
        size_pt: float = LETTERS_PT,
        bold: bool = False,
        disc: str = "",
        needed: bool = True,
        farthest: float = _RINGS[-1],
    ) -> bool:
        """Put words beside a point where they cover least; return whether they stand.

        Parameters
        ----------
        x, y : float
            What they name [mm].
        gap : float
            From there to the nearest edge of the words [mm].
        disc : str
            A name in a disc before the words.
        needed : bool
            Whether they stand even where every place covers something.
        farthest : float
            How far beyond the gap they may stand [mm].
        """
        import shapely

        wide, high = self._size(words, size_pt, bold=bold, disc=disc)
        best: tuple[float, float, float, Geometry] | None = None
        # Nothing farther away is ever covered; the rest of a long line would be looked at again and again.
        reach = gap + _RINGS[-1] + wide + high
        around = (x - reach, y - reach, x + reach, y + reach)
        near = tuple(shapely.clip_by_rect(each, *around) for each in (self.lines, self.faint))
        taken = np.array(self.taken)
        if len(taken):
            taken = taken[shapely.intersects(shapely.box(*around), taken)]
        for ring in (each for each in _RINGS if each <= farthest):
            centres = np.array([_beside(x, y, turn, gap + ring, wide, high) for turn in _DIRECTIONS])
            half = np.array([wide, high]) / 2
            boxes = shapely.box(*(centres - half).T, *(centres + half).T)
            costs = self._costs(boxes, *near, taken=taken) + _FARTHER * ring
            first = int(np.argmin(costs))
            if best is None or costs[first] < best[0] - 1e-9:
                best = (float(costs[first]), *centres[first].tolist(), boxes[first])
            if best[0] <= _FARTHER * ring + 1e-9:
                break
        assert best is not None
        cost, cx, cy, box = best
        if not needed and cost > _LEAST_IN_WAY:
            return False
        apart = box.distance(shapely.Point(x, y))
        if apart > gap + _LED_FROM_MM:
            self._lead(box, x, y, gap)
        self.taken.append(box)
        self._write(words, cx - wide / 2, cy, size_pt=size_pt, bold=bold, disc=disc)
        return True

    def _lead(self, box: Geometry, x: float, y: float, gap: float) -> None:
        """Draw a thin line from words that stand apart to what they name."""
        import shapely

        ends = shapely.get_coordinates(shapely.shortest_line(box, shapely.Point(x, y)))
        (x0, y0), (x1, y1) = ends.tolist()
        short = 1.0 - max(0.0, gap - 0.6) / math.hypot(x1 - x0, y1 - y0)
        x1, y1 = x0 + short * (x1 - x0), y0 + short * (y1 - y0)
        data = f"M{number(x0)} {number(y0)}L{number(x1)} {number(y1)}"
        self.written.append(
            f'<path class="leader" d="{data}" fill="none" stroke="{self.tone(INK)}" stroke-width=".18"/>'
        )

    def on(
        self, words: str, *, x: float, y: float, size_pt: float = LETTERS_PT, upright: float = 0.0, bold: bool = False
    ) -> None:
        """Put words with their middle on a point, on a plate of paper, turned anticlockwise by `upright` [rad]."""
        wide, high = self._size(words, size_pt, bold=bold, disc="")
        turn = f' transform="rotate({number(-math.degrees(upright))} {number(x)} {number(y)})"' if upright else ""
        plate = (
            f'<rect x="{number(x - wide / 2)}" y="{number(y - high / 2)}" width="{number(wide)}"'
            f' height="{number(high)}" fill="{self.tone(PAPER)}"/>'
        )
        baseline = y + 0.34 * size_pt * MM_PER_POINT
        text = text_at(words, x=x, y=baseline, size_pt=size_pt, colour=self.tone(INK), anchor="middle", bold=bold)
        self.written.append(f"<g{turn}>{plate}{text}</g>")
        self.taken.append(self.box_on(words, x=x, y=y, size_pt=size_pt, upright=upright, bold=bold))

    def box_on(
        self, words: str, *, x: float, y: float, size_pt: float = LETTERS_PT, upright: float = 0.0, bold: bool = False
    ) -> Geometry:
        """Return the room that words with their middle on a point take."""
        import shapely

        wide, high = self._size(words, size_pt, bold=bold, disc="")
        c, s = math.cos(upright), -math.sin(upright)
        corners = ((-wide, -high), (wide, -high), (wide, high), (-wide, high))
        return shapely.Polygon([(x + (c * a - s * b) / 2, y + (s * a + c * b) / 2) for a, b in corners])

    def _size(self, words: str, size_pt: float, *, bold: bool, disc: str) -> tuple[float, float]:
        wide = text_width(words, size_pt) * (BOLDER if bold else 1.0) + (0.6 if words else 0.0)
        high = size_pt * MM_PER_POINT
        if disc:
            wide += 2 * _disc_radius(disc) + (0.7 if words else 0.0)
            high = max(high, 2 * _disc_radius(disc))
        return wide, high

    def _costs(self, boxes: Geometry, lines: Geometry, faint: Geometry, *, taken: Array) -> Array:
        """Return what each of several boxes would cover, in millimetres of the way that a word is put aside."""
        import shapely

        left, top, right, bottom = shapely.bounds(boxes).T
        edges = (self.page[0] - left, self.page[1] - top, right - self.page[2], bottom - self.page[3])
        out = _OVER_WORDS * np.maximum(0.0, np.max(edges, axis=0))
        over = shapely.area(shapely.intersection(boxes[:, None], taken[None, :])).sum(axis=1)
        roomy = shapely.buffer(boxes, 0.4, join_style="mitre")
        crossed = shapely.length(shapely.intersection(roomy, lines))
        grazed = shapely.length(shapely.intersection(boxes, faint))
        return np.asarray(out + _OVER_WORDS * over + _OVER_LINE * crossed + _OVER_FAINT * grazed)

    def _write(self, words: str, left: float, middle: float, *, size_pt: float, bold: bool, disc: str) -> None:
        if disc:
            self.written.append(name_disc(disc, x=left + _disc_radius(disc), y=middle, scheme=self.scheme))
            left += 2 * _disc_radius(disc) + 0.7
        if words:
            baseline = middle + 0.34 * size_pt * MM_PER_POINT
            self.written.append(
                text_at(
                    words,
                    x=left + 0.3,
                    y=baseline,
                    size_pt=size_pt,
                    colour=self.tone(INK),
                    bold=bold,
                    halo=self.tone(PAPER),
                )
            )


def _disc_radius(name: str) -> float:
    return max(1.9, text_width(name, LETTERS_PT) / 2 + 0.5)


def name_disc(name: str, *, x: float, y: float, scheme: Scheme) -> str:
    """Return the name of a cone, light on a dark disc."""
    ink, paper = (INK, PAPER) if scheme == "paper" else (grey(INK), grey(PAPER))
    letters = text_at(
        name, x=x, y=y + 0.35 * LETTERS_PT * MM_PER_POINT, size_pt=LETTERS_PT, colour=paper, anchor="middle", bold=True
    )
    circle = f'<circle class="name" cx="{number(x)}" cy="{number(y)}" r="{number(_disc_radius(name))}" fill="{ink}"/>'
    return circle + letters
