"""Bending a programme to what was done: the weeks that are over count as they were, the rest is planned from there."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any

from firstpush.core.people.athlete import SIDES
from firstpush.core.programme import Done, DoneWork
from firstpush.core.progress.week_load import Carried
from firstpush.web.after.runs import runs_done
from firstpush.web.athletes.models import AthleteRecord
from firstpush.web.programme.models import Programme

LARGEST_SHARE = 100.0
"""Of a first load; more was not done, but logged wrongly."""


@dataclass(frozen=True, kw_only=True)
class Bent:
    """What a programme was made from, and what was done in its weeks that are over."""

    asked: Mapping[str, Any]
    weeks: int
    carried: tuple[Carried, ...]

    def done(self, first_loads: Mapping[str, float]) -> Done:
        """Return the weeks that are over as the programme counts them: loads over the first load of each exercise."""
        start = date.fromisoformat(self.asked["start"])
        found: dict[tuple[date, str], list[Carried]] = {}
        for each in self.carried:
            if each.exercise in first_loads:
                found.setdefault((each.on, each.exercise), []).append(each)
        return Done(
            weeks=self.weeks,
            work=tuple(
                DoneWork(
                    week=(on - start).days // 7 + 1,
                    exercise=exercise,
                    sides=tuple(side for side in SIDES if any(each.side == side for each in arms)),
                    sets=1,
                    set_seconds=round(max(each.seconds for each in arms)),
                    load_share=min(sum(each.load for each in arms) / len(arms) / first_loads[exercise], LARGEST_SHARE),
                )
                for (on, exercise), arms in sorted(found.items())
            ),
        )


def weeks_over(programme: Programme, *, today: date) -> int:
    """Return how many whole weeks of a programme are over, at most all but the last."""
    start = date.fromisoformat(programme.asked["start"])
    return max(0, min((today - start).days // 7, int(programme.asked["weeks"]) - 1))


def bent(programme: Programme, record: AthleteRecord, *, today: date) -> Bent:
    """Return what was done in the weeks of a programme that are over."""
    start, weeks = date.fromisoformat(programme.asked["start"]), weeks_over(programme, today=today)
    end = start + timedelta(weeks=weeks)
    carried = (each for run in runs_done(record.pk) for each in run.carried)
    return Bent(asked=programme.asked, weeks=weeks, carried=tuple(each for each in carried if start <= each.on < end))
