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
from dataclasses import dataclass, field, replace
from datetime import date, timedelta
from typing import Any

import numpy as np
from eight_weeks_outcome import DAYS, MONDAY, WEEKS, Line, Outcome, row_of
from eight_weeks_reckoned import case, load_of, steps_once, tried
from eight_weeks_trainee import CAN_DO_ONCE, EXERCISES, LAWS, MISSED, NO_TIME, PAIN, Trainee

from firstpush.core.exercises.loader import library
from firstpush.core.progress.arms_loaded import arms_loaded
from firstpush.core.progress.dose_steps import seconds_under_load
from firstpush.core.progress.history import Done
from firstpush.core.progress.proposal import Choice, Proposal, agreed_from, propose
from firstpush.core.progress.rules import PAIN_HOLDS, Rules
from firstpush.core.progress.step import AsDone
from firstpush.core.progress.steps_counted import others_stepped
from firstpush.core.progress.try_out_again import Trying, why_it_is_over
from firstpush.core.progress.week_load import Carried, week_with
from firstpush.core.session.agreed import Agreed

SEEDS = (1, 2, 3)


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
        print(row_of("yes", asked.lines[0], int(asked.lines[1]), found))
        return
    print(
        "answered  law         seed  within 12-15  over 15  steps (of load)  first fitting session   "
        "largest rise of a week: arm, one exercise"
    )
    for answered in (False, True):
        for law in LAWS:
            for seed in SEEDS:
                found = eight_weeks(law, seed, answered=answered, life=asked.life)
                print(row_of("yes" if answered else "no", law, seed, found), flush=True)


if __name__ == "__main__":
    main()
