"""What the tool must tell the practitioner: notices with an id, a level, what, and what to do."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
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
        "spinal-level-unknown",
        "support-added",
        "trunk-control-unknown",
    }
)
"""What asks the practitioner to find something out, to write it down or to plan otherwise: none of it helps an athlete
with a sheet in the hand."""


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


def for_athlete(notices: Iterable[Notice]) -> tuple[Notice, ...]:
    """Return what the athlete reads too: cautions and stops that are not for the practitioner alone."""
    return tuple(each for each in notices if each.level != "note" and each.id not in FOR_THE_PRACTITIONER)


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


@dataclass(frozen=True, kw_only=True)
class ToldOnce:
    """What is told of a whole session, and what stays with each of its exercises."""

    whole: tuple[Notice, ...]
    each: tuple[tuple[Notice, ...], ...]


def told_once(exercises: Sequence[tuple[str, Iterable[Notice]]]) -> ToldOnce:
    """Return the notices of a session's exercises with what is alike in several of them told once, for all of those.

    Parameters
    ----------
    exercises : sequence of (title, iterable of Notice)
        Those of each exercise, in the order of the session.

    Returns
    -------
    ToldOnce
        What several exercises share names them by their numbers in `about`, unless all of them share it, or it is
        about a thing of its own such as a band.  A stop stays with its exercise.
    """
    mine = [tuple(_without_title(each, title) for each in notices) for title, notices in exercises]
    where: dict[Notice, list[int]] = {}
    for number, notices in enumerate(mine, start=1):
        for notice in dict.fromkeys(notices):
            where.setdefault(notice, []).append(number)
    shared = {notice: tuple(at) for notice, at in where.items() if len(at) > 1 and notice.level != "stop"}
    whole = [
        told
        for at in dict.fromkeys(shared.values())
        for told in sides_together(_of_several(notice, at, len(mine)) for notice in shared if shared[notice] == at)
    ]
    rest = (sides_together(notice for notice in notices if notice not in shared) for notices in mine)
    return ToldOnce(
        whole=tuple(without_repeats(whole)), each=tuple(tuple(without_repeats(list(each))) for each in rest)
    )


def _without_title(notice: Notice, title: str) -> Notice:
    """Return `notice` without the name of its exercise, which stands above it; a variant has a longer title."""
    of_exercise = title.startswith(notice.about) or notice.about.startswith(title)
    return replace(notice, about="") if of_exercise else notice


def _of_several(notice: Notice, at: Sequence[int], all_: int) -> Notice:
    if notice.about or len(at) == all_:
        return notice
    return replace(notice, about=f"exercises {', '.join(map(str, at[:-1]))} and {at[-1]}")
