"""docs/why/programme.md shows every number of the programme as it is, and says how it is known."""

from pathlib import Path

import pytest

from firstpush.core.measured import Measured
from firstpush.core.programme.calendar import LIGHT_EVERY
from firstpush.core.programme.days import GAP
from firstpush.core.programme.load import NUMBERS
from firstpush.core.programme.step_model import FIRST_STEP_WORTH
from firstpush.core.programme.worth import FULL_SETS, MUSCLES, STRENGTH_DAYS, WORTHS
from firstpush.core.session.wishes import CORE_AIM_WEIGHT

PAGE = (Path(__file__).parents[3] / "docs" / "why" / "programme.md").read_text(encoding="utf-8")
EVERY = (*WORTHS, CORE_AIM_WEIGHT, STRENGTH_DAYS, FULL_SETS, *NUMBERS, LIGHT_EVERY, FIRST_STEP_WORTH, GAP)


@pytest.mark.parametrize("number", EVERY, ids=lambda number: number.name)
def test_every_number_stands_on_the_page(number: Measured) -> None:
    """Name, value and how it is known stand in one row."""
    unit = "" if number.unit == "1" else f" {number.unit}"
    assert f"| {number.name} | {number.value:g}{unit} | {number.known} |" in PAGE


def test_every_muscle_group_stands_on_the_page() -> None:
    """With the aims that load it."""
    groups = dict.fromkeys(MUSCLES.values())
    for group in groups:
        aims = [aim for aim, name in MUSCLES.items() if name == group]
        assert f"| {group} | {', '.join(aims)} |" in PAGE
