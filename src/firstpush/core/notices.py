"""What the tool must tell the practitioner: notices with an id, a level, what, and what to do."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from typing import Literal

Level = Literal["note", "caution", "stop"]
LEVELS: tuple[Level, ...] = ("note", "caution", "stop")
FOR_THE_PRACTITIONER = frozenset(
    {
        "conditions-unknown",
        "exercise-ask-first",
        "floor-unknown",
        "front-outweighs-back",
        "function-unknown",
        "grip-unknown",
        "harder-step-kept",
        "helper-unknown",
        "outside-measured-range",
        "pain-familiar-unknown",
        "pain-now-unknown",
        "pain-unknown",
        "set-up-by-hand-let-go",
        "set-up-without-newtons",
        "spasticity-unknown",
        "spinal-level-unknown",
        "support-added",
        "trunk-control-unknown",
    }
)
"""What asks the practitioner to find something out, to write it down or to plan otherwise: none of it helps an athlete
with a sheet in the hand."""
FUNCTION_UNKNOWN = "function-unknown"
NOT_LOOKED_AT = (FUNCTION_UNKNOWN, "grip-unknown", "trunk-control-unknown")
"""Function that nobody has looked at: all of it is looked at in one go, so it is told in one caution."""
SUPPORT_ADDED = "support-added"
USUALLY_FULL = "usually full"
"""What function that nobody has looked at usually is, by the level of an injury: the first of a pair in `parts`."""

FIND_OUT_FIRST = "Find out first; if there is none: "
"""How what to do begins where it depends on what nobody has looked at."""


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
    subject : str
        What is not known, or was added, in few words: "left grip", "chest strap".  Only where that is told together.
    short : str
        With it: how it is looked at, after "let the athlete", or why it was added, as a clause.
    parts : tuple of (str, str)
        With it: what depends on the answer, as ("left out with", "heart condition"), or what it usually is, as
        ("usually full", "T6").
    """

    id: str
    level: Level
    what: str
    do: str
    about: str = ""
    subject: str = field(default="", compare=False)
    short: str = field(default="", compare=False)
    parts: tuple[tuple[str, str], ...] = field(default=(), compare=False)

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


def for_athlete(notices: Iterable[Notice]) -> tuple[Notice, ...]:
    """Return what the athlete reads too: cautions and stops that are not for the practitioner alone."""
    return tuple(each for each in notices if each.level != "note" and each.id not in FOR_THE_PRACTITIONER)


def for_court(notices: Iterable[Notice]) -> tuple[Notice, ...]:
    """Return what is read beside an exercise while it is done: the athlete's, what to look at first, what was added."""
    return tuple(
        each
        for each in notices
        if each.level != "note" and (each.id not in FOR_THE_PRACTITIONER or each.id in (*NOT_LOOKED_AT, SUPPORT_ADDED))
    )


def in_one_line(what: str, do: str) -> str:
    """Return a caution that begins with finding out as it is read in one line; empty for any other.

    Parameters
    ----------
    what, do : str
        Of the notice: what is not known stands before the first colon.

    Examples
    --------
    >>> in_one_line("trunk control not known: nothing brings it back", f"{FIND_OUT_FIRST}other hand on the frame")
    'Trunk control not known: other hand on the frame'
    """
    if not do.startswith(FIND_OUT_FIRST):
        return ""
    about, _, _ = what.partition(": ")
    return f"{about[:1].upper()}{about[1:]}: {do.removeprefix(FIND_OUT_FIRST)}"


_MIRROR = re.compile(r"\b(left|right)\b")
_BOTH = " (both sides)"


def sides_together(notices: Iterable[Notice]) -> tuple[Notice, ...]:
    """Return `notices` with what is told of the left and of the right alike told once, of both sides.

    Examples
    --------
    >>> left = Notice(id="grip-unknown", level="caution", what="left grip is not known", do="Ask")
    >>> right = Notice(id="grip-unknown", level="caution", what="right grip is not known", do="Ask")
    >>> [each.what for each in sides_together([left, right])]
    ['grip is not known (both sides)']
    """
    given = tuple(dict.fromkeys(notices))
    found = [
        replace(notice, what=_of_both(notice.what))
        if _mirrored(notice) != notice and _mirrored(notice) in given
        else notice
        for notice in given
    ]
    return tuple(dict.fromkeys(found))


def _mirrored(notice: Notice) -> Notice:
    """Return `notice` as it would be told of the other side."""
    return replace(notice, what=_MIRROR.sub(lambda found: {"left": "right", "right": "left"}[found[0]], notice.what))


def _of_both(what: str) -> str:
    said = what.replace("to the left", "to the side").replace("to the right", "to the side")
    said = re.sub(r"^(left|right) ", "", said)
    return f"{_MIRROR.sub('either', said)}{_BOTH}"
