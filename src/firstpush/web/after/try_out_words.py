"""What the words of the practitioner say about a first known load: how it was done, and whether it is tried out on."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass
from datetime import date, datetime

from firstpush.core.errors import FirstpushError
from firstpush.core.people.athlete import SIDES, Side
from firstpush.core.progress.history import Done
from firstpush.core.progress.rules import PAIN_HOLDS
from firstpush.core.progress.try_out_again import Trying
from firstpush.core.session.agreed import Agreed, read_agreed
from firstpush.web.after.models import Said, Word
from firstpush.web.after.runs import DoneRun, pain_on, runs_done
from firstpush.web.athletes.models import AthleteRecord

KEEPS = (Said.AS_DONE, Said.NOTHING)
"""Words after which a load that was tried out is still the one that was tried out."""


@dataclass(frozen=True, kw_only=True)
class FirstKnown:
    """How an exercise was done when its load was first known.

    Parameters
    ----------
    agreed : Agreed
    tried_on : tuple of date
        The days on which it was tried out, in a row without a step; empty where it was not, or a step came since.
    key : str
        Stands for all that it says.
    """

    agreed: Agreed
    tried_on: tuple[date, ...]
    key: str

    @property
    def raised_on(self) -> date | None:
        """The day on which a try-out that went on raised the load; None where it was found on one day."""
        return self.tried_on[-1] if len(set(self.tried_on)) > 1 else None

    def trying(
        self, last: Done, earlier: Iterable[DoneRun], *, share: float = 1.0, held_back: str = ""
    ) -> Trying | None:
        """Return how far the try-out has come with what was done last; None where there is none any more.

        Parameters
        ----------
        last : Done
        earlier : iterable of DoneRun
            Those before the one of `last`.
        share : float
            Share of the usual load that the day asks for.
        held_back : str
            What pain holds the arm back, as a clause.
        """
        if not self.tried_on:
            return None
        since = {
            run.id
            for run in earlier
            for done in run.done
            if done.exercise == last.exercise and done.on >= self.tried_on[0]
        }
        return Trying(last=last, sessions=len(since) + 1, share=share, held_back=held_back)


def words_before(record: AthleteRecord, run: DoneRun, earlier: Sequence[DoneRun]) -> list[Word]:
    """Return the words that were said before a run was done, in their order.

    A word about this very run is what is being decided, and those about later runs come later.  Of the words of that
    day, one about a run before it counts, and so does what was tried out on that day.
    """
    before = {each.id for each in earlier}
    return [
        word
        for word in record.words.filter(on__lte=run.on)
        if word.run != run.id and (word.on < run.on or word.run in before or word.said == Said.TRIED_OUT)
    ]


def first_known(words: Iterable[Word]) -> dict[str, FirstKnown]:
    """Return of each exercise how it was done when its load was first known, from the words in their order."""
    found: dict[str, FirstKnown] = {}
    for word in words:
        if word.said == Said.NOTHING:
            continue
        if word.said in (Said.TAKEN_BACK, Said.LEAVE_OUT):
            # It is begun anew when it comes back.
            found.pop(word.exercise, None)
        for row in word.agreed:
            agreed = _read(row)
            if agreed is None or agreed.left_out or not any(side.load for side in agreed.sides.values()):
                continue
            id_ = agreed.exercise
            known = found.get(id_)
            if word.said == Said.TRIED_OUT:
                before = () if known is None else known.tried_on
                found[id_] = FirstKnown(agreed=agreed, tried_on=(*before, word.on), key=f"{word.pk} tried")
            elif known is None:
                found[id_] = FirstKnown(agreed=agreed, tried_on=(), key=f"{word.pk}")
            elif word.said not in KEEPS and known.tried_on:
                found[id_] = FirstKnown(agreed=known.agreed, tried_on=(), key=f"{known.key}, over")
    return found


def goes_on(
    record: AthleteRecord, exercise: str, *, at: datetime, share: float, sore: Collection[Side] = ()
) -> tuple[FirstKnown, Trying] | None:
    """Return what was tried out of an exercise and how far that has come; None where there is none any more.

    Parameters
    ----------
    record : AthleteRecord
    exercise : str
    at : datetime
        Now, with its time zone.
    share : float
        Share of the usual load that the session asks for.
    sore : collection of side
        Arms that hurt more than usual today.
    """
    first = first_known(record.words.filter(on__lte=at.date())).get(exercise)
    runs = [run for run in runs_done(record.pk) if run.began <= at]
    with_it = [run for run in runs if any(done.exercise == exercise for done in run.done)]
    if first is None or not first.tried_on or not with_it or with_it[-1].on < first.tried_on[-1]:
        return None
    last = next(done for done in with_it[-1].done if done.exercise == exercise)
    arms: set[Side] = {each.side for each in with_it[-1].carried if each.exercise == exercise} or set(SIDES)
    pain = pain_on(runs, arms)
    held = "this arm hurts more than usual" if arms & set(sore) else ""
    if pain is not None and (at.date() - pain).days < PAIN_HOLDS.value:
        held = f"pain came at this arm on {pain:%-d %B}"
    trying = first.trying(last, with_it[:-1], share=share, held_back=held)
    assert trying is not None, "it was tried out"
    return first, trying


def _read(row: dict[str, object]) -> Agreed | None:
    try:
        return read_agreed(row)
    except FirstpushError:
        return None
