"""docs/why/session.md shows every number of the session as it is, and says how it is known."""

from pathlib import Path

import pytest

from firstpush.core.measured import Measured
from firstpush.core.session.asked import DUE_AFTER, STALE_AFTER
from firstpush.core.session.changes import SAME_LENGTH, TIMES
from firstpush.core.session.kinds import DOOR_ROOM, KIND_NAMES, MATCH_LOAD, MINUTES_EACH, STATIC_HOLD
from firstpush.core.session.wishes import POSTERIOR_RATIO, WISHES

NUMBERS = (
    *TIMES,
    POSTERIOR_RATIO,
    SAME_LENGTH,
    DUE_AFTER,
    STALE_AFTER,
    DOOR_ROOM,
    MATCH_LOAD,
    MINUTES_EACH,
    STATIC_HOLD,
)

PAGE = (Path(__file__).parents[3] / "docs" / "why" / "session.md").read_text(encoding="utf-8")


@pytest.mark.parametrize("number", NUMBERS, ids=lambda number: number.name)
def test_every_number_stands_on_the_page(number: Measured) -> None:
    """Name, value and how it is known stand in one row."""
    unit = "" if number.unit == "1" or number in TIMES else f" {number.unit}"
    assert f"| {number.name} | {number.value:g}{unit} | {number.known} |" in PAGE


def test_the_wishes_stand_on_the_page_in_their_order() -> None:
    """The rows of the table of wishes are those of the model."""
    rows = [PAGE.index(f"\n| {wish} |") for wish in WISHES]
    assert rows == sorted(rows)


def test_every_kind_of_session_stands_on_the_page() -> None:
    """Each has its row, in the order of the program."""
    rows = [PAGE.index(f"\n| {kind} |") for kind in KIND_NAMES]
    assert rows == sorted(rows)
