"""Why each exercise is in the session, and why the others are not: every exchange of one for another is tried.

The rest of the session stays as it is; what is said of an exchange is what the wishes lose by it.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from firstpush.core.exercises.definition import AIMS
from firstpush.core.people.athlete import Side
from firstpush.core.session.candidate import Candidate, Chosen, LeftOut
from firstpush.core.session.losses import aims_in_words, loss_in_short
from firstpush.core.session.model import SessionModel
from firstpush.core.session.order import can_be_ordered, cheapest_order
from firstpush.core.session.timeline import clock
from firstpush.core.session.timing import Timing
from firstpush.core.session.wishes import CORE_AIMS, Served, served_by, worse_to_tell
from firstpush.core.words import listed

NOTHING_ELSE_FITS = "no other exercise fits in its place"
"""In place of the next best."""


@dataclass(frozen=True, kw_only=True)
class Exchange:
    """One exercise put in, for another or beside all: the session that comes of it.

    Parameters
    ----------
    out : Candidate or None
        What makes room; None when nothing has to.
    into : Chosen
        What comes in, in the dose in which the exchange loses least.
    items : tuple of Chosen
        The session, in its cheapest order.
    served : Served
        How well it serves the wishes.
    """

    out: Candidate | None
    into: Chosen
    items: tuple[Chosen, ...]
    served: Served

    @property
    def within_part(self) -> bool:
        """Whether both belong to the same part of the session."""
        return self.out is not None and self.out.exercise.part == self.into.candidate.exercise.part


class Exchanges:
    """Every exchange of one exercise of a session for one that is not in it.

    Parameters
    ----------
    model : SessionModel
        What the session was chosen from.
    items : sequence of Chosen
        The session.
    """

    def __init__(self, model: SessionModel, items: Sequence[Chosen]) -> None:
        self.model = model
        self.items = tuple(items)
        self.timing = Timing()
        self.served = served_by(self.items, measure=model.measure, timing=self.timing)
        inside = {each.candidate.id for each in items}
        self.outside = tuple(each for each in model.candidates if each.id not in inside)
        self._best: dict[tuple[str | None, str], Exchange] = {}
        for candidate in self.outside:
            if candidate.id not in model.asked.without:
                for out in (None, *(each.candidate for each in self.items)):
                    self._try(out, candidate)

    def _try(self, out: Candidate | None, into: Candidate) -> None:
        if out is not None and out.id in self.model.asked.wanted:
            return
        others = [each for each in self.items if each.candidate is not out]
        if len(others) >= self.model.most_exercises:
            return
        if into.family is not None and any(each.candidate.family == into.family for each in others):
            return
        ids = {into.id, *(each.candidate.id for each in others)}
        if any(
            each.exercise.after_any and not set(each.exercise.after_any) & ids
            for each in (into, *(other.candidate for other in others))
        ):
            return
        for dose in into.exercise.doses:
            new = Chosen(candidate=into, dose=dose)
            items: tuple[Chosen, ...] = (*others, new)
            if self.model.over_sets(items) is not None:
                continue
            if can_be_ordered(items):
                items = cheapest_order(items, self.timing)
            if self.timing.total(items) > self.model.limit_s:
                continue
            served = served_by(items, measure=self.model.measure, timing=self.timing)
            key = (out.id if out is not None else None, into.id)
            if key not in self._best or served.rank > self._best[key].served.rank:
                self._best[key] = Exchange(out=out, into=new, items=items, served=served)

    def best(self, *, out: Candidate | None = None, into: Candidate | None = None) -> Exchange | None:
        """Return the exchange that loses least, of those that put `out` out or `into` in; None when none fits.

        Like is compared with like: an exchange inside one part comes before any other.
        """
        found = [
            each
            for each in self._best.values()
            if (out is None or each.out is out) and (into is None or each.into.candidate is into)
        ]
        if out is not None or into is not None:
            found = [each for each in found if each.within_part] or found
        # Of equals the first by name, so that the same session always has the same reasons.
        return min(
            found,
            key=lambda each: (
                tuple(-number for number in each.served.rank),
                each.into.candidate.id,
                each.out.id if each.out is not None else "",
            ),
            default=None,
        )

    def why_chosen(self, candidate: Candidate) -> str:
        """Return what an exercise of the session is for, and what the next best in its place would lose.

        Returns
        -------
        str
            One sentence without a full stop.
        """
        serves = self._serves(candidate)
        if candidate.id in self.model.asked.wanted:
            by_hand = "asked for by hand" if candidate.id in self.model.asked.keep else "its dose is set by hand"
            return f"{by_hand}; it serves {serves}"
        exchange = self.best(out=candidate)
        if exchange is None:
            return f"for {serves}; {NOTHING_ELSE_FITS}"
        title = exchange.into.candidate.exercise.title
        worse = worse_to_tell(best=self.served, other=exchange.served)
        if worse is None:
            return f"for {serves}; {title} in its place would be as good"
        price = loss_in_short(worse, best=self.served, other=exchange.served)
        return f"for {serves}; next best: {title}, with {price}"

    def _serves(self, candidate: Candidate) -> str:
        """Return what would be lost without `candidate` and with nothing in its place, the weightiest first."""
        others = [each for each in self.items if each.candidate is not candidate]
        rest = served_by(others, measure=self.model.measure, timing=self.timing)
        served = self.served
        lost_parts = served.parts - rest.parts
        said = [f"the {next(iter(lost_parts))} part"] if lost_parts else []
        due, lost = served.due - rest.due, served.aims - rest.aims
        if due:
            said.append(f"{listed(self._by_weight(due))} (due)")
        elif lost:
            said.append(listed(self._by_weight(lost)))
        shared = [
            aim for aim in candidate.exercise.aims if aim in CORE_AIMS and aim not in {aim for aim, _ in lost | due}
        ]
        thinner = {(aim, side) for aim, side in served.full_aims - rest.full_aims if aim in shared}
        if thinner:
            said.append(f"enough sets of {listed(self._by_weight(thinner))}")
        elif shared:
            said.append(f"more {listed(shared)}")
        if rest.missing_tenths > served.missing_tenths:
            said.append("sets at the back for those at the front")
        return listed(said) if said else f"more {listed(candidate.exercise.aims)}"

    def _by_weight(self, aims: Iterable[tuple[str, Side]]) -> list[str]:
        """Return aims in words, the weightiest first, with why the athlete needs them more than others."""
        aims = tuple(aims)
        said = []
        for words in aims_in_words(aims):
            aim = next(name for name in AIMS if words.startswith(name))
            sides = {side for each, side in aims if each == aim}
            because = [
                need.because
                for need in self.model.asked.needs
                if need.aim == aim and need.more > 0 and need.is_reason_on(sides)
            ]
            weight = self.model.measure.weight(aim)
            said.append((-weight, f"{words} ({because[-1]})" if because else words))
        return [words for _, words in sorted(said)]

    def why_left_out(self, candidate: Candidate) -> LeftOut:
        """Return why a candidate that has a set-up is not in the session."""
        if candidate.id in self.model.asked.without:
            return LeftOut(exercise=candidate.exercise, reason="left out by hand")
        alone = self.timing.total([self.model.shortest(candidate)])
        if alone > self.model.limit_s:
            reason = f"alone it takes {clock(alone)}, and there are {clock(self.model.limit_s)}"
            return LeftOut(exercise=candidate.exercise, reason=reason)
        relative = next(
            (
                each.candidate.exercise.title
                for each in self.items
                if candidate.family is not None and each.candidate.family == candidate.family
            ),
            None,
        )
        missing = self._beside(candidate) - self.model.limit_s
        openers = set(candidate.exercise.after_any)
        if openers and not openers & {each.candidate.id for each in self.items}:
            begin = comes_after(self.model, candidate)
        elif relative is not None:
            begin = f"it is a step of {relative}, and a session holds one of them"
        elif len(self.items) >= self.model.most_exercises:
            begin = f"the session already has {len(self.items)} exercises"
            begin += f", and it needs {clock(missing)} more" if missing > 0 else ""
        elif missing > 0:
            begin = f"needs {clock(missing)} more"
        elif (full := self.model.over_sets((*self.items, self.model.shortest(candidate)))) is not None:
            begin = f"the {full[0]} arm already has the sets that it gets in the {full[1]} part"
        else:
            begin = "it would fit into the time"
        exchange = self.best(into=candidate)
        if exchange is None:
            return LeftOut(exercise=candidate.exercise, reason=f"{begin}; no one exercise makes room enough for it")
        worse = worse_to_tell(best=self.served, other=exchange.served)
        where = "with it" if exchange.out is None else f"in place of {exchange.out.exercise.title}"
        if worse is None:
            return LeftOut(exercise=candidate.exercise, reason=f"{begin}; {where} it would be as good")
        price = loss_in_short(worse, best=self.served, other=exchange.served)
        return LeftOut(exercise=candidate.exercise, reason=f"{begin}; {where}: {price}")

    def _beside(self, candidate: Candidate) -> int:
        """Return how long the session takes with one more exercise, in the cheapest order [s]."""
        together = (*self.items, self.model.shortest(candidate))
        if can_be_ordered(together):
            return self.timing.total(cheapest_order(together, self.timing))
        places = range(len(self.items) + 1)
        new = together[-1]
        return min(self.timing.total((*self.items[:place], new, *self.items[place:])) for place in places)


def comes_after(model: SessionModel, candidate: Candidate) -> str:
    """Return after what an exercise comes, as a clause."""
    titles = [each.exercise.title for each in model.candidates if each.id in candidate.exercise.after_any]
    return f"it comes only after {' or '.join(titles) or 'what cannot be done here'}"
