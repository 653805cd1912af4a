"""Distance and height beside rows, for everybody of the club: no figure lies on the line of the other dimension."""

from __future__ import annotations

from pathlib import Path

import pytest
import shapely
from labelled import labelled

from firstpush.core.exercises.loader import library
from firstpush.core.figure.from_setup import scene_of
from firstpush.core.kit.kit_file import load_kit
from firstpush.core.kit.venue_file import load_venue
from firstpush.core.people.athlete_file import load_athlete
from firstpush.core.setup.circumstances import circumstances
from firstpush.core.setup.search import search_setup
from firstpush.demo.club import club_files

CUPBOARD = load_kit(club_files()["kits"][0])
HALL = next(load_venue(path) for path in club_files()["venues"] if path.stem == "slipway_hall")
WIDTH, HEIGHT = 57.0, 64.0
"""Half of a drawing of the session page [mm]."""


@pytest.mark.parametrize("athlete", club_files()["athletes"], ids=lambda path: path.stem)
def test_no_figure_lies_on_the_line_of_another(athlete: Path) -> None:
    """The height stands near the post, the distance lies on the floor: placed in either order, one of them fits."""
    case = circumstances(load_athlete(athlete), CUPBOARD, HALL)
    for name in ("low_row", "seated_row"):
        best = search_setup(library()[name], case, side="right", best=1, ranges=False).best
        if best is None:
            continue
        scene = scene_of(best)
        _, _, labels = labelled(scene, width=WIDTH, height=HEIGHT)
        assert len(labels) == len(scene.dimensions)
        for label in labels:
            for other in labels:
                line = shapely.LineString([other.start, other.end])
                assert other is label or not label.area.intersects(line), (name, label.dimension.text)
