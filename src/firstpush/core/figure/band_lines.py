"""The band: where it is seen, where it runs behind something, and how thin it is when stretched."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from firstpush.core.body.rotations import Array
from firstpush.core.figure.breaks import Strip
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
LEAST_TIE_MM = 0.75
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


@dataclass(frozen=True, kw_only=True)
class Run:
    """One drawn line of band in one frame: whose it is, and its two true ends (3,) [m]."""

    side: Side
    start: Array
    end: Array
    joined: bool = False


def runs(scene: Scene, frame: int) -> list[Run]:
    """Return the lines of band in `frame`; hands that are joined pull on one, from their middle."""
    if scene.band is None:
        return []
    found = [
        Run(side=side, start=scene.pull_point(side)[frame], end=scene.band_end(side)[frame])
        for side in scene.band.hands
    ]
    if len(found) == 2 and float(np.linalg.norm(found[0].start - found[1].start)) < JOINED_HANDS_M:
        first, second = found
        if float(np.linalg.norm(first.end - second.end)) < JOINED_HANDS_M:
            return [Run(side=first.side, start=(first.start + second.start) / 2, end=first.end, joined=True)]
    return found


def band_layers(scene: Scene, camera: Camera, frame: int, parts: list[Part], *, strip: Strip | None) -> list[Layer]:
    """Return the band of every pulling hand in `frame`, over the `parts` that are drawn; `strip` breaks it."""
    if scene.band is None:
        return []
    layers: list[Layer] = []
    for run in runs(scene, frame):
        layers += _one_band(scene, camera, frame, parts, run, strip)
    # Every casing lies under every band: where two bands run close, neither cuts the other.
    return sorted(layers, key=lambda layer: layer.stroke != PAPER or bool(layer.dash))


def drawn_runs(
    scene: Scene, camera: Camera, run: Run, strip: Strip | None, *, count: int = 2
) -> list[tuple[Array, bool]]:
    """Return the pieces of `run` as points (count, 3) [m] and whether each is the far one, beyond the break."""
    share = np.linspace(0.0, 1.0, count)[:, None]
    whole = run.start + share * (run.end - run.start)
    if strip is None or scene.cut is None:
        return [(whole, False)]
    pieces = []
    near = strip.near(camera, run.start, run.end)
    if near > 0:
        pieces.append((run.start + share * near * (run.end - run.start), False))
    far = strip.far(camera, run.start - scene.cut, run.end - scene.cut)
    if scene.post_shown and far < 1:
        pieces.append((run.start - scene.cut + (far + share * (1 - far)) * (run.end - run.start), True))
    return pieces


def _one_band(
    scene: Scene, camera: Camera, frame: int, parts: list[Part], run: Run, strip: Strip | None
) -> list[Layer]:
    band, side = scene.band, run.side
    assert band is not None
    whole = float(np.linalg.norm(run.end - run.start))
    way = (run.end - run.start) / whole
    stretch = float(band.stretch[side][frame])
    small = float(np.clip(camera.scale / FULL_WEIGHT_SCALE, 0.72, 1.0))
    width = 1.15 * small * WEIGHTS.band / np.sqrt(max(stretch, 1.0))
    skip = {"post", "rail", "base plate"}
    if band.fixed_to == "chair":
        skip |= _chair_skipped(run, camera)
    layers: list[Layer] = []
    start, end = run.start, run.end
    if band.grip == "handle" and not run.joined:
        held: list[tuple[Side, Array]] = [(side, start)] if band.attach_of(side) == "hand" else []
        other: Side = "left" if side == "right" else "right"
        if band.fixed_to == "other hand" and band.attach_of(other) == "hand":
            held.append((other, end))
        for hand, place in held:
            inward = way if hand == side else -way
            junction = place + inward * min(JUNCTION_M, 0.3 * whole)
            layers += _straps(scene, camera, frame, parts, hand, junction, small)
            start, end = (junction, end) if hand == side else (start, junction)
    for cuffed in band.hands if run.joined else band.tied_to if band.fixed_to == "other hand" else (side,):
        if band.attach_of(cuffed) != "hand":
            skip |= _cuffed(band.attach_of(cuffed), cuffed)
    whole_page = camera.project(np.stack([start, end])).xy
    shown = float(np.linalg.norm(whole_page[1] - whole_page[0]))
    mark = MARK_SPACING_M * stretch * shown / max(float(np.linalg.norm(end - start)), 1e-9)
    if band.strands > 1:
        width *= 0.8
    offsets = (0.0,) if band.strands == 1 else (-0.5 * width - 0.1, 0.5 * width + 0.1)
    normal = np.array([-(whole_page[1] - whole_page[0])[1], (whole_page[1] - whole_page[0])[0]]) / max(shown, 1e-9)
    shortened = Run(side=side, start=start, end=end)
    found = [
        seen_pieces(points, camera, parts, skip=skip)
        for points, _ in drawn_runs(scene, camera, shortened, strip, count=SAMPLES)
    ]
    for offset in offsets:
        layers += [_behind(line(piece[[0, -1]] + offset * normal)) for _, hidden in found for piece in hidden]
    for offset in offsets:
        for visible, _ in found:
            for piece in visible:
                layers += _ribbon(line(piece[[0, -1]] + offset * normal), width, marks=mark)
    return layers


def _straps(
    scene: Scene, camera: Camera, frame: int, parts: list[Part], hand: Side, junction: Array, small: float
) -> list[Layer]:
    """Return the two straps of a handle, from its ends to where they meet the band."""
    layers: list[Layer] = []
    for end in handle_ends(scene.skeleton.arms[hand], hand, frame, scene.body.hand.value):
        strap = end + np.linspace(0, 1, 24)[:, None] * (junction - end)
        visible, _ = seen_pieces(strap, camera, parts, skip={"post", "rail", "base plate"})
        for piece in visible:
            for colour, share in ((INK, 0.55), (ACCENT, 0.32)):
                wide = share * small * WEIGHTS.band
                layers.append(Layer(geometry=line(piece), stroke=colour, width=wide, cap="butt", role="detail"))
    return layers


def _chair_skipped(run: Run, camera: Camera) -> set[str]:
    """Return the parts of the chair that a band tied to it does not run behind: the tie goes round them."""
    near = {"axle", f"frame {'left' if run.end[1] > 0 else 'right'}"}
    if camera.facing(np.array([0.0, np.sign(run.end[1]), 0.0])) > 0:
        near.add("seat")
    return near | ({"backrest"} if run.end[0] < 0 else {"footplate"})


def _behind(path: Geometry) -> Layer:
    """Return a band that runs behind something: thin and dashed."""
    return Layer(geometry=path, stroke=ACCENT, width=0.3, cap="butt", dash=(0.7, 0.7), role="detail")


def tie_layers(scene: Scene, camera: Camera, frame: int, parts: list[Part]) -> list[Layer]:
    """Return a small tie where the band is fixed to the chair; dashed where something is before it."""
    if scene.band is None or scene.band.fixed_to != "chair":
        return []
    import shapely

    layers: list[Layer] = []
    for run in runs(scene, frame):
        seen = camera.project(run.end)
        radius = max(0.017 * camera.scale, LEAST_TIE_MM)
        ring = shapely.Point(seen.xy).buffer(radius, quad_segs=6)
        last = run.end + np.linspace(0.03, 0.0, 4)[:, None] * (run.start - run.end) / np.linalg.norm(
            run.start - run.end
        )
        seen_part, _ = seen_pieces(last, camera, parts, skip=_chair_skipped(run, camera))
        if not seen_part:
            layers.append(_behind(ring.boundary))
            continue
        layers += [
            Layer(geometry=ring, fill=ACCENT),
            Layer(geometry=ring.boundary, stroke=PAPER, width=WEIGHTS.outline + 0.4, role="detail"),
            Layer(geometry=ring.boundary, stroke=INK, width=WEIGHTS.outline, role="detail"),
        ]
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
