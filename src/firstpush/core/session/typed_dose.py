"""A dose that a practitioner types: sets, and repetitions or seconds, within what the exercise allows."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass, replace

from firstpush.core.errors import OutOfRangeError
from firstpush.core.exercises.definition import DoseOption, Exercise
from firstpush.core.measured import Measured

MOST_SETS = 3
"""Programmes for painful shoulders used three sets (Mulroy 2011, from slides, read)."""
LONGEST_SET = Measured(
    name="longest set over the longest in the file of the exercise",
    value=1.5,
    unit="1",
    spread=0.0,
    source="beyond it the exercise is another one: endurance",
    known="our choice",
)
SHORTEST_SET = Measured(
    name="shortest set that is counted in seconds", value=5.0, unit="s", spread=0.0, source="", known="our choice"
)
_NAME = re.compile(r"(\d+) sets? of (\d+)( s)?, by hand")


@dataclass(frozen=True, kw_only=True)
class DoseLimits:
    """What may be typed for an exercise: the most sets, and the least and the most of a set, repetitions or seconds."""

    most_sets: int
    least: int
    most: int
    in_seconds: bool

    @property
    def unit(self) -> str:
        """What a set is counted in."""
        return "seconds" if self.in_seconds else "repetitions"


def dose_limits(exercise: Exercise) -> DoseLimits | None:
    """Return what may be typed for `exercise`; None for a drill that is counted in rounds."""
    usual = _usual(exercise)
    if usual is None:
        return None
    alike = [each for each in exercise.doses if each.rounds is None]
    most_sets = max(MOST_SETS, *(each.sets for each in alike))
    longest = LONGEST_SET.value * max(each.set_seconds for each in alike)
    if usual.repetitions is None:
        shortest = min(SHORTEST_SET.value, *(each.set_seconds for each in alike))
        return DoseLimits(
            most_sets=most_sets, least=math.ceil(shortest), most=math.floor(longest + 1e-9), in_seconds=True
        )
    each_s = usual.set_seconds / usual.repetitions
    return DoseLimits(most_sets=most_sets, least=1, most=math.floor(longest / each_s + 1e-9), in_seconds=False)


def typed_dose(exercise: Exercise, *, sets: int, amount: int) -> DoseOption:
    """Return the dose of `sets` times `amount` repetitions or seconds, at the tempo of the exercise's usual dose.

    Parameters
    ----------
    exercise : Exercise
    sets : int
    amount : int
        Repetitions, or seconds where the exercise is counted in those.

    Raises
    ------
    OutOfRangeError
        When it is more than the exercise allows, or the exercise is counted in rounds.

    Source
    ------
    The limits are our choice: up to three sets, and no set half as long again as the longest of the exercise.
    """
    limits, usual = dose_limits(exercise), _usual(exercise)
    if limits is None or usual is None:
        raise OutOfRangeError(
            f"{exercise.title} is counted in rounds; a dose can be typed where there are repetitions or seconds. "
            "Choose one of its doses."
        )
    if not 1 <= sets <= limits.most_sets:
        raise OutOfRangeError(
            f"{sets} sets of {exercise.title} are out of range; allowed are 1 to {limits.most_sets}. "
            "Write one of these."
        )
    if not limits.least <= amount <= limits.most:
        raise OutOfRangeError(
            f"{amount} {limits.unit} a set of {exercise.title} are out of range; allowed are {limits.least} to "
            f"{limits.most}. Write one of these, or take more sets."
        )
    name = f"{sets} set{'s' if sets > 1 else ''} of {amount}{' s' if limits.in_seconds else ''}, by hand"
    if limits.in_seconds:
        return replace(usual, name=name, sets=sets, seconds=float(amount))
    return replace(usual, name=name, sets=sets, repetitions=amount)


def dose_of_name(exercise: Exercise, name: str) -> DoseOption | None:
    """Return the typed dose that is called `name`; None when that is no name of one, or more than is allowed."""
    found = _NAME.fullmatch(name)
    if found is None or _usual(exercise) is None:
        return None
    try:
        return typed_dose(exercise, sets=int(found[1]), amount=int(found[2]))
    except OutOfRangeError:
        return None


def _usual(exercise: Exercise) -> DoseOption | None:
    """Return the first dose that is counted in repetitions or seconds."""
    return next((each for each in exercise.doses if each.rounds is None and not each.only_with_care), None)
