"""What stands round the chair, in real metres: rail, wall, partner, cones; bands that need no post."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET
from dataclasses import replace

import numpy as np
import pytest
from scenes import body, chair, circles, external_rotation, pushing, row

from firstpush.core.body.posture import Skeleton
from firstpush.core.body.rotations import about_x, about_y, about_z
from firstpush.core.errors import OutOfRangeError
from firstpush.core.figure.band_lines import band_layers, runs, tie_layers
from firstpush.core.figure.figure_parts import hand_pose, ordered_parts, static_parts
from firstpush.core.figure.hand import hand_axes
from firstpush.core.figure.one_frame import head_layers, head_moves
from firstpush.core.figure.palette import ACCENT, every_colour
from firstpush.core.figure.partner import partner_hands
from firstpush.core.figure.proportions import proportions
from firstpush.core.figure.scene import BandDrawing, Rail, Scene, Wall
from firstpush.core.figure.still import draw_single, draw_still
from firstpush.core.figure.surroundings import ball_centre
from firstpush.core.figure.things import CONE_BASE_HALF_M
from firstpush.core.figure.view import Camera, choose_view, view_named

SCALE = 30.0


def camera(name: str = "three-quarter front, from the right") -> Camera:
    """Return a named view at the scale of the tests."""
    return replace(view_named(name), scale=SCALE)


def without_post(scene: Scene, fixed_to: str, ends: dict[str, np.ndarray], hands: tuple[str, ...]) -> Scene:
    """Return `scene` with its band fixed elsewhere."""
    assert scene.band is not None
    band = replace(scene.band, fixed_to=fixed_to, ends=ends, hands=hands)  # type: ignore[arg-type]
    return replace(scene, anchor=None, dimensions=(), band=band)


def on_chair() -> Scene:
    """Return a row with both bands tied to the side rails."""
    scene = row()
    place = {side: np.array([0.25, s * 0.18, 0.45]) for side, s in (("left", 1.0), ("right", -1.0))}
    ends = {side: np.broadcast_to(point, (scene.frames, 3)) for side, point in place.items()}
    return without_post(scene, "chair", ends, ("left", "right"))


def between_hands() -> Scene:
    """Return a row posture with one band from the right hand to the left."""
    scene = row()
    return without_post(scene, "other hand", {"right": scene.skeleton.arms["left"].hand}, ("right",))


def test_band_between_the_hands_is_one_line_from_hand_to_hand() -> None:
    """Both hands close round it, both hold a handle, no post is drawn."""
    scene, view = between_hands(), camera()
    (run,) = runs(scene, 0)
    assert run.start == pytest.approx(scene.skeleton.arms["right"].hand[0])
    assert run.end == pytest.approx(scene.skeleton.arms["left"].hand[0])
    size = proportions(scene.body, scene.look)
    assert {hand_pose(scene, side, 0, size) for side in ("left", "right")} == {"fist"}
    parts = ordered_parts(scene, view, static_parts(scene, view), 0)
    assert not {"post", "rail", "base plate"} & {part.name for part in parts}
    thin = [layer for layer in band_layers(scene, view, 0, parts, strip=None) if layer.stroke == ACCENT]
    assert len(thin) >= 1 + 2 + 2


def test_band_on_the_chair_ends_in_a_tie_there() -> None:
    """One tie a band at the drawn place of the rail; the far one is dashed when the seat hides it."""
    scene, view = on_chair(), camera("side, from the right")
    parts = ordered_parts(scene, view, static_parts(scene, view), 0)
    layers = tie_layers(scene, view, 0, parts)
    filled = [layer for layer in layers if layer.fill == ACCENT]
    hidden = [layer for layer in layers if layer.dash]
    assert len(filled) == 1
    assert len(hidden) == 1
    near = view.project(np.array([0.25, -0.18, 0.45])).xy
    centre = filled[0].geometry.centroid
    assert (centre.x, centre.y) == pytest.approx(tuple(near), abs=0.02)
    ET.fromstring(draw_still(scene, title="x", description="y"))


def test_band_without_any_end_is_refused() -> None:
    """A scene says where its band ends."""
    scene = row()
    with pytest.raises(OutOfRangeError, match="a band is drawn to an anchor and the scene has none"):
        replace(scene, anchor=None)
    with pytest.raises(OutOfRangeError, match="a wall is there for a ball and the scene has none"):
        replace(scene, wall=Wall(point=np.zeros(3), normal=np.array([-1.0, 0.0, 0.0])))


def test_hands_close_round_a_rail() -> None:
    """A hand on the rail is a fist; one 20 cm above it is not."""
    scene = replace(row(), band=None, anchor=None, dimensions=())
    hands = {side: arm.hand[0] for side, arm in scene.skeleton.arms.items()}
    size = proportions(scene.body, scene.look)
    on = replace(scene, rail=Rail(left=hands["left"] + (0, 0.3, 0), right=hands["right"] - (0, 0.3, 0)))
    up = np.array([0.0, 0.0, 0.2])
    above = replace(scene, rail=Rail(left=hands["left"] - up, right=hands["right"] - up))
    assert {hand_pose(on, side, 0, size) for side in ("left", "right")} == {"fist"}
    assert {hand_pose(above, side, 0, size) for side in ("left", "right")} == {"rest"}
    names = {part.name for part in static_parts(on, camera()).parts}
    assert {"hand rail", "rail post left", "rail post right"} <= names


def test_ball_touches_the_wall_and_not_the_hand() -> None:
    """A dribbled ball is drawn one radius before the wall, on the way of the hand."""
    scene = circles()
    hand = scene.skeleton.arms["right"].hand[0]
    wall = Wall(point=hand + (0.45, 0.0, 0.0), normal=np.array([-1.0, 0.0, 0.0]))
    with_wall = replace(scene, wall=wall)
    centre = ball_centre(with_wall, 0)
    assert centre is not None
    assert centre == pytest.approx(hand + (0.45 - 0.10, 0.0, 0.0))
    svg = draw_single(with_wall, 0, title="x", description="y")
    ET.fromstring(svg)
    assert set(re.findall(r"#[0-9a-f]{6}", svg)) <= every_colour()


def test_partner_pushes_from_both_sides_of_the_wrist() -> None:
    """Palms face each other and the forearm between them; the thumbs are up."""
    scene = replace(external_rotation(), band=None, anchor=None, dimensions=(), partner="right")
    arm = scene.skeleton.arms["right"]
    hands = partner_hands(scene, 0)
    palms = {side: hand_axes(each, side, 0)[:, 2] for side, each in hands.items()}
    assert float(palms["left"] @ palms["right"]) == pytest.approx(-1.0, abs=1e-6)
    for side, each in hands.items():
        to_wrist = arm.wrist[0] - each.hand[0]
        assert float(to_wrist @ palms[side]) > 0
        assert float(hand_axes(each, side, 0)[2, 0]) > 0.5
    ET.fromstring(draw_single(scene, 0, title="x", description="y"))


def test_cones_are_drawn_to_scale() -> None:
    """Seen from above, the base plate of a cone is 22 cm wide at the scale of the drawing."""
    scene = replace(pushing(), cones=(np.array([0.9, -0.7]), np.array([2.9, -0.7])))
    view = camera("top")
    cones = [part for part in static_parts(scene, view).parts if part.name.startswith("cone")]
    assert len(cones) == 2
    for part in cones:
        left, _, right, _ = part.shape.bounds
        assert right - left == pytest.approx(2 * CONE_BASE_HALF_M * SCALE, abs=0.1)
    apart = abs(cones[0].shape.centroid.y - cones[1].shape.centroid.y)
    # Two metres along the floor, seen 4 degrees off the vertical.
    assert apart == pytest.approx(2.0 * SCALE * np.sin(np.radians(86.0)), abs=0.2)


def head_moved(turn: np.ndarray, slide: float = 0.0) -> Scene:
    """Return a resting scene whose head ends turned by `turn` (3, 3) and slid forward by `slide` [m]."""
    scene = replace(pushing(), active_sides=())
    bones = scene.skeleton
    still = {name: getattr(bones, name)[:1].repeat(3, axis=0) for name in ("hip_centre", "thorax_frame", "neck")}
    frames = np.stack([np.eye(3), np.eye(3), turn])
    places = np.array([(0.02, 0.0, 0.19), (0.02, 0.0, 0.19), (0.02 + slide, 0.0, 0.19)])
    head = still["neck"] + np.einsum("fij,fj->fi", frames, places)
    arms = {
        side: replace(arm, **{name: getattr(arm, name)[:1].repeat(3, axis=0) for name in arm.__dataclass_fields__})
        for side, arm in bones.arms.items()
    }
    moved = Skeleton(**still, head=head, head_frame=frames, arms=arms)
    return replace(scene, skeleton=moved, start=0, end=2)


@pytest.mark.parametrize("turn", [about_x(0.5), about_y(0.3), about_z(0.8)], ids=["tilt", "nod", "turn"])
def test_movement_of_the_head_is_shown_by_an_arrow(turn: np.ndarray) -> None:
    """Tilt, nod and turn each get one; a head that stays gets none."""
    view = camera("three-quarter front, from the left")
    assert head_moves(head_moved(turn))
    assert any(layer.dash for layer in head_layers(head_moved(turn), view))
    assert not head_moves(head_moved(np.eye(3)))
    assert head_layers(head_moved(np.eye(3)), view) == []


def test_head_that_slides_back_is_shown_by_an_arrow_to_the_face() -> None:
    """Two centimetres back are drawn as an arrow that points backward before the nose, in a view from the side."""
    import shapely

    scene = head_moved(np.eye(3), slide=-0.02)
    assert head_moves(scene)
    stem = next(layer for layer in head_layers(scene, camera("side, from the right")) if layer.dash)
    points = shapely.get_coordinates(stem.geometry)
    assert points[-1, 0] < points[0, 0]
    assert abs(points[-1, 1] - points[0, 1]) < 0.2
    assert choose_view(scene).name.startswith("side")


def test_nod_is_drawn_forward_and_tilt_to_its_side() -> None:
    """A positive nod moves the crown forward on the page of a side view, a bend about +X to the athlete's right."""

    def way(scene: Scene, name: str) -> np.ndarray:
        import shapely

        stem = next(layer for layer in head_layers(scene, camera(name)) if layer.dash)
        points = shapely.get_coordinates(stem.geometry)
        return np.asarray(points[-1] - points[0])

    assert way(head_moved(about_y(0.5)), "side, from the right")[0] > 0
    assert way(head_moved(about_x(0.5)), "front, from the right")[0] < 0


