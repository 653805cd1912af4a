"""Which aims count more, or less, for one athlete: the choice of a session begins with whom it is for."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass

from firstpush.core.people.athlete import SIDES, Athlete, Pain, Side
from firstpush.core.people.health import place_of
from firstpush.core.people.traits import traits
from firstpush.core.words import listed

USUAL_PAIN = 2
"""Usual pain (0-10) from which a place asks for something (our choice)."""
_HOLDS_AGAINST_GRAVITY = 3


@dataclass(frozen=True, kw_only=True)
class Need:
    """One aim that counts more for an athlete, or less: how much, because of what, and on which side that is.

    `side` is None where the reason is about no side, or about both.
    """

    aim: str
    more: int
    because: str
    side: Side | None = None

    def is_reason_on(self, sides: Collection[Side]) -> bool:
        """Whether the reason is about one of `sides`: a sore right shoulder is none for work on the left."""
        return self.side is None or self.side in sides


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

    def need(aim: str, more: int, because: str, side: Side | None = None) -> None:
        found.append(Need(aim=aim, more=more, because=because, side=side))

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
    shoulder = _complaints(athlete, {"shoulder front", "shoulder top"})
    if shoulder:
        because, side = _hurts(shoulder), _side_of(shoulder)
        need("chest length", 2, because, side)
        need("scapular retraction", 2, because, side)
        need("shoulder elevation", -1, because, side)
    neck = _complaints(athlete, {"neck", "upper back"})
    if neck:
        need("neck mobility", 2, _hurts(neck), _side_of(neck))
    arms = [athlete.arm(side) for side in SIDES]
    if any(arm.grip in ("weak", "none") and (arm.wrist_extension or 0) >= _HOLDS_AGAINST_GRAVITY for arm in arms):
        need("wrist extension", 2, "the wrist closes the hand")
    if "weak elbow extensors" in traits(athlete, SIDES):
        need("elbow extension", -1, "the elbow extensors are weak")
    if junior:
        need("shoulder control", 2, "technique comes before load")
        need("trunk mobility", 1, "technique comes before load")
    return tuple(found)


def _complaints(athlete: Athlete, places: Collection[str]) -> list[Pain]:
    """Return the pains of the athlete's file at `places` that ask for something: usual, or there today."""
    return [
        pain
        for pain in athlete.health.pain or ()
        if pain.place in places and ((pain.usual or 0) >= USUAL_PAIN or (pain.now or 0) > 0)
    ]


def _hurts(pains: list[Pain]) -> str:
    """Return where it hurts, as the file says it, and when: "pain at the right shoulder top today"."""
    where = listed(dict.fromkeys(place_of(pain) for pain in pains))
    if any((pain.now or 0) > (pain.usual or 0) for pain in pains):
        when = "today"
    else:
        when = "as usual" if any(pain.now for pain in pains) else "at times"
    return f"pain at the {where} {when}"


def _side_of(pains: list[Pain]) -> Side | None:
    """Return the one side on which it hurts; None where it is both, or neither."""
    sides = {pain.side for pain in pains}
    return next(iter(sides)) if len(sides) == 1 else None
