"""What can be done with an athlete in a venue, and of the rest why not: asked of core once, and kept."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import asdict, dataclass
from datetime import date
from functools import lru_cache, partial
from typing import Literal

from firstpush.core.exercises.definition import Exercise
from firstpush.core.people.athlete import Side
from firstpush.core.session.prepare import Prepared, prepare, ranged
from firstpush.core.setup.result import ExerciseSetup
from firstpush.sheets.words import Setups, facts
from firstpush.web.exercises.chosen import Contents, ForWhom, case_of
from firstpush.web.figures import content_key, exercise_key, kept

State = Literal["possible", "later", "not here"]
"""later: it can be set up, and an easier step comes first."""
SETUPS_KEPT = 64


@dataclass(frozen=True, kw_only=True)
class Verdict:
    """Whether an exercise can be done, how it is set up in a line or two, and why not."""

    state: State
    reason: str
    how: tuple[str, ...]


def verdicts(exercises: Mapping[str, Exercise], whom: ForWhom) -> dict[str, Verdict]:
    """Return the verdict on each of `exercises` for one athlete, by id; kept until anything it rests on changes.

    Raises
    ------
    InputFileError
        When what is stored of athlete, kit or venue no longer passes the reader of core.
    """
    key = content_key("verdicts", [exercise_key(each) for each in exercises.values()], whom.contents)
    told = json.loads(kept(key, partial(_told, exercises, whom), of=whom.athlete))
    return {id_: Verdict(state=one["state"], reason=one["reason"], how=tuple(one["how"])) for id_, one in told.items()}


def verdict(exercise: Exercise, exercises: Mapping[str, Exercise], whom: ForWhom) -> Verdict:
    """Return the verdict on one of `exercises`; see `verdicts`."""
    prepared = prepared_alone(exercise, exercises, whom)
    setups = {side: each for (id_, side), each in prepared.setups.items() if id_ == exercise.id}
    reason = next((each.reason for each in prepared.left_out if each.exercise.id == exercise.id), "")
    if reason and not setups:
        # A harder step is left out before its set-up is kept: asked for by name it has one.
        asked_for = prepare(whom.case(), [exercise], keep=[exercise.id]).setups
        setups = {side: each for (_, side), each in asked_for.items()}
    state: State = "possible" if not reason else "later" if setups else "not here"
    how = tuple(fact.value for fact in facts(by_side(setups)) if fact.label in ("Band", "Ball", "Distance"))
    return Verdict(state=state, reason=reason, how=how)


def prepared_alone(exercise: Exercise, exercises: Mapping[str, Exercise], whom: ForWhom) -> Prepared:
    """Return one exercise set up by itself; its easier step is prepared after it, so that core can say which is first.

    What comes out does not depend on the other exercises, so that list, page and drawing say the same.
    """
    easier = exercises.get(exercise.easier_exercise or "")
    return prepare(whom.case(), [exercise] if easier is None else [exercise, easier])


def setups_with_ranges(exercise: Exercise, whom: ForWhom) -> Mapping[Side, ExerciseSetup]:
    """Return the set-ups of one exercise alone by side, the one that begins first, with ranges of load and pull."""
    return _with_ranges(exercise, whom.contents, whom.on)


def by_side(setups: Mapping[Side, ExerciseSetup]) -> Setups:
    """Return set-ups under the side, and under None for both arms together."""
    return {(None if each.exercise.sides == "together" else side): each for side, each in setups.items()}


@lru_cache(maxsize=SETUPS_KEPT)
def _with_ranges(exercise: Exercise, contents: Contents, on: date) -> Mapping[Side, ExerciseSetup]:
    prepared = prepare(case_of(contents, on), [exercise], keep=[exercise.id])
    return {side: setup for (_, side), setup in ranged(prepared, [exercise.id]).setups.items()}


def _told(exercises: Mapping[str, Exercise], whom: ForWhom) -> str:
    return json.dumps({id_: asdict(verdict(each, exercises, whom)) for id_, each in exercises.items()})
