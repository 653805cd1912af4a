"""What the tool must tell the practitioner: notices with an id, a level, what, and what to do."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Level = Literal["note", "caution", "stop"]
LEVELS: tuple[Level, ...] = ("note", "caution", "stop")


@dataclass(frozen=True, kw_only=True, order=True)
class Notice:
    """One thing the practitioner must know.

    Parameters
    ----------
    id : str
        Stable name, for example ``trunk-does-not-hold``; every id stands in docs/reference/notices.md.
    level : str
        "note" (good to know), "caution" (do it with care), "stop" (do not do it).
    what : str
        What is the matter, in one sentence without a full stop.
    do : str
        What to do about it, in one sentence without a full stop.
    about : str
        The exercise, band or person it is about; empty for the whole session.
    """

    id: str
    level: Level
    what: str
    do: str
    about: str = ""

    def __str__(self) -> str:
        where = f"{self.about}: " if self.about else ""
        return f"[{self.level}] {where}{self.what}. {self.do}. ({self.id})"


def worst(notices: tuple[Notice, ...] | list[Notice]) -> Level | None:
    """Return the gravest level among `notices`, or None when there are none."""
    return max((n.level for n in notices), key=LEVELS.index, default=None)


def without_repeats(notices: list[Notice]) -> list[Notice]:
    """Return `notices` gravest first, each once, otherwise in the order given."""
    unique = list(dict.fromkeys(notices))
    return sorted(unique, key=lambda n: -LEVELS.index(n.level))
