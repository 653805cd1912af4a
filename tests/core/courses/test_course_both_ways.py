"""Both ways round: what is due makes both counts the same."""

from __future__ import annotations

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from firstpush.core.courses.both_ways import balance_words
from firstpush.core.errors import OutOfRangeError


@given(this_way=st.integers(0, 50), other_way=st.integers(0, 50))
def test_doing_what_is_due_makes_it_even(this_way: int, other_way: int) -> None:
    """As many as are said, on the side that is said; then nothing is due."""
    words = balance_words(this_way=this_way, other_way=other_way)
    if due := re.search(r": (\d+) (this|the other) way round (?:is|are) due", words):
        this_way += int(due[1]) * (due[2] == "this")
        other_way += int(due[1]) * (due[2] == "the other")
    assert this_way == other_way
    assert balance_words(this_way=this_way, other_way=other_way).endswith(": even.")


def test_fewer_runs_than_none_are_refused() -> None:
    """The same call with 0 is an answer."""
    assert balance_words(this_way=0, other_way=0)
    with pytest.raises(OutOfRangeError, match="allowed is 0 or more"):
        balance_words(this_way=-1, other_way=0)
