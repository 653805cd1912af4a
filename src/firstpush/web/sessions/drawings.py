"""The drawings of a session that was kept: the same set-ups that its words tell, or none."""

from __future__ import annotations

import json
from typing import Any

from firstpush.core.figure.from_setup import scene_of
from firstpush.core.figure.palette import look_for
from firstpush.core.figure.still import draw_still
from firstpush.core.session.plan import Planned
from firstpush.core.session.session import SessionItem
from firstpush.core.setup.document import setup_document
from firstpush.core.setup.result import ExerciseSetup
from firstpush.sheets.from_session import FIGURE_MM, setups_of
from firstpush.sheets.small_figures import HEIGHT_MM as SMALL_MM
from firstpush.sheets.small_figures import small_figure
from firstpush.sheets.words import figure_words
from firstpush.web.errors import WebError
from firstpush.web.figures import content_key, kept
from firstpush.web.sessions.making import planned_of
from firstpush.web.sessions.models import PlanVersion

Size = tuple[float, float]
NARROW_MM: Size = (84.0, 48.0)
"""For a phone: its lettering is as large as the words of the page where 350 px show it."""
TALL_MM: Size = (84.0, 104.0)
"""For a phone, start and end under each other."""
SMALL: Size = (0.0, SMALL_MM)
"""The key of a small drawing: as wide as it needs to be."""


class NoDrawingError(WebError):
    """The set-up can no longer be made as the words of the session tell it, so that no drawing would be true."""


def item_of(version: PlanVersion, exercise: str) -> dict[str, Any] | None:
    """Return an item of the document of `version`; None where it has none of that id."""
    items: list[dict[str, Any]] = version.document.get("items", [])
    return next((item for item in items if item.get("exercise") == exercise), None)


def drawing_key(version: PlanVersion, item: dict[str, Any], size: Size = FIGURE_MM) -> str:
    """Return the key that the drawing of an item is kept under: the same set-up of the same athlete, the same key."""
    athlete = version.request.get("inputs", {}).get("athlete")
    told = json.dumps([athlete, item.get("setups"), item.get("sides")], sort_keys=True)
    return content_key("session", item.get("exercise"), told, size)


def drawing(version: PlanVersion, item: dict[str, Any], size: Size = FIGURE_MM) -> str:
    """Return the drawing of an item as SVG, made or kept.

    Raises
    ------
    NoDrawingError
        When a newer program sets it up otherwise than the words tell.
    FirstpushError
        When it cannot be made again at all.
    """
    return kept(drawing_key(version, item, size), lambda: _drawn(version, item, size), of=version.plan.athlete)


def small_drawing(version: PlanVersion, item: dict[str, Any]) -> str:
    """Return the small drawing of an item, without lettering; raises as `drawing` does."""
    return kept(drawing_key(version, item, SMALL), lambda: _drawn_small(version, item), of=version.plan.athlete)


def _drawn_small(version: PlanVersion, item: dict[str, Any]) -> str:
    athlete = version.request["inputs"]["athlete"]
    return small_figure(_setup_told(planned_of(version), item), look_for(athlete["name"], sex=athlete.get("sex")))


def _drawn(version: PlanVersion, item: dict[str, Any], size: Size) -> str:
    setup = _setup_told(planned_of(version), item)
    athlete = version.request["inputs"]["athlete"]
    width, height = size
    return draw_still(
        scene_of(setup, look=look_for(athlete["name"], sex=athlete.get("sex"))),
        width_mm=width,
        height_mm=height,
        title=setup.exercise.title,
        description=figure_words(setup),
        ground=False,
        stacked=size == TALL_MM,
    )


def _setup_told(planned: Planned, item: dict[str, Any]) -> ExerciseSetup:
    found = next((each for each in planned.session.items if each.candidate.id == item["exercise"]), None)
    if found is not None:
        setup = drawn_setup(found, planned)
        told = next((each for each in item["setups"] if each["side"] == setup.side), None)
        if told is not None and _place(json.loads(json.dumps(setup_document(setup)))) == _place(told):
            return setup
    raise NoDrawingError(
        f"{item.get('title')} was set up by an earlier program, and this one sets it up otherwise. "
        "Allowed: drawings of what the words tell. Make the session again for a new drawing."
    )


def drawn_setup(item: SessionItem, planned: Planned) -> ExerciseSetup:
    """Return the set-up that is drawn of an item: of the side that begins."""
    setups = setups_of(item, planned.prepared)
    return setups[None if item.candidate.together else item.sides[0]]


def _place(setup: dict[str, Any]) -> dict[str, Any]:
    """Return what a drawing shows of a set-up document."""
    shown = ("exercise", "side", "arms", "ball", "attach", "blocking", "strap", "support")
    band = setup.get("band")
    laid = ("name", "strands", "slack_length_m", "post", "anchor_height_m", "distance_m")
    return {name: setup.get(name) for name in shown} | {
        "band": None if band is None else {name: band.get(name) for name in laid}
    }


def setup_drawn(version: PlanVersion, item: dict[str, Any]) -> ExerciseSetup:
    """Return the set-up that is drawn of an item; raises as `drawing` does."""
    return _setup_told(planned_of(version), item)
