"""How long a course takes: a bracket from the quickest line of a quick athlete to the tightest line of a slow one.

Never one time.  Its two sides are the smoothed line (quick) and the line that hugs the cones (slow), each with the
athlete one standard deviation to that side; the best line possible is a few per cent quicker than the smoothed one.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from firstpush.core.courses.chair_outline import ChairOutline
from firstpush.core.courses.course import MARGIN, Course
from firstpush.core.courses.line import Line, line_over
from firstpush.core.courses.speed import AthleteSpeed, athlete_speed
from firstpush.core.courses.ways import Candidate, candidates
from firstpush.core.errors import OutOfRangeError
from firstpush.core.measured import Measured

RETEST_ERROR = Measured(
    name="typical error of a timed course, relative",
    value=0.025,
    unit="1",
    spread=0.01,
    source="1.14 s of 16.96 s in a T course, reliabilities 0.74 to 0.94 (Yanci 2015): 1.6 to 3.4 %",
    known="our choice",
)
_REAL = 1.96 * 2.0**0.5
"""Times the typical error: a difference of two single times beyond it is rarely chance (5 %)."""


@dataclass(frozen=True, kw_only=True)
class Bracket:
    """The times between which a course is done.

    Parameters
    ----------
    quick, slow : Line
        The two sides.
    likely : Line
        The smoothed line of the athlete as measured: the one that is drawn.
    likely_hugging : float
        What hugging the cones would take the same athlete [s].
    guessed : tuple of str
        What was not measured, the most telling first.
    """

    quick: Line
    slow: Line
    likely: Line
    likely_hugging: float
    guessed: tuple[str, ...]

    @property
    def low(self) -> float:
        """The shortest time [s]."""
        return self.quick.duration

    @property
    def high(self) -> float:
        """The longest time [s]."""
        return self.slow.duration

    @property
    def by_line(self) -> float:
        """How much the choice of line alone makes [s]; the rest is what is not known of the athlete."""
        return self.likely_hugging - self.likely.duration

    def __str__(self) -> str:
        return f"{self.low:.0f}-{self.high:.0f} s" if self.low >= 10.0 else f"{self.low:.1f}-{self.high:.1f} s"


def bracket_of(
    course: Course,
    outline: ChairOutline,
    speed: AthleteSpeed | None = None,
    *,
    margin: float = MARGIN.value,
    ways: Sequence[Sequence[Candidate]] | None = None,
) -> Bracket:
    """Return the times between which an athlete does a course.

    Parameters
    ----------
    course : Course
    outline : ChairOutline
    speed : AthleteSpeed or None
        None takes somebody of whom nothing is measured: a wide bracket.
    margin : float
        Room to every cone [m].
    ways : sequence or None
        Those of `candidates` where they are known already.

    Raises
    ------
    TooCloseError
        Where no way fits between two cones.
    """
    speed = speed or athlete_speed()
    ways = ways or candidates(course, outline, margin=margin)
    likely = speed.limits("likely")
    hugging = line_over(course, outline, likely, margin=margin, ways=ways, style="hugging")
    return Bracket(
        quick=line_over(course, outline, speed.limits("quick"), margin=margin, ways=ways),
        slow=line_over(course, outline, speed.limits("slow"), margin=margin, ways=ways, style="hugging"),
        likely=line_over(course, outline, likely, margin=margin, ways=ways),
        likely_hugging=hugging.duration,
        guessed=speed.guessed,
    )


@dataclass(frozen=True, kw_only=True)
class Comparison:
    """A measured time beside the bracket and beside earlier times of the same athlete on the same course.

    `change` is against the mean of the earlier times, negative when quicker, and `error` the difference that chance
    makes [s]; both None without an earlier time.
    """

    time: float
    in_bracket: Literal["quicker", "inside", "slower"]
    change: float | None
    error: float | None

    @property
    def verdict(self) -> Literal["first time", "quicker", "slower", "no difference beyond the error"]:
        """What may be said of the change."""
        if self.change is None or self.error is None:
            return "first time"
        if abs(self.change) <= self.error:
            return "no difference beyond the error"
        return "quicker" if self.change < 0.0 else "slower"


def compare(time: float, bracket: Bracket, *, earlier: Sequence[float] = ()) -> Comparison:
    """Return what a measured time says beside the bracket and the athlete's own earlier times.

    Parameters
    ----------
    time : float
        Just measured [s].
    bracket : Bracket
    earlier : sequence of float
        Of the same course at the same spacing [s].

    Raises
    ------
    OutOfRangeError
        For a time that is none.
    """
    for each in (time, *earlier):
        if not 0.0 < each <= 3600.0:
            raise OutOfRangeError(
                f"a time of {each:g} s cannot be compared; allowed is above 0 s and up to an hour; check the unit."
            )
    place: Literal["quicker", "inside", "slower"] = "inside"
    if time < bracket.low:
        place = "quicker"
    elif time > bracket.high:
        place = "slower"
    if not earlier:
        return Comparison(time=time, in_bracket=place, change=None, error=None)
    mean = sum(earlier) / len(earlier)
    # The mean of several times has less error than one of them.
    error = _REAL * RETEST_ERROR.value * mean * (0.5 * (1.0 + 1.0 / len(earlier))) ** 0.5
    return Comparison(time=time, in_bracket=place, change=time - mean, error=error)
