"""How set-ups and loads are put into words on the pages after a session."""

from __future__ import annotations

from collections.abc import Mapping

from firstpush.core.people.athlete import Side
from firstpush.core.setup.result import ExerciseSetup


def as_labelled(setups: Mapping[Side, ExerciseSetup]) -> dict[Side | None, ExerciseSetup]:
    """Return set-ups as the words of the sheet take them: that of both arms together under None."""
    return {None if setup.exercise.sides == "together" else side: setup for side, setup in setups.items()}


def load_in_words(load: float) -> str:
    """Return a load [N·m] with as many digits as it is known to."""
    return f"{load:.{1 if load < 10 else 0}f} N·m"


def loads_in_words(loads: Mapping[Side | None, float], *, between: str) -> str:
    """Return the load of every side [N·m]: one where they read alike, else each with its side; empty without any."""
    texts = {side: load_in_words(load) for side, load in loads.items()}
    if len(set(texts.values())) <= 1:
        return next(iter(texts.values()), "")
    return between.join(f"{side} {text}" for side, text in texts.items())
