"""Everything that could be laid in place of how a band is laid now, judged by the checks of the search.

The grid of the search is made for the exercise as it is done: same support, same cuffs, same post.  What differs from
now in listed levers alone is kept, compared with the load of now, and passes the same hard checks.
"""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass, field, replace

import numpy as np
from numpy.typing import NDArray

from firstpush.core.body.movement import movement
from firstpush.core.errors import OutOfRangeError
from firstpush.core.exercises.definition import Exercise
from firstpush.core.people.athlete import Side
from firstpush.core.setup.anchors import Anchors, anchors, no_post
from firstpush.core.setup.band_grid import BandGrid, band_grid, pieces
from firstpush.core.setup.build import band_setup, finished, load_of
from firstpush.core.setup.by_hand import SAME, LaidByHand
from firstpush.core.setup.circumstances import Circumstances
from firstpush.core.setup.judge import CONDITIONS, Trial, checked, way_is_free
from firstpush.core.setup.loads import NamedLoad
from firstpush.core.setup.pull_points import Line, forces_on_arms, lines
from firstpush.core.setup.readiness import Readiness, one_arm, readiness
from firstpush.core.setup.result import ExerciseSetup
from firstpush.core.setup.search import loads_opposite, ways
from firstpush.core.setup.targets import Target, target_for

ONE_ARM = "one arm, the other hand on the frame"
JUDGED_AT_ONCE = 64


@dataclass(frozen=True, kw_only=True)
class Way:
    """One other way to lay the band: where it is in the grid, which levers lead to it, and its relative change [1]."""

    index: tuple[int, int, int]
    laid: LaidByHand
    levers: tuple[str, ...]
    change: float


