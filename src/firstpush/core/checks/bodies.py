"""The grid of bodies, chairs, cupboard and hall that every exercise is held against; invented, and meant to be wide."""

from __future__ import annotations

from dataclasses import replace
from itertools import product
from math import radians
from typing import Literal

from firstpush.core.kit.kit import Ball, Band, Cuff, Kit, Pull
from firstpush.core.kit.venue import Post, Venue
from firstpush.core.people.athlete import ArmFunction, Athlete, Chair, Health, TrunkControl
from firstpush.core.people.chair_presets import ChairKind, filled_chair

STATURES = (1.50, 1.66, 1.82, 1.98)
"""From a small woman to a tall man [m]."""

_FULL_ARM = ArmFunction(
    grip="full",
    feeling="full",
    elbow_extension=5,
    wrist_extension=5,
    elevation=radians(180.0),
    external_rotation=radians(95.0),
)
_STEADY = TrunkControl(forward="yes", turn="yes", lean_left="yes", lean_right="yes")
DOUBLE_ABOVE_KNEE = frozenset({"left above knee", "right above knee"})


def grid_of_athletes() -> tuple[Athlete, ...]:
    """Return the athletes of the grid: four statures, both sexes, both chairs, intact and double above-knee."""
    found = []
    for stature, kind, missing in product(STATURES, ("court", "daily"), (frozenset[str](), DOUBLE_ABOVE_KNEE)):
        sex: Literal["female", "male"] = "female" if stature < 1.7 else "male"
        sort: ChairKind = "court" if kind == "court" else "daily"
        chair = filled_chair(sort, name=f"{kind} chair", measured=frozenset(), given={"strap": "waist"})
        found.append(
            Athlete(
                name=f"{stature:.2f} m, {sex}, {kind} chair{', double above-knee' if missing else ''}",
                sex=sex,
                mass=23.0 * stature**2,
                arm_span=stature,
                missing_limbs=missing,
                trunk=_STEADY,
                left=_FULL_ARM,
                right=_FULL_ARM,
                health=Health(no_spinal_injury=True, conditions=frozenset(), latex="tolerated", pain=()),
                chairs=(fitted_chair(chair, stature),),
            )
        )
    return tuple(found)


def fitted_chair(chair: Chair, stature: float) -> Chair:
    """Return the chair with a footplate where legs of this length put it: nobody of 1.98 m sits in a small chair."""
    longer = 0.12 * (stature - 1.72)
    return replace(
        chair,
        footplate_reach=chair.footplate_reach + longer,
        seat_height=chair.seat_height + longer,
        overall_length=chair.overall_length + longer,
    )


def reference_kit() -> Kit:
    """Return a cupboard with five bands, light to heavy, a ball, cuffs, straps and chocks."""
    shape = ((0.25, 0.38), (0.5, 0.64), (1.0, 1.0), (1.5, 1.29), (2.0, 1.57))
    bands = tuple(
        Band(
            name=f"{newtons:g} N",
            material="latex-free",
            length=2.5,
            count=2,
            limit_elongation=2.0,
            pulls=tuple(Pull(elongation=e, force=share * newtons) for e, share in shape),
        )
        for newtons in (8.0, 14.0, 22.0, 36.0, 54.0)
    )
    return Kit(
        name="reference cupboard",
        bands=bands,
        balls=(Ball(name="ball", mass=0.6, diameter=0.20, bounces=True, material="latex-free"),),
        cuffs=(Cuff(name="wrist cuff", attach="wrist_cuff", count=2, material="latex-free"),),
        cones=8,
        chest_straps=1,
        waist_straps=2,
        chocks=4,
        chock_height=0.08,
    )


def reference_venue() -> Venue:
    """Return a hall with wall bars every 0.15 m from the floor to 2.40 m."""
    heights = tuple(round(0.15 * step, 2) for step in range(1, 17))
    bars = Post(name="wall bars", heights=heights, room_in_front=4.0, places=4)
    return Venue(name="reference hall", surface="sprung wood", floor_length=32.0, floor_width=19.0, posts=(bars,))
