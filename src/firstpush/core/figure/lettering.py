"""What is lettered on a panel: its heading and its dimensions, clear of everything drawn."""

from __future__ import annotations

import numpy as np

from firstpush.core.figure.breaks import WAVE_MM
from firstpush.core.figure.labels import Lettered, lettered, placed, text_width
from firstpush.core.figure.one_frame import drawn_area
from firstpush.core.figure.outlines import Part, union
from firstpush.core.figure.palette import INK, PAPER, Scheme, grey
from firstpush.core.figure.picture import Picture
from firstpush.core.figure.svg import MM_PER_POINT, number, text_at

HEADING_PT = 9.0
SMALLEST_PT = 8.0
HEADING_MM = 6.6
HEADER_WIDTH_MM = 26.0
DISC_MM = 2.45


def heading(words: str, count: int, *, x: float, y: float, scheme: Scheme, room: float) -> str:
    """Return the number in a disc and the words beside it, in two lines where `room` [mm] is too small for one."""
    ink, paper = (INK, PAPER) if scheme == "paper" else (grey(INK), grey(PAPER))
    baseline = y + DISC_MM + 0.36 * HEADING_PT * MM_PER_POINT
    left = x + 2 * DISC_MM + 1.4
    disc = (
        f'<circle cx="{number(x + DISC_MM)}" cy="{number(y + DISC_MM)}" r="{number(DISC_MM)}" fill="{ink}"/>'
        + text_at(str(count), x=x + DISC_MM, y=baseline, size_pt=HEADING_PT, colour=paper, anchor="middle", bold=True)
    )
    free = room - (left - x) - 0.5
    size = HEADING_PT if text_width(words, HEADING_PT) <= free else SMALLEST_PT
    if text_width(words, size) <= free or " " not in words:
        return disc + text_at(words, x=left, y=baseline, size_pt=size, colour=ink)
    high = 1.16 * size * MM_PER_POINT
    rows = _two_rows(words)
    return disc + "".join(
        text_at(row, x=left, y=y + 0.80 * high + index * high, size_pt=size, colour=ink)
        for index, row in enumerate(rows)
    )


def _two_rows(words: str) -> tuple[str, str]:
    """Return `words` broken at the space that makes the two rows most alike in length."""
    parts = words.split()
    breaks = [(" ".join(parts[:i]), " ".join(parts[i:])) for i in range(1, len(parts))]
    return min(breaks, key=lambda rows: max(text_width(row, SMALLEST_PT) for row in rows))


def dimension_labels(
    picture: Picture,
    parts: list[Part],
    frame: int,
    *,
    width: float,
    height: float,
    left: float = 0.0,
    header: float = HEADER_WIDTH_MM,
) -> list[Lettered]:
    """Return the picture's dimensions placed on a panel from `left`, `width` by `height`, its heading `header` wide."""
    import shapely

    drawn = drawn_area(picture, parts, frame)
    if header > 0:
        drawn = union(drawn, shapely.box(left, 0, left + header, HEADING_MM))
    aside = [part.shape for part in parts if part.name == "base plate"]
    gap = None
    if picture.strip is not None:
        low, high = sorted((picture.strip.near_x, picture.strip.far_x))
        gap = shapely.box(low - WAVE_MM, 0.0, high + WAVE_MM, height)
        aside.append(gap)
    return placed(
        picture.scene.dimensions,
        picture.camera,
        drawn,
        page=(left + 0.4, 0.4, left + width - 0.4, height - 0.4),
        text_clear_of=union(*aside) if aside else None,
        upright_clear_of=gap,
    )


def letter_dimensions(
    picture: Picture,
    parts: list[Part],
    frame: int,
    *,
    width: float,
    height: float,
    scheme: Scheme,
    left: float = 0.0,
    header: float = HEADER_WIDTH_MM,
) -> tuple[str, float | None]:
    """Return the dimensions as SVG, and the page height at which the distance meets a break (None without one)."""
    if not picture.scene.dimensions:
        return "", None
    labels = dimension_labels(picture, parts, frame, width=width, height=height, left=left, header=header)
    strip = picture.strip
    if strip is None:
        return lettered(labels, scheme), None
    low, high = sorted((strip.near_x, strip.far_x))
    meets = None
    for item in labels:
        if item.dimension.kind == "distance":
            ends = np.stack([item.start, item.end])
            ends = ends[np.argsort(ends[:, 0])]
            meets = float(np.interp((low + high) / 2, ends[:, 0], ends[:, 1]))
    return lettered(labels, scheme, left_out=(low, high)), meets
