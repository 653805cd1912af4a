"""What to measure next: for each unknown, which exercises hang on it and by how much it narrows a predicted load.

Set-ups are found once, with every unknown of function at its good end.  Each unknown is then taken to its two ends and
the same set-ups are computed again: pull, load, trunk and chair.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace

import numpy as np

from firstpush.core.body.movement import Movement, movement
from firstpush.core.errors import OutOfRangeError
from firstpush.core.exercises.definition import Exercise
from firstpush.core.kit.venue import Post
from firstpush.core.people.athlete import Athlete, Side, StrengthTest
from firstpush.core.people.athlete_file import STRENGTH_MOVEMENTS
from firstpush.core.people.body_size import body_size
from firstpush.core.setup.anchors import anchors
from firstpush.core.setup.build import load_of
from firstpush.core.setup.chair_stability import ASKED_FACTOR as CHAIR_FACTOR
from firstpush.core.setup.circumstances import Circumstances, circumstances
from firstpush.core.setup.judge import Trial, chair, trunk
from firstpush.core.setup.pull_points import forces_on_arms, lines
from firstpush.core.setup.readiness import one_arm, readiness
from firstpush.core.setup.result import BandSetup, ExerciseSetup
from firstpush.core.setup.search import search_setup
from firstpush.core.setup.targets import INTENSITY, target_for
from firstpush.core.setup.trunk_hold import ASKED_FACTOR as TRUNK_FACTOR
from firstpush.core.setup.uncertainty import QUANTILES, Draws, draws, sampled
from firstpush.core.setup.unmeasured import TRUNK, Unmeasured, favourable, unmeasured, untested_sides

SAMPLES = 400
"""Enough for the width of a range: before and after use the same draws."""
SIZES_LOOKED_AT = 6
"""Set-ups, one for each axis loaded, on which a length or a mass is tried."""
SHARES_OF_PULL = np.linspace(0.1, 1.0, 10)
"""Shares of a pull that the trunk is asked about, the largest that holds counts."""
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
        load = "load to begin with" if self.to_begin_with else "load"
        return f"the {load} of {self.title}, from {before} to {after} N·m"


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
            parts.append(f"narrows {first}{rest}")
        return "; ".join(parts)


@dataclass(frozen=True, kw_only=True)
class _Base:
    """A set-up found, its load and the range of it as shares of the load."""

    exercise: Exercise
    setup: ExerciseSetup
    load: float | None
    share: tuple[float, float]


@dataclass(frozen=True, kw_only=True)
class _Outcome:
    """What comes of a set-up when something is otherwise: whether it can be done, and its load [N·m]."""

    possible: bool
    load: float | None


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
    low, high = np.quantile(_samples(setup, drawn), QUANTILES)
    return float(low) / setup.peak.value, float(high) / setup.peak.value


def _samples(setup: ExerciseSetup, drawn: Draws) -> np.ndarray:
    assert setup.load is not None and setup.limiting is not None
    return sampled(
        setup.exercise,
        setup.body,
        setup.chair,
        setup.movement,
        side=setup.side,
        attach=setup.attach,
        band=setup.band,
        ball_mass=setup.ball.mass if setup.ball else 0.0,
        load=setup.load,
        limiting=setup.limiting,
        drawn=drawn,
    ).peak


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
            outcomes = [_again(end, good, base) for end in ends]
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


def _between(base: _Base, outcomes: list[_Outcome]) -> list[Narrowed]:
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


def _again(case: Circumstances, good: Circumstances, base: _Base) -> _Outcome:
    """Compute a set-up again for a changed athlete: the same band, mark and place, as much as trunk and chair hold."""
    setup = base.setup
    if case.athlete == good.athlete:
        return _Outcome(possible=True, load=base.load)
    ready = readiness(setup.exercise, case.athlete, case.kit, side=setup.side)
    if ready.reason is not None:
        return _Outcome(possible=_one_arm_would_do(case, setup), load=None)
    same_body = case.body is good.body and case.athlete.trunk == good.athlete.trunk
    if same_body and ready.attach == setup.attach and ready.exercise.poses == setup.exercise.poses:
        return _Outcome(possible=True, load=base.load)
    moved = setup.movement
    if _sits_otherwise(case, setup) or ready.exercise.poses != setup.exercise.poses:
        try:
            moved = movement(ready.exercise, case.body, case.chair, side=setup.side)
        except OutOfRangeError:
            return _Outcome(possible=False, load=None)
    trial = Trial(
        exercise=ready.exercise,
        side=setup.side,
        movement=moved,
        attach=ready.attach,
        strap=setup.strap,
        free_hand=any(words.startswith("one arm") for words in setup.support),
        ball=setup.ball,
    )
    forces = _forces(case, trial, setup.band, moved)
    if forces is None:
        return _Outcome(possible=True, load=None)
    share = _share_held(case, trial, forces)
    if share == 0.0:
        return _Outcome(possible=False, load=None)
    target = target_for(ready.exercise, case.athlete, side=setup.side, today=case.today)
    load = load_of(case, trial, target)
    if load is None or base.load is None:
        return _Outcome(possible=True, load=None)
    named = load.of({side: share * force for side, force in forces.items()})
    return _Outcome(possible=True, load=float(named[load.limiting_frame(named)]))


def _sits_otherwise(case: Circumstances, setup: ExerciseSetup) -> bool:
    """Whether hands and trunk are elsewhere: another body, or a chair that differs where it carries the body."""
    if case.body != setup.body:
        return True
    return any(getattr(case.chair, field) != getattr(setup.chair, field) for field in _CARRIES_THE_BODY)


_CARRIES_THE_BODY = ("seat_height", "hip_to_axle", "wheel_diameter", "camber", "hub_width")


def _one_arm_would_do(case: Circumstances, setup: ExerciseSetup) -> bool:
    exercise = setup.exercise
    return (
        exercise.one_arm_variant
        and readiness(one_arm(exercise), case.athlete, case.kit, side=setup.side).reason is None
    )


def _forces(
    case: Circumstances, trial: Trial, band: BandSetup | None, moved: Movement
) -> dict[Side, np.ndarray] | None:
    """Return the forces on the arms (F, 3) of a band laid as it was; None where its pull is not known."""
    forces: dict[Side, np.ndarray] = {}
    use = trial.exercise.band
    if band is not None and use is not None:
        if band.tension is None:
            return None
        pull_lines = lines(use, moved.skeleton, case.chair, side=trial.side, attach=trial.attach)
        anchor = _anchor(case, trial, band)
        tension = tuple(
            np.asarray(band.law.tension(np.linalg.norm(line.way_to(anchor), axis=-1) / band.slack_length, band.strands))
            for line in pull_lines
        )
        forces = forces_on_arms(pull_lines, anchor, tension)
    if trial.ball is not None:
        forces[trial.side] = forces.get(trial.side, 0.0) + trial.ball_weight
    return forces


def _anchor(case: Circumstances, trial: Trial, band: BandSetup) -> np.ndarray | None:
    """Return the place on the post (3,) [m], laid with a tape from this chair as the sheet says."""
    use = trial.exercise.band
    if use is None or band.post is None or band.height is None or band.distance is None:
        return None
    here = replace(use, height_window=(-10.0, 10.0), distance_window=(band.distance, band.distance))
    post = Post(name=band.post, heights=(band.height,), room_in_front=100.0, places=1)
    found = anchors(here, trial.movement.skeleton, case.chair, replace(case.venue, posts=(post,)), side=trial.side)
    return np.asarray(found.points[0])


def _share_held(case: Circumstances, trial: Trial, forces: dict[Side, np.ndarray]) -> float:
    """Return the largest share of the pull that trunk and chair hold; 0 where the posture alone is too much."""
    if not trial.exercise.static:
        return 1.0
    if not forces:
        return float(np.all(trunk(case, trial, {}).smallest_factor >= TRUNK_FACTOR.value))
    pulled = {side: SHARES_OF_PULL[:, None, None] * force for side, force in forces.items()}
    holds = np.all(trunk(case, trial, pulled).smallest_factor >= TRUNK_FACTOR.value, axis=-1)
    stands = chair(case, trial, forces)
    by_chair = 1.0 if stands is None else float(np.min(stands.factor)) / CHAIR_FACTOR.value
    by_trunk = float(np.max(SHARES_OF_PULL, where=holds, initial=0.0))
    return min(1.0, by_trunk, by_chair)


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
