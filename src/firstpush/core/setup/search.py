"""The search of an exercise set-up: band, strands, tape mark, anchor height and distance for a wanted load.

Always answers: set-ups, best first, or one sentence that says what is missing and the nearest that would do.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from firstpush.core.body.movement import movement
from firstpush.core.errors import OutOfRangeError
from firstpush.core.exercises.definition import Exercise
from firstpush.core.measured import Measured
from firstpush.core.notices import Notice
from firstpush.core.people.athlete import Side, Strap
from firstpush.core.setup.anchors import anchors, heights_wanted, no_post
from firstpush.core.setup.ball_choice import too_heavy_today, with_ball
from firstpush.core.setup.band_grid import BandGrid, band_grid, pieces
from firstpush.core.setup.build import band_setup, finished, load_of, steadied
from firstpush.core.setup.cautions import STRAPS
from firstpush.core.setup.circumstances import Circumstances
from firstpush.core.setup.court import laid_exercise
from firstpush.core.setup.judge import (
    CONDITIONS,
    Trial,
    checked,
    recoil_is_safe,
    straps_at_hand,
    trunk,
    trunk_holds,
    way_is_free,
)
from firstpush.core.setup.pull_points import Line, forces_on_arms, lines
from firstpush.core.setup.readiness import Readiness, holds_the_frame, one_arm, readiness
from firstpush.core.setup.result import BandSetup, ExerciseSetup, SetupAnswer
from firstpush.core.setup.sentences import (
    NEAR_ENOUGH,
    is_heavier,
    is_lighter,
    most_failed,
    no_place,
    said_heavier,
    said_lighter,
    said_without_ball,
    what_is_missing,
    why_none,
)
from firstpush.core.setup.targets import Target, target_for
from firstpush.core.setup.uncertainty import with_ranges

GENTLE_START = Measured(
    name="load at the start over the peak, farthest still called gentle",
    value=0.7,
    unit="1",
    spread=0.0,
    source="",
    known="our choice",
)
UNMEASURED_ELONGATION = Measured(
    name="largest elongation when the pull of a band was never measured",
    value=0.6,
    unit="1",
    spread=0.0,
    source="well inside every band's limit",
    known="our choice",
)
CHANGE_COST = Measured(
    name="relative load error worth one thing less to change on court",
    value=0.06,
    unit="1",
    spread=0.0,
    source="band, mark or post: each costs about ten seconds",
    known="our choice",
)
TRUNK = CONDITIONS[3]
BATCH, LOOK_AT = 64, 1024
"""Set-ups judged at once, and at most, in the order of their fit."""


@dataclass(frozen=True, kw_only=True)
class _Tried:
    """What one way of supporting the athlete gave."""

    setups: tuple[ExerciseSetup, ...]
    failed: dict[str, int]
    tried: int
    sentence: str


def search_setup(
    exercise: Exercise,
    case: Circumstances,
    *,
    side: Side,
    target_nm: float | None = None,
    best: int = 3,
    like: BandSetup | None = None,
    rng: np.random.Generator | None = None,
    ranges: bool = True,
) -> SetupAnswer:
    """Return the best ways to set up `exercise` on `side` for one athlete in one venue.

    Parameters
    ----------
    exercise : Exercise
    case : Circumstances
    side : str
        Working side.
    target_nm : float, optional
        Load asked for by hand [N·m]; else from measured strength, else the try-out set.
    best : int
        How many different set-ups to return at most.
    like : BandSetup, optional
        A set-up just used (the other side, the exercise before): the same band, mark and height is preferred.
    rng : numpy Generator, optional
        For the ranges; a fixed one when left out, so that the same input gives the same digits.
    ranges : bool
        Whether to find the ranges of load and pull, which takes most of the time; see
        `firstpush.core.setup.uncertainty.with_ranges` for finding them later.

    Returns
    -------
    SetupAnswer
    """
    ready = readiness(exercise, case.athlete, case.kit, side=side)
    if ready.reason is not None and exercise.one_arm_variant:
        alone = readiness(one_arm(exercise), case.athlete, case.kit, side=side)
        ready = alone if alone.reason is None else ready
    if ready.reason is not None:
        return SetupAnswer(
            setups=(),
            answer=_sentence(exercise, side, ready.reason),
            tried=0,
            failed={},
            notices=ready.notices,
            reasons=ready.reasons,
        )
    laid, told, no_room = laid_exercise(
        ready.exercise, athlete=case.athlete, chair=case.chair, venue=case.venue, speed=case.court_speed
    )
    # What the cupboard lacks is told before what the floor lacks.
    if no_room and exercise.needs.cones <= case.kit.cones:
        return SetupAnswer(
            setups=(), answer=_sentence(exercise, side, no_room), tried=0, failed={}, notices=ready.notices
        )
    ready = replace(ready, exercise=laid)
    agreed = case.agreed.get((exercise.id, side))
    target = target_for(ready.exercise, case.athlete, side=side, given=target_nm, agreed=agreed, today=case.today)
    outcomes: list[_Tried] = []
    in_order = ways_for(ready, case)
    if agreed is not None and agreed.support:
        in_order.sort(key=lambda way: way[3] != agreed.support)
    for form, strap, free_hand, support in in_order:
        try:
            moved = movement(form, case.body, case.chair, side=side)
        except OutOfRangeError as error:
            outcomes.append(_Tried(setups=(), failed={}, tried=0, sentence=str(error)))
            continue
        trial = Trial(
            exercise=form,
            side=side,
            movement=moved,
            attach=ready.attach,
            strap=strap,
            free_hand=free_hand,
            ball=None,
        )
        tried = (
            _with_band(case, trial, target, ready, support, best, like)
            if form.band
            else _without_band(case, trial, target, ready, support)
        )
        outcomes.append(tried)
        # More support helps only where the trunk was what kept the load down; a light band stays light.
        if tried.setups and not (is_lighter(tried.setups[0]) and tried.failed.get(TRUNK)):
            break
    found = [tried for tried in outcomes if tried.setups]
    chosen = max(found, key=_load_reached) if found else _all_reasons(outcomes)
    setups = tuple(replace(each, notices=(*each.notices, *told)) for each in chosen.setups) if told else chosen.setups
    if ranges:
        # The same draws for every set-up: they are compared with paired errors.
        seed = int((rng if rng is not None else np.random.default_rng(20)).integers(2**32))
        setups = tuple(with_ranges(each, rng=np.random.default_rng(seed)) for each in setups)
    if setups:
        best_one = setups[0]
        answer = f"{best_one.exercise.title}, {side}: {best_one.peak or 'set up by place and time'}"
    else:
        answer = _sentence(exercise, side, chosen.sentence)
    return SetupAnswer(setups=setups, answer=answer, tried=chosen.tried, failed=chosen.failed, notices=ready.notices)


def _sentence(exercise: Exercise, side: Side, reason: str) -> str:
    return f"{exercise.title}, {side}: {reason}"


def _all_reasons(outcomes: list[_Tried]) -> _Tried:
    """Return the first outcome with every different reason in its sentence: no post, and without one no band either."""
    sentences = list(dict.fromkeys(each.sentence for each in outcomes))
    return replace(outcomes[0], sentence="; ".join(sentences[:2]))


def _load_reached(tried: _Tried) -> float:
    first = tried.setups[0]
    if first.peak is None or first.target is None:
        return 0.0
    return -abs(float(np.log(max(first.peak.value, 1e-6) / first.target.value)))


Way = tuple[Exercise, Strap, bool, tuple[str, ...]]
"""The exercise as it is done, the strap worn, whether the other hand holds the frame, and what was added in words."""


def ways(exercise: Exercise, case: Circumstances, side: Side) -> list[Way]:
    """Return the ways to do an exercise here: with the band on a post, or where the post does not do, without one."""
    found = _supports(exercise, case, side)
    if exercise.band_without_post is not None:
        found += _supports(replace(exercise, band=exercise.band_without_post), case, side)
    return found


def ways_for(ready: Readiness, case: Circumstances) -> list[Way]:
    """Return the ways that wear the strap which is asked for, or more."""
    return [way for way in ways(ready.exercise, case, ready.side) if STRAPS.index(way[1]) >= STRAPS.index(ready.strap)]


def _supports(exercise: Exercise, case: Circumstances, side: Side) -> list[Way]:
    """Return the ways to support the athlete, least change first: as is, a strap, one arm, one arm and a strap."""
    worn = case.chair.strap
    stronger = [strap for strap in straps_at_hand(case) if STRAPS.index(strap) > STRAPS.index(worn)]
    found: list[Way] = [(exercise, worn, False, ())]
    found += [(exercise, strap, False, (f"{strap} strap",)) for strap in stronger]
    to_other_hand = exercise.band is not None and exercise.band.fixed_to == "other hand"
    free: Side = "left" if side == "right" else "right"
    if exercise.one_arm_variant and not to_other_hand and holds_the_frame(case.athlete, free):
        alone = one_arm(exercise)
        found.append((alone, worn, True, ("one arm, the other hand on the frame",)))
        found += [
            (alone, strap, True, ("one arm, the other hand on the frame", f"{strap} strap")) for strap in stronger
        ]
    return found


def _with_band(
    case: Circumstances,
    trial: Trial,
    target: Target | None,
    ready: Readiness,
    support: tuple[str, ...],
    best: int,
    like: BandSetup | None,
) -> _Tried:
    use, bones = trial.exercise.band, trial.movement.skeleton
    assert use is not None, "only called for exercises with a band"
    on_post = use.fixed_to == "post"
    missing = what_is_missing(case, trial, use_post=on_post)
    if missing:
        return _Tried(setups=(), failed={}, tried=0, sentence=missing)
    places = anchors(use, bones, case.chair, case.venue, side=trial.side) if on_post else no_post(use)
    if not len(places.post):
        return _Tried(setups=(), failed={}, tried=0, sentence=no_place(case, trial))
    trial, missing = with_ball(case, trial, target)
    if missing:
        return _Tried(setups=(), failed={}, tried=0, sentence=missing)
    pull_lines = lines(use, bones, case.chair, side=trial.side, attach=trial.attach)
    load = load_of(case, trial, target)
    chosen = pieces(case.bands, use)
    grid = band_grid(chosen, places, pull_lines, load)
    failed: dict[str, int] = {}
    standing = np.ones(grid.peak.shape, dtype=bool)
    for wrong, kept in grid.fits.items():
        _strike(standing, kept, wrong, failed)
    if all(piece.law.c1 is None for piece in chosen):
        return _by_place(case, trial, grid, pull_lines, standing, target, ready, support, failed)
    assert target is not None, "an exercise with a band names a load"
    measured = np.isfinite(grid.peak)
    _strike(standing, measured, "pull never measured", failed)
    _strike(standing, ~loads_opposite(grid), "loads the opposite direction", failed)
    ceiling = min(target.value * NEAR_ENOUGH.value, target.largest)
    lightest = float(np.min(grid.peak[standing], initial=np.inf))
    if target.kind == "try-out" and lightest > ceiling:
        ceiling = min(target.largest, lightest * 1.1)
    _strike(standing, np.nan_to_num(grid.peak, nan=np.inf) <= ceiling, "heavier than wanted", failed)
    passing, looked = _judged(case, trial, grid, pull_lines, standing, _cost(grid, target, trial, like), failed, best)
    setups = tuple(
        steadied(case, trial, band_setup(grid, pull_lines, index, trial), pull_lines, load, target, ready, support)
        for index in passing
    )
    if setups and ceiling > target.value * NEAR_ENOUGH.value:
        setups = tuple(said_heavier(setup) for setup in setups)
    if setups and is_lighter(setups[0]):
        setups = tuple(said_lighter(setup, failed) for setup in setups)
    sentence = "" if setups else why_none(grid, target, failed)
    return _Tried(setups=setups, failed=failed, tried=int(standing.size if looked else 0), sentence=sentence)


def loads_opposite(grid: BandGrid) -> NDArray[np.bool_]:
    """Return where (P, S, A) the band would help the movement, not load it; False where its pull is not known."""
    measured = np.isfinite(grid.peak)
    helps = np.nan_to_num(grid.lowest) < -0.25 * np.nan_to_num(grid.peak, nan=0.0)
    return np.asarray(measured & (helps | (np.nan_to_num(grid.peak) <= 0)))


def _strike(standing: NDArray[np.bool_], kept: NDArray[np.bool_], wrong: str, failed: dict[str, int]) -> None:
    """Take out of `standing` what does not keep a condition, and count it."""
    out = standing & ~kept
    failed[wrong] = failed.get(wrong, 0) + int(out.sum())
    standing &= kept


def _judged(
    case: Circumstances,
    trial: Trial,
    grid: BandGrid,
    pull_lines: tuple[Line, ...],
    standing: NDArray[np.bool_],
    cost: NDArray[np.float64],
    failed: dict[str, int],
    best: int,
) -> tuple[list[tuple[int, int, int]], int]:
    """Return the grid indices of the best set-ups that pass every hard check, judged in the order of their fit."""
    order = np.argsort(np.where(standing, cost, np.inf), axis=None, kind="stable")
    order = order[: int(standing.sum())]
    # Where all near the wish fail (a trunk that holds half of it), lighter ones far down the order may hold.
    order = np.concatenate([order[:LOOK_AT], order[LOOK_AT :: max(1, order.size // LOOK_AT)]])
    passing: list[tuple[int, int, int]] = []
    looked = 0
    on_post = trial.exercise.band is not None and trial.exercise.band.fixed_to == "post"
    kinds: set[tuple[str, int, str]] = set()
    for start in range(0, order.size, BATCH):
        p, s, a = (np.asarray(axis) for axis in np.unravel_index(order[start : start + BATCH], standing.shape))
        tension = tuple(
            np.stack(
                [
                    grid.pieces[pi].law.tension(stretch[si, ai], grid.pieces[pi].strands)
                    for pi, si, ai in zip(p, s, a, strict=True)
                ]
            )
            for stretch in grid.stretch
        )
        points = grid.anchors.points[a]
        forces = forces_on_arms(pull_lines, points if on_post else None, tension)
        if trial.ball is not None:
            forces[trial.side] = forces[trial.side] + trial.ball_weight
        # A trunk of which little is known holds in none of most batches, and this is the cheapest check.
        holds = trunk_holds(case, trial, forces)
        if not holds.any():
            failed[TRUNK] = failed.get(TRUNK, 0) + int(p.size)
            looked += p.size
            continue
        places, of_place = np.unique(a, return_inverse=True)
        free = way_is_free(case, trial, pull_lines, grid.anchors.points[places])[of_place]
        kept = checked(
            case, trial, pull_lines, anchors=points, marks=grid.marks[s], forces=forces, free=free, holds=holds
        )
        alive = np.ones(p.size, dtype=bool)
        for wrong in CONDITIONS:
            _strike(alive, kept[wrong], wrong, failed)
        looked += p.size
        for index in np.flatnonzero(alive):
            piece, post = grid.pieces[p[index]], grid.anchors.post[a[index]]
            kind = (piece.band.name, piece.strands, post)
            if kind not in kinds and len(passing) < best:
                kinds.add(kind)
                passing.append((int(p[index]), int(s[index]), int(a[index])))
        if len(passing) >= best or (passing and start >= 4 * BATCH):
            break
    return passing, looked


def _cost(grid: BandGrid, target: Target, trial: Trial, like: BandSetup | None) -> NDArray[np.float64]:
    """Return the cost (P, S, A) that set-ups are ranked by: nearness to the wish, then what is handy on court."""
    with np.errstate(invalid="ignore", divide="ignore"):
        off = np.abs(np.log(np.maximum(grid.peak, 1e-9) / target.value))
    steady = trial.exercise.circle is not None  # a circle has no start that could be gentler than the rest
    rough = np.zeros_like(off) if steady else np.maximum(grid.first_to_peak - GENTLE_START.value, 0.0)
    doubled = np.array([piece.strands > 1 for piece in grid.pieces])[:, None, None] * 0.03
    odd_mark = (np.abs(np.round(grid.marks / 0.2) * 0.2 - grid.marks) > 1e-6)[None, :, None] * 0.01
    stretched = np.maximum(grid.largest_stretch - 2.2, 0.0)[None] * 0.10
    hardly = np.maximum(1.5 - grid.largest_stretch, 0.0)[None] * 0.5  # there a few centimetres change the pull most
    use = trial.exercise.band
    assert use is not None
    off_height: NDArray[np.float64] = np.zeros((1, 1, 1))
    if use.fixed_to == "post":
        low, high = heights_wanted(use, trial.movement.skeleton, side=trial.side)
        off_height = np.abs(grid.anchors.height - (low + high) / 2)[None, None, :] * 0.10
    far = grid.anchors.distance[None, None, :] * 0.01
    cost = np.asarray(off + rough + doubled + odd_mark + stretched + hardly + off_height + far)
    return cost if like is None else np.asarray(cost + CHANGE_COST.value * _changed(grid, like))


def _changed(grid: BandGrid, like: BandSetup) -> NDArray[np.float64]:
    """Return how much (P, S, A) would change against a set-up just used: piece, mark, post; half for distance."""
    piece = np.array([(p.band.name, p.strands) != (like.band.name, like.strands) for p in grid.pieces], dtype=float)
    mark = (np.abs(grid.marks - like.slack_length) > 1e-6).astype(float)
    place: NDArray[np.float64] = np.ones(grid.anchors.distance.size)
    if like.height is not None and like.distance is not None:
        elsewhere = np.abs(grid.anchors.height - like.height) > 1e-6
        elsewhere |= np.array([post != like.post for post in grid.anchors.post], dtype=bool)
        place = elsewhere + 0.5 * (np.abs(grid.anchors.distance - like.distance) > 1e-6)
    return np.asarray(piece[:, None, None] + mark[None, :, None] + place[None, None, :])


def _by_place(
    case: Circumstances,
    trial: Trial,
    grid: BandGrid,
    pull_lines: tuple[Line, ...],
    standing: NDArray[np.bool_],
    target: Target | None,
    ready: Readiness,
    support: tuple[str, ...],
    failed: dict[str, int],
) -> _Tried:
    """Return a set-up by length and distance alone, when no band was ever pulled with a scale."""
    elongation = np.broadcast_to(grid.largest_stretch[None] - 1, standing.shape)
    free = way_is_free(case, trial, pull_lines, grid.anchors.points)
    _strike(standing, np.broadcast_to(free, standing.shape), CONDITIONS[1], failed)
    safe = np.stack(
        [
            recoil_is_safe(case, trial, pull_lines, grid.anchors.points, np.full(len(grid.anchors.post), mark))
            for mark in grid.marks
        ]
    )
    _strike(standing, np.broadcast_to(safe, standing.shape), CONDITIONS[2], failed)
    held = {} if trial.ball is None else {trial.side: trial.ball_weight}
    if trial.exercise.static and not np.all(trunk(case, trial, held).holds):
        _strike(standing, np.zeros_like(standing), TRUNK, failed)
    if not standing.any():
        return _Tried(setups=(), failed=failed, tried=int(standing.size), sentence=most_failed(failed))
    flat = int(np.argmin(np.where(standing, np.abs(elongation - UNMEASURED_ELONGATION.value), np.inf)))
    p, s, a = (int(axis) for axis in np.unravel_index(flat, standing.shape))
    laid = band_setup(grid, pull_lines, (p, s, a), trial)
    done = finished(case, trial, laid, pull_lines, None, target, ready, support)
    notice = Notice(
        id="set-up-without-newtons",
        level="caution",
        what="no band was ever pulled with a scale: band and distance are given, load, trunk and chair are not checked",
        do="Pull each band once to double length with a hook scale; until then start light and hold the chair",
        about=trial.exercise.title,
    )
    return _Tried(
        setups=(replace(done, notices=(notice, *done.notices)),), failed=failed, tried=int(standing.size), sentence=""
    )


def _without_band(
    case: Circumstances,
    trial: Trial,
    target: Target | None,
    ready: Readiness,
    support: tuple[str, ...],
) -> _Tried:
    """Return the set-up of an exercise with a ball, a post to lean on, or nothing but floor."""
    missing = what_is_missing(case, trial, use_post=trial.exercise.needs.post)
    if missing:
        return _Tried(setups=(), failed={}, tried=0, sentence=missing)
    trial, missing = with_ball(case, trial, target)
    if missing:
        return _Tried(setups=(), failed={}, tried=0, sentence=missing)
    load = load_of(case, trial, target)
    done = steadied(case, trial, None, (), load, target, ready, support)
    use = trial.exercise.ball
    if trial.ball is not None and use is not None and use.may_be_left_out and is_heavier(done):
        held, trial = done, replace(trial, ball=None)
        done = said_without_ball(steadied(case, trial, None, (), load, target, ready, support), held)
    if trial.ball is not None and target is not None and done.peak is not None and done.peak.value > target.largest:
        sentence = (
            f"heavier than wanted: arm and {trial.ball.name} give {done.peak.value:.0f} N·m, "
            f"at most {target.largest:.0f} are for this exercise"
        )
        return _Tried(setups=(), failed={"heavier than wanted": 1}, tried=1, sentence=sentence)
    if trial.exercise.static and not np.all(trunk(case, trial, done.forces).holds):
        return _Tried(setups=(), failed={CONDITIONS[3]: 1}, tried=1, sentence="the trunk does not hold the posture")
    if use is not None and is_heavier(done):
        sentence = too_heavy_today(case, done)
        if sentence:
            return _Tried(setups=(), failed={"heavier than wanted": 1}, tried=1, sentence=sentence)
        done = said_heavier(done)
    return _Tried(setups=(done,), failed={}, tried=1, sentence="")
