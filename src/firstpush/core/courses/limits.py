"""What an athlete and a chair can do on a course: speeds and accelerations, each with where it comes from."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from firstpush.core.errors import OutOfRangeError
from firstpush.core.measured import Measured

_MATCHES = "vanderSlikke2020, table 2: matches of 29 basketball, 32 rugby and 15 tennis players"
FASTEST = 6.0
FASTEST_TURN = math.radians(600.0)
"""Beyond these no court athlete was seen [m/s, rad/s]: such a number is a slip (van der Slikke 2020, rounded up)."""

MAXIMAL_SPEED = Measured(
    name="maximal speed",
    value=4.0,
    unit="m/s",
    spread=0.6,
    source=f"between a club and the best: {_MATCHES}, 3.4 to 5.0 m/s",
    known="our choice",
)
TIME_CONSTANT = Measured(
    name="time constant of speeding up",
    value=1.1,
    unit="s",
    spread=0.3,
    source="5 m in 1.87 s and 20 m in 5.70 s from 0.5 m behind the gate, basketball (Yanci 2015)",
    known="our choice",
)
LATERAL = Measured(
    name="sideways acceleration in a curve",
    value=3.5,
    unit="m/s2",
    spread=0.8,
    source="above the mean of curves in matches (1.2 to 1.8 m/s2), below tipping on a radius of 1 m (6 m/s2)",
    known="our choice",
)
BRAKING = Measured(
    name="slowing down by both hands",
    value=2.5,
    unit="m/s2",
    spread=0.6,
    source="no number was found; palms on the rims",
    known="our choice",
)
TURNING_RATE = Measured(
    name="fastest turning",
    value=6.0,
    unit="rad/s",
    spread=0.9,
    source=f"{_MATCHES}, 303 to 388 degrees/s",
    known="read",
)
TURNING_ACCELERATION = Measured(
    name="speeding up of turning",
    value=6.0,
    unit="rad/s2",
    spread=1.5,
    source=f"{_MATCHES}: best turns 139 to 351 degrees/s2",
    known="read",
)
BACKWARD_SHARE = Measured(
    name="backward pulls, share of forward speed and push",
    value=0.6,
    unit="1",
    spread=0.1,
    source="pulled backwards as active recovery",
    known="our choice",
)
GYRATION = Measured(
    name="radius of gyration about the vertical, athlete in chair",
    value=0.30,
    unit="m",
    spread=0.04,
    source="seated body with legs in front, wheels outside",
    known="our choice",
)


@dataclass(frozen=True, kw_only=True)
class Limits:
    """What is possible, as plain numbers for one reckoning.

    Parameters
    ----------
    maximal_speed : float
        Towards which speed rises while pushing straight on [m/s].
    time_constant : float
        Of that rise [s]; the push from standstill is maximal speed over time constant.
    lateral, braking : float
        Sideways acceleration in a curve, slowing down [m/s²].
    turning_rate, turning_acceleration : float
        Of the chair about the vertical [rad/s, rad/s²].
    backward_share : float
        Of speed and push when pulled backwards [1].
    gyration : float
        Radius of gyration of athlete and chair about the vertical [m].
    """

    maximal_speed: float = MAXIMAL_SPEED.value
    time_constant: float = TIME_CONSTANT.value
    lateral: float = LATERAL.value
    braking: float = BRAKING.value
    turning_rate: float = TURNING_RATE.value
    turning_acceleration: float = TURNING_ACCELERATION.value
    backward_share: float = BACKWARD_SHARE.value
    gyration: float = GYRATION.value

    def __post_init__(self) -> None:
        _refuse(self.maximal_speed, low=0.3, high=FASTEST, unit="m/s", what="a maximal speed")
        _refuse(self.time_constant, low=0.05, high=6.0, unit="s", what="a time constant of speeding up")
        _refuse(self.lateral, low=0.2, high=12.0, unit="m/s²", what="a sideways acceleration")
        _refuse(self.braking, low=0.2, high=12.0, unit="m/s²", what="a slowing down")
        _refuse(self.turning_rate, low=0.2, high=FASTEST_TURN, unit="rad/s", what="a turning rate")
        _refuse(self.turning_acceleration, low=0.2, high=60.0, unit="rad/s²", what="a speeding up of turning")
        _refuse(self.backward_share, low=0.05, high=1.0, unit="of the forward speed", what="a backward speed")
        _refuse(self.gyration, low=0.1, high=0.8, unit="m", what="a radius of gyration")

    @property
    def push(self) -> float:
        """Acceleration from standstill [m/s²]."""
        return self.maximal_speed / self.time_constant

    def at(self, *, share: float, backward: bool) -> Limits:
        """Return the limits at a share of effort, and for backward pulls: speed and push shrink alike."""
        factor = share * (self.backward_share if backward else 1.0)
        return replace(self, maximal_speed=max(0.3, factor * self.maximal_speed))


def _refuse(value: float, *, low: float, high: float, unit: str, what: str) -> None:
    if not low <= value <= high:
        raise OutOfRangeError(
            f"{what} of {value:g} {unit} cannot be used; allowed is {low:g} to {high:.4g} {unit}; measure it again."
        )
