"""Where the sets of eight weeks end up, for an athlete whose effort follows a law that the rules do not know.

Run: ``python benchmarks/eight_weeks.py``; seeds are fixed, so it prints the same again.  The demo athlete trains three
times a week with the demo's cupboard.  Each exercise begins with a try-out, every decision is accepted, and the next
set-up is the step that the levers find.  Where the rule asks (effort 11), the practitioner either leaves it, or says
"harder" when it asked in two sessions in a row.  Three laws of effort, none of them the one that the try-out assumes.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import date, timedelta

import numpy as np

from firstpush.core.exercises.loader import library
from firstpush.core.kit.kit_file import load_kit
from firstpush.core.kit.venue_file import load_venue
from firstpush.core.people.athlete import Side
from firstpush.core.people.athlete_file import load_athlete
from firstpush.core.progress.decide import Decision, Rules, WeekLoad, decide, why_it_waits
from firstpush.core.progress.history import Done
from firstpush.core.progress.levers import next_step
from firstpush.core.progress.step import AsDone
from firstpush.core.progress.try_out import next_round
from firstpush.core.setup.circumstances import Circumstances, circumstances
from firstpush.core.setup.search import search_setup
from firstpush.demo import demo_file

WEEKS, DAYS = 8, (0, 2, 4)
MONDAY = date(2026, 9, 28)
EXERCISES = ("low_row", "external_rotation_side", "anti_rotation_press", "straight_arm_pull_back")
SIDE: Side = "right"
SEEDS = (1, 2, 3)

Law = Callable[[float, float], float]
LAWS: dict[str, Law] = {
    "power": lambda share, times: 6 + 14 * share**1.4 * times**0.25,
    "threshold": lambda share, times: 6 + 14 * max(0.0, share - 0.2) / 0.8 * times**0.2,
    "saturating": lambda share, times: 6 + 14 / (1 + math.exp(-6 * (share * times**0.2 - 0.55))),
}
"""Effort from the share of what can be done once, and from how often it is done, in tens."""


@dataclass
class Trainee:
    """Somebody with a capacity for each exercise, which grows with fitting work and shrinks with too much."""

    law: Law
    capacity: dict[str, float]
    chance: np.random.Generator

    def effort(self, exercise: str, load: float, repetitions: int) -> int:
        """Return how hard a set feels, on a day that is better or worse than others."""
        form = 1.0 + 0.05 * self.chance.standard_normal()
        felt = self.law(load / (self.capacity[exercise] * form), repetitions / 10) + 0.6 * self.chance.standard_normal()
        return int(np.clip(round(felt), 6, 20))

    def train(self, exercise: str, effort: int) -> None:
        """Grow with fitting work, shrink with too much."""
        self.capacity[exercise] *= 1.012 if 12 <= effort <= 15 else 0.99 if effort > 17 else 1.004


@dataclass
class Track:
    """One exercise over the weeks."""

    now: AsDone
    dones: list[Done]
    last_step: date | None = None
    asked: bool = False
    sessions: int = 0
    first_fit: int | None = None


@dataclass(frozen=True, kw_only=True)
class Outcome:
    """What came of eight weeks, over all exercises."""

    law: str
    seed: int
    sets: int
    within: int
    over: int
    steps: int
    sessions_to_fit: tuple[int | None, ...]
    decisions: tuple[tuple[date, Decision, str], ...]
    largest_weekly_rise: float
    largest_rise_of_one: float


def rises_of(weeks: list[float]) -> list[float]:
    """Return how much each week is above the mean of the four before it [1]."""
    return [weeks[i] / (sum(weeks[i - 4 : i]) / 4) - 1 for i in range(4, len(weeks))]


def load_of(now: AsDone) -> float:
    """Return the predicted load of the exercise as it is done [N·m]."""
    peaks = [setup.peak.value for setup in now.setups.values() if setup.peak is not None]
    return sum(peaks) / len(peaks)


def volume(now: AsDone) -> float:
    """Return load times repetitions of one session [N·m]."""
    return load_of(now) * now.dose.sets * (now.dose.repetitions or 10)


def begun(case: Circumstances, exercise_id: str, trainee: Trainee) -> AsDone | None:
    """Return the exercise after its try-out; None where it cannot be set up here."""
    exercise = library()[exercise_id]
    dose = next(each for each in exercise.doses if each.repetitions is not None)
    target: float | None = None
    for number in (1, 2, 3):
        answer = search_setup(exercise, case, side=SIDE, target_nm=target)
        if not answer.setups:
            return None
        setup = answer.setups[0]
        now = AsDone(exercise=exercise, setups={SIDE: setup}, dose=dose)
        assert setup.target is not None
        effort = trainee.effort(exercise_id, load_of(now), 6)
        found = next_round(
            load=load_of(now), effort=effort, number=number, largest=max(setup.target.largest, load_of(now))
        )
        if found.over:
            return now
        target = found.load
    raise AssertionError("a try-out ends with its third round")


def eight_weeks(law: str, seed: int, *, answered: bool = True) -> Outcome:
    """Return what comes of eight weeks; `answered` says whether the practitioner answers where the rule asks."""
    chance = np.random.default_rng(seed)
    athlete = replace(load_athlete(demo_file("athlete")), strength=())
    case = circumstances(athlete, load_kit(demo_file("kit")), load_venue(demo_file("venue")))
    loads = {
        "low_row": 14.0,
        "external_rotation_side": 9.0,
        "anti_rotation_press": 20.0,
        "straight_arm_pull_back": 22.0,
    }
    trainee = Trainee(LAWS[law], {name: loads[name] * chance.uniform(0.8, 1.3) for name in EXERCISES}, chance)
    tracks = {name: Track(now, []) for name in EXERCISES if (now := begun(case, name, trainee)) is not None}
    rules, within, over, sets, steps = Rules(), 0, 0, 0, 0
    decisions: list[tuple[date, Decision, str]] = []
    weeks: list[float] = []
    own: dict[str, list[float]] = {name: [] for name in tracks}
    for week in range(WEEKS):
        weeks.append(0.0)
        for each in own.values():
            each.append(0.0)
        for day in DAYS:
            today = MONDAY + timedelta(weeks=week, days=day)
            for name, track in tracks.items():
                effort = trainee.effort(name, load_of(track.now), track.now.dose.repetitions or 10)
                trainee.train(name, effort)
                weeks[-1] += volume(track.now)
                own[name][-1] += volume(track.now)
                sets, within, over = sets + 1, within + (12 <= effort <= 15), over + (effort > 15)
                if 12 <= effort <= 15 and track.first_fit is None:
                    track.first_fit = track.sessions
                track.sessions += 1
                others = sum(
                    each.last_step is not None and (today - each.last_step).days < 7
                    for each in tracks.values()
                    if each is not track
                )
                track.dones.append(Done(exercise=name, on=today, effort=effort))
                mean = sum(weeks[-5:-1]) / 4 if len(weeks) > 4 else None
                planned = len(DAYS) * sum(volume(each.now) for each in tracks.values())
                would = planned + len(DAYS) * 0.1 * volume(track.now)
                load = WeekLoad(with_step=would, mean_of_four_weeks=mean)
                found = decide(
                    track.dones,
                    part=track.now.exercise.part,
                    rules=rules,
                    last_step_on=track.last_step,
                    others_stepped=others,
                    week=load,
                )
                waits = why_it_waits(
                    on=today, rules=rules, last_step_on=track.last_step, others_stepped=others, week=load
                )
                words = ""
                asks = found.what == "keep" and found.ask.startswith("whether it could")
                # The practitioner's word is held back by what holds the rule back.
                told_so = answered and asks and track.asked and not waits
                track.asked = asks and not told_so
                if found.what in ("progress", "regress") or told_so:
                    harder = found.what != "regress"
                    answer = next_step(
                        case,
                        track.now,
                        direction="harder" if harder else "easier",
                        size="usual" if harder else "after a hard effort",
                    )
                    words = answer.sentence
                    if answer.best is not None:
                        best = answer.best
                        track.now = AsDone(exercise=best.exercise, setups=best.setups, dose=best.dose)
                        track.dones = [] if harder else track.dones[-1:]
                        steps += harder
                        track.last_step = today if harder else track.last_step
                decisions.append((today, found, words))
    rises = rises_of(weeks)
    of_one = [rise for each in own.values() for rise in rises_of(each)]
    return Outcome(
        law=law,
        seed=seed,
        sets=sets,
        within=within,
        over=over,
        steps=steps,
        sessions_to_fit=tuple(track.first_fit for track in tracks.values()),
        decisions=tuple(decisions),
        largest_weekly_rise=max(rises),
        largest_rise_of_one=max(of_one),
    )


def main() -> None:
    """Print a line for each law and seed."""
    print(
        "answered  law         seed  within 12-15  over 15  steps  first fitting session   "
        "largest rise of a week: all, one"
    )
    for answered in (False, True):
        for law in LAWS:
            for seed in SEEDS:
                found = eight_weeks(law, seed, answered=answered)
                fits = ", ".join("never" if each is None else str(each + 1) for each in found.sessions_to_fit)
                within, over = (100 * each / found.sets for each in (found.within, found.over))
                said, rise = "yes" if answered else "no", 100 * found.largest_weekly_rise
                one = 100 * found.largest_rise_of_one
                shares = f"{within:>9.0f} %  {over:>5.0f} %"
                print(
                    f"{said:<9} {law:<11} {seed:>4}  {shares}  {found.steps:>5}  {fits:<22}  "
                    f"{rise:>+5.0f} %  {one:>+5.0f} %"
                )


if __name__ == "__main__":
    main()
