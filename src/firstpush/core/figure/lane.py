"""A push lane from above: lengths at rising speeds, the short sides pulled backwards."""

from __future__ import annotations

import numpy as np

from firstpush.core.body.rotations import Array
from firstpush.core.errors import OutOfRangeError
from firstpush.core.figure.chair_from_above import chair_from_above
from firstpush.core.figure.labels import text_width
from firstpush.core.figure.outlines import Layer, line
from firstpush.core.figure.palette import COURT, INK, PAPER, SAND, WEIGHTS, Scheme, grey
from firstpush.core.figure.svg import MM_PER_POINT, document, number, paint_all, text_at
from firstpush.core.people.athlete import Chair

LETTERING_PT = 9.0
LABEL_PT = 10.0
MARGIN_LEFT_MM = 21.0
MARGIN_RIGHT_MM = 9.0
MARGIN_TOP_MM = 13.0
MARGIN_BOTTOM_MM = 15.0
LIGHTEST_MM, HEAVIEST_MM = 0.55, 1.5
"""Line weight at the lowest and at full speed: effort is read without colour."""


def draw_push_lane(
    *,
    length_m: float,
    speeds: tuple[float, ...] = (0.25, 0.50, 0.75, 1.00),
    side_m: float = 3.5,
    chair: Chair,
    width_mm: float = 136.0,
    height_mm: float = 90.0,
    title: str,
    description: str,
    scheme: Scheme = "paper",
    ground: bool = True,
) -> str:
    """Return an SVG plan of push lengths to one scale.

    Parameters
    ----------
    length_m : float
        Length pushed at each speed [m].
    speeds : tuple of float
        Shares of the fastest push, in their order, 0 to 1.
    side_m : float
        Short side between two lengths, pulled backwards [m].
    chair : Chair
        Drawn at the start, to the same scale.
    width_mm : float
        Width on paper [mm]; lettering is 9 pt or more at this size.
    height_mm : float
        Greatest height [mm]; the drawing is as high as it needs to be to one scale.
    title, description : str
        For those who hear the drawing.

    Returns
    -------
    str
        SVG, `viewBox` in millimetres.
    """
    if not speeds or min(speeds) <= 0 or max(speeds) > 1:
        raise OutOfRangeError(
            f"speeds of {speeds} cannot be drawn; each is above 0 and at most 1; give shares of the fastest push."
        )
    if length_m <= 0 or side_m <= 0:
        raise OutOfRangeError(
            f"a lane {length_m} m long with sides of {side_m} m cannot be drawn; both are above 0 m; give such lengths."
        )
    rows = len(speeds)
    room_across = width_mm - MARGIN_LEFT_MM - MARGIN_RIGHT_MM
    room_down = height_mm - MARGIN_TOP_MM - MARGIN_BOTTOM_MM
    scale = min(room_across / length_m, room_down / (side_m * (rows - 1)) if rows > 1 else np.inf)
    left = MARGIN_LEFT_MM + (room_across - scale * length_m) / 2
    right, top = left + scale * length_m, MARGIN_TOP_MM
    ys = top + scale * side_m * np.arange(rows)
    layers: list[Layer] = []
    words: list[str] = []
    ink, paper = (INK, PAPER) if scheme == "paper" else (grey(INK), grey(PAPER))
    half = 0.5 * chair.overall_width * scale
    for row, y in enumerate(ys):
        end = right if row % 2 == 0 else left
        layers.append(Layer(geometry=line(np.array([(left, y), (right, y)])).buffer(half), fill=SAND))
        if row + 1 < rows:
            layers.append(Layer(geometry=line(np.array([(end, y), (end, ys[row + 1])])).buffer(half), fill=SAND))
    for row, (share, y) in enumerate(zip(speeds, ys, strict=True)):
        start, end = (left, right) if row % 2 == 0 else (right, left)
        layers += _forward(np.array([start, y]), np.array([end, y]), share, clear=0.9 * scale if row == 0 else 0.0)
        if row + 1 < rows:
            layers += _backward(np.array([end, y]), np.array([end, ys[row + 1]]))
        label = f"{row + 1} · {round(100 * share)} %"
        words.append(
            text_at(
                label,
                x=(left + right) / 2,
                y=y - max(half, 1.2) - 1.0,
                size_pt=LABEL_PT,
                colour=ink,
                anchor="middle",
                bold=True,
            )
        )
    layers += chair_from_above(chair, scale=scale, x=left, y=float(ys[0]))
    finish = left if rows % 2 == 0 else right
    down = max(half, 1.2) + 0.9 + LETTERING_PT * MM_PER_POINT * 0.75
    words += [
        _word("Start", left, float(ys[0]) + down, width_mm, ink),
        _word("Finish", finish, float(ys[-1]) + down, width_mm, ink),
    ]
    words.append(_dimension(np.array([left, 5.2]), np.array([right, 5.2]), f"{length_m:g} m", ink, paper))
    if rows > 1:
        x = left - max(half, 1.2) - 4.0
        words.append(_dimension(np.array([x, ys[0]]), np.array([x, ys[1]]), f"{side_m:g} m", ink, paper))
    height = min(height_mm, float(ys[-1]) + down + 9.0)
    words.append(_legend(left, height - 2.2, ink, scheme))
    ground_colour = paper if ground else None
    return document(
        paint_all(layers, scheme) + "".join(words),
        width_mm=width_mm,
        height_mm=height,
        title=title,
        description=description,
        ground=ground_colour,
    )


