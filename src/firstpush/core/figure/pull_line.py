"""The pull of a band as a stroke on a line: bands below each other show how far they lie apart."""

from __future__ import annotations

from firstpush.core.errors import OutOfRangeError
from firstpush.core.figure.palette import ACCENT, COURT
from firstpush.core.figure.svg import document, number
from firstpush.core.kit.bands import RANGE_FACTOR, BandLaw, describe_pull

WIDTH_MM, HEIGHT_MM = 60.0, 6.0
_EDGE_MM = 0.6
DOUBLE_LENGTH = 1.0


def pull_range(law: BandLaw) -> tuple[float, float] | None:
    """Return least and largest pull at double length, or at the limit where that is less [N]; None when not pulled.

    The range holds nine of ten pulls, as in `describe_pull`, and is not rounded.
    """
    if law.relative_spread is None:
        return None
    pull = float(law.tension(1.0 + min(DOUBLE_LENGTH, law.limit_elongation)))
    half = pull * law.relative_spread * RANGE_FACTOR.value
    return pull - half, pull + half


def draw_pull_line(law: BandLaw, *, top: float) -> str:
    """Return an SVG of a line from 0 to `top` [N], with the range of the band's pull on it.

    Raises
    ------
    OutOfRangeError
        When the pull is more than `top`.
    """
    found = pull_range(law)
    if not (top > 0.0 and (found is None or found[1] <= top * (1 + 1e-9))):
        raise OutOfRangeError(
            f"a line up to {top:g} N cannot show the band {law.name!r}, which pulls {describe_pull(law)}; the end must "
            "be above 0 N and not below that. Give the largest pull of all bands that are drawn below each other."
        )
    scale = (WIDTH_MM - 2 * _EDGE_MM) / top
    middle = HEIGHT_MM / 2
    body = (
        f'<path class="axis" d="M{number(_EDGE_MM)} {number(middle - 1.2)}v2.4M{number(_EDGE_MM)} {number(middle)}'
        f'H{number(WIDTH_MM - _EDGE_MM)}" stroke="{COURT}" stroke-width=".4" fill="none"/>'
    )
    if found is not None:
        low, high = found
        body += (
            f'<rect class="stroke" x="{number(_EDGE_MM + low * scale)}" y="{number(middle - 1.4)}"'
            f' width="{number((high - low) * scale)}" height="2.8" fill="{ACCENT}"/>'
        )
    return document(
        f'<g class="pull-line">{body}</g>',
        width_mm=WIDTH_MM,
        height_mm=HEIGHT_MM,
        title=f"Pull of {law.name}",
        description=f"{describe_pull(law)}, on a line from 0 to {top:.0f} N.".capitalize(),
        ground=None,
    )
