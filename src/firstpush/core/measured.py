"""A number that may affect a dose, a force or a caution, with where it comes from."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Known = Literal["read", "from memory", "common practice", "our choice", "measured", "derived"]


@dataclass(frozen=True, kw_only=True)
class Measured:
    """A value with its unit, spread and source.

    Parameters
    ----------
    name : str
        What the number is.
    value : float
        The number, in `unit`.
    unit : str
        SI unit, or "1" for a pure number.
    spread : float
        One standard deviation of what is not known about it, in `unit`; 0 where it is exact by definition.
    source : str
        Key of `firstpush.core.sources`, or plain words.
    known : str
        "read", "from memory", "common practice", "our choice"; "measured" for the athlete's own value,
        "derived" for one computed from others.

    Examples
    --------
    >>> g = Measured(name="standard gravity", value=9.81, unit="m/s2", spread=0.0, source="rounded", known="read")
    >>> float(g) * 90
    882.9
    """

    name: str
    value: float
    unit: str
    spread: float
    source: str
    known: Known

    def __float__(self) -> float:
        return self.value

    @property
    def needs_a_word(self) -> bool:
        """Whether the number must be shown as not read in a source (`from memory`, `our choice`, ...)."""
        return self.known in ("from memory", "common practice", "our choice")


GRAVITY = Measured(
    name="acceleration of gravity", value=9.81, unit="m/s2", spread=0.0, source="ISO80000-3", known="our choice"
)
"""Two decimals, as the worked examples of the field use it (standard gravity is 9.80665 m/s2)."""
