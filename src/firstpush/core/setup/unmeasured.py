"""What is not known of an athlete and can be measured, each with the two ends between which it plausibly lies."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from math import degrees, radians
from typing import Any, Literal

from firstpush.core.measured import Measured
from firstpush.core.people.athlete import FULL_RANGE_DEG, SIDES, SPINAL_LEVELS, Athlete, Side
from firstpush.core.people.body_size import (
    HIP_CENTRE_ABOVE_SEAT,
    SHOULDER_CENTRE_BELOW_ACROMION,
    SPAN_TO_STATURE,
    body_size,
)
from firstpush.core.people.chair_presets import CHAIR_PRESETS
from firstpush.core.people.limbs import hand_lost_with

ELEVATION = Measured(
    name="active elevation of wheelchair athletes",
    value=radians(140.0),
    unit="rad",
    spread=radians(40.0),
    source="from an arm that stays near shoulder height to the full range",
    known="our choice",
)
EXTERNAL_ROTATION = Measured(
    name="active external rotation of wheelchair athletes",
    value=radians(60.0),
    unit="rad",
    spread=radians(30.0),
    source="from a stiff shoulder to the full range",
    known="our choice",
)
CASTER_SHARE = Measured(
    name="share of the weight on the casters",
    value=0.30,
    unit="1",
    spread=0.10,
    source="from a chair set up to turn easily to one that hardly tips back",
    known="our choice",
)
LOWEST_LEVEL_OF_THE_ARM = "T1"
"""Cord level of the hand's own muscles, the last that serves the arm (key muscles by level, common practice)."""

TRUNK = "trunk"

Kind = Literal["function", "size", "sharper"]
"""function: what can be done hangs on it; size: the same set-up loads otherwise; sharper: its range gets narrower."""


@dataclass(frozen=True, kw_only=True)
class Unmeasured:
    """One thing that is not known and is measured in one go.

    Parameters
    ----------
    id : str
        Stable name.
    what : str
        In words, with the side where there is one.
    keys : tuple of str
        Dotted keys of the athlete file that it fills.
    between : str
        The two ends in words; empty where only the range gets narrower.
    ends : tuple of (field, low, high)
        Fields of the athlete, such as "trunk.turn", "right.grip" or "chair.mass", with the value at either end [SI].
    """

    id: str
    what: str
    keys: tuple[str, ...]
    between: str
    kind: Kind
    ends: tuple[tuple[str, Any, Any], ...]

    def low(self, athlete: Athlete) -> Athlete:
        """Return `athlete` with this at its low end."""
        return _with(athlete, {field: low for field, low, _ in self.ends})

    def high(self, athlete: Athlete) -> Athlete:
        """Return `athlete` with this at its high end."""
        return _with(athlete, {field: high for field, _, high in self.ends})


def _with(athlete: Athlete, values: dict[str, Any]) -> Athlete:
    for field, value in values.items():
        whole, _, part = field.rpartition(".")
        match whole:
            case "":
                athlete = replace(athlete, **{part: value})
            case "chair":
                chairs = (replace(athlete.chair, **{part: value}), *athlete.chairs[1:])
                athlete = replace(athlete, chairs=chairs)
            case _:
                athlete = replace(athlete, **{whole: replace(getattr(athlete, whole), **{part: value})})
    return athlete


def unmeasured(athlete: Athlete) -> tuple[Unmeasured, ...]:
    """Return all that is not known of `athlete` and that set-ups rest on; strength is asked for by exercise.

    Parameters
    ----------
    athlete : Athlete

    Returns
    -------
    tuple of Unmeasured
        Both sides together where neither is known: who measures one measures the other.
    """
    served = _cord_serves_the_arms(athlete)
    function = [each for each in _function(athlete) if not (served and each.id in _GRIP_AND_EXTENSORS)]
    return (*function, *_lengths(athlete), *_chair_sizes(athlete))


def favourable(athlete: Athlete) -> Athlete:
    """Return `athlete` with every unknown of function at its good end.

    Set-ups are looked for with it, and each unknown is then taken to its bad end alone.  Otherwise what one unknown
    forbids would hide what hangs on the next.
    """
    for each in _function(athlete):
        athlete = each.high(athlete)
    return athlete


def untested_sides(athlete: Athlete, movement: str) -> tuple[Side, ...]:
    """Return the sides on which the strength of `movement` was not tested."""
    tested = {test.side for test in athlete.strength if test.movement == movement}
    return tuple(side for side in SIDES if side not in tested and _has_hand(athlete, side))


# Function

_GRIP_AND_EXTENSORS = ("grip", "elbow_extension", "wrist_extension")
_DIRECTIONS = {"forward": "forward", "turn": "turn", "lean_left": "lean left", "lean_right": "lean right"}


