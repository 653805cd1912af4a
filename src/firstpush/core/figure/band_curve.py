"""The pull of a band over its elongation: what was measured, the fitted curve, and the range it rests on.

Shapes carry a class beside their paper colours, so that a page can draw them in its own (dark, forced colours).
"""

from __future__ import annotations

import math

import numpy as np

from firstpush.core.body.rotations import Array
from firstpush.core.errors import OutOfRangeError
from firstpush.core.figure.labels import text_width
from firstpush.core.figure.palette import ACCENT, COURT, INK, PAPER, SAND
from firstpush.core.figure.svg import MM_PER_POINT, document, number, text_at
from firstpush.core.kit.bands import RANGE_FACTOR, BandLaw, describe_pull, fit_band
from firstpush.core.kit.kit import Band

WIDTH_MM, HEIGHT_MM = 96.0, 62.0
LEFT_MM, RIGHT_MM, TOP_MM, BOTTOM_MM = 11.5, 3.0, 11.0, 12.0
LETTERS_PT = 10.0
POINTS_OF_CURVE = 61
DOUBLE_LENGTH = 1.0
_LEAST_FORCE = 10.0
"""Top of the scale of a band that was never pulled [N]."""


def largest_pull(band: Band) -> float:
    """Return the largest pull that the drawing of `band` must show [N]: the top of its range at its limit.

    Examples
    --------
    >>> largest_pull(Band(name="tube", material="latex", length=1.3, count=1, limit_elongation=2.0, pulls=()))
    10.0
    """
    law = fit_band(band)
    if law.relative_spread is None:
        return _LEAST_FORCE
    top = float(law.tension(1.0 + band.limit_elongation)) * (1.0 + law.relative_spread * RANGE_FACTOR.value)
    return max([top, *(pull.force for pull in band.pulls)])


def draw_band_curve(band: Band, *, top: float | None = None, longest: float | None = None) -> str:
    """Return an SVG of the pull of one strand of `band` over its elongation, from slack to its limit.

    Points are what was measured.  The curve is the fitted law, whole where the law rests on pulls and dashed beyond;
    round it lies the range that holds nine of ten pulls.

    Parameters
    ----------
    band : Band
        The band; without pulls the axes stay empty.
    top : float, optional
        Pull at the top of the scale, for drawings that are compared; left out, `largest_pull` of this band [N].
    longest : float, optional
        Elongation at the end of the scale, fraction of slack length; left out, the band's limit.

    Returns
    -------
    str
        SVG, in millimetres on paper, with title and description.

    Raises
    ------
    OutOfRangeError
        When `top` or `longest` is less than what must be drawn.
    """
    needed = largest_pull(band)
    if top is not None and top < needed:
        raise OutOfRangeError(
            f"a scale up to {top:g} N cannot show the band {band.name!r}, which pulls {needed:.0f} N at its limit; "
            f"{needed:.0f} N or more is allowed. Give the largest of all bands that are drawn beside each other."
        )
    reach = max(band.limit_elongation, DOUBLE_LENGTH)
    if longest is not None and longest < reach:
        raise OutOfRangeError(
            f"a scale up to {100 * longest:g} % cannot show the band {band.name!r}; {100 * reach:g} % or more is "
            "allowed. Give the largest limit of all bands that are drawn beside each other, and 100 % or more."
        )
    plot = _Plot(longest=reach if longest is None else longest, top=needed if top is None else top)
    law = fit_band(band)
    body = plot.axes() + plot.marks(band.limit_elongation)
    body += plot.curve(law) if law.relative_spread is not None else plot.nothing_pulled()
    body += "".join(plot.measured(pull.elongation, pull.force) for pull in band.pulls)
    return document(
        f'<g class="band-curve"><rect class="ground" width="{number(WIDTH_MM)}" height="{number(HEIGHT_MM)}"'
        f' fill="{PAPER}"/>{body}</g>',
        width_mm=WIDTH_MM,
        height_mm=HEIGHT_MM,
        title=f"Pull of {band.name} over its elongation",
        description=in_words(band, law),
        ground=None,
    )


