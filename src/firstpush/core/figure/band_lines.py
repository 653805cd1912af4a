"""The band: where it is seen, where it runs behind something, and how thin it is when stretched."""

from __future__ import annotations

import numpy as np

from firstpush.core.body.rotations import Array
from firstpush.core.figure.hand import handle_ends
from firstpush.core.figure.outlines import Geometry, Layer, Part, line
from firstpush.core.figure.palette import ACCENT, INK, PAPER, WEIGHTS
from firstpush.core.figure.scene import Scene
from firstpush.core.figure.view import Camera
from firstpush.core.people.athlete import Side

SAMPLES = 160
JUNCTION_M = 0.10
"""Where the two straps of a handle meet, from the grip centre along the band."""
MARK_SPACING_M = 0.10
"""Slack length between two marks on the drawn band: they draw apart as the band is stretched, as on a real one."""
EDGE = 0.14
JOINED_HANDS_M = 0.16
"""Hands this near each other hold the band together."""
FULL_WEIGHT_SCALE = 34.0
"""Millimetres on paper per metre from which the band has its full weight; below, it thins with the figure."""


def seen_pieces(points: Array, camera: Camera, parts: list[Part], *, skip: set[str]) -> tuple[list[Array], list[Array]]:
    """Return the runs of `points` (n, 3) that are seen, and those behind a part, as page lines [mm]."""
    import shapely

    seen = camera.project(points)
    hidden = np.zeros(len(points), dtype=bool)
    for part in parts:
        if part.name in skip:
            continue
        inside = shapely.contains_xy(part.opaque, seen.xy)
        if inside.any():
            front = part.balls.front(seen.xy[inside])
            hidden[inside] |= front > seen.depth[inside] + 0.004 * camera.scale
    pieces: tuple[list[Array], list[Array]] = ([], [])
    start = 0
    for index in range(1, len(points) + 1):
        if index == len(points) or hidden[index] != hidden[start]:
            run = seen.xy[start : min(index + 1, len(points))]
            if len(run) > 1:
                pieces[int(hidden[start])].append(run)
            start = index
    return pieces


def band_layers(scene: Scene, camera: Camera, frame: int, parts: list[Part]) -> list[Layer]:
    """Return the band of every pulling hand in `frame`, over the `parts` that are drawn."""
    band = scene.band
    if band is None or scene.anchor is None:
        return []
    layers: list[Layer] = []
    for side, start in pulls(scene, frame):
        layers += _one_band(scene, camera, frame, parts, side, start)
    # Every casing lies under every band: where two bands run close, neither cuts the other.
    return sorted(layers, key=lambda layer: layer.stroke != PAPER or bool(layer.dash))


def pulls(scene: Scene, frame: int) -> list[tuple[Side, Array]]:
    """Return where each drawn band begins (3,) [m]; hands that are joined pull on one, from their middle."""
    if scene.band is None:
        return []
    found = [(side, scene.pull_point(side)[frame]) for side in scene.band.hands]
    if len(found) == 2 and float(np.linalg.norm(found[0][1] - found[1][1])) < JOINED_HANDS_M:
        return [(found[0][0], (found[0][1] + found[1][1]) / 2)]
    return found


def _one_band(scene: Scene, camera: Camera, frame: int, parts: list[Part], side: Side, start: Array) -> list[Layer]:
    band, anchor = scene.band, scene.anchor
    assert band is not None
    assert anchor is not None
    whole = float(np.linalg.norm(anchor - start))
    way = (anchor - start) / whole
    stretch = float(band.stretch[side][frame])
    small = float(np.clip(camera.scale / FULL_WEIGHT_SCALE, 0.72, 1.0))
    width = 1.15 * small * WEIGHTS.band / np.sqrt(max(stretch, 1.0))
    skip = {"post", "rail", "base plate"}
    layers: list[Layer] = []
    joined = len(band.hands) == 2 and len(pulls(scene, frame)) == 1
    if band.attach_of(side) == "hand" and band.grip == "handle" and not joined:
        junction = start + way * min(JUNCTION_M, 0.3 * whole)
        for end in handle_ends(scene.skeleton.arms[side], side, frame, scene.body.hand.value):
            strap = end + np.linspace(0, 1, 24)[:, None] * (junction - end)
            visible, _ = seen_pieces(strap, camera, parts, skip=skip)
            for piece in visible:
                for colour, share in ((INK, 0.55), (ACCENT, 0.32)):
                    wide = share * small * WEIGHTS.band
                    layers.append(Layer(geometry=line(piece), stroke=colour, width=wide, cap="butt", role="detail"))
        start = junction
    for cuffed in band.hands if joined else (side,):
        if band.attach_of(cuffed) != "hand":
            skip |= _cuffed(band.attach_of(cuffed), cuffed)
    points = start + np.linspace(0, 1, SAMPLES)[:, None] * (anchor - start)
    visible, hidden = seen_pieces(points, camera, parts, skip=skip)
    page = camera.project(np.stack([start, anchor])).xy
    shown = float(np.linalg.norm(page[1] - page[0]))
    length = float(np.linalg.norm(anchor - start))
    mark = MARK_SPACING_M * stretch * shown / length
    if band.strands > 1:
        width *= 0.8
    offsets = (0.0,) if band.strands == 1 else (-0.5 * width - 0.1, 0.5 * width + 0.1)
    normal = np.array([-(page[1] - page[0])[1], (page[1] - page[0])[0]]) / max(shown, 1e-9)
    for offset in offsets:
        for piece in hidden:
            layers.append(
                Layer(
                    geometry=line(piece[[0, -1]] + offset * normal),
                    stroke=ACCENT,
                    width=0.3,
                    cap="butt",
                    dash=(0.7, 0.7),
                    role="detail",
                )
            )
    for offset in offsets:
        for piece in visible:
            layers += _ribbon(line(piece[[0, -1]] + offset * normal), width, marks=mark)
    return layers


