"""From exercises that could be done to the session that is done."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence

from firstpush.core.errors import OutOfRangeError, UnknownNameError
from firstpush.core.exercises.definition import PARTS
from firstpush.core.notices import Notice, without_repeats, worst
from firstpush.core.session.candidate import Candidate, Chosen, LeftOut
from firstpush.core.session.changes import change
from firstpush.core.session.explain import why_chosen, why_left_out
from firstpush.core.session.model import Budget, SessionModel, Solved
from firstpush.core.session.session import KINDS, Kind, Session, SessionItem
from firstpush.core.session.timeline import clock, timeline
from firstpush.core.session.wishes import POSTERIOR_RATIO, balanced_sides, missing_sets

LARGEST_MINUTES = 180
"""A session longer than three hours is several sessions."""
CHOOSING_BUDGET = 2.0
EXPLAINING_BUDGET = 0.25
"""Deterministic seconds of CP-SAT for the session and for all reasons together; on the clock somewhat more."""


def compose(
    candidates: Sequence[Candidate],
    *,
    minutes: float,
    seed: int = 0,
    kind: Kind = "before training",
    left_out: Iterable[LeftOut] = (),
) -> Session:
    """Choose, order and time the session that serves the wishes best in `minutes`.

    Parameters
    ----------
    candidates : sequence of Candidate
        Exercises that have a set-up, each once, in any order.  One with a notice of level "stop" is never chosen.
    minutes : float
        Time from the check before the start to the end, above 0 and at most 180 [min].
    seed : int, optional
        Chooses among sessions that serve every wish equally well.
    kind : str, optional
        Kind of session: "before training".
    left_out : iterable of LeftOut, optional
        Exercises that have no set-up, with their reasons; they are passed on.

    Returns
    -------
    Session
        The same for the same arguments, in whatever order the candidates come.

    Raises
    ------
    OutOfRangeError
        For minutes out of range, or a candidate given twice.
    UnknownNameError
        For a kind of session that is not known.

    Holds for
    ---------
    One athlete.  Up to 60 candidates; with many, later wishes may be "best found", and reasons become shorter.

    Examples
    --------
    >>> from firstpush.core.exercises.loader import library
    >>> free = [Candidate(exercise=library()[id_], sides=("left", "right"))
    ...         for id_ in ("ball_circles", "graded_push_lengths")]
    >>> session = compose(free, minutes=8)
    >>> [(item.candidate.id, item.dose.name) for item in session.items]
    [('ball_circles', '30 seconds each direction, each arm'), ('graded_push_lengths', 'four lengths and back, twice')]
    >>> session.status, session.total_s
    ('proven best', 410)
    """
    _check(candidates, minutes=minutes, kind=kind)
    barred = [each for each in candidates if worst(each.notices) == "stop"]
    model = SessionModel(
        [each for each in candidates if worst(each.notices) != "stop"],
        limit_s=math.floor(minutes * 60),
        seed=seed,
    )
    best = model.solve(budget=Budget(left=CHOOSING_BUDGET))
    out = [*left_out, *(_barred(each) for each in sorted(barred, key=lambda each: each.id))]
    budget = Budget(left=EXPLAINING_BUDGET)
    items = () if best is None else best.items
    described = _described(model, best, budget=budget)
    chosen = {each.candidate.id for each in items}
    rest = [each for each in model.candidates if each.id not in chosen]
    # The best fitting first: it is what would be missed most, should the budget for reasons run out.
    for candidate in sorted(rest, key=lambda each: (-each.preference, each.id)):
        out.append(why_left_out(model, best, candidate, budget=budget))
    return Session(
        kind=kind,
        minutes=minutes,
        items=described,
        timeline=timeline(items),
        status="proven best" if best is None or best.proven else "best found",
        levels=() if best is None else best.levels,
        left_out=tuple(out),
        notices=tuple(without_repeats(_notices(model, items, out))),
    )


def _check(candidates: Sequence[Candidate], *, minutes: float, kind: str) -> None:
    if kind not in KINDS:
        raise UnknownNameError(kind="kind of session", given=kind, known=KINDS)
    if not 0 < minutes <= LARGEST_MINUTES:
        raise OutOfRangeError(
            f"{minutes:g} minutes are no time for a session; allowed is above 0 and at most {LARGEST_MINUTES} minutes. "
            "Give the minutes that there are."
        )
    ids = [each.id for each in candidates]
    twice = sorted({each for each in ids if ids.count(each) > 1})
    if twice:
        raise OutOfRangeError(
            f"{', '.join(twice)} is offered more than once; each exercise may come once. Keep its best set-up."
        )


def _described(model: SessionModel, best: Solved | None, *, budget: Budget) -> tuple[SessionItem, ...]:
    if best is None:
        return ()
    described = []
    before: Candidate | None = None
    for chosen in best.items:
        what = change(before=before, after=chosen.candidate)
        described.append(
            SessionItem(
                candidate=chosen.candidate,
                dose=chosen.dose,
                sides=chosen.candidate.sides,
                setting_up_s=what.total_s - what.free_s,
                reason=why_chosen(model, best, chosen.candidate, budget=budget),
            )
        )
        before = chosen.candidate
    return tuple(described)


def _barred(candidate: Candidate) -> LeftOut:
    stop = next(each for each in candidate.notices if each.level == "stop")
    return LeftOut(exercise=candidate.exercise, reason=f"{stop.what}: {stop.do}")


def _notices(model: SessionModel, items: Sequence[Chosen], out: Sequence[LeftOut]) -> list[Notice]:
    if not items:
        return [_nothing(model, out)]
    notices = []
    filled = {each.candidate.exercise.part for each in items}
    offered = {each.exercise.part for each in model.candidates}
    for part in PARTS:
        if part not in filled:
            what, do = (
                (f"there is no time for the {part} part", "Give more minutes")
                if part in offered
                else (f"nothing can be done here for the {part} part", "See why under the exercises left out")
            )
            notices.append(Notice(id="part-missing", level="note", what=what, do=do, about=part))
    for side in ("left", "right"):
        missing = missing_sets(items, side)
        if missing:
            offered_too = side in balanced_sides(model.candidates)
            notices.append(
                Notice(
                    id="front-outweighs-back",
                    level="caution",
                    what=f"the {side} shoulder gets {missing} set{'s' if missing > 1 else ''} too few at its back; "
                    f"{POSTERIOR_RATIO.value:g} for each set at the front are usual",
                    do="Give more minutes"
                    if offered_too
                    else "Make pulling back or turning out possible, or leave the pressing out",
                    about=side,
                )
            )
    return notices


def _nothing(model: SessionModel, out: Sequence[LeftOut]) -> Notice:
    if model.candidates:
        shortest = min(timeline([model.shortest(each)]).total_s for each in model.candidates)
        return Notice(
            id="session-too-short",
            level="stop",
            what=f"the shortest session here takes {clock(shortest)}, and there are {clock(model.limit_s)}",
            do=f"Give {math.ceil(shortest / 60)} minutes or more",
        )
    return Notice(
        id="no-exercise-possible",
        level="stop",
        what=f"none of the {len(out)} exercises can be done here" if out else "no exercise was offered",
        do=f"Begin with {out[0].exercise.title}: {out[0].reason}" if out else "Choose at least one exercise",
    )
