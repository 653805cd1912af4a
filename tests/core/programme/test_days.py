"""The training week against every week that exists, on catalogues small enough to try them all."""

from __future__ import annotations

import subprocess
import sys
from dataclasses import replace

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from programme_cases import (
    catalogues,
    every_week,
    full_muscles,
    keeps_the_week,
    mirrored,
    ready,
    shortest_order,
)

from firstpush.core.errors import OutOfRangeError
from firstpush.core.exercises.loader import exercise_named
from firstpush.core.notices import Notice
from firstpush.core.people.athlete import SIDES
from firstpush.core.programme import TrainingWeek, choose_days
from firstpush.core.programme.day_model import DayModel, SolvedDays
from firstpush.core.programme.days import days_in_a_row
from firstpush.core.programme.worth import WeekRules, worth_of
from firstpush.core.session import Candidate, Chosen, timeline
from firstpush.core.session.wishes import place_in_order

MINUTES = st.sampled_from([4, 5, 6, 7.5, 9, 12])
BUDGET = 60.0


def exact(rules: WeekRules) -> SolvedDays:
    """Return the best week, proven."""
    found = DayModel(rules).solve(budget=BUDGET, gap=0.0)
    assert found.status != "best found", "so small a catalogue is solved to the end"
    return found


def plain(week: TrainingWeek) -> list[list[tuple[str, str]]]:
    """Return exercises and doses of every day, in their order."""
    return [[(each.candidate.id, each.dose.name) for each in day.items] for day in week.days]


@settings(max_examples=60, deadline=None)
@given(candidates=catalogues(), minutes=MINUTES, row=st.booleans(), ratio=st.sampled_from([2.0, 1.5, 0.0]))
def test_no_week_is_worth_more(candidates: list[Candidate], minutes: float, row: bool, ratio: float) -> None:
    """The best of all weeks of two days, weighed one by one, is what the model finds and proves."""
    rules = WeekRules(
        offered=tuple(candidates),
        days=2,
        limit_s=int(minutes * 60),
        familiar=frozenset([candidates[0].id]),
        back_to_front=ratio,
        in_a_row=((0, 1),) if row else (),
    )
    best = max((worth_of(days, rules).total for days in every_week(rules)), default=None)
    found = exact(rules)
    if best is None:
        assert found.status == "impossible"
        return
    assert (found.worth, found.bound) == (best, best)
    assert worth_of(found.days, rules).total == best


@settings(max_examples=15, deadline=None)
@given(
    candidates=catalogues(smallest=2, largest=2),
    minutes=MINUTES,
    rows=st.sampled_from([(), ((0, 1),), ((0, 1), (1, 2))]),
)
def test_three_days_too(candidates: list[Candidate], minutes: float, rows: tuple[tuple[int, int], ...]) -> None:
    """Three days, of which none, two or all follow each other."""
    rules = WeekRules(offered=tuple(candidates), days=3, limit_s=int(minutes * 60), in_a_row=rows)
    best = max((worth_of(days, rules).total for days in every_week(rules)), default=None)
    found = exact(rules)
    assert (found.worth if best is not None else None) == best


@settings(max_examples=40, deadline=None)
@given(minutes=st.sampled_from([9, 10, 11, 12, 13]), data=st.data())
def test_neighbours_across_three_parts_are_in_one_order(minutes: float, data: st.DataObject) -> None:
    """A part that is entered and left by pairs that save time has one first and one last, as in every real order."""
    names = ("seated_row", "elbow_extension", "internal_rotation_90", "ball_circles_against_band")
    candidates = [
        ready(
            replace(each, doses=each.doses[-1:]),
            anchor_height=data.draw(st.sampled_from([0.75, 0.9])),
            anchor_side=data.draw(st.sampled_from(["front", "behind"])),
            band=data.draw(st.sampled_from(["flat band", "tube"])),
            attach=data.draw(st.sampled_from(["hand", "wrist_cuff"])),
        )
        for each in map(exercise_named, names)
    ]
    rules = WeekRules(offered=tuple(candidates), days=1, limit_s=int(minutes * 60), back_to_front=0.5)
    best = max(worth_of(days, rules).total for days in every_week(rules))
    assert exact(rules).worth == best


