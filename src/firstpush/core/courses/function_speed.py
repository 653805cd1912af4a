"""What function means for a speed that nobody measured: losses of arm and trunk, and what each leaves of every limit.

What is lost lowers the guess whatever the sport: a sport's matches tell of those who play in them, and in all of them
somebody with less function is no faster than somebody with more.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

from firstpush.core.courses.sprint import Ranged
from firstpush.core.measured import Measured
from firstpush.core.people.athlete import SIDES, Athlete
from firstpush.core.people.traits import possible_traits, traits

ARMS, ELBOWS, TRUNK = "weak arms", "weak elbow extensors", "no trunk control"
FULLEST = 4.98
"""Highest speed in matches of those with the fullest function of the three sports [m/s]: what is left is a share of it.
van der Slikke 2020, table 2: basketball."""
UNKNOWN_SPREAD = Measured(
    name="further relative spread of every limit where function is not known",
    value=0.15,
    unit="1",
    spread=0.05,
    source="it may be full, or not",
    known="our choice",
)
_RUGBY = "rugby over basketball (van der Slikke 2020, table 2, read); that it holds for arms like these is our choice"


def _share(limit: str, loss: str, value: float, source: str) -> Measured:
    return Measured(
        name=f"{limit} left with {loss}", value=value, unit="1", spread=0.3 * value, source=source, known="our choice"
    )


LEFT: Mapping[str, Mapping[str, Measured]] = {
    ARMS: {
        "maximal_speed": _share("maximal speed", ARMS, 3.37 / 4.98, _RUGBY),
        # The push is maximal speed over time constant: 0.76 of 1.46 m/s² over the first two metres.
        "time_constant": _share("time constant", ARMS, (3.37 / 4.98) / (0.76 / 1.46), _RUGBY),
        "lateral": _share("sideways acceleration", ARMS, (1.13 * 60) / (1.57 * 67), _RUGBY),
        "braking": _share("slowing down", ARMS, 0.6, "no number was found; palms slip on the rims"),
        "turning_rate": _share("turning rate", ARMS, 303 / 388, _RUGBY),
        "turning_acceleration": _share("speeding up of turning", ARMS, 139 / 351, _RUGBY),
        "backward_share": _share("backward share", ARMS, 0.8, "drawing back asks for fingers that close"),
    },
    ELBOWS: {
        "maximal_speed": _share("maximal speed", ELBOWS, 0.85, "the push ends where the elbow would straighten"),
        "time_constant": _share("time constant", ELBOWS, 1.13, "the push falls by a quarter"),
        "braking": _share("slowing down", ELBOWS, 0.8, "straight elbows hold the trunk back"),
        "turning_acceleration": _share("speeding up of turning", ELBOWS, 0.8, "as with the push"),
    },
    TRUNK: {
        "maximal_speed": _share("maximal speed", TRUNK, 0.8, "no trunk to push with, nor against"),
        "time_constant": _share("time constant", TRUNK, 1.07, "the push falls by a quarter"),
        "lateral": _share("sideways acceleration", TRUNK, 0.7, "the trunk falls to the outside"),
        "braking": _share("slowing down", TRUNK, 0.7, "the trunk falls forward"),
        "turning_rate": _share("turning rate", TRUNK, 0.85, "the trunk is left behind"),
        "turning_acceleration": _share("speeding up of turning", TRUNK, 0.8, "the trunk is left behind"),
    },
}
"""What each loss leaves of each limit of somebody with full function; what is not named stays."""
GRADED = 0.25
"""Relative spread of a guess by function: between persons it is as wide as within rugby (0.99 of 3.37 m/s)."""


@dataclass(frozen=True, kw_only=True)
class Function:
    """What counts of an athlete's function: what is lost, and whether more may be that nobody told."""

    losses: tuple[str, ...]
    may_be_more: bool
    arms_are_full: bool

    def guess(self, name: str, full: Ranged, *, sport: Ranged | None = None) -> Ranged:
        """Return the guess of one limit.

        Parameters
        ----------
        name : str
            Of the limit, as in `AthleteSpeed`.
        full : Ranged
            With full function.
        sport : Ranged or None
            By matches of the athlete's sport, where they are known: with a loss no faster than what the loss leaves.
        """
        best = sport or full
        value, known, source = best.value, best.known, best.source
        shares = [LEFT[loss][name].value for loss in self.losses if name in LEFT[loss]]
        if shares:
            left = full.value * math.prod(shares)
            slower = max if name == "time_constant" else min
            if slower(left, value) == left:
                value, known = left, "our choice"
                source = f"with {' and '.join(self.losses)}: {100 * math.prod(shares):.0f} % of full function"
        spread = best.spread
        if shares:
            spread = max(spread, GRADED)
        if self.may_be_more:
            spread = math.hypot(spread, UNKNOWN_SPREAD.value)
        return Ranged(value=value, spread=spread, unit=best.unit, known=known, source=source)


def function_of(athlete: Athlete) -> Function:
    """Return what counts of an athlete's function for a speed that was not measured.

    Losses are the traits that cautions of exercises speak about: a grip that is weak or none, elbow extensors below
    grade 3, an arm weak by hemiplegia, no trunk control forward or in turning.  An injury at C7 or above counts as weak
    arms as long as grip and elbows are not known to be full.
    """
    found, may_be = traits(athlete, SIDES), possible_traits(athlete, SIDES)
    # A level speaks for the arms only as long as nobody looked at them.
    high = athlete.health.level_at_or_above("C7")
    by_level = high and bool({"weak grip", "weak elbow extensors"} & set(may_be))
    losses = []
    if found & {"weak grip", "weak elbow extensors", "hemiplegic arm"} or by_level:
        losses.append(ARMS)
    if "weak elbow extensors" in found or (athlete.health.level_at_or_above("C6") and "weak elbow extensors" in may_be):
        losses.append(ELBOWS)
    if "no trunk control" in found or (high and "no trunk control" in may_be):
        losses.append(TRUNK)
    asked = {"weak grip", "weak elbow extensors", "no trunk control"}
    return Function(
        losses=tuple(losses),
        may_be_more=bool(asked & set(may_be)),
        arms_are_full=not losses and not {"weak grip", "weak elbow extensors"} & set(may_be),
    )
