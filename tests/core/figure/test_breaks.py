"""A long band is drawn with a break: the person keeps a good size and what is drawn stays true."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
from scenes import body, chair, external_rotation, press, row

from firstpush.core.figure.band_lines import drawn_runs, runs
from firstpush.core.figure.breaks import shortened
from firstpush.core.figure.figure_parts import ordered_parts, static_parts
from firstpush.core.figure.lettering import dimension_labels
from firstpush.core.figure.one_frame import break_spans
from firstpush.core.figure.picture import Picture, framed, pictured
from firstpush.core.figure.scene import Dimension, Scene
from firstpush.core.figure.still import draw_still

WIDTH, HEIGHT = 57.0, 57.0


def far_row(distance: float = 2.2) -> Scene:
    """Return a row with the post `distance` before the footplate."""
    scene = row(body(stature=1.50, mass=52.0, sex="female"), chair("court"))
    anchor = np.array([scene.chair.footplate_reach + distance, 0.0, 0.90])
    foot = anchor * (1.0, 1.0, 0.0)
    return replace(
        scene,
        anchor=anchor,
        dimensions=(
            Dimension(from_point=foot - (distance, 0.0, 0.0), to_point=foot, text=f"{distance:.2f} m", kind="distance"),
            Dimension(from_point=foot, to_point=anchor, text="0.90 m", kind="height"),
        ),
    )


def picture(scene: Scene) -> Picture:
    """Return `scene` fitted as on a sheet."""
    return pictured(
        scene, left=0.0, top=0.0, width=WIDTH, height=HEIGHT, frames=(scene.start, scene.end % scene.frames)
    )


def test_break_makes_the_person_larger_and_changes_no_figure() -> None:
    """With 2.2 m of floor the person grows by a fifth at least; hands, bodies and lettering stay."""
    scene = far_row()
    broken = picture(scene)
    whole = framed(scene, left=0.0, top=0.0, width=WIDTH, height=HEIGHT, frames=(scene.start, scene.end))
    assert broken.strip is not None
    assert broken.camera.scale > 1.2 * whole.scale
    assert broken.scene.skeleton is scene.skeleton
    assert [item.text for item in broken.scene.dimensions] == ["2.20 m", "0.90 m"]
    assert broken.scene.true_anchor == pytest.approx(scene.anchor)
    svg = draw_still(scene, width_mm=118, height_mm=64, title="Row", description="A row.")
    assert "2.20 m" in svg


@pytest.mark.parametrize("frame", [0, -1])
def test_both_pieces_of_a_broken_band_point_the_true_way(frame: int) -> None:
    """From the hand to the break and from the break to the post the band runs as from the hand to the true anchor."""
    scene = far_row()
    broken = picture(scene)
    assert broken.strip is not None
    for run in runs(broken.scene, frame):
        assert run.end == pytest.approx(scene.anchor)
        true = (scene.anchor - run.start) / np.linalg.norm(scene.anchor - run.start)
        pieces = drawn_runs(broken.scene, broken.camera, run, broken.strip)
        assert [far for _, far in pieces] == [False, True]
        (near, _), (far, _) = pieces
        for piece in (near, far):
            way = piece[-1] - piece[0]
            assert way / np.linalg.norm(way) == pytest.approx(true, abs=1e-9)
        assert near[0] == pytest.approx(run.start)
        assert far[-1] == pytest.approx(broken.scene.anchor)
        # What is left out is floor only: the two ends at the break lie apart by no more than the cut and the gap.
        assert broken.camera.project(near[-1]).xy[0] == pytest.approx(broken.strip.near_x, abs=0.05)
        assert broken.camera.project(far[0]).xy[0] == pytest.approx(broken.strip.far_x, abs=0.05)


def test_break_is_drawn_where_nothing_else_is() -> None:
    """The strip crosses no part; no lettering lies on it."""
    import shapely

    broken = picture(far_row())
    assert broken.strip is not None
    scene, camera = broken.scene, broken.camera
    low, high = sorted((broken.strip.near_x, broken.strip.far_x))
    for frame in (scene.start, scene.end):
        # Two bands side by side are cut at one place or at two; the line of the distance at one more.
        spans = break_spans(broken, [frame], floor_y=HEIGHT - 4.0)
        assert 2 <= len(spans) <= 3
        assert all(first[1] < second[0] for first, second in pairwise(spans))
        parts = ordered_parts(scene, camera, static_parts(scene, camera), frame)
        for top, bottom in spans:
            marked = shapely.box(low, top, high, bottom)
            assert [part.name for part in parts if part.shape.intersects(marked)] == []
    parts = ordered_parts(scene, camera, static_parts(scene, camera), scene.start)
    for label in dimension_labels(broken, parts, scene.start, width=WIDTH, height=HEIGHT):
        assert not label.area.intersects(shapely.box(low, 0.0, high, HEIGHT))


def test_break_needs_no_dimensions() -> None:
    """Without lettering the band is broken too: sideways to a post at the side, backwards to one behind."""
    scene = replace(far_row(), dimensions=())
    assert picture(scene).strip is not None
    for anchor, way in (((0.4, -3.0, 0.9), (0.0, -1.0, 0.0)), ((-3.0, 0.1, 0.9), (-1.0, 0.0, 0.0))):
        cut = shortened(replace(scene, anchor=np.array(anchor)), frames=(0, -1)).cut
        assert cut is not None
        assert cut / np.linalg.norm(cut) == pytest.approx(way)


@pytest.mark.parametrize("scene", [row(), external_rotation(), press()], ids=["row", "rotation", "press"])
def test_short_bands_are_drawn_whole(scene: Scene) -> None:
    """A post within reach of the picture is drawn where it is."""
    assert picture(scene).strip is None
    assert picture(scene).scene.anchor is scene.anchor


def test_what_is_cut_is_bare_floor_towards_the_post() -> None:
    """The cut is along the way to the post, leaves what was asked, and is less than the distance."""
    scene = far_row()
    shorter = shortened(scene, frames=(0, -1), keep=0.5)
    assert shorter.cut is not None
    assert shorter.cut[1:] == pytest.approx((0.0, 0.0))
    hand = max(float(arm.hand[frame, 0]) for arm in scene.skeleton.arms.values() for frame in (0, -1))
    nearest = max(hand, scene.chair.footplate_reach, *(float(leg.end[0]) for leg in scene.legs.values()))
    assert float(shorter.anchor[0]) - nearest == pytest.approx(0.5)  # type: ignore[index]
    assert shortened(shorter, frames=(0, -1)) is shorter
