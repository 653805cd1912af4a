"""Eight simulated weeks keep what the rule promises, looked up in what was carried and not asked of the rule again."""

from __future__ import annotations

import sys
from datetime import timedelta
from functools import cache
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parents[1] / "benchmarks"))
from eight_weeks import eight_weeks
from eight_weeks_outcome import DAYS, MONDAY, WEEKS, Line, Outcome
from eight_weeks_trainee import NO_TIME, PAIN

from firstpush.core.people.athlete import SIDES

LAW_AND_SEED = ("threshold", 2)


@cache
def weeks(*, life: bool) -> Outcome:
    """Return eight weeks, made once."""
    return eight_weeks(*LAW_AND_SEED, life=life)


def harder(found: Outcome) -> list[Line]:
    """Return the decisions by which something was made harder."""
    return [line for line in found.lines if line.chosen.name == "harder"]


@pytest.mark.parametrize("life", [False, True])
def test_steps_are_few_and_far_between(life: bool) -> None:
    """Of one exercise at most one in seven days, and at most two of these exercises, which all load the same arms."""
    steps = harder(weeks(life=life))
    assert steps
    for line in steps:
        week = [each for each in steps if 0 <= (line.on - each.on).days < 7]
        assert len(week) <= 2
        assert len({each.decision.exercise for each in week}) == len(week)


@pytest.mark.parametrize("life", [False, True])
def test_no_week_of_an_arm_rises_by_more_than_a_fifth(life: bool) -> None:
    """Calendar weeks of load times time against the mean of up to four before (Moller 2017, read, for the number)."""
    found = weeks(life=life)
    assert found.rise_of_arm <= 0.2 + 1e-9
    if not life:
        assert found.rise_of_one <= 0.2 + 1e-9


def test_what_rose_by_more_than_a_fifth_in_a_week_only_came_back() -> None:
    """With a session missed: of one exercise the load of a session done in full stays within a fifth, week by week."""
    found = weeks(life=True)
    assert found.rise_of_one > 0.2
    cut = {(MONDAY + timedelta(weeks=week, days=DAYS[day]), name) for week, day, name in (*NO_TIME, *PAIN)}
    for name, since in found.known_since.items():
        for side in SIDES:
            days = [each for each in found.carried if (each.exercise, each.side) == (name, side) and each.on >= since]
            full = [each for each in days if (each.on, name) not in cut]
            for week in range(1, WEEKS):
                now = [each.amount for each in full if (each.on - MONDAY).days // 7 == week]
                before = [each.amount for each in full if week - 4 <= (each.on - MONDAY).days // 7 < week]
                assert sum(now) / len(now) <= 1.2 * sum(before) / len(before), (name, week)


def test_no_set_is_too_hard_and_no_step_could_be_more_than_a_fifth() -> None:
    """With the whole range of each."""
    found = weeks(life=False)
    assert found.over == 0
    assert all(0 < line.chosen.rise <= 0.2 + 1e-9 for line in harder(found))


def test_after_a_pain_nothing_is_harder_for_two_weeks_and_then_the_dose_first() -> None:
    """All four exercises load the arm that hurt."""
    found = weeks(life=True)
    ((week, day, name),) = PAIN
    hurt = next(line for line in found.lines if line.decision.exercise == name and line.decision.what == "regress")
    assert (hurt.on - found.lines[0].on).days == 7 * week + day
    after = [line for line in harder(found) if line.on >= hurt.on]
    assert after and all(line.on >= hurt.on + timedelta(days=14) for line in after)
    first = {line.decision.exercise: line for line in reversed(after)}
    assert all("of the time under load" in line.chosen.change.split(";")[0] for line in first.values())


def test_what_was_cut_short_changes_nothing() -> None:
    """Neither easier nor harder."""
    found = weeks(life=True)
    cut = [line for line in found.lines if "no time" in line.decision.because]
    assert [line.decision.exercise for line in cut] == [name for _, _, name in NO_TIME]
    assert all(line.chosen.name == "as done" for line in cut)


def test_every_step_says_what_it_comes_to() -> None:
    """Since the day on which its first load was known."""
    assert all("; since " in line.chosen.change for line in harder(weeks(life=False)))


def test_the_same_seed_gives_the_same_lines() -> None:
    """To the letter."""
    again = eight_weeks(*LAW_AND_SEED)
    assert list(map(str, again.lines)) == list(map(str, weeks(life=False).lines))
