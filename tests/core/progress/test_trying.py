"""A try-out finds a load by at most three questions; its rounds never rise by more than half, and pain ends it."""

from __future__ import annotations

import itertools
from datetime import date

import pytest
from lever_cases import RUNA, case_of

from firstpush.core.errors import OutOfRangeError
from firstpush.core.exercises.loader import exercise_named
from firstpush.core.progress.try_out import LARGEST_ROUND, MOST_ROUNDS
from firstpush.core.progress.trying import Heard, TriedOut, try_out

DAY = date(2026, 11, 25)


def tried(*heard: Heard, exercise: str = "low_row") -> TriedOut:
    """Return a try-out of the demo athlete."""
    return try_out(exercise_named(exercise), case_of(RUNA), heard, on=DAY)


def test_it_begins_with_the_lightest_and_asks() -> None:
    """Before anything is said there is one round: the set-up of a first time."""
    found = tried()
    assert [each.number for each in found.rounds] == [1] and not found.over
    target = found.rounds[0].setups["right"].target
    assert target is not None and target.kind == "try-out"


def test_easy_rounds_rise_by_at_most_a_half_and_end_with_the_third() -> None:
    """A band that felt like nothing is doubled by nobody at once (our choice); the last load felt is what is kept."""
    found = tried(*[Heard(effort=7)] * MOST_ROUNDS)
    loads = [each.load for each in found.rounds]
    assert found.over and len(loads) == MOST_ROUNDS
    assert all(1.1 < after / before <= 1 + LARGEST_ROUND.value + 0.1 for before, after in itertools.pairwise(loads))
    assert found.agreed is not None
    assert found.agreed.sides["right"].load == pytest.approx(loads[-1])


def test_the_fitting_effort_ends_it_at_once() -> None:
    """Effort 12, the lower end of what trains (common practice), keeps the load and asks no more."""
    found = tried(Heard(effort=12))
    assert found.over and len(found.rounds) == 1
    assert found.agreed is not None and found.agreed.sides["right"].load == pytest.approx(found.rounds[0].load)


def test_too_hard_goes_back_below_it() -> None:
    """What felt hard is not kept as the first known load."""
    found = tried(Heard(effort=7), Heard(effort=16), Heard(effort=17))
    assert found.over and found.agreed is not None
    load = found.agreed.sides["right"].load
    assert load is not None and load < found.rounds[-1].load


def test_pain_ends_it_and_nothing_is_kept() -> None:
    """Pain stops (common practice): no load is known from it."""
    found = tried(Heard(effort=9, pain=True))
    assert found.over and found.agreed is None


def test_what_has_no_load_is_not_tried_out() -> None:
    """Rolling is done as it is."""
    with pytest.raises(OutOfRangeError, match="no load"):
        tried(exercise="easy_rolling")
