"""Will the trunk hold: what pulls at the hip centre against what holds there, direction by direction.

The athlete falls before the chair does. The numbers of what holds are our choice (core/tables/trunk_hold.csv);
docs/why/stability.md draws the free body and says what they rest on.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, fields, replace

import numpy as np
from numpy.typing import ArrayLike, NDArray

from firstpush.core.errors import OutOfRangeError
from firstpush.core.measured import GRAVITY, Measured
from firstpush.core.notices import Notice
from firstpush.core.people.athlete import Control, Strap, TrunkControl
from firstpush.core.tables import read_table

Array = NDArray[np.float64]

ASKED_FACTOR = Measured(
    name="factor between what holds the trunk and what pulls at it",
    value=1.2,
    unit="1",
    spread=0.0,
    source="the capacities are careful already; covers the spread of the pull",
    known="our choice",
)
CAPACITY_SPREAD = Measured(
    name="relative spread of what holds the trunk",
    value=0.3,
    unit="1",
    spread=0.0,
    source="between athletes of the same description",
    known="our choice",
)

_STRAPS: tuple[Strap, ...] = ("none", "waist", "chest")
_WITH: dict[Control, str] = {"yes": "with control", "partly": "with part control", "no": "without control"}
TOWARDS = {
    "forward": "to the front",
    "back": "to the back",
    "left": "to the left",
    "right": "to the right",
    "turn": "against turning",
}
DIRECTIONS = tuple(TOWARDS)


@dataclass(frozen=True, kw_only=True)
class ByDirection:
    """A moment [N·m] or a factor for each direction in which the trunk can give."""

    forward: Array
    back: Array
    left: Array
    right: Array
    turn: Array

    def stacked(self) -> Array:
        """Return the five as one array (5, ...), in the order of `DIRECTIONS`."""
        return np.stack(np.broadcast_arrays(*(getattr(self, direction) for direction in DIRECTIONS)))


@dataclass(frozen=True, kw_only=True)
class UpperBody:
    """What the hips carry, in one posture or many.

    Parameters
    ----------
    hips : array (..., 3)
        Hip centre [m].
    trunk_mass : float
        Head and trunk above the hips, without the arms [kg].
    trunk_centre : array (..., 3)
        [m]
    arm_masses : array (2,)
        Left and right arm with hand, and what the hand holds [kg].
    arm_centres : array (..., 2, 3)
        [m]
    """

    hips: Array
    trunk_mass: float
    trunk_centre: Array
    arm_masses: Array
    arm_centres: Array

    @property
    def mass(self) -> float:
        """Mass above the hips, arms included [kg]."""
        return self.trunk_mass + float(np.sum(self.arm_masses))


@dataclass(frozen=True, kw_only=True)
class TrunkHold:
    """What pulls, what holds, and what would help.

    Parameters
    ----------
    demand : ByDirection
        Moment at the hip centre that would bend or turn the trunk that way, arrays (...) [N·m].
    capacity : ByDirection
        What holds against it [N·m].
    factor : ByDirection
        Capacity over demand; infinite where nothing pulls.
    smallest_factor : array (...)
        Over the directions.
    weakest_direction : array of str (...)
        One of `DIRECTIONS`.
    remedies : tuple of str
        When it does not hold: what would make it hold, fewest changes first, for example ("waist strap", "one arm");
        empty when it holds, or when nothing tried would do.
    notices : tuple of Notice
    """

    demand: ByDirection
    capacity: ByDirection
    factor: ByDirection
    smallest_factor: Array
    weakest_direction: NDArray[np.str_]
    remedies: tuple[str, ...]
    notices: tuple[Notice, ...]

    @property
    def holds(self) -> NDArray[np.bool_]:
        """Whether every direction keeps the factor asked."""
        return np.asarray(self.smallest_factor >= ASKED_FACTOR.value)


def trunk_demand(*, posture: UpperBody, neutral: UpperBody, hand_positions: ArrayLike, pulls: ArrayLike) -> ByDirection:
    """Return the moment at the hip centre by direction, beyond what sitting still asks.

    Parameters
    ----------
    posture : UpperBody
        In the exercise, any leading shape.
    neutral : UpperBody
        Sitting still, hands in the lap: the posture the athlete holds without help.
    hand_positions : array (..., 2, 3)
        Left and right hand [m].
    pulls : array (..., 2, 3)
        Force of the band on each hand [N].

    Returns
    -------
    ByDirection
        None is negative: a moment forward is no moment back.

    Source
    ------
    Sum of r x F about the hip centre: hands, trunk and arms, less the weights in the neutral posture.

    Examples
    --------
    A pull of 25 N to the left, 0.45 m above the hips:

    >>> sitting = UpperBody(
    ...     hips=np.zeros(3),
    ...     trunk_mass=22.0,
    ...     trunk_centre=np.array([0, 0, 0.3]),
    ...     arm_masses=np.array([3.0, 3.0]),
    ...     arm_centres=np.array([[0.1, 0.2, 0.2], [0.1, -0.2, 0.2]]),
    ... )
    >>> hands = [[0, 0.2, 0.45], [0, -0.2, 0.45]]
    >>> asked = trunk_demand(posture=sitting, neutral=sitting, hand_positions=hands, pulls=[[0, 25, 0], [0, 0, 0]])
    >>> float(asked.left), float(asked.right), float(asked.forward)
    (11.25, 0.0, 0.0)
    """
    arms = np.asarray(hand_positions, dtype=float) - np.asarray(posture.hips, dtype=float)[..., None, :]
    of_hands = np.cross(arms, np.asarray(pulls, dtype=float)).sum(axis=-2)
    moment = of_hands + _moment_of_weight(posture) - _moment_of_weight(neutral)
    # About Y the trunk goes forward, about X it goes to the right, about Z it turns to the left.
    return ByDirection(
        forward=np.maximum(moment[..., 1], 0.0),
        back=np.maximum(-moment[..., 1], 0.0),
        left=np.maximum(-moment[..., 0], 0.0),
        right=np.maximum(moment[..., 0], 0.0),
        turn=np.abs(moment[..., 2]),
    )


def trunk_capacity(
    *,
    control: TrunkControl,
    upper_body_mass: float,
    backrest_above_hips: float,
    strap: Strap,
    free_hand: bool,
) -> ByDirection:
    """Return what holds the trunk, by direction [N·m].

    Parameters
    ----------
    control : TrunkControl
        What is unknown counts as none; forward control serves to the front and to the back.
    upper_body_mass : float
        Above the hips, arms included [kg].
    backrest_above_hips : float
        Top of the backrest above the hip centre; below it, it gives nothing [m].
    strap : str
        "none", "waist" or "chest".
    free_hand : bool
        One hand holds the frame or the rim and takes no pull.

    Returns
    -------
    ByDirection

    Raises
    ------
    OutOfRangeError
        When the mass is not above 0.

    Holds for
    ---------
    A seated athlete on a cushion, hips against the backrest. Our choice throughout, spread `CAPACITY_SPREAD`.

    Examples
    --------
    >>> only_weight = trunk_capacity(
    ...     control=TrunkControl(), upper_body_mass=28, backrest_above_hips=0, strap="none", free_hand=False
    ... )
    >>> float(only_weight.left), float(only_weight.turn)
    (2.75, 0.0)
    """
    if not upper_body_mass > 0:
        raise OutOfRangeError(
            f"the upper body has {upper_body_mass} kg; it must be above 0 kg; check the mass of the athlete."
        )
    table = read_table("trunk_hold")

    def hold(column: str, given: Control | None, backrest: float = 0.0) -> Array:
        level = _WITH[given or "no"]
        per_kg = (
            GRAVITY.value * table.number(f"lean {level}", column)
            + table.number(f"muscles {level}", column)
            + table.number("no strap" if strap == "none" else f"{strap} strap", column)
            + (table.number("free hand", column) if free_hand else 0.0)
            + table.number("backrest", column) * backrest
        )
        return np.asarray(per_kg * upper_body_mass)

    return ByDirection(
        forward=hold("forward", control.forward),
        back=hold("back", control.forward, max(backrest_above_hips, 0.0)),
        left=hold("sideways", control.lean_left),
        right=hold("sideways", control.lean_right),
        turn=hold("turn", _turning(control)),
    )


def _turning(control: TrunkControl) -> Control | None:
    """Return the control of turning: no more than the better side, for the same muscles bend the trunk sideways."""
    if control.lean_left is None or control.lean_right is None:
        return control.turn
    order: tuple[Control, ...] = ("no", "partly", "yes")
    sideways = max(control.lean_left, control.lean_right, key=order.index)
    return control.turn if control.turn is None else min(control.turn, sideways, key=order.index)


def trunk_hold(
    *,
    posture: UpperBody,
    neutral: UpperBody,
    hand_positions: ArrayLike,
    pulls: ArrayLike,
    control: TrunkControl,
    backrest_above_hips: float,
    strap: Strap,
    free_hand: bool = False,
    joined: bool = False,
    straps_at_hand: Sequence[Strap] = ("waist", "chest"),
    one_arm_possible: bool = True,
    about: str = "",
) -> TrunkHold:
    """Return whether the trunk holds in every direction, and what would help where it does not.

    Parameters
    ----------
    posture, neutral, hand_positions, pulls
        As in `trunk_demand`.
    control, backrest_above_hips, strap, free_hand
        As in `trunk_capacity`.
    joined : bool
        Both hands hold one band: in the one-arm variant the whole pull comes on the one hand.
    straps_at_hand : sequence of str
        Which straps may be proposed.
    one_arm_possible : bool
        Whether the exercise has a one-arm variant.
    about : str
        The exercise, for the notices.

    Returns
    -------
    TrunkHold

    Raises
    ------
    OutOfRangeError
        When the mass is not above 0, or a free hand is said to hold the frame while both hands are pulled.
    """
    P = np.asarray(hand_positions, dtype=float)
    F = np.asarray(pulls, dtype=float)
    working = [hand for hand in (0, 1) if np.any(F[..., hand, :] != 0)]
    if free_hand and len(working) == 2:
        raise OutOfRangeError(
            "a free hand was counted while both hands are pulled; at most one hand may be pulled then; "
            "set the pull of the free hand to 0 N."
        )

    def capacity_with(strap: Strap, free_hand: bool) -> ByDirection:
        return trunk_capacity(
            control=control,
            upper_body_mass=posture.mass,
            backrest_above_hips=backrest_above_hips,
            strap=strap,
            free_hand=free_hand,
        )

    demand = trunk_demand(posture=posture, neutral=neutral, hand_positions=P, pulls=F)
    capacity = capacity_with(strap, free_hand)
    factor = _factor(capacity, demand)
    stacked = factor.stacked()
    smallest = stacked.min(axis=0)

    remedies: list[str] = []
    if np.any(smallest < ASKED_FACTOR.value):
        stronger = [s for s in _STRAPS[_STRAPS.index(strap) + 1 :] if s in straps_at_hand]
        for added in stronger:
            if _is_enough(capacity_with(added, free_hand), demand):
                remedies.append(f"{added} strap")
                break
        if one_arm_possible and not free_hand and working:
            alone = [
                trunk_demand(
                    posture=_at_rest(posture, neutral, arm=1 - hand),
                    neutral=neutral,
                    hand_positions=P,
                    pulls=_on_one_hand(F, hand=hand, joined=joined),
                )
                for hand in working
            ]
            for added in [strap, *stronger]:
                if all(_is_enough(capacity_with(added, True), each) for each in alone):
                    if added == strap:
                        remedies.append("one arm")
                    elif not remedies:
                        remedies.append(f"one arm and {added} strap")
                    break
    return TrunkHold(
        demand=demand,
        capacity=capacity,
        factor=factor,
        smallest_factor=smallest,
        weakest_direction=np.array(DIRECTIONS)[stacked.argmin(axis=0)],
        remedies=tuple(remedies),
        notices=_notices(stacked, remedies, control=control, about=about),
    )


def _moment_of_weight(body: UpperBody) -> Array:
    """Return the moment of all weights about the hip centre, (..., 3): m g (-y, x, 0) each."""
    hips = np.asarray(body.hips, dtype=float)
    trunk = body.trunk_mass * (np.asarray(body.trunk_centre, dtype=float) - hips)
    arms = np.asarray(body.arm_masses, dtype=float)[:, None] * (
        np.asarray(body.arm_centres, dtype=float) - hips[..., None, :]
    )
    ahead = trunk + arms.sum(axis=-2)
    return GRAVITY.value * np.stack([-ahead[..., 1], ahead[..., 0], np.zeros(ahead.shape[:-1])], axis=-1)


def _factor(capacity: ByDirection, demand: ByDirection) -> ByDirection:
    def one(direction: str) -> Array:
        held, pulled = getattr(capacity, direction), np.asarray(getattr(demand, direction))
        with np.errstate(over="ignore"):
            return np.where(pulled > 0, held / np.where(pulled > 0, pulled, 1.0), np.inf)

    return ByDirection(**{field.name: one(field.name) for field in fields(ByDirection)})


def _is_enough(capacity: ByDirection, demand: ByDirection) -> bool:
    return bool(np.all(_factor(capacity, demand).stacked() >= ASKED_FACTOR.value))


def _at_rest(posture: UpperBody, neutral: UpperBody, *, arm: int) -> UpperBody:
    """Return `posture` with one arm where it is in the neutral posture, seen from the hips."""
    centres = np.array(np.broadcast_to(posture.arm_centres, (*np.shape(posture.hips)[:-1], 2, 3)))
    centres[..., arm, :] = posture.hips + (np.asarray(neutral.arm_centres)[..., arm, :] - neutral.hips)
    return replace(posture, arm_centres=centres)


def _on_one_hand(pulls: Array, *, hand: int, joined: bool) -> Array:
    """Return the pulls of the one-arm variant: the other hand's is gone, or added when both held one band."""
    out = np.zeros_like(pulls)
    out[..., hand, :] = pulls.sum(axis=-2) if joined else pulls[..., hand, :]
    return out


