"""Measure what a practitioner waits for: fit, search, ranges, drawing, a whole session, the first answer.

Run on one thread:

    OPENBLAS_NUM_THREADS=1 OMP_NUM_THREADS=1 python benchmarks/program.py

Prints the best of several runs on this machine, in processor time, which leaves out what other programs take; nothing
here is a test.  Kinematics and statics: benchmarks/body.py.
"""

from __future__ import annotations

import gzip
import resource
import subprocess
import sys
import time
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from tempfile import TemporaryDirectory
from unittest.mock import patch

import numpy as np

from firstpush.core.exercises.loader import exercise_named, library
from firstpush.core.figure.from_setup import scene_of
from firstpush.core.figure.moving import draw_moving
from firstpush.core.figure.still import draw_still
from firstpush.core.kit.bands import fit_band
from firstpush.core.kit.kit_file import load_kit
from firstpush.core.kit.venue import Post
from firstpush.core.kit.venue_file import load_venue
from firstpush.core.people.athlete_file import load_athlete
from firstpush.core.session.prepare import prepare
from firstpush.core.setup import search
from firstpush.core.setup.circumstances import Circumstances, circumstances
from firstpush.core.setup.result import ExerciseSetup
from firstpush.core.setup.uncertainty import with_ranges
from firstpush.demo import demo_file

ATHLETE, KIT, VENUE = (
    load_athlete(demo_file("athlete")),
    load_kit(demo_file("kit")),
    load_venue(demo_file("venue")),
)
DISTANCES = (0.2, 1.7)
"""31 distances, five centimetres apart [m]."""


def best_of(run: Callable[[], object], times: int, *, clock: Callable[[], float] = time.process_time) -> float:
    """Return the shortest of several runs [s]."""
    found = []
    for _ in range(times):
        start = clock()
        run()
        found.append(clock() - start)
    return min(found)


def time_of_children() -> float:
    """Return the processor time of the processes started so far [s]."""
    used = resource.getrusage(resource.RUSAGE_CHILDREN)
    return used.ru_utime + used.ru_stime


def tell(what: str, seconds: float, more: str = "") -> None:
    """Print one line."""
    shown = f"{seconds:8.2f} s " if seconds >= 1 else f"{1e3 * seconds:8.2f} ms"
    print(f"{what:56s} {shown} {more}".rstrip())


def seven_bands() -> Circumstances:
    """Return the demo's athlete with seven bands and one post that offers one height."""
    flat = [band for band in KIT.bands if band.material == "latex-free"]
    bands = tuple(replace(flat[i % len(flat)], name=f"band {i}", length=2.0 + 0.1 * i) for i in range(7))
    post = Post(name="post", heights=(0.9,), room_in_front=6.0, places=1)
    return circumstances(ATHLETE, replace(KIT, bands=bands), replace(VENUE, posts=(post,)))


def fit_and_search() -> None:
    """Print band fit, grid, whole search and Monte Carlo."""
    tell("band fit, 5 points", best_of(lambda: fit_band(KIT.bands[0]), 200))
    case, row = seven_bands(), exercise_named("seated_row")
    assert row.band is not None
    row = replace(row, band=replace(row.band, distance_window=DISTANCES, height_window=(-0.3, 0.3)))

    def whole() -> None:
        search.search_setup(row, case, side="right", target_nm=6.0)

    with patch.object(search, "band_grid", wraps=search.band_grid) as grid:
        whole()
    call = grid.call_args
    shape = search.band_grid(*call.args, **call.kwargs).peak.shape
    counted = " × ".join(str(n) for n in shape)
    tell("search, the grid", best_of(lambda: search.band_grid(*call.args, **call.kwargs), 20), f"{counted} ways")
    tell("search, whole (checks and ranges of three set-ups)", best_of(whole, 5))
    answer = search.search_setup(row, case, side="right", target_nm=6.0, ranges=False)
    assert answer.best is not None
    setup = answer.best
    tell("Monte Carlo, 10,000 samples", best_of(lambda: with_ranges(setup, rng=np.random.default_rng(0)), 5))
    tell(
        "search, whole but the ranges",
        best_of(lambda: search.search_setup(row, case, side="right", target_nm=6.0, ranges=False), 10),
    )


def whole_catalogue() -> None:
    """Print the time to set up every exercise for one athlete on both sides, at first and when nothing has changed."""
    case, exercises = circumstances(ATHLETE, KIT, VENUE), tuple(library().values())
    what = f"every exercise ({len(exercises)}), both sides, no ranges"
    tell(what, best_of(lambda: prepare(case, exercises), 1))
    tell("the same again", best_of(lambda: prepare(case, exercises), 5))


def drawing() -> None:
    """Print the time of a card with two poses, and time and size of a moving drawing."""
    case = circumstances(ATHLETE, KIT, VENUE)
    setups: list[ExerciseSetup] = []
    for exercise in library().values():
        found = search.search_setup(exercise, case, side="right", best=1, rng=np.random.default_rng(0)).best
        if found is not None:
            setups.append(found)
    for setup in setups:
        scene = scene_of(setup)
        words = {"title": setup.exercise.title, "description": setup.exercise.summary}
        size = len(gzip.compress(_moving(setup).encode()))
        tell(f"card, {setup.exercise.id}", best_of(lambda scene=scene, words=words: draw_still(scene, **words), 3))
        tell(
            f"moving, {setup.exercise.id}", best_of(lambda setup=setup: _moving(setup), 1), f"{size / 1000:.1f} kB gzip"
        )


def _moving(setup: ExerciseSetup) -> str:
    return draw_moving(scene_of(setup), title=setup.exercise.title, description=setup.exercise.summary)


def whole_program() -> None:
    """Print a session from files to paper, and the first answer, each in a process of its own."""
    start = "from firstpush.cli import main; main()"
    files = [part for name in ("athlete", "kit", "venue") for part in (f"--{name}", str(demo_file(name)))]
    with TemporaryDirectory() as folder:
        request = ["session", *files, "--minutes", "18", "--out", str(Path(folder) / "out")]

        def run(*arguments: str) -> None:
            subprocess.run([sys.executable, "-c", start, *arguments], check=True, capture_output=True)

        tell("session of 18 minutes, files to paper", best_of(lambda: run(*request), 3, clock=time_of_children))
        tell("firstpush --help", best_of(lambda: run("--help"), 5, clock=time_of_children))


if __name__ == "__main__":
    fit_and_search()
    whole_catalogue()
    drawing()
    whole_program()
