"""docs/why/session.md shows every number of the session as it is, and says how it is known."""

from pathlib import Path

import pytest

from firstpush.core.measured import Measured
from firstpush.core.session.changes import SAME_LENGTH, TIMES
from firstpush.core.session.wishes import POSTERIOR_RATIO, WISHES

PAGE = (Path(__file__).parents[3] / "docs" / "why" / "session.md").read_text(encoding="utf-8")


@pytest.mark.parametrize("number", [*TIMES, POSTERIOR_RATIO, SAME_LENGTH], ids=lambda number: number.name)
def test_every_number_stands_on_the_page(number: Measured) -> None:
    """Name, value and how it is known stand in one row."""
    unit = f" {number.unit}" if number.unit == "m" else ""
    assert f"| {number.name} | {number.value:g}{unit} | {number.known} |" in PAGE


def test_the_wishes_stand_on_the_page_in_their_order() -> None:
    """The rows of the table of wishes are those of the model."""
    rows = [PAGE.index(f"\n| {wish} |") for wish in WISHES]
    assert rows == sorted(rows)
