"""The load of a week on a shoulder: what counts, how much it may rise, and the steps in which it does."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from firstpush.core.errors import OutOfRangeError
from firstpush.core.measured import Measured
from firstpush.core.people.athlete import Side

STEP = Measured(
    name="rise of the load in one step",
    value=0.10,
    unit="1",
    spread=0.03,
    source="a step is 5 to 15 %; the set-up that comes nearest is computed when it is due",
    known="common practice",
)
SESSIONS_BEFORE_STEP = Measured(
    name="sessions of an exercise at one load before its next step",
    value=2.0,
    unit="sessions",
    spread=0.0,
    source="two that agree, so that one good day is no step",
    known="common practice",
)
WEEKLY_RISE = Measured(
    name="largest rise of the weekly load over the mean of the weeks before it",
    value=0.20,
    unit="1",
    spread=0.0,
    source="injuries were more frequent above it, first with a weak cuff (Moller 2017, 679 young handball players)",
    known="read",
)
WEEKS_OF_MEAN = Measured(
    name="training weeks that the mean is taken over",
    value=4.0,
    unit="weeks",
    spread=0.0,
    source="the four weeks before (Moller 2017)",
    known="read",
)
LIGHT_SHARE = Measured(
    name="share of the sets that a light week or a test week keeps",
    value=0.6,
    unit="1",
    spread=0.1,
    source="fewer sets at the same load",
    known="common practice",
)
LIGHT_LOAD = Measured(
    name="largest share of its usual load that a light week or a test week has",
    value=0.7,
    unit="1",
    spread=0.1,
    source="sets are of different length, so keeping the short ones is no way out",
    known="our choice",
)
LOST_A_WEEK = Measured(
    name="share of the weekly load lost for each week of a break, and regained each week after it",
    value=0.2,
    unit="1",
    spread=0.1,
    source="nothing was found for breaks of training for the shoulder",
    known="our choice",
)
MOST_WEEKS_LOST = Measured(
    name="weeks of a break after which the return becomes no lower",
    value=3.0,
    unit="weeks",
    spread=1.0,
    source="a break of a month or more is a new beginning: try-out sets come first again",
    known="our choice",
)
NUMBERS = (
    STEP,
    SESSIONS_BEFORE_STEP,
    WEEKLY_RISE,
    WEEKS_OF_MEAN,
    LIGHT_SHARE,
    LIGHT_LOAD,
    LOST_A_WEEK,
    MOST_WEEKS_LOST,
)
"""Every number of the weeks."""
FIRST_LOAD = 1000
"""Loads are counted in thousandths of the first load of their exercise."""

WeekKind = Literal["training", "light", "test", "break"]


@dataclass(frozen=True, kw_only=True)
class WorkOnDay:
    """The work of one exercise on one day, as it was chosen.

    Parameters
    ----------
    exercise : str
        Id of the exercise.
    sides : tuple of str
        Shoulders that it loads; none for an exercise that counts in no weekly load.
    sets : int
        Sets on each side, 1 or more.
    set_seconds : int
        Time under load of one set on one side; repetitions count with their tempo [s].
    share : int
        Load of that day in thousandths of the exercise's load in that week; less before a match.
    """

    exercise: str
    sides: tuple[Side, ...]
    sets: int
    set_seconds: int
    share: int = FIRST_LOAD

    @property
    def counted_seconds(self) -> int:
        """What one set counts in the weekly load at the first load: its seconds, fewer before a match [s]."""
        return self.set_seconds * self.share // FIRST_LOAD


@dataclass(frozen=True, kw_only=True)
class WeekOfWork:
    """The work of a week before its loads are planned: its days in order, each with its exercises."""

    kind: WeekKind
    days: tuple[tuple[WorkOnDay, ...], ...]

    @property
    def works(self) -> bool:
        """Whether any exercise with a load is done in it."""
        return any(self.days)


@dataclass(frozen=True, kw_only=True)
class DoneWork:
    """The work of one exercise as it was done in one session.

    Parameters
    ----------
    week : int
        Week of the programme, from 1.
    exercise : str
    sides : tuple of str
    sets, set_seconds : int
        As in `WorkOnDay`; 0 sets for an exercise begun and broken off.
    load_share : float
        Load over the first load of the exercise [1].
    """

    week: int
    exercise: str
    sides: tuple[Side, ...]
    sets: int
    set_seconds: int
    load_share: float

    def __post_init__(self) -> None:
        if self.week < 1 or self.sets < 0 or self.set_seconds < 0 or not 0.0 < self.load_share <= 100.0:
            raise OutOfRangeError(
                f"{self.exercise!r} done in week {self.week} with {self.sets} sets of {self.set_seconds} s at "
                f"{self.load_share:g} times the first load cannot be; weeks count from 1, sets and seconds from 0, and "
                "the load is above 0 and at most 100 times the first. Correct what was logged."
            )

    @property
    def thousandths(self) -> int:
        """The load in thousandths of the first load."""
        return round(self.load_share * FIRST_LOAD)

    @property
    def weekly_load(self) -> int:
        """What it adds to the load of its week [s · thousandths]."""
        return self.sets * self.set_seconds * self.thousandths


@dataclass(frozen=True, kw_only=True)
class Done:
    """What was done of a programme: so many whole weeks, and the work in them; a week without work was a break."""

    weeks: int = 0
    work: tuple[DoneWork, ...] = ()

    def __post_init__(self) -> None:
        late = [each.week for each in self.work if each.week > self.weeks]
        if self.weeks < 0 or late:
            raise OutOfRangeError(
                f"{self.weeks} weeks are said to be done, with work in week {max(late, default=0)}; "
                "allowed are whole weeks that are over. Count the weeks anew."
            )


@dataclass(frozen=True, kw_only=True)
class Return:
    """A week after a break: how many weeks were lost, and the how many-th week back it is, both from 1."""

    lost: int
    back: int

    @property
    def share(self) -> float:
        """Largest share of the mean weekly load before the break [1]."""
        return 1.0 - LOST_A_WEEK.value * (self.lost - self.back + 1)


def share_after(steps: int, *, start: int = FIRST_LOAD) -> int:
    """Return the load after so many steps up (or down, below 0) from `start`, in thousandths of the first load.

    Examples
    --------
    >>> share_after(0), share_after(1), share_after(2), share_after(-1, start=1210)
    (1000, 1100, 1210, 1100)
    """
    return round(start * (1.0 + STEP.value) ** steps)


def largest_load(before: Sequence[int], *, rise: float = WEEKLY_RISE.value) -> int | None:
    """Return the largest weekly load allowed after the training weeks `before`; None when nothing came before.

    Parameters
    ----------
    before : sequence of int
        Loads of all training weeks before, the last one last; of these the last four count.
    rise : float
        Allowed above their mean [1].

    Examples
    --------
    Four weeks with a mean of (1000 + 1100 + 1000 + 600) / 4 = 925 allow 1.2 · 925 = 1110:

    >>> largest_load([5000, 1000, 1100, 1000, 600])
    1110
    >>> largest_load([1000]), largest_load([])
    (1200, None)
    """
    last = list(before)[-int(WEEKS_OF_MEAN.value) :]
    if not last:
        return None
    return round((1.0 + rise) * 1000) * sum(last) // (1000 * len(last))


def returns(works: Sequence[bool]) -> dict[int, Return]:
    """Return which weeks come back after a break, by their index from 0.

    Parameters
    ----------
    works : sequence of bool
        For each week whether it has work; weeks before the first with work are no break.

    Examples
    --------
    >>> returns([True, False, False, True, True, True])
    {3: Return(lost=2, back=1), 4: Return(lost=2, back=2)}
    """
    found: dict[int, Return] = {}
    lost, back, begun = 0, 0, False
    off = 0
    for index, here in enumerate(works):
        if not here:
            off += begun
            continue
        if off:
            lost, back = min(int(MOST_WEEKS_LOST.value), off + max(0, lost - back)), 0
        off, begun = 0, True
        if back < lost:
            back += 1
            found[index] = Return(lost=lost, back=back)
    return found


def training_weeks_before(works: Sequence[bool], index: int) -> list[int]:
    """Return the indices of the training weeks before week `index` that its mean is taken over, the last one last."""
    return [each for each in range(index) if works[each]][-int(WEEKS_OF_MEAN.value) :]
