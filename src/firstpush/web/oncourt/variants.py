"""The easier and the harder way to do each exercise of a session, prepared before it starts."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from firstpush.core.errors import FirstpushError
from firstpush.core.exercises.definition import DoseOption, Exercise
from firstpush.core.people.athlete import Side
from firstpush.core.progress.levers import variants
from firstpush.core.progress.step import WHOLE_EXERCISE, AsDone, Step
from firstpush.core.progress.steps_down import as_printed
from firstpush.core.progress.try_out import is_tried_out
from firstpush.core.session.candidate import Candidate, Chosen
from firstpush.core.session.plan import Planned
from firstpush.core.session.prepare import candidate_of, case_of_kind
from firstpush.core.session.session import SessionItem
from firstpush.core.session.timeline import Step as TimeStep
from firstpush.core.session.timeline import timeline
from firstpush.core.setup.circumstances import Circumstances
from firstpush.core.setup.result import ExerciseSetup


@dataclass(frozen=True, kw_only=True)
class Variant:
    """Another way to do an exercise: what is different, its set-ups, its dose and its steps.

    Parameters
    ----------
    change : str
        What is different, as a clause.
    setups : mapping of side to ExerciseSetup
        Under None for both arms together.
    same_picture : bool
        Whether the set-ups are those of the exercise as planned, so that its drawing is true of this one too.
    tried : mapping of side to ExerciseSetup
        Those that say whether it is a first time: a lighter or heavier set-up of one is still one.
    """

    change: str
    exercise: Exercise
    candidate: Candidate
    setups: Mapping[Side | None, ExerciseSetup]
    dose: DoseOption
    steps: tuple[TimeStep, ...]
    same_picture: bool
    tried: Mapping[Side | None, ExerciseSetup]


def first_time(item: SessionItem, planned: Planned) -> bool:
    """Whether an item is done for the first time: then one set of what is printed, and how hard it was."""
    return is_tried_out(item.dose, setups_planned(planned, item))


def setups_planned(planned: Planned, item: SessionItem) -> dict[Side, ExerciseSetup]:
    """Return the set-ups of an item, for the sides that are done; of both arms together the one that there is."""
    setups = {side: setup for (id_, side), setup in planned.prepared.setups.items() if id_ == item.candidate.id}
    return setups if item.candidate.together else {side: setups[side] for side in item.sides}


def variants_of(
    planned: Planned, case: Circumstances, item: SessionItem, exercises: Mapping[str, Exercise]
) -> dict[str, Variant]:
    """Return the variants of an item that there are, by "easier" and "harder".

    Parameters
    ----------
    planned : Planned
    case : Circumstances
        What the session was made from.
    item : SessionItem
    exercises : mapping of id to Exercise
        Those of the club.
    """
    return dict(_variants(planned, case, item, exercises))


def _variants(
    planned: Planned, case: Circumstances, item: SessionItem, exercises: Mapping[str, Exercise]
) -> Iterator[tuple[str, Variant]]:
    setups = setups_planned(planned, item)
    now = as_printed(item.candidate.exercise, setups, item.dose)
    try:
        found = variants(case_of_kind(case, planned.session.kind), now, exercises=exercises)
    except FirstpushError:
        # A session without a prepared step is still a session.
        return
    for name, answer in (("easier", found.easier), ("harder", found.harder)):
        if answer.best is not None:
            yield name, _variant(answer.best, item, now)


def _variant(step: Step, item: SessionItem, now: AsDone) -> Variant:
    candidate = candidate_of(dict(step.setups), ())
    first = next(iter(step.setups))
    setups: dict[Side | None, ExerciseSetup] = (
        {None: step.setups[first]} if candidate.together else dict(step.setups.items())
    )
    steps = timeline([Chosen(candidate=candidate, dose=step.dose)]).steps
    same = WHOLE_EXERCISE not in step.levers and step.exercise.poses == now.exercise.poses
    return Variant(
        change=step.words,
        exercise=step.exercise,
        candidate=candidate,
        setups=setups,
        dose=step.dose,
        steps=tuple(each for each in steps if each.exercise is not None),
        tried=setups if step.exercise.id != now.exercise.id else dict(now.setups.items()),
        same_picture=same and all(step.setups.get(side) is setup for side, setup in now.setups.items()),
    )
