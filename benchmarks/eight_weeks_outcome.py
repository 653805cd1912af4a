"""What came of eight weeks: every decision as it is read, the shares, and how much a week rose over those before."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date

from firstpush.core.people.athlete import SIDES
from firstpush.core.progress.decide import Decision
from firstpush.core.progress.proposal import Choice
from firstpush.core.progress.week_load import Carried

WEEKS, DAYS = 8, (0, 2, 4)
MONDAY = date(2026, 9, 28)


@dataclass(frozen=True, kw_only=True)
class Line:
    """One decision as it is read: what was done, what the rule says, and what is done next time."""

    on: date
    decision: Decision
    chosen: Choice
    sentence: str
    tried: str

    def __str__(self) -> str:
        text = f"{self.on} {self.decision.exercise:<23} {self.decision.what:<8} {self.decision.because}"
        if self.decision.ask:
            text += f" | ask {self.decision.ask}"
        if self.chosen.name != "as done":
            text += f" | {self.chosen.name}: {self.chosen.words}, {self.chosen.change}"
        return text + (f" | {self.sentence}" if self.sentence else "") + (f" | {self.tried}" if self.tried else "")


@dataclass(frozen=True, kw_only=True)
class Outcome:
    """What came of eight weeks, over all exercises."""

    sets: int
    within: int
    over: int
    steps: int
    steps_of_load: int
    sessions_to_fit: tuple[int | None, ...]
    lines: tuple[Line, ...]
    carried: tuple[Carried, ...]
    known_since: Mapping[str, date]
    stepped: tuple[tuple[date, str], ...]

    @property
    def rise_of_arm(self) -> float:
        """Largest rise of a week of an arm over the mean of the weeks before it, four at most [1]."""
        return max(_rise([each for each in self.carried if each.side == side], MONDAY) for side in SIDES)

    @property
    def rise_of_one(self) -> float:
        """Largest rise of a week of one exercise over the mean of the weeks before it, since its load is known [1]."""
        return max(
            _rise([each for each in self.carried if (each.exercise, each.side) == (name, side)], since)
            for name, since in self.known_since.items()
            for side in SIDES
        )


def _rise(carried: list[Carried], since: date) -> float:
    whole = -(-(since - MONDAY).days // 7)
    return max(rises_of(weeks_of(carried)[whole:]), default=0.0)


def weeks_of(carried: Iterable[Carried]) -> list[float]:
    """Return load times time of each calendar week [N·m·s]."""
    weeks = [0.0] * WEEKS
    for each in carried:
        weeks[(each.on - MONDAY).days // 7] += each.amount
    return weeks


def rises_of(weeks: list[float]) -> list[float]:
    """Return how much each week is above the mean of those before it, four at most [1]; after nothing it is none."""
    before = [weeks[max(0, i - 4) : i] for i in range(1, len(weeks))]
    return [week / (sum(each) / len(each)) - 1 for week, each in zip(weeks[1:], before, strict=True) if sum(each)]


def row_of(said: str, law: str, seed: int, found: Outcome) -> str:
    """Return the line of the table that sums up eight weeks."""
    fits = ", ".join("never" if each is None else str(each + 1) for each in found.sessions_to_fit)
    within, over = (100 * each / found.sets for each in (found.within, found.over))
    arm, one = 100 * found.rise_of_arm, 100 * found.rise_of_one
    return (
        f"{said:<9} {law:<11} {seed:>4}  {within:>9.0f} %  {over:>5.0f} %  {found.steps:>6} ({found.steps_of_load})"
        f"      {fits:<22}  {arm:>+5.0f} %  {one:>+5.0f} %"
    )
