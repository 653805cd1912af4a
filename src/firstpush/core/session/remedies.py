"""When what is asked by hand collides: each smallest change as something that can be done, not only read."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field, replace

from firstpush.core.notices import worst
from firstpush.core.people.athlete import Side
from firstpush.core.session.asked import Asked
from firstpush.core.session.candidate import Candidate
from firstpush.core.session.collide import CollidingWish, Collision
from firstpush.core.session.compose import LARGEST_MINUTES
from firstpush.core.session.kinds import KindName, kind_named
from firstpush.core.session.model import Budget, SessionModel
from firstpush.core.session.timeline import clock, timeline

_BUDGET = 2.0
"""Deterministic seconds of CP-SAT for the shortest session that does everything asked."""


@dataclass(frozen=True, kw_only=True)
class Remedy:
    """One smallest change that lets the other wishes stand.

    Parameters
    ----------
    words : str
        As the collision says it, for example "give 1:40 more".
    minutes : float
        The time asked with it, in whole minutes where it is changed [min].
    asked : Asked
        What is asked with it.
    sides : dict of exercise id to tuple of str
        Sides done with it, for the exercise that gives one up.
    """

    words: str
    minutes: float
    asked: Asked
    sides: dict[str, tuple[Side, ...]] = field(default_factory=dict)


def remedies(
    collision: Collision, *, minutes: float, kind: KindName, asked: Asked, candidates: Sequence[Candidate]
) -> tuple[Remedy, ...]:
    """Return the smallest changes of a collision, one for each wish that collides.

    More minutes are given for everything that is asked, not only for what collides first.

    Parameters
    ----------
    collision : Collision
    minutes : float
        The time asked [min].
    kind : str
    asked : Asked
        What was asked.
    candidates : sequence of Candidate
        What the session was to be made of.
    """
    found = []
    for wish in collision.wishes:
        if wish.wish.kind == "minutes":
            found.append(_more_time(wish, minutes, asked, _shortest(asked, candidates, kind)))
        else:
            found.append(_remedy(wish, minutes, asked))
    return tuple(found)


def _shortest(asked: Asked, candidates: Sequence[Candidate], kind: KindName) -> int | None:
    """Return how long the shortest session takes that does everything asked [s]; None where there is none."""
    safe = [each for each in candidates if worst(each.notices) != "stop"]
    model = SessionModel(safe, limit_s=60 * LARGEST_MINUTES, kind=kind_named(kind), asked=asked)
    items = model.shortest_session(budget=Budget(left=_BUDGET))
    return None if items is None else timeline(items).total_s


def _more_time(wish: CollidingWish, minutes: float, asked: Asked, shortest: int | None) -> Remedy:
    there_s = math.floor(60 * minutes)
    alone = there_s + wish.more_s
    needed = max(alone, shortest or 0)
    words = wish.change if needed == alone else f"give {clock(needed - there_s)} more, for all that is asked"
    return Remedy(words=words, minutes=float(math.ceil(needed / 60)), asked=asked)


def _remedy(wish: CollidingWish, minutes: float, asked: Asked) -> Remedy:
    about = wish.wish.about
    match wish.wish.kind:
        case "aim":
            rest = tuple(aim for aim in asked.aims if aim != about)
            return Remedy(words=wish.change, minutes=minutes, asked=replace(asked, aims=rest))
        case "without":
            rest = tuple(id_ for id_ in asked.without if id_ != about)
            return Remedy(words=wish.change, minutes=minutes, asked=replace(asked, without=rest))
        case _:
            return _less_of(wish, minutes, asked)


def _less_of(wish: CollidingWish, minutes: float, asked: Asked) -> Remedy:
    """Return the remedy that does less of one exercise: another dose, one side only, or leaving it out."""
    about = wish.wish.about
    if wish.sides:
        return Remedy(words=wish.change, minutes=minutes, asked=asked, sides={about: wish.sides})
    others = tuple((id_, name) for id_, name in asked.doses if id_ != about)
    if wish.dose:
        return Remedy(words=wish.change, minutes=minutes, asked=replace(asked, doses=(*others, (about, wish.dose))))
    keep = tuple(id_ for id_ in asked.keep if id_ != about)
    return Remedy(words=wish.change, minutes=minutes, asked=replace(asked, keep=keep, doses=others))