def _word(words: str, x: float, y: float, width_mm: float, ink: str) -> str:
    half = text_width(words, LETTERING_PT) / 2
    return text_at(
        words,
        x=float(np.clip(x, half + 0.5, width_mm - half - 0.5)),
        y=y,
        size_pt=LETTERING_PT,
        colour=ink,
        anchor="middle",
    )


def _head(tip: Array, way: Array, size: float) -> Array:
    across = np.array([-way[1], way[0]])
    return np.array([tip, tip - size * way + 0.42 * size * across, tip - size * way - 0.42 * size * across])


def _forward(start: Array, end: Array, share: float, *, clear: float) -> list[Layer]:
    """Return a solid line with filled heads, heavier the faster; it begins `clear` mm after the start."""
    import shapely

    way = (end - start) / np.linalg.norm(end - start)
    begin = start + clear * way
    weight = LIGHTEST_MM + (HEAVIEST_MM - LIGHTEST_MM) * share
    size = 2.2 + 1.4 * share
    length = float(np.linalg.norm(end - begin))
    layers = [
        Layer(
            geometry=line(np.stack([begin, end - 0.6 * size * way])),
            stroke=COURT,
            width=weight,
            cap="butt",
            role="detail",
        )
    ]
    for at in (0.25, 0.75, 1.0):
        tip = begin + at * length * way
        layers.append(Layer(geometry=shapely.Polygon(_head(tip, way, size)), fill=COURT))
    return layers


def _backward(start: Array, end: Array) -> list[Layer]:
    """Return a dashed line with a hollow head."""
    import shapely

    way = (end - start) / np.linalg.norm(end - start)
    tip = (start + end) / 2 + 1.5 * way
    head = shapely.Polygon(_head(tip, way, 3.0))
    ends = np.stack([start + 1.2 * way, end - 1.2 * way])
    return [
        Layer(geometry=line(ends), stroke=INK, width=0.6, cap="butt", dash=(1.6, 1.0), role="detail"),
        Layer(geometry=head, fill=PAPER),
        Layer(geometry=head.boundary, stroke=INK, width=0.4, role="detail"),
    ]


def _dimension(a: Array, b: Array, text: str, ink: str, paper: str) -> str:
    way = (b - a) / np.linalg.norm(b - a)
    middle = (a + b) / 2
    height = LETTERING_PT * MM_PER_POINT
    out = [_path([a, b], f'fill="none" stroke="{ink}" stroke-width="{number(WEIGHTS.dimension)}"')]
    out += [_path(list(_head(tip, sign * way, 1.6)), f'fill="{ink}"') for tip, sign in ((a, -1.0), (b, 1.0))]
    half = text_width(text, LETTERING_PT) / 2 + 0.6
    low, high = middle - (half, 0.55 * height), middle + (half, 0.55 * height)
    out.append(_path([low, np.array([high[0], low[1]]), high, np.array([low[0], high[1]])], f'fill="{paper}"'))
    baseline = float(middle[1]) + 0.34 * height
    out.append(text_at(text, x=float(middle[0]), y=baseline, size_pt=LETTERING_PT, colour=ink, anchor="middle"))
    return "".join(out)


def _path(points: list[Array], paint: str) -> str:
    return f'<path d="M{"L".join(f"{number(x)} {number(y)}" for x, y in points)}" {paint}/>'


def _legend(x: float, y: float, ink: str, scheme: Scheme) -> str:
    sample = [
        *_forward(np.array([x, y - 1.1]), np.array([x + 9.0, y - 1.1]), 0.5, clear=0.0)[::3],
        *_forward(np.array([x, y - 1.1]), np.array([x + 9.0, y - 1.1]), 0.5, clear=0.0)[:1],
    ]
    second = x + 11.0 + text_width("pushed forward", LETTERING_PT) + 6.0
    sample += _backward(np.array([second, y - 1.1]), np.array([second + 9.0, y - 1.1]))
    return (
        paint_all(sample, scheme)
        + text_at("pushed forward", x=x + 11.0, y=y, size_pt=LETTERING_PT, colour=ink)
        + text_at("pulled backward", x=second + 11.0, y=y, size_pt=LETTERING_PT, colour=ink)
    )
