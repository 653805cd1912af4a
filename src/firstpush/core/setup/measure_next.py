"""What to measure next: for each unknown, which exercises hang on it and by how much it narrows a predicted load.

Set-ups are found once, with every unknown of function at its good end.  Each unknown is then taken to its two ends and
the same set-ups are computed again: pull, load, trunk and chair.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace

import numpy as np

from firstpush.core.exercises.definition import Exercise
from firstpush.core.people.athlete import Athlete, Side, StrengthTest
from firstpush.core.people.athlete_file import STRENGTH_MOVEMENTS
from firstpush.core.people.body_size import body_size
from firstpush.core.setup.again import Outcome, again
from firstpush.core.setup.circumstances import Circumstances, circumstances
from firstpush.core.setup.result import ExerciseSetup
from firstpush.core.setup.search import search_setup
from firstpush.core.setup.targets import INTENSITY, target_for
from firstpush.core.setup.uncertainty import QUANTILES, Draws, draws, samples_of
from firstpush.core.setup.unmeasured import TRUNK, Unmeasured, favourable, unmeasured, untested_sides

SAMPLES = 400
"""Enough for the width of a range: before and after use the same draws."""
SIZES_LOOKED_AT = 5
"""Set-ups, one for each axis loaded, on which a length or a mass is tried."""
LEAST_NARROWED = 0.03
"""Below this share of the width nothing is said to get narrower."""
TITLES_NAMED = 3


@dataclass(frozen=True, kw_only=True)
class Narrowed:
    """The range of one load before and after measuring [N·m]."""

    title: str
    before: tuple[float, float]
    after: tuple[float, float]
    to_begin_with: bool = False
    """Whether it is the load wanted to begin with, rather than the load that a set-up gives."""

    @property
    def share(self) -> float:
        """Share of the width that goes, 0 to 1."""
        before, after = (high - low for low, high in (self.before, self.after))
        return 0.0 if before <= 0 else max(0.0, 1.0 - after / before)

    def __str__(self) -> str:
        before, after = (_range(each, 0) for each in (self.before, self.after))
        if before == after or self.after[1] - self.after[0] < 1:
            before, after = (_range(each, 1) for each in (self.before, self.after))
        load = (
            f"with which load {self.title} begins" if self.to_begin_with else f"how large the load of {self.title} is"
        )
        return f"{load} ({after} N·m instead of {before})"


def _range(ends: tuple[float, float], digits: int) -> str:
    return f"{ends[0]:.{digits}f}-{ends[1]:.{digits}f}"


@dataclass(frozen=True, kw_only=True)
class MeasureNext:
    """One thing to measure, and what knowing it decides.

    Parameters
    ----------
    id : str
        Stable name, such as "trunk", "external_rotation", "strength external rotation" or "chair_caster_share".
    what : str
        In words, with the side.
    keys : tuple of str
        Dotted keys of the athlete file that it fills.
    between : str
        The ends that were looked at, in words; empty where there are none.
    decides : tuple of str
        Titles of the exercises that can be done at one end and not at the other; for the trunk those whose best set-up
        does not hold at its bad end, not even with a tenth of the pull.
    narrows : tuple of Narrowed
        Loads that are known more narrowly afterwards, the most first.
    weight : float
        What it is ranked by: an exercise decided counts 1, a range that gets narrower the share of its width that goes.
    """

    id: str
    what: str
    keys: tuple[str, ...]
    between: str
    decides: tuple[str, ...]
    narrows: tuple[Narrowed, ...]
    weight: float

    @property
    def of_the_trunk(self) -> bool:
        """Whether it is the trunk that holds a set-up or not: support, or a lighter band, may do instead."""
        return self.id == TRUNK

    @property
    def words(self) -> str:
        """What knowing it decides, as a clause without a full stop."""
        parts = []
        if self.decides:
            named = ", ".join(self.decides[:TITLES_NAMED])
            more = len(self.decides) - TITLES_NAMED
            rest = f" and {more} more" if more > 0 else ""
            if self.of_the_trunk:
                parts.append(f"decides whether the best set-ups of {named}{rest} hold without added support")
            else:
                parts.append(f"decides whether {named}{rest} can be done")
        if self.narrows:
            first, others = self.narrows[0], len(self.narrows) - 1
            rest = "" if not others else f", and {others} other load{'s' if others > 1 else ''}"
            parts.append(f"tells more closely {first}{rest}")
        return "; ".join(parts)


@dataclass(frozen=True, kw_only=True)
class _Base:
    """A set-up found, its load and the range of it as shares of the load."""

    exercise: Exercise
    setup: ExerciseSetup
    load: float | None
    share: tuple[float, float]


def measure_next(
    case: Circumstances, exercises: Iterable[Exercise], *, best: int | None = None
) -> tuple[MeasureNext, ...]:
    """Return what to measure next of the athlete, what would decide most first.

    Parameters
    ----------
    case : Circumstances
        The athlete with what is known, in one venue with one cupboard.
    exercises : iterable of Exercise
    best : int, optional
        How many to return at most.

    Returns
    -------
    tuple of MeasureNext
        None of them without an effect; empty when nothing that was left out would change anything.

    Holds for
    ---------
    One unknown at a time, all other unknowns of function at their good end and sizes at their estimate.  Sizes are
    tried on one exercise for each axis loaded, and count for all that load something.
    """
    good = circumstances(favourable(case.athlete), case.kit, case.venue, on=case.on)
    good = replace(good, load_share=case.load_share)
    drawn = draws(np.random.default_rng(20), samples=SAMPLES)
    bases = tuple(_bases(good, exercises, drawn))
    found = [_effect(good, each, bases, drawn) for each in unmeasured(case.athlete)]
    found += [_effect_of_strength(good, case.athlete, movement_, bases) for movement_ in STRENGTH_MOVEMENTS]
    ranked = sorted((each for each in found if each.weight > 0), key=lambda each: -each.weight)
    return tuple(ranked[:best])


def _bases(good: Circumstances, exercises: Iterable[Exercise], drawn: Draws) -> Iterator[_Base]:
    for exercise in exercises:
        for side in _SIDES_TO_TRY:
            setup = search_setup(exercise, good, side=side, best=1, ranges=False).best
            if setup is not None:
                load = None if setup.peak is None else setup.peak.value
                yield _Base(exercise=exercise, setup=setup, load=load, share=_range_share(setup, drawn))
                break


_SIDES_TO_TRY: tuple[Side, Side] = ("right", "left")
"""One side stands for both, unless only the other can do the exercise."""


def _range_share(setup: ExerciseSetup, drawn: Draws) -> tuple[float, float]:
    """Return the range of the load as shares of it."""
    if setup.load is None or setup.peak is None or setup.limiting is None:
        return 1.0, 1.0
    if setup.band is not None and setup.band.tension is None:
        return 1.0, 1.0
    low, high = np.quantile(samples_of(setup, drawn).peak, QUANTILES)
    return float(low) / setup.peak.value, float(high) / setup.peak.value


def _effect(good: Circumstances, each: Unmeasured, bases: tuple[_Base, ...], drawn: Draws) -> MeasureNext:
    looked_at, weigh = bases, 1.0
    decides: list[str] = []
    narrows: list[Narrowed] = []
    if each.kind != "function":
        looked_at = tuple(_one_for_each_axis(bases))
        weigh = sum(base.load is not None for base in bases) / max(len(looked_at), 1)
    if each.kind == "sharper":
        body = body_size(each.high(good.athlete))
        narrows = [_sharper(base, replace(base.setup, body=body), drawn) for base in looked_at]
    else:
        ends = [_case_with(good, athlete) for athlete in (each.low(good.athlete), each.high(good.athlete))]
        for base in looked_at:
            outcomes = [again(base.setup, end, found_for=good) for end in ends]
            if outcomes[0].possible != outcomes[1].possible:
                decides.append(base.exercise.title)
            elif all(outcome.possible for outcome in outcomes):
                narrows += _between(base, outcomes)
    narrows = sorted((one for one in narrows if one.share >= LEAST_NARROWED), key=lambda one: -one.share)
    return MeasureNext(
        id=each.id,
        what=each.what,
        keys=each.keys,
        between=each.between,
        decides=tuple(decides),
        narrows=tuple(narrows),
        weight=weigh * (len(decides) + sum(one.share for one in narrows)),
    )


def _one_for_each_axis(bases: tuple[_Base, ...]) -> Iterator[_Base]:
    """Return set-ups with a stated load, one for each axis, those on a post first."""
    stated = [base for base in bases if base.load is not None and base.setup.band is not None]
    stated.sort(key=lambda base: base.setup.band is None or base.setup.band.post is None)
    by_axis = {base.setup.exercise.loads: base for base in reversed(stated)}
    yield from [base for base in stated if by_axis[base.setup.exercise.loads] is base][:SIZES_LOOKED_AT]


def _case_with(good: Circumstances, athlete: Athlete) -> Circumstances:
    """Return the circumstances of a changed athlete; what does not hang on the body stays."""
    same_body = replace(athlete, trunk=good.athlete.trunk, left=good.athlete.left, right=good.athlete.right)
    if same_body == good.athlete:
        return replace(good, athlete=athlete)
    return replace(circumstances(athlete, good.kit, good.venue, on=good.on), load_share=good.load_share)


def _sharper(base: _Base, known: ExerciseSetup, drawn: Draws) -> Narrowed:
    """Return the range before and after a length is measured: the same length, with the spread of a tape."""
    assert base.load is not None
    after = _range_share(known, drawn)
    return Narrowed(
        title=base.exercise.title,
        before=(base.load * base.share[0], base.load * base.share[1]),
        after=(base.load * after[0], base.load * after[1]),
    )


def _between(base: _Base, outcomes: list[Outcome]) -> list[Narrowed]:
    """Return the range over both ends, and the range that one of them would have; nothing where the load stays."""
    loads = [outcome.load for outcome in outcomes if outcome.load is not None]
    if base.load is None or len(loads) < len(outcomes):
        return []
    low, high = base.share
    middle = (min(loads) + max(loads)) / 2
    return [
        Narrowed(
            title=base.exercise.title,
            before=(min(loads) * low, max(loads) * high),
            after=(middle * low, middle * high),
        )
    ]


def _effect_of_strength(
    good: Circumstances, athlete: Athlete, of_movement: str, bases: tuple[_Base, ...]
) -> MeasureNext:
    """Return what a strength test would narrow: the load wanted, from the lightest start to the most allowed."""
    sides = untested_sides(athlete, of_movement)
    narrows: list[Narrowed] = []
    for base in bases:
        exercise = base.setup.exercise
        first = target_for(exercise, good.athlete, side=base.setup.side, today=good.today)
        if exercise.loads != of_movement or first is None or base.setup.side not in sides:
            continue
        ends = (first.value / INTENSITY.value, first.largest / INTENSITY.value)
        tested = [_tested(good, exercise, base.setup.side, of_movement, sides, moment) for moment in ends]
        low, high = min(tested), max(tested)
        middle = float(np.sqrt(low * high))
        off = middle * INTENSITY.spread / INTENSITY.value
        narrows.append(
            Narrowed(title=exercise.title, before=(low, high), after=(middle - off, middle + off), to_begin_with=True)
        )
    narrows = sorted((one for one in narrows if one.share >= LEAST_NARROWED), key=lambda one: -one.share)
    return MeasureNext(
        id=f"strength {of_movement}",
        what=f"strength of {of_movement}, {' and '.join(sides)}",
        keys=("strength",),
        between="",
        decides=(),
        narrows=tuple(narrows),
        weight=sum(one.share for one in narrows),
    )


def _tested(
    good: Circumstances, exercise: Exercise, side: Side, of_movement: str, sides: tuple[Side, ...], moment: float
) -> float:
    """Return the load wanted of an exercise if `sides` were tested with `moment` [N·m], in its own position."""
    wanted = []
    for position in ("arm at side", "arm at 90 degrees"):
        tests = tuple(
            StrengthTest(side=each, movement=of_movement, moment=moment, position=position, test="make")
            for each in sides
        )
        athlete = replace(good.athlete, strength=(*good.athlete.strength, *tests))
        target = target_for(exercise, athlete, side=side, today=good.today)
        assert target is not None, "an exercise that had a target keeps it"
        wanted.append(target.value)
    # A test in another position counts for less.
    return max(wanted)
