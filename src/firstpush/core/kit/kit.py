"""What lies in the cupboard, as values. Bands are described by what was pulled with a hook scale."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Material = Literal["latex", "latex-free"]


@dataclass(frozen=True, kw_only=True)
class Pull:
    """One pull with a hook scale: `elongation` as a fraction of slack length (1.0 = double length), `force` [N]."""

    elongation: float
    force: float


@dataclass(frozen=True, kw_only=True)
class Band:
    """A band as the user knows it.

    Parameters
    ----------
    length : float
        Whole slack length of the material [m].
    count : int
        How many of them there are.
    limit_elongation : float
        Largest elongation allowed, fraction of slack length (2.0 = 200 %).
    pulls : tuple of Pull
        Measured points, by rising elongation; may be empty (no newtons are then printed).
    material : str
        "latex" or "latex-free"; what is left out counts as latex.
    """

    name: str
    material: Material
    length: float
    count: int
    limit_elongation: float
    pulls: tuple[Pull, ...]


@dataclass(frozen=True, kw_only=True)
class Ball:
    """A ball; `mass` [kg], `diameter` [m]."""

    name: str
    mass: float
    diameter: float
    bounces: bool | None
    material: Material


@dataclass(frozen=True, kw_only=True)
class Cuff:
    """A cuff that takes a band where a hand cannot grip."""

    name: str
    attach: Literal["wrist_cuff", "forearm_cuff", "upper_arm_cuff"]
    count: int
    material: Material


@dataclass(frozen=True, kw_only=True)
class Kit:
    """The cupboard; `chock_height` [m] is None when there are no chocks.

    `door_anchors` are knots that are shut into a closed door, for a band at home.
    """

    name: str
    bands: tuple[Band, ...] = ()
    balls: tuple[Ball, ...] = ()
    cuffs: tuple[Cuff, ...] = ()
    cones: int = 0
    door_anchors: int = 0
    chest_straps: int = 0
    waist_straps: int = 0
    chocks: int = 0
    chock_height: float | None = None
