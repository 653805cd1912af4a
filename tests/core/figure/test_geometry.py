"""The drawn body is the model's body: joints, mirror, wheels, what lies before what."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from scenes import ALL, body, chair, chest_stretch, external_rotation, press, row

from firstpush.core.errors import OutOfRangeError, UnknownNameError
from firstpush.core.figure.band_lines import seen_pieces
from firstpush.core.figure.chair_drawing import chair_shape
from firstpush.core.figure.figure_parts import ordered_parts, static_parts, trunk_turn
from firstpush.core.figure.hand import handle_ends
from firstpush.core.figure.one_frame import turn_layers
from firstpush.core.figure.order import depth_order
from firstpush.core.figure.outlines import Balls, Part
from firstpush.core.figure.proportions import proportions
from firstpush.core.figure.scene import Scene
from firstpush.core.figure.svg import paint_all
from firstpush.core.figure.view import Camera, choose_view, view_named

SCALE = 35.0
TENTH_OF_A_MILLIMETRE = 1e-4 * SCALE


def camera(scene: Scene, name: str = "three-quarter front, from the right") -> Camera:
    """Return a named view at the scale of the tests."""
    return replace(view_named(name), scale=SCALE)


def parts_of(scene: Scene, view: Camera, frame: int) -> dict[str, Part]:
    """Return the parts of one frame by name."""
    return {part.name: part for part in ordered_parts(scene, view, static_parts(scene, view), frame)}


def test_a_part_made_anew_is_painted_anew() -> None:
    """What is painted is the part given, also where its memory was that of a part thrown away before it."""
    scene = row()
    static = static_parts(scene, camera(scene))
    first = static.parts[0]
    for count in range(len(first.layers) + 1):
        fewer = replace(first, layers=first.layers[:count])
        assert static.paint(fewer, "paper") == paint_all(fewer.layers, "paper")
    assert static.paint(first, "paper") is static.paint(first, "paper")


@pytest.mark.parametrize("name", ALL)
@pytest.mark.parametrize("frame", [0, 9, -1])
def test_drawn_joints_are_the_joints_of_the_model(name: str, frame: int) -> None:
    """Shoulder, elbow, wrist and knee are drawn where the physics has them, to 0.1 mm."""
    scene = ALL[name]()
    view = camera(scene)
    parts = parts_of(scene, view, frame)
    for side in ("left", "right"):
        arm, leg = scene.skeleton.arms[side], scene.legs[side]
        for part, rows, columns, first, last in (
            (f"upper arm {side}", 9, 3, arm.shoulder[frame], arm.elbow[frame]),
            (f"forearm {side}", 9, 2, arm.elbow[frame], arm.wrist[frame]),
            (f"thigh {side}", 9, 2, leg.hip, leg.knee),
            (f"shank {side}", 9, 2, leg.knee, leg.ankle),
        ):
            middle = parts[part].balls.xy.reshape(rows, columns, 2).mean(axis=1)
            assert np.abs(middle[0] - view.project(first).xy).max() < TENTH_OF_A_MILLIMETRE
            assert np.abs(middle[-1] - view.project(last).xy).max() < TENTH_OF_A_MILLIMETRE


def test_handle_lies_on_the_grip_centre() -> None:
    """The middle of the handle is the grip centre that the band pulls on in the physics."""
    scene = row()
    ends = handle_ends(scene.skeleton.arms["left"], "left", 5, scene.body.hand.value)
    assert np.abs(ends.mean(axis=0) - scene.skeleton.arms["left"].hand[5]).max() < 1e-4
    assert np.array_equal(scene.pull_point("left"), scene.skeleton.arms["left"].hand)


@pytest.mark.parametrize("frame", [0, -1])
def test_mirrored_scene_gives_the_mirrored_picture(frame: int) -> None:
    """The right-handed exercise seen from the right is the left-handed one seen from the left, mirrored."""
    import shapely

    right, left = external_rotation(side="right"), external_rotation(side="left")
    seen = parts_of(right, camera(right, "three-quarter front, from the right"), frame)
    other = parts_of(left, camera(left, "three-quarter front, from the left"), frame)
    swap = {"left": "right", "right": "left"}
    for name, part in seen.items():
        twin = other[" ".join(swap.get(word, word) for word in name.split())]
        mirrored = shapely.transform(twin.shape, lambda xy: xy * (-1.0, 1.0))
        # Corners are rounded from one vertex on, so that outlines agree to a line's width and not to the digit.
        assert part.shape.hausdorff_distance(mirrored) < 0.26, name


def test_mirrored_scene_is_seen_from_the_mirrored_side() -> None:
    """The view keeps the active arm on the near side."""
    assert choose_view(external_rotation(side="right")).name.endswith("from the right")
    assert choose_view(external_rotation(side="left")).name.endswith("from the left")


def test_wheels_stand_on_the_floor_as_wide_as_the_track() -> None:
    """Track = hub width + 2 R sin(camber), touching the floor at height 0."""
    scene = row(seat=chair("court"))
    shape = chair_shape(scene, proportions(scene.body, scene.look))
    left, right = (shape.wheel_circle(s, 0.635 / 2, count=720) for s in (1.0, -1.0))
    low_left, low_right = left[np.argmin(left[:, 2])], right[np.argmin(right[:, 2])]
    assert low_left[2] == pytest.approx(0.0, abs=1e-4)
    assert low_left[1] - low_right[1] == pytest.approx(0.46 + 0.635 * np.sin(np.radians(18.0)), abs=1e-4)


def test_what_is_missing_is_not_drawn() -> None:
    """Without lower legs there are thighs and no shanks or shoes; without a forearm no hand."""
    missing = frozenset({"left above knee", "right below knee", "left below elbow"})
    scene = row(body(missing=missing))
    names = set(parts_of(scene, camera(scene), 0))
    assert {"thigh left", "thigh right", "shank right", "forearm left", "hand right"} <= names
    assert not names & {"shank left", "shoe left", "shoe right", "hand left"}


def test_larger_people_are_drawn_larger() -> None:
    """At one scale the head of 1.98 m is 1.98 / 1.50 as high as that of 1.50 m, in both directions."""
    heights = []
    for stature in (1.50, 1.98):
        scene = row(body(stature=stature, mass=22.0 * stature**2))
        low, high = parts_of(scene, camera(scene, "side, from the right"), 0)["head"].shape.bounds[1::2]
        heights.append(high - low)
    assert heights[1] / heights[0] == pytest.approx(1.98 / 1.50, rel=0.03)


def test_near_parts_are_painted_after_far_ones() -> None:
    """Seen from the right: right wheel over seat, right arm over trunk, left wheel under the left thigh."""
    scene = external_rotation()
    names = [part.name for part in ordered_parts(scene, camera(scene), static_parts(scene, camera(scene)), 0)]
    place = {name: index for index, name in enumerate(names)}
    assert place["seat"] < place["wheel right"]
    assert place["torso"] < place["forearm right"]
    assert place["wheel left"] < place["thigh left"]
    assert place["torso"] < place["neck"] < place["head"]


def _square(name: str, x: float, depth: float) -> Part:
    import shapely

    middle = np.array([[x + 0.5, 0.5]])
    return Part(
        name=name,
        shape=shapely.box(x, 0, x + 1, 1),
        balls=Balls(xy=middle, depth=np.array([depth]), radius=np.array([0.1])),
    )


def test_order_follows_depth_and_forced_pairs_win() -> None:
    """The nearer square is painted later, unless the pair is forced."""
    near, far = _square("near", 0.0, 5.0), _square("far", 0.5, 1.0)
    assert [part.name for part in depth_order([near, far])] == ["far", "near"]
    assert [part.name for part in depth_order([near, far], [("near", "far")])] == ["near", "far"]


def test_band_behind_the_trunk_is_known_to_be_hidden() -> None:
    """A line through the trunk is hidden once, between two seen pieces; half a metre nearer it is seen whole."""
    scene = press()
    trunk = scene.skeleton.hip_centre[0] + (0.0, 0.0, 0.25)
    through = trunk + np.linspace(-0.6, 0.6, 81)[:, None] * (1.0, 0.0, 0.0)
    view = camera(scene, "side, from the right")
    parts = [parts_of(scene, view, 0)["torso"]]
    seen, hidden = seen_pieces(through, view, parts, skip=set())
    assert len(seen) == 2
    assert len(hidden) == 1
    before = through + (0.0, -0.5, 0.0)
    seen, hidden = seen_pieces(before, view, parts, skip=set())
    assert len(seen) == 1
    assert not hidden


def test_upright_posts_stay_upright_on_the_page() -> None:
    """Perspective never leans a post."""
    view = camera(row())
    foot, top = view.project(np.array([[1.7, 0.4, 0.0], [1.7, 0.4, 1.2]])).xy
    assert foot[0] == pytest.approx(top[0], abs=1e-9)


def test_turn_of_the_trunk_is_shown_its_own_way_round() -> None:
    """A trunk turning left by 22 degrees has an arrow counter-clockwise from above; a row has none."""
    import shapely

    right, left = chest_stretch(side="right"), chest_stretch(side="left")
    assert np.degrees(trunk_turn(right)) == pytest.approx(22.0)
    assert np.degrees(trunk_turn(left)) == pytest.approx(-22.0)
    assert turn_layers(row(), camera(row(), "top")) == []
    for scene, sign in ((right, 1.0), (left, -1.0)):
        stem = next(layer for layer in turn_layers(scene, camera(scene, "top")) if layer.dash)
        x, y = shapely.get_coordinates(stem.geometry).T
        middle_x, middle_y = (x.min() + x.max()) / 2, (y.min() + y.max()) / 2
        # On the page y grows downwards: counter-clockwise has a negative signed area.
        swept = float(np.sum((x[:-1] - middle_x) * np.diff(y) - (y[:-1] - middle_y) * np.diff(x)))
        assert np.sign(swept) == -sign


def test_wrong_requests_say_what_is_allowed() -> None:
    """A frame or a view that is not there is refused with the choice there is."""
    with pytest.raises(OutOfRangeError, match="the end frame 40 is not one of 18 frames; give a number from -18 to 17"):
        row(end=40)
    with pytest.raises(UnknownNameError, match="there is no view 'sid, from the left'"):
        view_named("sid, from the left")


@pytest.mark.parametrize("name", ALL)
def test_the_last_digit_of_a_point_does_not_show(name: str) -> None:
    """Points that differ in their last digit have the same page place, bit for bit; a tenth of a micrometre shows."""
    scene = ALL[name]()
    view = camera(scene)
    points = np.concatenate([arm.wrist for arm in scene.skeleton.arms.values()])
    noise = np.random.default_rng(7).uniform(-1.0, 1.0, points.shape)
    exact, beside = view.project(points), view.project(points + np.finfo(float).eps * noise)
    for first, second in ((exact.xy, beside.xy), (exact.depth, beside.depth), (exact.scale, beside.scale)):
        assert np.array_equal(first, second)
    assert not np.array_equal(exact.xy, view.project(points + 1e-7).xy)


def test_what_is_known_of_other_frames_changes_no_depth() -> None:
    """Frame after frame with one memory gives the order of each frame asked alone, also back in the first."""
    scene = row()
    view = camera(scene)
    static = static_parts(scene, view)
    for frame in (0, 9, 10, 9, 0):
        alone = ordered_parts(scene, view, static_parts(scene, view), frame)
        kept = ordered_parts(scene, view, static, frame)
        assert [part.name for part in kept] == [part.name for part in alone]
        assert [paint_all(part.layers, "paper") for part in kept] == [paint_all(part.layers, "paper") for part in alone]
        assert [static.paint(part, "paper") for part in kept] == [paint_all(part.layers, "paper") for part in alone]


def test_the_front_of_balls_is_that_of_the_sphere() -> None:
    """By hand: over the middle of a ball at depth 2 with radius 5 it is 7, 3 mm aside 2 + 4, outside its own depth."""
    balls = Balls(xy=np.array([(10.0, 20.0), (30.0, 20.0)]), depth=np.array([2.0, -1.0]), radius=np.array([5.0, 1.0]))
    points = np.array([(10.0, 20.0), (13.0, 20.0), (10.0, 24.0), (10.0, 26.0), (30.5, 20.0), (33.0, 20.0)])
    expected = [2 + 5, 2 + 4, 2 + 3, 2, -1 + np.sqrt(1 - 0.5**2), -1]
    assert balls.front(points) == pytest.approx(expected, abs=1e-6)


def test_a_view_is_judged_the_same_in_every_panel_asked_after_another() -> None:
    """What is kept of a scene between panels is what does not depend on the panel."""
    scene = row()
    for aspect in (0.5, 1.4, 0.5):
        assert choose_view(scene, aspect=aspect).name == choose_view(row(), aspect=aspect).name
