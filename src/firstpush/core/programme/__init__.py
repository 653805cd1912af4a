"""The programme: which exercises on which day of the week, and how their sets and loads go on over the weeks.

Public: `plan_programme`, `Programme`, `Calendar`, `Break`, `choose_days`, `TrainingWeek`, `plan_weeks`, `Done`,
`DoneWork`, `programme_document`.  What is wished and what must hold stands in docs/why/programme.md.
"""

from firstpush.core.programme.calendar import Break, Calendar
from firstpush.core.programme.days import TrainingDay, TrainingWeek, choose_days
from firstpush.core.programme.document import programme_document
from firstpush.core.programme.load import Done, DoneWork, WeekOfWork, WorkOnDay
from firstpush.core.programme.plan import plan_programme
from firstpush.core.programme.programme import PlannedItem, PlannedSession, Programme, ProgrammeWeek
from firstpush.core.programme.weeks import plan_weeks

__all__ = [
    "Break",
    "Calendar",
    "Done",
    "DoneWork",
    "PlannedItem",
    "PlannedSession",
    "Programme",
    "ProgrammeWeek",
    "TrainingDay",
    "TrainingWeek",
    "WeekOfWork",
    "WorkOnDay",
    "choose_days",
    "plan_programme",
    "plan_weeks",
    "programme_document",
]
