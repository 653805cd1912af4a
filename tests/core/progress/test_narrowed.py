"""What holds a step back holds it in the proposal: the week's room, the first step after a pain, a try-out."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from typing import Any

import pytest
from lever_cases import case_of, done

from firstpush.core.exercises.loader import exercise_named, library
from firstpush.core.progress.decide import WeekLoad
from firstpush.core.progress.dose_steps import seconds_under_load
from firstpush.core.progress.history import Done
from firstpush.core.progress.proposal import Proposal, propose
from firstpush.core.progress.rules import Rules
from firstpush.core.progress.step import MOST_HARDER, RelativeChange
from firstpush.core.progress.try_out_again import Trying

DAY = date(2026, 11, 25)
EXERCISES = ("low_row", "external_rotation_side", "anti_rotation_press", "straight_arm_pull_back")


def proposal(exercise: str = "low_row", effort: Any = 8, **more: Any) -> Proposal:
    """Return what is proposed after two sessions that say the same."""
    dones = [Done(exercise=exercise, on=day, effort=effort) for day in (date(2026, 11, 18), DAY)]
    filed = exercise_named(exercise)
    given = {"filed": filed, "rules": Rules(), "exercises": library(), "on": DAY} | more
    return propose(case_of(), done(exercise), dones, **given)


def loads(proposed: Proposal, name: str) -> list[float]:
    """Return the load of the first side of each choice of that name [N·m]."""
    sides = [next(iter(each.setups.values())) for each in proposed.choices if each.name == name]
    return [each.peak.value for each in sides if each.peak is not None]


def test_a_week_without_room_offers_nothing_harder() -> None:
    """Whatever step is asked about: the arm's week would rise by 21 %, more than 20 % (Moller 2017, read)."""
    found = proposal(week=lambda change: WeekLoad(with_step=121.0, mean_of_four_weeks=100.0))
    assert found.decision.what == "keep" and "by 21 %" in found.decision.because
    assert not loads(found, "harder") and "21 %" in found.sentences["harder"]


@pytest.mark.parametrize("exercise", EXERCISES)
def test_every_step_that_is_offered_fits_the_week_with_its_whole_range(exercise: str) -> None:
    """A week that has room for a step of up to 12 %: what could be more is not offered, neither first nor beside."""
    asked: list[RelativeChange] = []

    def week(change: RelativeChange) -> WeekLoad:
        asked.append(change)
        return WeekLoad(with_step=100.0 * (1.2 + change.high - 0.12), mean_of_four_weeks=100.0)

    found = proposal(exercise, week=week)
    harder = [each for each in found.choices if each.name == "harder"]
    assert asked
    assert all(0 < each.rise <= 0.12 + 1e-9 for each in harder)


@pytest.mark.parametrize("exercise", EXERCISES)
def test_no_step_reaches_beyond_a_fifth(exercise: str) -> None:
    """Of load, with its whole range (Moller 2017, read)."""
    for each in proposal(exercise).choices:
        if each.name == "harder" and "of the load" in each.change:
            assert each.rise <= MOST_HARDER.value + 1e-9


@pytest.mark.parametrize("exercise", EXERCISES)
def test_the_first_step_after_a_pain_is_of_the_dose(exercise: str) -> None:
    """The same band on the same spot, and more time under load, which is all that is harder."""
    found = proposal(exercise, after_pain=True)
    harder = [each for each in found.choices if each.name == "harder"]
    assert harder
    before = done(exercise)
    for each in harder:
        assert loads(found, "harder")[0] == pytest.approx(loads(found, "as done")[0], rel=1e-12)
        dose = each.agreed[0].dose
        assert dose is not None and seconds_under_load(dose) > seconds_under_load(before.dose)
        assert "time under load" in each.change


def test_after_a_pain_with_the_dose_at_its_end_the_load_rises_a_little() -> None:
    """Three sets of twelve with the longest hold: a step of load, and no more than a tenth with its whole range."""
    now = done("low_row")
    full = replace(now, dose=replace(now.dose, sets=3, repetitions=12, hold_s=5.0))
    dones = [Done(exercise="low_row", on=day, effort=8) for day in (date(2026, 11, 18), DAY)]
    filed = exercise_named("low_row")
    found = propose(case_of(), full, dones, filed=filed, rules=Rules(), exercises=library(), on=DAY, after_pain=True)
    for each in found.choices:
        if each.name == "harder":
            assert 0 < each.rise <= 0.1 + 1e-9
    assert "the dose is at its end" in found.sentences["harder"]


def test_while_it_is_tried_out_no_step_is_offered() -> None:
    """A try-out set is a way of its own; at effort 10 it goes by steps again."""
    light = Done(exercise="low_row", on=DAY, effort=8)
    found = proposal(trying=Trying(last=light, sessions=2))
    assert found.decision.what == "keep" and "try-out" in found.decision.ask
    assert not loads(found, "harder")
    assert loads(proposal(effort=10, trying=Trying(last=replace(light, effort=10), sessions=2)), "harder")


def test_a_question_is_asked_only_where_a_step_may_follow() -> None:
    """At 11 it is asked whether it could be harder; where nothing harder can be offered it is said why."""
    assert proposal(effort=11).decision.ask
    full = WeekLoad(with_step=130.0, mean_of_four_weeks=100.0)
    found = proposal(effort=11, week=lambda change: full)
    assert not found.decision.ask and "30 %" in found.decision.because
