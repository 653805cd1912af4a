"""Doses that nobody is given unasked: those of the file that are there by hand, fewer sets, and what was typed."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace

from firstpush.core.exercises.definition import DoseOption, Exercise
from firstpush.core.people.athlete import Side
from firstpush.core.session.candidate import Candidate, Chosen
from firstpush.core.session.kinds import with_sets
from firstpush.core.session.prepare import Prepared
from firstpush.core.session.timeline import work_seconds
from firstpush.core.session.typed_dose import dose_of_name
from firstpush.core.setup.court import LaidOut, as_laid_in
from firstpush.core.setup.result import ExerciseSetup

BOTH_WAYS = ("each direction", "each way")
"""What the name of a dose says where its sets are two directions, and one of them alone is half the exercise."""


def with_doses_asked(prepared: Prepared, doses: Mapping[str, str]) -> Prepared:
    """Return `prepared` with the doses added that are asked for by name and that nobody is given unasked.

    Parameters
    ----------
    prepared : Prepared
    doses : mapping of exercise id to str
        Names; one that says nothing is left to the choice to refuse.
    """
    candidates, setups = [], dict(prepared.setups)
    for candidate in prepared.candidates:
        name = doses.get(candidate.id)
        known = candidate.exercise.doses
        added = None if name is None or name in {dose.name for dose in known} else _named(candidate.exercise, name)
        if added is not None:
            candidate = replace(candidate, exercise=replace(candidate.exercise, doses=(*known, added)))
            drill = prepared.courses.get(candidate.id)
            if drill is not None:
                mine = {side: setup for (id_, side), setup in prepared.setups.items() if id_ == candidate.id}
                candidate, again = laid_in_dose(candidate, mine, drill, added)
                setups.update({(candidate.id, side): setup for side, setup in again.items()})
        candidates.append(candidate)
    return replace(prepared, candidates=tuple(candidates), setups=setups)


def laid_in_dose(
    candidate: Candidate, setups: Mapping[Side, ExerciseSetup], drill: LaidOut, dose: DoseOption
) -> tuple[Candidate, dict[Side, ExerciseSetup]]:
    """Return a drill and its set-ups with the measures of the dose it is done in: two lanes for two lengths."""
    again = {side: replace(each, exercise=as_laid_in(each.exercise, drill, dose)) for side, each in setups.items()}
    return replace(candidate, exercise=as_laid_in(candidate.exercise, drill, dose)), again


def _named(exercise: Exercise, name: str) -> DoseOption | None:
    """Return the dose that is called `name`: by hand, one of fewer sets, or a typed one; None where it is none."""
    offered = (*exercise.doses, *exercise.by_hand)
    fewer = (with_sets(dose, sets) for dose in offered for sets in range(1, dose.sets))
    found = next((dose for dose in (*exercise.by_hand, *fewer) if dose.name == name), None)
    return found if found is not None else dose_of_name(exercise, name)


def other_doses(mine: Chosen) -> tuple[Chosen, ...]:
    """Return the doses that are offered in the place of one, from less to more work, each amount once.

    Parameters
    ----------
    mine : Chosen
        As it is done now.

    Returns
    -------
    tuple of Chosen
        Those that the athlete may be given; those that are there by hand, of no more work than these; and one set less
        than now.  Held to by a caution, nothing but the doses that it leaves.
    """
    candidate, exercise = mine.candidate, mine.candidate.exercise
    most = max(work_seconds(Chosen(candidate=candidate, dose=dose)) for dose in (*exercise.doses, mine.dose))
    found = {_amount(mine.dose): mine}
    for dose in (*exercise.doses, *exercise.by_hand, *one_set_less(exercise, mine.dose)):
        other = Chosen(candidate=candidate, dose=dose)
        if work_seconds(other) <= most:
            found.setdefault(_amount(dose), other)
    return tuple(sorted((each for each in found.values() if each is not mine), key=work_seconds))


def one_set_less(exercise: Exercise, dose: DoseOption) -> Iterable[DoseOption]:
    """Return `dose` with one set less; nothing where a caution holds to it, or where its sets are two directions."""
    directions = exercise.circle is not None or any(words in dose.name for words in BOTH_WAYS)
    if dose.sets == 1 or dose.only_with_care or directions:
        return ()
    return (with_sets(dose, dose.sets - 1),)


def _amount(dose: DoseOption) -> tuple[object, ...]:
    # The pause is left out: after a single set there is none.
    counted = (dose.sets, dose.repetitions, dose.seconds, dose.rounds, dose.rounds_words)
    return (*counted, dose.out_s, dose.hold_s, dose.back_s)
