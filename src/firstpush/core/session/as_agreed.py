"""Exercises laid as agreed: the same band on the same spot where that can be, else to the agreed load."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from firstpush.core.exercises.definition import DoseOption, Exercise
from firstpush.core.notices import Notice
from firstpush.core.people.athlete import Side
from firstpush.core.people.health import hurts_too_much
from firstpush.core.session.agreed import Agreed, only_dose
from firstpush.core.session.asked import Asked
from firstpush.core.session.candidate import Candidate, LeftOut
from firstpush.core.session.doses_by_hand import laid_in_dose
from firstpush.core.session.kinds import KindName
from firstpush.core.session.prepare import Prepared, case_of_kind, kind_for, relaid
from firstpush.core.setup.by_hand import laid_by_hand
from firstpush.core.setup.circumstances import Circumstances
from firstpush.core.setup.result import ExerciseSetup


@dataclass(frozen=True, kw_only=True)
class LaidAgain:
    """Set-ups by side as agreed, and what is told where one could not be laid so, one clause each."""

    setups: Mapping[Side, ExerciseSetup]
    refused: tuple[str, ...] = ()


def as_agreed(
    prepared: Prepared,
    case: Circumstances,
    exercises: Mapping[str, Exercise],
    agreed: Mapping[str, Agreed],
    *,
    kind: KindName,
    asked: Asked,
    seed: int = 0,
) -> Prepared:
    """Return `prepared` with exercises laid and dosed as agreed, and without those that are left out.

    Parameters
    ----------
    prepared : Prepared
        Searched with the agreed loads, see `agreed_loads`.
    case : Circumstances
    exercises : mapping of id to Exercise
        With the poses agreed, see `Agreed.as_done`.
    agreed : mapping of exercise id to Agreed
    kind : str
    asked : Asked
        What is asked by hand is offered whatever was agreed, in the dose that is asked.
    seed : int
        For the ranges.
    """
    if not agreed:
        return prepared
    of_kind, here = kind_for(case, kind), case_of_kind(case, kind)
    doses = dict(asked.doses)
    setups, candidates, left_out = dict(prepared.setups), [], list(prepared.left_out)
    harder = _harder_than_left_out(exercises, agreed)
    for candidate in prepared.candidates:
        now = agreed.get(candidate.id)
        if candidate.id in harder and candidate.id not in asked.wanted:
            left_out.append(LeftOut(exercise=candidate.exercise, reason=harder[candidate.id]))
            continue
        if now is None:
            candidates.append(candidate)
            continue
        if now.left_out and candidate.id not in asked.wanted:
            left_out.append(LeftOut(exercise=candidate.exercise, reason=now.left_out))
            continue
        found = {side: setup for (id_, side), setup in prepared.setups.items() if id_ == candidate.id}
        laid = lay_again(now, here, exercises[candidate.id], found, seed=seed)
        candidate = relaid(candidate, found=found, done=laid.setups, said=_told(candidate, now, laid))
        setups.update({(candidate.id, side): setup for side, setup in laid.setups.items()})
        if now.dose is not None and candidate.id not in doses and _free_to_choose(candidate, exercises[candidate.id]):
            dose, drill = now.dose, prepared.courses.get(candidate.id)
            held = only_dose(candidate.exercise, dose if drill is None else drill.timed(dose))
            candidate = replace(candidate, exercise=replace(held, doses=of_kind.doses(held)))
            if drill is not None:
                candidate, again = laid_in_dose(candidate, laid.setups, drill, dose)
                setups.update({(candidate.id, side): setup for side, setup in again.items()})
        candidates.append(candidate)
    return replace(prepared, setups=setups, candidates=tuple(candidates), left_out=tuple(left_out))


def lay_again(
    agreed: Agreed,
    case: Circumstances,
    exercise: Exercise,
    found: Mapping[Side, ExerciseSetup],
    *,
    seed: int = 0,
) -> LaidAgain:
    """Return the set-ups `found` by the search to the agreed load, laid just as agreed where that can be.

    On a day that asks for less than the day it was agreed on, and on a side that hurts too much, what the search found
    stays.

    Parameters
    ----------
    agreed : Agreed
    case : Circumstances
        Of the kind of session.
    exercise : Exercise
        With the poses agreed.
    found : mapping of side to ExerciseSetup
    seed : int
        For the ranges.
    """
    done, refused = dict(found), []
    for side, setup in found.items():
        each = agreed.sides.get(side)
        sore = any(hurts_too_much(case.athlete, arm) for arm in setup.arms)
        if each is None or each.laid is None or sore or abs(case.load_share - agreed.share) > 1e-9:
            continue
        answer = laid_by_hand(exercise, case, each.laid, like=setup, seed=seed)
        if answer.setup is not None:
            done[side] = answer.setup
        else:
            refused += [f"{side}: {'; '.join(answer.refused)}" if len(found) > 1 else "; ".join(answer.refused)]
    return LaidAgain(setups=done, refused=tuple(refused))


def _harder_than_left_out(exercises: Mapping[str, Exercise], agreed: Mapping[str, Agreed]) -> dict[str, str]:
    """Return the harder steps of what is left out, each with the reason: they would ask more of the same place."""
    found: dict[str, str] = {}
    ahead = [id_ for id_, each in agreed.items() if each.left_out and id_ in exercises and not each.replaced_by]
    titles = {id_: exercises[id_].title for id_ in ahead}
    while ahead:
        id_ = ahead.pop()
        steps = {each.id for each in exercises.values() if each.easier_exercise == id_}
        steps |= {exercises[id_].harder_exercise or ""} & exercises.keys()
        for step in steps - titles.keys() - found.keys():
            found[step] = f"a harder step of {titles.get(id_, exercises[id_].title)}, which is left out"
            ahead.append(step)
    return found


def _free_to_choose(candidate: Candidate, exercise: Exercise) -> bool:
    """Whether no caution holds the athlete to some of the doses."""
    usual = [dose for dose in exercise.doses if not dose.only_with_care]
    offered = set(map(_counted, candidate.exercise.doses))
    return all(_counted(dose) in offered for dose in usual)


def _counted(dose: DoseOption) -> tuple[float | None, ...]:
    # What is laid out in rounds has another time on every floor.
    return (dose.repetitions, dose.rounds, dose.seconds if dose.rounds is None else None)


def _told(candidate: Candidate, agreed: Agreed, laid: LaidAgain) -> list[Notice]:
    title = candidate.exercise.title
    if laid.refused:
        return [
            Notice(
                id="agreed-cannot-be-laid",
                level="note",
                what=f"cannot be laid as agreed on {agreed.since:%-d %B} ({'; '.join(laid.refused)})",
                do="Take the set-up printed: it is laid to the agreed load",
                about=title,
            )
        ]
    if not agreed.change:
        return []
    return [
        Notice(
            id="changed-as-agreed",
            level="note",
            what=f"changed as agreed on {agreed.since:%-d %B}: {agreed.change}",
            do="Ask how hard it was: the next decision rests on the answer",
            about=title,
        )
    ]
