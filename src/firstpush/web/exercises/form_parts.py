"""What the form of an exercise is made of: fields, groups and sections."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import Any, Literal

from firstpush.core.tables import read_table

Takes = Literal["text", "long", "lines", "number", "choice", "many", "yes", "not no"]
"""lines: one entry a line; yes: a box that is empty by default; not no: a box that is ticked by default."""
Document = dict[str, Any]


@dataclass(frozen=True, kw_only=True)
class Field:
    """One field: `key` is the dotted key of the file; a key with a colon chooses a form of what stands before it."""

    key: str
    label: str
    takes: Takes = "number"
    unit: str = ""
    choices: tuple[str, ...] = ()
    may_be_empty: bool = True
    help: str = ""
    slider: tuple[float, float, float] | None = None
    """Lowest, highest and step."""
    redraws: bool = False
    """Whether other fields are asked for after a change."""


@dataclass(frozen=True, kw_only=True)
class Group:
    """Fields that stand together; `rows` and `index` when it is one of several that can be taken away."""

    title: str = ""
    fields: tuple[Field, ...]
    rows: str = ""
    index: int = 0


@dataclass(frozen=True, kw_only=True)
class Section:
    """A part of the form; `rows` when groups can be added."""

    id: str
    title: str
    groups: tuple[Group, ...]
    rows: str = ""
    add: str = ""
    help: str = ""


@cache
def slider_of(joint: str) -> tuple[float, float, float]:
    """Return the slider of a joint angle [degrees]: as far as the checks allow the joint to go."""
    limits = read_table("joint_limits")
    return limits.number(joint, "lowest_deg"), limits.number(joint, "highest_deg"), 1.0
