"""`firstpush exercises`: the whole printed output."""

from __future__ import annotations

from pathlib import Path
from typing import get_args

from command_line import run, run_json

from firstpush.core.measured import Known

PRINTED = (Path(__file__).parent / "exercises.txt").read_text(encoding="utf-8")
"""Written by hand from the library's files: id, title, part, loads and aims of each."""


def test_the_library_is_printed_in_the_order_of_the_parts() -> None:
    """Each exercise has one line: mobility, strength, control, court."""
    done = run("exercises")
    assert done.returncode == 0
    assert done.stdout == PRINTED
    assert done.stderr == ""


def test_the_json_has_the_same_exercises_and_says_how_each_is_known() -> None:
    """Table and JSON name the same exercises in the same order."""
    found = run_json("exercises")
    ids = [line.split()[0] for line in PRINTED.splitlines()[3:-1]]
    assert [each["id"] for each in found] == ids
    for each in found:
        assert each["evidence"], f"{each['id']} rests on nothing that is named"
        for one in each["evidence"]:
            assert one["known"] in get_args(Known)
            assert one["source"], f"{each['id']}: {one['says']} has no source"
        assert each["title"] in PRINTED
        assert each["doses"], f"{each['id']} has no dose"
