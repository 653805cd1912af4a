"""Measure how long a programme takes to plan, and how far from its bounds it ends.

    OPENBLAS_NUM_THREADS=1 OMP_NUM_THREADS=1 python benchmarks/programme.py

Prints time on the clock and processor time on this machine, and the gap of days, sets and steps; nothing here is a
test.  The exercises are those of the demo's athlete, harder steps too, made ready before the clock starts.
"""

from __future__ import annotations

import time
from dataclasses import replace
from datetime import date
from typing import Any

from firstpush.core.exercises.loader import library
from firstpush.core.kit.kit_file import load_kit
from firstpush.core.kit.venue_file import load_venue
from firstpush.core.people.athlete_file import load_athlete
from firstpush.core.programme import Break, Calendar, plan_programme
from firstpush.core.programme.days import gap_of
from firstpush.core.session.candidate import Candidate
from firstpush.core.session.prepare import prepare
from firstpush.core.setup.circumstances import circumstances
from firstpush.demo import demo_file

START = date(2026, 12, 7)
THREE = (0, 2, 4)
CASES: tuple[tuple[str, float, dict[str, Any]], ...] = (
    ("3 days x 6 weeks, 18 minutes", 18.0, {"weeks": 6, "weekdays": THREE}),
    (
        "the same with match, break and test week",
        18.0,
        {
            "weeks": 6,
            "weekdays": THREE,
            "matches": (date(2026, 12, 12),),
            "breaks": (Break(first=date(2026, 12, 28), last=date(2027, 1, 3)),),
            "test_weeks": (6,),
        },
    ),
    ("3 days x 6 weeks, 12 minutes", 12.0, {"weeks": 6, "weekdays": THREE}),
    ("3 days x 6 weeks, 45 minutes", 45.0, {"weeks": 6, "weekdays": THREE}),
    ("2 days x 12 weeks, 18 minutes", 18.0, {"weeks": 12, "weekdays": (1, 4)}),
    ("4 days x 6 weeks, 18 minutes", 18.0, {"weeks": 6, "weekdays": (0, 1, 3, 4)}),
    ("5 days in a row x 6 weeks, 15 minutes", 15.0, {"weeks": 6, "weekdays": (0, 1, 2, 3, 4)}),
    ("7 days x 6 weeks, 18 minutes", 18.0, {"weeks": 6, "weekdays": tuple(range(7))}),
    ("3 days x 26 weeks, 18 minutes", 18.0, {"weeks": 26, "weekdays": THREE}),
)


def measure(
    what: str,
    candidates: tuple[Candidate, ...],
    for_match: tuple[Candidate, ...],
    minutes: float,
    given: dict[str, Any],
) -> None:
    """Print one line."""
    calendar = Calendar(start=START, **given)
    clock, processor = time.perf_counter(), time.process_time()
    made = plan_programme(candidates, calendar=calendar, minutes=minutes, match_candidates=for_match)
    clock, processor = time.perf_counter() - clock, time.process_time() - processor
    plan = made.plan_of_weeks
    gaps = (
        made.week.gap,
        gap_of(plan.sets_worth, plan.sets_bound),
        gap_of(plan.steps_worth, plan.steps_bound),
    )
    shown = "  ".join(f"{100 * gap:5.2f} %" for gap in gaps)
    print(f"{what:52s} {clock:6.1f} s {processor:6.1f} s   {shown}")


def main() -> None:
    """Print a line for every case."""
    athlete = load_athlete(demo_file("athlete"))
    case = circumstances(athlete, load_kit(demo_file("kit")), load_venue(demo_file("venue")), on=START)
    candidates = prepare(case, library().values(), keep=tuple(library())).candidates
    for_match = prepare(case, library().values(), kind="before a match").candidates
    print(f"{len(candidates)} exercises{'':38s}   clock      cpu      days     sets    steps")
    for what, minutes, given in CASES:
        measure(what, candidates, for_match, minutes, given)
    # Cuffs and straps make every change depend on the one before it: the hardest order there is.
    dressed = tuple(replace(each, attach="wrist_cuff", strap="chest") if each.band else each for each in candidates)
    measure("3 days x 6 weeks, 18 minutes, cuffs and strap", dressed, for_match, 18.0, {"weeks": 6, "weekdays": THREE})


if __name__ == "__main__":
    main()