def in_words(band: Band, law: BandLaw) -> str:
    """Return what the drawing shows, for those who do not see it."""
    limit = f"It may be stretched by {100 * band.limit_elongation:.0f} %."
    if law.fitted_range is None:
        return f"The pull was never measured. {limit}"
    points = ", ".join(f"{pull.force:.3g} N at {100 * pull.elongation:.0f} %" for pull in band.pulls)
    low, high = (f"{100 * end:.0f} %" for end in law.fitted_range)
    rests = (
        f"The fitted curve rests on pulls from {low} to {high}"
        if law.source == "measured points"
        else f"One pull is known: the curve follows the shape of other bands, which was measured from {low} to {high}"
    )
    return f"Measured: {points}. {rests}; it gives {describe_pull(law)}. {limit}"


class _Plot:
    """The plane of the drawing: elongation to the right, pull upwards."""

    def __init__(self, *, longest: float, top: float) -> None:
        self._longest = 1.04 * longest
        self._step = _round_step(top / 5.0)
        self._top = max(1.02 * top, self._step)

    def x(self, elongation: float) -> float:
        return LEFT_MM + elongation / self._longest * (WIDTH_MM - LEFT_MM - RIGHT_MM)

    def along(self, width: float) -> float:
        """Return the elongation that `width` [mm] stands for."""
        return width * self._longest / (WIDTH_MM - LEFT_MM - RIGHT_MM)

    def y(self, force: float) -> float:
        return HEIGHT_MM - BOTTOM_MM - force / self._top * (HEIGHT_MM - TOP_MM - BOTTOM_MM)

    def axes(self) -> str:
        """Return rules at round pulls, the baseline, and both scales with their units."""
        right, base = WIDTH_MM - RIGHT_MM, self.y(0.0)
        drop = 0.36 * LETTERS_PT * MM_PER_POINT
        out = []
        force = self._step
        while force <= self._top:
            out.append(_line("grid", (LEFT_MM, self.y(force)), (right, self.y(force)), colour=SAND, width=0.3))
            out.append(_text(f"{force:g}", x=LEFT_MM - 1.4, y=self.y(force) + drop, anchor="end"))
            force = round(force + self._step, 6)
        out.append(_text("0", x=LEFT_MM - 1.4, y=base + drop, anchor="end"))
        spacing = 0.5 if self._longest <= 2.6 else _round_step(self._longest / 5.0)
        for count in range(int(self._longest / spacing + 1e-9) + 1):
            elongation = count * spacing
            out.append(_line("axis", (self.x(elongation), base), (self.x(elongation), base + 1.2), colour=COURT))
            if count:
                out.append(_text(f"{100 * elongation:.0f}", x=self.x(elongation), y=base + 5.0, anchor="middle"))
        out.append(_line("axis", (LEFT_MM, base), (right, base), colour=COURT, width=0.7))
        out.append(_text("pull, N", x=1.0, y=4.0))
        out.append(_text("elongation, % of slack length", x=right, y=HEIGHT_MM - 1.6, anchor="end"))
        return "".join(out)

    def marks(self, limit: float) -> str:
        """Return upright lines at double length and at the limit, named above."""
        at_limit = abs(limit - DOUBLE_LENGTH) < 1e-6
        lines = [(limit, "double length, limit" if at_limit else "limit", 0.7, "")]
        if not at_limit:
            lines.append((DOUBLE_LENGTH, "double length", 0.3, ' stroke-dasharray="1 1"'))
        out, taken = [], WIDTH_MM
        for elongation, words, width, dash in sorted(lines, reverse=True):
            x = self.x(elongation)
            line = _line("limit", (x, TOP_MM - 1.5), (x, self.y(0.0)), colour=COURT, width=width, more=dash)
            half = text_width(words, LETTERS_PT) / 2.0
            middle = min(x, taken - half - 1.0)
            out.append(line + _text(words, x=middle, y=TOP_MM - 2.8, anchor="middle"))
            taken = middle - half
        return "".join(out)

    def curve(self, law: BandLaw) -> str:
        """Return the range as an area, the curve over it, and the range at double length in figures."""
        assert law.fitted_range is not None and law.relative_spread is not None
        end = law.limit_elongation
        low, high = max(0.0, law.fitted_range[0]), min(end, law.fitted_range[1])
        half = law.relative_spread * RANGE_FACTOR.value
        out = ""
        if high > low:
            known = np.linspace(low, high, POINTS_OF_CURVE)
            pulls = law.tension(1.0 + known)
            edge = [
                *zip(known, pulls * (1 + half), strict=True),
                *zip(known[::-1], pulls[::-1] * (1 - half), strict=True),
            ]
            out += f'<path class="range" d="{self._path(np.array(edge))}z" fill="{ACCENT}" fill-opacity=".18"/>'
        for start, stop, dash in ((0.0, low, "1.4 1.2"), (low, high, ""), (high, end, "1.4 1.2")):
            if stop - start > 1e-6:
                part = np.linspace(start, stop, POINTS_OF_CURVE)
                path = self._path(np.column_stack([part, law.tension(1.0 + part)]))
                dashed = f' stroke-dasharray="{dash}"' if dash else ""
                name = "curve beyond" if dash else "curve"
                out += f'<path class="{name}" d="{path}" fill="none" stroke="{ACCENT}" stroke-width=".8"{dashed}/>'
        return out + self._figure(law, half)

    def _figure(self, law: BandLaw, half: float) -> str:
        """Return the pull at double length (or at a shorter limit) beside the curve, clear of its range."""
        at = min(DOUBLE_LENGTH, law.limit_elongation)
        pull = float(law.tension(1.0 + at))
        words = describe_pull(law).partition(" at ")[0]
        high, wide = LETTERS_PT * MM_PER_POINT, text_width(words, LETTERS_PT)
        below, base = self.y(pull * (1 - half)) + 1.9 + 0.8 * high, self.y(0.0)
        # Right of the line and below the curve is free, unless the band is so weak that the baseline is near or the
        # line is the last; then the foot of the line, and else above the curve.
        room_at_foot = base - self.y(float(law.tension(1.0 + max(0.0, at - self.along(wide + 1.2)))) * (1 - half))
        if below < base - 1.0 and self.x(at) + 1.2 + wide < WIDTH_MM - RIGHT_MM:
            x, y, anchor = self.x(at) + 1.2, below, "start"
        elif room_at_foot > high + 3.0:
            x, y, anchor = self.x(at) - 1.2, base - 1.6, "end"
        else:
            x, y, anchor = self.x(at) - 1.2, self.y(pull * (1 + half)) - 1.4, "end"
        letters = text_at(words, x=x, y=y, size_pt=LETTERS_PT, colour=ACCENT, anchor=anchor, bold=True)
        return f'<g class="pull">{letters}</g>'

    def measured(self, elongation: float, force: float) -> str:
        return (
            f'<circle class="measured" cx="{number(self.x(elongation))}" cy="{number(self.y(force))}" r="1.3"'
            f' fill="{ACCENT}" stroke="{PAPER}" stroke-width=".4"/>'
        )

    def nothing_pulled(self) -> str:
        # Clear of the line at double length, which lies in the middle of most bands.
        return _text("not pulled yet", x=self.x(0.06 * self._longest), y=self.y(self._top / 2))

    def _path(self, points: Array) -> str:
        places = (f"{self.x(float(e)):.2f} {self.y(float(f)):.2f}" for e, f in points)
        return "M" + "L".join(places)


def _round_step(least: float) -> float:
    """Return the smallest of 1, 2 and 5 times a power of ten that is not below `least`.

    Examples
    --------
    >>> [_round_step(value) for value in (0.3, 2.0, 2.1, 70.0)]
    [0.5, 2.0, 5.0, 100.0]
    """
    power = 10.0 ** math.floor(math.log10(least))
    return float(next(factor * power for factor in (1, 2, 5, 10) if factor * power >= least * (1 - 1e-9)))


def _line(
    name: str,
    start: tuple[float, float],
    end: tuple[float, float],
    *,
    colour: str,
    width: float = 0.3,
    more: str = "",
) -> str:
    (x1, y1), (x2, y2) = start, end
    return (
        f'<path class="{name}" d="M{number(x1)} {number(y1)}L{number(x2)} {number(y2)}" stroke="{colour}"'
        f' stroke-width="{number(width)}" fill="none"{more}/>'
    )


def _text(words: str, *, x: float, y: float, anchor: str = "start") -> str:
    return text_at(words, x=x, y=y, size_pt=LETTERS_PT, colour=INK, anchor=anchor)
