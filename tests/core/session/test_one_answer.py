"""The question most exercises wait for, held against really answering it and setting everything up again."""

from __future__ import annotations

import copy
from typing import Any

import pytest

from firstpush.core.exercises.loader import library
from firstpush.core.kit.kit_file import kit_from
from firstpush.core.kit.venue_file import venue_from
from firstpush.core.people.athlete_file import athlete_from
from firstpush.core.session.one_answer import FEWEST, OpenAnswer, may_be_awaited, most_awaited
from firstpush.core.session.prepare import Prepared, prepare
from firstpush.core.setup.circumstances import Circumstances, circumstances

ATHLETE = {"name": "Tomas", "mass_kg": 70, "arm_span_m": 1.8, "chairs": [{"kind": "court"}]}
VENUE = {
    "name": "School hall",
    "floor_length_m": 28,
    "floor_width_m": 15,
    "posts": [{"name": "wall bars", "heights_m": [0.15 * n for n in range(1, 17)], "room_in_front_m": 4}],
}
GREEN = {"name": "Green band", "length_m": 2.0, "count": 2, "pulls": [{"elongation_percent": 100, "force_n": 21}]}
CHOCKS = {"chocks": 4, "chock_height_m": 0.08}
SPINA_BIFIDA = {"conditions": ["spina bifida"]}
EXERCISES = tuple(
    each for each in library().values() if each.id in {
        "low_row", "seated_row", "high_row", "anti_rotation_press", "external_rotation_both", "pull_apart",
        "easy_rolling", "forward_punch",
    }
)  # fmt: skip
"""Some with a band on a post, some with a band held, one without."""


def case_of(kit: dict[str, Any], health: dict[str, Any]) -> Circumstances:
    """Return Tomas in the school hall with a cupboard."""
    athlete = athlete_from(ATHLETE | {"health": health}, where="athlete")
    return circumstances(athlete, kit_from(kit, where="kit"), venue_from(VENUE, where="venue"))


def set_up(kit: dict[str, Any], health: dict[str, Any]) -> Prepared:
    """Return all that can be set up."""
    return prepare(case_of(kit, health), EXERCISES)


def asked(kit: dict[str, Any], health: dict[str, Any]) -> OpenAnswer | None:
    """Return the question that most exercises wait for."""
    return most_awaited(case_of(kit, health), EXERCISES, set_up(kit, health), kit_document=kit, kind="before training")


def opened(before: dict[str, Any], after: dict[str, Any], *health: dict[str, Any]) -> set[str]:
    """Return what can be set up after an answer and could not be before; `health` before and after."""
    now = {id_ for id_, _ in set_up(before, health[0]).setups}
    return {id_ for id_, _ in set_up(after, health[-1]).setups} - now


def answered(kit: dict[str, Any], **other: Any) -> dict[str, Any]:
    """Return `kit` with something written into it."""
    return copy.deepcopy(kit) | other


def test_a_band_of_unknown_material() -> None:
    """Spina bifida: latex is out, the only band may be of it; answering the question opens what was said."""
    kit = {"name": "C", "bands": [GREEN], "blocking": CHOCKS}
    found = asked(kit, SPINA_BIFIDA)
    assert found is not None
    assert (found.asks, found.key) == ("is “Green band” free of latex?", "bands[0].material")
    free = answered(kit, bands=[GREEN | {"material": "latex-free"}])
    assert set(found.opens) == opened(kit, free, SPINA_BIFIDA)
    assert len(found.opens) >= FEWEST


def test_chocks_that_are_not_written_down() -> None:
    """A court chair has no brakes: posts wait for four chocks."""
    kit = {"name": "C", "bands": [GREEN | {"material": "latex-free"}]}
    found = asked(kit, SPINA_BIFIDA)
    assert found is not None
    assert (found.asks, found.key) == ("are there four chocks?", "blocking.chocks")
    assert set(found.opens) == opened(kit, answered(kit, blocking=CHOCKS), SPINA_BIFIDA)


def test_latex_that_was_never_asked() -> None:
    """Without a condition that forbids it, one question to the athlete opens every band."""
    kit = {"name": "C", "bands": [GREEN | {"material": "latex"}], "blocking": CHOCKS}
    found = asked(kit, {})
    assert found is not None
    assert (found.asks, found.whose, found.key) == ("does Tomas tolerate latex?", "athlete", "health.latex")
    assert set(found.opens) == opened(kit, kit, {}, {"latex": "tolerated"})


@pytest.mark.parametrize(
    "kit",
    [
        pytest.param({"name": "C", "bands": [GREEN], "blocking": {"chocks": 0}}, id="none is known to be none"),
        pytest.param({"name": "C", "bands": [GREEN | {"material": "latex"}], "blocking": CHOCKS}, id="known latex"),
    ],
)
def test_what_is_known_is_not_asked(kit: dict[str, Any]) -> None:
    """No chocks is an answer, and so is latex."""
    found = asked(kit, SPINA_BIFIDA)
    assert found is None or found.key not in ("blocking.chocks", "bands[0].material") or "chocks" in kit["blocking"]
    if kit["bands"][0].get("material") == "latex":
        assert found is None


def test_the_answer_that_opens_most_is_asked_first() -> None:
    """Brute force over both questions of a cupboard where each opens something by itself."""
    kit = {"name": "C", "bands": [GREEN, GREEN | {"name": "Blue band", "length_m": 0.3}], "blocking": CHOCKS}
    found = asked(kit, SPINA_BIFIDA)
    assert found is not None
    counts = {}
    for at in (0, 1):
        bands = copy.deepcopy(kit["bands"])
        assert isinstance(bands, list)
        bands[at]["material"] = "latex-free"
        counts[f"bands[{at}].material"] = len(opened(kit, answered(kit, bands=bands), SPINA_BIFIDA))
    assert len(found.opens) == max(counts.values())
    assert counts[found.key] == max(counts.values())


def test_whether_something_may_be_awaited_needs_no_search() -> None:
    """The quick look never says no where the search finds something."""
    kit = {"name": "C", "bands": [GREEN], "blocking": CHOCKS}
    reasons = [each.reason for each in set_up(kit, SPINA_BIFIDA).left_out]
    assert may_be_awaited(reasons)
    assert not may_be_awaited(["a harder step: Low row comes first"] * 9)
