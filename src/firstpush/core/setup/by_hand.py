"""An exercise set-up laid by hand: the practitioner names band, mark and place, and every check of the search answers.

What the search would never offer because it is unsafe is refused, with the reason in numbers.  What is safe and not
what was wanted is laid, and told.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from firstpush.core.body.movement import movement
from firstpush.core.errors import OutOfRangeError
from firstpush.core.exercises.definition import Exercise, FixedTo
from firstpush.core.notices import Notice, without_repeats
from firstpush.core.setup.anchors import Anchors, anchors, no_post
from firstpush.core.setup.ball_choice import with_ball
from firstpush.core.setup.band_grid import TAUT_FROM, BandGrid, band_grid, pieces
from firstpush.core.setup.build import band_setup, load_of, steadied
from firstpush.core.setup.chair_stability import ASKED_FACTOR as CHAIR_FACTOR
from firstpush.core.setup.circumstances import Circumstances
from firstpush.core.setup.clearance import BAND_CLEARANCE, RECOIL_CLEARANCE
from firstpush.core.setup.judge import CONDITIONS, Trial, checked, way_is_free
from firstpush.core.setup.pull_points import lines
from firstpush.core.setup.readiness import Readiness, one_arm, readiness
from firstpush.core.setup.result import ExerciseSetup
from firstpush.core.setup.search import loads_opposite, search_setup, ways_for
from firstpush.core.setup.sentences import do_when_lighter, is_heavier, is_lighter, what_is_missing
from firstpush.core.setup.targets import Target, target_for
from firstpush.core.setup.trunk_hold import ASKED_FACTOR as TRUNK_FACTOR
from firstpush.core.setup.uncertainty import with_ranges

SAME = 1e-6
"""Marks and places are taken from lists: the same number, but for its last binary digits [m]."""


@dataclass(frozen=True, kw_only=True)
class LaidByHand:
    """How a band is laid by hand.

    Parameters
    ----------
    band : str
        Name in the kit.
    strands : int
    slack_length : float
        The tape mark [m].
    post : str or None
        Name in the venue; None for a band without a post.
    height, distance : float or None
        Of the anchor above the floor, and along the floor to the post; None without a post [m].
    """

    band: str
    strands: int
    slack_length: float
    post: str | None = None
    height: float | None = None
    distance: float | None = None


@dataclass(frozen=True, kw_only=True)
class SetupByHand:
    """What is set by hand of one exercise: how its band is laid, or the load that is wanted.

    Parameters
    ----------
    laid : LaidByHand or None
    target : float or None
        Load wanted [N·m]; the search then lays the band.

    Raises
    ------
    OutOfRangeError
        When both or neither is given, or the load is not above zero.
    """

    laid: LaidByHand | None = None
    target: float | None = None

    def __post_init__(self) -> None:
        if (self.laid is None) == (self.target is None):
            raise OutOfRangeError(
                "a set-up by hand names either how the band is laid or the load wanted; one of them is needed. "
                "Give one."
            )
        if self.target is not None and not self.target > 0:
            raise OutOfRangeError(
                f"a wanted load of {self.target:g} N·m is no load; it must be above 0 N·m. Leave the exercise out, or "
                "give the load that is meant."
            )


@dataclass(frozen=True, kw_only=True)
class HandAnswer:
    """The set-up laid by hand, or why it must not be done, one clause without a full stop each."""

    setup: ExerciseSetup | None
    refused: tuple[str, ...] = ()


@dataclass(frozen=True, kw_only=True)
class HandChoices:
    """What can be named by hand for one exercise here.

    Parameters
    ----------
    bands : tuple of (str, int)
        Name and strands.
    marks : tuple of float
        Tape marks [m].
    places : tuple of (str, float, float)
        Post, height and distance [m]; empty where no post is used.
    measured_from : str
        Where the distance is counted from.
    """

    bands: tuple[tuple[str, int], ...]
    marks: tuple[float, ...]
    places: tuple[tuple[str, float, float], ...]
    measured_from: str


def choices_by_hand(setup: ExerciseSetup, case: Circumstances) -> HandChoices | None:
    """Return what can be named by hand in place of `setup`; None where no band is used.

    Parameters
    ----------
    setup : ExerciseSetup
        As found by the search.
    case : Circumstances
    """
    use, bones = setup.exercise.band, setup.movement.skeleton
    if use is None or setup.band is None:
        return None
    spots = anchors(use, bones, case.chair, case.venue, side=setup.side) if use.fixed_to == "post" else no_post(use)
    chosen = pieces(case.bands, use)
    longest = max((piece.longest_mark for piece in chosen), default=0.0)
    marks = band_grid((), spots, lines(use, bones, case.chair, side=setup.side, attach=setup.attach), None).marks
    places = zip(spots.post, spots.height, spots.distance, strict=True)
    return HandChoices(
        bands=tuple((piece.band.name, piece.strands) for piece in chosen),
        marks=tuple(float(mark) for mark in marks if mark <= longest + SAME),
        places=tuple((post, float(height), float(distance)) for post, height, distance in places)
        if use.fixed_to == "post"
        else (),
        measured_from=spots.measured_from,
    )


def laid_as(setup: ExerciseSetup) -> LaidByHand | None:
    """Return how the band of `setup` is laid, as it would be named by hand; None without a band."""
    band = setup.band
    if band is None:
        return None
    return LaidByHand(
        band=band.band.name,
        strands=band.strands,
        slack_length=band.slack_length,
        post=band.post,
        height=band.height,
        distance=band.distance,
    )


def setup_by_hand(
    exercise: Exercise, case: Circumstances, by_hand: SetupByHand, *, like: ExerciseSetup, seed: int = 0
) -> HandAnswer:
    """Return the set-up that is asked for by hand, with ranges, or why it is refused.

    Parameters
    ----------
    exercise : Exercise
        As it stands in its file.
    case : Circumstances
        Of the kind of session, see `firstpush.core.session.by_hand.case_of_kind`.
    by_hand : SetupByHand
    like : ExerciseSetup
        The set-up found by the search: side, arms and what the band is fixed to stay as in it.
    seed : int
        For the ranges.

    Returns
    -------
    HandAnswer
        The first way to support the athlete in which everything holds; where none does, what fails in the one in
        which least fails.
    """
    if by_hand.target is not None:
        # A load typed for a session is meant for this session: its share of the day is not taken off again.
        wanted = by_hand.target / case.load_share
        found = search_setup(
            exercise, case, side=like.side, target_nm=wanted, best=1, like=like.band, rng=np.random.default_rng(seed)
        )
        if found.best is None:
            return HandAnswer(setup=None, refused=(found.answer.partition(": ")[2],))
        return HandAnswer(setup=_told(found.best))
    assert by_hand.laid is not None, "one of both is given"
    answer = laid_by_hand(exercise, case, by_hand.laid, like=like, seed=seed)
    return answer if answer.setup is None else HandAnswer(setup=_told(answer.setup))


def laid_by_hand(
    exercise: Exercise, case: Circumstances, laid: LaidByHand, *, like: ExerciseSetup, seed: int = 0
) -> HandAnswer:
    """Return the set-up with its band laid as named, or why it is refused; nothing is told of it yet.

    Parameters
    ----------
    exercise, case, like, seed
        As for `setup_by_hand`.
    laid : LaidByHand
    """
    ready = readiness(exercise, case.athlete, case.kit, side=like.side)
    if ready.reason is not None and exercise.one_arm_variant:
        alone = readiness(one_arm(exercise), case.athlete, case.kit, side=like.side)
        ready = alone if alone.reason is None else ready
    if ready.reason is not None:
        return HandAnswer(setup=None, refused=(ready.reason,))
    agreed = case.agreed.get((exercise.id, like.side))
    target = target_for(ready.exercise, case.athlete, side=like.side, agreed=agreed, today=case.today)
    fixed_to = like.exercise.band.fixed_to if like.exercise.band is not None else None
    fewest: tuple[str, ...] | None = None
    for trial, support in _trials(ready, case, like, fixed_to):
        setup, wrong = _judged(case, trial, target, ready, support, laid)
        if setup is not None:
            return HandAnswer(setup=with_ranges(setup, rng=np.random.default_rng(seed)))
        if fewest is None or len(wrong) < len(fewest):
            fewest = wrong
    return HandAnswer(setup=None, refused=fewest or ("no band is used in this exercise",))


def _trials(
    ready: Readiness, case: Circumstances, like: ExerciseSetup, fixed_to: FixedTo | None
) -> list[tuple[Trial, tuple[str, ...]]]:
    """Return the ways to support the athlete that keep what is worked with and what the band is fixed to."""
    found = []
    for form, strap, free_hand, support in ways_for(ready, case):
        if form.band is None or form.band.fixed_to != fixed_to or form.sides != like.exercise.sides:
            continue
        try:
            moved = movement(form, case.body, case.chair, side=like.side)
        except OutOfRangeError:
            continue
        trial = Trial(
            exercise=form,
            side=like.side,
            movement=moved,
            attach=ready.attach,
            strap=strap,
            free_hand=free_hand,
            ball=None,
        )
        found.append((trial, support))
    return found


def _judged(
    case: Circumstances,
    trial: Trial,
    target: Target | None,
    ready: Readiness,
    support: tuple[str, ...],
    laid: LaidByHand,
) -> tuple[ExerciseSetup | None, tuple[str, ...]]:
    """Return the set-up when everything holds in this way, else all that fails."""
    use, bones = trial.exercise.band, trial.movement.skeleton
    assert use is not None, "only ways with a band are tried"
    missing = what_is_missing(case, trial, use_post=use.fixed_to == "post")
    if missing:
        return None, (missing,)
    trial, missing = with_ball(case, trial, target)
    if missing:
        return None, (missing,)
    spots = anchors(use, bones, case.chair, case.venue, side=trial.side) if use.fixed_to == "post" else no_post(use)
    spot = _spot(spots, laid, on_post=use.fixed_to == "post")
    if spot is None:
        return None, (_no_spot(spots, laid),)
    chosen = tuple(p for p in pieces(case.bands, use) if (p.band.name, p.strands) == (laid.band, laid.strands))
    if not chosen:
        return None, (f"there is no band {laid.band} here that can be laid in {laid.strands} strands",)
    pull_lines = lines(use, bones, case.chair, side=trial.side, attach=trial.attach)
    load = load_of(case, trial, target)
    grid = band_grid(chosen, spot, pull_lines, load)
    at = int(np.argmin(np.abs(grid.marks - laid.slack_length)))
    if abs(float(grid.marks[at]) - laid.slack_length) > SAME:
        return None, (f"there is no tape mark at {laid.slack_length:.2f} m; the nearest is {grid.marks[at]:.2f} m",)
    index = (0, at, 0)
    wrong = [*_of_length(grid, index), *_of_load(grid, index, target)]
    if chosen[0].law.c1 is None:
        wrong.append(
            f"the pull of {laid.band} was never measured, so nothing can be checked: pull it once to double length"
        )
    if wrong:
        return None, tuple(wrong)
    done = steadied(case, trial, band_setup(grid, pull_lines, index, trial), pull_lines, load, target, ready, support)
    forces = {side: force[None] for side, force in done.forces.items()}
    free = way_is_free(case, trial, pull_lines, spot.points)
    marks = grid.marks[at : at + 1]
    kept = checked(case, trial, pull_lines, anchors=spot.points, marks=marks, forces=forces, free=free)
    wrong = [_unsafe(condition, done) for condition in CONDITIONS if not bool(kept[condition].all())]
    return (None, tuple(wrong)) if wrong else (done, ())


def _spot(spots: Anchors, laid: LaidByHand, *, on_post: bool) -> Anchors | None:
    """Return the one place that is named, or None where the posts offer no such place."""
    if not on_post:
        return spots
    for index, (post, height, distance) in enumerate(zip(spots.post, spots.height, spots.distance, strict=True)):
        same = laid.height is not None and laid.distance is not None and post == laid.post
        if same and abs(height - (laid.height or 0)) < SAME and abs(distance - (laid.distance or 0)) < SAME:
            one = slice(index, index + 1)
            return replace(
                spots,
                points=spots.points[one],
                distance=spots.distance[one],
                height=spots.height[one],
                post=spots.post[one],
            )
    return None


def _no_spot(spots: Anchors, laid: LaidByHand) -> str:
    asked = f"no place {laid.height or 0:.2f} m high and {laid.distance or 0:.2f} m away at {laid.post}"
    if not spots.post:
        return f"{asked}; nothing here offers a place for this exercise"
    mine = [i for i, post in enumerate(spots.post) if post == laid.post] or list(range(len(spots.post)))
    off = np.hypot(spots.height[mine] - (laid.height or 0), spots.distance[mine] - (laid.distance or 0))
    near = mine[int(np.argmin(off))]
    where = f"{spots.post[near]}, {spots.height[near]:.2f} m high, {spots.distance[near]:.2f} m away"
    return f"{asked} for this exercise; the nearest is {where}"


def _of_length(grid: BandGrid, index: tuple[int, int, int]) -> list[str]:
    """Return what is wrong with length and stretch, in numbers."""
    piece, mark = grid.pieces[0], float(grid.marks[index[1]])
    largest = float(grid.largest_stretch[index[1:]]) - 1
    smallest = float(grid.smallest_stretch[index[1:]]) - 1
    said = {
        "the piece is too short": f"a mark at {mark:.2f} m is too far out: {piece.band.name} reaches "
        f"{max(piece.longest_mark, 0.0):.2f} m at most here",
        "stretched over the band's limit": f"stretched too far: {piece.band.name} would be {100 * largest:.0f} % "
        f"longer, with the spread of laying it, and {100 * piece.law.limit_elongation:.0f} % are allowed",
        "slack inside the movement": "it would go slack inside the movement, and then jerk: "
        f"{max(100 * smallest, 0.0):.0f} % longer at its shortest, with the spread of laying it, where "
        f"{100 * (TAUT_FROM.value - 1):.0f} % are asked",
    }
    return [said[wrong] for wrong, kept in grid.fits.items() if not kept[index]]


def _of_load(grid: BandGrid, index: tuple[int, int, int], target: Target | None) -> list[str]:
    if target is None or not np.isfinite(grid.peak[index]):
        return []
    if loads_opposite(grid)[index]:
        return ["it would load the opposite direction"]
    if grid.peak[index] > target.largest:
        return [f"it would load {grid.peak[index]:.0f} N·m; at most {target.largest:.0f} are for this exercise"]
    return []


def _unsafe(condition: str, done: ExerciseSetup) -> str:
    """Return what fails, in numbers where there are some."""
    if condition == CONDITIONS[1]:
        return f"{condition}: {100 * BAND_CLEARANCE.value:.0f} cm must be free all the way"
    if condition == CONDITIONS[2]:
        return f"{condition}: {100 * RECOIL_CLEARANCE.value:.0f} cm from the head are asked"
    if condition == CONDITIONS[3]:
        worst = int(np.argmin(done.hold.smallest_factor))
        return (
            f"{condition} ({done.hold.weakest_direction[worst]}): it holds "
            f"{float(done.hold.smallest_factor[worst]):.1f} times what pulls, {TRUNK_FACTOR.value:g} are asked"
        )
    if condition == CONDITIONS[4] and done.stability is not None:
        frame = done.worst_frame_of_chair
        return (
            f"{condition}: it {done.stability.governing_mode[frame]} at {done.stability.factor[frame]:.1f} times this "
            f"pull, {CHAIR_FACTOR.value:g} are asked"
        )
    return condition


def _told(setup: ExerciseSetup) -> ExerciseSetup:
    """Return the set-up with the notices that it was laid by hand, and how far it is from what was wanted."""
    title = setup.exercise.title
    found = [
        Notice(
            id="set-up-by-hand",
            level="note",
            what="set up by hand, not found by the search",
            do="Look at load, trunk and chair before the first set",
            about=title,
        )
    ]
    already = {notice.id for notice in setup.notices} & {"heavier-than-wanted", "lighter-than-wanted"}
    if already or setup.peak is None or setup.target is None:
        pass
    elif is_heavier(setup):
        found.append(
            Notice(
                id="heavier-by-hand",
                level="caution",
                what=f"heavier than what would be wanted: {setup.peak.value:.0f} N·m instead of "
                f"{setup.target.value:.0f}",
                do="Begin with 3 repetitions, ask how hard it was, and stop when it is hard",
                about=title,
            )
        )
    elif is_lighter(setup):
        found.append(
            Notice(
                id="lighter-by-hand",
                level="note",
                what=f"lighter than what would be wanted: {setup.peak.value:.0f} N·m instead of "
                f"{setup.target.value:.0f}",
                do=do_when_lighter(setup),
                about=title,
            )
        )
    return replace(setup, notices=tuple(without_repeats([*found, *setup.notices])))
