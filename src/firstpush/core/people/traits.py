"""What an athlete's function and pain today mean for an exercise, by name; cautions of exercises use these names."""

from __future__ import annotations

from collections.abc import Iterable

from firstpush.core.measured import Measured
from firstpush.core.people.athlete import SIDES, ArmFunction, Athlete, Side
from firstpush.core.people.health import hurts_too_much, may_be_new
from firstpush.core.people.limbs import has_no_feet, has_no_knees, legs_missing

TRAITS = (
    "sore shoulder",
    "no trunk control",
    "weak grip",
    "weak elbow extensors",
    "leg missing above knee",
    "foot missing",
    "light front",
    "hemiplegic arm",
    "may tip backwards",
)
"""Beside the conditions of the athlete's file: what follows from function, limbs and pain today."""
_ENOUGH_GRADE = 3
"""Muscle grade from which an arm holds against its own weight (common practice)."""
LIGHT_FRONT = Measured(
    name="share of the weight on the casters below which the front counts as light",
    value=0.25,
    unit="1",
    spread=0.0,
    source="chairs for the court carry about 0.3 there; with less, leaning or pulling back lifts the casters",
    known="our choice",
)


def traits(athlete: Athlete, arms: Iterable[Side]) -> frozenset[str]:
    """Return the names of `TRAITS` that are true of the athlete when `arms` work.

    Parameters
    ----------
    athlete : Athlete
        What is unknown is no trait here: see `possible_traits`.
    arms : iterable of str
        The arms that work.

    Returns
    -------
    frozenset of str
        Limbs count when both legs lack them: one foot is enough to hold a rail; for a light front one leg is enough.
        A share of weight on the casters that nobody measured makes no front light.  With hemiplegia an arm counts as
        the weak one unless the file says that the other is.
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
        if "hemiplegia" in (athlete.health.conditions or ()) and weak_side(athlete) in (arm, None):
            found.add("hemiplegic arm")
    if "no" in (athlete.trunk.forward, athlete.trunk.turn):
        found.add("no trunk control")
    missing = athlete.missing_limbs or frozenset()
    if has_no_knees(missing):
        found.add("leg missing above knee")
    if has_no_feet(missing):
        found.add("foot missing")
    share = athlete.chair.caster_share
    # One leg less is enough: what it weighed lay before the axle.
    if legs_missing(missing) or (share is not None and share < LIGHT_FRONT.value):
        found.add("light front")
    if may_tip_backwards(athlete) and athlete.trunk.forward == "no" and "anti_tip" in athlete.chair.measured:
        found.add("may tip backwards")
    return frozenset(found)


def may_tip_backwards(athlete: Athlete) -> bool:
    """Whether nothing is known to keep the chair from tipping over backwards: no anti-tip wheel, no trunk control."""
    return athlete.chair.anti_tip is None and athlete.trunk.forward in (None, "no")


UNKNOWN_PAIN, UNKNOWN_LIMBS, UNKNOWN_CONDITIONS = "pain now", "missing limbs", "health conditions"
UNKNOWN_USUAL = "usual pain"
"""What is asked before the start, in words; function that is not known is tried."""


def possible_traits(athlete: Athlete, arms: Iterable[Side]) -> dict[str, str]:
    """Return the traits that may be true of the athlete when `arms` work, each with what is not known, in words.

    Parameters
    ----------
    athlete : Athlete
    arms : iterable of str
        The arms that work.

    Returns
    -------
    dict of trait to str
        Without those that are known to be true.  Unknown never counts as better than a known "no": whoever asks for
        care at a trait does so at these too.
    """
    found: dict[str, str] = {}

    def unknown(trait: str, what: str) -> None:
        of_arm = what.removeprefix("left ").removeprefix("right ")
        # Of both arms is said once.
        found[trait] = of_arm if trait in found else what

    arms = tuple(arms)
    health = athlete.health
    for arm in arms:
        has = athlete.arm(arm)
        if has.grip is None:
            unknown("weak grip", f"{arm} grip")
        if has.elbow_extension is None:
            unknown("weak elbow extensors", f"{arm} elbow extensors")
    if athlete.trunk.forward is None or athlete.trunk.turn is None:
        unknown("no trunk control", "trunk control")
    if may_tip_backwards(athlete):
        wheel = [] if "anti_tip" in athlete.chair.measured else ["anti-tip wheel"]
        trunk = ["trunk control"] if athlete.trunk.forward is None else []
        unknown("may tip backwards", " and ".join(wheel + trunk))
    shoulders = [p for p in health.pain or () if p.side in (*arms, None) and p.place.startswith("shoulder")]
    if health.pain is None or any(pain.now is None for pain in shoulders):
        unknown("sore shoulder", UNKNOWN_PAIN)
    elif any(may_be_new(pain, health) for pain in shoulders):
        unknown("sore shoulder", UNKNOWN_USUAL)
    if athlete.missing_limbs is None:
        unknown("leg missing above knee", UNKNOWN_LIMBS)
        unknown("foot missing", UNKNOWN_LIMBS)
        unknown("light front", UNKNOWN_LIMBS)
    if health.conditions is None:
        unknown("hemiplegic arm", UNKNOWN_CONDITIONS)
    known = traits(athlete, arms)
    return {trait: what for trait, what in found.items() if trait not in known}


def condition_words(condition: str, athlete: Athlete, arms: Iterable[Side]) -> str:
    """Return a condition or trait that is true of the athlete as it is told: what is missing is not called weak.

    Examples
    --------
    >>> from dataclasses import replace
    >>> from firstpush.core.people.athlete_file import load_athlete
    >>> from firstpush.demo import demo_file
    >>> closes, not_at_all = ArmFunction(grip="weak"), ArmFunction(grip="none")
    >>> athlete = replace(load_athlete(demo_file("athlete")), left=closes, right=not_at_all)
    >>> [condition_words("weak grip", athlete, arms) for arms in (["left"], ["right"], SIDES)]
    ['weak grip', 'no grip', 'weak or no grip']
    """
    if condition != "weak grip":
        return condition
    grips = {athlete.arm(arm).grip for arm in arms} & {"weak", "none"}
    return {("none",): "no grip", ("none", "weak"): "weak or no grip"}.get(tuple(sorted(map(str, grips))), condition)


_GRIPS = {"none": 0, "weak": 1, "full": 2}


def weak_side(athlete: Athlete) -> Side | None:
    """Return the side of the weaker arm by grip and muscle grades; None where nothing known tells the two apart.

    Parameters
    ----------
    athlete : Athlete
        Only what is known of both arms is compared; where one arm is weaker in one thing and stronger in another,
        nothing tells them apart (our choice).
    """
    left, right = (_strengths(athlete.arm(side)) for side in SIDES)
    pairs = [(one, two) for one, two in zip(left, right, strict=True) if one is not None and two is not None]
    weaker_left, weaker_right = any(one < two for one, two in pairs), any(two < one for one, two in pairs)
    if weaker_left == weaker_right:
        return None
    return "left" if weaker_left else "right"


def _strengths(arm: ArmFunction) -> tuple[int | None, int | None, int | None]:
    return (None if arm.grip is None else _GRIPS[arm.grip], arm.elbow_extension, arm.wrist_extension)
