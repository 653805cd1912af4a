"""Moving drawings: the frames of a movement as one SVG that a style sheet steps through."""

from __future__ import annotations

import zlib
from collections import Counter
from collections.abc import Iterable
from dataclasses import replace

import numpy as np

from firstpush.core.errors import OutOfRangeError
from firstpush.core.figure.band_lines import band_layers, tie_layers
from firstpush.core.figure.breaks import break_layers
from firstpush.core.figure.figure_parts import Static, ordered_parts, static_parts
from firstpush.core.figure.one_frame import break_spans, hand_paths
from firstpush.core.figure.outlines import Layer, Part
from firstpush.core.figure.palette import PAPER, Scheme, grey
from firstpush.core.figure.picture import Picture, pictured
from firstpush.core.figure.scene import Scene
from firstpush.core.figure.surroundings import anchor_layers, floor_layers
from firstpush.core.figure.svg import document, paint_all
from firstpush.core.figure.view import Camera

FRAMES_SHOWN = 18
COARSER_MM = 0.08
GRID_MM = 0.1
"""What moves is drawn a little coarser than in a still, and without shade: each is seen for a tenth of a second."""


def draw_moving(
    scene: Scene,
    *,
    width_mm: float = 60.0,
    height_mm: float = 66.0,
    title: str,
    description: str,
    out_s: float = 2.0,
    hold_s: float = 0.6,
    back_s: float = 2.0,
    rest_s: float = 0.6,
    loop: bool = False,
    scheme: Scheme = "paper",
    view: Camera | None = None,
    ground: bool = True,
) -> str:
    """Return an SVG of `scene` that moves from start to end and back, without script.

    Parameters
    ----------
    width_mm, height_mm : float
        Size of the `viewBox` [mm].
    title, description : str
        For those who hear the drawing.
    out_s, hold_s, back_s, rest_s : float
        Times of the way out, the hold, the way back and the rest at the start [s].
    loop : bool
        All frames in one round, the last like the first (a circle): no way back.

    Returns
    -------
    str
        Who asks for less motion sees the end with the way of the hands.
    """
    if min(out_s, back_s) <= 0 or min(hold_s, rest_s) < 0:
        raise OutOfRangeError(
            f"times of {out_s}, {hold_s}, {back_s} and {rest_s} s cannot be shown; the ways out and back last longer "
            "than 0 s, holds 0 s or more; give such times."
        )
    first, last = scene.start % scene.frames, scene.end % scene.frames
    # A circle is shown whole; its last frame is its first and would stand still for two.
    begin, finish = (0.0, scene.frames - 2.0) if loop else (float(first), float(last))
    shown = list(dict.fromkeys(np.round(np.linspace(begin, finish, FRAMES_SHOWN)).astype(int).tolist()))
    scene = replace(scene, dimensions=())
    picture = pictured(scene, left=0, top=0, width=width_mm, height=height_mm, view=view, frames=tuple(shown))
    scene, camera = picture.scene, picture.camera
    static = static_parts(scene, camera, shaded=False)
    broken = ""
    if picture.strip is not None:
        broken = "".join(
            paint_all(break_layers(picture.strip, top=top, bottom=bottom, far=True), scheme)
            for top, bottom in break_spans(picture, shown)
        )
    bodies = [_frame(picture, static, frame, scheme) for frame in shown]
    paths = paint_all(hand_paths(scene, camera, bodies[-1][1]), scheme)
    name = f"m{zlib.crc32(''.join(text for texts, _ in bodies for text in texts).encode()):x}"
    times = _times(len(shown), out_s=out_s, hold_s=hold_s, back_s=back_s, rest_s=rest_s, loop=loop)
    defined, groups = _shared([texts for texts, _ in bodies], name)
    style = _style(name, len(groups), times)
    frames = "".join(f'<g class="{name} {name}-{index}">{group}</g>' for index, group in enumerate(groups))
    still = f'<g class="{name}p">{paths}</g>'
    paper = (PAPER if scheme == "paper" else grey(PAPER)) if ground else None
    return document(
        paint_all(floor_layers(scene, camera), scheme) + frames + broken + still,
        width_mm=width_mm,
        height_mm=height_mm,
        title=title,
        description=description,
        ground=paper,
        head=f"<style>{style}</style><defs>{defined}</defs>",
    )


