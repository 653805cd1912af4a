"""Zones of the 6-20 scale against the published table.

Garber 2011 (position stand of the American College of Sports Medicine), as given in table 1 of a later open paper, and
table T1 of PMC8581515, which also gives the editions before it.  Both tables were read, the position stand itself was
not.  The tables print whole numbers, so the comparison is exact.
"""

from __future__ import annotations

import pytest

from firstpush.core.errors import OutOfRangeError
from firstpush.core.progress.effort import effort_zone
from firstpush.core.tables import read_table

PUBLISHED = {
    "very light": range(6, 9),
    "light": range(9, 12),
    "moderate": range(12, 14),
    "vigorous": range(14, 18),
    "near-maximal to maximal": range(18, 21),
}


@pytest.mark.parametrize(("zone", "numbers"), PUBLISHED.items())
def test_every_number_lies_in_its_published_zone(zone: str, numbers: range) -> None:
    """Each whole number from 6 to 20 is called as the table calls it."""
    assert {effort_zone(number) for number in numbers} == {zone}


def test_the_edition_stands_beside_the_zone() -> None:
    """Of the editions in T1, 17 is vigorous with 16 only since 2011; in 2000 it was very hard and 16 hard."""
    rows = read_table("effort_zones").rows
    assert {row["edition"] for row in rows.values()} == {"2011"}
    assert effort_zone(16) == effort_zone(17), "this is not the edition that the table names"
    assert effort_zone(17) != effort_zone(18), "in the edition of 2000, 17 to 20 were one zone"


@pytest.mark.parametrize("wrong", [5, 21, 0, 10.0, 12.5, True, "12"])
def test_only_whole_numbers_from_6_to_20_are_efforts(wrong: object) -> None:
    """The scale has no halves and no number outside 6 to 20, and none of another scale is converted."""
    with pytest.raises(OutOfRangeError, match="6 to 20"):
        effort_zone(wrong)  # type: ignore[arg-type]