def test_hand_follows_a_bent_wrist() -> None:
    """The hand's axes are square to each other and its fingers point from wrist to grip, bent or not."""
    arm = row().skeleton.arms["right"]
    straight = hand_axes(arm, "right", 0)
    assert straight.T @ straight == pytest.approx(np.eye(3), abs=1e-9)
    assert straight[:, 1] == pytest.approx(-arm.forearm_frame[0][:, 2])
    assert straight[:, 2] == pytest.approx(arm.forearm_frame[0][:, 1])
    lifted = arm.wrist + 0.08 * (np.cos(0.6) * straight[:, 1] - np.sin(0.6) * straight[:, 2])
    bent = hand_axes(replace(arm, hand=lifted), "right", 0)
    assert bent.T @ bent == pytest.approx(np.eye(3), abs=1e-9)
    assert float(np.arccos(bent[:, 1] @ straight[:, 1])) == pytest.approx(0.6)


def test_band_held_by_the_other_hand_needs_no_anchor_for_any_body() -> None:
    """Small and tall, on the daily chair and the court chair."""
    for size, seat in ((body(stature=1.50, mass=50.0), chair("daily")), (body(stature=1.98, mass=95.0), chair())):
        scene = row(size, seat)
        band = BandDrawing(
            hands=("right",),
            attach="hand",
            stretch={"right": np.full(scene.frames, 1.4)},
            fixed_to="other hand",
            ends={"right": scene.skeleton.arms["left"].hand},
        )
        svg = draw_still(
            replace(scene, band=band, anchor=None, dimensions=()), title="Pull-apart", description="Band between hands."
        )
        ET.fromstring(svg)
        assert "nan" not in svg
