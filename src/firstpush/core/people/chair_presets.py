"""Sizes of a usual court chair and a usual daily chair: they stand in for what was not measured, and say so.

Every number is our choice inside the ranges remembered for such chairs; the user's own measure replaces it.  Where a
preset would lend the chair or the athlete a hold that may not be there, it lends none: no strap, no anti-tip wheel, an
unknown caster share.  A court chair has no brakes by the rules of the game; a daily chair has them.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Literal

from firstpush.core.measured import Known, Measured
from firstpush.core.people.athlete import Chair

ChairKind = Literal["court", "daily"]
CHAIR_KINDS: tuple[ChairKind, ...] = ("court", "daily")

_FROM = "usual chairs of this kind, remembered: wheels 0.61-0.66 m, mass 8-15 kg, wheelbase 0.30-0.45 m"


def _size(name: str, value: float, spread: float, *, unit: str = "m", known: Known = "our choice") -> Measured:
    return Measured(name=name, value=value, unit=unit, spread=spread, source=_FROM, known=known)


@dataclass(frozen=True, kw_only=True)
class ChairPreset:
    """The sizes of a usual chair of one kind, each with its spread over such chairs.

    Parameters
    ----------
    brakes : bool
        Whether the chair can be braked.
    side_allowance : Measured
        What tyres, hand rims and guards add to the track at the floor [m].
    length_allowance : Measured
        What stands out before the footplate and behind the wheels [m].
    others : Measured
        As in `firstpush.core.people.athlete.Chair`.
    """

    kind: ChairKind
    brakes: bool
    mass: Measured
    seat_height: Measured
    backrest_height: Measured
    hip_to_axle: Measured
    footplate_reach: Measured
    wheel_diameter: Measured
    camber: Measured
    hub_width: Measured
    wheelbase: Measured
    side_allowance: Measured
    length_allowance: Measured


CHAIR_PRESETS: dict[ChairKind, ChairPreset] = {
    "court": ChairPreset(
        kind="court",
        brakes=False,
        mass=_size("mass of a court chair", 11.5, 2.0, unit="kg"),
        seat_height=_size("seat height of a court chair", 0.52, 0.04),
        backrest_height=_size("backrest height of a court chair above the seat", 0.28, 0.06),
        hip_to_axle=_size("hips in front of the rear axle, court chair", 0.06, 0.03),
        footplate_reach=_size("front of the footplate in front of the axle, court chair", 0.62, 0.06),
        wheel_diameter=_size("wheel diameter of a court chair", 0.635, 0.02, known="from memory"),
        camber=_size("camber of a court chair", math.radians(18.0), math.radians(2.0), unit="rad", known="from memory"),
        hub_width=_size("distance between the wheel centres, court chair", 0.46, 0.04),
        wheelbase=_size("wheelbase of a court chair", 0.40, 0.04),
        side_allowance=_size("overall width over the track at the floor, court chair", 0.12, 0.05),
        length_allowance=_size("overall length over footplate reach and wheel radius, court chair", 0.03, 0.03),
    ),
    "daily": ChairPreset(
        kind="daily",
        brakes=True,
        mass=_size("mass of a daily chair", 12.0, 3.0, unit="kg"),
        seat_height=_size("seat height of a daily chair", 0.50, 0.03),
        backrest_height=_size("backrest height of a daily chair above the seat", 0.38, 0.06),
        hip_to_axle=_size("hips in front of the rear axle, daily chair", 0.10, 0.04),
        footplate_reach=_size("front of the footplate in front of the axle, daily chair", 0.60, 0.07),
        wheel_diameter=_size("wheel diameter of a daily chair", 0.61, 0.01, known="from memory"),
        camber=_size("camber of a daily chair", math.radians(2.0), math.radians(1.5), unit="rad"),
        hub_width=_size("distance between the wheel centres, daily chair", 0.50, 0.04),
        wheelbase=_size("wheelbase of a daily chair", 0.42, 0.04),
        side_allowance=_size("overall width over the track at the floor, daily chair", 0.08, 0.02),
        length_allowance=_size("overall length over footplate reach and wheel radius, daily chair", 0.02, 0.02),
    ),
}


def track_at_floor(*, hub_width: float, wheel_diameter: float, camber: float) -> float:
    """Return the distance between the two points where the rear wheels touch the floor [m].

    Parameters
    ----------
    hub_width, wheel_diameter : float
        Distance between the wheel centres, and diameter of the wheels [m].
    camber : float
        Angle of each wheel, top inwards [rad].

    Examples
    --------
    >>> track_at_floor(hub_width=0.46, wheel_diameter=0.63, camber=math.radians(18.0))
    0.6547
    """
    return hub_width + wheel_diameter * math.sin(camber)


def filled_chair(kind: ChairKind, *, name: str, measured: frozenset[str], given: Mapping[str, Any]) -> Chair:
    """Return a chair of `kind` with the sizes `given`, and the preset's for all others.

    Overall width and length, where not given, follow from track, footplate and wheels as they are then.

    Parameters
    ----------
    kind : str
        "court" or "daily".
    name : str
    measured : frozenset of str
        Fields that were given.
    given : mapping of field name to value
        As in `firstpush.core.people.athlete.Chair`; fields that are None count as not given.

    Examples
    --------
    >>> filled_chair("court", name="mine", measured=frozenset(), given={}).overall_width
    0.776
    """
    preset = CHAIR_PRESETS[kind]
    known = {field: value for field, value in given.items() if value is not None}
    sizes: dict[str, Any] = {field: getattr(preset, field).value for field in _PRESET_SIZES} | known
    track = track_at_floor(hub_width=sizes["hub_width"], wheel_diameter=sizes["wheel_diameter"], camber=sizes["camber"])
    followed = {
        "brakes": preset.brakes,
        "anti_tip": None,
        "strap": "none",
        "caster_share": None,
        "overall_width": track + preset.side_allowance.value,
        "overall_length": sizes["footplate_reach"] + sizes["wheel_diameter"] / 2.0 + preset.length_allowance.value,
    }
    return Chair(name=name, kind=kind, measured=measured, **(followed | sizes))


_PRESET_SIZES = (
    "mass",
    "seat_height",
    "backrest_height",
    "hip_to_axle",
    "footplate_reach",
    "wheel_diameter",
    "camber",
    "hub_width",
    "wheelbase",
)
