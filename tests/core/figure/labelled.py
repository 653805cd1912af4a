"""A scene put on a panel with its dimensions, as still drawings do it."""

from __future__ import annotations

from firstpush.core.figure.figure_parts import ordered_parts, static_parts
from firstpush.core.figure.labels import Lettered
from firstpush.core.figure.lettering import HEADING_MM, dimension_labels
from firstpush.core.figure.outlines import Part
from firstpush.core.figure.picture import Picture, pictured
from firstpush.core.figure.scene import Scene


def labelled(scene: Scene, *, width: float, height: float) -> tuple[Picture, list[Part], list[Lettered]]:
    """Return the picture of a scene on a panel below its heading [mm], its parts at the start, and its dimensions."""
    picture = pictured(
        scene, left=0.0, top=HEADING_MM, width=width, height=height - HEADING_MM, frames=(scene.start, scene.end)
    )
    drawn = picture.scene
    parts = ordered_parts(drawn, picture.camera, static_parts(drawn, picture.camera), drawn.start)
    return picture, parts, dimension_labels(picture, parts, drawn.start, width=width, height=height)
