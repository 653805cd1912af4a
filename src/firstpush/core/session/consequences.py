"""What a change by hand would bring, before it is made: time, wishes, notices; the rest of the session as it is."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Literal

from firstpush.core.notices import Notice
from firstpush.core.session.by_hand import arranged, chosen_of
from firstpush.core.session.candidate import Candidate, Chosen
from firstpush.core.session.compose import choosable
from firstpush.core.session.doses_by_hand import other_doses
from firstpush.core.session.explain import Exchanges
from firstpush.core.session.kinds import kind_named
from firstpush.core.session.losses import loss
from firstpush.core.session.model import SessionModel
from firstpush.core.session.plan import Planned
from firstpush.core.session.timeline import clock
from firstpush.core.session.timing import Timing
from firstpush.core.session.wishes import WISHES, Served, first_worse, place_in_order, served_by

Direction = Literal["earlier", "later"]
BEFORE_WHAT_IS_KEPT = WISHES[: WISHES.index("unchanged")]
"""Wishes for which a session that is made again changes what was there."""
WORTH_FILLING_S = 60
"""Time that gets free and into which something else may come [s]."""


@dataclass(frozen=True, kw_only=True)
class Consequence:
    """What comes of one change.

    Parameters
    ----------
    longer_s : int
        By how much the session gets longer; below zero where it gets shorter [s].
    over_s : int
        By how much it would be longer than the time there is; 0 where it fits [s].
    loses, gains : str
        What the first wish that is served otherwise loses, or gains, as a clause without a full stop; empty for none.
        Reckoned with the rest of the session as it is.
    moves_others : bool
        Whether the rest will not stay as it is: what is lost weighs more than keeping it, or a minute gets free.
    """

    longer_s: int
    over_s: int
    loses: str = ""
    gains: str = ""
    moves_others: bool = False


@dataclass(frozen=True, kw_only=True)
class ExchangeOption:
    """Another exercise in the place of one, in the dose in which that loses least."""

    into: Chosen
    within_part: bool
    consequence: Consequence

    @property
    def notices(self) -> tuple[Notice, ...]:
        """What must be told about its set-up."""
        return self.into.candidate.notices


@dataclass(frozen=True, kw_only=True)
class MoveOption:
    """One place earlier or later inside its part; `order` is what it would be, `reason` why it cannot be."""

    direction: Direction
    order: tuple[str, ...] = ()
    past: str = ""
    consequence: Consequence | None = None
    reason: str = ""


@dataclass(frozen=True, kw_only=True)
class ItemOptions:
    """Everything that can be done by hand to one exercise of a session.

    Parameters
    ----------
    exchanges : tuple of ExchangeOption
        Those inside the part first, and among them those that lose least.
    doses : tuple of (Chosen, Consequence)
        Those that are offered in place of its own, from less to more work; see `other_doses`.
    moves : tuple of MoveOption
        Earlier, then later.
    without : Consequence
        What leaving it out brings, with nothing in its place.
    """

    exchanges: tuple[ExchangeOption, ...]
    doses: tuple[tuple[Chosen, Consequence], ...]
    moves: tuple[MoveOption, MoveOption]
    without: Consequence


class Options:
    """What can be done by hand to the exercises of a planned session.

    Parameters
    ----------
    planned : Planned
    order : sequence of str
        The order by hand, which exchanges keep.
    """

    def __init__(self, planned: Planned, *, order: Sequence[str] = ()) -> None:
        self.session, self.order = planned.session, tuple(order)
        self.limit_s = int(self.session.minutes * 60)
        self.items = chosen_of(self.session)
        self.timing = Timing()
        model = SessionModel(
            _offered(planned),
            limit_s=self.limit_s,
            kind=kind_named(self.session.kind),
            # What was asked for by hand may be exchanged by hand too.
            asked=replace(planned.asked, keep=(), without=(), doses=(), earlier=()),
        )
        self.measure = model.measure
        self.served = served_by(self.items, measure=self.measure, timing=self.timing)
        self._exchanges = Exchanges(model, self.items)

    def of(self, id_: str) -> ItemOptions:
        """Return what can be done to the exercise `id_` of the session."""
        mine = next(each for each in self.items if each.candidate.id == id_)
        return ItemOptions(
            exchanges=self._exchanges_of(mine.candidate),
            doses=self._doses_of(mine),
            moves=(self._move(mine, "earlier"), self._move(mine, "later")),
            without=self._consequence([each for each in self.items if each is not mine]),
        )

    def of_other_setup(self, candidate: Candidate) -> Consequence:
        """Return what it brings to set an exercise of the session up as in `candidate`, which has its id."""
        other = [
            replace(each, candidate=candidate) if each.candidate.id == candidate.id else each for each in self.items
        ]
        # Times are kept by exercise and dose, which the other set-up shares with the present one.
        total, served = Timing().total(other), served_by(other, measure=self.measure)
        return self._against(total, served)

    def _exchanges_of(self, candidate: Candidate) -> tuple[ExchangeOption, ...]:
        found = []
        for into in self._exchanges.outside:
            exchange = self._exchanges.best(out=candidate, into=into)
            if exchange is not None:
                option = ExchangeOption(
                    into=exchange.into,
                    within_part=exchange.within_part,
                    consequence=self._consequence(arranged(exchange.items, self.order, self.timing)),
                )
                found.append((not exchange.within_part, [-number for number in exchange.served.rank], into.id, option))
        return tuple(option for *_, option in sorted(found, key=lambda each: each[:3]))

    def _doses_of(self, mine: Chosen) -> tuple[tuple[Chosen, Consequence], ...]:
        return tuple(
            (other, self._consequence([other if each is mine else each for each in self.items]))
            for other in other_doses(mine)
        )

    def _move(self, mine: Chosen, direction: Direction) -> MoveOption:
        at = self.items.index(mine)
        other = at - 1 if direction == "earlier" else at + 1
        place = place_in_order(mine.candidate.exercise)
        if not 0 <= other < len(self.items):
            return MoveOption(direction=direction, reason="nothing is left to change places with")
        neighbour = self.items[other]
        if place_in_order(neighbour.candidate.exercise) != place:
            return MoveOption(direction=direction, reason=_kept_apart(mine, neighbour))
        new = list(self.items)
        new[at], new[other] = new[other], new[at]
        group = tuple(each.candidate.id for each in new if place_in_order(each.candidate.exercise) == place)
        kept = tuple(id_ for id_ in self.order if id_ not in group)
        return MoveOption(
            direction=direction,
            order=(*kept, *group),
            past=neighbour.candidate.exercise.title,
            consequence=self._consequence(new),
        )

    def _consequence(self, items: Sequence[Chosen]) -> Consequence:
        total = self.timing.total(items)
        return self._against(total, served_by(items, measure=self.measure, timing=self.timing))

    def _against(self, total: int, served: Served) -> Consequence:
        longer_s, loses = total - self.timing.total(self.items), _lost(best=self.served, other=served)
        return Consequence(
            longer_s=longer_s,
            over_s=max(0, total - self.limit_s),
            loses=loses,
            gains=_lost(best=served, other=self.served),
            moves_others=longer_s <= -WORTH_FILLING_S
            or (bool(loses) and first_worse(best=self.served, other=served) in BEFORE_WHAT_IS_KEPT),
        )


def _lost(*, best: Served, other: Served) -> str:
    """Return what `other` loses against `best`, when the first wish that differs is served worse."""
    wish = first_worse(best=best, other=other)
    return loss(wish, best=best, other=other) if wish is not None and other.rank < best.rank else ""


def _kept_apart(mine: Chosen, neighbour: Chosen) -> str:
    one, two = mine.candidate.exercise, neighbour.candidate.exercise
    if one.part != two.part:
        return f"{two.title} belongs to the {two.part} part, and the parts keep their order"
    if one.opens_part or two.opens_part:
        opener = one if one.opens_part else two
        return f"{opener.title} opens the {opener.part} part"
    return "work for the front of the shoulder comes after work for its back"


def _offered(planned: Planned) -> tuple[Candidate, ...]:
    """Return the candidates that the session was chosen from: without those that a notice bars, or that are new."""
    kind = kind_named(planned.session.kind)
    return choosable(planned.prepared.candidates, kind=kind, asked=planned.asked)[0]


def time_in_words(consequence: Consequence) -> str:
    """Return what a change does to the time.

    Examples
    --------
    >>> time_in_words(Consequence(longer_s=-40, over_s=0))
    '0:40 shorter'
    >>> time_in_words(Consequence(longer_s=100, over_s=25))
    '1:40 longer, 0:25 more than there is'
    """
    if consequence.longer_s == 0:
        said = "takes the same time"
    else:
        said = f"{clock(abs(consequence.longer_s))} {'longer' if consequence.longer_s > 0 else 'shorter'}"
    return said + (f", {clock(consequence.over_s)} more than there is" if consequence.over_s else "")
