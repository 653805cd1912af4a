"""What the age asks for; 18 is common practice, local rules come first."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from firstpush.core.people.age import age_notices
from firstpush.core.people.athlete_file import load_athlete
from firstpush.demo import demo_file

GROWN = load_athlete(demo_file("athlete"))


@pytest.mark.parametrize(("born", "told"), [(2013, True), (2008, True), (2007, False), (None, False)])
def test_who_is_or_may_be_under_18_reads_that_the_masses_are_of_adults(born: int | None, told: bool) -> None:
    """In November 2026: 13; 17 or 18; 18 or 19, so of age; not known, of which nothing is said."""
    found = age_notices(replace(GROWN, born=born), on=date(2026, 11, 26))
    assert [each.id for each in found] == (["junior", "tables-of-adults"] if told else [])
    assert [each.level for each in found] == (["caution", "note"] if told else [])
