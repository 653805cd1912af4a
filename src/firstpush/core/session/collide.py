"""When what is asked by hand does not fit together: the smallest set that collides, and what would help.

Every wish asked by hand is held to, so some sets of them have no session.  A set is judged by the shortest session
that does what it asks; sets are tried from the smallest up.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import combinations
from typing import Literal

from firstpush.core.exercises.definition import DoseOption
from firstpush.core.people.athlete import Side
from firstpush.core.session.asked import Asked
from firstpush.core.session.candidate import Candidate, Chosen, LeftOut
from firstpush.core.session.kinds import Kind, with_sets
from firstpush.core.session.model import Budget, SessionModel
from firstpush.core.session.model_wishes import training
from firstpush.core.session.order import cheapest_order
from firstpush.core.session.timeline import clock, work_seconds
from firstpush.core.session.timing import Timing
from firstpush.core.words import listed

COLLIDING_BUDGET = 4.0
"""Deterministic seconds of CP-SAT for all sets together; only sets with aims need any."""
_LONG = 24 * 3600
"""No session asked for by hand is longer [s]."""

WishKind = Literal["minutes", "keep", "dose", "aim", "without"]


@dataclass(frozen=True, kw_only=True)
class HardWish:
    """One thing asked by hand: `about` is an exercise id or an aim, `dose` the name of a dose."""

    kind: WishKind
    about: str = ""
    dose: str = ""


@dataclass(frozen=True, kw_only=True)
class CollidingWish:
    """One wish of a collision.

    Parameters
    ----------
    wish : HardWish
    words : str
        What is asked, for example "Low row is kept".
    change : str
        The smallest change of this wish alone that lets the others stand, for example "give 1:40 more".  One with
        which everything asked fits comes before a smaller one with which more would collide.
    is_enough : bool
        Whether everything asked fits with this change alone.
    more_s : int
        For the minutes: how much is missing [s].
    dose : str
        For an exercise: the name of the dose that fits; empty when another change does.
    sides : tuple of str
        For an exercise: the one side on which it fits; empty when another change does.
    """

    wish: HardWish
    words: str
    change: str
    is_enough: bool = True
    more_s: int = 0
    dose: str = ""
    sides: tuple[Side, ...] = ()


@dataclass(frozen=True, kw_only=True)
class Collision:
    """The smallest set of wishes that no session serves together.

    Parameters
    ----------
    wishes : tuple of CollidingWish
        None of them can be left out of the set: without any one, the others fit together.
    because : str
        What is in the way, in one sentence without a full stop.
    """

    wishes: tuple[CollidingWish, ...]
    because: str

    @property
    def others_too(self) -> bool:
        """Whether more collides: none of the changes alone makes room for everything asked."""
        return not any(each.is_enough for each in self.wishes)


def wishes_of(asked: Asked) -> tuple[HardWish, ...]:
    """Return everything asked by hand, the minutes first."""
    doses = dict(asked.doses)
    return (
        HardWish(kind="minutes"),
        *(HardWish(kind="keep", about=id_) for id_ in asked.wanted if id_ not in doses),
        *(HardWish(kind="dose", about=id_, dose=name) for id_, name in asked.doses),
        *(HardWish(kind="aim", about=aim) for aim in dict.fromkeys(asked.aims)),
        *(HardWish(kind="without", about=id_) for id_ in dict.fromkeys(asked.without)),
    )


def collision(
    candidates: Sequence[Candidate], *, asked: Asked, limit_s: int, kind: Kind, left_out: Sequence[LeftOut] = ()
) -> Collision | None:
    """Return the smallest set of wishes that collide; None when a session exists.

    Parameters
    ----------
    candidates : sequence of Candidate
        What a session can be made of.
    asked : Asked
        What is asked by hand.
    limit_s : int
        The time there is [s].
    kind : Kind
    left_out : sequence of LeftOut
        Exercises that cannot be done here, with their reasons.
    """
    return _Judge(candidates, asked=asked, limit_s=limit_s, kind=kind, left_out=left_out).find()


class _Judge:
    """Says of any set of wishes how long the shortest session is that does what they ask."""

    def __init__(
        self,
        candidates: Sequence[Candidate],
        *,
        asked: Asked,
        limit_s: int,
        kind: Kind,
        left_out: Sequence[LeftOut] = (),
    ) -> None:
        self.known = {each.id: each for each in candidates}
        self.all = wishes_of(asked)
        self.limit_s = limit_s
        self.kind = kind
        self.out = {each.exercise.id: each for each in left_out}
        self.timing = Timing()
        self.budget = Budget(left=COLLIDING_BUDGET)
        self._shortest: dict[frozenset[HardWish], int | None] = {}

    def find(self) -> Collision | None:
        if self.fits(self.all):
            return None
        members = self._smallest()
        return Collision(
            wishes=tuple(self._changed(wish, members) for wish in members),
            because=self._because(members),
        )

    def fits(self, wishes: Sequence[HardWish]) -> bool:
        """Whether a session does all that `wishes` ask."""
        timeless = [wish for wish in wishes if wish.kind != "minutes"]
        shortest = self.shortest(timeless)
        return shortest is not None and (len(timeless) == len(wishes) or shortest <= self.limit_s)

    def shortest(self, wishes: Sequence[HardWish], swapped: Candidate | None = None) -> int | None:
        """Return the length of the shortest session that does what `wishes` ask [s]; None when there is none.

        Parameters
        ----------
        wishes : sequence of HardWish
            Without the minutes.
        swapped : Candidate or None
            Stands for the candidate of the same id.
        """
        key = frozenset(wishes)
        if swapped is None and key in self._shortest:
            return self._shortest[key]
        found = self._shortest_of(wishes, swapped)
        if swapped is None:
            self._shortest[key] = found
        return found

    def _shortest_of(self, wishes: Sequence[HardWish], swapped: Candidate | None) -> int | None:
        without = {wish.about for wish in wishes if wish.kind == "without"}
        wanted = {wish.about: wish.dose for wish in wishes if wish.kind in ("keep", "dose")}
        aims = [wish.about for wish in wishes if wish.kind == "aim"]
        known = dict(self.known) if swapped is None else {**self.known, swapped.id: swapped}
        if without & set(wanted) or set(wanted) - set(known):
            return None
        kept = [known[id_] for id_ in wanted]
        families = [each.family for each in kept if each.family is not None]
        if len(set(families)) < len(families):
            return None
        allowed = [each for each in known.values() if each.id not in without]
        begun = all(
            not each.exercise.after_any or set(each.exercise.after_any) & set(wanted) for each in kept or allowed
        )
        if not aims and begun:
            # Times are kept by exercise and dose, which a cut exercise shares with the whole one.
            timing = self.timing if swapped is None else Timing()
            # Changes do not depend on doses: the quickest dose of each is the shortest session.
            chosen = [_quickest(each, wanted.get(each.id, ""), timing) for each in kept or allowed]
            if kept:
                return timing.total(cheapest_order(chosen, timing))
            return min((timing.total([each]) for each in chosen), default=None)
        relevant = [
            each for each in allowed if not (kept or aims) or each.id in wanted or set(each.exercise.aims) & set(aims)
        ]
        openers = {id_ for each in relevant for id_ in each.exercise.after_any}
        relevant += [each for each in allowed if each.id in openers and each not in relevant]
        asked = Asked(
            keep=tuple(id_ for id_, dose in wanted.items() if not dose),
            doses=tuple((id_, dose) for id_, dose in wanted.items() if dose),
            aims=tuple(aims),
        )
        model = SessionModel(relevant, limit_s=_LONG, kind=self.kind, asked=asked)
        # A side counts only where something known can train it, whatever is left out.
        if any(
            set(self._sides(aim, list(known.values()))) - set(training(model.candidates, aim))
            or not training(model.candidates, aim)
            for aim in aims
        ):
            return None
        items = model.shortest_session(budget=self.budget)
        return None if items is None else Timing().total(items)

    def _sides(self, aim: str, known: Sequence[Candidate]) -> Iterator[str]:
        return (side for each in known if aim in each.exercise.aims for side in each.sides)

    def _smallest(self) -> tuple[HardWish, ...]:
        """Return a set that collides and has no smaller one: first by leaving out, then by trying all smaller sets."""
        members = list(self.all)
        for wish in self.all:
            rest = [each for each in members if each != wish]
            if not self.fits(rest):
                members = rest
        for size in range(1, len(members)):
            for some in combinations(self.all, size):
                if not self.fits(some):
                    return some
        return tuple(members)

    def _title(self, id_: str) -> str:
        if id_ in self.known:
            return self.known[id_].exercise.title
        return self.out[id_].exercise.title if id_ in self.out else id_

    def _words(self, wish: HardWish) -> str:
        match wish.kind:
            case "minutes":
                return f"there are {clock(self.limit_s)}"
            case "keep":
                return f"{self._title(wish.about)} must be there"
            case "dose":
                return f"{self._title(wish.about)} is done in {wish.dose}"
            case "aim":
                return f"{wish.about} must be trained"
            case "without":
                return f"{self._title(wish.about)} is left out"

    def _because(self, members: Sequence[HardWish]) -> str:
        for wish in members:
            if wish.kind in ("keep", "dose") and wish.about in self.out and wish.about not in self.known:
                return f"{self._title(wish.about)} cannot be done here: {self.out[wish.about].reason}"
        timeless = [wish for wish in members if wish.kind != "minutes"]
        shortest = self.shortest(timeless)
        if shortest is not None:
            return f"{clock(self.limit_s)} are {clock(shortest - self.limit_s)} too short"
        kept = [wish.about for wish in members if wish.kind in ("keep", "dose")]
        if set(kept) & {wish.about for wish in members if wish.kind == "without"}:
            return f"{self._title(kept[0])} cannot be there and be left out"
        aims = [wish.about for wish in members if wish.kind == "aim"]
        if aims:
            return (
                f"nothing that is left trains {listed(aims)}" if len(members) > 1 else f"nothing here trains {aims[0]}"
            )
        if kept:
            return (
                f"{listed([self._title(id_) for id_ in kept])} are steps of each other, and a session holds one of them"
            )
        return "nothing is left that a session could be made of"

    def _changed(self, wish: HardWish, members: Sequence[HardWish]) -> CollidingWish:
        """Return a wish with the smallest change of it that lets all others stand, or else the other members."""
        others = [each for each in members if each != wish]
        all_others = [each for each in self.all if each != wish]
        asked = CollidingWish(wish=wish, words=self._words(wish), change="", is_enough=self.fits(all_others))
        match wish.kind:
            case "minutes":
                alone, for_all = self.shortest(others), self.shortest(all_others)
                assert alone is not None, "the others fit together without the minutes"
                more = (alone if for_all is None else for_all) - self.limit_s
                words = f"give {clock(more)} more"
                if for_all is not None and for_all > alone:
                    words += ", for all that is asked"
                return replace(asked, change=words, more_s=more)
            case "aim":
                return replace(asked, change=f"do not ask for {wish.about} in this session")
            case "without":
                return replace(asked, change=f"allow {self._title(wish.about)}")
            case _:
                less = self._less_of(asked, all_others, is_enough=True)
                if less is None and not asked.is_enough:
                    less = self._less_of(asked, others, is_enough=False)
                return less or replace(asked, change=f"leave {self._title(wish.about)} out")

    def _less_of(self, asked: CollidingWish, others: Sequence[HardWish], *, is_enough: bool) -> CollidingWish | None:
        """Return the smallest cut of one exercise that lets `others` stand; None when only leaving it out might."""
        wish = asked.wish
        if wish.about not in self.known or not any(each.kind == "minutes" for each in others):
            return None
        candidate = self.known[wish.about]
        whole = _quickest(candidate, wish.dose, self.timing)
        timeless = [each for each in others if each.kind != "minutes"]
        helping = []
        for words, cut in _cuts(whole):
            with_cut = [*timeless, HardWish(kind="keep", about=candidate.id)]
            shortest = self.shortest(with_cut, swapped=cut.candidate)
            if shortest is not None and shortest <= self.limit_s:
                helping.append((_lost(whole, cut), words, cut))
        if not helping:
            return None
        _, words, cut = min(helping, key=lambda each: each[:2])
        found = replace(asked, change=words, is_enough=is_enough)
        if cut.candidate.sides != candidate.sides:
            return replace(found, sides=cut.candidate.sides)
        return replace(found, dose=cut.dose.name)


def _quickest(candidate: Candidate, dose: str, timing: Timing) -> Chosen:
    doses = [each for each in candidate.exercise.doses if not dose or each.name == dose]
    return min((Chosen(candidate=candidate, dose=each) for each in doses), key=timing.doing)


def _cuts(asked: Chosen) -> Iterator[tuple[str, Chosen]]:
    """Yield shorter ways to do an exercise: another dose of its file, fewer sets, one side only."""
    candidate, dose = asked.candidate, asked.dose
    title = candidate.exercise.title
    for other in candidate.exercise.doses:
        if other != dose:
            yield f"do {title} in {other.name}", _only(candidate, other)
    # Outside strength the sets of a dose are its two directions or its rounds: half of that is not the exercise.
    for sets in range(dose.sets - 1, 0, -1) if candidate.exercise.part == "strength" else ():
        fewer = with_sets(dose, sets)
        yield f"do {title} in {fewer.name}", _only(candidate, fewer)
    if len(candidate.sides) == 2 and not candidate.together:
        for side in candidate.sides:
            one = replace(candidate, sides=(side,))
            yield f"do {title} on the {side} side only", _only(one, dose)


def _only(candidate: Candidate, dose: DoseOption) -> Chosen:
    return Chosen(candidate=replace(candidate, exercise=replace(candidate.exercise, doses=(dose,))), dose=dose)


def _lost(asked: Chosen, cut: Chosen) -> int:
    """Return the seconds of work that a cut gives up [s]."""
    return work_seconds(asked) - work_seconds(cut)
