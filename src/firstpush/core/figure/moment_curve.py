"""The load over a movement as a curve with its range, drawn in the look of the figures."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from firstpush.core.body.rotations import Array
from firstpush.core.figure.labels import text_width
from firstpush.core.figure.palette import COURT, INK, PAPER, SAND, mix
from firstpush.core.figure.svg import document, number, text_at
from firstpush.core.setup.result import Estimate, ExerciseSetup
from firstpush.core.setup.uncertainty import load_ranges

FRAMES_BETWEEN = 2
"""Every second frame has a range; the load itself is drawn in every frame."""
LEFT_MM, RIGHT_MM, TOP_MM, BELOW_MM = 13.0, 6.0, 12.0, 11.0
LETTERS_PT, SMALL_PT = 9.0, 8.0
MOST_TICKS = 5


@dataclass(frozen=True, kw_only=True)
class CurvePart:
    """The load of one axis over some frames: the whole movement, or one link of a chain.

    Parameters
    ----------
    loads : str
        The axis.
    share : array (n,)
        Share of the movement.
    load : array (n,)
        [N·m]
    range_share : array (m,)
        Shares that the range is known at.
    low, high : array (m,)
        Nine of ten samples lie between them [N·m].
    """

    loads: str
    share: Array
    load: Array
    range_share: Array
    low: Array
    high: Array


@dataclass(frozen=True, kw_only=True)
class MomentCurve:
    """The load of a set-up over its movement.

    Parameters
    ----------
    parts : tuple of CurvePart
    poses : tuple of (float, str)
        Share of the movement at which each pose is reached, and what it is called.
    wanted : float or None
        What is wanted of the link that sets the band [N·m].
    wanted_share : (float, float)
        Shares of the movement that this link goes from and to.
    peak : Estimate
        Largest load of that link, with its range.
    peak_share : float
        Where it is reached.
    """

    parts: tuple[CurvePart, ...]
    poses: tuple[tuple[float, str], ...]
    wanted: float | None
    wanted_share: tuple[float, float]
    peak: Estimate
    peak_share: float


def moment_curve(setup: ExerciseSetup, *, seed: int = 0) -> MomentCurve | None:
    """Return the load of `setup` over its movement with its range; None where no load is stated or none moves.

    Parameters
    ----------
    setup : ExerciseSetup
        With its ranges, see `firstpush.core.setup.uncertainty.with_ranges`.
    seed : int
        The same as for the ranges gives the same errors.
    """
    share = setup.movement.share
    if setup.load is None or setup.peak is None or setup.limiting is None or share.size < 2:
        return None
    if not setup.peak.ranged:
        return None
    starts = setup.movement.start_of_pose
    loaded = setup.exercise.loaded_links
    # The frame in which one link ends and the next begins counts for the next.
    next_begins = {starts[index - 1] for index, _ in loaded}
    links = [
        (link.loads, np.arange(starts[index - 1], starts[index] + (starts[index] not in next_begins)))
        for index, link in loaded
    ] or [(setup.exercise.loads, np.arange(share.size))]
    limiting = np.arange(setup.limiting.frames.start, setup.limiting.frames.stop)
    peak = int(limiting[np.argmax(setup.load[limiting])])
    parts = []
    for loads, frames in links:
        looked_at = np.unique(np.concatenate([frames[::FRAMES_BETWEEN], frames[-1:], frames[frames == peak]]))
        low, high = load_ranges(setup, frames=looked_at, loads=loads, rng=np.random.default_rng(seed))
        parts.append(
            CurvePart(
                loads=loads,
                share=share[frames],
                load=setup.load[frames],
                range_share=share[looked_at],
                low=low,
                high=high,
            )
        )
    return MomentCurve(
        parts=tuple(parts),
        poses=_poses(setup),
        wanted=None if setup.limiting.target is None else setup.limiting.target.value,
        wanted_share=(float(share[limiting[0]]), float(share[limiting[-1]])),
        peak=setup.peak,
        peak_share=float(share[peak]),
    )


def _poses(setup: ExerciseSetup) -> tuple[tuple[float, str], ...]:
    share, poses = setup.movement.share, setup.exercise.poses
    if setup.exercise.circle is not None:
        return ((0.0, "once round"), (1.0, "start"))
    return tuple(
        (float(share[frame]), pose.name) for frame, pose in zip(setup.movement.start_of_pose, poses, strict=True)
    )


def curve_words(curve: MomentCurve) -> str:
    """Return what the curve shows, for those who do not see it."""
    told = []
    for part in curve.parts:
        first, last = _at(part, 0), _at(part, -1)
        told.append(f"{part.loads} goes from {first} to {last} N·m")
    where = f"the largest counted is {curve.peak}, {100 * curve.peak_share:.0f} % of the way through"
    wanted = "" if curve.wanted is None else f", {curve.wanted:.0f} N·m wanted"
    return f"{'; '.join(told)}; {where}{wanted}.".capitalize().replace("n·m", "N·m")


def _at(part: CurvePart, index: int) -> str:
    value = float(part.load[index])
    low, high = min(float(part.low[index]), value), max(float(part.high[index]), value)
    return Estimate(value=value, low=low, high=high, unit="N·m").number


def draw_moment_curve(curve: MomentCurve, *, width_mm: float = 136.0, height_mm: float = 62.0, title: str) -> str:
    """Return the curve as SVG: the load as a line, its range as a band of sand, the wanted load as a broken line.

    Parameters
    ----------
    curve : MomentCurve
    width_mm, height_mm : float
        Size on paper [mm]; lettering is 9 pt at this size.
    title : str
        For those who hear the drawing.
    """
    low = min(0.0, *(float(part.low.min()) for part in curve.parts))
    high = max(*(float(part.high.max()) for part in curve.parts), curve.wanted or 0.0, 0.0)
    step = tick_step(high - low)
    bottom, top = step * np.floor(low / step + 1e-9), step * np.ceil(high / step - 1e-9)
    plot = _Plot(width=width_mm, height=height_mm, bottom=float(bottom), top=float(top))
    drawn = [plot.grid(step), *(plot.range_of(part) for part in curve.parts)]
    if curve.wanted is not None:
        drawn.append(plot.wanted(curve.wanted, curve.wanted_share))
    drawn += [plot.line_of(part) for part in curve.parts]
    drawn += [plot.poses(curve.poses), plot.axes_of(curve.parts), plot.peak(curve)]
    return document(
        "".join(drawn),
        width_mm=width_mm,
        height_mm=height_mm,
        title=title,
        description=curve_words(curve),
        ground=PAPER,
    )


def tick_step(span: float) -> float:
    """Return the distance of ticks, 1, 2 or 5 times a power of ten, that gives five steps at most over `span`.

    Examples
    --------
    >>> [tick_step(span) for span in (0.9, 4.0, 12.0, 31.0)]
    [0.2, 1.0, 5.0, 10.0]
    """
    rough = max(span, 1e-6) / MOST_TICKS
    power = 10.0 ** np.floor(np.log10(rough))
    return float(next(power * each for each in (1, 2, 5, 10) if power * each >= rough - 1e-12))


@dataclass(frozen=True, kw_only=True)
class _Plot:
    """The area of the plot [mm], and what is drawn in it."""

    width: float
    height: float
    bottom: float
    top: float

    def x(self, share: Array | float) -> Array:
        return np.asarray(LEFT_MM + np.asarray(share) * (self.width - LEFT_MM - RIGHT_MM))

    def y(self, load: Array | float) -> Array:
        span = self.height - TOP_MM - BELOW_MM
        return np.asarray(self.height - BELOW_MM - (np.asarray(load) - self.bottom) / (self.top - self.bottom) * span)

    def grid(self, step: float) -> str:
        """Return thin lines with their numbers; the one at nothing is the baseline."""
        drawn = []
        for tick in np.arange(round(self.bottom / step), round(self.top / step) + 1) * step:
            y, base = float(self.y(tick)), abs(tick) < 1e-9
            colour, thick = (COURT, 0.5) if base else (mix(PAPER, COURT, 0.35), 0.18)
            drawn.append(_path([LEFT_MM, self.width - RIGHT_MM], [y, y], colour=colour, thick=thick))
            drawn.append(text_at(f"{tick:g}", x=LEFT_MM - 2, y=y + 1.1, size_pt=SMALL_PT, colour=INK, anchor="end"))
        drawn.append(text_at("N·m", x=0.8, y=TOP_MM - 5.2, size_pt=SMALL_PT, colour=INK))
        return "".join(drawn)

    def range_of(self, part: CurvePart) -> str:
        x = np.concatenate([part.range_share, part.range_share[::-1]])
        y = np.concatenate([part.high, part.low[::-1]])
        return f'<path d="{_points(self.x(x), self.y(y))}z" fill="{mix(SAND, COURT, 0.16)}"/>'

    def line_of(self, part: CurvePart) -> str:
        return _path(self.x(part.share), self.y(part.load), colour=INK, thick=0.6)

    def wanted(self, load: float, between: tuple[float, float]) -> str:
        y, ends = float(self.y(load)), self.x(np.array(between))
        words = f"wanted {load:.0f}"
        line = _path(ends, [y, y], colour=COURT, thick=0.35, dash="2 1.4")
        return line + text_at(words, x=float(ends[0]) + 1.2, y=y - 1.0, size_pt=SMALL_PT, colour=COURT, halo=PAPER)

    def poses(self, poses: tuple[tuple[float, str], ...]) -> str:
        """Return a short upright line at each pose, and its name where there is room for it."""
        drawn, end, floor = [], -np.inf, self.height - BELOW_MM
        for share, name in poses:
            x = float(self.x(share))
            wide = text_width(name, LETTERS_PT)
            place = min(max(x, LEFT_MM + wide / 2 - 2), self.width - 0.8 - wide / 2)
            drawn.append(_path([x, x], [floor, floor + 1.6], colour=COURT, thick=0.35))
            if place - wide / 2 > end + 1.5:
                end = place + wide / 2
                drawn.append(text_at(name, x=place, y=floor + 5.4, size_pt=LETTERS_PT, colour=INK, anchor="middle"))
        return "".join(drawn)

    def axes_of(self, parts: tuple[CurvePart, ...]) -> str:
        """Return which axis is loaded: of a chain, one heading over each link."""
        drawn = []
        for part in parts:
            middle = float(self.x((part.share[0] + part.share[-1]) / 2))
            drawn.append(
                text_at(part.loads, x=middle, y=3.6, size_pt=LETTERS_PT, colour=INK, anchor="middle", bold=True)
            )
            if len(parts) > 1:
                ends = self.x(part.share[[0, -1]])
                drawn.append(_path([ends[0] + 0.6, ends[1] - 0.6], [5.0, 5.0], colour=COURT, thick=0.35))
        return "".join(drawn)

    def peak(self, curve: MomentCurve) -> str:
        x, y = float(self.x(curve.peak_share)), float(self.y(curve.peak.value))
        words = str(curve.peak)
        wide = text_width(words, LETTERS_PT)
        anchor, place = ("end", x - 1.6) if x + 1.6 + wide > self.width - 1 else ("start", x + 1.6)
        dot = f'<circle cx="{number(x)}" cy="{number(y)}" r="1" fill="{INK}"/>'
        return dot + text_at(
            words, x=place, y=y - 1.7, size_pt=LETTERS_PT, colour=INK, anchor=anchor, bold=True, halo=PAPER
        )


def _points(x: Array, y: Array) -> str:
    return "M" + "L".join(f"{number(float(a))} {number(float(b))}" for a, b in zip(x, y, strict=True))


def _path(x: Array | list[float], y: Array | list[float], *, colour: str, thick: float, dash: str = "") -> str:
    broken = f' stroke-dasharray="{dash}"' if dash else ""
    path = _points(np.asarray(x, dtype=float), np.asarray(y, dtype=float))
    return f'<path d="{path}" fill="none" stroke="{colour}" stroke-width="{number(thick)}"{broken}/>'
