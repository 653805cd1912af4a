"""A try-out finds a load by at most three questions; its rounds never rise by more than half, and pain ends it."""

from __future__ import annotations

import itertools
from dataclasses import replace
from datetime import date

import pytest
from lever_cases import RUNA, case_of

from firstpush.core.errors import OutOfRangeError
from firstpush.core.exercises.loader import exercise_named
from firstpush.core.progress.try_out import LARGEST_ROUND, MOST_ROUNDS
from firstpush.core.progress.trying import Heard, TriedOut, try_out
from firstpush.core.setup.by_hand import LaidByHand, laid_as
from firstpush.core.setup.search import search_setup

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


def laid(found: TriedOut, number: int = 0) -> LaidByHand:
    """Return how the band lies in a round."""
    as_named = laid_as(found.rounds[number].setups["right"])
    assert as_named is not None
    return as_named


def test_it_begins_as_the_session_lays_it_where_that_is_as_light() -> None:
    """Whatever band that is, a thicker one too: nothing is fetched for a load that is the same within 5 %."""
    case, exercise = case_of(RUNA), exercise_named("anti_rotation_press")
    alone = tried(exercise=exercise.id)
    first = alone.rounds[0].setups["right"]
    assert first.band is not None
    others = [each for each in case.bands if each[0].name != first.band.band.name]
    seen = 0
    for each in others:
        only = replace(case, bands=(each,))
        found = search_setup(exercise, only, side="right", target_nm=alone.rounds[0].load, best=1).best
        if found is None or found.peak is None or found.peak.value > 1.05 * alone.rounds[0].load:
            continue
        named = laid_as(found)
        assert named is not None
        begun = try_out(exercise, case, [], on=DAY, in_session={"right": named})
        assert laid(begun) == named
        seen += 1
    assert seen > 0


def test_what_the_session_lays_heavier_is_not_the_first_round() -> None:
    """The lightest safe set-up is (common practice), in the band of the session where it can be laid with it."""
    second = tried(Heard(effort=7))
    heavy = laid(second, 1)
    found = try_out(exercise_named("low_row"), case_of(RUNA), [], on=DAY, in_session={"right": heavy})
    assert found.rounds[0].load <= 1.05 * tried().rounds[0].load < 0.8 * second.rounds[1].load


def test_without_a_session_no_thinner_band_would_do() -> None:
    """Looked for with every thinner band by itself: none comes as near to the load without going above it."""
    case, exercise = case_of(RUNA), exercise_named("low_row")
    first = tried().rounds[0].setups["right"]
    assert first.band is not None and first.target is not None and first.peak is not None
    pull = float(first.band.law.tension(2.0))
    thinner = [each for each in case.bands if each[1].c1 is not None and float(each[1].tension(2.0)) < pull]
    wanted = min(first.target.value, first.peak.value)
    for each in thinner:
        only = replace(case, bands=(each,))
        found = search_setup(exercise, only, side="right", target_nm=wanted, best=1).best
        folded = found is not None and found.band is not None and found.band.strands > first.band.strands
        assert found is None or folded or found.peak is None or abs(found.peak.value / wanted - 1) > 0.03, each[0].name


def test_the_band_stays_in_the_hand_while_it_will_do() -> None:
    """From round to round another band only where this one cannot be laid within 5 % of the load that is wanted."""
    found = tried(Heard(effort=8), Heard(effort=9))
    case, exercise = case_of(RUNA), exercise_named("low_row")
    for before, after in itertools.pairwise(found.rounds):
        one, other = before.setups["right"], after.setups["right"]
        assert one.band is not None and other.band is not None and other.target is not None
        if other.band.band.name != one.band.band.name:
            mine = tuple(each for each in case.bands if each[0].name == one.band.band.name)
            wanted = other.target.value
            nearest = search_setup(exercise, replace(case, bands=mine), side="right", target_nm=wanted, best=1).best
            assert nearest is None or nearest.peak is None or abs(nearest.peak.value / wanted - 1) > 0.045


def test_what_has_no_load_is_not_tried_out() -> None:
    """Rolling is done as it is."""
    with pytest.raises(OutOfRangeError, match="no load"):
        tried(exercise="easy_rolling")