def _notices(factors: Array, remedies: Sequence[str], *, control: TrunkControl, about: str) -> tuple[Notice, ...]:
    notices = []
    worst = factors.reshape(len(DIRECTIONS), -1).min(axis=1)
    weak = [direction for direction, value in zip(DIRECTIONS, worst, strict=True) if value < ASKED_FACTOR.value]
    if weak:
        missing = next((f" without a {remedy.split(' and ')[-1]}" for remedy in remedies if "strap" in remedy), "")
        ways = " and ".join(TOWARDS[direction] for direction in weak)
        notices.append(
            Notice(
                id="trunk-does-not-hold",
                level="stop",
                what=f"the trunk does not hold {ways}{missing}: what holds is {worst.min():.1f} times what pulls, "
                f"{ASKED_FACTOR.value:.1f} times is asked",
                do=_what_to_do(remedies),
                about=about,
            )
        )
    words = {"forward": "forward", "turn": "turning", "lean_left": "to the left", "lean_right": "to the right"}
    unknown = [word for name, word in words.items() if getattr(control, name) is None]
    if unknown:
        of_some = "" if len(unknown) == len(words) else f" {', '.join(unknown)}"
        notices.append(
            Notice(
                id="trunk-control-unknown",
                level="caution",
                what=f"trunk control {', '.join(unknown)} is not known and counts as none",
                do="Let the athlete reach that way and come back without the hands, and note yes, partly or no",
                about=about,
                subject=f"trunk control{of_some}, counted as none",
                short=f"reach {'that way' if of_some else 'forward and to both sides'} and back, without the hands",
            )
        )
    return tuple(notices)


def _what_to_do(remedies: Sequence[str]) -> str:
    ways = {
        "one arm": "use the one-arm variant with the free hand on the frame or the rim",
        "waist strap": "put a waist strap on",
        "chest strap": "put a chest strap on",
    }
    said = [" and ".join(ways[part] for part in remedy.split(" and ")) for remedy in remedies]
    return (
        _capital(", or ".join(said))
        if said
        else "Take a lighter band or another exercise: no strap or free hand at hand is enough"
    )


def _capital(words: str) -> str:
    return words[:1].upper() + words[1:]
