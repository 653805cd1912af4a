"""`firstpush exercises`: the whole printed output, worked out from the files of the library."""

from __future__ import annotations

import tomllib
from pathlib import Path
from typing import Any, get_args

from command_line import run, run_json

import firstpush
from firstpush.core.measured import Known

LIBRARY = Path(firstpush.__file__).parent / "core" / "exercises" / "library"
PARTS = ["mobility", "strength", "control", "court"]
SPINE = {
    "chest_stretch_post",
    "seated_row",
    "external_rotation_90",
    "anti_rotation_press",
    "ball_circles",
    "graded_push_lengths",
}
"""The six that every session could be made from at the beginning."""


def written() -> list[tuple[str, dict[str, Any]]]:
    """Return id and content of every exercise file, by part and then by id."""
    found = [(path.stem, tomllib.loads(path.read_text(encoding="utf-8"))) for path in LIBRARY.glob("*.toml")]
    return sorted(found, key=lambda each: (PARTS.index(each[1]["part"]), each[0]))


def test_the_library_is_printed_in_the_order_of_the_parts() -> None:
    """Each exercise has one line with id, title, part, load and aims, under a heading, in columns."""
    done = run("exercises")
    assert (done.returncode, done.stderr) == (0, "")
    rule, heading, *lines = done.stdout.splitlines()
    assert heading.split() == ["id", "exercise", "part", "loads", "aims"]
    assert lines[0] == lines[-1] == rule == "─" * len(rule)
    starts = [heading.index(word) for word in ("id", "exercise", "part", "loads", "aims")]
    cells = [
        [line[start:end].strip() for start, end in zip(starts, [*starts[1:], None], strict=True)]
        for line in lines[1:-1]
    ]
    assert [cell[:4] for cell in cells] == [
        [id_, file["title"], file["part"], file["loads"]] for id_, file in written()
    ]
    assert [set(cell[4].split(", ")) for cell in cells] == [set(file["aims"]) for _, file in written()]
    assert {cell[0] for cell in cells} >= SPINE


def test_the_json_has_the_same_exercises_and_says_how_each_is_known() -> None:
    """Files and JSON name the same exercises in the same order, each with what it rests on."""
    found = run_json("exercises")
    assert [each["id"] for each in found] == [id_ for id_, _ in written()]
    for each, (_, file) in zip(found, written(), strict=True):
        assert each["summary"] == file["summary"]
        assert each["doses"] == [dose["name"] for dose in file["doses"]]
        assert each["evidence"], f"{each['id']} rests on nothing that is named"
        for one in each["evidence"]:
            assert one["known"] in get_args(Known)
            assert one["source"], f"{each['id']}: {one['says']} has no source"
