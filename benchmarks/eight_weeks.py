"""Where the sets of eight weeks end up, for an athlete whose effort follows a law that the rules do not know.

Run: ``python benchmarks/eight_weeks.py``; seeds are fixed, so it prints the same again.  With ``--lines power 1`` it
prints every decision of one athlete, as a physiotherapist would read them.

The demo athlete trains three times a week with the demo's cupboard.  All goes the way the application goes: a try-out
by its rounds, which may go on in the next sessions, then `propose` with everything that holds back, and the choice that
is proposed is what is done next.  Where the rule asks (effort 11), the practitioner either leaves it, or says "harder"
when it asked in two sessions in a row and a harder step is offered.  Three laws of effort, none of them the one that
the try-out assumes.  In "with life" a session is missed, two are cut short for want of time, and a familiar pain
rises once.
"""

from __future__ import annotations

import argparse
import math
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field, replace
from datetime import date, timedelta
from functools import cache
from typing import Any

import numpy as np

from firstpush.core.exercises.loader import library
from firstpush.core.kit.kit_file import load_kit
from firstpush.core.kit.venue_file import load_venue
from firstpush.core.people.athlete import SIDES, Side
from firstpush.core.people.athlete_file import load_athlete
from firstpush.core.progress.arms_loaded import arms_loaded
from firstpush.core.progress.decide import PAIN_HOLDS, Decision, Rules
from firstpush.core.progress.dose_steps import seconds_under_load
from firstpush.core.progress.history import Done
from firstpush.core.progress.levers import next_step
from firstpush.core.progress.proposal import Choice, Proposal, agreed_from, propose
from firstpush.core.progress.step import AsDone, StepAnswer
from firstpush.core.progress.steps_counted import others_stepped
from firstpush.core.progress.try_out_again import Trying, why_it_is_over
from firstpush.core.progress.trying import Heard, TriedOut, try_out
from firstpush.core.progress.week_load import Carried, week_with
from firstpush.core.session.agreed import Agreed
from firstpush.core.setup.by_hand import laid_as
from firstpush.core.setup.circumstances import Circumstances, circumstances
from firstpush.core.setup.result import ExerciseSetup
from firstpush.demo import demo_file

WEEKS, DAYS = 8, (0, 2, 4)
MONDAY = date(2026, 9, 28)
EXERCISES = ("low_row", "external_rotation_side", "anti_rotation_press", "straight_arm_pull_back")
SEEDS = (1, 2, 3)
CAN_DO_ONCE = {
    "low_row": 14.0,
    "external_rotation_side": 9.0,
    "anti_rotation_press": 20.0,
    "straight_arm_pull_back": 22.0,
}
"""Load that somebody of this strength could do once [N·m], before the chance of the seed."""
TRIED_REPETITIONS = 6

MISSED = ((4, 1),)
NO_TIME = ((1, 2, "straight_arm_pull_back"), (5, 2, "anti_rotation_press"))
PAIN = ((3, 0, "external_rotation_side"),)
"""With life: week and day from 0; the pain is familiar, at the arm that works, and above what is usual."""

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


@dataclass(frozen=True, kw_only=True)
class Line:
    """One decision as it is read: what was done, what the rule says, and what is done next time."""

    on: date
    decision: Decision
    chosen: Choice
    sentence: str
    tried: str

    def __str__(self) -> str:
        text = f"{self.on} {self.decision.exercise:<23} {self.decision.what:<8} {self.decision.because}"
        if self.decision.ask:
            text += f" | ask {self.decision.ask}"
        if self.chosen.name != "as done":
            text += f" | {self.chosen.name}: {self.chosen.words}, {self.chosen.change}"
        return text + (f" | {self.sentence}" if self.sentence else "") + (f" | {self.tried}" if self.tried else "")


@dataclass
class Track:
    """One exercise over the weeks."""

    now: AsDone
    agreed: Agreed
    first: Agreed
    began: date
    dones: list[Done] = field(default_factory=list)
    trying_sessions: int | None = 0
    known_on: date | None = None
    last_step: date | None = None
    last_pain: date | None = None
    eased_on: date | None = None
    asked: bool = False
    sessions: int = 0
    first_fit: int | None = None
    told: str = ""


@dataclass(frozen=True, kw_only=True)
class Outcome:
    """What came of eight weeks, over all exercises."""

    sets: int
    within: int
    over: int
    steps: int
    steps_of_load: int
    sessions_to_fit: tuple[int | None, ...]
    lines: tuple[Line, ...]
    carried: tuple[Carried, ...]
    known_since: Mapping[str, date]
    stepped: tuple[tuple[date, str], ...]

    @property
    def rise_of_arm(self) -> float:
        """Largest rise of a week of an arm over the mean of the weeks before it, four at most [1]."""
        return max(_rise([each for each in self.carried if each.side == side], MONDAY) for side in SIDES)

    @property
    def rise_of_one(self) -> float:
        """Largest rise of a week of one exercise over the mean of the weeks before it, since its load is known [1]."""
        return max(
            _rise([each for each in self.carried if (each.exercise, each.side) == (name, side)], since)
            for name, since in self.known_since.items()
            for side in SIDES
        )


