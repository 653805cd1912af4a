"""What is wished of a training week, and how much a given week is worth; see docs/why/programme.md.

Everything is counted in one unit: a second of setting up saved.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from firstpush.core.exercises.definition import PARTS, DoseOption, Exercise
from firstpush.core.measured import Measured
from firstpush.core.people.athlete import SIDES, Side
from firstpush.core.session.candidate import Candidate, Chosen
from firstpush.core.session.timing import Timing
from firstpush.core.session.wishes import RATIO_STEP, aim_weight, balanced_sides, missing_tenths


def _worth(name: str, value: float, source: str) -> Measured:
    return Measured(name=name, value=value, unit="s", spread=value / 2, source=source, known="our choice")


AIM_DAYS = (
    _worth("an aim trained on a first day of the week, each side", 120, "a gap of a week is what hurts most"),
    _worth("on a second day", 80, "twice a week is what guidelines ask (Martin Ginis 2018, Garber 2011, read)"),
    _worth("on a third day", 40, "programmes that worked were done three times a week (Andersson 2017, read)"),
)
"""Worth of an aim by how many days it is trained; a core aim counts as several others, as in a session."""
STRENGTH_DAY_MISSING = _worth(
    "a full strength day that a major aim lacks, each side", 400, "more than any one exercise is worth"
)
PART_MISSING = _worth("a part of the session that stays empty on a day", 800, "a session has all its parts")
BACK_MISSING = _worth(
    "a set that the back of a shoulder lacks of its share on one day", 50, "the week keeps the balance anyway"
)
NEW_EXERCISE = _worth("a different exercise that is new to the athlete", 120, "learning takes minutes and attention")
KNOWN_EXERCISE = _worth("a different exercise that is familiar", 40, "each has to be kept in mind")
REPEATED_DAY = _worth(
    "a day on which a strength exercise is repeated beyond half of the days", 60, "other loads, and no boredom"
)
WORK = _worth("three seconds in which an arm works near its wanted load", 1, "time is filled with work")
WORTHS = (
    *AIM_DAYS,
    STRENGTH_DAY_MISSING,
    PART_MISSING,
    BACK_MISSING,
    NEW_EXERCISE,
    KNOWN_EXERCISE,
    REPEATED_DAY,
    WORK,
)
"""Every weight of the week."""
WORK_PER_POINT = 3.0

MAJOR_STRENGTH_AIMS = frozenset({"scapular retraction", "scapular protraction", "external rotation", "anti-rotation"})
STRENGTH_DAYS = Measured(
    name="days a week with full strength work for each major aim",
    value=2.0,
    unit="days",
    spread=0.0,
    source="strength for each major muscle group twice a week (Martin Ginis 2018, Garber 2011)",
    known="read",
)
FULL_SETS = Measured(
    name="sets of one exercise from which its dose is full; fewer are light",
    value=2.0,
    unit="sets",
    spread=1.0,
    source="two sets of eight to twelve are usual; guidelines ask for three",
    known="common practice",
)
MUSCLES = {
    "scapular retraction": "shoulder blade, back",
    "scapular protraction": "shoulder blade, front",
    "external rotation": "turning out",
    "internal rotation": "turning in",
    "shoulder extension": "pulling back and down",
    "shoulder adduction": "pulling back and down",
    "shoulder elevation": "lifting",
    "elbow extension": "stretching the elbow",
    "wrist extension": "lifting the wrist",
    "trunk turn": "trunk",
    "anti-rotation": "trunk",
}
"""The muscle group that a strength exercise loads, by its aim; two aims of one group rest together."""


@dataclass(frozen=True, kw_only=True)
class SideClass:
    """Sides on which the same exercises can be done: they count alike, and each once."""

    ids: frozenset[str]
    sides: tuple[Side, ...]


@dataclass(frozen=True, kw_only=True)
class WeekRules:
    """What weeks are measured against.

    Parameters
    ----------
    offered : tuple of Candidate
        All that is chosen from.
    days : int
        Training days in the week.
    limit_s : int
        Time of each day [s].
    familiar : frozenset of str
        Ids of exercises the athlete has done before.
    back_to_front : float
        Sets at the back of the shoulder for each at its front.
    in_a_row : tuple of (int, int)
        Training days that follow each other without a day between, by their number from 0.
    """

    offered: tuple[Candidate, ...]
    days: int
    limit_s: int
    familiar: frozenset[str] = frozenset()
    back_to_front: float = 2.0
    in_a_row: tuple[tuple[int, int], ...] = ()

    @property
    def tenths_of_ratio(self) -> int:
        """The ratio in tenths, so that sets are compared in whole numbers."""
        return round(RATIO_STEP * self.back_to_front)

    @property
    def full_days(self) -> int:
        """Days on which a major aim wants full strength work."""
        return min(int(STRENGTH_DAYS.value), self.days)

    @property
    def free_repeats(self) -> int:
        """Days on which a strength exercise may come without costing variety: half of them, rounded up."""
        return (self.days + 1) // 2


@dataclass(frozen=True, kw_only=True)
class WeekWorth:
    """What a week is worth, wish by wish, in seconds of setting up saved; what is missing or costs is below zero."""

    aims: int
    work: int
    strength_days: int
    parts: int
    balance: int
    to_learn: int
    variety: int
    setting_up: int

    @property
    def total(self) -> int:
        """All of it together."""
        return sum(self.as_dict.values())

    @property
    def as_dict(self) -> dict[str, int]:
        """Each wish by its name."""
        return {
            "aims": self.aims,
            "work": self.work,
            "strength days": self.strength_days,
            "parts": self.parts,
            "balance": self.balance,
            "to learn": self.to_learn,
            "variety": self.variety,
            "setting up": self.setting_up,
        }


def side_classes(offered: Iterable[Candidate]) -> tuple[SideClass, ...]:
    """Return the sides that work, those with the same exercises together; in an order that no mirror changes."""
    known = list(offered)
    by_ids: dict[frozenset[str], list[Side]] = {}
    for side in SIDES:
        ids = frozenset(each.id for each in known if side in each.sides)
        if ids:
            by_ids.setdefault(ids, []).append(side)
    return tuple(SideClass(ids=ids, sides=tuple(by_ids[ids])) for ids in sorted(by_ids, key=sorted))


def muscles_of(exercise: Exercise) -> frozenset[str]:
    """Return the muscle groups that a strength exercise loads; none outside the strength part."""
    if exercise.part != "strength":
        return frozenset()
    return frozenset(MUSCLES[aim] for aim in exercise.aims if aim in MUSCLES)


def is_full(dose: DoseOption) -> bool:
    """Whether a dose is full; a light one may come on two days in a row."""
    return dose.sets >= FULL_SETS.value


def is_full_strength(chosen: Chosen, aim: str) -> bool:
    """Whether it is full strength work for `aim`."""
    exercise = chosen.candidate.exercise
    return exercise.part == "strength" and aim in exercise.aims and is_full(chosen.dose)


def work_worth(chosen: Chosen) -> int:
    """Return the worth of the seconds in which each arm works, weighted by how well the set-up fits its wish."""
    seconds = chosen.dose.sets * chosen.dose.set_seconds * len(chosen.candidate.sides)
    return round(WORK.value * chosen.candidate.preference * seconds / WORK_PER_POINT)


def learning_cost(candidate: Candidate, rules: WeekRules) -> int:
    """Return what it costs to have one more different exercise in the week."""
    return int((KNOWN_EXERCISE if candidate.id in rules.familiar else NEW_EXERCISE).value)


def worth_of(days: Sequence[Sequence[Chosen]], rules: WeekRules, *, timing: Timing | None = None) -> WeekWorth:
    """Return what a week of `days` is worth, each done in its order.

    Parameters
    ----------
    days : sequence of sequences of Chosen
        The exercises of each training day.
    rules : WeekRules
        What was offered and asked.
    timing : Timing, optional
        Times already worked out, where many weeks are weighed.
    """
    times = timing if timing is not None else Timing()
    ids = [{each.candidate.id for each in day} for day in days]
    chosen = {each.candidate.id: each.candidate for day in days for each in day}
    return WeekWorth(
        aims=_aims(days, rules),
        work=sum(work_worth(each) for day in days for each in day),
        strength_days=-_missing_strength_days(days, rules) * int(STRENGTH_DAY_MISSING.value),
        parts=-_missing_parts(days, rules) * int(PART_MISSING.value),
        balance=-_missing_tenths_on_days(days, rules) * round(BACK_MISSING.value / RATIO_STEP),
        to_learn=-sum(learning_cost(each, rules) for each in chosen.values()),
        variety=-int(REPEATED_DAY.value)
        * sum(
            max(0, sum(id_ in day for day in ids) - rules.free_repeats)
            for id_, each in chosen.items()
            if each.exercise.part == "strength"
        ),
        setting_up=-sum(times.changes(day) + sum(map(times.side_changes, day)) for day in days),
    )


def _aims(days: Sequence[Sequence[Chosen]], rules: WeekRules) -> int:
    total = 0
    for group in side_classes(rules.offered):
        trained: dict[str, int] = {}
        for day in days:
            for aim in {a for each in day if each.candidate.id in group.ids for a in each.candidate.exercise.aims}:
                trained[aim] = trained.get(aim, 0) + 1
        for aim, count in trained.items():
            total += len(group.sides) * aim_weight(aim) * sum(int(each.value) for each in AIM_DAYS[:count])
    return total


def major_aims_of(group: SideClass, rules: WeekRules) -> tuple[str, ...]:
    """Return the major aims that strength work offered for these sides trains."""
    mine = [each.exercise for each in rules.offered if each.id in group.ids and each.exercise.part == "strength"]
    return tuple(sorted(MAJOR_STRENGTH_AIMS & {aim for exercise in mine for aim in exercise.aims}))


def _missing_strength_days(days: Sequence[Sequence[Chosen]], rules: WeekRules) -> int:
    missing = 0
    for group in side_classes(rules.offered):
        for aim in major_aims_of(group, rules):
            full = sum(any(is_full_strength(each, aim) and each.candidate.id in group.ids for each in d) for d in days)
            missing += len(group.sides) * max(0, rules.full_days - full)
    return missing


def _missing_parts(days: Sequence[Sequence[Chosen]], rules: WeekRules) -> int:
    offered = {each.exercise.part for each in rules.offered}
    return sum(
        part in offered and part not in {each.candidate.exercise.part for each in day} for day in days for part in PARTS
    )


def _missing_tenths_on_days(days: Sequence[Sequence[Chosen]], rules: WeekRules) -> int:
    return sum(
        missing_tenths(day, side, ratio=rules.back_to_front) for day in days for side in balanced_sides(rules.offered)
    )
