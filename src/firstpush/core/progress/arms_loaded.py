"""Which arms an exercise loads as it is set up: a sore arm may be the one that only holds the other end of the band."""

from __future__ import annotations

from collections.abc import Iterable

from firstpush.core.people.athlete import SIDES, Side
from firstpush.core.progress.laying import ONE_ARM
from firstpush.core.setup.result import ExerciseSetup


def arms_loaded(setups: Iterable[ExerciseSetup]) -> tuple[Side, ...]:
    """Return the arms that work, or carry a band or a ball, or hold on with a hand, in any of the set-ups.

    Parameters
    ----------
    setups : iterable of ExerciseSetup
        Of every side that is done.

    Returns
    -------
    tuple of str
        In the order of `SIDES`.  What an exercise only moves counts as worked: with pain that is the safe side.
    """
    found: set[Side] = set()
    for setup in setups:
        found |= {*setup.arms, *setup.forces}
        if setup.exercise.needs.hands > 1 and ONE_ARM not in setup.support:
            found |= set(SIDES)
    return tuple(side for side in SIDES if side in found)
