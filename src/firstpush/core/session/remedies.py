"""When what is asked by hand collides: each smallest change as something that can be done, not only read."""

from __future__ import annotations

import math
from dataclasses import dataclass, field, replace

from firstpush.core.people.athlete import Side
from firstpush.core.session.asked import Asked
from firstpush.core.session.collide import CollidingWish, Collision


@dataclass(frozen=True, kw_only=True)
class Remedy:
    """One smallest change that lets the other wishes stand.

    Parameters
    ----------
    words : str
        As the collision says it, for example "give 1:40 more".
    is_enough : bool
        Whether everything asked fits with it.
    minutes : float
        The time asked with it, in whole minutes where it is changed [min].
    asked : Asked
        What is asked with it.
    sides : dict of exercise id to tuple of str
        Sides done with it, for the exercise that gives one up.
    """

    words: str
    is_enough: bool
    minutes: float
    asked: Asked
    sides: dict[str, tuple[Side, ...]] = field(default_factory=dict)


def remedies(collision: Collision, *, minutes: float, asked: Asked) -> tuple[Remedy, ...]:
    """Return the smallest changes of a collision, one for each wish that collides.

    Parameters
    ----------
    collision : Collision
    minutes : float
        The time asked [min].
    asked : Asked
        What was asked.
    """
    return tuple(
        _remedy(wish, Remedy(words=wish.change, is_enough=wish.is_enough, minutes=minutes, asked=asked))
        for wish in collision.wishes
    )


def _remedy(wish: CollidingWish, as_it_is: Remedy) -> Remedy:
    about, asked = wish.wish.about, as_it_is.asked
    match wish.wish.kind:
        case "minutes":
            return replace(as_it_is, minutes=float(math.ceil((math.floor(60 * as_it_is.minutes) + wish.more_s) / 60)))
        case "aim":
            rest = tuple(aim for aim in asked.aims if aim != about)
            return replace(as_it_is, asked=replace(asked, aims=rest))
        case "without":
            rest = tuple(id_ for id_ in asked.without if id_ != about)
            return replace(as_it_is, asked=replace(asked, without=rest))
        case _:
            return _less_of(wish, as_it_is)


def _less_of(wish: CollidingWish, as_it_is: Remedy) -> Remedy:
    """Return the remedy that does less of one exercise: another dose, one side only, or leaving it out."""
    about, asked = wish.wish.about, as_it_is.asked
    if wish.sides:
        return replace(as_it_is, sides={about: wish.sides})
    others = tuple((id_, name) for id_, name in asked.doses if id_ != about)
    if wish.dose:
        return replace(as_it_is, asked=replace(asked, doses=(*others, (about, wish.dose))))
    keep = tuple(id_ for id_ in asked.keep if id_ != about)
    return replace(as_it_is, asked=replace(asked, keep=keep, doses=others))