@settings(max_examples=30, deadline=None)
@given(candidates=catalogues(smallest=3, largest=6, doses=3), minutes=MINUTES, data=st.data())
def test_every_rule_is_kept(candidates: list[Candidate], minutes: float, data: st.DataObject) -> None:
    """Time, order of the parts, families, balance of the week, and rest between full doses."""
    weekdays = tuple(sorted(data.draw(st.sets(st.integers(0, 6), min_size=1, max_size=4))))
    try:
        week = choose_days(candidates, minutes=minutes, weekdays=weekdays)
    except OutOfRangeError:
        assume(False)
    rules = WeekRules(
        offered=tuple(candidates),
        days=len(weekdays),
        limit_s=int(minutes * 60),
        in_a_row=days_in_a_row(weekdays, repeats=True),
    )
    days = [day.items for day in week.days]
    assert tuple(day.weekday for day in week.days) == weekdays
    assert keeps_the_week(days, rules)
    for day in week.days:
        assert day.items
        assert day.timeline.total_s <= minutes * 60
        places = [place_in_order(each.candidate.exercise) for each in day.items]
        assert places == sorted(places)
        families = [each.candidate.family for each in day.items if each.candidate.family is not None]
        assert len(set(families)) == len(families)
    assert week.worth == worth_of(days, rules)
    assert week.worth.total <= week.bound


def test_the_order_of_a_day_is_the_one_that_takes_least_time() -> None:
    """Every order of one day's exercises, timed one by one, takes as long or longer."""
    candidates = [
        ready("seated_row", anchor_height=0.75),
        ready("anti_rotation_press", post="basket upright"),
        ready("external_rotation_90"),
        ready("ball_circles"),
        ready("chest_stretch_post"),
    ]
    week = choose_days(candidates, minutes=30, weekdays=(0,))
    items = week.days[0].items
    assert len(items) == 5
    assert timeline(items).total_s == timeline(shortest_order(items)).total_s


@settings(max_examples=20, deadline=None)
@given(candidates=catalogues(smallest=2, largest=4), minutes=MINUTES)
def test_relaxing_a_rule_never_makes_the_week_worse(candidates: list[Candidate], minutes: float) -> None:
    """More minutes, a lower ratio, or a day between: each is worth as much or more."""
    rules = WeekRules(offered=tuple(candidates), days=2, limit_s=int(minutes * 60), in_a_row=((0, 1),))
    before = exact(rules)
    assume(before.status != "impossible")
    looser = [
        replace(rules, limit_s=rules.limit_s + 60),
        replace(rules, in_a_row=()),
    ]
    for each in looser:
        assert exact(each).worth >= before.worth
    # A lower ratio also counts fewer sets as missing, so the weights move the same way.
    assert exact(replace(rules, back_to_front=1.0)).worth >= before.worth


@settings(max_examples=20, deadline=None)
@given(candidates=catalogues(smallest=2, largest=5), minutes=MINUTES, data=st.data())
def test_a_mirrored_athlete_gets_the_mirrored_week_in_whatever_order(
    candidates: list[Candidate], minutes: float, data: st.DataObject
) -> None:
    """Left for right changes nothing but the sides, and a shuffled list changes nothing at all."""
    try:
        one = choose_days(candidates, minutes=minutes, weekdays=(0, 2))
    except OutOfRangeError:
        with pytest.raises(OutOfRangeError):
            choose_days([mirrored(each) for each in candidates], minutes=minutes, weekdays=(0, 2))
        return
    assert choose_days(candidates, minutes=minutes, weekdays=(0, 2)) == one
    assert choose_days(data.draw(st.permutations(candidates)), minutes=minutes, weekdays=(0, 2)) == one
    other = choose_days([mirrored(each) for each in candidates], minutes=minutes, weekdays=(0, 2))
    assert plain(other) == plain(one)
    assert (other.worth, other.bound) == (one.worth, one.bound)


