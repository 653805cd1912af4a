"""What stands behind "Too hard?": the steps down that hold for this athlete with this chair, kit, place and dose."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from firstpush.core.errors import FirstpushError
from firstpush.core.exercises.definition import DoseOption, Exercise
from firstpush.core.exercises.other_poses import largest_turn
from firstpush.core.people.athlete import Side
from firstpush.core.progress.levers import OF_THE_DOSE
from firstpush.core.progress.step import WHOLE_EXERCISE, AsDone, Step
from firstpush.core.progress.steps_down import as_printed, steps_down
from firstpush.core.progress.try_out import is_tried_out
from firstpush.core.session.kinds import KindName
from firstpush.core.session.prepare import Prepared, case_of_kind
from firstpush.core.session.session import Session
from firstpush.core.setup.circumstances import Circumstances
from firstpush.core.setup.result import BandSetup, ExerciseSetup
from firstpush.sheets.from_session import setups_of

STOP = "stop there, and say so"
"""Where nothing makes it easier: said, so that nobody looks for a step that is not there."""
LIGHTER_PUSHES = "lighter pushes"
"""How firmly a partner pushes is no lever that could be logged; it is what becomes lighter first."""


def too_hard_words(session: Session, prepared: Prepared, case: Circumstances) -> dict[str, str]:
    """Return for every exercise of a session what to do where it is too hard, by its id.

    Parameters
    ----------
    session, prepared
    case : Circumstances
        What the session was made from.

    Returns
    -------
    dict of str to str
        A clause without a full stop each, see `too_hard`.
    """
    # What was not to be chosen today, for pain or for its kind, is no way out of what is too hard.
    known = {each.id: each.exercise for each in prepared.candidates}
    found = {}
    for item in session.items:
        setups = {setup.side: setup for setup in setups_of(item, prepared).values()}
        now = as_printed(item.candidate.exercise, setups, item.dose)
        found[item.candidate.id] = too_hard(now, case, kind=session.kind, exercises=known)
    return found


def too_hard(
    now: AsDone, case: Circumstances, *, kind: KindName, exercises: Mapping[str, Exercise] | None = None
) -> str:
    """Return what to do where an exercise is too hard as it is printed, a clause without a full stop.

    Parameters
    ----------
    now : AsDone
        As it is printed.
    case : Circumstances
    kind : str
        Kind of session.
    exercises : mapping of id to Exercise, optional
        Those that may take its place.

    Returns
    -------
    str
        The first levers of the exercise by which alone it becomes lighter, with what is laid or counted then, and "or"
        between them; where none does, less of it, its easier exercise, or `STOP`.
    """
    case, known = case_of_kind(case, kind), exercises or {}
    try:
        steps = steps_down(case, now, exercises=known)
    except FirstpushError:
        # A session whose steps cannot be worked out is still a session.
        steps = ()
    told = [step_words(step, now) for step in steps]
    if now.exercise.contact == "partner":
        told = [LIGHTER_PUSHES, *told[:1]]
    return ", or ".join(told) or less_of_it(now.dose) or STOP


def step_words(step: Step, now: AsDone) -> str:
    """Return one step down as the athlete does it: "longer mark (1.00 m)", "fewer repetitions (8)"."""
    if step.levers == (WHOLE_EXERCISE,):
        title = step.exercise.title
        return f"{title[:1].lower()}{title[1:]} in its place"
    (lever,) = step.levers
    if lever in _OF_BAND:
        return _band_words(lever, step, now)
    if lever == "ball mass":
        ball = next(iter(step.setups.values())).ball
        return "no ball" if ball is None else f"lighter ball ({ball.name}, {ball.mass:g} kg)"
    if lever == "added turn":
        return f"{largest_turn(now.exercise)[0]} {'less' if step.added_turn < 0 else 'farther'}"
    if lever in OF_THE_DOSE:
        # Of a first time a range is printed: "stop at 6" says more beside it than how many are fewer.
        of_first_set = is_tried_out(now.dose, now.setups) and step.dose.repetitions != now.dose.repetitions
        return f"stop at {step.dose.repetitions}" if of_first_set else _dose_words(step.dose, now.dose)
    return step.words


def less_of_it(dose: DoseOption) -> str:
    """Return what less of a dose there is below the customary ones; empty where it is the least.

    Examples
    --------
    >>> from firstpush.core.exercises.loader import exercise_named
    >>> slalom = {dose.name: dose for dose in exercise_named("slalom_cones").doses}
    >>> less_of_it(slalom["there and back, twice"]), less_of_it(slalom["there and back, once"])
    ('one set only', '')
    """
    if dose.repetitions is not None and dose.repetitions > 1:
        return "fewer repetitions"
    if dose.sets > 1:
        return "one set only" if dose.sets == 2 else "fewer sets"
    if dose.rounds is not None:
        # Rounds of a time are minutes of rolling; others are lengths or stops.
        what = dose.rounds_words.split()[0]
        return "" if dose.rounds < 2 else "shorter" if what == "easy" else f"fewer {what}"
    return "shorter" if dose.seconds is not None else ""


def _dose_words(new: DoseOption, old: DoseOption) -> str:
    if new.repetitions is not None and old.repetitions is not None and new.repetitions < old.repetitions:
        return f"fewer repetitions ({new.repetitions})"
    if new.rounds is not None or new.sets > old.sets:
        return f"only {new.name}"
    if new.sets < old.sets:
        return "one set only" if new.sets == 1 else f"{new.sets} sets only"
    if new.seconds is not None and old.seconds is not None and new.seconds < old.seconds:
        return f"shorter ({new.seconds:g} s)"
    if new.hold_s < old.hold_s:
        return f"hold shorter ({new.hold_s:g} s)" if new.hold_s > 0 else "no hold"
    return f"back in {new.back_s:g} s"


_OF_BAND: dict[str, Callable[[BandSetup], float | str | None]] = {
    "distance": lambda band: band.distance,
    "slack mark": lambda band: band.slack_length,
    "height": lambda band: band.height,
    "band": lambda band: band.band.name,
    "strands": lambda band: float(band.strands),
}
_MORE_LESS = {
    "distance": ("chair farther", "chair nearer"),
    "slack mark": ("longer mark", "shorter mark"),
    "height": ("band higher", "band lower"),
}


def _band_words(lever: str, step: Step, now: AsDone) -> str:
    """Return what is laid otherwise; where the sides differ, for each."""
    of = _OF_BAND[lever]
    after = {side: of(_band_of(setup)) for side, setup in step.setups.items()}
    before = {side: of(_band_of(now.setups.get(side, setup))) for side, setup in step.setups.items()}
    if lever == "strands":
        return "single band"
    if lever == "band":
        return f"lighter band ({_each_side(after, str)})"
    grows = any(_more(after[side], before[side]) for side in after)
    return f"{_MORE_LESS[lever][0 if grows else 1]} ({_each_side(after, lambda length: f'{length:.2f}')} m)"


def _band_of(setup: ExerciseSetup) -> BandSetup:
    assert setup.band is not None, "its lever is of a band"
    return setup.band


def _more(after: float | str | None, before: float | str | None) -> bool:
    return isinstance(after, float) and isinstance(before, float) and after > before


def _each_side(values: Mapping[Side, float | str | None], said: Callable[[float | str | None], str]) -> str:
    texts = {side: said(value) for side, value in values.items()}
    if len(set(texts.values())) == 1:
        return next(iter(texts.values()))
    return ", ".join(f"{side} {text}" for side, text in texts.items())
