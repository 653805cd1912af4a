"""The try-out set: lightest safe set-up, how hard was it, the next load; three rounds at most, the last is kept."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any, Literal

from firstpush.core.errors import OutOfRangeError
from firstpush.core.exercises.definition import DoseOption
from firstpush.core.measured import Measured
from firstpush.core.progress.entries import FEELS, Feel
from firstpush.core.session.first_set import FIRST_REPETITIONS
from firstpush.core.setup.result import ExerciseSetup

REPETITIONS = FIRST_REPETITIONS
"""Slow repetitions of a try-out set, after which is asked how hard they were."""
MOST_ROUNDS = 3
"""Sets of a try-out at most: more would be a session of their own (our choice)."""

AIMED_EFFORT = Measured(
    name="effort that a first load is looked for",
    value=12,
    unit="of 6-20",
    spread=1,
    source="the lower end of the band that keeps; a first set is short",
    known="our choice",
)
SHARE_A_NUMBER = Measured(
    name="load that one number of effort is worth, near the middle of the scale",
    value=0.12,
    unit="1",
    spread=0.05,
    source="the straight middle of how effort grows with load: about ten numbers for a load of three times",
    known="our choice",
)
LARGEST_ROUND = Measured(
    name="largest rise of a load from one round to the next",
    value=0.5,
    unit="1",
    spread=0.0,
    source="a band that feels like nothing is doubled by nobody at once",
    known="our choice",
)
TRAINS = 15
"""Above this effort a load is made easier at once (common practice: 12 to 15 trains)."""
EASY_ROUND, HARD_ROUND = 0.3, -0.2
"""Change of the load after a set that felt easy or hard, where no number is asked [1]."""


@dataclass(frozen=True, kw_only=True)
class TryOut:
    """What follows from one set of a try-out.

    Parameters
    ----------
    load : float
        For the next round, or to be kept [N·m].
    over : bool
        Whether `load` is the athlete's first known load, and no further round follows.
    because : str
        As a clause without a full stop.
    """

    load: float
    over: bool
    because: str


def next_round(*, load: float, effort: int | Feel, number: int, largest: float, pain: bool = False) -> TryOut:
    """Return the load of the next round of a try-out, or the one to be kept.

    Parameters
    ----------
    load : float
        Of the set that was done, 5 to 8 slow repetitions [N·m].
    effort : int or str
        6 to 20, or "easy", "right", "hard".
    number : int
        Of the set that was done, from 1.
    largest : float
        The largest load of this exercise for this athlete [N·m].
    pain : bool
        Whether a pain came that asks for more than going on: the try-out ends, and nothing is kept as known.

    Returns
    -------
    TryOut

    Raises
    ------
    OutOfRangeError
        For a load that is not above zero or above the largest, an effort outside its scale, or a round that is none.

    Examples
    --------
    >>> next_round(load=4.0, effort=9, number=1, largest=20.0)
    TryOut(load=5.44, over=False, because='effort 9: 36 % more')
    >>> next_round(load=5.4, effort=12, number=2, largest=20.0).over
    True
    """
    if not 0 < load <= largest * 1.001:
        raise OutOfRangeError(f"a load of {load:g} N·m; allowed is above 0 up to {largest:g}. Set it up lighter.")
    if not 1 <= number <= MOST_ROUNDS:
        raise OutOfRangeError(f"round {number} of a try-out; allowed is 1 to {MOST_ROUNDS}. Begin another day.")
    if pain:
        return TryOut(load=load, over=True, because="pain came: no load is kept as known")
    change = _change(effort)
    if change == 0.0:
        return TryOut(load=load, over=True, because=f"{_said(effort)}: this is the first known load")
    new = min(load * (1.0 + change), largest)
    if number == MOST_ROUNDS or (change > 0 and new <= load):
        # After the last round a load that was too easy is kept as it is: nobody has felt a heavier one.
        kept = load if change > 0 else new
        return TryOut(
            load=kept, over=True, because=f"{_said(effort)}, and that was round {number}: kept as it is done next"
        )
    more = "more" if change > 0 else "less"
    return TryOut(load=round(new, 2), over=False, because=f"{_said(effort)}: {100 * abs(new / load - 1):.0f} % {more}")


def is_tried_out(dose: DoseOption, setups: Mapping[Any, ExerciseSetup]) -> bool:
    """Whether it is a first time that is counted in repetitions.

    Parameters
    ----------
    dose : DoseOption
    setups : mapping to ExerciseSetup
        Of every side.
    """
    first = any(setup.target is not None and setup.target.kind == "try-out" for setup in setups.values())
    return first and bool(dose.repetitions)


def try_out_dose(dose: DoseOption) -> DoseOption:
    """Return what is done of a dose the first time: one set of at most 8 repetitions; in seconds, as it is.

    Parameters
    ----------
    dose : DoseOption
        As the session has it: its other sets go by the answer.
    """
    if dose.repetitions is None:
        return dose
    most = min(REPETITIONS[-1], dose.repetitions)
    return replace(dose, name="the first set", sets=1, repetitions=most, pause_s=0.0)


@dataclass(frozen=True, kw_only=True)
class FirstTimeAnswer:
    """What follows from one number of effort after the first set, in steps that a page has prepared.

    Parameters
    ----------
    effort : int or str
        6 to 20, or how it felt.
    then : str
        "harder", "keep", "easier" or "stop".
    words : str
        A clause without a full stop.
    """

    effort: int | Feel
    then: Literal["harder", "keep", "easier", "stop"]
    words: str


def first_time_answers() -> tuple[FirstTimeAnswer, ...]:
    """Return what follows from each number 6 to 20, then each word, after a first set, for where nothing can be laid.

    Returns
    -------
    tuple of FirstTimeAnswer
        The direction is that of `next_round`; above `TRAINS` less is not enough.

    Source
    ------
    Common practice: a first set is light and 12 to 15 trains, above 15 is made easier at once.  That the first load is
    looked for at 12 ± 1 is our choice.
    """
    return (*(_first_time(effort) for effort in range(6, 21)), *_FELT)


def first_time_rule() -> str:
    """Return what follows from the effort after a first set, all numbers in one sentence.

    Examples
    --------
    >>> first_time_rule()
    'After a first set: effort up to 10, then harder; 11 to 13, the same; 14 to 15, easier; from 16, easier or stop.'
    """
    numbers: dict[str, list[int]] = {}
    for answer in first_time_answers():
        if isinstance(answer.effort, int):
            numbers.setdefault(answer.then, []).append(answer.effort)
    meaning = {"keep": "the same", "easier": "easier"}
    told = [f"effort up to {max(numbers['harder'])}, then harder"]
    told += [f"{min(numbers[then])} to {max(numbers[then])}, {words}" for then, words in meaning.items()]
    told.append(f"from {min(numbers['stop'])}, easier or stop")
    return f"After a first set: {'; '.join(told)}."


def _first_time(effort: int) -> FirstTimeAnswer:
    change = _change(effort)
    if change > 0:
        return FirstTimeAnswer(effort=effort, then="harder", words=f"{effort} is light: take the harder one")
    if change == 0.0:
        return FirstTimeAnswer(effort=effort, then="keep", words=f"{effort} is right for a first time: keep it")
    if effort <= TRAINS:
        return FirstTimeAnswer(effort=effort, then="easier", words=f"{effort} is hard: take the easier one")
    return FirstTimeAnswer(
        effort=effort, then="stop", words=f"{effort} is too hard for a first time: take the easier one, or stop here"
    )


_FELT: tuple[FirstTimeAnswer, ...] = (
    FirstTimeAnswer(effort="easy", then="harder", words="it felt easy: take the harder one"),
    FirstTimeAnswer(effort="right", then="keep", words="it felt right: keep it"),
    FirstTimeAnswer(effort="hard", then="stop", words="it felt hard: take the easier one, or stop here"),
)


def _change(effort: int | Feel) -> float:
    if effort in FEELS:
        return {"easy": EASY_ROUND, "right": 0.0, "hard": HARD_ROUND}[effort]
    if isinstance(effort, bool) or not isinstance(effort, int) or not 6 <= effort <= 20:
        raise OutOfRangeError(
            f"effort {effort!r}; allowed are the whole numbers 6 to 20, or {', '.join(FEELS)}. "
            "Ask again with the scale in view."
        )
    off = AIMED_EFFORT.value - effort
    if abs(off) <= AIMED_EFFORT.spread:
        return 0.0
    return min(off * SHARE_A_NUMBER.value, LARGEST_ROUND.value) if off > 0 else max(off * SHARE_A_NUMBER.value, -0.5)


def _said(effort: int | Feel) -> str:
    return f"it felt {effort}" if effort in FEELS else f"effort {effort}"
