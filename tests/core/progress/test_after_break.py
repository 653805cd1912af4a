"""Coming back after weeks without: reckoned by hand, and what must hold for any days."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from firstpush.core.progress.after_break import after_break

TODAY = date(2026, 11, 26)


def ago(*days: int) -> list[date]:
    """Return the days that lie so far back."""
    return [TODAY - timedelta(days=each) for each in days]


@pytest.mark.parametrize(
    ("days", "share"),
    [
        # Nothing was ever done: first loads are the lightest anyway.
        ([], 1.0),
        # Twice a week, once a week, and a session that fell out of twice a week.
        ([3, 7, 10, 14], 1.0),
        ([7, 14, 21], 1.0),
        ([3, 10], 1.0),
        ([13], 1.0),
        # A tenth for every whole week beyond the first, at most three.
        ([14, 17], 0.9),
        ([20], 0.9),
        ([21], 0.8),
        ([28], 0.7),
        ([200], 0.7),
        # Three weeks lost before a session 3, 7 and 14 days ago; a week of training gives a tenth back.
        ([3, 31], 0.7),
        ([7, 35], 0.8),
        ([3, 7, 35], 0.8),
        ([7, 14, 42], 0.9),
        ([7, 14, 21, 49], 1.0),
        # A second break before the first was made good: 3 - 1 + 1 weeks.
        ([14, 21, 49], 0.7),
        # What is done on the day itself and later does not count.
        ([0, -7, 21], 0.8),
    ],
)
def test_shares_by_hand(days: list[int], share: float) -> None:
    """Each whole week lost is a tenth, each week trained brings one back."""
    found = after_break(ago(*days), on=TODAY)
    assert (1.0 if found is None else found.share) == pytest.approx(share)


def test_it_says_since_when() -> None:
    """The notice names the weeks, the last session before them, and the share."""
    found = after_break(ago(3, 24, 26), on=TODAY)
    assert found is not None
    assert (found.weeks, found.last) == (2, date(2026, 11, 2))
    assert found.notice().what == "back after 2 weeks without a logged session (2 November): loads at 80 % of the usual"


@given(st.lists(st.integers(1, 120), max_size=12), st.integers(1, 120))
def test_a_session_more_never_lowers_the_load(days: list[int], more: int) -> None:
    """Between seven tenths and all; another session since the first one never makes it lighter."""
    first = max([*days, more])
    share = [
        1.0 if found is None else found.share
        for found in (after_break(ago(*days, first), on=TODAY), after_break(ago(*days, first, more), on=TODAY))
    ]
    assert 0.7 - 1e-9 <= share[0] <= share[1] + 1e-9 <= 1.0 + 2e-9
