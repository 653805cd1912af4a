"""A document that is parsed already reads as its file does: the same values, and the same faults."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from firstpush.core.errors import Fault, InputFileError
from firstpush.core.kit.kit_file import kit_from, load_kit
from firstpush.core.kit.venue_file import load_venue, venue_from
from firstpush.core.people.athlete_file import athlete_from, load_athlete
from firstpush.core.toml_file import as_toml_file
from firstpush.demo import demo_file

KINDS: dict[str, tuple[Callable[..., Any], Callable[..., Any]]] = {
    "athlete": (load_athlete, athlete_from),
    "kit": (load_kit, kit_from),
    "venue": (load_venue, venue_from),
}

WRONG = {
    "athlete": """
mass_kg = 580
arm_span_cm = 166
sex = "women"
missing_limbs = ["left hand"]
[function]
left = { grip = "full" }
[[chairs]]
name = "a"
kind = "court"
overall_length_m = 0.5
footplate_reach_m = 0.6
wheel_diameter_m = 0.6
[[chairs]]
name = "A"
""",
    "kit": """
name = ""
[[bands]]
name = "flat"
length_m = 2.0
pulls = [ { elongation_percent = 100, force_n = 20 }, { elongation_percent = 150, force_n = 10 } ]
[[bands]]
name = "Flat"
lenght_m = 2.0
[blocking]
chocks = 2
""",
    "venue": """
floor_length_m = 10.0
floor_width_m = 5.0
[[posts]]
name = "bars"
room_in_front_m = 30.0
heights_m = { from = 2.0, to = 1.0 }
[[posts]]
name = "bars"
heights_m = []
""",
}
"""Files with several things wrong in each: out of range, misspelt, missing, contradicting, named twice."""


def told(fault: Fault) -> tuple[str, str, str, str]:
    """Return what a fault says, without the lines that only a file has."""
    wrong = re.sub(r" from the table that starts at line \d+| \(line \d+\)", "", fault.wrong)
    return fault.key, wrong, fault.allowed, fault.next_step


@pytest.mark.parametrize("kind", KINDS)
def test_the_same_values_as_the_file(kind: str) -> None:
    """The demo's file and its parsed content make the same value."""
    load, from_document = KINDS[kind]
    path = demo_file(kind)
    document = tomllib.loads(path.read_text(encoding="utf-8"))
    assert from_document(document, where="here") == load(path)


@pytest.mark.parametrize("kind", KINDS)
def test_the_same_faults_as_the_file(kind: str, tmp_path: Path) -> None:
    """Every fault of the file is told of the document too, under the name that was given, without a line."""
    load, from_document = KINDS[kind]
    path = tmp_path / "wrong.toml"
    path.write_text(WRONG[kind], encoding="utf-8")
    with pytest.raises(InputFileError) as of_file:
        load(path)
    with pytest.raises(InputFileError) as of_document:
        from_document(tomllib.loads(WRONG[kind]), where="the form")
    assert len(of_file.value.faults) >= 4
    assert sorted(map(told, of_file.value.faults)) == sorted(map(told, of_document.value.faults))
    assert {(fault.file, fault.line) for fault in of_document.value.faults} == {("the form", None)}
    assert "line" not in str(of_document.value)


def test_nothing_known_counts_as_left_out() -> None:
    """None stands for what a form left empty, however deep it lies; the document itself is not changed."""
    document: dict[str, Any] = {"sport": None, "bands": [{"name": "flat", "count": None}]}
    assert as_toml_file(document, where="form").data == {"bands": [{"name": "flat"}]}
    assert document["bands"][0]["count"] is None