def _frame(picture: Picture, static: Static, frame: int, scheme: Scheme) -> tuple[list[str], list[Part]]:
    """Return one frame as SVG text part by part, and its parts."""
    scene, camera, strip = picture.scene, picture.camera, picture.strip
    parts = ordered_parts(scene, camera, static, frame)
    texts = []
    for part in parts:
        texts.append(static.paint(part, scheme, _coarse if part.moves else paint_all))
    over = band_layers(scene, camera, frame, parts, strip=strip) + tie_layers(scene, camera, frame, parts)
    texts.append(paint_all(over, scheme))
    texts.append(paint_all(anchor_layers(scene, camera), scheme))
    return [text for text in texts if text], parts


def _coarse(layers: Iterable[Layer], scheme: Scheme) -> str:
    """Return what moves as SVG text, a little coarser and without shade."""
    import shapely

    shown = [layer for layer in layers if layer.role != "shade"]
    # What is thinner than that falls away; that outlines stay apart from each other matters to no painter.
    simple = shapely.simplify(
        np.array([layer.geometry for layer in shown], dtype=object), COARSER_MM, preserve_topology=False
    )
    snapped = shapely.transform(simple, lambda xy: np.round(xy / GRID_MM) * GRID_MM)
    return paint_all(
        [replace(layer, geometry=geometry) for layer, geometry in zip(shown, snapped, strict=True)], scheme
    )


def _shared(bodies: list[list[str]], name: str) -> tuple[str, list[str]]:
    """Return definitions of what several frames share, and the frames that use them."""
    counted = Counter(text for texts in bodies for text in texts)
    known: dict[str, str] = {}
    for texts in bodies:
        for text in texts:
            if counted[text] > 1 and text not in known:
                known[text] = f"{name}{len(known)}"
    defined = "".join(f'<g id="{key}">{text}</g>' for text, key in known.items())
    groups = ["".join(f'<use href="#{known[text]}"/>' if text in known else text for text in texts) for texts in bodies]
    return defined, groups


def _times(
    count: int, *, out_s: float, hold_s: float, back_s: float, rest_s: float, loop: bool
) -> list[tuple[int, float]]:
    """Return (frame, how long it is shown [s]) in the order of showing."""
    if loop:
        return [(index, out_s / count) for index in range(count)]
    if count == 1:
        return [(0, out_s + hold_s + back_s + rest_s)]
    steps = count - 1
    out = [(index, out_s / steps) for index in range(steps)]
    back = [(index, back_s / steps) for index in range(steps, 0, -1)]
    back[0] = (steps, back_s / steps + hold_s)
    return [(0, rest_s), *out, *back]


def _style(name: str, count: int, times: list[tuple[int, float]]) -> str:
    """Return the style sheet: each frame is seen in its own spans of one common cycle."""
    cycle = sum(seconds for _, seconds in times)
    spans: list[list[tuple[float, float]]] = [[] for _ in range(count)]
    clock = 0.0
    for frame, seconds in times:
        begin, end = 100 * clock / cycle, 100 * (clock + seconds) / cycle
        if spans[frame] and abs(spans[frame][-1][1] - begin) < 1e-9:
            spans[frame][-1] = (spans[frame][-1][0], end)
        else:
            spans[frame].append((begin, end))
        clock += seconds
    rules = [f".{name},.{name}p{{visibility:hidden}}.{name}{{animation:{cycle:.2f}s step-end infinite}}"]
    for frame, own in enumerate(spans):
        visible = ",".join(f"{begin:.2f}%" for begin, _ in own)
        hidden = ",".join(
            f"{value:.2f}%" for value in [*([0.0] if own[0][0] > 0 else []), *(end for _, end in own if end < 99.999)]
        )
        other = f"{hidden}{{visibility:hidden}}" if hidden else ""
        rules.append(f"@keyframes {name}-{frame}{{{other}{visible}{{visibility:visible}}}}")
        rules.append(f".{name}-{frame}{{animation-name:{name}-{frame}}}")
    still = f".{name}{{animation:none}}.{name}-{count - 1},.{name}p{{visibility:visible}}"
    rules.append(f"@media (prefers-reduced-motion:reduce){{{still}}}")
    return "".join(rules)
