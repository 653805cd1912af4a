"""From another way to do an exercise to a step with its predicted change: the same draws before and after."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace

import numpy as np

from firstpush.core.body.moments import ArmMoments
from firstpush.core.body.rotations import Array
from firstpush.core.people.athlete import Side
from firstpush.core.progress.dose_steps import DoseStep, seconds_under_load
from firstpush.core.progress.laying import Bench, Way
from firstpush.core.progress.other_levers import Other
from firstpush.core.progress.step import AsDone, Of, RelativeChange, Step, Window, exact, paired
from firstpush.core.setup.by_hand import SAME
from firstpush.core.setup.loads import all_moments
from firstpush.core.setup.result import ExerciseSetup
from firstpush.core.setup.uncertainty import Draws, draws, samples_of

PAIRED_SAMPLES = 2000
"""Enough for the range of a step in whole per cents, since what is common cancels."""
NO_MORE = 1e-9


def of_load(setup: ExerciseSetup) -> Of:
    """Return what the load of a set-up is called: of an exercise that the trunk resists, the turning load."""
    loads = setup.exercise.loads if setup.limiting is None else setup.limiting.loads
    return "turning load" if loads == "trunk turn" else "moment"


def heavier_somewhere(now: ExerciseSetup, after: ExerciseSetup) -> bool:
    """Whether `after` asks more than `now` of the named axis, of a hand or of any joint of an arm, at its peak.

    Where the band carries part of the arm, a lighter one leaves more of it to the arm: what the arm alone asks for,
    with nothing in the hand, counts as no more.
    """
    bare = all_moments(after.body, after.movement.skeleton, {}, after.attach)
    for side in after.arms:
        like = side if side in now.arms else now.side
        least = np.maximum(_peaks(now.moments.arms[like]), _peaks(bare.arms[side]))
        if np.any(_peaks(after.moments.arms[side]) > least * (1 + NO_MORE) + NO_MORE):
            return True
        if _pull(after, side) > _pull(now, like) * (1 + NO_MORE) + NO_MORE:
            return True
    same_axis = now.limiting is not None and after.limiting is not None and now.limiting.loads == after.limiting.loads
    if same_axis and now.peak is not None and after.peak is not None:
        return after.peak.value > now.peak.value * (1 + NO_MORE)
    return False


def _peaks(arm: ArmMoments) -> Array:
    """Return the largest moments at shoulder, elbow, wrist and clavicle (4,) [N·m]."""
    sizes = (
        arm.shoulder.magnitude,
        np.linalg.norm(arm.elbow_world, axis=-1),
        np.linalg.norm(arm.wrist_world, axis=-1),
        np.abs(arm.retraction),
    )
    return np.array([np.max(size) for size in sizes])


def _pull(setup: ExerciseSetup, side: Side) -> float:
    force = setup.forces.get(side)
    return 0.0 if force is None else float(np.linalg.norm(force, axis=-1).max())


def _common(before: ExerciseSetup, after: ExerciseSetup, shared: Draws, own: Draws) -> Draws:
    """Return the draws for `after`: those of before, but another band errs on its own, and so does another tape mark.

    A tape mark stays where it was stuck, and its error with it; chair and anchor are placed anew every time, before as
    after, so that their errors are no part of the step.
    """
    old, new = before.band, after.band
    if old is None or new is None:
        return shared
    drawn = shared
    if old.band.name != new.band.name:
        drawn = replace(drawn, band=own.band)
    if (old.band.name, old.strands, old.slack_length) != (new.band.name, new.strands, new.slack_length):
        drawn = replace(drawn, mark=own.mark)
    return drawn


@dataclass(kw_only=True)
class Predictor:
    """Makes steps for one exercise as it is done now; the samples of now are drawn once.

    Parameters
    ----------
    now : AsDone
    seed : int
        Of the draws, so that the same input gives the same digits.
    samples : int
        Fewer where only the sign is asked for and no range is said.
    """

    now: AsDone
    seed: int = 0
    samples: int = PAIRED_SAMPLES
    _drawn: tuple[Draws, Draws] | None = None
    _before: dict[Side, Array] = field(default_factory=dict)

    def change(self, side: Side, after: ExerciseSetup, central: float) -> RelativeChange:
        """Return by how much the load changes on a side, with its paired range.

        Parameters
        ----------
        side : str
        after : ExerciseSetup
        central : float
            Predicted load over the load now [1].  In a chain another link may set the band afterwards; the samples then
            say how sure both are, and `central` joins them.
        """
        before = self.now.setups[side]
        assert before.peak is not None and after.peak is not None, "only asked for where loads are stated"
        if self._drawn is None:
            rng = np.random.default_rng(self.seed)
            self._drawn = draws(rng, samples=self.samples), draws(rng, samples=self.samples)
        shared, own = self._drawn
        if side not in self._before:
            self._before[side] = samples_of(before, shared).peak / before.peak.value
        after_share = samples_of(after, _common(before, after, shared, own)).peak / after.peak.value
        stated = before.peak.value
        return replace(
            paired(stated, stated * central, central * after_share / self._before[side], of_load(before)),
            after=stated * central,
        )

    def laid(self, benches: Mapping[Side, Bench], ways: Mapping[Side, Way], window: Window, words: str) -> Step:
        """Return the step to other ways to lay the band, one for each side that changes."""
        setups = dict(self.now.setups)
        changes: dict[Side, RelativeChange] = {}
        said: dict[Side, str] = {}
        for side, way in ways.items():
            setups[side] = benches[side].laid(way, words)
            changes[side] = self.change(side, setups[side], 1 + way.change)
            said[side] = laid_words(self.now.setups[side], setups[side])
        alike = len(set(said.values())) == 1 and len(said) == len(self.now.setups)
        names = {name: None for way in ways.values() for name in way.levers}
        return Step(
            levers=tuple(names),
            exercise=self.now.exercise,
            setups=setups,
            dose=self.now.dose,
            changes=changes,
            words=next(iter(said.values())) if alike else "; ".join(f"{side}: {text}" for side, text in said.items()),
            inside=all(window.takes(each) for each in changes.values()),
        )

    def dosed(self, found: DoseStep, window: Window) -> Step:
        """Return the step to another dose: what is counted is known exactly."""
        change = exact(seconds_under_load(self.now.dose), seconds_under_load(found.dose), "time")
        return Step(
            levers=(found.lever,),
            exercise=self.now.exercise,
            setups=dict(self.now.setups),
            dose=found.dose,
            changes=dict.fromkeys(self.now.setups, change),
            words=found.words,
            inside=window.takes(change),
        )

    def other(self, found: Other, window: Window) -> Step:
        """Return the step to another way to do it: of load where that is stated, else of what is set."""
        changes: dict[Side, RelativeChange] = {}
        if found.central is not None:
            changes = {side: self.change(side, found.setups[side], share) for side, share in found.central.items()}
        elif found.before_after is not None:
            of: Of = _OF_LEVER[found.lever]
            changes = dict.fromkeys(found.setups, exact(*found.before_after, of))
        return Step(
            levers=(found.lever,),
            exercise=found.exercise,
            setups=dict(found.setups),
            dose=found.dose,
            changes=changes,
            words=found.words,
            inside=bool(changes) and all(window.takes(each) for each in changes.values()),
            added_turn=found.added_turn,
            link=found.link,
        )


_OF_LEVER: dict[str, Of] = {
    "ball mass": "ball mass",
    "added turn": "turn",
    "links alone": "time",
    "one arm": "trunk",
}


def laid_words(now: ExerciseSetup, after: ExerciseSetup) -> str:
    """Return what is laid otherwise: "distance 1.20 → 1.30 m, slack mark 0.80 → 0.70 m"."""
    old, new = now.band, after.band
    assert old is not None and new is not None, "both have a band"
    parts = []
    if old.band.name != new.band.name:
        parts.append(f"band {old.band.name} → {new.band.name}")
    if old.strands != new.strands:
        parts.append(f"strands {old.strands} → {new.strands}")
    for name, one, two in (
        ("slack mark", old.slack_length, new.slack_length),
        ("distance", old.distance, new.distance),
        ("height", old.height, new.height),
    ):
        if one is not None and two is not None and abs(one - two) > SAME:
            parts.append(f"{name} {one:.2f} → {two:.2f} m")
    return ", ".join(parts)