def _function(athlete: Athlete) -> Iterator[Unmeasured]:
    unknown = [field for field in _DIRECTIONS if getattr(athlete.trunk, field) is None]
    if unknown:
        yield Unmeasured(
            id=TRUNK,
            what=f"trunk control ({', '.join(_DIRECTIONS[field] for field in unknown)})",
            keys=tuple(f"function.trunk.{field}" for field in unknown),
            between="no and yes",
            kind="function",
            ends=tuple((f"trunk.{field}", "no", "yes") for field in unknown),
        )
    yield from _of_arms(athlete, "grip", "grip", ("none", "full"), "none and full", "function")
    yield from _of_arms(athlete, "elbow_extension", "elbow extensors", (0, 5), "grade 0 and 5", "function")
    yield from _of_arms(athlete, "wrist_extension", "wrist extensors", (0, 5), "grade 0 and 5", "function")
    for field, range_ in (("external_rotation", EXTERNAL_ROTATION), ("elevation", ELEVATION)):
        ends = (range_.value - range_.spread, min(range_.value + range_.spread, radians(FULL_RANGE_DEG[field])))
        between = " and ".join(f"{degrees(end):.0f}°" for end in ends)
        yield from _of_arms(athlete, field, f"active {field.replace('_', ' ')}", ends, between, "active_range_deg")


def _of_arms(
    athlete: Athlete, field: str, words: str, ends: tuple[Any, Any], between: str, table: str
) -> Iterator[Unmeasured]:
    sides = [side for side in SIDES if getattr(athlete.arm(side), field) is None and _has_hand(athlete, side)]
    if sides:
        yield Unmeasured(
            id=field,
            what=f"{words}, {' and '.join(sides)}",
            keys=tuple(f"{table}.{side}.{field}" for side in sides),
            between=between,
            kind="function",
            ends=tuple((f"{side}.{field}", *ends) for side in sides),
        )


def _has_hand(athlete: Athlete, side: Side) -> bool:
    return not hand_lost_with(athlete.missing_limbs or (), side)


def _cord_serves_the_arms(athlete: Athlete) -> bool:
    """Whether the cord serves both arms whole, so that grip and extensors are not what to look at first.

    It changes only what is proposed: a set-up meets an unknown grip with the same caution as before.
    """
    health = athlete.health
    if "hemiplegia" in (health.conditions or ()):
        return False
    if health.no_spinal_injury:
        return health.conditions is not None
    if health.spinal_level is None:
        return False
    return SPINAL_LEVELS.index(health.spinal_level) > SPINAL_LEVELS.index(LOWEST_LEVEL_OF_THE_ARM)


# Sizes


def _lengths(athlete: Athlete) -> Iterator[Unmeasured]:
    body = body_size(athlete)
    sharper: Iterable[tuple[str, str, str, float]] = (
        ("arm_span", "arm span", "arm_span_m", body.stature.value / SPAN_TO_STATURE.value),
        ("upper_arm", "length of the upper arm", "measured.upper_arm_m", body.upper_arm.value),
        ("forearm", "length of the forearm", "measured.forearm_m", body.forearm.value),
    )
    for field, words, key, value in sharper:
        if getattr(athlete, field) is None:
            yield Unmeasured(
                id=field, what=words, keys=(key,), between="", kind="sharper", ends=((field, value, value),)
            )
    if athlete.sitting_shoulder_height is None:
        above = SHOULDER_CENTRE_BELOW_ACROMION.value + HIP_CENTRE_ABOVE_SEAT.value
        height, spread = body.shoulder_height.value + above, body.shoulder_height.spread
        yield Unmeasured(
            id="sitting_shoulder_height",
            what="height of the shoulder above the seat",
            keys=("measured.sitting_shoulder_height_m",),
            between=f"{height - spread:.2f} and {height + spread:.2f} m",
            kind="size",
            ends=(("sitting_shoulder_height", height - spread, height + spread),),
        )


_CHAIR_SIZES = (
    ("footplate_reach", "front of the footplate before the axle", "footplate_reach_m"),
    ("seat_height", "seat height", "seat_height_m"),
    ("backrest_height", "height of the backrest above the seat", "backrest_height_m"),
    ("hip_to_axle", "hips before the axle", "hip_to_axle_m"),
    ("wheelbase", "axle to caster", "wheelbase_m"),
    ("mass", "mass of the chair", "mass_kg"),
)


def _chair_sizes(athlete: Athlete) -> Iterator[Unmeasured]:
    chair, preset = athlete.chair, CHAIR_PRESETS[athlete.chair.kind]
    if chair.caster_share is None:
        low, high = CASTER_SHARE.value - CASTER_SHARE.spread, CASTER_SHARE.value + CASTER_SHARE.spread
        yield Unmeasured(
            id="chair_caster_share",
            what="share of the weight on the casters",
            keys=("chairs[0].caster_share_percent",),
            between=f"{100 * low:.0f} and {100 * high:.0f} %",
            kind="size",
            ends=(("chair.caster_share", low, high),),
        )
    for field, words, key in _CHAIR_SIZES:
        if field in chair.measured:
            continue
        value, spread = getattr(chair, field), getattr(preset, field).spread
        unit, digits = ("kg", 1) if field == "mass" else ("m", 2)
        yield Unmeasured(
            id=f"chair_{field}",
            what=f"{words}, {chair.name}",
            keys=(f"chairs[0].{key}",),
            between=f"{value - spread:.{digits}f} and {value + spread:.{digits}f} {unit}",
            kind="size",
            ends=((f"chair.{field}", value - spread, value + spread),),
        )
