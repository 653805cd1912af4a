"""When what is asked by hand collides: each smallest change as something that can be done, not only read."""

from __future__ import annotations

import math
import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace

from firstpush.core.notices import worst
from firstpush.core.people.athlete import SIDES, Side
from firstpush.core.session.asked import Asked
from firstpush.core.session.candidate import Candidate
from firstpush.core.session.collide import CollidingWish, Collision
from firstpush.core.session.compose import LARGEST_MINUTES
from firstpush.core.session.kinds import KindName, kind_named, with_sets
from firstpush.core.session.model import Budget, SessionModel
from firstpush.core.session.timeline import clock, timeline

_BUDGET = 2.0
"""Deterministic seconds of CP-SAT for the shortest session that does everything asked."""
_MORE_TIME = re.compile(r"give (\d+):(\d\d) more")


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
    known = {each.id: each for each in candidates}
    found = []
    for wish in collision.wishes:
        if wish.wish.kind == "minutes":
            found.append(_more_time(wish, minutes, asked, _shortest(asked, candidates, kind)))
        else:
            found.append(_remedy(wish, minutes, asked, known))
    return tuple(found)


def _shortest(asked: Asked, candidates: Sequence[Candidate], kind: KindName) -> int | None:
    """Return how long the shortest session takes that does everything asked [s]; None where there is none."""
    safe = [each for each in candidates if worst(each.notices) != "stop"]
    model = SessionModel(safe, limit_s=60 * LARGEST_MINUTES, kind=kind_named(kind), asked=asked)
    items = model.shortest_session(budget=Budget(left=_BUDGET))
    return None if items is None else timeline(items).total_s


def _more_time(wish: CollidingWish, minutes: float, asked: Asked, shortest: int | None) -> Remedy:
    more = _MORE_TIME.fullmatch(wish.change)
    assert more is not None, "the change of the minutes says how much more"
    there_s = math.floor(60 * minutes)
    alone = there_s + 60 * int(more[1]) + int(more[2])
    needed = max(alone, shortest or 0)
    words = wish.change if needed == alone else f"give {clock(needed - there_s)} more, for all that is asked"
    return Remedy(words=words, minutes=float(math.ceil(needed / 60)), asked=asked)


def _remedy(wish: CollidingWish, minutes: float, asked: Asked, known: dict[str, Candidate]) -> Remedy:
    about = wish.wish.about
    match wish.wish.kind:
        case "aim":
            rest = tuple(aim for aim in asked.aims if aim != about)
            return Remedy(words=wish.change, minutes=minutes, asked=replace(asked, aims=rest))
        case "without":
            rest = tuple(id_ for id_ in asked.without if id_ != about)
            return Remedy(words=wish.change, minutes=minutes, asked=replace(asked, without=rest))
        case _:
            return _less_of(wish, minutes, asked, known.get(about))


def _less_of(wish: CollidingWish, minutes: float, asked: Asked, candidate: Candidate | None) -> Remedy:
    """Return the remedy that does less of one exercise: another dose, one side only, or leaving it out."""
    about = wish.wish.about
    others = tuple((id_, name) for id_, name in asked.doses if id_ != about)
    if candidate is not None:
        title = candidate.exercise.title
        for name in _doses(candidate):
            if wish.change == f"do {title} in {name}":
                return Remedy(words=wish.change, minutes=minutes, asked=replace(asked, doses=(*others, (about, name))))
        for side in SIDES:
            if wish.change == f"do {title} on the {side} side only":
                return Remedy(words=wish.change, minutes=minutes, asked=asked, sides={about: (side,)})
    keep = tuple(id_ for id_ in asked.keep if id_ != about)
    return Remedy(words=wish.change, minutes=minutes, asked=replace(asked, keep=keep, doses=others))


def _doses(candidate: Candidate) -> Iterator[str]:
    for dose in candidate.exercise.doses:
        yield dose.name
        for sets in range(1, dose.sets):
            yield with_sets(dose, sets).name
