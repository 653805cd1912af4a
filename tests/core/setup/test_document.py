"""A set-up as plain data: units in the keys, JSON without surprises, the same numbers as the values."""

from __future__ import annotations

import json
import math
from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from setup_cases import BANDED, CUPBOARD, EVEN, HALL, RUNA, G, best, case_of, searched

from firstpush.core.exercises.loader import library
from firstpush.core.people.athlete import SIDES
from firstpush.core.setup.document import answer_document, setup_document

UNITS = ("_m", "_n", "_nm", "_kg", "_deg", "_percent", "_s")


def numbers(value: Any, key: str = "") -> list[tuple[str, float]]:
    """Return every number of a document with the key it stands under."""
    if isinstance(value, bool) or value is None or isinstance(value, str):
        return []
    if isinstance(value, int | float):
        return [(key, float(value))]
    if isinstance(value, dict):
        return [pair for name, each in value.items() for pair in numbers(each, _inner(key, str(name)))]
    return [pair for each in value for pair in numbers(each, key)]


def _inner(outer: str, name: str) -> str:
    # Below a key with a unit the parts (value, low, forward ...) carry the same unit.
    return outer if outer.endswith(UNITS) and not name.endswith(UNITS) else name


@pytest.mark.parametrize("name", list(library()))
def test_it_is_json_with_units_in_the_keys(name: str) -> None:
    """Every number stands under a key with its unit, or is a count, a share or a factor; nothing is NaN or infinite."""
    document = answer_document(searched(name, "left", ranges=True), frames=True)
    text = json.dumps(document, allow_nan=False)
    assert json.loads(text) == document
    plain = {"strands", "tried", "share_of_movement", "factor", "trunk_factor", "chair_factor", "stretch"}
    without = {key for key, _ in numbers(document) if not key.endswith(UNITS) and key not in plain}
    assert without <= set(document["failed"]), without


@pytest.mark.parametrize("name", BANDED)
def test_each_frame_can_be_checked_from_the_document_alone(name: str) -> None:
    """Moment about the shoulder from the segments and the hand force of the document: -sum (r - joint) x F."""
    setup = best(name, ranges=True)
    document = setup_document(setup, frames=True)
    for frame in document["frames"]:
        for side in SIDES:
            arm = frame["arms"][side]
            shoulder = np.array(arm["shoulder_m"])
            moment = -np.cross(np.array(arm["attach_m"]) - shoulder, arm["hand_force_n"])
            for part in arm["segments"]:
                moment = moment - np.cross(np.array(part["com_m"]) - shoulder, [0, 0, -G * part["mass_kg"]])
            np.testing.assert_allclose(arm["moment_nm"]["shoulder"]["world"], moment, atol=1e-9)
            clinical = arm["moment_nm"]["shoulder"]["clinical"]
            assert math.sqrt(sum(v**2 for v in clinical.values())) == pytest.approx(np.linalg.norm(moment))


@pytest.mark.parametrize("name", BANDED)
def test_tension_and_length_belong_together(name: str) -> None:
    """In every frame tension is n (c1 + c2/l) (l - 1/l²) at the stretch given, and length is stretch times mark."""
    document = setup_document(best(name, ranges=True), frames=True)
    band = document["band"]
    for frame in document["frames"]:
        stretch = frame["stretch"]
        law = (band["c1_n"] + band["c2_n"] / stretch) * (stretch - stretch**-2)
        assert frame["tension_n"] == pytest.approx(band["strands"] * law)
        assert frame["band_length_m"] == pytest.approx(stretch * band["slack_length_m"])
        held = [np.linalg.norm(frame["arms"][side]["hand_force_n"]) for side in SIDES]
        grips = {"seated_row": 2.0, "external_rotation_90": 1.0, "anti_rotation_press": 1.0}
        assert sum(held) == pytest.approx(grips[name] * frame["tension_n"], rel=1e-6)


def test_what_is_not_known_is_null() -> None:
    """No pull measured: tension, load and pull are null; no band: band is null; nothing is 0 for unknown."""
    unpulled = replace(CUPBOARD, bands=tuple(replace(band, pulls=()) for band in CUPBOARD.bands))
    document = setup_document(best("seated_row", case=case_of(RUNA, unpulled, HALL)), frames=True)
    assert document["peak_load_nm"] is None and document["load_nm"] is None and document["pull_n"] is None
    assert document["chair_factor"] is None and document["chair_governing_mode"] is None
    assert document["band"]["c1_n"] is None
    assert all(frame["tension_n"] is None for frame in document["frames"])
    assert setup_document(best("ball_circles"))["band"] is None


def test_a_margin_that_was_not_computed_is_null() -> None:
    """Without newtons nothing is known of what pulls at the trunk: no factor is written."""
    unpulled = replace(CUPBOARD, bands=tuple(replace(band, pulls=()) for band in CUPBOARD.bands))
    assert setup_document(best("seated_row", case=case_of(RUNA, unpulled, HALL)))["trunk_factor"] is None


def test_frames_are_only_given_when_asked_for() -> None:
    """Without frames the document is short."""
    assert "frames" not in setup_document(best("seated_row", ranges=True))
    assert (
        len(setup_document(best("seated_row", ranges=True), frames=True)["frames"])
        == best("seated_row").movement.share.size
    )


def test_a_refusal_is_a_document_too() -> None:
    """No post: no set-ups, the sentence, and the notices of the athlete."""
    document = answer_document(
        searched("seated_row", case=case_of(EVEN, CUPBOARD, replace(HALL, posts=()))), frames=False
    )
    assert document["setups"] == []
    assert "no post" in document["answer"]
