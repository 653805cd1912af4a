"""Where the weight of athlete and chair acts: from segments and chair, put right by a scale under the casters."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import ArrayLike, NDArray

from firstpush.core.errors import OutOfRangeError
from firstpush.core.measured import GRAVITY, Measured
from firstpush.core.people.athlete import Chair

Array = NDArray[np.float64]

CHAIR_CENTRE_FORWARD = Measured(
    name="centre of mass of the chair in front of the axle, share of the wheelbase",
    value=0.30,
    unit="1",
    spread=0.10,
    source="rear wheels and axle are about half of the mass; rough estimate",
    known="our choice",
)
CHAIR_CENTRE_HEIGHT = Measured(
    name="height of the centre of mass of the chair, share of the seat height",
    value=0.70,
    unit="1",
    spread=0.10,
    source="wheels, seat and backrest; rough estimate",
    known="our choice",
)
SPREAD_FROM_SEGMENTS = Measured(
    name="spread of the centre of mass from hip-to-axle and segment table",
    value=0.03,
    unit="m",
    spread=0.01,
    source="placement of the hips on the seat and of the chair's own mass",
    known="our choice",
)
SPREAD_FROM_SCALE = Measured(
    name="spread of the centre of mass from the caster share",
    value=0.01,
    unit="m",
    spread=0.005,
    source="bathroom scale, 1-2 % of the weight times a wheelbase of about 0.4 m, and how the athlete sat",
    known="our choice",
)


@dataclass(frozen=True, kw_only=True)
class CentreOfMass:
    """Mass, weight and centre of mass of athlete and chair.

    Parameters
    ----------
    mass, weight : float
        Athlete and chair together [kg], [N].
    position : array (..., 3)
        World position, origin on the floor under the rear axle [m].
    spread_forward : Measured
        How well the forward position is known [m].
    """

    mass: float
    weight: float
    position: Array
    spread_forward: Measured


def chair_centre(chair: Chair) -> Array:
    """Return where the chair's own mass is taken to act, in its middle plane, (3,) [m]."""
    return np.array([CHAIR_CENTRE_FORWARD.value * chair.wheelbase, 0.0, CHAIR_CENTRE_HEIGHT.value * chair.seat_height])


def centre_of_mass(
    *, segment_masses: ArrayLike, segment_positions: ArrayLike, chair_mass: float, chair_position: ArrayLike
) -> CentreOfMass:
    """Return the centre of mass of athlete and chair together.

    Parameters
    ----------
    segment_masses : array (s,)
        Mass of each body segment, and of a ball in the hands [kg].
    segment_positions : array (..., s, 3)
        Their centres of mass [m].
    chair_mass : float
        [kg]
    chair_position : array (3,)
        Centre of mass of the chair alone, see `chair_centre` [m].

    Returns
    -------
    CentreOfMass

    Raises
    ------
    OutOfRangeError
        When a mass is negative or all are zero.

    Examples
    --------
    >>> both = centre_of_mass(
    ...     segment_masses=[60, 20],
    ...     segment_positions=[[0, 0, 1], [0.4, 0, 0.5]],
    ...     chair_mass=20,
    ...     chair_position=[0, 0, 0.3],
    ... )
    >>> both.mass, both.position
    (100.0, array([0.08, 0.  , 0.76]))
    """
    masses = np.asarray(segment_masses, dtype=float)
    positions = np.asarray(segment_positions, dtype=float)
    total = float(masses.sum() + chair_mass)
    if chair_mass < 0 or np.any(masses < 0) or total <= 0:
        raise OutOfRangeError(
            f"the masses given add up to {total:.1f} kg with the smallest {min(chair_mass, *masses):.1f} kg; "
            "none may be negative and the sum must be above 0 kg; check the masses of athlete and chair."
        )
    moment = np.einsum("s,...sx->...x", masses, positions) + chair_mass * np.asarray(chair_position, dtype=float)
    return CentreOfMass(
        mass=total, weight=total * GRAVITY.value, position=moment / total, spread_forward=SPREAD_FROM_SEGMENTS
    )


def set_by_caster_share(
    moving: CentreOfMass, *, resting: CentreOfMass, caster_share: float, wheelbase: float
) -> CentreOfMass:
    """Shift a centre of mass so that at rest it puts the weighed share on the casters.

    The scale says where the weight acts at rest: x = wheelbase times share.
    What the segment table got wrong at rest is taken to be wrong by the same length in every frame.

    Parameters
    ----------
    moving : CentreOfMass
        From `centre_of_mass`, any leading shape of frames.
    resting : CentreOfMass
        The same athlete and chair, sitting as on the scale, one posture.
    caster_share : float
        Share of the total weight on the casters, between 0 and 1.
    wheelbase : float
        Rear axle to caster contact [m].

    Returns
    -------
    CentreOfMass

    Raises
    ------
    OutOfRangeError
        When the share is not between 0 and 1: the chair would not stand.

    Source
    ------
    Moment about the rear contact: share x weight x wheelbase = weight x.
    """
    if not 0 < caster_share < 1:
        raise OutOfRangeError(
            f"a caster share of {100 * caster_share:.0f} % was given; a chair that stands has between 0 and 100 % "
            "on its casters; weigh the casters again, or leave it out."
        )
    shift = np.zeros(3)
    shift[0] = wheelbase * caster_share - float(resting.position[..., 0])
    return replace(moving, position=moving.position + shift, spread_forward=SPREAD_FROM_SCALE)
