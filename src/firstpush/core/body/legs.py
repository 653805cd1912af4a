"""The seated legs: pelvis on the seat, feet on the footplate. They carry weight and stand in the band's way."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from firstpush.core.body.posture import SIGN, hip_centre
from firstpush.core.body.rotations import Array
from firstpush.core.measured import Measured
from firstpush.core.people.athlete import SIDES, Chair, Side
from firstpush.core.people.body_size import BodySize
from firstpush.core.tables import read_table

FOOTPLATE_HEIGHT = Measured(
    name="footplate above the floor",
    value=0.09,
    unit="m",
    spread=0.02,
    source="rule books allow 0.11",
    known="our choice",
)
HIP_JOINT_HALF_WIDTH = Measured(
    name="hip joint from the midline, fraction of stature",
    value=0.050,
    unit="1",
    spread=0.005,
    source="",
    known="from memory",
)
KNEE_HALF_WIDTH = Measured(
    name="knee from the midline, fraction of stature", value=0.062, unit="1", spread=0.02, source="", known="our choice"
)
SOLE_UNDER_ANKLE = Measured(
    name="ankle above the sole, shod", value=0.085, unit="m", spread=0.01, source="", known="from memory"
)
TOE_BEHIND_FOOTPLATE_EDGE = Measured(
    name="ankle behind the front of the footplate, fraction of foot length",
    value=0.62,
    unit="1",
    spread=0.1,
    source="",
    known="our choice",
)
STUMP_LENGTH = Measured(
    name="what is left of a cut segment, fraction of its length",
    value=0.5,
    unit="1",
    spread=0.2,
    source="",
    known="our choice",
)


@dataclass(frozen=True, kw_only=True)
class Leg:
    """Points of one leg [m], (3,); `knee`, `ankle` and `toe` are None where the leg ends before them.

    `end` is the last point there is: the toe, or the end of the stump.
    """

    hip: Array
    knee: Array | None
    ankle: Array | None
    toe: Array | None
    end: Array


def legs(body: BodySize, chair: Chair) -> dict[Side, Leg]:
    """Return where both legs are when the feet stand on the footplate.

    Parameters
    ----------
    body : BodySize
    chair : Chair

    Returns
    -------
    dict of side to Leg
        Legs too short for the footplate hang straight towards it; legs too long raise the knees.
    """
    table, H = read_table("drillis_contini_1966"), body.stature.value
    thigh, shank, foot = (table.number(name, "fraction_of_stature") * H for name in ("thigh", "shank", "foot"))
    base = hip_centre(chair)
    found: dict[Side, Leg] = {}
    for side in SIDES:
        s = SIGN[side]
        hip = base + (0.0, s * HIP_JOINT_HALF_WIDTH.value * H, 0.0)
        outward = s * KNEE_HALF_WIDTH.value * H
        ankle = np.array(
            [
                chair.footplate_reach - TOE_BEHIND_FOOTPLATE_EDGE.value * foot,
                outward,
                FOOTPLATE_HEIGHT.value + SOLE_UNDER_ANKLE.value,
            ]
        )
        way = ankle - hip
        distance = float(np.linalg.norm(way))
        straight = min(distance, 0.999 * (thigh + shank))
        ankle = hip + way * straight / distance
        along = (thigh**2 - shank**2 + straight**2) / (2 * straight)
        height = np.sqrt(max(thigh**2 - along**2, 0.0))
        unit = way / distance
        forward = np.array([-unit[2], 0.0, unit[0]])
        knee = hip + along * unit + height * forward / np.linalg.norm(forward)
        toe = ankle + (foot * 0.72, 0.0, -SOLE_UNDER_ANKLE.value + 0.03)
        found[side] = _without_what_is_missing(body, side, hip, knee, ankle, toe)
    return found


def _without_what_is_missing(body: BodySize, side: Side, hip: Array, knee: Array, ankle: Array, toe: Array) -> Leg:
    cut = STUMP_LENGTH.value
    if f"{side} above knee" in body.missing:
        return Leg(hip=hip, knee=None, ankle=None, toe=None, end=hip + cut * (knee - hip))
    if f"{side} below knee" in body.missing:
        return Leg(hip=hip, knee=knee, ankle=None, toe=None, end=knee + cut * (ankle - knee))
    if f"{side} foot" in body.missing:
        return Leg(hip=hip, knee=knee, ankle=ankle, toe=None, end=ankle)
    return Leg(hip=hip, knee=knee, ankle=ankle, toe=toe, end=toe)
