"""Why each exercise is in the session, and why the others are not: found by solving again without it, or with it."""

from __future__ import annotations

from collections.abc import Sequence

from firstpush.core.session.candidate import Candidate, Chosen, LeftOut
from firstpush.core.session.model import Budget, SessionModel, Solved
from firstpush.core.session.order import can_be_ordered, cheapest_order
from firstpush.core.session.timeline import clock, timeline
from firstpush.core.session.wishes import first_worse, listed, loss, served_by


def why_chosen(model: SessionModel, best: Solved, candidate: Candidate, *, budget: Budget) -> str:
    """Return what gets worse in the best session without `candidate`.

    Parameters
    ----------
    model : SessionModel
        What the session was chosen from.
    best : Solved
        The session with it.
    candidate : Candidate
        One of its exercises.
    budget : Budget
        What may be spent; when it is spent, only what shows in the session itself is said.

    Returns
    -------
    str
        One sentence without a full stop.
    """
    if len(model.candidates) == 1:
        return "nothing else can be done here"
    without = model.solve(budget=budget, excluded=candidate, compare_with=best.served)
    if without is None:
        if budget.left > 0:
            return "nothing else fits into the time"
        return _seen_in_session(best, candidate)
    if not without.proven or without.served.rank > best.served.rank:
        # Better than the best: possible only where the best was not proven, and then no reason to name.
        return _seen_in_session(best, candidate)
    worse = first_worse(best=best.served, other=without.served)
    if worse is None:
        return "an equally good session without it exists"
    return f"without it {loss(worse, best=best.served, other=without.served)}"


def why_left_out(model: SessionModel, best: Solved | None, candidate: Candidate, *, budget: Budget) -> LeftOut:
    """Return why a candidate that has a set-up is not in the best session.

    Parameters
    ----------
    model : SessionModel
        What the session was chosen from.
    best : Solved or None
        The session without it; None when nothing fits.
    candidate : Candidate
        What is not in it.
    budget : Budget
        What may be spent; when it is spent, only the time that is missing is said.
    """
    alone = timeline([model.shortest(candidate)]).total_s
    if alone > model.limit_s:
        return LeftOut(
            exercise=candidate.exercise,
            reason=f"alone it takes {clock(alone)}, and there are {clock(model.limit_s)}",
        )
    assert best is not None, "an exercise that fits alone is a session"
    missing = _beside(best.items, model.shortest(candidate)) - model.limit_s
    time = f"beside the others it would need {clock(missing)} more" if missing > 0 else "it would fit into the time"
    forced = model.solve(budget=budget, required=candidate)
    if forced is None or not forced.proven or forced.served.rank > best.served.rank:
        return LeftOut(exercise=candidate.exercise, reason=time)
    worse = first_worse(best=best.served, other=forced.served)
    ids = {each.candidate.id for each in forced.items}
    out = [each.candidate.exercise.title for each in best.items if each.candidate.id not in ids]
    price = []
    if out:
        price.append(f"it would push out {listed(out)}")
    if worse is not None:
        price.append(loss(worse, best=best.served, other=forced.served))
    elif not out:
        price.append("a session with it is equally good")
    link = "; in the same time " if missing > 0 else "; "
    return LeftOut(exercise=candidate.exercise, reason=time + link + ", and ".join(price))


def _beside(items: Sequence[Chosen], one_more: Chosen) -> int:
    """Return how long the session takes with one more exercise, in the cheapest order [s]."""
    together = (*items, one_more)
    if can_be_ordered(together):
        return timeline(cheapest_order(together)).total_s
    places = range(len(items) + 1)
    return min(timeline((*items[:place], one_more, *items[place:])).total_s for place in places)


def _seen_in_session(best: Solved, candidate: Candidate) -> str:
    """Return what only this exercise does in the session, which is seen without solving again."""
    without = [each for each in best.items if each.candidate is not candidate]
    rest = served_by(without, offered=[each.candidate for each in best.items])
    own = [aim for aim in candidate.exercise.aims if any(aim == lost for lost, _ in best.served.aims - rest.aims)]
    if own:
        return f"it is the only one in this session for {listed(own)}"
    return f"it adds to {listed(candidate.exercise.aims)}"
