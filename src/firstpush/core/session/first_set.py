"""A first time in words: a first set of few repetitions, how hard it was, and what becomes of the other sets."""

from __future__ import annotations

FIRST_REPETITIONS = range(5, 9)
"""Slow repetitions of a first set, after which is asked how hard they were (common practice)."""
FEW = f"{FIRST_REPETITIONS[0]} to {FIRST_REPETITIONS[-1]} slow ones"


def first_set_words(sets: int) -> str:
    """Return what is done beside a large "5 to 8" and what follows, as a clause without a full stop.

    Parameters
    ----------
    sets : int
        Of the whole dose; the first set is one of them.

    Examples
    --------
    >>> [first_set_words(sets) for sets in (1, 2)]
    ['one slow set, then say how hard', 'slow, then say how hard; the second set by the answer']
    """
    if sets == 1:
        return "one slow set, then say how hard"
    return f"slow, then say how hard; {_others(sets)} by the answer"


def first_set_of(sets: int) -> str:
    """Return what a first time makes of a dose, as a clause: of a single set nothing follows the few.

    Parameters
    ----------
    sets : int
        As for `first_set_words`.

    Examples
    --------
    >>> [first_set_of(sets) for sets in (1, 3)]
    ['first time 5 to 8 slow ones in its place', 'first time a set of 5 to 8 slow ones, the other sets by the answer']
    """
    if sets == 1:
        return f"first time {FEW} in its place"
    return f"first time a set of {FEW}, {_others(sets)} by the answer"


def _others(sets: int) -> str:
    return "the second set" if sets == 2 else "the other sets"
