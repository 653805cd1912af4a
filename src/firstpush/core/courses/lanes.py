"""Push lanes: lengths at rising shares of the maximal speed, the short side between them pulled backwards.

Where nothing may be pulled backwards they are one lane, there and back, with a turn on the spot at its ends.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from scipy.special import lambertw

from firstpush.core.courses.chair_outline import ChairOutline
from firstpush.core.courses.course import CONE_RADIUS, MARGIN, Array, Cone, Course, CourseError, Leg, Place
from firstpush.core.courses.limits import Limits
from firstpush.core.courses.line import Line
from firstpush.core.measured import Measured
from firstpush.core.people.athlete import Side

LADDER = (0.25, 0.50, 0.75, 1.00)
"""Shares of the maximal speed (common practice)."""
USUAL_SIDE = Measured(
    name="short side between two lengths",
    value=3.5,
    unit="m",
    spread=1.0,
    source="three or four backward pulls",
    known="common practice",
)


SPARE = 0.02
"""How much more than the margin the marks leave, so that a way straight on is not bent by rounding [m]."""


def least_side(outline: ChairOutline, *, margin: float = MARGIN.value) -> float:
    """Return how far apart two lanes lie at least, so that a chair turns in one beside a chair in the other [m]."""
    return outline.swing + outline.width / 2.0 + margin


@dataclass(frozen=True, kw_only=True)
class LaneTime:
    """One length of the lanes, or the pull that follows it.

    `share` is of the maximal speed, `mean_speed` and `top_speed` in m/s, `length` in m, times in s.
    """

    number: int
    backward: bool
    share: float
    length: float
    begins: float
    duration: float
    mean_speed: float
    top_speed: float


def lane_course(
    *,
    outline: ChairOutline,
    length: float = 20.0,
    shares: Sequence[float] = LADDER,
    side: float | None = None,
    margin: float = MARGIN.value,
    backward: bool = True,
) -> Course:
    """Return lanes in a zigzag, at both ends of each a cone beside the way straight on, which stays free to roll out.

    Parameters
    ----------
    outline : ChairOutline
    length : float
        Of each lane, where the axle goes [m].
    shares : sequence of float
        Of the maximal speed, one for each length.
    side : float or None
        Between two lanes [m]; None takes the usual one, or what the chair needs to turn where that is more.
    margin : float
        Room to every cone [m].
    backward : bool
        Whether the short sides are pulled backwards; else all lengths lie on one lane.

    Returns
    -------
    Course
        After each length the back of the chair turns to the next lane, and the chair is pulled there; or it turns half
        round, left and right in turn.  Turns to the left and to the right are even for an odd number of lengths only.

    Raises
    ------
    CourseError
        For a side on which the chair cannot turn, or shares that are none.
    """
    shares = tuple(shares)
    if not shares:
        raise CourseError("lanes without a length cannot be laid out; allowed is one share or more; give 0.25 to 1.")
    least = least_side(outline, margin=margin)
    if side is None:
        side = max(USUAL_SIDE.value, least)
    if not least <= side <= 20.0:
        raise CourseError(
            f"a short side of {side:g} m cannot be used; this chair needs {math.ceil(100 * least) / 100:.2f} m, at most"
            " 20 m; set the lanes farther apart."
        )
    if not 1.0 <= length <= 60.0:
        raise CourseError(f"a lane of {length:g} m cannot be laid out; allowed is 1 m to 60 m; check the unit.")
    beyond = outline.swing + margin + CONE_RADIUS.value
    # Beside the way straight on, and as near as the turn on the spot and the pull past it allow.
    beside = outline.width / 2.0 + margin + CONE_RADIUS.value + SPARE
    ahead = max(math.sqrt(max(beyond**2 - beside**2, 0.0)), outline.width / 2.0 + margin + CONE_RADIUS.value) + SPARE
    cones: list[Cone] = []
    legs: list[Leg] = []
    for row, share in enumerate(shares):
        y = -row * side if backward else 0.0
        ends = (Place(x=0.0, y=y), Place(x=length, y=y))
        if backward or not row:
            cones.append(Cone(name=str(2 * row), x=-ahead, y=y + beside))
            cones.append(Cone(name=str(2 * row + 1), x=length + ahead, y=y + beside))
        to_the_right = row % 2 == 0
        end = ends[1] if to_the_right else ends[0]
        # Backwards to the next lane, so facing away from it: left at the right end, right at the left end.
        turn: Side = "left" if to_the_right else "right"
        # A half turn on the one lane: the same words, left at the right end and right at the left one.
        before: Side = "right" if to_the_right else "left"
        # On the one lane the names of all that go the same way stand together, at the first of them.
        named = [row] if backward else list(range(row, len(shares), 2)) if row < 2 else []
        says = ", ".join(f"{k + 1} · {100 * shares[k]:.0f} %" for k in named)
        legs.append(Leg(to=end, share=share, turn=before if row else None, says=says))
        if backward and row + 1 < len(shares):
            legs.append(Leg(to=Place(x=end.x, y=y - side), backward=True, turn=turn))
    return Course(
        name="push lanes",
        cones=tuple(cones),
        start=Place(x=0.0, y=0.0),
        legs=tuple(legs),
        heading=0.0,
        spacing=length,
        spacing_word="length",
    )


def lane_times(line: Line) -> tuple[LaneTime, ...]:
    """Return the times of a line over lanes: each length, and each pull between two of them."""
    found = []
    number = 0
    for roll in line.rolls:
        number += 0 if roll.leg.backward else 1
        length = roll.candidate.track.length
        found.append(
            LaneTime(
                number=number,
                backward=roll.leg.backward,
                share=roll.leg.share * (line.limits.backward_share if roll.leg.backward else 1.0),
                length=length,
                begins=roll.begins,
                duration=roll.duration,
                mean_speed=length / roll.duration,
                top_speed=float(roll.profile.speed.max()),
            )
        )
    return tuple(found)


def time_to(distance: Array | float, limits: Limits) -> Array:
    """Return the time from standstill to a distance, pushing straight on without braking [s].

    With z = 1 + x/(v τ): t = τ (z + W₀(−e^(−z))), which solves x = v (t − τ (1 − e^(−t/τ))).

    Examples
    --------
    >>> limits = Limits(maximal_speed=4.0, time_constant=1.0)
    >>> float(time_to(4.0 * (2.0 - 1.0 + np.exp(-2.0)), limits))
    2.0
    """
    v, tau = limits.maximal_speed, limits.time_constant
    gone = np.asarray(distance, dtype=float) / (v * tau)
    # Within a micrometre of the start the branch point of W swallows all digits; there t = τ √(2 x/(v τ)).
    z = 1.0 + np.maximum(gone, 1e-7)
    branch = lambertw(-np.exp(-z))  # type: ignore[call-overload]
    return np.asarray(tau * np.where(gone > 1e-7, z + branch.real, np.sqrt(2.0 * np.maximum(gone, 0.0))))


def distance_at(time: Array | float, limits: Limits) -> Array:
    """Return how far the chair has come after a time, pushing straight on from standstill [m]."""
    v, tau = limits.maximal_speed, limits.time_constant
    t = np.asarray(time, dtype=float)
    return np.asarray(v * (t + tau * np.expm1(-t / tau)))
