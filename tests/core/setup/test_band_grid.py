"""The grid of all ways to lay the bands gives at every place what the law and statics give there alone."""

from __future__ import annotations

import numpy as np
import pytest
from setup_cases import BANDED, CUPBOARD, EVEN, HALL, Laid, case_of, elongation_kept, forces, load, only

from firstpush.core.body.movement import movement
from firstpush.core.exercises.loader import exercise_named
from firstpush.core.people.athlete import SIDES, Side
from firstpush.core.setup.anchors import anchors
from firstpush.core.setup.band_grid import BandGrid, band_grid, pieces
from firstpush.core.setup.circumstances import Circumstances
from firstpush.core.setup.loads import named_load
from firstpush.core.setup.pull_points import lines

CASE = case_of(EVEN, CUPBOARD)


def grid_of(name: str, side: Side, case: Circumstances = CASE) -> BandGrid:
    """Return the grid of a library exercise."""
    exercise = exercise_named(name)
    assert exercise.band is not None
    bones = movement(exercise, case.body, case.chair, side=side).skeleton
    places = anchors(exercise.band, bones, case.chair, HALL, side=side)
    pull_lines = lines(exercise.band, bones, case.chair, side=side, attach={})
    named = named_load(exercise.loads, case.body, bones, side=side, attach={})
    return band_grid(pieces(case.bands, exercise.band), places, pull_lines, named)


@pytest.mark.parametrize("name", BANDED)
@pytest.mark.parametrize("side", SIDES)
def test_every_place_is_what_it_is_alone(name: str, side: Side) -> None:
    """40 places by chance: largest, smallest and first load, and what the band allows, computed one by one."""
    exercise = exercise_named(name)
    skeleton = movement(exercise, CASE.body, CASE.chair, side=side).skeleton
    grid = grid_of(name, side)
    rng = np.random.default_rng(11)
    for _ in range(40):
        p, s, a = (int(rng.integers(0, size)) for size in grid.peak.shape)
        piece = grid.pieces[p]
        way = Laid(
            exercise=exercise,
            side=side,
            skeleton=skeleton,
            attach=dict.fromkeys(SIDES, "hand"),
            law=piece.law,
            strands=piece.strands,
            mark=float(grid.marks[s]),
            anchor=grid.anchors.points[a],
            strap="none",
            free_hand=False,
        )
        alone = load(CASE, way, forces(way))
        assert grid.peak[p, s, a] == pytest.approx(alone.max(), rel=1e-9, abs=1e-9)
        assert grid.lowest[p, s, a] == pytest.approx(alone.min(), rel=1e-9, abs=1e-9)
        if alone.max() > 0.1:
            assert grid.first_to_peak[p, s, a] == pytest.approx(alone[0] / alone.max(), rel=1e-9)
        stretch_kept = all(
            grid.fits[wrong][p, s, a] for wrong in ("stretched over the band's limit", "slack inside the movement")
        )
        assert stretch_kept == elongation_kept(way)


@pytest.mark.parametrize(
    ("count", "grip", "longest"),
    [
        (2, "each", {1: 2.0, 2: (2.5 - 0.3) / 2}),  # one each: 2.5 - 0.3 = 2.2, cut at 2.0
        (1, "each", {1: (2.5 - 0.6) / 2, 2: (2.5 - 0.6) / 4}),  # one round the post, both ends held
        (1, "working", {1: 2.0, 2: 1.1}),
        (1, "joined", {1: 2.0, 2: 1.1}),
    ],
)
def test_material_is_counted(count: int, grip: str, longest: dict[int, float]) -> None:
    """A band of 2.5 m, 0.3 m of it for knot and wraps at each hand: what mark is left, folded or not, shared or not."""
    from dataclasses import replace

    use = exercise_named("seated_row").band
    assert use is not None
    case = case_of(EVEN, only("flat 24", count=count))
    found = {piece.strands: piece for piece in pieces(case.bands, replace(use, grip=grip))}  # type: ignore[arg-type]
    assert set(found) == {1, 2}
    for strands, mark in longest.items():
        assert found[strands].longest_mark == pytest.approx(mark)
        assert found[strands].loop == (grip == "each" and count == 1)


def test_folding_doubles_the_pull_at_the_same_mark() -> None:
    """Two strands of the same slack length pull twice: the band's part of the load doubles."""
    grid = grid_of("seated_row", "right")
    single, double = (next(i for i, p in enumerate(grid.pieces) if p.strands == n) for n in (1, 2))
    assert grid.pieces[single].band == grid.pieces[double].band
    np.testing.assert_allclose(grid.peak[double], 2 * grid.peak[single], rtol=1e-9)  # retraction has no weight in it


def test_a_band_never_pulled_has_no_load() -> None:
    """Its places are there, its loads are not numbers, its stretch is judged all the same."""
    grid = grid_of("seated_row", "right", case_of(EVEN, only("flat 24", pulls=())))
    assert np.all(np.isnan(grid.peak))
    assert grid.fits["slack inside the movement"].any()


def test_no_band_in_the_cupboard_is_no_piece() -> None:
    """Count 0 lies there in the list only."""
    use = exercise_named("seated_row").band
    assert use is not None
    assert pieces(case_of(EVEN, only("flat 24", count=0)).bands, use) == ()


def test_longer_marks_pull_less() -> None:
    """At every place the stretch falls as the mark grows."""
    grid = grid_of("external_rotation_90", "left")
    for stretch in grid.stretch:
        assert np.all(np.diff(stretch, axis=0) < 0)
