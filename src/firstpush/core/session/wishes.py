"""What is wished of a session, in order, and how well a given session serves each wish; see docs/why/session.md."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from typing import Literal

from firstpush.core.exercises.definition import PARTS, Exercise, Part
from firstpush.core.measured import Measured
from firstpush.core.people.athlete import SIDES, Side
from firstpush.core.session.asked import Asked
from firstpush.core.session.candidate import Candidate, Chosen
from firstpush.core.session.kinds import Kind, kind_named
from firstpush.core.session.timing import Timing

WishName = Literal[
    "due",
    "parts",
    "balance",
    "unchanged",
    "aims",
    "even sides",
    "familiar",
    "care",
    "change",
    "fit",
    "work",
    "setting up",
]
WISHES: tuple[WishName, ...] = (
    "due",
    "parts",
    "balance",
    "unchanged",
    "aims",
    "even sides",
    "familiar",
    "care",
    "change",
    "fit",
    "work",
    "setting up",
)
"""The wishes, the one that matters most first; the time, and what is asked for by hand, are no wishes but limits."""

POSTERIOR_AIMS = frozenset({"scapular retraction", "external rotation", "shoulder extension"})
ANTERIOR_AIMS = frozenset({"scapular protraction", "elbow extension", "internal rotation", "shoulder elevation"})
"""Aims at the back and at the front of the shoulder; elbow extension stands for pressing."""

POSTERIOR_RATIO = Measured(
    name="sets at the back of the shoulder for each set at its front",
    value=2.0,
    unit="1",
    spread=0.5,
    source="pushing trains the front; programmes that worked were mostly for the back (Curtis 1999, Mulroy 2011)",
    known="common practice",
)
RATIO_STEP = 10
"""The ratio is counted in tenths, so that sets are compared in whole numbers."""
CORE_AIMS = frozenset(
    {
        "chest length",
        "scapular retraction",
        "shoulder extension",
        "external rotation",
        "anti-rotation",
        "scapular protraction",
        "shoulder control",
        "pushing",
        "warm-up",
    }
)
"""What a session for shoulders that last is about; each counts as several of the others."""
CORE_AIM_WEIGHT = Measured(
    name="other aims that one core aim outweighs",
    value=4.0,
    unit="1",
    spread=1.0,
    source="programmes that lowered shoulder pain were about front length, retraction and rotation (Mulroy 2011)",
    known="our choice",
)
LESSER = 3
"""What an aim counts less in a kind of session where it costs too much time (our choice)."""
PART_STEP = 10
"""Parts are counted in tenths, so that one may count a little more than another."""
PART_WORTH: dict[Part, int] = {
    "mobility": PART_STEP,
    "strength": PART_STEP + 1,
    "control": PART_STEP - 1,
    "court": PART_STEP,
}
"""What a part counts that has an exercise: where one must stay empty it is control, and strength last (our choice)."""
FIT_STEP = 10
"""Preferences are counted in tenths of a set: finer differences between set-ups mean nothing on court."""


def is_posterior(exercise: Exercise) -> bool:
    """Whether it is strength work for the back of the shoulder."""
    return exercise.part == "strength" and bool(POSTERIOR_AIMS & set(exercise.aims))


def is_anterior(exercise: Exercise) -> bool:
    """Whether it is strength work for the front of the shoulder; what also works the back is not counted."""
    return exercise.part == "strength" and bool(ANTERIOR_AIMS & set(exercise.aims)) and not is_posterior(exercise)


MINOR_AIMS = frozenset({"neck mobility", "wrist extension"})
"""Aims that count only where an athlete needs them: otherwise they crowd out the shoulder."""


def aim_weight(aim: str) -> int:
    """Return how much training `aim` counts among the aims of a session, for an athlete without needs of their own."""
    return int(CORE_AIM_WEIGHT.value) if aim in CORE_AIMS else 0 if aim in MINOR_AIMS else 1


def place_in_order(exercise: Exercise) -> int:
    """Return the place in the order of a session: by parts; what opens a part first, the front of the shoulder last."""
    return 3 * PARTS.index(exercise.part) + 1 + is_anterior(exercise) - exercise.opens_part


def fit_of(chosen: Chosen) -> int:
    """Return the sets of both sides weighted by preference, in tenths of a set."""
    return round(FIT_STEP * chosen.candidate.preference) * sum(chosen.candidate.side_sets(chosen.dose).values())


def balanced_sides(offered: Iterable[Candidate]) -> tuple[Side, ...]:
    """Return the sides on which work for the front and for the back is offered, so that balance can be asked."""
    known = list(offered)
    return tuple(
        side
        for side in SIDES
        if any(side in each.sides and is_posterior(each.exercise) for each in known)
        and any(side in each.sides and is_anterior(each.exercise) for each in known)
    )


def missing_tenths(items: Iterable[Chosen], side: Side, *, ratio: float) -> int:
    """Return how many tenths of a set at the back `side` lacks of `ratio` times those at its front; 0 for enough."""
    back = front = 0
    for chosen in items:
        sets = chosen.candidate.side_sets(chosen.dose).get(side, 0)
        back += sets if is_posterior(chosen.candidate.exercise) else 0
        front += sets if is_anterior(chosen.candidate.exercise) else 0
    return max(0, round(RATIO_STEP * ratio) * front - RATIO_STEP * back)


@dataclass(frozen=True, kw_only=True)
class Measure:
    """What sessions are measured against: what was offered, for which kind, and what was asked.

    Parameters
    ----------
    offered : tuple of Candidate
        All that is chosen from: balance and even sides are asked only where they can be had.
    kind : Kind
    asked : Asked
    """

    offered: tuple[Candidate, ...]
    kind: Kind = field(default_factory=lambda: kind_named("before training"))
    asked: Asked = field(default_factory=Asked)

    @cached_property
    def due(self) -> frozenset[str]:
        """Core aims that are due and that something here trains."""
        aims_of = {each.id: each.exercise.aims for each in self.offered}
        offered = {aim for each in self.offered for aim in each.exercise.aims}
        return self.asked.due(aims_of, core=CORE_AIMS & offered)

    @cached_property
    def stale(self) -> frozenset[str]:
        """Exercises done for so long that a change is due."""
        return self.asked.stale()

    def weight(self, aim: str) -> int:
        """Return how much `aim` counts for this athlete in this kind of session."""
        more = sum(need.more for need in self.asked.needs if need.aim == aim)
        return max(0, aim_weight(aim) + more - (aim in self.kind.lesser_aims) * LESSER)

    def credit(self, chosen: Chosen) -> int:
        """Return the sets that count towards an aim being fully trained: one does outside strength, and for the trunk.

        Turning and blocking the chair for each side makes a second set for the trunk cost minutes that the shoulders
        need more (our choice).
        """
        exercise = chosen.candidate.exercise
        one_is_enough = exercise.part != "strength" or exercise.loads == "trunk turn"
        return self.kind.full_sets if one_is_enough else chosen.dose.sets

    def kept(self, chosen: Chosen) -> int:
        """Return how much of the earlier plan an item keeps: 2 for the exercise, 3 with its dose, 0 for a new one."""
        earlier = dict(self.asked.earlier)
        return 0 if chosen.candidate.id not in earlier else 3 if earlier[chosen.candidate.id] == chosen.dose.name else 2

    def is_new(self, candidate: Candidate) -> bool:
        """Whether the athlete never did it, as far as is known."""
        return self.asked.familiar is not None and candidate.id not in self.asked.familiar

    @property
    def uneven(self) -> Mapping[Side, int] | None:
        """+1 for the right and -1 for the left where even sides are asked, else None."""
        both = all(any(side in each.sides for each in self.offered) for side in SIDES)
        return {"left": -1, "right": 1} if self.asked.even_sides and both else None


@dataclass(frozen=True, kw_only=True)
class Served:
    """How well a session serves the wishes.

    Parameters
    ----------
    due, aims, full_aims : frozenset of (str, str)
        Aim and side, for each aim that is due and trained, for each that is trained, and trained in full.
    parts : frozenset of str
        Parts that have an exercise.
    missing_tenths : int
        Tenths of a set that the back of the shoulder lacks, both sides together.
    kept : int
        How much of an earlier plan is kept, see `Measure.kept`.
    aims_worth : int
        What the aims count together: each trained and each trained in full, by its weight.
    uneven : int
        Sets that one side of the strength part has more than the other.
    new, stale : int
        Exercises never done before, and those done for so long that a change is due.
    care : int
        Cautions that exercises carry for this athlete.
    sets : int
        Sets of both sides; no wish of its own.
    fit : int
        Sets weighted by preference, in tenths of a set.
    work_s, setting_up_s : int
        Time in which an arm works, and time for setting up and changing sides [s].
    """

    due: frozenset[tuple[str, Side]]
    parts: frozenset[Part]
    missing_tenths: int
    kept: int
    aims: frozenset[tuple[str, Side]]
    full_aims: frozenset[tuple[str, Side]]
    aims_worth: int
    uneven: int
    new: int
    care: int
    stale: int
    sets: int
    fit: int
    work_s: int
    setting_up_s: int

    @property
    def rank(self) -> tuple[int, ...]:
        """One number for each of `WISHES`, larger is better; sessions are compared by the first that differs."""
        return (
            len(self.due),
            sum(PART_WORTH[part] for part in self.parts),
            -self.missing_tenths,
            self.kept,
            self.aims_worth,
            -self.uneven,
            -self.new,
            -self.care,
            -self.stale,
            self.fit,
            self.work_s,
            -self.setting_up_s,
        )


def served_by(items: Sequence[Chosen], *, measure: Measure, timing: Timing | None = None) -> Served:
    """Return how well `items`, done in this order, serve the wishes, counted as on the timeline.

    Parameters
    ----------
    items : sequence of Chosen
        The session.
    measure : Measure
        What was offered and asked.
    timing : Timing, optional
        Times already worked out, where many sessions are weighed.
    """
    times = timing if timing is not None else Timing()
    credit: dict[tuple[str, Side], int] = {}
    uneven = 0
    for each in items:
        for side in each.candidate.sides:
            for aim in each.candidate.exercise.aims:
                credit[aim, side] = credit.get((aim, side), 0) + measure.credit(each)
            if measure.uneven is not None and each.candidate.exercise.part == "strength":
                uneven += measure.uneven[side] * each.dose.sets
    due, stale = measure.due, measure.stale
    full = frozenset(key for key, sets in credit.items() if sets >= measure.kind.full_sets)
    return Served(
        due=frozenset(key for key in credit if key[0] in due),
        parts=frozenset(each.candidate.exercise.part for each in items),
        missing_tenths=sum(
            missing_tenths(items, side, ratio=measure.asked.back_to_front) for side in balanced_sides(measure.offered)
        ),
        kept=sum(map(measure.kept, items)),
        aims=frozenset(credit),
        full_aims=full,
        aims_worth=sum(measure.weight(aim) for aim, _ in (*credit, *full)),
        uneven=abs(uneven),
        new=sum(measure.is_new(each.candidate) for each in items),
        care=sum(each.candidate.cautions for each in items),
        stale=sum(each.candidate.id in stale for each in items),
        sets=sum(sum(each.candidate.side_sets(each.dose).values()) for each in items),
        fit=sum(map(fit_of, items)),
        work_s=sum(map(times.work, items)),
        setting_up_s=times.changes(items) + sum(map(times.side_changes, items)),
    )


def first_worse(*, best: Served, other: Served) -> WishName | None:
    """Return the first wish that `other` serves otherwise than `best`, which is worse; None when all are equal."""
    return next((wish for wish, _ in _differing(best, other)), None)


def worse_to_tell(*, best: Served, other: Served) -> WishName | None:
    """Return the wish by which to tell why `other` is worse than `best`; None when all are equal.

    That more would change against an earlier plan tells nothing about an exercise: where the next wish that differs is
    worse too, that one is told.
    """
    differing = _differing(best, other)
    if len(differing) > 1 and differing[0][0] == "unchanged":
        wish, is_worse = differing[1]
        if is_worse:
            return wish
    return differing[0][0] if differing else None


def _differing(best: Served, other: Served) -> list[tuple[WishName, bool]]:
    """Return the wishes that the two serve otherwise, in their order, and whether `other` serves each worse."""
    ranks = zip(WISHES, best.rank, other.rank, strict=True)
    return [(wish, one > two) for wish, one, two in ranks if one != two]
