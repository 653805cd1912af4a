"""docs/why/progress.md shows every number of the levers as it is, and says how it is known."""

from pathlib import Path

import pytest

from firstpush.core.exercises import other_poses
from firstpush.core.measured import Measured
from firstpush.core.progress import dose_steps, step

PAGE = (Path(__file__).parents[3] / "docs" / "why" / "progress.md").read_text(encoding="utf-8")
NUMBERS = [
    each
    for module in (step, dose_steps, other_poses)
    for value in vars(module).values()
    for each in (value if isinstance(value, tuple) else (value,))
    if isinstance(each, Measured)
    and each.name != "shortest phase for which quasi-static moments are printed without a word"
]


def test_the_numbers_were_found() -> None:
    """Those of steps, doses and turns, and not an empty list."""
    assert len(NUMBERS) > 15


@pytest.mark.parametrize("number", NUMBERS, ids=lambda number: number.name)
def test_every_number_stands_on_the_page(number: Measured) -> None:
    """Name, value and how it is known stand in one row."""
    unit = "" if number.unit == "1" else f" {number.unit}"
    assert f"| {number.name} | {number.value:g}{unit} | {number.known} |" in PAGE


def test_every_lever_stands_on_the_page() -> None:
    """Each in the first column of the table of levers."""
    first = " ".join(row.split("|")[1] for row in PAGE.splitlines() if row.startswith("| "))
    for lever in (*step.LEVERS, step.WHOLE_EXERCISE):
        assert lever in first, lever
