"""The programme of one athlete, as values: weeks, sessions on their dates, and how good the plan is."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Literal

from firstpush.core.exercises.definition import DoseOption, Exercise
from firstpush.core.notices import Notice
from firstpush.core.people.athlete import Side
from firstpush.core.programme.calendar import Calendar, DayKind
from firstpush.core.programme.days import TrainingWeek, gap_of
from firstpush.core.programme.load import Return, WeekKind
from firstpush.core.programme.weeks import LoadChange, PlanOfWeeks
from firstpush.core.session.candidate import Candidate, Chosen
from firstpush.core.session.session import Session

PlanName = str
"""Name of what is done on a day: "A", "B" ... on training days, and `EASY`, `MATCH` or `MATCH_EASY`."""
EASY, MATCH, MATCH_EASY = "easy", "match", "match, easy"
"""The day before a match, a match, and a match with another on the next day."""
Rhythm = Literal["every training day", "alternating"]


@dataclass(frozen=True, kw_only=True)
class PlannedItem:
    """One exercise of a planned session.

    Parameters
    ----------
    candidate : Candidate
        The exercise with its set-up for the first load.
    dose : DoseOption
        As it is done that day, with the sets of that week.
    chosen_sets : int
        Sets in an ordinary week.
    load_share : float or None
        Load over the first load of the exercise [1]; None for an exercise without a load.
    change : str or None
        Against the load before: "first load", "as before", "one step", "lower" or "light"; None without a load.
    """

    candidate: Candidate
    dose: DoseOption
    chosen_sets: int
    load_share: float | None = None
    change: LoadChange | None = None

    @property
    def exercise(self) -> Exercise:
        """The exercise."""
        return self.candidate.exercise

    @property
    def light(self) -> bool:
        """Whether it has fewer sets than in an ordinary week."""
        return self.dose.sets < self.chosen_sets


@dataclass(frozen=True, kw_only=True)
class PlannedSession:
    """One session on its date.

    Parameters
    ----------
    on : date
    kind : str
        "training", "day before a match", "match", or "break" (nothing is done).
    plan : str
        Name of what is done; empty in a break and where nothing is left.
    items : tuple of PlannedItem
        In the order in which they are done.
    left_out : tuple of Exercise
        What an ordinary week would have here, and this one has not.
    total_s : int
        From the check before the start to the end [s].
    """

    on: date
    kind: DayKind
    plan: PlanName
    items: tuple[PlannedItem, ...] = ()
    left_out: tuple[Exercise, ...] = ()
    total_s: int = 0


@dataclass(frozen=True, kw_only=True)
class ProgrammeWeek:
    """One week of the programme.

    Parameters
    ----------
    number : int
        From 1.
    first : date
        Its first day.
    kind : str
        "training", "light", "test" or "break".
    sessions : tuple of PlannedSession
        In order; training days that fall out are there too.
    done : bool
        Whether it is over; what was planned for it is then not shown.
    loads, largest : dict of side to float
        Weekly load of each shoulder (seconds under load times load share) and the largest allowed, None without limit.
    back : Return or None
        Where it comes back after a break.
    """

    number: int
    first: date
    kind: WeekKind
    sessions: tuple[PlannedSession, ...]
    done: bool
    loads: dict[Side, float]
    largest: dict[Side, float | None]
    back: Return | None = None


@dataclass(frozen=True, kw_only=True)
class Programme:
    """Sessions over days and weeks for one athlete.

    Parameters
    ----------
    calendar : Calendar
    week : TrainingWeek
        What an ordinary week has.
    plans : dict of plan name to Session
        Sessions composed for matches and the days before them; those of the training days stand in `week`.
    weeks : tuple of ProgrammeWeek
    plan_of_weeks : PlanOfWeeks
        Sets and steps, with what was reached and the bounds.
    notices : tuple of Notice
        What must be told about the programme.
    """

    calendar: Calendar
    week: TrainingWeek
    plans: dict[PlanName, Session]
    weeks: tuple[ProgrammeWeek, ...]
    plan_of_weeks: PlanOfWeeks
    notices: tuple[Notice, ...] = ()

    @property
    def sessions(self) -> tuple[PlannedSession, ...]:
        """Every session that is to be done, in order."""
        return tuple(each for week in self.weeks for each in week.sessions if each.items)

    @property
    def candidates(self) -> tuple[Candidate, ...]:
        """Every exercise that is to be done in the training weeks, once, in the order of the first day."""
        return self.week.candidates

    def plan_of(self, weekday: int) -> PlanName:
        """Return the name of what is done on a training day; days on which the same is done have one name."""
        return plan_names(self.week, self.calendar)[weekday]

    def rhythm_of(self, exercise: str) -> Rhythm:
        """Return whether an exercise is done on every training day, or alternates with others."""
        every = len(self.week.days_of(exercise)) == len(self.week.days)
        return "every training day" if every else "alternating"

    @property
    def largest_gap(self) -> float:
        """The largest of the gaps of days, sets and steps, each as a share of its worth [1]."""
        plan = self.plan_of_weeks
        return max(
            self.week.gap,
            gap_of(plan.sets_worth, plan.sets_bound),
            gap_of(plan.steps_worth, plan.steps_bound),
        )


def plan_names(week: TrainingWeek, calendar: Calendar) -> dict[int, PlanName]:
    """Return the name of what is done on each weekday: "A" for the first of a programme week, and so on."""
    items = {day.weekday: day.items for day in week.days}
    names: dict[int, PlanName] = {}
    different: list[tuple[Chosen, ...]] = []
    for weekday in calendar.ordered_weekdays:
        if items[weekday] not in different:
            different.append(items[weekday])
        names[weekday] = "ABCDEFG"[different.index(items[weekday])]
    return names
