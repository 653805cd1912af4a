"""Many exercises set up and drawn for one athlete, in several processes, always in the order given."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from contextlib import suppress
from dataclasses import dataclass, replace
from functools import partial
from multiprocessing import get_context

from firstpush.core.body.legs import legs
from firstpush.core.body.movement import movement
from firstpush.core.errors import FirstpushError
from firstpush.core.exercises.definition import Exercise
from firstpush.core.figure.from_setup import SHORTEST_CHAIN, scene_of
from firstpush.core.figure.scene import Scene
from firstpush.core.figure.still import draw_still
from firstpush.core.session.prepare import FIRST_SIDE, Prepared, prepare, ranged
from firstpush.core.setup.circumstances import Circumstances
from firstpush.sheets.words import Setups, figure_words

WORKERS = 2
"""Processes that draw: a small laptop has two cores."""
FEW = 3
"""Up to so many exercises are drawn in this process: starting others takes longer."""

Progress = Callable[[int, int], None]


@dataclass(frozen=True, kw_only=True)
class DrawnExercise:
    """One exercise set up and drawn.

    Parameters
    ----------
    exercise : Exercise
        As it stands in the library.
    prepared : Prepared
        Its set-ups alone, and its notices; empty where it cannot be set up.
    svg : str
        The drawing; without a band where there is no set-up; empty where it was not asked for or cannot be posed.
    words : str
        What the drawing shows; empty without one.
    reason : str
        Why there is no set-up, or none that can be drawn, as a clause without a full stop; empty where there is one.
    """

    exercise: Exercise
    prepared: Prepared
    svg: str
    words: str
    reason: str

    @property
    def setups(self) -> Setups:
        """Set-ups by side, under None for both arms together."""
        found = self.prepared.setups
        return {(None if each.exercise.sides == "together" else side): each for (_, side), each in found.items()}


def draw_exercises(
    case: Circumstances,
    exercises: Sequence[Exercise],
    *,
    width_mm: float,
    height_mm: float,
    dimensions: bool,
    without_setup: bool,
    chain_width_mm: float | None = None,
    drill_width_mm: float | None = None,
    seed: int = 0,
    workers: int = WORKERS,
    progress: Progress | None = None,
) -> tuple[DrawnExercise, ...]:
    """Set every exercise up by itself and draw it; what comes out for one does not depend on the others.

    Parameters
    ----------
    case : Circumstances
    exercises : sequence of Exercise
    width_mm, height_mm : float
        Size of a drawing on paper [mm]; lettering is 9 pt at this size.
    dimensions : bool
        Letter distance and height into the drawings.
    without_setup : bool
        Draw the bare movement of an exercise that cannot be set up.
    chain_width_mm : float, optional
        Width for a chain, which has a panel for every pose; left out, as wide as the others [mm].
    drill_width_mm : float, optional
        Width for a drill on a course, whose plan stands beside it; left out, as wide as the others [mm].
    seed : int
        For the ranges of predicted loads.
    workers : int
        Processes; they are started anew, so a script that calls this needs the usual guard of its main part.
    progress : callable, optional
        Told how many are done, of how many, after each.

    Returns
    -------
    tuple of DrawnExercise
        In the order given.
    """
    one = partial(
        _one,
        case=case,
        width_mm=width_mm,
        height_mm=height_mm,
        dimensions=dimensions,
        without_setup=without_setup,
        chain_width_mm=width_mm if chain_width_mm is None else chain_width_mm,
        drill_width_mm=drill_width_mm,
        seed=seed,
    )
    done: list[DrawnExercise] = []

    def take(drawn: DrawnExercise) -> None:
        done.append(drawn)
        if progress is not None:
            progress(len(done), len(exercises))

    if workers < 2 or len(exercises) <= FEW:
        for exercise in exercises:
            take(one(exercise))
        return tuple(done)
    from concurrent.futures import ProcessPoolExecutor

    # Not forked: libraries that compute run threads, and a forked copy of a thread's lock never opens.
    with ProcessPoolExecutor(min(workers, len(exercises)), mp_context=get_context("spawn")) as pool:
        for drawn in pool.map(one, exercises):
            take(drawn)
    return tuple(done)


def _one(
    exercise: Exercise,
    *,
    case: Circumstances,
    width_mm: float,
    height_mm: float,
    dimensions: bool,
    without_setup: bool,
    chain_width_mm: float,
    drill_width_mm: float | None,
    seed: int,
) -> DrawnExercise:
    prepared = ranged(prepare(case, [exercise]), [exercise.id], seed=seed)
    setup = next(iter(prepared.setups.values()), None)
    reason = "" if setup is not None else prepared.left_out[0].reason
    svg, words = "", ""
    wide = chain_width_mm if is_chain(exercise) else width_mm
    if exercise.course is not None and drill_width_mm is not None:
        wide = drill_width_mm

    def draw(scene: Scene, shown: str) -> None:
        nonlocal svg, words
        svg = draw_still(
            scene if dimensions else replace(scene, dimensions=()),
            width_mm=wide,
            height_mm=height_mm,
            title=exercise.title,
            description=shown,
            ground=False,
        )
        words = shown

    if setup is not None:
        try:
            draw(scene_of(setup), figure_words(setup))
        except FirstpushError as error:
            reason = f"it cannot be drawn: {str(error).removesuffix('.')}"
    if reason and without_setup:
        # A body that cannot be posed leaves the first reason standing: it says more.
        with suppress(FirstpushError):
            draw(bare_scene(exercise, case), f"Start and end, without a band. {exercise.summary}")
    return DrawnExercise(exercise=exercise, prepared=prepared, svg=svg, words=words, reason=reason)


def is_chain(exercise: Exercise) -> bool:
    """Whether every pose has a picture of its own."""
    return len(exercise.poses) >= SHORTEST_CHAIN


def bare_scene(exercise: Exercise, case: Circumstances) -> Scene:
    """Return the movement alone: no band, ball or post is laid out where nothing could be set up."""
    moved = movement(exercise, case.body, case.chair, side=FIRST_SIDE)
    frames = moved.share.size
    return Scene(
        body=case.body,
        chair=case.chair,
        skeleton=moved.skeleton,
        legs=legs(case.body, case.chair),
        active_sides=exercise.sides_of(FIRST_SIDE),
        strap=case.chair.strap,
        end=frames // 2 if exercise.circle is not None else frames - 1,
    )
