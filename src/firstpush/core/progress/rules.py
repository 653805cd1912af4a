"""The numbers of the rule: when an exercise is kept, made harder or easier; usual ones, and those of one athlete."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from firstpush.core.errors import OutOfRangeError
from firstpush.core.measured import Measured

KEEP_FROM = Measured(
    name="effort from which a strength exercise is kept",
    value=12,
    unit="of 6-20",
    spread=0,
    source="rule of the trade: 12 to 15 trains",
    known="common practice",
)
KEEP_UP_TO = Measured(
    name="effort up to which an exercise is kept",
    value=15,
    unit="of 6-20",
    spread=0,
    source="rule of the trade: too hard, easier",
    known="common practice",
)
PROGRESS_BELOW = Measured(
    name="effort below which a strength exercise is made harder",
    value=11,
    unit="of 6-20",
    spread=0,
    source="rule of the trade: too easy, harder",
    known="common practice",
)
CONTROL_PROGRESS_BELOW = Measured(
    name="effort below which a control exercise is made harder",
    value=12,
    unit="of 6-20",
    spread=0,
    source="rule of the trade: too easy, harder",
    known="common practice",
)
CONCORDANT = Measured(
    name="sessions in a row that must say the same before a step",
    value=2,
    unit="sessions",
    spread=0,
    source="one good day is no progress; tissue follows slower than effort",
    known="common practice",
)
DAYS_BETWEEN_STEPS = Measured(
    name="days between two steps of one exercise",
    value=7,
    unit="days",
    spread=0,
    source="one good day is no progress; tissue follows slower than effort",
    known="common practice",
)
WEEKLY_RISE = Measured(
    name="largest rise of a week's joint load over the mean of the four weeks before",
    value=0.20,
    unit="1",
    spread=0,
    source="reference category of weekly load in youth handball (Moller 2017)",
    known="read",
)
MOST_STEPS_A_WEEK = Measured(
    name="exercises of one arm made harder in seven days, at most",
    value=2,
    unit="exercises",
    spread=0,
    source="an ache after four steps in three days cannot be traced",
    known="our choice",
)
LONGEST_GAP = Measured(
    name="days after which an earlier session says nothing about the next",
    value=14,
    unit="days",
    spread=0,
    source="after a gap it is begun anew",
    known="our choice",
)
PAIN_HOLDS = Measured(
    name="days for which a pain holds back the exercises of its arm",
    value=14,
    unit="days",
    spread=0,
    source="load comes back later than the wish for it",
    known="our choice",
)


@dataclass(frozen=True, kw_only=True)
class Rules:
    """The numbers of the rule for one athlete; the defaults are common practice.

    Parameters
    ----------
    progress_below, control_progress_below : int
        Effort below which strength, and control, is made harder; between it and `keep_from` it is kept and asked about.
    keep_from, keep_up_to : int
        Effort in which an exercise is kept; above, it is made easier at once.
    concordant : int
        Sessions in a row that must say the same before a step.
    days_between_steps : int
    weekly_rise : float
        Largest rise of a week's joint load over the mean of the four weeks before, as a share.
    asked_in : str
        "numbers", 6 to 20, or "words": easy, right, hard, which are never turned into numbers.

    Raises
    ------
    OutOfRangeError
        When the numbers are not in order.
    """

    progress_below: int = round(PROGRESS_BELOW.value)
    control_progress_below: int = round(CONTROL_PROGRESS_BELOW.value)
    keep_from: int = round(KEEP_FROM.value)
    keep_up_to: int = round(KEEP_UP_TO.value)
    concordant: int = round(CONCORDANT.value)
    days_between_steps: int = round(DAYS_BETWEEN_STEPS.value)
    weekly_rise: float = WEEKLY_RISE.value
    asked_in: Literal["numbers", "words"] = "numbers"

    def __post_init__(self) -> None:
        lowest = min(self.progress_below, self.control_progress_below)
        if not 7 <= lowest <= max(self.progress_below, self.control_progress_below) <= self.keep_from:
            raise OutOfRangeError(
                f"harder below {self.progress_below} and {self.control_progress_below}, kept from {self.keep_from}: "
                "allowed is 7 to the number that an exercise is kept from. Lower the first or raise the second."
            )
        if not self.keep_from <= self.keep_up_to <= 19:
            raise OutOfRangeError(
                f"kept from {self.keep_from} up to {self.keep_up_to}: the second must be from the first to 19. "
                "Put them in order."
            )
        if self.concordant < 1 or self.days_between_steps < 0 or not 0 < self.weekly_rise <= 1:
            raise OutOfRangeError(
                f"{self.concordant} sessions, {self.days_between_steps} days, a rise of {self.weekly_rise:g}: allowed "
                "are 1 or more, 0 or more, and above 0 up to 1. Put these numbers right."
            )

    def below(self, part: str) -> int:
        """Return the effort below which an exercise of `part` is made harder."""
        return self.control_progress_below if part == "control" else self.progress_below
