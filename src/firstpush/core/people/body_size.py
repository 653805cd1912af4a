"""From an athlete to the sizes and masses of the body: measured first, then arm span, then stature."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from firstpush.core.measured import Known, Measured
from firstpush.core.people.athlete import SIDES, Athlete, Side
from firstpush.core.tables import read_table

ArmSegment = Literal["upper arm", "forearm", "hand"]
ARM_SEGMENTS: tuple[ArmSegment, ...] = ("upper arm", "forearm", "hand")

SPAN_TO_STATURE = Measured(
    name="stature over arm span",
    value=1.0,
    unit="1",
    spread=0.03,
    source="adults, both sexes",
    known="from memory",
)
KNUCKLE_SHARE = Measured(
    name="wrist to third metacarpal head, fraction of stature",
    value=0.0862 / 1.741,
    unit="1",
    spread=0.003,
    source="de Leva 1996, reference man 1.741 m",
    known="from memory",
)
SHOULDER_CENTRE_HALF_WIDTH = Measured(
    name="shoulder joint centre from the midline, fraction of stature",
    value=0.110,
    unit="1",
    spread=0.008,
    source="about 0.02 of stature inside the half width of 0.129",
    known="our choice",
)
SHOULDER_CENTRE_BELOW_ACROMION = Measured(
    name="shoulder joint centre below the acromion",
    value=0.035,
    unit="m",
    spread=0.010,
    source="surface to joint centre",
    known="from memory",
)
HIP_CENTRE_ABOVE_SEAT = Measured(
    name="hip joint centre above the seat surface",
    value=0.085,
    unit="m",
    spread=0.015,
    source="seated adults",
    known="from memory",
)
SITTING_SHOULDER_SHARE = Measured(
    name="acromion above the seat, fraction of stature",
    value=0.343,
    unit="1",
    spread=0.012,
    source="Huston 2009: mean of 0.348 and 0.339",
    known="read",
)
SPREAD_MEASURED = Measured(
    name="relative spread of a measured length", value=0.02, unit="1", spread=0.0, source="tape", known="our choice"
)
SPREAD_FROM_SPAN = Measured(
    name="relative spread of a length from arm span", value=0.04, unit="1", spread=0.0, source="", known="our choice"
)
SPREAD_FROM_STATURE = Measured(
    name="relative spread of a length from stature", value=0.06, unit="1", spread=0.0, source="", known="our choice"
)


@dataclass(frozen=True, kw_only=True)
class BodySize:
    """Sizes [m] and masses [kg] of one athlete's body, each with where it comes from.

    Parameters
    ----------
    upper_arm, forearm, hand : Measured
        Shoulder centre to elbow, elbow to wrist, wrist to the grip centre (third metacarpal head).
    shoulder_height, shoulder_half_width : Measured
        Shoulder centre above the hip centre, and from the midline.
    stature : Measured
        Stature, or what it would be by the arm span: only for what is drawn and for legs.
    mass : float
        Body mass [kg].
    segment_mass : dict
        Mass [kg] of each segment named in the table of de Leva, one side; a missing limb weighs nothing.
    segment_com : dict
        Centre of mass as fraction of segment length from the proximal end.
    missing : frozenset of str
        Missing limbs, for example "left above knee".
    """

    upper_arm: Measured
    forearm: Measured
    hand: Measured
    shoulder_height: Measured
    shoulder_half_width: Measured
    stature: Measured
    mass: float
    segment_mass: dict[tuple[str, Side | None], float]
    segment_com: dict[str, float]
    missing: frozenset[str]

    @property
    def reach(self) -> float:
        """Shoulder centre to grip centre with a straight arm [m]."""
        return self.upper_arm.value + self.forearm.value + self.hand.value

    @property
    def upper_body_mass(self) -> float:
        """Mass of trunk, head and arms [kg]."""
        legs = ("thigh", "shank", "foot")
        return sum(kg for (name, _), kg in self.segment_mass.items() if name not in legs)

    def arm_mass(self, segment: ArmSegment, side: Side) -> float:
        """Return the mass of one arm segment [kg]."""
        return self.segment_mass[segment, side]

    def arm_com(self, segment: ArmSegment, side: Side) -> float:
        """Return the centre of mass of one arm segment as fraction of its whole length; nearer on a stump."""
        level = {"upper arm": "above elbow", "forearm": "below elbow"}.get(segment)
        left = _LOST_WITH[level][segment] if level is not None and f"{side} {level}" in self.missing else 1.0
        return self.segment_com[segment] * left

    def has_hand(self, side: Side) -> bool:
        """Whether there is a hand on `side`."""
        lost = {f"{side} above elbow", f"{side} below elbow", f"{side} hand"}
        return not (self.missing & lost)


_LOST_WITH = {
    "above knee": {"thigh": 0.5, "shank": 0.0, "foot": 0.0},
    "below knee": {"shank": 0.5, "foot": 0.0},
    "foot": {"foot": 0.0},
    "above elbow": {"upper arm": 0.5, "forearm": 0.0, "hand": 0.0},
    "below elbow": {"forearm": 0.5, "hand": 0.0},
    "hand": {"hand": 0.0},
}
"""Share of each segment's mass that is left (half of the segment that was cut: our choice)."""


