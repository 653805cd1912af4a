"""What the checks of core say of an exercise: whether it may be used, and every finding; asked once, and kept."""

from __future__ import annotations

import json
from collections.abc import Iterable
from dataclasses import asdict, dataclass
from functools import partial

from firstpush.core.checks.exercise_check import Finding, check_exercise
from firstpush.core.errors import Fault, InputFileError
from firstpush.core.exercises.definition import Exercise
from firstpush.core.figure.from_setup import scene_of
from firstpush.core.figure.still import draw_still
from firstpush.core.setup.result import ExerciseSetup
from firstpush.web.exercises.library import read_exercise
from firstpush.web.figures import content_key, kept


@dataclass(frozen=True, kw_only=True)
class Checked:
    """What reading and checking the text of an exercise said; `exercise` is None when it cannot be read."""

    exercise: Exercise | None
    faults: tuple[Fault, ...] = ()
    findings: tuple[Finding, ...] = ()

    @property
    def accepted(self) -> bool:
        """Whether it may be used in sessions."""
        return self.exercise is not None and not self.findings


def checked(text: str, *, id_: str, known_ids: Iterable[str]) -> Checked:
    """Read the text of an exercise file and hold it against the same rules as `firstpush check`.

    Parameters
    ----------
    text : str
    id_ : str
    known_ids : iterable of str
        Ids that its easier and harder exercise may name.
    """
    try:
        exercise = read_exercise(text, id_=id_)
    except InputFileError as error:
        return Checked(exercise=None, faults=error.faults)
    return Checked(exercise=exercise, findings=findings(exercise, known_ids=known_ids))


def findings(exercise: Exercise, *, known_ids: Iterable[str]) -> tuple[Finding, ...]:
    """Return everything that the checks find wrong with `exercise`."""
    ids = frozenset(known_ids) | {exercise.id}
    told = kept(content_key("check", exercise, sorted(ids)), partial(_told, exercise, ids))
    return tuple(Finding(**each) for each in json.loads(told))


def _told(exercise: Exercise, ids: frozenset[str]) -> str:
    return json.dumps([asdict(each) for each in check_exercise(exercise, known_ids=ids, draw=_draw)])


def _draw(setup: object) -> str:
    assert isinstance(setup, ExerciseSetup)
    return draw_still(scene_of(setup), title=setup.exercise.title, description=setup.exercise.summary)
