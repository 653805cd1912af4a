"""Weeks of work for planning sets and steps, and what their plans come to, counted anew."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from hypothesis import strategies as st

from firstpush.core.people.athlete import SIDES, Side
from firstpush.core.programme.load import Done, DoneWork, WeekKind, WeekOfWork, WorkOnDay
from firstpush.core.programme.weeks import PlannedWeek, PlannedWork, PlanOfWeeks

BOTH: tuple[Side, Side] = ("left", "right")
SECONDS = {"row": 50, "pull": 50, "turn": 40, "press": 30}
"""Time under load of one set of each exercise of these cases [s]."""


def work(exercise: str, sets: int = 2, *, sides: tuple[Side, ...] = BOTH, share: int = 1000) -> WorkOnDay:
    """One exercise on one day."""
    return WorkOnDay(exercise=exercise, sides=sides, sets=sets, set_seconds=SECONDS[exercise], share=share)


def week(*days: tuple[WorkOnDay, ...], kind: WeekKind = "training") -> WeekOfWork:
    """One week with these days."""
    return WeekOfWork(kind=kind, days=days)


BREAK = week(kind="break")


def done_work(number: int, exercise: str, share: float = 1.0, *, sets: int = 2) -> DoneWork:
    """One exercise as it was done on one day of a week, with both arms."""
    return DoneWork(
        week=number, exercise=exercise, sides=BOTH, sets=sets, set_seconds=SECONDS[exercise], load_share=share
    )


@st.composite
def programmes(draw: st.DrawFn, *, longest: int = 9) -> list[WeekOfWork]:
    """Weeks that repeat the same days, some light, some with tests, some with fewer days, some empty."""
    sides_of: dict[str, tuple[Side, ...]] = {
        name: draw(st.sampled_from([BOTH, BOTH, ("left",), ("right",)])) for name in SECONDS
    }
    days = [
        tuple(work(name, draw(st.integers(1, 3)), sides=sides_of[name]) for name in names)
        for names in draw(st.lists(st.sets(st.sampled_from(sorted(SECONDS)), min_size=1), min_size=1, max_size=3))
    ]
    kinds: list[WeekKind] = ["training", "training", "training", "light", "test", "break"]
    made = []
    for kind in draw(st.lists(st.sampled_from(kinds), min_size=1, max_size=longest)):
        some = draw(st.sampled_from([len(days), len(days), 1]))
        made.append(week(*([] if kind == "break" else days[:some]), kind=kind))
    return made


def loads_of(plan: PlanOfWeeks, side: Side) -> list[Fraction]:
    """Weekly loads of a shoulder, added up from sets, seconds and load shares of every day."""
    done = [Fraction(str(load)) for load in plan.done_loads.get(side, ())]
    return done + [load_of(each, side) for each in plan.weeks]


def load_of(planned: PlannedWeek, side: Side) -> Fraction:
    """Weekly load of one planned week."""
    return Fraction(
        sum(
            each.sets * SECONDS[each.exercise] * Fraction(str(each.load_share))
            for day in planned.days
            for each in day
            if side in each.sides
        )
    )


def works_of(planned: PlannedWeek, side: Side) -> list[PlannedWork]:
    """Return what loads a shoulder in a week."""
    return [each for day in planned.days for each in day if side in each.sides]


def shortest_set(planned: PlannedWeek, side: Side) -> Fraction:
    """Load of the shortest set of a week on a shoulder."""
    sets = [SECONDS[each.exercise] * Fraction(str(each.load_share)) for each in works_of(planned, side)]
    return min(sets, default=Fraction(0))


def sessions_of(plan: PlanOfWeeks, exercise: str) -> list[tuple[int, float]]:
    """Week and load of every session of an exercise that is done, matches aside, in order."""
    return [
        (planned.number, each.load_share)
        for planned in plan.weeks
        for day in planned.days
        for each in day
        if each.exercise == exercise and each.sets and each.change != "light"
    ]


def all_done(*weeks: Sequence[DoneWork]) -> Done:
    """Put together what was done in so many weeks."""
    return Done(weeks=len(weeks), work=tuple(each for one in weeks for each in one))


def mirror(weeks: Sequence[WeekOfWork]) -> list[WeekOfWork]:
    """Put left for right."""
    other = dict(zip(SIDES, reversed(SIDES), strict=True))
    return [
        WeekOfWork(
            kind=each.kind,
            days=tuple(
                tuple(
                    WorkOnDay(
                        exercise=one.exercise,
                        sides=tuple(other[side] for side in one.sides),
                        sets=one.sets,
                        set_seconds=one.set_seconds,
                        share=one.share,
                    )
                    for one in day
                )
                for day in each.days
            ),
        )
        for each in weeks
    ]