def _rise(carried: list[Carried], since: date) -> float:
    whole = -(-(since - MONDAY).days // 7)
    return max(rises_of(weeks_of(carried)[whole:]), default=0.0)


def weeks_of(carried: Iterable[Carried]) -> list[float]:
    """Return load times time of each calendar week [N·m·s]."""
    weeks = [0.0] * WEEKS
    for each in carried:
        weeks[(each.on - MONDAY).days // 7] += each.amount
    return weeks


def rises_of(weeks: list[float]) -> list[float]:
    """Return how much each week is above the mean of those before it, four at most [1]; after nothing it is none."""
    before = [weeks[max(0, i - 4) : i] for i in range(1, len(weeks))]
    return [week / (sum(each) / len(each)) - 1 for week, each in zip(weeks[1:], before, strict=True) if sum(each)]


def load_of(setups: Mapping[Side, ExerciseSetup]) -> float:
    """Return the predicted load of the exercise as it is done, the mean of its sides [N·m]."""
    peaks = [setup.peak.value for setup in setups.values() if setup.peak is not None]
    return sum(peaks) / len(peaks)


@cache
def case() -> Circumstances:
    """Return the demo athlete, never tested, with the demo's cupboard in its hall."""
    athlete = replace(load_athlete(demo_file("athlete")), strength=())
    return circumstances(athlete, load_kit(demo_file("kit")), load_venue(demo_file("venue")))


_REMEMBERED: dict[Any, Any] = {}


def steps_once(of: Circumstances, now: AsDone, **asked: Any) -> StepAnswer:
    """Return `next_step`, reckoned once for the same set-up, dose and question."""
    laid = tuple((side, setup.band and laid_as(setup), setup.support) for side, setup in now.setups.items())
    key = (now.exercise.id, now.exercise.harder, repr(now.exercise.poses), laid, now.dose)
    key = (*key, asked["direction"], asked["size"])
    if key not in _REMEMBERED:
        _REMEMBERED[key] = next_step(of, now, **asked)
    found: StepAnswer = _REMEMBERED[key]
    return found


def tried_once(exercise: str, heard: tuple[Heard, ...], on: date, goes_on_from: Agreed | None) -> TriedOut:
    """Return `try_out`, reckoned once for the same words and beginning."""
    sides = None if goes_on_from is None else tuple((side, each.laid) for side, each in goes_on_from.sides.items())
    key = (exercise, heard, sides)
    if key not in _REMEMBERED:
        _REMEMBERED[key] = try_out(library()[exercise], case(), heard, on=on, goes_on_from=goes_on_from)
    found: TriedOut = _REMEMBERED[key]
    return found if found.agreed is None else replace(found, agreed=replace(found.agreed, since=on))


def tried(exercise: str, trainee: Trainee, on: date, goes_on_from: Agreed | None = None) -> tuple[TriedOut, str]:
    """Return a whole try-out as somebody feels it, and its rounds in words."""
    heard: tuple[Heard, ...] = ()
    found = tried_once(exercise, heard, on, goes_on_from)
    while not found.over:
        effort = trainee.effort(exercise, load_of(found.rounds[-1].setups), TRIED_REPETITIONS)
        heard = (*heard, Heard(effort=effort))
        found = tried_once(exercise, heard, on, goes_on_from)
    rounds = ", ".join(f"{each.load:.1f} N·m at {said.effort}" for each, said in zip(found.rounds, heard, strict=True))
    return found, f"tried out {rounds}; kept {load_of(found.kept):.1f}"


def begun(exercise: str, trainee: Trainee, on: date) -> Track:
    """Return the exercise after the try-out of its first session."""
    found, told = tried(exercise, trainee, on)
    assert found.agreed is not None, "nothing hurts in a first try-out here"
    now = AsDone(exercise=library()[exercise], setups=found.kept, dose=_usual_dose(exercise))
    agreed = agreed_from(case(), exercise, now, on=on, change="first load known from a try-out")
    return Track(now=now, agreed=agreed, first=agreed, began=on, told=told)


def _usual_dose(exercise: str) -> Any:
    return next(each for each in library()[exercise].doses if each.repetitions is not None)


def eight_weeks(law: str, seed: int, *, answered: bool = True, life: bool = False) -> Outcome:
    """Return what comes of eight weeks.

    Parameters
    ----------
    law : str
        Of `LAWS`.
    seed : int
    answered : bool
        Whether the practitioner answers where the rule asks.
    life : bool
        Whether something is missed, cut short and hurts.
    """
    chance = np.random.default_rng(seed)
    capacity = {name: CAN_DO_ONCE[name] * chance.uniform(0.8, 1.3) for name in EXERCISES}
    return _Weeks(trainee=Trainee(LAWS[law], capacity, chance), answered=answered, life=life).outcome()


@dataclass
class _Weeks:
    trainee: Trainee
    answered: bool
    life: bool
    rules: Rules = field(default_factory=Rules)
    tracks: dict[str, Track] = field(default_factory=dict)
    carried: list[Carried] = field(default_factory=list)
    lines: list[Line] = field(default_factory=list)
    stepped: list[tuple[date, str, bool]] = field(default_factory=list)
    efforts: list[int] = field(default_factory=list)

    def outcome(self) -> Outcome:
        for week in range(WEEKS):
            for day in range(len(DAYS)):
                if not (self.life and (week, day) in MISSED):
                    self._session(week, day)
        return Outcome(
            sets=len(self.efforts),
            within=sum(12 <= each <= 15 for each in self.efforts),
            over=sum(each > 15 for each in self.efforts),
            steps=len(self.stepped),
            steps_of_load=sum(of_load for _, _, of_load in self.stepped),
            sessions_to_fit=tuple(track.first_fit for track in self.tracks.values()),
            lines=tuple(self.lines),
            carried=tuple(self.carried),
            known_since={name: track.first.since for name, track in self.tracks.items()},
            stepped=tuple((on, name) for on, name, _ in self.stepped),
        )

    def _session(self, week: int, day: int) -> None:
        today = MONDAY + timedelta(weeks=week, days=DAYS[day])
        for name in EXERCISES:
            if name not in self.tracks:
                self.tracks[name] = begun(name, self.trainee, today)
            else:
                self._try_on(name, today)
        # All is done before anything is decided, as in a session.
        for name, track in self.tracks.items():
            cut = self.life and (week, day, name) in NO_TIME
            hurt = self.life and (week, day, name) in PAIN
            self._do(name, track, today, cut=cut, hurt=hurt)
        pending: dict[str, float] = {}
        for name, track in self.tracks.items():
            self._decide(name, track, today, pending)

    def _try_on(self, name: str, today: date) -> None:
        """Go on with a try-out at the start of a session, where the rule asked for it the time before."""
        track = self.tracks[name]
        track.told = ""
        trying = self._trying(track, today)
        if trying is None or why_it_is_over(trying, on=today):
            return
        found, track.told = tried(name, self.trainee, today, track.agreed)
        assert found.agreed is not None, "nothing hurts in a try-out here"
        track.now = replace(track.now, setups=found.kept)
        track.agreed = agreed_from(case(), name, track.now, on=today, change="first load known from a try-out")
        track.first, track.known_on, track.dones = track.agreed, today, []

    def _trying(self, track: Track, today: date) -> Trying | None:
        if track.trying_sessions is None or not track.sessions:
            return None
        held = self._held_back(track, today)
        return Trying(last=self._last[track.now.exercise.id], sessions=track.trying_sessions, held_back=held)

    @property
    def _last(self) -> dict[str, Done]:
        return {name: track.dones[-1] for name, track in self.tracks.items() if track.dones}

    def _do(self, name: str, track: Track, today: date, *, cut: bool, hurt: bool) -> None:
        dose = track.now.dose
        effort = self.trainee.effort(name, load_of(track.now.setups), dose.repetitions or 10)
        self.trainee.train(name, effort)
        self.efforts.append(effort)
        if 12 <= effort <= 15 and track.first_fit is None:
            track.first_fit = track.sessions
        track.sessions += 1
        if track.trying_sessions is not None:
            track.trying_sessions += 1
        if hurt:
            track.last_pain = today
        pain: Any = "easier" if hurt else None
        track.dones.append(
            Done(exercise=name, on=today, effort=effort, finished=not (cut or hurt), no_time=cut, pain=pain)
        )
        seconds = seconds_under_load(dose) * (0.5 if cut or hurt else 1.0)
        for setup in track.now.setups.values():
            for side in setup.arms:
                assert setup.peak is not None, "each of these exercises has a load"
                self.carried.append(Carried(on=today, exercise=name, side=side, load=setup.peak.value, seconds=seconds))

    def _held_back(self, track: Track, today: date) -> str:
        """Return what pain of the last two weeks holds the arms back; that of today in itself has its own answer."""
        for name, other in self.tracks.items():
            pain = other.last_pain
            if pain is None or (today - pain).days >= PAIN_HOLDS.value or (other is track and pain == today):
                continue
            if set(arms_loaded(other.now.setups.values())) & set(arms_loaded(track.now.setups.values())):
                until = pain + timedelta(days=PAIN_HOLDS.value)
                title = library()[name].title.lower()
                return f"pain came in {title} on {pain:%-d %B}: harder at the earliest on {until:%-d %B}"
        return ""

    def _decide(self, name: str, track: Track, today: date, pending: dict[str, float]) -> None:
        arms = {each: arms_loaded(other.now.setups.values()) for each, other in self.tracks.items()}
        stepped_on = {each: other.last_step for each, other in self.tracks.items() if other.last_step is not None}
        trying = None
        if track.trying_sessions is not None:
            trying = Trying(last=track.dones[-1], sessions=track.trying_sessions)
        pains = [other.last_pain for each, other in self.tracks.items() if set(arms[each]) & set(arms[name])]
        pain = max((each for each in pains if each is not None), default=None)
        found = propose(
            case(),
            track.now,
            track.dones,
            filed=library()[name],
            rules=self.rules,
            exercises=library(),
            on=today,
            before=track.agreed,
            last_step_on=track.last_step,
            others_stepped=others_stepped(name, stepped_on=stepped_on, arms_of=arms, on=today),
            week=lambda change: week_with(
                self.carried,
                exercise=name,
                change=change.high,
                middle=change.value,
                on=today,
                others=pending,
                known_since=max(track.first.since, track.eased_on or track.first.since),
            ),
            held_back=self._held_back(track, today),
            after_pain=pain is not None and (track.last_step is None or track.last_step <= pain),
            trying=trying,
            first=track.first,
            known_on=track.known_on,
            find=steps_once,
        )
        chosen = self._practitioner(track, found)
        if chosen.name in ("harder", "easier"):
            self._changed(track, chosen, today)
        if chosen.name == "harder":
            pending[name] = chosen.rise
            self.stepped.append((today, name, "of the load" in chosen.change or "turning load" in chosen.change))
        wanted = {"progress": "harder", "regress": "easier"}.get(found.decision.what, chosen.name)
        sentence = found.sentences.get(wanted, "") if chosen.name != wanted else ""  # type: ignore[call-overload]
        self.lines.append(Line(on=today, decision=found.decision, chosen=chosen, sentence=sentence, tried=track.told))

    def _practitioner(self, track: Track, found: Proposal) -> Choice:
        """Return what is agreed: what is proposed, or harder where the rule asked twice in a row and it is offered."""
        chosen = found.choices[found.proposed]
        asks = chosen.name == "as done" and found.decision.ask.startswith("whether it could")
        harder = next((each for each in found.choices if each.name == "harder"), None)
        if self.answered and asks and track.asked and harder is not None:
            chosen, asks = harder, False
        track.asked = asks
        return chosen

    def _changed(self, track: Track, chosen: Choice, today: date) -> None:
        agreed = chosen.agreed[0]
        assert agreed.dose is not None and agreed.exercise == track.now.exercise.id, "these exercises have other levers"
        exercise = agreed.as_done(library()[agreed.exercise])
        track.now = AsDone(exercise=exercise, setups=chosen.setups, dose=agreed.dose)
        track.agreed, track.dones, track.trying_sessions = agreed, [], None
        if chosen.name == "harder":
            track.last_step = today
        else:
            # From the next time on.
            track.eased_on = today + timedelta(days=1)


def main() -> None:
    """Print a line for each law and seed, or every decision of one athlete."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--lines", nargs=2, metavar=("LAW", "SEED"), help="every decision: a law and a seed")
    parser.add_argument("--life", action="store_true", help="with what is missed, cut short, and a pain")
    asked = parser.parse_args()
    if asked.lines:
        found = eight_weeks(asked.lines[0], int(asked.lines[1]), life=asked.life)
        print(*found.lines, sep="\n")
        print(_row("yes", asked.lines[0], int(asked.lines[1]), found))
        return
    print(
        "answered  law         seed  within 12-15  over 15  steps (of load)  first fitting session   "
        "largest rise of a week: arm, one exercise"
    )
    for answered in (False, True):
        for law in LAWS:
            for seed in SEEDS:
                found = eight_weeks(law, seed, answered=answered, life=asked.life)
                print(_row("yes" if answered else "no", law, seed, found), flush=True)


def _row(said: str, law: str, seed: int, found: Outcome) -> str:
    fits = ", ".join("never" if each is None else str(each + 1) for each in found.sessions_to_fit)
    within, over = (100 * each / found.sets for each in (found.within, found.over))
    arm, one = 100 * found.rise_of_arm, 100 * found.rise_of_one
    return (
        f"{said:<9} {law:<11} {seed:>4}  {within:>9.0f} %  {over:>5.0f} %  {found.steps:>6} ({found.steps_of_load})"
        f"      {fits:<22}  {arm:>+5.0f} %  {one:>+5.0f} %"
    )


if __name__ == "__main__":
    main()
