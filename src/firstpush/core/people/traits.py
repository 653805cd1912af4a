"""What an athlete's function and pain today mean for an exercise, by name; cautions of exercises use these names."""

from __future__ import annotations

from collections.abc import Iterable

from firstpush.core.people.athlete import Athlete, Side
from firstpush.core.people.health import hurts_too_much

TRAITS = (
    "sore shoulder",
    "no trunk control",
    "weak grip",
    "weak elbow extensors",
    "leg missing above knee",
    "foot missing",
)
"""Beside the conditions of the athlete's file: what follows from function, limbs and pain today."""
_ENOUGH_GRADE = 3
"""Muscle grade from which an arm holds against its own weight (common practice)."""
_WITHOUT_FOOT = ("above knee", "below knee", "foot")


def traits(athlete: Athlete, arms: Iterable[Side]) -> frozenset[str]:
    """Return the names of `TRAITS` that are true of the athlete when `arms` work.

    Parameters
    ----------
    athlete : Athlete
        What is unknown is no trait: it is asked for by notices of its own.
    arms : iterable of str
        The arms that work.

    Returns
    -------
    frozenset of str
        Limbs count when both legs lack them: one foot is enough to hold a rail.
    """
    found = set()
    for arm in arms:
        has = athlete.arm(arm)
        if hurts_too_much(athlete, arm, place="shoulder"):
            found.add("sore shoulder")
        if has.grip in ("weak", "none"):
            found.add("weak grip")
        if has.elbow_extension is not None and has.elbow_extension < _ENOUGH_GRADE:
            found.add("weak elbow extensors")
    if "no" in (athlete.trunk.forward, athlete.trunk.turn):
        found.add("no trunk control")
    missing = athlete.missing_limbs or frozenset()
    if all(f"{side} above knee" in missing for side in ("left", "right")):
        found.add("leg missing above knee")
    if all(any(f"{side} {limb}" in missing for limb in _WITHOUT_FOOT) for side in ("left", "right")):
        found.add("foot missing")
    return frozenset(found)