@dataclass(kw_only=True)
class Bench:
    """One exercise on one side as it is done now, with everything that can be laid in its place.

    Parameters
    ----------
    before : float
        Load now, of a chain on the scale of its first link [N·m].
    relative : array (P, S, A)
        Load over load now, less 1.
    standing : array (P, S, A) of bool
        Where length, stretch, direction and the largest load of the exercise hold.
    at_its_largest : bool
        Whether more could be laid and would be beyond the largest load of the exercise.
    failed : dict of str to int
        What the ways judged failed by.
    """

    case: Circumstances
    trial: Trial
    support: tuple[str, ...]
    ready: Readiness
    target: Target
    load: NamedLoad
    pull_lines: tuple[Line, ...]
    grid: BandGrid
    before: float
    relative: NDArray[np.float64]
    standing: NDArray[np.bool_]
    differs: dict[str, NDArray[np.bool_]]
    at_its_largest: bool
    failed: dict[str, int] = field(default_factory=dict)
    _judged: dict[tuple[int, int, int], bool] = field(default_factory=dict)

    @property
    def on_post(self) -> bool:
        """Whether the band is tied to a post."""
        return self.trial.exercise.band is not None and self.trial.exercise.band.fixed_to == "post"

    def ways(self, levers: Collection[str], *, things: int, sign: int) -> list[Way]:
        """Return the ways that differ from now in `things` of `levers` and in nothing else, not judged yet.

        Parameters
        ----------
        levers : collection of str
        things : int
        sign : int
            1 for more load, −1 for less.
        """
        count = sum(each.astype(int) for each in self.differs.values())
        # The same way laid for another exercise may load it just as before.
        least = 0.0 if things else -SAME
        wanted = self.standing & (count == things) & (sign * self.relative > least)
        for name, differs in self.differs.items():
            if name not in levers:
                wanted &= ~differs
        found = []
        for p, s, a in np.argwhere(wanted):
            index = (int(p), int(s), int(a))
            names = tuple(
                name for name, differs in self.differs.items() if np.broadcast_to(differs, wanted.shape)[index]
            )
            found.append(Way(index=index, laid=self.laid_at(index), levers=names, change=float(self.relative[index])))
        return found

    def laid_at(self, index: tuple[int, int, int]) -> LaidByHand:
        """Return how the band lies at one place of the grid."""
        p, s, a = index
        piece, places = self.grid.pieces[p], self.grid.anchors
        return LaidByHand(
            band=piece.band.name,
            strands=piece.strands,
            slack_length=float(self.grid.marks[s]),
            post=places.post[a] if self.on_post else None,
            height=float(places.height[a]) if self.on_post else None,
            distance=float(places.distance[a]) if self.on_post else None,
        )

    def kept(self, found: list[Way]) -> list[Way]:
        """Return those that pass every hard check of the search."""
        new = [way.index for way in found if way.index not in self._judged]
        for start in range(0, len(new), JUDGED_AT_ONCE):
            self._judge(new[start : start + JUDGED_AT_ONCE])
        return [way for way in found if self._judged[way.index]]

    def _judge(self, indices: list[tuple[int, int, int]]) -> None:
        p, s, a = (np.array(axis, dtype=int) for axis in zip(*indices, strict=True))
        tension = tuple(
            np.stack(
                [
                    self.grid.pieces[pi].law.tension(stretch[si, ai], self.grid.pieces[pi].strands)
                    for pi, si, ai in zip(p, s, a, strict=True)
                ]
            )
            for stretch in self.grid.stretch
        )
        points = self.grid.anchors.points[a]
        forces = forces_on_arms(self.pull_lines, points if self.on_post else None, tension)
        if self.trial.ball is not None:
            forces[self.trial.side] = forces[self.trial.side] + self.trial.ball_weight
        places, of_place = np.unique(a, return_inverse=True)
        free = way_is_free(self.case, self.trial, self.pull_lines, self.grid.anchors.points[places])[of_place]
        kept = checked(
            self.case, self.trial, self.pull_lines, anchors=points, marks=self.grid.marks[s], forces=forces, free=free
        )
        for row, index in enumerate(indices):
            wrong = next((each for each in CONDITIONS if not kept[each][row]), None)
            self._judged[index] = wrong is None
            if wrong is not None:
                self.failed[wrong] = self.failed.get(wrong, 0) + 1

    def laid(self, way: Way, words: str) -> ExerciseSetup:
        """Return the whole set-up of a way; its target is the load it gives, and `words` say where that comes from."""
        target = replace(self.target, value=self.before * (1 + way.change), kind="given", words=words, known="derived")
        return finished(
            self.case,
            self.trial,
            band_setup(self.grid, self.pull_lines, way.index, self.trial),
            self.pull_lines,
            self.load,
            target,
            self.ready,
            self.support,
        )


def ready_for(exercise: Exercise, case: Circumstances, side: Side) -> Readiness:
    """Return the readiness for an exercise, or for its one-arm variant where only that can be done."""
    ready = readiness(exercise, case.athlete, case.kit, side=side)
    if ready.reason is not None and exercise.one_arm_variant:
        alone = readiness(one_arm(exercise), case.athlete, case.kit, side=side)
        ready = alone if alone.reason is None else ready
    return ready


