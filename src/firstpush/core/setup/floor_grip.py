"""How a tyre grips and rolls on a floor: friction and rolling resistance by surface."""

from __future__ import annotations

from dataclasses import dataclass

from firstpush.core.measured import Measured
from firstpush.core.notices import Notice

ROLLING_ON_CONCRETE = Measured(
    name="rolling resistance on a hard floor",
    value=0.010,
    unit="1",
    spread=0.003,
    source="middle of 0.005-0.015, usual for wheelchairs on hard floors",
    known="from memory",
)

_FRICTION = {
    "sprung wood": 0.6,
    "sports vinyl": 0.6,
    "concrete": 0.6,
    "linoleum": 0.5,
    "low carpet": 0.6,
    "high carpet": 0.6,
}
"""Clean dry tyre on the dry floor: the low end of 0.6-0.9, from memory; linoleum lower by our choice."""

_ROLLING_RELATIVE_TO_CONCRETE = {
    "sprung wood": 1.0,
    "sports vinyl": 1.0,
    "concrete": 1.0,
    "linoleum": 1.03,
    "low carpet": 1.20,
    "high carpet": 1.62,
}
"""Linoleum +3 %, low pile +20 %, high pile +62 % read in a technical bulletin; wood and vinyl: our choice."""

SURFACES = tuple(_FRICTION)


@dataclass(frozen=True, kw_only=True)
class FloorGrip:
    """What a floor does to a tyre; both numbers are pure ratios of force to load.

    Parameters
    ----------
    surface : str or None
        One of `SURFACES`; None when the floor is not known, and the lowest values are then taken.
    """

    surface: str | None
    friction: Measured
    rolling: Measured

    @property
    def notices(self) -> tuple[Notice, ...]:
        """Say that the floor is not known, where it is not."""
        if self.surface is not None:
            return ()
        return (
            Notice(
                id="floor-grip-unknown",
                level="note",
                what=f"the grip of this floor is not known and was taken as {self.friction.value:.1f}, "
                "the lowest of the table",
                do=f"Give the surface of the venue as one of {', '.join(SURFACES)}",
            ),
        )


def floor_grip(surface: str | None) -> FloorGrip:
    """Return friction and rolling resistance of a tyre on `surface`.

    Parameters
    ----------
    surface : str or None
        Name of the floor as the venue gives it; a name not in `SURFACES` counts as not known.

    Returns
    -------
    FloorGrip

    Holds for
    ---------
    Clean, dry, inflated tyres; dust, water and worn tyres lower the friction.

    Examples
    --------
    >>> floor_grip("high carpet").rolling.value
    0.0162
    >>> floor_grip("ice").friction.value, len(floor_grip("ice").notices)
    (0.5, 1)
    """
    known = surface if surface in _FRICTION else None
    friction = min(_FRICTION.values()) if known is None else _FRICTION[known]
    relative = min(_ROLLING_RELATIVE_TO_CONCRETE.values()) if known is None else _ROLLING_RELATIVE_TO_CONCRETE[known]
    place = "a floor not known" if known is None else known
    return FloorGrip(
        surface=known,
        friction=Measured(
            name=f"friction of a tyre on {place}",
            value=friction,
            unit="1",
            spread=0.1,
            source="low end of 0.6-0.9 for rubber on a dry floor, lower for linoleum",
            known="from memory",
        ),
        rolling=Measured(
            name=f"rolling resistance on {place}",
            value=ROLLING_ON_CONCRETE.value * relative,
            unit="1",
            spread=ROLLING_ON_CONCRETE.spread * relative,
            source="0.005-0.015 on a hard floor; linoleum +3 %, low carpet +20 %, high carpet +62 % against concrete",
            known="from memory",
        ),
    )
