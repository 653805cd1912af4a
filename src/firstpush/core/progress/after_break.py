"""Coming back after weeks without a session: loads begin lower, and rise again week by week."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from itertools import pairwise
from math import ceil

from firstpush.core.measured import Measured
from firstpush.core.notices import Notice

WEEK = 7
"""Days."""

LOST_A_WEEK = Measured(
    name="share of the load taken off for each whole week without a session, and given back a week",
    value=0.1,
    unit="1",
    spread=0.05,
    source="a step of the progression for each week lost, as in a programme; strength falls from the third week "
    "without training (Bosquet 2013, from memory)",
    known="our choice",
)
MOST_WEEKS_LOST = Measured(
    name="weeks lost that are counted at most",
    value=3.0,
    unit="weeks",
    spread=1.0,
    source="as in a programme; after a longer break effort decides faster than a number can",
    known="our choice",
)


@dataclass(frozen=True, kw_only=True)
class AfterBreak:
    """A return to training.

    Parameters
    ----------
    share : float
        Of the usual load that is wanted [1].
    last : date
        Day of the last session before the break.
    weeks : int
        Whole weeks without a session.
    """

    share: float
    last: date
    weeks: int

    def notice(self) -> Notice:
        """Return what is told before the session."""
        weeks = f"{self.weeks} weeks" if self.weeks > 1 else "one week"
        return Notice(
            id="after-a-break",
            level="caution",
            what=f"back after {weeks} without a logged session ({self.last:%-d %B}): "
            f"loads at {100 * self.share:.0f} % of the usual",
            do=f"Go by effort; each week done brings {100 * LOST_A_WEEK.value:.0f} % back",
        )


def after_break(days: Iterable[date], *, on: date) -> AfterBreak | None:
    """Return what is left of the last break before a session; None where there was none, or nothing before it.

    Parameters
    ----------
    days : iterable of date
        On which something was done, in any order.
    on : date
        Day of the session.

    Returns
    -------
    AfterBreak or None
        A week is lost when seven days pass beyond the week that lies between two sessions anyway: 14 days apart are one
        week lost, 21 are two.  Each week of training brings one back.

    Source
    ------
    Our choice, see `LOST_A_WEEK`.
    """
    trained = sorted({day for day in days if day < on})
    lost_days, last, weeks = 0, on, 0
    for before, after in pairwise([*trained, on]):
        apart = (after - before).days
        without = apart // WEEK - 1
        if without > 0:
            lost_days, last, weeks = lost_days + WEEK * without, before, without
            lost_days = min(int(WEEK * MOST_WEEKS_LOST.value), lost_days)
        else:
            lost_days = max(0, lost_days - apart)
    if lost_days == 0:
        return None
    # A week that has begun is not done yet.
    return AfterBreak(share=1.0 - LOST_A_WEEK.value * ceil(lost_days / WEEK), last=last, weeks=weeks)
