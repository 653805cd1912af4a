"""A session that is changed by hand: order inside a part, sides done, set-ups laid by hand; and what each would cost.

What is asked of the choice itself (keep, without, doses, aims) stands in `Asked`; what is done to exercises and to
their order stands in `ByHand`.  Both together make a session again, with as little else changed as possible.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace

from firstpush.core.exercises.definition import Exercise
from firstpush.core.notices import Notice, worst
from firstpush.core.people.athlete import Side
from firstpush.core.session.agreed import Agreed, agreed_loads
from firstpush.core.session.as_agreed import as_agreed
from firstpush.core.session.asked import Asked
from firstpush.core.session.candidate import Candidate, Chosen
from firstpush.core.session.changes import change
from firstpush.core.session.kinds import KindName
from firstpush.core.session.order import canonical
from firstpush.core.session.plan import Planned, plan_session
from firstpush.core.session.prepare import Prepared, case_of_kind, relaid
from firstpush.core.session.session import Session
from firstpush.core.session.timeline import clock, timeline
from firstpush.core.session.timing import Timing
from firstpush.core.session.wishes import place_in_order
from firstpush.core.setup.by_hand import SetupByHand, setup_by_hand
from firstpush.core.setup.circumstances import Circumstances

WARMED_UP: tuple[KindName, ...] = ("before training", "before a match")
"""Kinds of session that other work follows at once: what warms up goes last when something has to make room."""
WARM_UP = "warm-up"
"""The aim of what warms up."""


@dataclass(frozen=True, kw_only=True)
class ByHand:
    """What is done by hand to exercises and their order.

    Parameters
    ----------
    order : tuple of str
        Ids in the order wanted; only their order inside one place of a part counts, and only of those named.
    sides : dict of exercise id to tuple of str
        Sides done, the one that begins first; for exercises that are done on one side after the other.
    setups : dict of (exercise id, side) to SetupByHand
        An exercise of both arms together stands under the side that its set-up was made for.
    """

    order: tuple[str, ...] = ()
    sides: Mapping[str, tuple[Side, ...]] = field(default_factory=dict)
    setups: Mapping[tuple[str, Side], SetupByHand] = field(default_factory=dict)


def plan_by_hand(
    case: Circumstances,
    exercises: Iterable[Exercise],
    *,
    minutes: float,
    kind: KindName = "before training",
    asked: Asked | None = None,
    by_hand: ByHand | None = None,
    agreed: Iterable[Agreed] = (),
    seed: int = 0,
    told: Callable[[str], None] = lambda _: None,
) -> Planned:
    """Return the session of one athlete on one day, with what is set by hand; as `plan_session` without it.

    Parameters
    ----------
    case : Circumstances
    exercises : iterable of Exercise
    minutes : float
        [min]
    kind : str
    asked : Asked, optional
    by_hand : ByHand, optional
        What cannot be done any more (a band that is gone, an order that takes too long) is let go, with a notice.
    agreed : iterable of Agreed
        How exercises are done from now on; what is asked by hand goes before it.
    seed : int
        Same input and seed, same session.
    told : callable, optional
        Told each of `STAGES` when it begins.

    Raises
    ------
    OutOfRangeError, UnknownNameError
        As `compose` does.
    """
    asked = asked if asked is not None else Asked()
    by_hand = by_hand if by_hand is not None else ByHand()
    now = {each.exercise: each for each in agreed}
    exercises = tuple(now[each.id].as_done(each) if each.id in now else each for each in exercises)
    case = replace(case, agreed=agreed_loads(now.values()))

    def laid(prepared: Prepared) -> Prepared:
        named = {each.id: each for each in exercises}
        prepared = as_agreed(prepared, case, named, now, kind=kind, asked=asked, seed=seed)
        prepared = _with_setups(prepared, named, case_of_kind(case, kind), by_hand, seed)
        return _with_sides(prepared, by_hand.sides)

    def planned(asked: Asked) -> Planned:
        return plan_session(
            case,
            exercises,
            minutes=minutes,
            kind=kind,
            asked=asked,
            seed=seed,
            laid=laid,
            arranged=lambda session: _in_hand_order(session, by_hand.order),
            set_by_hand={id_ for id_, _ in by_hand.setups},
            told=told,
        )

    found = planned(asked)
    lost = _warm_ups_lost(found, asked) if kind in WARMED_UP else ()
    if not lost:
        return found
    warmed = planned(replace(asked, keep=(*asked.keep, *lost)))
    return _warm_ups_kept(warmed, lost, asked=found.asked) if warmed.session.items else found


def _warm_ups_lost(found: Planned, asked: Asked) -> tuple[str, ...]:
    """Return what warmed up in the plan before and could still, where nothing does now and nobody asked for that."""
    warming = {each.id for each in found.prepared.candidates if WARM_UP in each.exercise.aims}
    if not found.session.items or any(item.candidate.id in warming for item in found.session.items):
        return ()
    stopped = {each.id for each in found.prepared.candidates if worst(each.notices) == "stop"}
    return tuple(id_ for id_, _ in asked.earlier if id_ in warming - stopped - set(asked.without))


def _warm_ups_kept(planned: Planned, kept: Sequence[str], *, asked: Asked) -> Planned:
    """Return `planned` as asked: what was held to for warming up was asked by nobody, and its reason says so."""
    items = tuple(
        replace(item, reason="it warms up, and goes last when something has to make room")
        if item.candidate.id in kept
        else item
        for item in planned.session.items
    )
    return replace(planned, asked=asked, session=replace(planned.session, items=items))


def _with_setups(
    prepared: Prepared, exercises: Mapping[str, Exercise], case: Circumstances, by_hand: ByHand, seed: int
) -> Prepared:
    """Return `prepared` with the set-ups laid by hand in place of those found."""
    setups = dict(prepared.setups)
    candidates = []
    for candidate in prepared.candidates:
        mine = {side: setup for (id_, side), setup in prepared.setups.items() if id_ == candidate.id}
        done, said = dict(mine), []
        for side, found in mine.items():
            wanted = by_hand.setups.get((candidate.id, side))
            if wanted is None:
                continue
            answer = setup_by_hand(exercises[candidate.id], case, wanted, like=found, seed=seed)
            if answer.setup is not None:
                done[side] = answer.setup
            else:
                said.append(_let_go(candidate, side, answer.refused))
        if said or any(done[side] is not mine[side] for side in mine):
            candidate = relaid(candidate, found=mine, done=done, said=said)
            setups.update({(candidate.id, side): setup for side, setup in done.items()})
        candidates.append(candidate)
    return replace(prepared, setups=setups, candidates=tuple(candidates))


def _let_go(candidate: Candidate, side: Side, refused: Sequence[str]) -> Notice:
    return Notice(
        id="set-up-by-hand-let-go",
        level="caution",
        what=f"the set-up by hand of the {side} side cannot be done any more: {'; '.join(refused)}",
        do="Look at the set-up that was found in its place, or lay another by hand",
        about=candidate.exercise.title,
    )


def _with_sides(prepared: Prepared, sides: Mapping[str, tuple[Side, ...]]) -> Prepared:
    """Return `prepared` with only the sides done by hand; an exercise of both arms together stays as it is."""
    candidates, setups = [], dict(prepared.setups)
    for candidate in prepared.candidates:
        wanted = tuple(side for side in sides.get(candidate.id, ()) if side in candidate.sides)
        if wanted and not candidate.together:
            for side in set(candidate.sides) - set(wanted):
                setups.pop((candidate.id, side), None)
            candidate = replace(candidate, sides=wanted)
        candidates.append(candidate)
    return replace(prepared, candidates=tuple(candidates), setups=setups)


def chosen_of(session: Session) -> tuple[Chosen, ...]:
    """Return exercises and doses of a session, in its order."""
    return tuple(Chosen(candidate=item.candidate, dose=item.dose) for item in session.items)


def arranged(items: Sequence[Chosen], order: Sequence[str], timing: Timing | None = None) -> tuple[Chosen, ...]:
    """Return `items` with those named in `order` in that order, inside their places.

    Parameters
    ----------
    items : sequence of Chosen
        In the order of a session.
    order : sequence of str
        Ids; what is not in `items` is passed over.
    timing : Timing, optional

    Returns
    -------
    tuple of Chosen
        Places in the order of the session.  In a place without a name from `order` nothing moves; in the others, what
        is not named is put where setting up takes least time, the first such place.
    """
    times = timing if timing is not None else Timing()
    places = sorted({place_in_order(each.candidate.exercise) for each in items})
    groups = [[each for each in items if place_in_order(each.candidate.exercise) == place] for place in places]
    for number, group in enumerate(groups):
        named = [each for each in group if each.candidate.id in order]
        if not named:
            continue
        line = sorted(named, key=lambda each: order.index(each.candidate.id))
        for new in canonical([each for each in group if each not in named]):
            tried = [[*line[:at], new, *line[at:]] for at in range(len(line) + 1)]
            line = min(tried, key=lambda each: times.total(_flat([*groups[:number], each, *groups[number + 1 :]])))
        groups[number] = line
    return _flat(groups)


def _flat(groups: Iterable[Sequence[Chosen]]) -> tuple[Chosen, ...]:
    return tuple(each for group in groups for each in group)


def _in_hand_order(session: Session, order: Sequence[str]) -> Session:
    """Return the session in the order by hand; where that takes more than the time there is, as it was, and told."""
    items = chosen_of(session)
    new = arranged(items, order)
    if new == items:
        return session
    total, limit = timeline(new).total_s, int(session.minutes * 60)
    if total > limit:
        notice = Notice(
            id="order-by-hand-let-go",
            level="note",
            what=f"in the order by hand it would take {clock(total)}, and there are {clock(limit)}",
            do="Give more minutes, or take the order in which setting up takes least",
        )
        return replace(session, notices=(*session.notices, notice))
    return reordered(session, new)


def reordered(session: Session, items: Sequence[Chosen]) -> Session:
    """Return `session` with its items in the order of `items`: new times, and what setting up takes in it."""
    described, timing = {item.candidate.id: item for item in session.items}, Timing()
    found = []
    before: Candidate | None = None
    for each in items:
        what = change(before=before, after=each.candidate)
        found.append(replace(described[each.candidate.id], setting_up_s=what.total_s - what.free_s))
        before = each.candidate
    setting_up = timing.changes(items) + sum(map(timing.side_changes, items))
    levels = tuple(
        replace(level, reached=-setting_up, bound=max(level.bound, -setting_up))
        if level.wish == "setting up"
        else level
        for level in session.levels
    )
    return replace(
        session,
        items=tuple(found),
        timeline=timeline(items),
        levels=levels,
        status="proven best" if all(level.proven for level in levels) else "best found",
    )
