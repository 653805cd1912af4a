"""A try-out is laid with what changes least on court: the band already in the hand, else the thinnest that will do."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from math import inf, log

import numpy as np

from firstpush.core.exercises.definition import Exercise
from firstpush.core.kit.bands import BandLaw
from firstpush.core.progress.step import SMALLEST_STEP
from firstpush.core.setup.by_hand import LaidByHand, laid_by_hand
from firstpush.core.setup.circumstances import Circumstances
from firstpush.core.setup.result import BandSetup, ExerciseSetup
from firstpush.core.setup.search import search_setup
from firstpush.core.setup.uncertainty import with_ranges

SEED = 20
"""Of the ranges: the same input gives the same digits."""
WEAKEST = 0.8
"""Share of the pull wanted that a band must reach to be looked at: it pulls a little otherwise from another place."""


def begun_as_laid(
    exercise: Exercise, case: Circumstances, lightest: ExerciseSetup, laid: LaidByHand | None
) -> ExerciseSetup:
    """Return the first round: as the session lays it where that is as light, else what changes least from it.

    Parameters
    ----------
    exercise : Exercise
    case : Circumstances
        Of the kind of session, without what was agreed.
    lightest : ExerciseSetup
        As the search lays a first time.
    laid : LaidByHand or None
        How the session lays it; None where it does not.
    """
    if laid is not None:
        as_laid = laid_by_hand(exercise, case, laid, like=lightest).setup
        if as_laid is not None and _load(as_laid) <= _load(lightest) * (1.0 + SMALLEST_STEP.value):
            return as_laid
    if lightest.target is None or lightest.peak is None:
        return lightest
    wanted = min(lightest.target.value, lightest.peak.value)
    return with_least_change(
        exercise, case, lightest, target_nm=wanted / case.load_share, band=None if laid is None else laid.band
    )


def with_least_change(
    exercise: Exercise,
    case: Circumstances,
    nearest: ExerciseSetup,
    *,
    target_nm: float,
    band: str | None = None,
    like: BandSetup | None = None,
) -> ExerciseSetup:
    """Return a set-up as good as the nearest one, with the band in use, else with the thinnest.

    Parameters
    ----------
    exercise : Exercise
    case : Circumstances
        Of the kind of session.
    nearest : ExerciseSetup
        What the search lays with every band to choose from.
    target_nm : float
        Load wanted, before the share of the day is taken off it [N·m].
    band : str or None
        Name of the band in use; None for none.
    like : BandSetup or None
        How that band is laid now.

    Returns
    -------
    ExerciseSetup
        Its load is no farther from what is wanted than that of `nearest`, or than the smallest step that is worth a
        change, and never above both; where no other band does that, `nearest`.
    """
    if nearest.band is None or nearest.band.tension is None or nearest.peak is None:
        return nearest
    if nearest.band.band.name == band:
        return nearest
    wanted = target_nm * case.load_share
    off = max(abs(log(nearest.peak.value / wanted)), SMALLEST_STEP.value)
    most = max(nearest.peak.value, wanted * (1.0 + SMALLEST_STEP.value))
    for only, as_now in _in_order(case, nearest, band, like):
        found = search_setup(
            exercise, only, side=nearest.side, target_nm=target_nm, best=1, like=as_now, ranges=False
        ).best
        load = inf if found is None else _load(found)
        if found is None or found.band is None:
            continue
        # A band folded double is no thinner one.
        folded = found.band.band.name != band and found.band.strands > nearest.band.strands
        if not folded and load <= most and abs(log(load / wanted)) <= off:
            return with_ranges(replace(found, target=nearest.target), rng=np.random.default_rng(SEED))
    return nearest


def _in_order(
    case: Circumstances, nearest: ExerciseSetup, band: str | None, like: BandSetup | None
) -> Iterator[tuple[Circumstances, BandSetup | None]]:
    """Return the cupboard with one band at a time: that in use, first as it is laid, then the thinner ones."""
    laid = nearest.band
    assert laid is not None and laid.tension is not None, "asked before"
    mine = tuple(each for each in case.bands if each[0].name == band)
    if mine:
        if like is not None:
            yield replace(case, bands=mine), like
        yield replace(case, bands=mine), None
    asked = max(float(each.max()) for each in laid.tension.values()) / laid.strands
    thinner = [each for each in case.bands if each[1].c1 is not None and each[0].name != band]
    for each in sorted(thinner, key=lambda one: _pull(one[1])):
        # What is too thin to pull so hard at all need not be searched.
        reaches = float(each[1].tension(1.0 + each[1].limit_elongation)) >= WEAKEST * asked
        if reaches and _pull(each[1]) < _pull(laid.law):
            yield replace(case, bands=(each,)), None


def _pull(law: BandLaw) -> float:
    """Return the pull of one strand at double length [N]."""
    return inf if law.c1 is None else float(law.tension(2.0))


def _load(setup: ExerciseSetup) -> float:
    return inf if setup.peak is None else setup.peak.value
