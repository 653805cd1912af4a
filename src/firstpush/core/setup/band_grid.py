"""Every way to lay a band for one exercise, and what each gives: the part of the search that is pure arithmetic.

Laid out as (band, strands) × tape mark S × anchor A × frame F. Nothing is solved for: a floor offers marks and tape
distances, so those are what is tried, and no V-shaped equation has to be inverted.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from firstpush.core.body.rotations import Array
from firstpush.core.exercises.definition import BandUse
from firstpush.core.kit.bands import BandLaw, slack_needed
from firstpush.core.kit.kit import Band
from firstpush.core.measured import Measured
from firstpush.core.setup.anchors import Anchors
from firstpush.core.setup.loads import NamedLoad
from firstpush.core.setup.pull_points import Line

MARK_STEP = Measured(
    name="step of tape marks on a band", value=0.10, unit="m", spread=0.0, source="", known="our choice"
)
SHORTEST_MARK = Measured(name="shortest slack length", value=0.30, unit="m", spread=0.0, source="", known="our choice")
LONGEST_MARK = Measured(name="longest slack length", value=2.00, unit="m", spread=0.0, source="", known="our choice")
MARK_SPREAD = Measured(
    name="slack length laid to a tape mark", value=0.0, unit="m", spread=0.015, source="", known="our choice"
)
PLACE_SPREAD = Measured(
    name="place of anchor and of chair, each", value=0.0, unit="m", spread=0.03, source="", known="our choice"
)
TAUT_FROM = Measured(
    name="smallest stretch in the working range",
    value=1.03,
    unit="1",
    spread=0.0,
    source="a band that goes slack jerks when it comes taut",
    known="our choice",
)
UPPER_SIGMAS = Measured(
    name="standard deviations to the upper 95 %",
    value=1.645,
    unit="1",
    spread=0.0,
    source="normal distribution",
    known="read",
)
STRANDS = (1, 2)


@dataclass(frozen=True, kw_only=True)
class Piece:
    """One band at one number of strands; `loop` says that one band serves both hands round the post."""

    band: Band
    law: BandLaw
    strands: int
    loop: bool
    longest_mark: float


@dataclass(frozen=True, kw_only=True)
class BandGrid:
    """All ways to lay the bands, before any hard check but those of length and stretch.

    Parameters
    ----------
    marks : array (S,)
        Slack lengths [m].
    stretch : tuple of array (S, A, F)
        For each line.
    peak : array (P, S, A)
        Largest load over the movement, of a chain's limiting link on the scale of its first [N·m]; NaN for a piece
        whose pull was never measured.
    lowest : array (P, S, A)
        Smallest load over the movement [N·m].
    first_to_peak : array (P, S, A)
        Load at the start over the largest.
    largest_stretch, smallest_stretch : array (S, A)
        With the spread of laying it.
    fits : dict of str to array (P, S, A) of bool
        Conditions of length and stretch, by what is wrong when they fail.
    """

    pieces: tuple[Piece, ...]
    marks: Array
    anchors: Anchors
    stretch: tuple[Array, ...]
    length: tuple[Array, ...]
    peak: Array
    lowest: Array
    first_to_peak: Array
    largest_stretch: Array
    smallest_stretch: Array
    fits: dict[str, NDArray[np.bool_]]


def pieces(bands: tuple[tuple[Band, BandLaw], ...], use: BandUse) -> tuple[Piece, ...]:
    """Return each band at one and two strands, with the longest slack length its material allows."""
    found = []
    for band, law in bands:
        if band.count < 1:
            continue
        own_each = use.grip == "each" and band.count >= 2
        hands = 2 if use.grip == "each" and not own_each else 1
        if hands == 2 and use.fixed_to == "chair" and use.chair_point != "backrest":
            continue  # one band for both hands can only run round the back
        for strands in STRANDS:
            # Material is hands × (strands × mark + wraps): linear in the mark.
            wraps = slack_needed(slack_length=1.0, strands=strands, hands=hands) - hands * strands
            longest = (band.length - wraps) / (hands * strands)
            found.append(
                Piece(
                    band=band, law=law, strands=strands, loop=hands == 2, longest_mark=min(longest, LONGEST_MARK.value)
                )
            )
    return tuple(found)


def band_grid(
    chosen: tuple[Piece, ...], places: Anchors, pull_lines: tuple[Line, ...], load: NamedLoad | None
) -> BandGrid:
    """Return what every piece × mark × anchor gives over the movement.

    Parameters
    ----------
    chosen : tuple of Piece
    places : Anchors
        A places.
    pull_lines : tuple of Line
        Over F frames.
    load : NamedLoad or None

    Returns
    -------
    BandGrid
    """
    count = round((LONGEST_MARK.value - SHORTEST_MARK.value) / MARK_STEP.value) + 1
    marks: Array = np.round(SHORTEST_MARK.value + MARK_STEP.value * np.arange(count, dtype=float), 3)
    lengths, coefficients, stretches = [], [], []
    for line in pull_lines:
        way = np.broadcast_to(line.way_to(places.points), (places.points.shape[0], *line.start.shape))
        length = np.linalg.norm(way, axis=-1)
        unit = way / length[..., None]
        coefficient = np.zeros_like(length)
        if load is not None:
            for side, share in line.shares.items():
                if side in load.levers:
                    coefficient += share * np.einsum("afx,fx->af", unit, load.levers[side])
        lengths.append(length)
        coefficients.append(coefficient)
        stretches.append(length[None] / marks[:, None, None])
    laid = [line.end is None for line in pull_lines]
    largest, smallest = _with_spread(stretches, lengths, marks, laid)
    shape = (len(chosen), marks.size, places.points.shape[0])
    peak, lowest, first = np.full(shape, np.nan), np.full(shape, np.nan), np.full(shape, np.nan)
    gravity = 0.0 if load is None else load.gravity
    rubber = [_rubber(stretch) for stretch in stretches]
    for index, piece in enumerate(chosen):
        if piece.law.c1 is None or piece.law.c2 is None:
            continue
        total: Array = np.broadcast_to(gravity, stretches[0].shape).astype(float)
        for (first_term, second_term), coefficient in zip(rubber, coefficients, strict=True):
            pull = piece.strands * (piece.law.c1 * first_term + piece.law.c2 * second_term)
            total = total + pull * coefficient[None]
        if load is not None:
            total = load.compared(total)
        peak[index], lowest[index] = total.max(axis=-1), total.min(axis=-1)
        first[index] = total[..., 0] / np.maximum(peak[index], 1e-9)
    longest = np.array([piece.longest_mark for piece in chosen])[:, None, None]
    limit = np.array([1 + piece.law.limit_elongation for piece in chosen])[:, None, None]
    fits = {
        "the piece is too short": np.broadcast_to(marks[None, :, None] <= longest + 1e-9, shape),
        "stretched over the band's limit": np.broadcast_to(largest[None] <= limit, shape),
        "slack inside the movement": np.broadcast_to(smallest[None] >= TAUT_FROM.value, shape),
    }
    return BandGrid(
        pieces=chosen,
        marks=marks,
        anchors=places,
        stretch=tuple(stretches),
        length=tuple(lengths),
        peak=peak,
        lowest=lowest,
        first_to_peak=first,
        largest_stretch=largest,
        smallest_stretch=smallest,
        fits=fits,
    )


def _rubber(stretch: Array) -> tuple[Array, Array]:
    """Return what c1 and c2 of the band law are multiplied by; nothing below slack length."""
    taut = np.maximum(stretch, 1.0)
    first = taut - taut**-2
    return first, first / taut


def _with_spread(stretches: list[Array], lengths: list[Array], marks: Array, laid: list[bool]) -> tuple[Array, Array]:
    """Return largest and smallest stretch (S, A) over lines and frames, at the upper and lower 95 %.

    Only a line to a post is `laid` on the floor, with the spread of placing anchor and chair.
    """
    of_mark = (MARK_SPREAD.spread / marks)[:, None, None]
    upper, lower = [], []
    for stretch, length, on_floor in zip(stretches, lengths, laid, strict=True):
        of_place = np.sqrt(2) * PLACE_SPREAD.spread / length[None] if on_floor else 0.0
        relative = np.hypot(of_mark, of_place)
        upper.append((stretch * (1 + UPPER_SIGMAS.value * relative)).max(axis=-1))
        lower.append((stretch * (1 - UPPER_SIGMAS.value * relative)).min(axis=-1))
    return np.max(upper, axis=0), np.min(lower, axis=0)