def body_size(athlete: Athlete) -> BodySize:
    """Return the sizes and masses of the athlete's body.

    Parameters
    ----------
    athlete : Athlete
        At least one of upper arm, arm span and stature is known (the loader asks for it).

    Returns
    -------
    BodySize

    Holds for
    ---------
    Adults; the tables are of intact young adults, so amputation, youth and contracture are told by
    `firstpush.core.people.cautions` and widen what is printed.

    Source
    ------
    Masses and centres of mass: de Leva 1996. Lengths not measured: Drillis and Contini 1966.
    """
    stature, spread = _stature(athlete)
    fractions = read_table("drillis_contini_1966")

    def length(name: str, given: float | None, share: float, known: Known, source: str) -> Measured:
        if given is not None:
            return Measured(
                name=name,
                value=given,
                unit="m",
                spread=SPREAD_MEASURED.value * given,
                source="measured on the athlete",
                known="measured",
            )
        value = share * stature.value
        return Measured(name=name, value=value, unit="m", spread=spread * value, source=source, known=known)

    acromion = length(
        "acromion above the seat",
        athlete.sitting_shoulder_height,
        SITTING_SHOULDER_SHARE.value,
        "read",
        SITTING_SHOULDER_SHARE.source,
    )
    half_width = None
    if athlete.shoulder_width is not None:
        table = fractions.number("shoulder half width", "fraction_of_stature")
        half_width = athlete.shoulder_width / 2 * SHOULDER_CENTRE_HALF_WIDTH.value / table
    missing = athlete.missing_limbs or frozenset()
    return BodySize(
        upper_arm=length(
            "upper arm",
            athlete.upper_arm,
            fractions.number("upper arm", "fraction_of_stature"),
            "from memory",
            fractions.source,
        ),
        forearm=length(
            "forearm",
            athlete.forearm,
            fractions.number("forearm", "fraction_of_stature"),
            "from memory",
            fractions.source,
        ),
        hand=length("hand", athlete.hand, KNUCKLE_SHARE.value, "from memory", KNUCKLE_SHARE.source),
        shoulder_height=Measured(
            name="shoulder centre above the hip centre",
            value=acromion.value - SHOULDER_CENTRE_BELOW_ACROMION.value - HIP_CENTRE_ABOVE_SEAT.value,
            unit="m",
            spread=acromion.spread,
            source=acromion.source,
            known=acromion.known,
        ),
        shoulder_half_width=length(
            "shoulder centre from the midline",
            half_width,
            SHOULDER_CENTRE_HALF_WIDTH.value,
            "our choice",
            SHOULDER_CENTRE_HALF_WIDTH.source,
        ),
        stature=stature,
        mass=athlete.mass,
        segment_mass=_segment_masses(athlete, missing),
        segment_com={row: _by_sex(athlete, row, "com") for row in read_table("de_leva_1996").rows},
        missing=missing,
    )


def _stature(athlete: Athlete) -> tuple[Measured, float]:
    """Return the stature that lengths are scaled by, and the relative spread of such a length."""
    fractions = read_table("drillis_contini_1966")
    if athlete.arm_span is not None:
        value, source, spread = athlete.arm_span * SPAN_TO_STATURE.value, "from the arm span", SPREAD_FROM_SPAN
    elif athlete.stature is not None:
        value, source, spread = athlete.stature, "measured on the athlete", SPREAD_FROM_STATURE
    else:
        assert athlete.upper_arm is not None, "the loader asks for an arm span, a stature or an upper arm"
        value = athlete.upper_arm / fractions.number("upper arm", "fraction_of_stature")
        source, spread = "from the upper arm", SPREAD_FROM_STATURE
    known: Known = "measured" if source == "measured on the athlete" else "derived"
    stature = Measured(name="stature", value=value, unit="m", spread=spread.value * value, source=source, known=known)
    return stature, spread.value


def _by_sex(athlete: Athlete, row: str, column: str) -> float:
    table = read_table("de_leva_1996")
    if athlete.sex is not None:
        return table.number(row, f"{athlete.sex}_{column}")
    return (table.number(row, f"female_{column}") + table.number(row, f"male_{column}")) / 2


def _segment_masses(athlete: Athlete, missing: frozenset[str]) -> dict[tuple[str, Side | None], float]:
    """Return segment masses [kg] that add up to the body mass as weighed, limbs missing or not."""
    shares: dict[tuple[str, Side | None], float] = {
        ("head", None): _by_sex(athlete, "head", "mass"),
        ("trunk", None): _by_sex(athlete, "trunk", "mass"),
    }
    for side in SIDES:
        for name in (*ARM_SEGMENTS, "thigh", "shank", "foot"):
            shares[name, side] = _by_sex(athlete, name, "mass")
    for limb in missing:
        side_word, _, level = limb.partition(" ")
        side = SIDES[SIDES.index(side_word)]
        for name, left in _LOST_WITH[level].items():
            shares[name, side] = min(shares[name, side], left * _by_sex(athlete, name, "mass"))
    total = sum(shares.values())
    return {key: athlete.mass * share / total for key, share in shares.items()}
