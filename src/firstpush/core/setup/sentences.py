"""What the search says in words: what is missing, why nothing fits, and where a load is not the one wanted."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from firstpush.core.measured import Measured
from firstpush.core.notices import Notice
from firstpush.core.setup.anchors import ROOM_BEHIND, heights_wanted
from firstpush.core.setup.band_grid import BandGrid
from firstpush.core.setup.circumstances import Circumstances
from firstpush.core.setup.judge import CONDITIONS, Trial
from firstpush.core.setup.result import ExerciseSetup
from firstpush.core.setup.targets import Target

NEAR_ENOUGH = Measured(
    name="load over the wanted load, farthest still called fitting",
    value=1.25,
    unit="1",
    spread=0.0,
    source="about twice the spread of a predicted load",
    known="our choice",
)

LATEX_OUT = "latex, left out"
WOULD_ROLL = "the chair has no brakes and there are no four chocks"
"""Parts of a reason by which what waits for one answer is found."""


def what_is_missing(case: Circumstances, trial: Trial, *, use_post: bool) -> str:
    """Return what kit or venue lack for this exercise, or "" when nothing is missing."""
    needs, venue = trial.exercise.needs, case.venue
    if use_post and trial.exercise.contact != "hands on rail" and not venue.posts:
        return (
            f"no post at {venue.name}; anything fixed that a band can be tied to would do, written as [[posts]], or at "
            "home a door anchor in the kit"
        )
    if trial.exercise.band is not None and not any(band.count for band, _ in case.bands):
        latex = latex_left_out(case, [band.name for band in case.kit.bands])
        return f"no band that the athlete may use{latex}; a latex-free band would do"
    for what, need, has in (
        ("long", needs.floor_length, venue.floor_length),
        ("wide", needs.floor_width, venue.floor_width),
    ):
        if need and has is not None and has < need:
            return f"needs a floor {need:g} m {what}, {venue.name} has {has:g} m"
    if needs.cones > case.kit.cones:
        return f"needs {needs.cones} cones, there are {case.kit.cones}"
    if use_post and trial.exercise.band is not None and case.blocking == "free":
        return f"{WOULD_ROLL}, so it would roll; chocks before and behind both rear wheels would do"
    return ""


def latex_left_out(case: Circumstances, names: list[str]) -> str:
    """Return in brackets which of `names` were left out for latex, or ""."""
    out = [name for name in case.latex_left_out if name in names]
    return f" ({', '.join(out)}: {LATEX_OUT})" if out else ""


def no_place(case: Circumstances, trial: Trial) -> str:
    """Return why no post offers a place for this exercise, and the nearest that does."""
    use = trial.exercise.band
    assert use is not None
    low, high = heights_wanted(use, trial.movement.skeleton, side=trial.side)
    offered = sorted((abs(h - (low + high) / 2), h, post.name) for post in case.venue.posts for h in post.heights)
    inside = [name for _, h, name in offered if low <= h <= high]
    if inside:
        along = use.anchor_side in ("front", "behind")
        chair_room = case.chair.overall_length if along else case.chair.overall_width
        room = np.ceil(10 * (chair_room + ROOM_BEHIND.value + use.distance_window[0]) - 1e-9) / 10
        return f"not enough room before {inside[0]} for chair and distance; {room:.1f} m would do"
    _, height, name = offered[0]
    return f"no post offers {low:.2f} to {high:.2f} m; the nearest is {name} at {height:.2f} m"


def most_failed(failed: dict[str, int]) -> str:
    """Return the condition that failed most, with how often."""
    wrong, count = max(failed.items(), key=lambda item: item[1], default=("nothing was tried", 0))
    return f"{wrong} in {count} of the ways tried"


def why_none(grid: BandGrid, target: Target, failed: dict[str, int]) -> str:
    """Return one sentence: what failed for how many, and the nearest load that the kit gives."""
    hard = {wrong: failed[wrong] for wrong in CONDITIONS if failed.get(wrong)}
    # What no tape can lay is no reason as long as something else can be laid.
    laid = bool(np.all(np.stack(list(grid.fits.values())), axis=0).any())
    soft = {w: n for w, n in failed.items() if n and w not in CONDITIONS and not (laid and w in grid.fits)}
    worst = max((hard or soft).items(), key=lambda item: item[1], default=("nothing could be tried", 0))
    fits = np.all(np.stack(list(grid.fits.values())), axis=0) & np.isfinite(grid.peak) & (grid.peak > 0)
    if not fits.any() and failed.get("loads the opposite direction"):
        return f"this set-up loads the opposite direction in all {soft['loads the opposite direction']} ways tried"
    if not fits.any():
        return f"{worst[0]} in all {worst[1]} ways tried; a longer or another band would do"
    nearest = float(grid.peak[fits][np.argmin(np.abs(np.log(grid.peak[fits] / target.value)))])
    return f"{worst[0]}; apart from that, {_nearest_load(nearest, target.value)}"


def _nearest_load(nearest: float, wanted: float) -> str:
    """Return the load that could be laid against the one wanted; more than that is no part of it."""
    digits = 0 if round(nearest) != round(wanted) else 1
    if nearest > wanted:
        return f"the lightest that could be laid here is {nearest:.{digits}f} N·m, and {wanted:.{digits}f} is wanted"
    return f"{nearest:.{digits}f} of the {wanted:.{digits}f} N·m wanted could be laid here"


def is_lighter(setup: ExerciseSetup) -> bool:
    """Whether the largest load is so far below the wanted one that it must be told."""
    if setup.peak is None or setup.target is None:
        return False
    return setup.peak.value < setup.target.value / NEAR_ENOUGH.value


def is_heavier(setup: ExerciseSetup) -> bool:
    """Whether the largest load is so far above the wanted one that it must be told."""
    if setup.peak is None or setup.target is None:
        return False
    return setup.peak.value > setup.target.value * NEAR_ENOUGH.value


def said_heavier(setup: ExerciseSetup) -> ExerciseSetup:
    """Return the set-up with the caution that it is heavier than a first set should be."""
    notice = Notice(
        id="heavier-than-wanted",
        level="caution",
        what=f"heavier than a first set should be ({_times(setup)}), {_lightest(setup)}",
        do="Stop when it is hard, or do it for a shorter time",
        about=setup.exercise.title,
    )
    return replace(setup, notices=(notice, *setup.notices))


def _times(setup: ExerciseSetup) -> str:
    assert setup.peak is not None and setup.target is not None, "heavier than a wanted load"
    return f"{setup.peak.value / setup.target.value:.1f} times"


def _lightest(setup: ExerciseSetup) -> str:
    if setup.band is not None:
        return "the lightest that can be laid here"
    return "the arm's own weight" if setup.ball is None else "the arm's own weight with the lightest ball"


def said_without_ball(bare: ExerciseSetup, held: ExerciseSetup) -> ExerciseSetup:
    """Return the set-up without a ball, with the note why the lightest, with which `held` was found, is left out."""
    assert held.ball is not None, "only a ball is left out"
    notice = Notice(
        id="without-ball",
        level="note",
        what=f"the arm with {held.ball.name} would be {_times(held)} what a first set should be",
        do="Empty hand; when it is easy, with the ball",
        about=bare.exercise.title,
    )
    return replace(bare, notices=(*bare.notices, notice))


def do_when_lighter(setup: ExerciseSetup) -> str:
    """Return what to do with a load below the one wanted; a first set asks for no more than its answer."""
    if setup.target is not None and setup.target.kind == "try-out":
        return "Ask how hard the first set was; a light one does no harm"
    return "More repetitions make up for part of it"


def said_lighter(setup: ExerciseSetup, failed: dict[str, int]) -> ExerciseSetup:
    """Return the set-up with the note that it is lighter than wanted, and what kept it so."""
    hard = {wrong: failed[wrong] for wrong in CONDITIONS if failed.get(wrong)}
    why = max(hard, key=hard.__getitem__) if hard else "the bands at hand give no more"
    assert setup.peak is not None and setup.target is not None, "lighter than a wanted load"
    notice = Notice(
        id="lighter-than-wanted",
        level="note",
        what=f"gives {setup.peak.value:.0f} of the {setup.target.value:.0f} N·m wanted ({why})",
        do=do_when_lighter(setup),
        about=setup.exercise.title,
    )
    return replace(setup, notices=(*setup.notices, notice))
