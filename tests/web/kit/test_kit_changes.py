"""What changed between two states of a cupboard or venue, in words."""

from __future__ import annotations

import copy
from typing import Any

import pytest
from club_people import demo_document

from firstpush.web.kit.changes import what_changed


def kit(**more: Any) -> dict[str, Any]:
    """Return a small cupboard."""
    bands = [{"name": "flat 10", "length_m": 2.0, "count": 4}, {"name": "tube", "length_m": 1.3}]
    return {"name": "loft", "bands": bands, "cones": {"count": 16}} | more


def test_nothing_changed_is_nothing() -> None:
    """The same document has no line."""
    assert what_changed(kit(), kit()) == []


@pytest.mark.parametrize(
    ("change", "line"),
    [
        (lambda d: d["bands"][0].update(count=3), "flat 10, count: 4 → 3"),
        (lambda d: d["bands"][0].update(length_m=1.9), "flat 10, length: 2 m → 1.9 m"),
        (lambda d: d["bands"].pop(0), "flat 10: taken out"),
        (lambda d: d["bands"].append({"name": "roll"}), "roll: added"),
        (lambda d: d["bands"][1].update(name="tubing"), "tube: now called tubing"),
        (lambda d: d["cones"].update(count=20), "cones, count: 16 → 20"),
        (lambda d: d.pop("cones"), "cones: count 16 → nothing"),
        (lambda d: d.update(door_anchors=2), "door anchors: nothing → 2"),
        (lambda d: d.update(balls=[{"name": "light"}]), "light: added"),
        (
            lambda d: d["bands"][1].update(pulls=[{"elongation_percent": 100, "force_n": 48.5}]),
            "tube, pulls: nothing → 48.5 N at 100 %",
        ),
    ],
)
def test_each_change_has_its_line(change: Any, line: str) -> None:
    """One change, one line, in the units of the document."""
    after = copy.deepcopy(kit())
    change(after)
    assert what_changed(kit(), after) == [line]


def test_taking_one_out_of_the_middle_renames_nothing() -> None:
    """What moves up one place is still what it was."""
    before = {"bands": [{"name": name} for name in ("a", "b", "c")]}
    after = {"bands": [{"name": name} for name in ("a", "c")]}
    assert what_changed(before, after) == ["b: taken out"]
    assert what_changed(after, before) == ["b: added"]


def test_heights_of_a_post() -> None:
    """A range of heights and a list of them are told in metres."""
    before = demo_document("venue")
    after = copy.deepcopy(before)
    after["posts"][0]["heights_m"] = [0.5, 1.0]
    (line,) = what_changed(before, after)
    assert line.startswith(f"{before['posts'][0]['name']}, heights: from 0.15")
    assert line.endswith("→ 0.5 m, 1 m")