def _cuffed(attach: str, side: Side) -> set[str]:
    """Return the parts that a cuff sits on: its band starts at their surface."""
    return {
        "wrist_cuff": {f"forearm {side}", f"hand {side}"},
        "forearm_cuff": {f"forearm {side}", f"upper arm {side}"},
        "upper_arm_cuff": {f"upper arm {side}", f"forearm {side}"},
    }[attach]


def _ribbon(path: Geometry, width: float, *, marks: float | None) -> list[Layer]:
    """Return a band along `path`: pale casing, ink edge, its colour, and marks `marks` mm apart."""
    layers = [
        Layer(geometry=path, stroke=PAPER, width=width + 2 * WEIGHTS.casing, cap="butt", role="detail"),
        Layer(geometry=path, stroke=INK, width=width, cap="butt", role="detail"),
        Layer(geometry=path, stroke=ACCENT, width=width - 2 * EDGE, cap="butt", role="detail"),
    ]
    if marks is not None and marks > 1.0:
        layers.append(
            Layer(
                geometry=path,
                stroke=PAPER,
                width=width - 2 * EDGE,
                cap="butt",
                dash=(0.28, marks - 0.28),
                role="detail",
            )
        )
    return layers


def path_layers(points: Array, hand: Geometry, *, closed: bool = False) -> list[Layer]:
    """Return the dotted way of a hand over page `points` (n, 2), with an arrow head where it stops before `hand`.

    A `closed` way is drawn in every piece that the hand leaves of it.
    """
    import shapely

    whole = line(points)
    if whole.length < 1.5:
        return []
    free = whole.difference(hand.buffer(0.35))
    pieces = [piece for piece in shapely.get_parts(free) if piece.geom_type == "LineString" and piece.length > 2.6]
    ways = pieces if closed else [max(pieces, key=lambda piece: piece.length)] if pieces else [whole]
    return [layer for way in ways for layer in arrowed(way)]


def arrowed(way: Geometry, *, colour: str = ACCENT) -> list[Layer]:
    """Return a dotted line along `way` with an arrow head at its end."""
    import shapely
    from shapely.ops import substring

    coordinates = shapely.get_coordinates(way)
    head = float(np.clip(0.22 * way.length, 1.4, 1.9))
    tip = coordinates[-1]
    back = np.array(way.interpolate(way.length - min(head, 0.45 * way.length)).coords[0])
    direction = (tip - back) / np.linalg.norm(tip - back)
    across = np.array([-direction[1], direction[0]])
    arrow = shapely.Polygon(
        [
            tip,
            tip - head * direction + 0.80 * across,
            tip - 0.75 * head * direction,
            tip - head * direction - 0.42 * head * across,
        ]
    )
    stem = substring(way, 0.0, way.length - 0.8 * min(head, 0.45 * way.length))
    return [
        Layer(geometry=stem, stroke=PAPER, width=WEIGHTS.path + 0.5, role="detail"),
        Layer(geometry=arrow, stroke=PAPER, width=0.55, role="detail"),
        Layer(geometry=stem, stroke=colour, width=WEIGHTS.path, dash=(0.01, 0.95), role="detail"),
        Layer(geometry=arrow, fill=colour),
    ]