def test_what_a_week_is_worth_by_hand() -> None:
    """Two days, counted with pencil and paper from the weights in docs/why/programme.md."""
    row, circles = ready("seated_row"), ready("ball_circles")
    press = ready("elbow_extension")
    two_sets, one_set = row.exercise.doses[0], row.exercise.doses[2]
    assert (two_sets.sets, one_set.sets) == (2, 1)
    days = (
        (Chosen(candidate=row, dose=two_sets), Chosen(candidate=circles, dose=circles.exercise.doses[1])),
        (Chosen(candidate=row, dose=one_set), Chosen(candidate=press, dose=press.exercise.doses[2])),
    )
    rules = WeekRules(offered=(row, circles, press), days=2, limit_s=1200, familiar=frozenset(["ball_circles"]))
    worth = worth_of(days, rules)
    # Retraction and extension of the shoulder count as four each, on two days; protraction and control as four each,
    # and elbow extension as one, on one day; both sides.
    assert worth.aims == 2 * ((4 + 4) * (120 + 80) + (4 + 4) * 120 + 1 * 120)
    # Full work for retraction on one day of two; both sides. No other major aim has strength work here.
    assert worth.strength_days == -2 * 400
    # No control on the second day; mobility and court are not offered.
    assert worth.parts == -800
    # One set at the front asks for two at the back, and there is one: a set is missing on each side.
    assert worth.balance == -2 * 50
    assert worth.to_learn == -(120 + 40 + 120)
    assert worth.variety == -60
    seconds = 2 * (3 * 10 * 5 + 2 * 20) + 2 * 12 * press.exercise.doses[2].set_seconds / 12
    assert worth.work == pytest.approx(seconds / 3, abs=2)
    setting_up = sum(
        timeline(day).seconds_of("free the chair", "move", "set up", "block the chair", "change sides") for day in days
    )
    assert worth.setting_up == -setting_up


def test_a_full_dose_rests_for_a_day_and_a_light_one_does_not() -> None:
    """Alone on two days in a row, the row comes in full on one and light on the other."""
    week = choose_days([ready("seated_row")], minutes=10, weekdays=(0, 1))
    assert sorted(day.items[0].dose.sets for day in week.days) == [1, 2]
    apart = choose_days([ready("seated_row")], minutes=10, weekdays=(0, 2))
    assert [day.items[0].dose.sets for day in apart.days] == [2, 2]


def test_the_last_day_comes_before_the_first_when_the_week_is_repeated() -> None:
    """Sunday and Monday follow each other, but not in a single week."""
    row = [ready("seated_row")]
    assert sorted(day.items[0].dose.sets for day in choose_days(row, minutes=10, weekdays=(0, 6)).days) == [1, 2]
    once = choose_days(row, minutes=10, weekdays=(0, 6), repeats=False)
    assert [day.items[0].dose.sets for day in once.days] == [2, 2]


def test_full_work_lies_apart_where_days_can_be_exchanged() -> None:
    """Of three days with a day between each, the light one comes in the middle."""
    press = ready("anti_rotation_press").exercise
    light = ready(replace(press, doses=tuple(dose for dose in press.doses if dose.sets == 1)), family="one of them")
    row = ready("seated_row", family="one of them")
    week = choose_days([row, light], minutes=6, weekdays=(0, 2, 4))
    assert [day.items[0].candidate.id for day in week.days] == ["seated_row", "anti_rotation_press", "seated_row"]


def test_one_sore_side_rests_by_itself() -> None:
    """Two exercises of one muscle group for different arms may follow each other in full."""
    base = ready("external_rotation_90").exercise
    full = replace(base, doses=base.doses[:1])
    candidates = [
        ready(replace(full, id=f"turn_{side}", title=f"Turn {side}"), sides=(side,), preference=1.0) for side in SIDES
    ]
    week = choose_days(candidates, minutes=5, weekdays=(0, 1))
    assert {each.candidate.sides for day in week.days for each in day.items} == {("left",), ("right",)}
    for side in SIDES:
        assert not full_muscles(week.days[0].items, side) & full_muscles(week.days[1].items, side)


def test_a_familiar_exercise_is_preferred_to_a_new_one() -> None:
    """Of two that are alike in all else, the one that was done before is taken."""
    base = ready("ball_circles").exercise
    twins = [ready(replace(base, id=name, title=name), family="twins") for name in ("one", "two")]
    for known in ("one", "two"):
        week = choose_days(twins, minutes=6, weekdays=(0, 3), familiar=[known])
        assert {each.id for each in week.candidates} == {known}


