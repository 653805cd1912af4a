"""What makes an exercise easier as it is set up here: the first levers that hold, for the words "Too hard?"."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from firstpush.core.exercises.definition import DoseOption, Exercise
from firstpush.core.people.athlete import Side
from firstpush.core.progress.levers import OF_THE_DOSE, StepSearch
from firstpush.core.progress.predicted import Predictor
from firstpush.core.progress.step import SMALLEST_STEP, WINDOWS, AsDone, Step, Window
from firstpush.core.progress.try_out import is_tried_out, try_out_dose
from firstpush.core.setup.circumstances import Circumstances
from firstpush.core.setup.result import ExerciseSetup

SAID = 2
"""Levers that are said at most: more are not read beside an exercise."""
SAMPLES = 200
"""Enough for whether a step is surely lighter; its range is not said."""
ANY_THAT_IS_FELT = Window(low=SMALLEST_STEP.value, high=1.0, aim=WINDOWS["after a hard effort"].aim)
"""A step that is large enough to be felt; how much larger decides only which of two is said."""


def as_printed(exercise: Exercise, setups: Mapping[Side, ExerciseSetup], dose: DoseOption) -> AsDone:
    """Return an exercise of a session as its sheet prints it: of a first time one set of few.

    Parameters
    ----------
    exercise : Exercise
    setups : mapping of side to ExerciseSetup
        Of the sides that are done; of both arms together the one that there is.
    dose : DoseOption
        As the session has it.
    """
    # A step down from it must not be more than what is printed.
    printed = try_out_dose(dose) if is_tried_out(dose, setups) else dose
    return AsDone(exercise=exercise, setups=setups, dose=printed)


def steps_down(
    case: Circumstances, now: AsDone, *, exercises: Mapping[str, Exercise] | None = None, seed: int = 0
) -> tuple[Step, ...]:
    """Return the first steps down that hold for one athlete here, each of one lever by itself.

    Parameters
    ----------
    case : Circumstances
        Of the kind of session, see `firstpush.core.session.prepare.case_of_kind`.
    now : AsDone
        As it is printed, see `as_printed`.
    exercises : mapping of id to Exercise, optional
        Those that may take its place; the easier exercise is looked for where nothing but the dose can be less.
    seed : int
        For the samples that say whether a step is sure.

    Returns
    -------
    tuple of Step
        In the order of the exercise, `SAID` at most; empty where nothing that it lists leads down.  Every set-up passes
        the checks of the search, and in no joint is it heavier than now.
    """
    predictor = Predictor(now=now, seed=seed, samples=SAMPLES)
    search = StepSearch(case, now, "easier", exercises or {}, "after a hard effort", predictor)
    found = search.by_lever(most=SAID, takes=ANY_THAT_IS_FELT)
    if not found and is_tried_out(now.dose, now.setups):
        # As for the easier variant on court: the lightest that there is, so fewer of it, down to five.
        levers = tuple(lever for lever in now.exercise.easier if lever in OF_THE_DOSE)
        of_dose = replace(now, exercise=replace(now.exercise, easier=levers))
        fewer = StepSearch(case, of_dose, "easier", {}, "after pain", replace(predictor, now=of_dose))
        found = fewer.by_lever(most=1, takes=ANY_THAT_IS_FELT)
    if len(found) < SAID and all(set(step.levers) <= set(OF_THE_DOSE) for step in found):
        found += search.whole_step()
    return tuple(found)
