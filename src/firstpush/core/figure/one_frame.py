"""One frame as it is painted: parts, band, ghost of the pose before, ways of hands, head and trunk."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np

from firstpush.core.body.rotations import Array
from firstpush.core.figure.band_lines import arrowed, band_layers, drawn_runs, path_layers, runs, tie_layers
from firstpush.core.figure.breaks import break_layers
from firstpush.core.figure.figure_parts import (
    LEAST_TURN_SHOWN,
    TURN_RADIUS_M,
    Static,
    ordered_parts,
    trunk_turn,
    turn_centre,
)
from firstpush.core.figure.outlines import Geometry, Layer, Part, line, union
from firstpush.core.figure.palette import GHOST, GHOST_BAND, GHOST_LINE, INK, PAPER, WEIGHTS, Scheme
from firstpush.core.figure.picture import Picture
from firstpush.core.figure.scene import Scene
from firstpush.core.figure.surroundings import anchor_layers, floor_layers
from firstpush.core.figure.svg import paint_all
from firstpush.core.figure.things import bounce_layers
from firstpush.core.figure.view import LEAST_SLIDE_M, Camera

CLOSED_M = 0.01
LEAST_SHARE_MOVED, LEAST_SHARE_AT_REST = 0.12, 0.05
LEAST_GHOST_MM2 = 3.0
WAYS_APART_MM = 7.0
HALF_OF_THE_MOVE = 0.6
LEAST_HEAD_MOVE = np.radians(8.0)
STILL_HAND_M = 0.03
LEAST_SHOULDER_M = 0.006
SHOULDER_ARROW_M = 0.16
LEAST_ARROW_MM = 1.6
LEAST_SHARE_OVER = 0.65
"""Of forearm and hand as they were, how much must lie before the body now to be shown there."""
BEYOND_CUT_MM = 2.1
"""How far the mark of a break reaches over and under what it cuts; twice this is one wave."""
"""How far the lines of a break run on past what they break."""


def ghost_layers(scene: Scene, parts: list[Part], start: list[Part]) -> tuple[list[Layer], list[Layer]]:
    """Return the start pose of the moving arms: a pale shape behind, and its dashed edge before the body."""
    names = {f"{bone} {side}" for side in scene.active_sides for bone in ("upper arm", "forearm", "hand")}
    if head_moves(scene):
        names.add("head")
    if hands_rest(scene):
        names |= {"torso", "neck", "head"}
    old = [part.shape for part in start if part.name in names]
    new = [part.shape for part in parts if part.name in names]
    if not old or not new:
        return [], []
    pale = union(*old)
    moved = pale.difference(union(*new).buffer(0.3))
    if moved.area < (LEAST_SHARE_AT_REST if hands_rest(scene) else LEAST_SHARE_MOVED) * pale.area:
        return [], []
    line_width = 0.8 * WEIGHTS.outline
    body = union(*(part.opaque for part in parts if part.name not in names))
    before = []
    for kept in ({name for name in names if name.endswith(side)} for side in (*scene.active_sides, "head")):
        low = seen_of(start, {name for name in kept if not name.startswith("upper")})
        over = whole_pieces(low.difference(union(*new).buffer(0.3)).intersection(body.buffer(-0.1)))
        # Of an arm that is nearly where it was, or was hidden, a scrap would be read as something else.
        if low.area == 0 or over.area < LEAST_SHARE_OVER * low.area:
            continue
        edge = low.boundary.difference(union(*new)).intersection(over.buffer(0.1))
        before += [
            Layer(geometry=over, fill=PAPER, opacity=0.30),
            Layer(geometry=edge, stroke=PAPER, width=0.7 * line_width, opacity=0.75, role="detail"),
        ]
    return behind_layers(pale, line_width), before


def seen_of(parts: list[Part], names: set[str]) -> Geometry:
    """Return the shape of the parts called `names` as far as nothing that is drawn after them hides them."""
    seen, hiding = union(), union()
    for part in reversed(parts):
        if part.name in names:
            seen = union(seen, part.shape.difference(hiding))
        else:
            hiding = union(hiding, part.opaque)
    return seen


def whole_pieces(area: Geometry) -> Geometry:
    """Return `area` without scraps too small to be read as part of an arm."""
    import shapely

    return union(*(piece for piece in shapely.get_parts(area) if piece.area > LEAST_GHOST_MM2))


def behind_layers(pale: Geometry, width: float) -> list[Layer]:
    """Return the pale shape behind everything."""
    edge = Layer(geometry=pale.boundary, stroke=GHOST_LINE, width=width, role="detail")
    return [Layer(geometry=pale, fill=GHOST), edge]


def ghost_band(picture: Picture) -> list[Layer]:
    """Return the band of the start pose, pale."""
    scene, camera = picture.scene, picture.camera
    return [
        Layer(
            geometry=line(camera.project(points).xy),
            stroke=GHOST_BAND,
            width=0.5,
            dash=(1.4, 0.8),
            cap="butt",
            role="detail",
        )
        for run in runs(scene, scene.start)
        for points, _ in drawn_runs(scene, camera, run, picture.strip)
    ]


def hand_paths(scene: Scene, camera: Camera, parts: list[Part]) -> list[Layer]:
    """Return the dotted ways of the active hands from start to end."""
    layers: list[Layer] = []
    shapes = {part.name: part.shape for part in parts}
    arms = scene.skeleton.arms
    first, last = scene.start % scene.frames, scene.end % scene.frames
    if first == last:
        return []
    step = 1 if last >= first else -1
    stop = last + step if last + step >= 0 else None
    drawn: list[Array] = []
    near_first = sorted(scene.active_sides, key=lambda side: -float(camera.project(arms[side].hand[last]).depth))
    for side in near_first:
        hand = shapes.get(f"hand {side}", shapes.get(f"forearm {side}"))
        if hand is None:
            continue
        places = arms[side].hand
        # A circle comes back to where it began, past the frame that is shown as its far side.
        back = float(np.linalg.norm(places[-1] - places[0])) < CLOSED_M
        closed = back and not scene.poses and last < scene.frames - 1
        way = camera.project(places if closed else places[first:stop:step]).xy
        # Two hands that move as one, close beside each other on the page: the near way says it.
        if any(float(np.linalg.norm(way - other, axis=-1).mean()) < WAYS_APART_MM for other in drawn):
            continue
        drawn.append(way)
        layers += path_layers(way, hand, closed=closed)
    return layers + turn_layers(scene, camera) + head_layers(scene, camera) + shoulder_layers(scene, camera)


def turn_layers(scene: Scene, camera: Camera) -> list[Layer]:
    """Return an arrow round the crown of the head when the trunk turns: the way of the hands does not tell it."""
    turn = trunk_turn(scene)
    return _round_the_crown(scene, camera, turn) if abs(turn) >= LEAST_TURN_SHOWN else []


def _round_the_crown(scene: Scene, camera: Camera, turn: float) -> list[Layer]:
    # The arc passes on the viewer's side, tilted towards the viewer so that it is seen as a ring; its length says that
    # there is a turn and which way, not how far.
    along = np.radians(np.linspace(-150.0, 112.0, 25))
    angle = camera.azimuth + np.sign(turn) * along
    ring = np.stack([np.cos(angle), np.sin(angle), -0.38 * np.cos(along)], axis=-1)
    centre = turn_centre(scene, scene.end)
    return arrowed(line(camera.project(centre + TURN_RADIUS_M * ring).xy), colour=INK)


def hands_rest(scene: Scene) -> bool:
    """Return whether no working hand moves from start to end: trunk, head or shoulder blades do the work."""
    first, last = scene.start, scene.end
    return all(
        float(np.linalg.norm(arm.hand[last] - arm.hand[first])) < STILL_HAND_M
        for side, arm in scene.skeleton.arms.items()
        if side in scene.active_sides
    )


def shoulder_layers(scene: Scene, camera: Camera) -> list[Layer]:
    """Return an arrow over each working shoulder that moves while its hand rests; true direction, drawn longer."""
    if not hands_rest(scene) or abs(trunk_turn(scene)) >= LEAST_TURN_SHOWN or head_moves(scene):
        return []
    layers: list[Layer] = []
    for side in scene.active_sides:
        arm = scene.skeleton.arms[side]
        moved = arm.shoulder[scene.end] - arm.shoulder[scene.start]
        if float(np.linalg.norm(moved)) < LEAST_SHOULDER_M:
            continue
        outward = arm.shoulder[scene.end] - arm.sternoclavicular[scene.end]
        outward = outward / np.linalg.norm(outward)
        unit = scene.body.stature.value
        centre = arm.shoulder[scene.end] + unit * (0.070 * outward + np.array([0.0, 0.0, 0.045]))
        reach = SHOULDER_ARROW_M * moved / np.linalg.norm(moved)
        way = camera.project(np.stack([centre - 0.3 * reach, centre + 0.7 * reach])).xy
        if float(np.linalg.norm(way[1] - way[0])) > LEAST_ARROW_MM:
            layers += arrowed(line(way), colour=INK)
    return layers


def head_slide(scene: Scene) -> Array:
    """Return how far the head slides on the neck from start to end (3,) [m], in the world."""
    bones = scene.skeleton
    places = [bones.head_frame[i].T @ (bones.head[i] - bones.neck[i]) for i in (scene.start, scene.end)]
    return np.asarray(bones.head_frame[scene.end] @ (places[1] - places[0]))


def head_moves(scene: Scene) -> bool:
    """Return whether the head moves of its own: slides, or turns more than it follows the trunk."""
    if float(np.linalg.norm(head_slide(scene))) > LEAST_SLIDE_M:
        return True
    angles = []
    for frames in (scene.skeleton.head_frame, scene.skeleton.thorax_frame):
        turned = frames[scene.start].T @ frames[scene.end]
        angles.append(float(np.arccos(np.clip((np.trace(turned) - 1) / 2, -1.0, 1.0))))
    return angles[0] > LEAST_HEAD_MOVE and angles[0] > 0.55 * angles[1]


def head_layers(scene: Scene, camera: Camera) -> list[Layer]:
    """Return an arrow for what the head does: the way of its crown or of its nose, whichever goes farther."""
    if not head_moves(scene):
        return []
    slide = head_slide(scene)
    if float(np.linalg.norm(slide)) > LEAST_SLIDE_M:
        head, turned = scene.skeleton.head[scene.end], scene.skeleton.head_frame[scene.end]
        nose = head + scene.body.stature.value * (turned @ np.array([0.085, 0.0, -0.02]))
        reach = SHOULDER_ARROW_M * slide / np.linalg.norm(slide)
        # Before the face, coming or going: true direction, drawn longer than the few centimetres that it is.
        ends = (nose - reach, nose) if float(slide @ turned[:, 0]) < 0 else (nose, nose + reach)
        return arrowed(line(camera.project(np.stack(ends)).xy), colour=INK)
    first, last = scene.start % scene.frames, scene.end % scene.frames
    frames = np.unique(np.linspace(first, last, 13).round().astype(int))
    frames = frames if first <= last else frames[::-1]
    turned = scene.skeleton.head_frame[first].T @ scene.skeleton.head_frame[last]
    yaw = float(np.arctan2(turned[1, 0], turned[0, 0]))
    if abs(yaw) > HALF_OF_THE_MOVE * float(np.arccos(np.clip((np.trace(turned) - 1) / 2, -1.0, 1.0))):
        return _round_the_crown(scene, camera, yaw) if abs(trunk_turn(scene)) < LEAST_TURN_SHOWN else []
    unit = scene.body.stature.value
    ways = []
    for local in ((0.0, 0.0, 0.105), (0.100, 0.0, -0.012)):
        places = scene.skeleton.head[frames] + unit * (scene.skeleton.head_frame[frames] @ np.array(local))
        ways.append(line(camera.project(places).xy))
    return arrowed(max(ways, key=lambda way: float(way.length)), colour=INK)


def break_spans(
    picture: Picture, frames: Iterable[int], floor_y: float | None = None
) -> tuple[tuple[float, float], ...]:
    """Return from where to where the break is marked on the page [mm], from top to bottom.

    It is marked where it goes through a band, and through the line of a distance at `floor_y`; not in between, where
    nothing is cut and a long wavy line would look like a thing that hangs there.
    """
    scene, camera, strip = picture.scene, picture.camera, picture.strip
    if strip is None or scene.cut is None:
        return ()
    cut = [] if floor_y is None else [floor_y]
    for frame in frames:
        for run in runs(scene, frame):
            for points, far in drawn_runs(scene, camera, run, strip):
                cut.append(float(camera.project(points[0 if far else -1]).xy[1]))
    spans: list[tuple[float, float]] = []
    for y in sorted(cut):
        top, bottom = y - BEYOND_CUT_MM, y + BEYOND_CUT_MM
        if spans and top <= spans[-1][1]:
            spans[-1] = (spans[-1][0], bottom)
        else:
            spans.append((top, bottom))
    return tuple(spans)


def frame_body(
    picture: Picture,
    static: Static,
    frame: int,
    *,
    scheme: Scheme,
    ghost_of: list[Part] | None = None,
    floor_y: float | None = None,
    parts: list[Part] | None = None,
) -> tuple[str, list[Part]]:
    """Return one frame as SVG text, and its ordered parts.

    Parameters
    ----------
    picture : Picture
    static : Static
    frame : int
    scheme : str
    ghost_of : list of Part, optional
        Parts of the pose before, shown pale with the ways from there to here.
    floor_y : float, optional
        Page height of the dimension that a break goes through, where one does [mm].
    parts : list of Part, optional
        `ordered_parts` of the frame, where they are known.
    """
    scene, camera, strip = picture.scene, picture.camera, picture.strip
    parts = ordered_parts(scene, camera, static, frame) if parts is None else parts
    behind = floor_layers(scene, camera)
    over: list[Layer] = []
    if ghost_of is not None:
        ghost, over = ghost_layers(scene, parts, ghost_of)
        behind += ghost + ghost_band(picture)
    over = over + band_layers(scene, camera, frame, parts, strip=strip) + tie_layers(scene, camera, frame, parts)
    over += anchor_layers(scene, camera) + bounce_layers(scene, camera, frame)
    for top, bottom in break_spans(picture, [frame], floor_y):
        assert strip is not None, "without a break nothing is marked"
        over += break_layers(strip, top=top, bottom=bottom, far=scene.post_shown)
    if ghost_of is not None:
        over += hand_paths(scene, camera, parts)
    body = "".join(static.paint(part, scheme) for part in parts)
    return paint_all(behind, scheme) + body + paint_all(over, scheme), parts


def drawn_area(picture: Picture, parts: list[Part], frame: int) -> Geometry:
    """Return what dimensions keep clear of: every part, and the band."""
    scene, camera = picture.scene, picture.camera
    shapes = [part.shape for part in parts if part.name != "base plate"]
    for run in runs(scene, frame):
        for points, _ in drawn_runs(scene, camera, run, picture.strip):
            shapes.append(line(camera.project(points).xy).buffer(WEIGHTS.band))
    return union(*shapes)
