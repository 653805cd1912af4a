"""The athlete and the chair, as values. None always means unknown, never "no restriction"."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import Literal

Side = Literal["left", "right"]
SIDES: tuple[Side, Side] = ("left", "right")
Control = Literal["yes", "partly", "no"]
Grip = Literal["full", "weak", "none"]
Feeling = Literal["full", "reduced", "none"]
Latex = Literal["avoid", "tolerated"]
Strap = Literal["none", "waist", "chest"]

FULL_RANGE_DEG = {"elevation": 180.0, "external_rotation": 90.0}
"""What "full" active range stands for, degrees (AAOS textbook values, from memory)."""

CONDITIONS = (
    "spina bifida",
    "shunt",
    "low bone density",
    "recent shoulder operation",
    "shoulder instability",
    "cuff repair",
    "painful arc",
    "hemiplegia",
    "pressure injury",
    "many operations",
    "heart condition",
    "epilepsy",
    "pregnancy",
)
SIDED_CONDITIONS = ("cuff repair", "painful arc", "shoulder instability")
"""Conditions of one shoulder.  A fresh operation is none of them: the arm beside it holds on to the frame and loads it
all the same."""
PAIN_PLACES = (
    "shoulder front",
    "shoulder top",
    "shoulder back",
    "shoulder blade",
    "upper arm",
    "elbow inside",
    "elbow outside",
    "forearm",
    "wrist",
    "hand",
    "neck",
    "upper back",
    "lower back",
)
SPINAL_LEVELS = (
    *(f"C{i}" for i in range(1, 9)),
    *(f"T{i}" for i in range(1, 13)),
    *(f"L{i}" for i in range(1, 6)),
    *(f"S{i}" for i in range(1, 6)),
)


@dataclass(frozen=True, kw_only=True)
class TrunkControl:
    """Active control of the trunk by direction; None is unknown."""

    forward: Control | None = None
    turn: Control | None = None
    lean_left: Control | None = None
    lean_right: Control | None = None


@dataclass(frozen=True, kw_only=True)
class ArmFunction:
    """What one arm can do; None is unknown.

    `elevation` and `external_rotation` are active range [rad]; the grades are muscle grades 0-5.
    """

    grip: Grip | None = None
    feeling: Feeling | None = None
    elbow_extension: int | None = None
    wrist_extension: int | None = None
    elevation: float | None = None
    external_rotation: float | None = None


@dataclass(frozen=True, kw_only=True)
class StrengthTest:
    """One strength test by hand-held dynamometer; `moment` is force times lever [N·m]."""

    side: Side
    movement: str
    moment: float
    position: str
    test: Literal["make", "break"]


@dataclass(frozen=True, kw_only=True)
class Pain:
    """Pain 0-10 at one place, now and usual; None is unknown."""

    place: str
    side: Side | None
    usual: int | None
    now: int | None


@dataclass(frozen=True, kw_only=True)
class Health:
    """What calls for care. `pain` None is unknown, an empty tuple is "none" said.

    `condition_sides` says of which side a condition is, for those of `SIDED_CONDITIONS` of which that is known: one
    that is not in it counts for both.  `pain_limit` is the familiar pain (0-10) that may go on for this athlete; None
    takes the usual one.
    """

    spinal_level: str | None = None
    no_spinal_injury: bool = False
    completeness: Literal["A", "B", "C", "D"] | None = None
    usual_systolic_mmhg: float | None = None
    conditions: frozenset[str] | None = None
    condition_sides: frozenset[tuple[str, Side]] = frozenset()
    latex: Latex | None = None
    pain: tuple[Pain, ...] | None = None
    pain_limit: int | None = None

    @property
    def must_avoid_latex(self) -> bool:
        """Latex is out: said so, spina bifida, many operations, or unknown (never assumed to be tolerated)."""
        conditions = self.conditions or frozenset()
        return self.latex != "tolerated" or bool(conditions & {"spina bifida", "many operations"})

    def conditions_of(self, arms: Iterable[Side]) -> frozenset[str]:
        """Return the conditions known that count when `arms` work: all but those of the other side alone.

        Examples
        --------
        >>> sides = frozenset({("cuff repair", "left")})
        >>> health = Health(conditions=frozenset({"shunt", "cuff repair"}), condition_sides=sides)
        >>> sorted(health.conditions_of(["left"])), sorted(health.conditions_of(["right"]))
        (['cuff repair', 'shunt'], ['shunt'])
        """
        working = set(arms)
        sides: dict[str, set[Side]] = {}
        for condition, side in self.condition_sides:
            sides.setdefault(condition, set()).add(side)
        return frozenset(each for each in self.conditions or () if each not in sides or sides[each] & working)

    def level_at_or_above(self, level: str) -> bool:
        """Whether the injury is at `level` or nearer the head; False when there is none or it is unknown."""
        if self.spinal_level is None:
            return False
        return SPINAL_LEVELS.index(self.spinal_level) <= SPINAL_LEVELS.index(level)


@dataclass(frozen=True, kw_only=True)
class Chair:
    """A wheelchair; lengths in m, angles in rad, masses in kg. None is unknown; a preset fills every size.

    Parameters
    ----------
    kind : str
        "court" or "daily": the preset that gave every size not measured.
    measured : frozenset of str
        Names of the fields that were given and not taken from the preset.
    anti_tip : float or None
        Contact of the anti-tip wheel behind the rear axle [m]; None when there is none.
    hip_to_axle : float
        Hips in front of the rear axle [m].
    caster_share : float or None
        Share of the total weight on the casters, 0-1, from a scale.
    camber : float
        Angle of each rear wheel, top inwards [rad].
    hub_width : float
        Distance between the wheel centres at hub height [m]; see `track`.
    """

    name: str
    kind: Literal["court", "daily"]
    measured: frozenset[str] = field(default_factory=frozenset)
    brakes: bool
    anti_tip: float | None
    mass: float
    seat_height: float
    backrest_height: float
    strap: Strap
    hip_to_axle: float
    caster_share: float | None
    footplate_reach: float
    wheel_diameter: float
    camber: float
    hub_width: float
    wheelbase: float
    overall_width: float
    overall_length: float


@dataclass(frozen=True, kw_only=True)
class Athlete:
    """The athlete; lengths in m, masses in kg. None is unknown.

    Parameters
    ----------
    missing_limbs : frozenset of str or None
        For example {"left above knee"}; empty when "none" was said, None when unknown.
    sex : str or None
        "female" or "male": chooses the segment table only; None takes the mean of both.
    """

    name: str
    sport: str | None = None
    born: int | None = None
    sex: Literal["female", "male"] | None = None
    mass: float
    stature: float | None = None
    arm_span: float | None = None
    missing_limbs: frozenset[str] | None = None
    upper_arm: float | None = None
    forearm: float | None = None
    hand: float | None = None
    sitting_shoulder_height: float | None = None
    shoulder_width: float | None = None
    trunk: TrunkControl = field(default_factory=TrunkControl)
    left: ArmFunction = field(default_factory=ArmFunction)
    right: ArmFunction = field(default_factory=ArmFunction)
    spasticity: Literal["none", "some", "much"] | None = None
    strength: tuple[StrengthTest, ...] = ()
    health: Health = field(default_factory=Health)
    chairs: tuple[Chair, ...]

    @property
    def chair(self) -> Chair:
        """The chair used: the first in the file."""
        return self.chairs[0]

    def arm(self, side: Side) -> ArmFunction:
        """Return the function of the arm on `side`."""
        return self.left if side == "left" else self.right
