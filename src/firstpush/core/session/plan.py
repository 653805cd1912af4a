"""The whole way from an athlete on a day to a session: needs, set-ups, choice, and ranges of what was chosen."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace

from firstpush.core.exercises.definition import Exercise
from firstpush.core.people.health import sides_should_be_even
from firstpush.core.session.asked import Asked
from firstpush.core.session.compose import compose
from firstpush.core.session.kinds import KindName
from firstpush.core.session.needs import aim_needs
from firstpush.core.session.prepare import Prepared, prepare, ranged
from firstpush.core.session.session import Session
from firstpush.core.setup.circumstances import Circumstances

STAGES = ("setting up", "choosing", "ranges")
"""What is being done, in this order; told while it takes its time."""


@dataclass(frozen=True, kw_only=True)
class Planned:
    """A session with the set-ups it was chosen from, and what was asked with the athlete's own needs in it."""

    prepared: Prepared
    session: Session
    asked: Asked


def plan_session(
    case: Circumstances,
    exercises: Iterable[Exercise],
    *,
    minutes: float,
    kind: KindName = "before training",
    asked: Asked | None = None,
    seed: int = 0,
    laid: Callable[[Prepared], Prepared] = lambda prepared: prepared,
    arranged: Callable[[Session], Session] = lambda session: session,
    told: Callable[[str], None] = lambda _: None,
) -> Planned:
    """Return the session of one athlete on one day.

    Parameters
    ----------
    case : Circumstances
        Athlete, kit and venue, with the day.
    exercises : iterable of Exercise
    minutes : float
        [min]
    kind : str
        Kind of session.
    asked : Asked, optional
        What is asked by hand, and what went before; day and needs are taken from `case`.
    seed : int
        Same input and seed, same session.
    laid, arranged : callable, optional
        What is done by hand to the set-ups before the choice, and to the order after it; see `by_hand`.
    told : callable, optional
        Told each of `STAGES` when it begins.

    Raises
    ------
    OutOfRangeError, UnknownNameError
        As `compose` does.
    """
    asked = asked if asked is not None else Asked()
    asked = replace(
        asked,
        on=case.on,
        needs=aim_needs(case.athlete, junior=case.junior),
        even_sides=asked.even_sides and sides_should_be_even(case.athlete),
    )
    told("setting up")
    done_before = asked.familiar or frozenset()
    prepared = laid(prepare(case, exercises, kind=kind, keep=asked.wanted, done_before=done_before))
    told("choosing")
    session = compose(
        prepared.candidates, minutes=minutes, seed=seed, kind=kind, asked=asked, left_out=prepared.left_out
    )
    session = arranged(session)
    told("ranges")
    prepared = ranged(prepared, (item.candidate.id for item in session.items), seed=seed)
    return Planned(prepared=prepared, session=session, asked=asked)
