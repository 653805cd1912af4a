"""A try-out as a way of its own: lightest safe set-up, how hard was it, the next set-up; three rounds at most.

On a later day it goes on from the load of the last time, where that was still light.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from math import inf

from firstpush.core.errors import OutOfRangeError
from firstpush.core.exercises.definition import Exercise
from firstpush.core.people.athlete import Side
from firstpush.core.progress.entries import Feel
from firstpush.core.progress.least_change import begun_as_laid, with_least_change
from firstpush.core.progress.proposal import agreed_from
from firstpush.core.progress.step import AsDone
from firstpush.core.progress.try_out import next_round
from firstpush.core.progress.try_out_again import LARGEST_LATER
from firstpush.core.session.agreed import Agreed, agreed_loads
from firstpush.core.session.as_agreed import lay_again
from firstpush.core.session.prepare import FIRST_SIDE, prepare
from firstpush.core.setup.by_hand import SAME, LaidByHand
from firstpush.core.setup.circumstances import Circumstances
from firstpush.core.setup.result import ExerciseSetup
from firstpush.core.setup.search import search_setup

ASKED_LIGHTER, LIGHTER = 6, 0.93
"""How often a round is asked for lighter, where what can be laid nearest is too heavy, and how much lighter [1]."""


@dataclass(frozen=True, kw_only=True)
class Heard:
    """What was said after a round: effort 6-20 or how it felt, and whether pain came that asks for more than care."""

    effort: int | Feel
    pain: bool = False


@dataclass(frozen=True, kw_only=True)
class Round:
    """One round: its set-ups by side, the load on the side that begins [N·m], and what follows from what was said.

    `because` is a clause; empty while nothing was said.
    """

    number: int
    setups: dict[Side, ExerciseSetup]
    load: float
    because: str = ""


@dataclass(frozen=True, kw_only=True)
class TriedOut:
    """A try-out as far as it went.

    Parameters
    ----------
    rounds : tuple of Round
        Those done, and the next one where there is one.
    over : bool
    agreed : Agreed or None
        The first known load, when it is over; None before, and where pain came.
    kept : mapping of side to ExerciseSetup
        As it is set up with that load.
    """

    rounds: tuple[Round, ...]
    over: bool
    agreed: Agreed | None
    kept: Mapping[Side, ExerciseSetup] = field(default_factory=dict)


def try_out(
    exercise: Exercise,
    case: Circumstances,
    heard: Sequence[Heard],
    *,
    on: date,
    goes_on_from: Agreed | None = None,
    in_session: Mapping[Side, LaidByHand] | None = None,
) -> TriedOut:
    """Return the rounds of a try-out from what was said after each; the same words give the same rounds.

    Parameters
    ----------
    exercise : Exercise
    case : Circumstances
        Of the kind of session.
    heard : sequence of Heard
        What was said, round by round.
    on : date
        The day from which the load holds.
    goes_on_from : Agreed or None
        What was tried out the time before, where it may go on (`why_it_is_over` says nothing against it): the first
        round is that load, and no round of this day is more than half as heavy again.
    in_session : mapping of side to LaidByHand, optional
        How the session lays it: where that is as light, the first round is laid so; its band is kept while it will do.

    Raises
    ------
    OutOfRangeError
        Where the exercise cannot be set up here, or has no load that is stated.
    """
    # What was agreed before would be the first round otherwise, and a try-out begins with the lightest.
    bare = replace(case, agreed={} if goes_on_from is None else agreed_loads([goes_on_from]))
    prepared = prepare(bare, [exercise], keep=(exercise.id,))
    setups = {side: setup for (_, side), setup in prepared.setups.items()}
    if not setups:
        raise OutOfRangeError(f"{prepared.left_out[0].reason}: nothing to try out. Mend that first.")
    if goes_on_from is not None:
        setups = dict(lay_again(goes_on_from, bare, exercise, setups).setups)
    else:
        as_laid = in_session or {}
        setups = {each: begun_as_laid(exercise, bare, setup, as_laid.get(each)) for each, setup in setups.items()}
    side = FIRST_SIDE if FIRST_SIDE in setups else next(iter(setups))
    first = _loads(setups)
    if side not in first:
        raise OutOfRangeError(
            f"{exercise.title} has no load that could be tried out: it is set up by place and time. Do it as it is."
        )
    most = inf if goes_on_from is None else first[side] * (1.0 + LARGEST_LATER.value)
    rounds: list[Round] = []
    for number, said in enumerate((*heard, None), start=1):
        load = _loads(setups)[side]
        if said is None:
            rounds.append(Round(number=number, setups=setups, load=load))
            break
        target = setups[side].target
        assert target is not None, "what has a load has a target"
        largest = max(min(target.largest, most), load)
        found = next_round(load=load, effort=said.effort, number=number, largest=largest, pain=said.pain)
        rounds.append(Round(number=number, setups=setups, load=load, because=found.because))
        if found.over or said.pain:
            kept = (
                setups if found.load >= load else _laid_to(exercise, bare, found.load / first[side], first, now=setups)
            )
            agreed = None if said.pain else _agreed(exercise, bare, kept, on)
            return TriedOut(rounds=tuple(rounds), over=True, agreed=agreed, kept={} if said.pain else kept)
        times = found.load / first[side]
        setups = _laid_below(exercise, bare, times, first, side=side, most=most, now=setups) or setups
    return TriedOut(rounds=tuple(rounds), over=False, agreed=None)


def _loads(setups: dict[Side, ExerciseSetup]) -> dict[Side, float]:
    return {side: setup.peak.value for side, setup in setups.items() if setup.peak is not None and setup.target}


def _laid_to(
    exercise: Exercise,
    case: Circumstances,
    times: float,
    first: dict[Side, float],
    *,
    now: Mapping[Side, ExerciseSetup],
) -> dict[Side, ExerciseSetup]:
    """Return the set-ups whose load on each side is `times` that of its first round, changing little from `now`."""
    found = {}
    for side, load in first.items():
        # The search takes the share of the day off what is asked.
        wanted = times * load / case.load_share
        best = search_setup(exercise, case, side=side, target_nm=wanted, best=1).best
        if best is not None:
            like = now[side].band
            band = None if like is None else like.band.name
            found[side] = with_least_change(exercise, case, best, target_nm=wanted, band=band, like=like)
    return found


def _laid_below(
    exercise: Exercise,
    case: Circumstances,
    times: float,
    first: dict[Side, float],
    *,
    side: Side,
    most: float,
    now: Mapping[Side, ExerciseSetup],
) -> dict[Side, ExerciseSetup]:
    """Return the set-ups as `_laid_to`, asked for lighter until none is above `most`; nothing where that fails."""
    for _ in range(ASKED_LIGHTER):
        found = _laid_to(exercise, case, times, first, now=now)
        load = _loads(found).get(side, 0.0)
        if load <= most * (1.0 + SAME):
            return found
        # What can be laid lies in steps, and the nearest one was above.
        times *= LIGHTER
    return {}


def _agreed(exercise: Exercise, case: Circumstances, setups: dict[Side, ExerciseSetup], on: date) -> Agreed:
    done = next(iter(setups.values())).exercise
    then = AsDone(exercise=exercise, setups=setups, dose=done.doses[0])
    return agreed_from(case, exercise.id, then, on=on, change="first load known from a try-out")
