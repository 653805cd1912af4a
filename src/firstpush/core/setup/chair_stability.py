"""Will the chair hold: by how much may the pulls grow before it tips, rolls, slides, turns or climbs its chock.

Every mode is a load that grows with the pull against a hold that changes with it, both linear, so each factor is a
quotient. The free-body diagrams and the choices on the safe side stand in docs/why/stability.md.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, get_args

import numpy as np
from numpy.typing import ArrayLike, NDArray

from firstpush.core.errors import OutOfRangeError, UnknownNameError
from firstpush.core.measured import Measured
from firstpush.core.notices import Notice
from firstpush.core.people.athlete import Chair
from firstpush.core.people.chair_presets import track_at_floor
from firstpush.core.setup.chair_loads import Balance, Footprint, factor_of, limit_of, smallest

Array = NDArray[np.float64]

Blocking = Literal["free", "brakes", "chocks", "brakes and chocks"]
"""How the rear wheels are held; chocks stand before and behind both of them."""

ASKED_FACTOR = Measured(
    name="factor of the pulls asked before a chair moves",
    value=1.5,
    unit="1",
    spread=0.0,
    source="covers the spread of band, centre of mass, friction and a jerk",
    known="our choice",
)
NAME_WITHIN = Measured(
    name="modes closer than this share of the smallest factor are named by the first of them",
    value=0.01,
    unit="1",
    spread=0.0,
    source="keeps the name from flickering between two modes that begin together",
    known="our choice",
)

_DO = {
    "tips backward": "Pull from in front instead, put an anti-tip wheel on, tie the band lower or take a lighter one",
    "tips forward": "Turn the casters so that they touch the floor further forward, tie the band lower or take a "
    "lighter one",
    "tips left": "Turn the chair towards the post, tie the band lower or take a lighter one",
    "tips right": "Turn the chair towards the post, tie the band lower or take a lighter one",
    "rolls": "Block both rear wheels, chocks before and behind or brakes, before any band is tied to a post",
    "slides": "Put chocks before and behind both rear wheels, dry the tyres or take a lighter band",
    "climbs the chock": "Take higher chocks or a lighter band",
    "turns on the spot": "Put chocks before and behind both rear wheels, turn the chair so that the band passes "
    "nearer to the middle of the axle, or take a lighter band",
}
MODES = tuple(_DO)
"""The ways a chair gives, in the order in which ties are named."""


@dataclass(frozen=True, kw_only=True)
class ChairStability:
    """By what factor the pulls may grow before each mode begins; every array has the leading shape of the pulls.

    A factor of 1 means that the mode begins at the pulls given, infinity that it never does.

    Parameters
    ----------
    blocking : str
        How the wheels were held.
    weight : array
        Athlete and chair [N].
    zero_moment_point : array (..., 2)
        Where the upward floor reaction must act, forward and left of the middle of the axle [m].
    margin : array
        Distance of that point inside the polygon of wheel contacts, negative outside [m].
    tips_backward, tips_forward, tips_left, tips_right : array
        Over the rear wheels or the anti-tip wheel; over the casters; over the wheels of one side.
    rolls : array
        Only a free chair.
    slides : array
        The whole chair; with chocks, sideways only.
    climbs : array
        Both wheels over the chock.
    yaws : array
        One wheel gives before the other, and the chair turns on the spot.
    casters_lift : array of bool
        The casters leave the floor at the pulls given, and the anti-tip wheel carries.
    factor : array
        The smallest of all.
    governing_mode : array of str
        Its name, one of `MODES`, or "none".
    """

    blocking: Blocking
    weight: Array
    zero_moment_point: Array
    margin: Array
    tips_backward: Array
    tips_forward: Array
    tips_left: Array
    tips_right: Array
    rolls: Array
    slides: Array
    climbs: Array
    yaws: Array
    casters_lift: NDArray[np.bool_]
    factor: Array
    governing_mode: NDArray[np.str_]

    @property
    def holds(self) -> NDArray[np.bool_]:
        """Whether every mode keeps the factor asked."""
        return np.asarray(self.factor >= ASKED_FACTOR.value)


def footprint_of(chair: Chair, *, caster_track: float | None = None) -> Footprint:
    """Return where `chair` stands on the floor; `caster_track` [m] is 0, the safe side, where it is not known."""
    return Footprint(
        wheelbase=chair.wheelbase,
        track=float(
            track_at_floor(hub_width=chair.hub_width, wheel_diameter=chair.wheel_diameter, camber=chair.camber)
        ),
        axle_height=chair.wheel_diameter / 2 * float(np.cos(chair.camber)),
        anti_tip=chair.anti_tip,
        caster_track=caster_track or 0.0,
    )


def chock_hold(*, axle_height: float, chock_height: float) -> float:
    """Return how much push a chock stands per load on its wheel before the wheel climbs it.

    Parameters
    ----------
    axle_height : float
        Height of the wheel centre; under camber below the wheel radius, which is the safe side [m].
    chock_height : float
        [m]

    Returns
    -------
    float
        Pure number; infinite when the chock reaches the axle.

    Raises
    ------
    OutOfRangeError
        When the chock has no height.

    Examples
    --------
    >>> chock_hold(axle_height=0.30, chock_height=0.05)
    0.663
    """
    if not chock_height > 0:
        raise OutOfRangeError(
            f"the chock is {chock_height} m high; it must be above 0 m; measure it, or do not count on a chock."
        )
    if chock_height >= axle_height:
        return float("inf")
    return float(np.sqrt(2 * axle_height * chock_height - chock_height**2) / (axle_height - chock_height))


def chair_stability(
    *,
    weight: ArrayLike,
    centre_of_mass: ArrayLike,
    hand_positions: ArrayLike,
    pulls: ArrayLike,
    footprint: Footprint,
    blocking: Blocking,
    friction: float,
    rolling: float,
    chock_height: float | None = None,
) -> ChairStability:
    """Return the factor by which all pulls may be multiplied before the chair gives, mode by mode.

    Parameters
    ----------
    weight : array (...)
        Athlete and chair [N].
    centre_of_mass : array (..., 3)
        World position [m].
    hand_positions : array (..., hands, 3)
        Where each pull acts [m].
    pulls : array (..., hands, 3)
        Force of each band **on the hand**; zero for a band fixed to the chair or held in the other hand [N].
    footprint : Footprint
        Where the chair stands, see `footprint_of`.
    blocking : str
        "free", "brakes", "chocks" (before and behind both rear wheels, brakes off) or "brakes and chocks".
    friction, rolling : float
        Of the tyre on the floor, see `firstpush.core.setup.floor_grip`.
    chock_height : float, optional
        Needed with chocks [m].

    Returns
    -------
    ChairStability

    Raises
    ------
    UnknownNameError
        For another word for the blocking.
    OutOfRangeError
        When the weight is not above 0, or chocks are asked for without a height.

    Holds for
    ---------
    A pull that changes slowly, a level floor, brakes that hold the wheel, chocks that do not slide, casters that give
    no hold. The rear wheels alone share a sideways load, which is the safe side.

    Source
    ------
    Statics of one body, worked in docs/why/stability.md.
    """
    W = np.asarray(weight, dtype=float)
    if np.any(W <= 0):
        raise OutOfRangeError(
            f"the weight of athlete and chair is {W.min()} N; it must be above 0 N; check the masses of both."
        )
    if blocking not in get_args(Blocking):
        raise UnknownNameError(kind="way of blocking a chair", given=blocking, known=get_args(Blocking))
    chocked = blocking in ("chocks", "brakes and chocks")
    if chocked and chock_height is None:
        raise OutOfRangeError(
            "chocks are asked for with no chock height; a height above 0 m is needed; measure the chocks."
        )
    C = np.asarray(centre_of_mass, dtype=float)
    P, F = np.broadcast_arrays(np.asarray(hand_positions, dtype=float), np.asarray(pulls, dtype=float))
    shape = np.broadcast_shapes(W.shape, C.shape[:-1], P.shape[:-2])
    balance = Balance(
        W=np.broadcast_to(W, shape),
        C=np.broadcast_to(C, (*shape, 3)),
        P=np.broadcast_to(P, (*shape, *P.shape[-2:])),
        F=np.broadcast_to(F, (*shape, *F.shape[-2:])),
        footprint=footprint,
    )

    on_floor, on_axle = balance.at(0.0), balance.at(footprint.axle_height)
    # Brakes and chocks: with a gap between wheel and chock the brakes hold first, so the worse of both counts.
    states = {"chocks": [on_axle], "brakes and chocks": [on_axle, on_floor]}.get(blocking, [on_floor])
    tips = {
        name: smallest([factor_of(edge) for state in states for edge in state.edges[name]]) for name in on_floor.edges
    }
    along, across = np.abs(balance.total[..., 0]), np.abs(balance.total[..., 1])
    rolls = climbs = np.full(shape, np.inf)
    # Sideways the tyres hold by friction, however the wheels are blocked.
    slides = smallest([limit_of(across, hold=friction, loads=state.rear) for state in states])
    if blocking == "free":
        rolls = limit_of(along, hold=rolling, loads=[on_floor.load])
        yaws = limit_of(2 * np.abs(balance.wheel_push).max(axis=0), hold=rolling, loads=[on_floor.load])
    elif blocking == "brakes":
        slides = limit_of(np.hypot(along, across), hold=friction, loads=on_floor.rear)
        yaws = on_floor.slips_at_a_wheel(friction)
    else:
        assert chock_height is not None
        stop = chock_hold(axle_height=footprint.axle_height, chock_height=chock_height)
        climbs, yaws = limit_of(along, hold=stop, loads=on_axle.rear), on_axle.climbs_at_a_wheel(stop)
        if blocking == "brakes and chocks":
            # The chair stays as long as either alone would hold it.
            climbs = np.maximum(climbs, limit_of(np.hypot(along, across), hold=friction, loads=on_floor.rear))
            yaws = np.maximum(np.minimum(yaws, slides), on_floor.slips_at_a_wheel(friction))
    factors = np.stack([*(tips[name] for name in on_floor.edges), rolls, slides, climbs, yaws])
    factor = factors.min(axis=0)
    named = np.where(np.isinf(factor), len(MODES), (factors <= factor * (1 + NAME_WITHIN.value)).argmax(axis=0))
    point = states[-1].zero_moment_point
    return ChairStability(
        blocking=blocking,
        weight=np.array(balance.W),
        zero_moment_point=point,
        margin=smallest([state.margin for state in states]),
        tips_backward=tips["tips backward"],
        tips_forward=tips["tips forward"],
        tips_left=tips["tips left"],
        tips_right=tips["tips right"],
        rolls=rolls,
        slides=slides,
        climbs=climbs,
        yaws=yaws,
        casters_lift=np.any([state.casters_lift for state in states], axis=0),
        factor=factor,
        governing_mode=np.array([*MODES, "none"])[named],
    )


def chair_notices(stability: ChairStability, *, about: str = "") -> tuple[Notice, ...]:
    """Return what the practitioner must know about the chair, for the worst of all cases in `stability`.

    Parameters
    ----------
    stability : ChairStability
        Of one set-up: all its frames.
    about : str
        The exercise.

    Returns
    -------
    tuple of Notice
        A stop when the factor asked is missed; a note when the casters lift onto the anti-tip wheel.
    """
    notices = []
    worst = int(stability.factor.argmin())
    factor, mode = float(stability.factor.flat[worst]), str(stability.governing_mode.flat[worst])
    if factor < ASKED_FACTOR.value:
        blocking = {"free": "not blocked", "brakes": "on its brakes", "chocks": "between chocks"}.get(
            stability.blocking, "on brakes and chocks"
        )
        notices.append(
            Notice(
                id="chair-does-not-hold",
                level="stop",
                what=f"the chair, {blocking}, {mode} at {factor:.1f} times this pull; "
                f"{ASKED_FACTOR.value:.1f} times is asked",
                do=_DO[mode],
                about=about,
            )
        )
    if np.any(stability.casters_lift):
        notices.append(
            Notice(
                id="casters-lift",
                level="note",
                what="the casters lift and the anti-tip wheel carries",
                do="Tell the athlete before the first repetition, or take a lighter band",
                about=about,
            )
        )
    return tuple(notices)