def bench(
    exercise: Exercise, case: Circumstances, now: ExerciseSetup, *, support: tuple[str, ...] | None = None
) -> Bench | str:
    """Return what can be laid in place of a set-up with a band, or why nothing can be said of it.

    Parameters
    ----------
    exercise : Exercise
        As in its file; with other poses than now the load of now is still what it is compared with.
    case : Circumstances
    now : ExerciseSetup
    support : tuple of str, optional
        Another support than now.
    """
    if now.band is None or now.exercise.band is None:
        return "no band is used"
    if now.load is None or now.band.tension is None:
        return f"the pull of {now.band.band.name} was never measured; pull it once to double length"
    ready = ready_for(exercise, case, now.side)
    if ready.reason is not None:
        return ready.reason
    found = trial_like(ready, case, now, support=now.support if support is None else support)
    if found is None:
        return "the athlete cannot be supported as before; set the exercise up anew"
    agreed = case.agreed.get((exercise.id, now.side))
    target = target_for(ready.exercise, case.athlete, side=now.side, agreed=agreed, today=case.today)
    use, bones = found.exercise.band, found.movement.skeleton
    assert use is not None and target is not None, "a band was used now, and an exercise with a band names a load"
    places = anchors(use, bones, case.chair, case.venue, side=now.side) if use.fixed_to == "post" else no_post(use)
    if use.fixed_to == "post":
        places = _at_post(places, now.band.post)
    if not places.post:
        return f"{now.band.post} offers no place for it any more; set the exercise up anew"
    pull_lines = lines(use, bones, case.chair, side=now.side, attach=found.attach)
    load = load_of(case, found, target)
    assert load is not None, "an exercise with a band names a load"
    chosen = pieces(case.bands, use)
    bare = band_grid(chosen, places, pull_lines, load)
    grid = bare
    if found.ball is not None:
        held = replace(load, gravity=load.of({found.side: found.ball_weight}))
        grid = band_grid(chosen, places, pull_lines, held)
    before = float(load.compared(now.load).max())
    return Bench(
        case=case,
        trial=found,
        support=now.support if support is None else support,
        ready=ready,
        target=target,
        load=load,
        pull_lines=pull_lines,
        grid=grid,
        before=before,
        relative=np.nan_to_num(grid.peak / before - 1, nan=0.0),
        standing=_standing(grid, target) & _standing(bare, target),
        differs=_differs(grid, now),
        at_its_largest=bool(np.any(_fits(grid) & (grid.peak > target.largest))),
    )


def trial_like(ready: Readiness, case: Circumstances, now: ExerciseSetup, *, support: tuple[str, ...]) -> Trial | None:
    """Return the exercise as tried with this support, arms and ball as now; None where that is no way any more."""
    fixed_to = None if now.exercise.band is None else now.exercise.band.fixed_to
    for form, strap, free_hand, added in ways(ready.exercise, case, now.side):
        if added != support or (None if form.band is None else form.band.fixed_to) != fixed_to:
            continue
        moved = now.movement
        if form.poses != now.exercise.poses or case.body != now.body or case.chair != now.chair:
            try:
                moved = movement(form, case.body, case.chair, side=now.side)
            except OutOfRangeError:
                return None
        return Trial(
            exercise=form,
            side=now.side,
            movement=moved,
            attach=ready.attach,
            strap=strap,
            free_hand=free_hand,
            ball=now.ball,
        )
    return None


def _standing(grid: BandGrid, target: Target) -> NDArray[np.bool_]:
    """Return where length and stretch, direction and largest load hold, as they must for a set-up by hand."""
    return np.asarray(_fits(grid) & (np.nan_to_num(grid.peak, nan=np.inf) <= target.largest))


def _fits(grid: BandGrid) -> NDArray[np.bool_]:
    fits = np.all(np.stack(list(grid.fits.values())), axis=0) & np.isfinite(grid.peak)
    return np.asarray(fits & ~loads_opposite(grid))


def _at_post(places: Anchors, post: str | None) -> Anchors:
    """Return the places at one post: to move the chair to another one is no step but another set-up."""
    here = [index for index, name in enumerate(places.post) if name == post]
    return replace(
        places,
        points=places.points[here],
        distance=places.distance[here],
        height=places.height[here],
        post=tuple(places.post[index] for index in here),
    )


def _differs(grid: BandGrid, now: ExerciseSetup) -> dict[str, NDArray[np.bool_]]:
    """Return for each lever where it would be other than now, (P or 1, S or 1, A or 1)."""
    band = now.band
    assert band is not None, "asked before"
    found = {
        "distance": np.zeros((1, 1, 1), dtype=bool),
        "slack mark": (np.abs(grid.marks - band.slack_length) > SAME)[None, :, None],
        "height": np.zeros((1, 1, 1), dtype=bool),
        "band": np.array([piece.band.name != band.band.name for piece in grid.pieces])[:, None, None],
        "strands": np.array([piece.strands != band.strands for piece in grid.pieces])[:, None, None],
    }
    if band.distance is not None and band.height is not None:
        found["distance"] = (np.abs(grid.anchors.distance - band.distance) > SAME)[None, None, :]
        found["height"] = (np.abs(grid.anchors.height - band.height) > SAME)[None, None, :]
    return found
