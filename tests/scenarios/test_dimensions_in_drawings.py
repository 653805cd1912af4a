"""Distance and height beside rows, for everybody of the club: no figure lies on the line of the other dimension."""

from __future__ import annotations

import pytest
import shapely
from eight_cases import CLUB, CUPBOARD, HALL

from firstpush.core.exercises.loader import library
from firstpush.core.figure.figure_parts import ordered_parts, static_parts
from firstpush.core.figure.from_setup import scene_of
from firstpush.core.figure.lettering import HEADING_MM, dimension_labels
from firstpush.core.figure.picture import pictured
from firstpush.core.people.athlete import Athlete
from firstpush.core.setup.circumstances import circumstances
from firstpush.core.setup.search import search_setup

WIDTH, HEIGHT = 57.0, 64.0
"""Half of a drawing of the session page [mm]."""


@pytest.mark.parametrize("athlete", CLUB.values(), ids=CLUB)
def test_no_figure_lies_on_the_line_of_another(athlete: Athlete) -> None:
    """The height stands near the post, the distance lies on the floor: placed in either order, one of them fits."""
    case = circumstances(athlete, CUPBOARD, HALL)
    for name in ("low_row", "seated_row"):
        best = search_setup(library()[name], case, side="right", best=1, ranges=False).best
        if best is None:
            continue
        scene = scene_of(best)
        picture = pictured(
            scene,
            left=0.0,
            top=HEADING_MM,
            width=WIDTH,
            height=HEIGHT - HEADING_MM,
            frames=(scene.start, scene.end),
        )
        parts = ordered_parts(
            picture.scene, picture.camera, static_parts(picture.scene, picture.camera), picture.scene.start
        )
        labels = dimension_labels(picture, parts, picture.scene.start, width=WIDTH, height=HEIGHT)
        assert len(labels) == len(scene.dimensions)
        for label in labels:
            for other in labels:
                line = shapely.LineString([other.start, other.end])
                assert other is label or not label.area.intersects(line), (name, label.dimension.text)
