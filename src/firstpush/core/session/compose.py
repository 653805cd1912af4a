"""From exercises that could be done to the session that is done."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import replace

from firstpush.core.errors import OutOfRangeError, UnknownNameError
from firstpush.core.exercises.definition import PARTS
from firstpush.core.notices import Notice, without_repeats, worst
from firstpush.core.people.athlete import SIDES
from firstpush.core.session.asked import Asked
from firstpush.core.session.candidate import Candidate, Chosen, LeftOut
from firstpush.core.session.changes import change
from firstpush.core.session.collide import Collision, collision
from firstpush.core.session.explain import Exchanges, comes_after
from firstpush.core.session.kinds import Kind, KindName, kind_named
from firstpush.core.session.model import Budget, SessionModel, Solved
from firstpush.core.session.session import Session, SessionItem
from firstpush.core.session.timeline import clock, timeline
from firstpush.core.session.wishes import RATIO_STEP, balanced_sides, is_anterior, missing_tenths
from firstpush.core.setup.cautions import ASKS_FOR_CARE
from firstpush.core.words import listed

LARGEST_MINUTES = 180
"""A session longer than three hours is several sessions."""
CHOOSING_BUDGET = 2.0
"""Deterministic seconds of CP-SAT for a session; on the clock somewhat more."""
NOTHING_NEW_WITH_CARE = (
    "on a day with more pain than usual nothing new comes in that asks for care, beside what the session had before"
)
WORTH_TELLING_S = 60
"""Minutes that stay empty are told from here on [s]."""
MOST_EXCHANGES = 10
"""Where a session is not proven best, exchanges that make it better are made, at most this often."""


def compose(
    candidates: Sequence[Candidate],
    *,
    minutes: float,
    seed: int = 0,
    kind: KindName = "before training",
    asked: Asked | None = None,
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
        Kind of session, one of `KIND_NAMES`; candidates come with the doses of that kind, see `prepare`.
    asked : Asked, optional
        What is asked for by hand, and what went before.
    left_out : iterable of LeftOut, optional
        Exercises that have no set-up, with their reasons; they are passed on.

    Returns
    -------
    Session
        The same for the same arguments, in whatever order the candidates come.  When what is asked does not fit
        together it has no items, and its `collision` says what collides and what would help.

    Raises
    ------
    OutOfRangeError
        For minutes out of range, or a candidate given twice.
    UnknownNameError
        For a kind of session, an exercise or a dose that is not known.

    Holds for
    ---------
    One athlete.  Up to 60 candidates; with more, later wishes may be "best found".

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
    asked = asked if asked is not None else Asked()
    of_kind = kind_named(kind)
    impossible = list(left_out)
    _check(candidates, minutes=minutes, asked=asked, left_out=impossible)
    limit_s = math.floor(minutes * 60)
    free, barred = choosable(candidates, kind=of_kind, asked=asked)
    impossible += barred
    kept_out = asked.careful and any(_comes_with_care(each, asked) for each in candidates)
    model = SessionModel(free, limit_s=limit_s, kind=of_kind, asked=asked, seed=seed)
    best = model.solve(budget=Budget(left=CHOOSING_BUDGET))
    if best is None:
        colliding = None
        if asked.wanted or asked.aims or asked.without:
            colliding = collision(free, asked=asked, limit_s=limit_s, kind=of_kind, left_out=impossible)
        return _none(model, impossible, minutes=minutes, kind=kind, colliding=colliding)
    best, exchanges = _exchanged(model, best)
    chosen = {each.candidate.id for each in best.items}
    out = [*impossible, *(exchanges.why_left_out(each) for each in model.candidates if each.id not in chosen)]
    return Session(
        kind=kind,
        minutes=minutes,
        items=_described(best, exchanges),
        timeline=timeline(best.items),
        status="proven best" if best.proven else "best found",
        levels=best.levels,
        left_out=tuple(out),
        notices=tuple(without_repeats(_notices(model, best.items, of_kind, minutes=minutes, kept_out=kept_out))),
    )


def _check(candidates: Sequence[Candidate], *, minutes: float, asked: Asked, left_out: Sequence[LeftOut]) -> None:
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
    known = sorted({*ids, *(each.exercise.id for each in left_out)})
    for id_ in (*asked.wanted, *asked.without):
        if id_ not in known:
            raise UnknownNameError(kind="exercise", given=id_, known=known)
    for candidate in candidates:
        name = dict(asked.doses).get(candidate.id)
        doses = candidate.exercise.doses
        if name is not None and all(dose.name != name for dose in doses):
            names = [dose.name for dose in (*doses, *candidate.exercise.by_hand)]
            raise UnknownNameError(kind=f"dose of {candidate.id}", given=name, known=names)


def choosable(
    candidates: Sequence[Candidate], *, kind: Kind, asked: Asked
) -> tuple[tuple[Candidate, ...], tuple[LeftOut, ...]]:
    """Return what may be chosen, and what a notice bars or, where nothing new is done, was never done before."""
    barred = [each for each in candidates if worst(each.notices) == "stop"]
    free = [each for each in candidates if worst(each.notices) != "stop"]
    out = [_barred(each) for each in sorted(barred, key=lambda each: each.id)]
    if kind.nothing_new and asked.familiar is not None:
        new = [each for each in free if each.id not in asked.familiar and each.id not in asked.wanted]
        free = [each for each in free if each not in new]
        reason = f"never done before, and {kind.name} nothing is tried for the first time"
        out += [LeftOut(exercise=each.exercise, reason=reason) for each in new]
    if asked.careful:
        new = [each for each in free if _comes_with_care(each, asked)]
        free = [each for each in free if each not in new]
        out += [LeftOut(exercise=each.exercise, reason=_new_with_care(each)) for each in new]
    uneven = [each for each in free if _loads_one_side(each, free, asked, kind)]
    free = [each for each in free if each not in uneven]
    out += [LeftOut(exercise=each.exercise, reason=_one_side_alone(each)) for each in uneven]
    return tuple(free), tuple(out)


def _loads_one_side(candidate: Candidate, offered: Sequence[Candidate], asked: Asked, kind: Kind) -> bool:
    """Whether it would strengthen the front of one shoulder alone, unasked, because the other side cannot do it.

    Pushing trains the front anyway, so nothing is lost without it; the back of one shoulder is worth its sets even
    where the other cannot do the same, but for a kind of session that tires no side more than the other (our choice).
    """
    if not asked.even_sides or _one_side_only(candidate) is None:
        return False
    if not is_anterior(candidate.exercise) and not (kind.both_alike and candidate.exercise.part == "strength"):
        return False
    by_hand = candidate.id in asked.wanted or bool(set(candidate.exercise.aims) & set(asked.aims))
    both = all(any(side in each.sides for each in offered) for side in SIDES)
    return both and not by_hand and candidate.id not in dict(asked.earlier)


def _one_side_only(candidate: Candidate) -> str | None:
    """Return why the other side cannot do it; None where it can."""
    return next((each.what for each in candidate.notices if each.id == "one-side-only"), None)


def _one_side_alone(candidate: Candidate) -> str:
    what = (
        "the front of one shoulder is not made stronger" if is_anterior(candidate.exercise) else "one arm is not worked"
    )
    return f"{_one_side_only(candidate)}; {what} alone where both should get the same, unless it is asked for by hand"


def _comes_with_care(candidate: Candidate, asked: Asked) -> bool:
    return bool(candidate.cautions) and asked.comes_newly(candidate.id) and candidate.id not in asked.wanted


def _new_with_care(candidate: Candidate) -> str:
    because = next(each.what.partition(":")[0] for each in candidate.notices if each.id in ASKS_FOR_CARE)
    return f"new to the athlete, and it asks for care ({because}): {NOTHING_NEW_WITH_CARE}"


def _exchanged(model: SessionModel, best: Solved) -> tuple[Solved, Exchanges]:
    """Return the session with every exchange tried; one that was not proven best is made better where one is found."""
    exchanges = Exchanges(model, best.items)
    for _ in range(0 if best.proven else MOST_EXCHANGES):
        better = exchanges.best()
        if better is None or better.served.rank <= exchanges.served.rank:
            break
        levels = tuple(
            replace(level, reached=reached, bound=max(level.bound, reached))
            for level, reached in zip(best.levels, better.served.rank, strict=True)
        )
        best = Solved(items=better.items, served=better.served, levels=levels)
        exchanges = Exchanges(model, best.items)
    return best, exchanges


def _described(best: Solved, exchanges: Exchanges) -> tuple[SessionItem, ...]:
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
                reason=exchanges.why_chosen(chosen.candidate),
            )
        )
        before = chosen.candidate
    return tuple(described)


def _barred(candidate: Candidate) -> LeftOut:
    stop = next(each for each in candidate.notices if each.level == "stop")
    return LeftOut(exercise=candidate.exercise, reason=f"{stop.what}: {stop.do}")


def _notices(
    model: SessionModel, items: Sequence[Chosen], kind: Kind, *, minutes: float, kept_out: bool
) -> list[Notice]:
    notices = []
    shortest, longest = kind.usual_minutes
    if not shortest <= minutes <= longest:
        notices.append(
            Notice(
                id="unusual-minutes",
                level="note",
                what=f"a session {kind.spoken} usually takes {shortest:g} to {longest:g} minutes, not {minutes:g}",
                do="Go on when that is meant",
            )
        )
    filled = {each.candidate.exercise.part for each in items}
    offered = {each.exercise.part for each in model.candidates if each.id not in model.asked.without}
    for part in PARTS:
        if part not in filled and part in kind.parts:
            what, do = (
                (f"there is no time for the {part} part", "Give more minutes")
                if part in offered
                else (f"nothing can be done here for the {part} part", "See why under the exercises left out")
            )
            notices.append(Notice(id="part-missing", level="note", what=what, do=do, about=part))
    empty_s = model.limit_s - timeline(items).total_s
    because = []
    if model.most_sets:
        sets = listed([f"{most} in the {part} part" for _, part, most in model.most_sets if most]) or "none"
        because.append(f"the {model.most_sets[0][0]} arm gets no more sets than in a session of both arms ({sets})")
    because += [NOTHING_NEW_WITH_CARE] if kept_out else []
    if because and empty_s >= WORTH_TELLING_S:
        notices.append(
            Notice(
                id="minutes-left-empty",
                level="note",
                what=f"{clock(empty_s)} of {clock(model.limit_s)} stay empty: {listed(because)}",
                do="Leave them empty, or put something in by hand",
            )
        )
    for side in ("left", "right"):
        missing = missing_tenths(items, side, ratio=model.asked.back_to_front) / RATIO_STEP
        if missing:
            offered_too = side in balanced_sides(model.candidates)
            notices.append(
                Notice(
                    id="front-outweighs-back",
                    level="caution",
                    what=f"the {side} shoulder gets {missing:g} set{'s' if missing != 1 else ''} too few at its back; "
                    f"{model.asked.back_to_front:g} for each set at the front are usual",
                    do="Give more minutes"
                    if offered_too
                    else "Make pulling back or turning out possible, or leave the pressing out",
                    about=side,
                )
            )
    return notices


def _none(
    model: SessionModel,
    impossible: Sequence[LeftOut],
    *,
    minutes: float,
    kind: KindName,
    colliding: Collision | None,
) -> Session:
    """Return the session that does not exist, with what would help."""
    out = list(impossible)
    for candidate in model.candidates:
        alone = timeline([model.shortest(candidate)]).total_s
        if alone > model.limit_s:
            reason = f"alone it takes {clock(alone)}, and there are {clock(model.limit_s)}"
            out.append(LeftOut(exercise=candidate.exercise, reason=reason))
        elif candidate.exercise.after_any:
            reason = f"{comes_after(model, candidate)}; no one exercise makes room enough for it"
            out.append(LeftOut(exercise=candidate.exercise, reason=reason))
    return Session(
        kind=kind,
        minutes=minutes,
        items=(),
        timeline=timeline(()),
        status="proven best",
        levels=(),
        left_out=tuple(out),
        notices=(_collides(colliding) if colliding is not None else _nothing(model, out),),
        collision=colliding,
    )


def _collides(colliding: Collision) -> Notice:
    asked = [each.words for each in colliding.wishes if each.wish.kind != "minutes"]
    alone = " (not enough alone)" if not colliding.others_too else ""
    changes = "; or ".join(each.change + ("" if each.is_enough else alone) for each in colliding.wishes)
    more = "; more of what is asked collides, so look again after it" if colliding.others_too else ""
    return Notice(
        id="wishes-collide",
        level="stop",
        what=f"{colliding.because}" + (f", when {listed(asked)}" if len(colliding.wishes) > 1 else ""),
        do=f"Do one of these: {changes}{more}",
    )


def _nothing(model: SessionModel, out: Sequence[LeftOut]) -> Notice:
    if model.candidates:
        first = [each for each in model.candidates if not each.exercise.after_any] or list(model.candidates)
        shortest = min(timeline([model.shortest(each)]).total_s for each in first)
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
