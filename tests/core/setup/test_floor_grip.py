"""Friction and rolling resistance by surface."""

import pytest

from firstpush.core.setup.floor_grip import SURFACES, floor_grip


def test_ninety_kilograms_roll_at_nine_newtons_on_a_hard_floor() -> None:
    """90 kg x 9.81 x 0.010 = 8.83 N, the usual example of the field."""
    assert floor_grip("sprung wood").rolling.value * 90 * 9.81 == pytest.approx(8.83, abs=0.005)


@pytest.mark.parametrize(("surface", "more"), [("linoleum", 0.03), ("low carpet", 0.20), ("high carpet", 0.62)])
def test_rolling_resistance_against_concrete(surface: str, more: float) -> None:
    """Linoleum +3 %, low carpet +20 %, high carpet +62 % (technical bulletin, read)."""
    assert floor_grip(surface).rolling.value / floor_grip("concrete").rolling.value == pytest.approx(1 + more)


@pytest.mark.parametrize("surface", [None, "gravel"])
def test_a_floor_not_known_takes_the_lowest_and_says_so(surface: str | None) -> None:
    """No surface in the table grips less or rolls more easily than what is not known."""
    unknown = floor_grip(surface)
    assert unknown.friction.value == min(floor_grip(name).friction.value for name in SURFACES)
    assert unknown.rolling.value == min(floor_grip(name).rolling.value for name in SURFACES)
    (note,) = unknown.notices
    assert note.id == "floor-grip-unknown"
    assert "sprung wood" in note.do
    assert floor_grip("sprung wood").notices == ()


def test_no_number_of_a_floor_passes_as_read() -> None:
    """Friction and rolling are from memory, and are shown as such."""
    assert all(floor_grip(name).friction.needs_a_word and floor_grip(name).rolling.needs_a_word for name in SURFACES)
