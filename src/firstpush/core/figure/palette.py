"""The five colours of the product, the tints mixed from them, and line weights in millimetres on paper."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal

PAPER = "#fbfaf6"
INK = "#1d2b31"
ACCENT = "#b8431f"
COURT = "#2f6f73"
SAND = "#ece3d2"

Scheme = Literal["paper", "grey"]
SkinTone = Literal[0, 1, 2, 3]


def mix(first: str, second: str, share: float) -> str:
    """Return `first` with `share` (0-1) of `second` mixed in.

    Examples
    --------
    >>> mix("#000000", "#ffffff", 0.5)
    '#808080'
    """
    pairs = ((int(first[i : i + 2], 16), int(second[i : i + 2], 16)) for i in (1, 3, 5))
    return "#" + "".join(f"{round(a + share * (b - a)):02x}" for a, b in pairs)


def grey(colour: str) -> str:
    """Return the grey that a monochrome printer makes of `colour` (Rec. 709 luma weights, from memory).

    Examples
    --------
    >>> grey("#ffffff")
    '#ffffff'
    """
    red, green, blue = (int(colour[i : i + 2], 16) for i in (1, 3, 5))
    level = round(0.2126 * red + 0.7152 * green + 0.0722 * blue)
    return f"#{level:02x}{level:02x}{level:02x}"


@dataclass(frozen=True, kw_only=True)
class Tint:
    """One material: its flat colour and the same in shade."""

    light: str
    shade: str


def _tint(colour: str, shade: float = 0.22) -> Tint:
    return Tint(light=colour, shade=mix(colour, INK, shade))


_SKIN = (
    mix(SAND, ACCENT, 0.11),
    mix(mix(SAND, ACCENT, 0.28), INK, 0.09),
    mix(mix(SAND, ACCENT, 0.50), INK, 0.25),
    mix(mix(SAND, ACCENT, 0.60), INK, 0.50),
)
SKIN = tuple(_tint(colour, 0.13) for colour in _SKIN)
HAIR = (
    _tint(mix(INK, ACCENT, 0.08), 0.30),
    _tint(mix(mix(SAND, ACCENT, 0.45), INK, 0.66), 0.25),
    _tint(mix(mix(SAND, ACCENT, 0.25), INK, 0.30), 0.20),
    _tint(mix(INK, PAPER, 0.62), 0.15),
)
SHIRT = _tint(mix(COURT, PAPER, 0.26), 0.24)
SHORTS = _tint(mix(INK, PAPER, 0.17), 0.45)
SHOE = Tint(light=PAPER, shade=mix(SAND, INK, 0.16))
LINER = _tint(SAND, 0.13)
TYRE = _tint(mix(INK, PAPER, 0.08))
FRAME = _tint(mix(INK, PAPER, 0.52), 0.30)
STEEL = _tint(mix(INK, PAPER, 0.70))
SEAT = _tint(mix(INK, PAPER, 0.12), 0.45)
POST = _tint(mix(INK, PAPER, 0.40), 0.25)
BALL = _tint(mix(SAND, PAPER, 0.30), 0.14)
SLEEVE = _tint(mix(PAPER, INK, 0.16), 0.14)
CONE = _tint(mix(COURT, PAPER, 0.40), 0.24)
FLOOR = mix(PAPER, SAND, 0.75)
GHOST = mix(PAPER, INK, 0.09)
GHOST_LINE = mix(PAPER, INK, 0.48)
GHOST_BAND = mix(PAPER, ACCENT, 0.42)
SPOKE = mix(INK, PAPER, 0.55)
COURT_PALE = mix(PAPER, COURT, 0.14)


def every_colour() -> frozenset[str]:
    """Return every colour a drawing may contain: the five and the tints above, and their greys."""
    found = {PAPER, INK, ACCENT, COURT, SAND, FLOOR, GHOST, GHOST_LINE, GHOST_BAND, SPOKE, COURT_PALE}
    tints = (*SKIN, *HAIR, SHIRT, SHORTS, SHOE, LINER, TYRE, FRAME, STEEL, SEAT, POST, BALL, SLEEVE, CONE)
    found |= {colour for tint in tints for colour in (tint.light, tint.shade)}
    return frozenset(found | {grey(colour) for colour in found})


@dataclass(frozen=True, kw_only=True)
class Weights:
    """Line weights on paper [mm]."""

    outline: float = 0.26
    inner: float = 0.17
    spoke: float = 0.13
    band: float = 1.0
    casing: float = 0.36
    path: float = 0.5
    dimension: float = 0.18


WEIGHTS = Weights()


@dataclass(frozen=True, kw_only=True)
class Look:
    """How the person is drawn; never derived from anything said about health.

    Parameters
    ----------
    skin : int
        0 to 3, light to dark.
    hair : int
        0 to 3: black, brown, fair, grey.
    hair_style : str
        "short", "cropped" or "tied".
    build : str
        "female", "male" or "between": width of shoulders, waist and hips.
    """

    skin: SkinTone = 0
    hair: Literal[0, 1, 2, 3] = 0
    hair_style: Literal["short", "cropped", "tied"] = "short"
    build: Literal["female", "male", "between"] = "between"
    weights: Weights = field(default=WEIGHTS)


def look_for(name: str, *, sex: Literal["female", "male"] | None = None) -> Look:
    """Return a look that stays the same for one name: skin and hair from its letters, build from `sex`.

    Examples
    --------
    >>> look_for("Ilse Varga", sex="female") == look_for("Ilse Varga", sex="female")
    True
    """
    import zlib

    number = zlib.crc32(name.encode())
    skin: tuple[SkinTone, ...] = (0, 1, 2, 3)
    tone = skin[number % 4]
    # Fair and brown hair with the two lighter skins only: more than that is noise at this size.
    hairs: tuple[Literal[0, 1, 2, 3], ...] = (1, 2, 0, 3) if tone < 2 else (0, 0, 0, 3)
    styles: tuple[Literal["short", "cropped", "tied"], ...] = (
        ("tied", "short", "tied") if sex == "female" else ("short", "cropped", "short")
    )
    return Look(
        skin=tone,
        hair=hairs[number // 4 % 4],
        hair_style=styles[number // 16 % 3],
        build=sex or "between",
    )
