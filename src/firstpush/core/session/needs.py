"""Which aims count more, or less, for one athlete: the choice of a session begins with whom it is for."""

from __future__ import annotations

from dataclasses import dataclass

from firstpush.core.people.athlete import SIDES, Athlete
from firstpush.core.people.traits import traits

USUAL_PAIN = 2
"""Usual pain (0-10) from which a place asks for something (our choice)."""
_HOLDS_AGAINST_GRAVITY = 3


@dataclass(frozen=True, kw_only=True)
class Need:
    """One aim that counts more for an athlete, or less: how much, and because of what."""

    aim: str
    more: int
    because: str


def aim_needs(athlete: Athlete, *, junior: bool = False) -> tuple[Need, ...]:
    """Return what this athlete needs more or less of than others, each with its reason.

    Parameters
    ----------
    athlete : Athlete
    junior : bool
        Whether the athlete is, or may be, under 18.

    Returns
    -------
    tuple of Need
        All weights are our choice, all directions common practice; see docs/why/session.md.
    """
    found = []

    def need(aim: str, more: int, because: str) -> None:
        found.append(Need(aim=aim, more=more, because=because))

    if athlete.trunk.turn == "partly":
        need("anti-rotation", 2, "the trunk is controlled partly when it turns")
    if athlete.trunk.turn == "yes" and athlete.trunk.forward == "yes":
        need("trunk turn", 1, "the trunk is controlled")
    sport = (athlete.sport or "").casefold()
    if "badminton" in sport or "tennis" in sport:
        need("shoulder elevation", 2, f"{sport} is played overhead")
        need("trunk mobility", 1, f"{sport} is played overhead")
    if "basketball" in sport or "rugby" in sport:
        need("braking", 2, f"{sport} stops and turns hard")
        need("turning", 2, f"{sport} stops and turns hard")
    places = {
        pain.place for pain in athlete.health.pain or () if (pain.usual or 0) >= USUAL_PAIN or (pain.now or 0) > 0
    }
    if places & {"shoulder front", "shoulder top"}:
        need("chest length", 2, "the front of the shoulder hurts at times")
        need("scapular retraction", 2, "the front of the shoulder hurts at times")
        need("shoulder elevation", -1, "the front of the shoulder hurts at times")
    if places & {"neck", "upper back"}:
        need("neck mobility", 2, "neck or upper back hurt at times")
    arms = [athlete.arm(side) for side in SIDES]
    if any(arm.grip in ("weak", "none") and (arm.wrist_extension or 0) >= _HOLDS_AGAINST_GRAVITY for arm in arms):
        need("wrist extension", 2, "the wrist closes the hand")
    if "weak elbow extensors" in traits(athlete, SIDES):
        need("elbow extension", -1, "the elbow extensors are weak")
    if junior:
        need("shoulder control", 2, "technique comes before load")
        need("trunk mobility", 1, "technique comes before load")
    return tuple(found)
