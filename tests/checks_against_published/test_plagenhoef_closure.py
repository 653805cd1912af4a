"""Plagenhoef 1983, per cent of body mass, as given on a public teaching page (read): the sum finds a slip of the pen.

The page's men add up to 100.7 %; with 8.26 instead of 8.96 for head and neck (from memory) they add up to 100.0 %.
"""

import pytest

from firstpush.core.tables import read_table

ONCE, TWICE = ("trunk", "head and neck"), ("upper arm", "forearm", "hand", "thigh", "shank", "foot")
MEN = {
    "trunk": 46.84,
    "upper arm": 3.25,
    "forearm": 1.87,
    "hand": 0.65,
    "thigh": 10.50,
    "shank": 4.75,
    "foot": 1.43,
    "head and neck": 8.96,
}
WOMEN = {
    "trunk": 45.00,
    "upper arm": 2.90,
    "forearm": 1.57,
    "hand": 0.50,
    "thigh": 11.75,
    "shank": 5.35,
    "foot": 1.33,
    "head and neck": 8.20,
}
PRINTED = 0.05
"""Half of the last digit of fourteen rounded per cents, generously."""


def missing_percent(masses: dict[str, float]) -> float:
    """Return by how many per cent the masses of a whole body, limbs counted twice, miss 100."""
    return sum(masses[name] for name in ONCE) + 2 * sum(masses[name] for name in TWICE) - 100


def test_the_sum_finds_the_slip() -> None:
    """The column as typed is refused, the women's and the corrected one pass."""
    assert missing_percent(MEN) == pytest.approx(0.70, abs=1e-9)
    assert abs(missing_percent(MEN)) > PRINTED
    assert abs(missing_percent(WOMEN)) < PRINTED
    assert abs(missing_percent(MEN | {"head and neck": 8.26})) < PRINTED


@pytest.mark.parametrize("sex", ["male", "female"])
def test_the_shipped_table_passes_the_same_sum(sex: str) -> None:
    """The table in use (de Leva 1996) has no such slip."""
    table = read_table("de_leva_1996")
    masses = {name: 100 * table.number(name, f"{sex}_mass") for name in ("trunk", *TWICE)}
    masses["head and neck"] = 100 * table.number("head", f"{sex}_mass")
    assert abs(missing_percent(masses)) < PRINTED


@pytest.mark.parametrize("sex", ["male", "female"])
@pytest.mark.parametrize("row", ["head", "trunk", *TWICE])
def test_two_swapped_digits_anywhere_in_it_would_be_found(sex: str, row: str) -> None:
    """Swapping the first two unlike digits of any mass of the shipped table breaks the sum."""
    table = read_table("de_leva_1996")
    digits = str(round(1e4 * table.number(row, f"{sex}_mass")))
    at = next(i for i in range(len(digits) - 1) if digits[i] != digits[i + 1])
    swapped = digits[:at] + digits[at + 1] + digits[at] + digits[at + 2 :]
    masses = {name: 100 * table.number(name, f"{sex}_mass") for name in ("head", "trunk", *TWICE)}
    masses[row] = int(swapped) / 100
    masses["head and neck"] = masses.pop("head")
    assert abs(missing_percent(masses)) > PRINTED
