"""A try-out as a way of its own: lightest safe set-up, how hard was it, the next set-up; three rounds at most."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date

from firstpush.core.errors import OutOfRangeError
from firstpush.core.exercises.definition import Exercise
from firstpush.core.people.athlete import Side
from firstpush.core.progress.entries import Feel
from firstpush.core.progress.proposal import agreed_from
from firstpush.core.progress.step import AsDone
from firstpush.core.progress.try_out import next_round
from firstpush.core.session.agreed import Agreed
from firstpush.core.session.prepare import FIRST_SIDE, prepare
from firstpush.core.setup.circumstances import Circumstances
from firstpush.core.setup.result import ExerciseSetup
from firstpush.core.setup.search import search_setup


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
    """

    rounds: tuple[Round, ...]
    over: bool
    agreed: Agreed | None


def try_out(exercise: Exercise, case: Circumstances, heard: Sequence[Heard], *, on: date) -> TriedOut:
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

    Raises
    ------
    OutOfRangeError
        Where the exercise cannot be set up here, or has no load that is stated.
    """
    # What was agreed before would be the first round otherwise, and a try-out begins with the lightest.
    bare = replace(case, agreed={})
    prepared = prepare(bare, [exercise], keep=(exercise.id,))
    setups = {side: setup for (_, side), setup in prepared.setups.items()}
    if not setups:
        raise OutOfRangeError(f"{prepared.left_out[0].reason}: nothing to try out. Mend that first.")
    side = FIRST_SIDE if FIRST_SIDE in setups else next(iter(setups))
    first = _loads(setups)
    if side not in first:
        raise OutOfRangeError(
            f"{exercise.title} has no load that could be tried out: it is set up by place and time. Do it as it is."
        )
    rounds: list[Round] = []
    for number, said in enumerate((*heard, None), start=1):
        load = _loads(setups)[side]
        if said is None:
            rounds.append(Round(number=number, setups=setups, load=load))
            break
        target = setups[side].target
        assert target is not None, "what has a load has a target"
        found = next_round(
            load=load, effort=said.effort, number=number, largest=max(target.largest, load), pain=said.pain
        )
        rounds.append(Round(number=number, setups=setups, load=load, because=found.because))
        if found.over or said.pain:
            kept = setups if found.load >= load else _laid_to(exercise, bare, found.load / first[side], first)
            agreed = None if said.pain else _agreed(exercise, bare, kept, on)
            return TriedOut(rounds=tuple(rounds), over=True, agreed=agreed)
        setups = _laid_to(exercise, bare, found.load / first[side], first) or setups
    return TriedOut(rounds=tuple(rounds), over=False, agreed=None)


def _loads(setups: dict[Side, ExerciseSetup]) -> dict[Side, float]:
    return {side: setup.peak.value for side, setup in setups.items() if setup.peak is not None and setup.target}


def _laid_to(
    exercise: Exercise, case: Circumstances, times: float, first: dict[Side, float]
) -> dict[Side, ExerciseSetup]:
    """Return the set-ups whose load on each side is `times` that of its first round."""
    found = {}
    for side, load in first.items():
        # The search takes the share of the day off what is asked.
        best = search_setup(exercise, case, side=side, target_nm=times * load / case.load_share, best=1).best
        if best is not None:
            found[side] = best
    return found


def _agreed(exercise: Exercise, case: Circumstances, setups: dict[Side, ExerciseSetup], on: date) -> Agreed:
    done = next(iter(setups.values())).exercise
    then = AsDone(exercise=exercise, setups=setups, dose=done.doses[0])
    return agreed_from(case, exercise.id, then, on=on, change="first load known from a try-out")
