"""The week with a harder step in it against the four weeks before, by hand arithmetic."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from firstpush.core.exercises.loader import exercise_named
from firstpush.core.progress.decide import beyond_the_week, decide, why_it_waits
from firstpush.core.progress.effort_bands import effort_band
from firstpush.core.progress.history import Done
from firstpush.core.progress.rules import Rules
from firstpush.core.progress.week_load import Carried, week_with

TODAY = date(2026, 11, 25)


def carried(weeks_ago: int, amount: float, exercise: str = "row", side: str = "right", day: int = 0) -> Carried:
    """Return what was carried on this day of an earlier week, or some days before it."""
    return Carried(
        on=TODAY - timedelta(weeks=weeks_ago, days=day), exercise=exercise, side=side, load=amount, seconds=1.0
    )  # type: ignore[arg-type]


def test_the_week_is_compared_with_the_mean_of_four() -> None:
    """Weeks of 80, 90, 100 and 130 are 100 in the mean; 60 + 50 with a tenth more of the 60 is 116."""
    before = [carried(1, 80), carried(2, 90), carried(3, 100), carried(4, 130), carried(5, 1000)]
    week = week_with([*before, carried(0, 60), carried(0, 50, "press")], exercise="row", change=0.1, on=TODAY)
    assert week is not None
    assert (week.with_step, week.mean_of_four_weeks) == (pytest.approx(116), pytest.approx(100))


def test_the_arm_that_rises_most_counts() -> None:
    """The left arm did nothing in four weeks: its week rises from nothing, and the rule then waits."""
    rows = [carried(weeks, 100) for weeks in range(5)] + [carried(0, 10, side="left")]
    week = week_with(rows, exercise="row", change=0.1, on=TODAY)
    assert week is not None and week.mean_of_four_weeks == 0
    easy = [Done(exercise="row", on=TODAY, effort=8)] * 2
    assert decide(easy, band=effort_band(exercise_named("low_row"), Rules()), rules=Rules(), week=week).what == "keep"


def test_of_fewer_weeks_the_known_ones_are_the_mean() -> None:
    """Two whole weeks of 50 and 70 are 60 in the mean; in the first week a step is compared with that week itself."""
    rows = [carried(0, 66), carried(1, 70), carried(2, 50), carried(3, 1)]
    week = week_with(rows, exercise="row", change=0.1, on=TODAY)
    # 21 days since the beginning hold two whole weeks before this one: the first day alone is no week.
    assert week is not None and (week.with_step, week.mean_of_four_weeks) == (pytest.approx(72.6), pytest.approx(60))
    first = week_with([carried(0, 60), carried(0, 40, "press")], exercise="row", change=0.2, on=TODAY)
    assert first is not None and first.rise == pytest.approx(0.2)


def test_two_exercises_of_one_arm_count_together() -> None:
    """40 + 60 a week, both a fifth heavier, are 120: with the press made harder too, the row has no room for more."""
    rows = [carried(weeks, amount, name) for weeks in range(6) for name, amount in (("row", 40), ("press", 60))]

    def rise(change: float, others: dict[str, float]) -> float:
        found = week_with(rows, exercise="row", change=change, on=TODAY, others=others)
        assert found is not None and found.rise is not None
        return found.rise

    assert rise(0.1, {}) == pytest.approx(0.1), "the exercise alone; the arm would rise by 4 %"
    assert rise(0.1, {"press": 0.3}) == pytest.approx((40 * 1.1 + 60 * 1.3) / 100 - 1)


def test_one_exercise_alone_is_compared_by_its_days() -> None:
    """Days of 10, 11 and 12: one of 13.2 is 20 % above their mean, however often a week it was done."""
    rows = [
        carried(3, 10, day=7),
        carried(3, 10),
        carried(2, 11),
        carried(1, 12),
        carried(0, 12),
        carried(0, 500, "press"),
    ]
    rows += [carried(weeks, 500, "press") for weeks in (1, 2, 3)]
    found = week_with(rows, exercise="row", change=0.3, middle=0.1, on=TODAY)
    assert found is not None and found.of == "the load of a day in this exercise"
    assert (found.with_step, found.mean_of_four_weeks) == (pytest.approx(13.2), pytest.approx(11))
    assert not beyond_the_week(found, Rules())
    found = week_with(rows, exercise="row", change=0.3, middle=0.11, on=TODAY)
    assert found is not None and "more than 20 %" in beyond_the_week(found, Rules())
    # From the day on which it was made easier nothing but this week is known: a step is its own size.
    found = week_with(rows, exercise="row", change=0.3, middle=0.11, on=TODAY, known_since=TODAY)
    assert found is not None and found.rise is not None and found.rise == pytest.approx(0.11)


def test_a_week_cut_short_makes_no_room() -> None:
    """Of three days one was half: the week to come counts three whole ones."""
    week = [
        Carried(on=TODAY - timedelta(days=d), exercise="row", side="right", load=a, seconds=1)
        for d, a in ((0, 5), (2, 10), (4, 10))
    ]
    found = week_with([*week, *(carried(weeks, 30) for weeks in range(1, 6))], exercise="row", change=0.1, on=TODAY)
    assert found is not None and found.of.endswith("arm") and found.with_step == pytest.approx(33)


@given(
    st.lists(st.tuples(st.integers(0, 2), st.floats(0.01, 0.2)), min_size=1, max_size=60),
    st.tuples(*[st.floats(1.0, 40.0)] * 3),
)
@example([(1, 0.125), (0, 0.1875), (0, 0.125), (0, 0.125), (0, 0.1875)], (26.0, 1.0, 1.0))
def test_the_cap_of_a_week_is_never_exceeded(asked: list[tuple[int, float]], loads: tuple[float, ...]) -> None:
    """Steps taken only where there is room: no calendar week lies more than 20 % above those before it, counted anew.

    Three exercises of one arm, three times a week; one step may be asked for after each session, and of one exercise
    one in seven days, as the rule has it.  The week in which somebody began is no week of theirs: it counts while it is
    the only one.
    """
    stepped: dict[str, date] = {}
    names, now = ("row", "press", "turn"), list(loads)
    rows: list[Carried] = []
    monday, weeks = date(2026, 9, 28), [0.0] * 8
    questions = iter(asked)
    for week in range(8):
        for day in (0, 2, 4):
            on = monday + timedelta(weeks=week, days=day)
            for name, load in zip(names, now, strict=True):
                rows.append(Carried(on=on, exercise=name, side="right", load=load, seconds=1.0))
                weeks[week] += load
            which, change = next(questions, (0, 0.0))
            found = week_with(rows, exercise=names[which], change=change, on=on)
            assert found is not None
            # What was agreed in this very loop is carried the next time; one step a session, so nothing is pending.
            waits = why_it_waits(on=on, rules=Rules(), last_step_on=stepped.get(names[which]), week=found)
            if change and not waits:
                now[which] *= 1 + change
                stepped[names[which]] = on
    for week in range(1, 8):
        before = weeks[max(min(1, week - 1), week - 4) : week]
        assert weeks[week] <= 1.2 * sum(before) / len(before) + 1e-6


def test_what_carries_nothing_has_no_week() -> None:
    """An exercise without a stated load is held by other rules."""
    assert week_with([carried(0, 60)], exercise="ball circles", change=0.1, on=TODAY) is None
