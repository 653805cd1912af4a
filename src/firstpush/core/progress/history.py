"""From entries to what was done of each exercise in each session: the input of every decision."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from uuid import UUID

from firstpush.core.people.pain import OUTCOMES, Outcome
from firstpush.core.progress.entries import NO_TIME, ONE_SET_LESS, Entry, Feel, standing


@dataclass(frozen=True, kw_only=True)
class Planned:
    """What a session asked for of one exercise: its part, and sets and repetitions of one side."""

    part: str
    sets: int
    repetitions: int | None = None


@dataclass(frozen=True, kw_only=True)
class Done:
    """What was done of one exercise in one session.

    Parameters
    ----------
    exercise : str
    on : date
        By the clock of the device.
    variant : str
        "planned", "easier" or "harder": what was done last.
    effort : int, str or None
        6 to 20 of the exercise itself, else of its part; "easy", "right" or "hard"; None when it was not asked.
    finished : bool
        Every set and repetition that was asked for.
    faults : tuple of str
        What was not clean.
    pain : str or None
        The gravest outcome of pain said in it; None when none was said.
    no_time : bool
        Whether want of time, or what was answered before the start, is why it was not finished.
    stopped : bool
        Whether a first-aid card ended it, or it was left out for a pain that nobody described.
    lighter : str
        Why the day asked for less load than usual, as it stands after "because"; empty where it did not.
    """

    exercise: str
    on: date
    variant: str = "planned"
    effort: int | Feel | None = None
    finished: bool = True
    faults: tuple[str, ...] = ()
    pain: Outcome | None = None
    no_time: bool = False
    stopped: bool = False
    lighter: str = ""

    @property
    def clean(self) -> bool:
        """Whether it was finished without a fault, and without pain that asks for care."""
        return self.finished and not self.faults and not self.stopped and self.pain in (None, "go on")


def done_in(entries: Iterable[Entry], planned: Mapping[str, Planned]) -> tuple[Done, ...]:
    """Return what was done in one run, in the order in which exercises were finished.

    Parameters
    ----------
    entries : iterable of Entry
        Of one run; those that do not hold are left out here.
    planned : mapping of exercise to Planned
        What the session asked for.

    Returns
    -------
    tuple of Done
        One for each exercise that was done or broken off; what was left out for another reason than pain is not there.
    """
    found: dict[str, Done] = {}
    part_efforts: dict[str, int | Feel] = {}
    own_efforts: dict[str, int | Feel] = {}
    pains: dict[str, Outcome] = {}
    variants: dict[str, str] = {}
    carded: dict[str, date] = {}
    left: dict[str, date] = {}
    hurt: dict[str, date] = {}
    for entry in standing(entries):
        values, exercise, day = entry.values, entry.exercise, entry.at.date()
        match entry.kind:
            case "swapped" if exercise is not None:
                variants[exercise] = values["to"]
            case "effort":
                effort = values["feel"] if "feel" in values else values["effort_6_20"]
                if exercise is not None:
                    own_efforts[exercise] = effort
                else:
                    part_efforts[values.get("part", "")] = effort
            case "pain" if exercise is not None and values.get("outcome") in OUTCOMES:
                worst = max(pains.get(exercise, "go on"), values["outcome"], key=OUTCOMES.index)
                pains[exercise] = worst
                if worst not in ("go on", "go on with care"):
                    hurt[exercise] = day
            case "stopped" if exercise is not None:
                carded[exercise] = day
            case "skipped" if exercise is not None and values["reason"] == "pain":
                left[exercise] = day
            case "done" if exercise is not None:
                found[exercise] = _done(entry, planned.get(exercise))
    # A pain that stops an exercise is the end of it, unless it was done after all (its easier variant, say).
    for exercise, day in ({each: day for each, day in hurt.items() if each not in found} | left | carded).items():
        before = found.get(exercise, Done(exercise=exercise, on=day, variant=variants.get(exercise, "planned")))
        # What pain asks for is said by the pain; a card, or leaving out for a pain nobody described, has no other word.
        found[exercise] = replace(
            before, finished=False, no_time=False, stopped=exercise in carded or exercise not in hurt
        )
    return tuple(
        replace(
            done,
            effort=own_efforts.get(exercise, part_efforts.get(planned[exercise].part) if exercise in planned else None),
            pain=pains.get(exercise),
        )
        for exercise, done in found.items()
    )


def _done(entry: Entry, planned: Planned | None) -> Done:
    values = entry.values
    finished = True
    if planned is not None:
        finished = values.get("sets", planned.sets) >= planned.sets
        if planned.repetitions is not None:
            finished = finished and values.get("repetitions", planned.repetitions) >= planned.repetitions
    assert entry.exercise is not None, "read_entry asks for it"
    return Done(
        exercise=entry.exercise,
        on=entry.at.date(),
        variant=values["variant"],
        finished=finished,
        faults=tuple(values.get("faults", ())),
        no_time=not finished and values.get("reason") in (NO_TIME, ONE_SET_LESS),
    )


def by_exercise(runs: Sequence[Iterable[Done]]) -> dict[str, tuple[Done, ...]]:
    """Return what was done of each exercise over many sessions, the oldest first."""
    found: dict[str, list[Done]] = {}
    for run in runs:
        for done in run:
            found.setdefault(done.exercise, []).append(done)
    return {exercise: tuple(sorted(dones, key=lambda each: each.on)) for exercise, dones in found.items()}


def runs_of(entries: Iterable[Entry]) -> dict[UUID, tuple[Entry, ...]]:
    """Return the entries of each run, in their order."""
    found: dict[UUID, list[Entry]] = {}
    for entry in entries:
        found.setdefault(entry.run, []).append(entry)
    return {run: tuple(sorted(each, key=lambda one: one.sequence)) for run, each in found.items()}