def test_what_carries_a_stop_is_never_chosen() -> None:
    """An exercise with a stop notice stays out, even when nothing else trains its aims."""
    stop = Notice(id="trunk-does-not-hold", level="stop", what="the trunk does not hold", do="Leave it out")
    week = choose_days([ready("seated_row", notices=(stop,)), ready("ball_circles")], minutes=10, weekdays=(0, 2))
    assert {each.id for each in week.candidates} == {"ball_circles"}


@pytest.mark.parametrize(
    ("candidates", "minutes", "weekdays", "words"),
    [
        (["seated_row"], 10, (), "are no training days"),
        (["seated_row"], 10, (0, 0), "are no training days"),
        (["seated_row"], 10, (0, 7), "are no training days"),
        (["seated_row"], 0, (0,), "0 minutes are no time"),
        (["seated_row"], 181, (0,), "at most 180 minutes"),
        (["seated_row"], 2, (0,), "2 minutes are too short for any exercise here; the shortest session takes"),
        (["seated_row", "seated_row"], 10, (0,), "offered more than once"),
        ([], 10, (0,), "no exercise can be done here"),
    ],
)
def test_a_request_that_cannot_be_met_is_refused_in_one_sentence(
    candidates: list[str], minutes: float, weekdays: tuple[int, ...], words: str
) -> None:
    """The message says what is wrong, what is allowed and what to do; the same request within the range works."""
    with pytest.raises(OutOfRangeError, match=words):
        choose_days([ready(each) for each in candidates], minutes=minutes, weekdays=weekdays)
    assert choose_days([ready("seated_row")], minutes=10, weekdays=(0,)).days


def test_full_doses_on_two_days_in_a_row_are_refused_with_the_reason() -> None:
    """When nothing light is offered, days in a row cannot be filled."""
    base = ready("seated_row").exercise
    only_full = ready(replace(base, doses=base.doses[:1]))
    with pytest.raises(OutOfRangeError, match=r"Monday, Tuesday .* the same muscles not in full on two days in a row"):
        choose_days([only_full], minutes=10, weekdays=(0, 1))
    assert choose_days([only_full], minutes=10, weekdays=(0, 2)).days


def test_pressing_alone_is_refused_where_pulling_is_offered_but_does_not_fit() -> None:
    """Five minutes have time for the press and not for a row with a long pause; with eight there is a week."""
    press, row = ready("elbow_extension").exercise, ready("seated_row").exercise
    long_row = replace(row, doses=(replace(row.doses[0], pause_s=200.0),))
    candidates = [ready(replace(press, doses=press.doses[2:])), ready(long_row)]
    with pytest.raises(OutOfRangeError, match="2 sets at the back of a shoulder for each at its front"):
        choose_days(candidates, minutes=5, weekdays=(0, 3))
    week = choose_days(candidates, minutes=8, weekdays=(0, 3))
    assert {each.id for each in week.candidates} == {"seated_row"}


def test_importing_the_folder_loads_no_solver() -> None:
    """The command line answers at once."""
    code = "import sys, firstpush.core.programme; assert not [m for m in sys.modules if m.startswith('ortools')]"
    subprocess.run([sys.executable, "-c", code], check=True)


@settings(max_examples=40, deadline=None)
@given(candidates=catalogues(smallest=2, largest=6))
def test_coming_from_another_exercise_never_costs_more_than_from_nowhere(candidates: list[Candidate]) -> None:
    """What the model rests on: a pair of neighbours saves time or nothing."""
    rules = WeekRules(offered=tuple(candidates), days=1, limit_s=600)
    savings = DayModel(rules).savings()
    known = DayModel(rules).candidates
    for one, before in enumerate(known):
        for two, after in enumerate(known):
            if one != two and place_in_order(before.exercise) <= place_in_order(after.exercise):
                items = [Chosen(candidate=each, dose=each.exercise.doses[0]) for each in (before, after)]
                alone = sum(timeline([each]).total_s for each in items) - 60
                assert alone - timeline(items).total_s == savings.get((one, two), 0) >= 0
