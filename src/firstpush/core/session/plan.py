"""The whole way from an athlete on a day to a session: needs, set-ups, choice, and ranges of what was chosen."""

from __future__ import annotations

import math
from collections.abc import Callable, Collection, Iterable
from dataclasses import dataclass, replace

from firstpush.core.exercises.definition import PARTS, Exercise, Part
from firstpush.core.measured import Measured
from firstpush.core.notices import Notice
from firstpush.core.people.athlete import SIDES, Athlete, Side
from firstpush.core.people.health import hurts_too_much, sides_should_be_even, stops_arm
from firstpush.core.session.asked import Asked
from firstpush.core.session.compose import compose
from firstpush.core.session.doses_by_hand import with_doses_asked
from firstpush.core.session.kinds import KindName
from firstpush.core.session.needs import aim_needs
from firstpush.core.session.prepare import Prepared, prepare, ranged
from firstpush.core.session.session import Session
from firstpush.core.setup.circumstances import Circumstances

STAGES = ("setting up", "choosing", "ranges")
"""What is being done, in this order; told while it takes its time."""
ALONE_AT_MOST = Measured(
    name="sets of an arm while the other rests, over those that it has in the session of both arms, at most",
    value=1.0,
    unit="1",
    spread=0.0,
    source="what the resting arm does not do is not handed over to the other: it pushes and lifts for both already",
    known="our choice",
)


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
    set_by_hand: Collection[str] = (),
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
    set_by_hand : collection of str, optional
        Ids of exercises whose set-up is laid by hand: they are offered like what is asked for.
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
        careful=asked.careful or any(hurts_too_much(case.athlete, side) for side in SIDES),
    )
    exercises = tuple(exercises)
    told("setting up")
    done_before = asked.familiar or frozenset()
    keep = {*asked.wanted, *set_by_hand}
    prepared = laid(prepare(case, exercises, kind=kind, keep=keep, done_before=done_before))
    prepared = with_doses_asked(prepared, dict(asked.doses))
    asked, let_go = _possible_doses(asked, prepared)
    told("choosing")
    alone = _works_alone(case.athlete)
    if alone is not None:
        well = replace(case, athlete=_without_stops(case.athlete))
        both = prepare(well, exercises, kind=kind, keep=keep, done_before=done_before)
        usual = compose(both.candidates, minutes=minutes, seed=seed, kind=kind, asked=_only(asked, both))
        asked = replace(asked, most_sets=_most_sets(alone, usual))
    session = compose(
        prepared.candidates, minutes=minutes, seed=seed, kind=kind, asked=asked, left_out=prepared.left_out
    )
    session = arranged(replace(session, notices=(*session.notices, *let_go)))
    told("ranges")
    prepared = ranged(prepared, (item.candidate.id for item in session.items), seed=seed)
    return Planned(prepared=prepared, session=session, asked=asked)


def _works_alone(athlete: Athlete) -> Side | None:
    """Return the arm that works while pain stops the other; None where it stops none, or both."""
    stopped = {side for side in SIDES if any(stops_arm(pain, side) for pain in athlete.health.pain or ())}
    return next(side for side in SIDES if side not in stopped) if len(stopped) == 1 else None


def _without_stops(athlete: Athlete) -> Athlete:
    """Return the athlete without the pains that stop an arm: the session of both arms is counted with it."""
    pains = tuple(pain for pain in athlete.health.pain or () if not any(stops_arm(pain, side) for side in SIDES))
    return replace(athlete, health=replace(athlete.health, pain=pains))


def _only(asked: Asked, prepared: Prepared) -> Asked:
    """Return what is asked, without what `prepared` does not offer: it is only counted in."""
    doses = {each.id: {dose.name for dose in each.exercise.doses} for each in prepared.candidates}
    known = {*doses, *(each.exercise.id for each in prepared.left_out)}
    return replace(
        asked,
        keep=tuple(id_ for id_ in asked.keep if id_ in doses),
        doses=tuple((id_, name) for id_, name in asked.doses if name in doses.get(id_, ())),
        without=tuple(id_ for id_ in asked.without if id_ in known),
    )


def _most_sets(arm: Side, usual: Session) -> tuple[tuple[Side, Part, int], ...]:
    """Return how many sets `arm` gets in each part at most, by the session of both arms; no limit where it has none."""
    sets = dict.fromkeys(PARTS, 0)
    for item in usual.items:
        sets[item.candidate.exercise.part] += item.dose.sets if arm in item.sides else 0
    if not any(sets.values()):
        return ()
    return tuple((arm, part, math.floor(ALONE_AT_MOST.value * count)) for part, count in sets.items())


def _possible_doses(asked: Asked, prepared: Prepared) -> tuple[Asked, tuple[Notice, ...]]:
    """Return what is asked with the doses let go that a caution of today takes away, each with a notice."""
    found, let_go = [], []
    for id_, name in asked.doses:
        candidate = next((each for each in prepared.candidates if each.id == id_), None)
        doses = () if candidate is None else candidate.exercise.doses
        # Any other dose that is not known is a slip of who asks, and is told as one.
        if doses and all(dose.only_with_care for dose in doses) and name not in {dose.name for dose in doses}:
            let_go.append(
                Notice(
                    id="dose-by-hand-let-go",
                    level="caution",
                    what=f"the dose by hand ({name}) is not for this athlete today: the caution beside it says why",
                    do=f"Do it as {' or '.join(dose.name for dose in doses)}, or leave it out",
                    about=candidate.exercise.title if candidate is not None else "",
                )
            )
        else:
            found.append((id_, name))
    gone = tuple(id_ for id_, name in asked.doses if (id_, name) not in found and id_ not in asked.keep)
    return replace(asked, doses=tuple(found), keep=(*asked.keep, *gone)), tuple(let_go)
