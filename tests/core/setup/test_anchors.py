"""Where a band can be tied and the chair stands: in line, at the height asked, as far as the room goes."""

from __future__ import annotations

from dataclasses import replace
from itertools import product

import numpy as np
import pytest
from setup_cases import BANDED, EVEN, HALL, case_of, pole

from firstpush.core.body.movement import movement
from firstpush.core.exercises.definition import BandUse
from firstpush.core.exercises.loader import exercise_named
from firstpush.core.kit.venue import Venue
from firstpush.core.people.athlete import SIDES, Side
from firstpush.core.setup.anchors import Anchors, anchors, heights_wanted

CASE = case_of(EVEN)


def placed(name: str, side: Side = "right", *, venue: Venue = HALL, **change: object) -> tuple[BandUse, Anchors]:
    """Return how a library exercise uses its band, and where it may be tied."""
    exercise = exercise_named(name)
    assert exercise.band is not None
    use = replace(exercise.band, **change)  # type: ignore[arg-type]
    bones = movement(exercise, CASE.body, CASE.chair, side=side).skeleton
    return use, anchors(use, bones, CASE.chair, venue, side=side)


@pytest.mark.parametrize("name", BANDED)
@pytest.mark.parametrize("side", SIDES)
def test_heights_and_distances_are_those_offered(name: str, side: Side) -> None:
    """Every place is on a post that offers that height, inside both windows, with room for chair and margin."""
    exercise = exercise_named(name)
    use, found = placed(name, side)
    low, high = heights_wanted(use, movement(exercise, CASE.body, CASE.chair, side=side).skeleton, side=side)
    posts = {post.name: post for post in HALL.posts}
    assert len(found.post)
    for distance, height, name_ in zip(found.distance, found.height, found.post, strict=True):
        post = posts[name_]
        assert height in post.heights
        assert low - 1e-9 <= height <= high + 1e-9
        assert use.distance_window[0] - 1e-9 <= distance <= use.distance_window[1] + 1e-9
        along = CASE.chair.overall_length if use.anchor_side == "front" else CASE.chair.overall_width
        assert distance + along + 0.30 <= post.room_in_front + 1e-9


def test_every_distance_of_the_tape_is_offered_once() -> None:
    """From 0.20 m in steps of 5 cm, for each height: no place twice, none left out."""
    _, found = placed("external_rotation_90", venue=pole(0.90, 1.05, room=2.0))
    # 2.00 - 0.95 of chair - 0.30 behind it = 0.75
    expected = set(product([0.90, 1.05], np.round(np.arange(0.20, 0.7501, 0.05), 2)))
    assert sorted(zip(found.height, found.distance, strict=True)) == sorted(expected)


def test_in_front_the_post_is_counted_from_the_footplate() -> None:
    """0.60 m of footplate before the axle and the distance; in line with the working shoulder, or straight ahead."""
    exercise = exercise_named("external_rotation_90")
    for side in SIDES:
        _, found = placed("external_rotation_90", side)
        shoulder = movement(exercise, CASE.body, CASE.chair, side=side).skeleton.arms[side].shoulder[0]
        np.testing.assert_allclose(found.points[:, 0], 0.60 + found.distance)
        np.testing.assert_allclose(found.points[:, 1], shoulder[1])
        np.testing.assert_allclose(found.points[:, 2], found.height)
    _, found = placed("seated_row")
    np.testing.assert_allclose(found.points[:, 1], 0.0)
    assert "footplate" in found.measured_from


def test_at_the_side_the_post_is_counted_from_the_tyre() -> None:
    """Half of 0.77 m of chair and the distance to the working side, level with the casters at 0.41 m."""
    for side, sign in (("left", 1.0), ("right", -1.0)):
        _, found = placed("anti_rotation_press", side)  # type: ignore[arg-type]
        np.testing.assert_allclose(found.points[:, 0], 0.41)
        np.testing.assert_allclose(found.points[:, 1], sign * (0.77 / 2 + found.distance))
        assert "tyre" in found.measured_from


def test_the_other_side_is_the_mirror_of_the_working_side() -> None:
    """The post changes side, nothing else."""
    _, near = placed("anti_rotation_press")
    _, far = placed("anti_rotation_press", anchor_side="other side")
    np.testing.assert_allclose(far.points, near.points * [1.0, -1.0, 1.0])


def test_behind_the_post_stands_behind_the_chair() -> None:
    """Back to the post: 0.95 m of chair reach from 0.60 m before the axle to 0.35 m behind it."""
    _, found = placed("seated_row", anchor_side="behind")
    np.testing.assert_allclose(found.points[:, 0], 0.60 - 0.95 - found.distance)
    assert found.chair_words.startswith("back to the post")


@pytest.mark.parametrize("venue", [pole(0.15), pole(0.95, room=1.0), replace(HALL, posts=())])
def test_nowhere_is_an_empty_answer(venue: Venue) -> None:
    """No such height, no room, no post: no places, and no error."""
    _, found = placed("external_rotation_90", venue=venue)
    assert found.points.shape == (0, 3)
    assert found.post == ()
