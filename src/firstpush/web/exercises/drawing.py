"""Drawings of one exercise for an athlete or the reference body, from the same set-up as the numbers beside it."""

from __future__ import annotations

from dataclasses import replace
from functools import partial

from firstpush.core.errors import OutOfRangeError
from firstpush.core.exercises.definition import Exercise
from firstpush.core.figure.from_setup import scene_of
from firstpush.core.figure.moment_curve import draw_moment_curve, moment_curve
from firstpush.core.figure.moving import draw_moving
from firstpush.core.figure.still import draw_still
from firstpush.core.people.athlete import Side
from firstpush.core.session.prepare import FIRST_SIDE, prepare
from firstpush.core.setup.result import ExerciseSetup
from firstpush.core.setup.search import search_setup
from firstpush.sheets.drawn import bare_scene, is_chain
from firstpush.sheets.make import moving_figure
from firstpush.sheets.small_figures import small_figure
from firstpush.sheets.words import figure_words
from firstpush.web.exercises.chosen import ForWhom
from firstpush.web.exercises.possible import setups_with_ranges
from firstpush.web.figures import Kind, figure_key, kept

WIDTH_MM, HEIGHT_MM = 136.0, 78.0
CARD_MM = (60.0, 36.0)
NARROW_MM = 84.0
"""Width of a drawing on a phone: lettering of 9 pt is as large as the words of the page where 350 px show it."""
CURVE_MM = (120.0, 58.0)
NARROW_STILL_MM = (NARROW_MM, 62.0)
NARROW_CURVE_MM = (NARROW_MM, 56.0)
CHAIN_WIDTH_MM = 180.0
"""A chain has a panel for every pose."""


def figure(exercise: Exercise, whom: ForWhom, *, kind: Kind, side: Side | None) -> str:
    """Return the drawing of `exercise` as SVG, drawn or kept.

    Raises
    ------
    FirstpushError
        When it cannot be posed, for the athlete nor for the reference body.
    """
    key = figure_key(exercise, whom, kind=kind, side=side)
    return kept(key, partial(draw, exercise, whom, kind=kind, side=side), of=whom.athlete)


def draw(exercise: Exercise, whom: ForWhom, *, kind: Kind, side: Side | None) -> str:
    """Draw `exercise` set up for `whom`; what cannot be set up, as the bare movement; see `figure`."""
    of_load = kind in ("curve", "curve-narrow")
    setups = setups_with_ranges(exercise, whom) if of_load else setups_of(exercise, whom)
    setup = setups.get(side) if side else next(iter(setups.values()), None)
    if of_load:
        return _curve(setup, narrow=kind == "curve-narrow")
    if setup is not None:
        return _set_up(setup, whom, kind)
    try:
        return _bare(exercise, whom, kind)
    except OutOfRangeError:
        if whom.athlete is None:
            raise
        # A body that cannot take the pose: the movement is seen on another.
        return _bare(exercise, ForWhom(), kind)


def setups_of(exercise: Exercise, whom: ForWhom) -> dict[Side, ExerciseSetup]:
    """Return the set-ups of one exercise alone, by side, the one that begins first; empty where there is none."""
    found = prepare(whom.case(), [exercise], keep=[exercise.id]).setups
    return {side: setup for (_, side), setup in found.items()}


def draft(exercise: Exercise) -> str:
    """Draw an exercise that is being written, set up for the reference body where that is possible; nothing is kept.

    Raises
    ------
    FirstpushError
        When it cannot be posed.
    """
    case = ForWhom().case()
    answer = search_setup(exercise, case, side=FIRST_SIDE, best=1, ranges=False)
    width = CHAIN_WIDTH_MM if is_chain(exercise) else WIDTH_MM
    if answer.best is not None:
        words = figure_words(answer.best)
        return draw_still(scene_of(answer.best), width_mm=width, title=exercise.title, description=words)
    words = f"Without a band, since it cannot be set up: {answer.answer.partition(': ')[2]}."
    return draw_still(bare_scene(exercise, case), width_mm=width, title=exercise.title, description=words)


def _set_up(setup: ExerciseSetup, whom: ForWhom, kind: Kind) -> str:
    look = whom.look
    if kind == "moving":
        return moving_figure(setup, look)
    if kind == "card":
        return small_figure(setup, look)
    wide = (CHAIN_WIDTH_MM if is_chain(setup.exercise) else WIDTH_MM), HEIGHT_MM
    width, height = NARROW_STILL_MM if kind == "still-narrow" else wide
    scene, title = scene_of(setup, look=look), setup.exercise.title
    return draw_still(scene, width_mm=width, height_mm=height, title=title, description=figure_words(setup))


def _curve(setup: ExerciseSetup | None, *, narrow: bool) -> str:
    curve = None if setup is None else moment_curve(setup)
    if setup is None or curve is None:
        raise OutOfRangeError(
            "no load is stated here, so that there is no curve of it; exercises with a load have one. Choose such."
        )
    width, height = NARROW_CURVE_MM if narrow else CURVE_MM
    title = f"Load over the movement: {setup.exercise.title}"
    return draw_moment_curve(curve, width_mm=width, height_mm=height, title=title)


def _bare(exercise: Exercise, whom: ForWhom, kind: Kind) -> str:
    scene = replace(bare_scene(exercise, whom.case()), look=whom.look)
    title, description = exercise.title, f"Start and end, without a band. {exercise.summary}"
    if kind == "moving":
        dose = exercise.doses[0]
        return draw_moving(
            scene,
            title=title,
            description=description,
            out_s=dose.out_s,
            hold_s=dose.hold_s,
            back_s=dose.back_s,
            loop=exercise.circle is not None,
        )
    sizes: dict[Kind, tuple[float, float]] = {"card": CARD_MM, "still-narrow": NARROW_STILL_MM}
    width, height = sizes.get(kind, (WIDTH_MM, HEIGHT_MM))
    return draw_still(scene, width_mm=width, height_mm=height, title=title, description=description)
