"""A try-out that goes on in the next sessions: the first load was so light that it is surely not the one looked for."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta

from firstpush.core.measured import Measured
from firstpush.core.progress.history import Done
from firstpush.core.progress.rules import LONGEST_GAP

TRY_OUT_SESSIONS = Measured(
    name="sessions in which a first load is looked for, at most",
    value=3,
    unit="sessions",
    spread=0,
    source="later, a load that is too light is raised by steps like any other",
    known="our choice",
)
STILL_LIGHT = Measured(
    name="effort up to which a first load is surely too light",
    value=9,
    unit="of 6-20",
    spread=0,
    source="two numbers below what is still too easy, where one more or less is noise (Colado 2014)",
    known="our choice",
)
LARGEST_LATER = Measured(
    name="largest rise of a load in a try-out of a later day, over what was done the time before",
    value=0.5,
    unit="1",
    spread=0.0,
    source="no more than between two rounds of the first day; soreness comes a day later",
    known="our choice",
)


@dataclass(frozen=True, kw_only=True)
class Trying:
    """A first load that was found by a try-out and not changed by a step since.

    Parameters
    ----------
    last : Done
        What was done of the exercise last, with that load.
    sessions : int
        In which it was done since the try-out began, `last` among them.
    share : float
        Share of the usual load that the day of the next try-out asks for [1].
    held_back : str
        What pain holds the arm back, as a clause; empty where none does.
    """

    last: Done
    sessions: int
    share: float = 1.0
    held_back: str = ""


def why_it_is_over(trying: Trying, *, on: date | None = None) -> str:
    """Return why a try-out does not go on, as a clause; empty where it may.

    Parameters
    ----------
    trying : Trying
    on : date, optional
        The day of the next try-out, where it is known.

    Source
    ------
    Common practice: a first load is looked for with light sets and a question, never through pain or a movement that is
    not clean, and not before a match.  Effort up to 9 and three sessions are our choice.
    """
    last = trying.last
    if trying.held_back:
        return trying.held_back
    if last.pain is not None or last.stopped:
        return "there was pain in it"
    if not last.finished or last.faults or last.variant != "planned":
        return "it was not done cleanly as planned"
    if isinstance(last.effort, bool) or not isinstance(last.effort, int):
        return "no number of effort was said"
    if last.effort > STILL_LIGHT.value:
        return f"effort {last.effort} is above {STILL_LIGHT.value:g}: from here it goes by steps"
    if trying.sessions >= TRY_OUT_SESSIONS.value:
        return f"it was looked for in {trying.sessions} sessions: from here it goes by steps"
    if trying.share < 1.0:
        return "the day asks for less than usual"
    if on is not None and on - last.on > timedelta(days=LONGEST_GAP.value):
        return f"it was last done on {last.on:%-d %B}: begin with the lightest"
    return ""


def goes_on_words(trying: Trying) -> str:
    """Return that a try-out goes on, and why, as a clause; empty where it is over."""
    if why_it_is_over(trying):
        return ""
    return (
        f"effort {trying.last.effort} is still light (up to {STILL_LIGHT.value:g}) in session {trying.sessions} of the "
        f"{TRY_OUT_SESSIONS.value:g} in which a first load may be looked for"
    )
