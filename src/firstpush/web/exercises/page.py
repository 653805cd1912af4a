"""What the page of one exercise says: of the library or the club's own, for an athlete or the reference body."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from math import degrees
from typing import Any

from django.http import QueryDict
from django.urls import reverse

from firstpush.core.exercises.definition import DoseOption, Exercise, Needs
from firstpush.core.figure.from_setup import contact_post
from firstpush.core.notices import Notice, sides_together
from firstpush.core.people.athlete import Side
from firstpush.core.setup.result import ExerciseSetup
from firstpush.sheets.content import Fact
from firstpush.sheets.words import dose_large, dose_small, easier, facts, harder, numbers
from firstpush.web import access
from firstpush.web.access import User
from firstpush.web.courses.ask_form import layout_title
from firstpush.web.exercises.chosen import ForWhom
from firstpush.web.exercises.figure_views import side_of
from firstpush.web.exercises.forms import WhomForm, chosen_whom
from firstpush.web.exercises.library import club_library
from firstpush.web.exercises.models import OwnExercise
from firstpush.web.exercises.possible import setups_with_ranges, verdict
from firstpush.web.figures import address_of


@dataclass(frozen=True, kw_only=True)
class LargeFact:
    """One of the large facts of a set-up."""

    value: str
    unit: str
    about: str


@dataclass(frozen=True, kw_only=True)
class Step:
    """The exercise one step down or up."""

    word: str
    exercise: Exercise
    address: str
    figure: str


@dataclass(frozen=True, kw_only=True)
class SetUp:
    """One exercise set up on one side, in words."""

    side: Side
    large: tuple[LargeFact, ...]
    facts: tuple[Fact, ...]
    numbers: tuple[Fact, ...]
    notices: tuple[Notice, ...]
    curve: str
    curve_narrow: str
    curve_words: str
    try_out: bool


def exercise_page(
    user: User, exercise: Exercise, asked: QueryDict, *, own: OwnExercise | None = None
) -> dict[str, Any]:
    """Return what the template of an exercise needs.

    Raises
    ------
    InputFileError
        When what is stored of athlete, kit or venue no longer passes the reader of core.
    """
    known, whom = club_library(access.club_of(user)), chosen_whom(user, asked)
    setups = setups_with_ranges(exercise, whom)
    wanted = side_of(asked)
    side = wanted if wanted in setups else next(iter(setups), None)
    judged = verdict(exercise, known, whom) if whom.athlete is not None else None
    drawn_for = whom if setups else ForWhom()
    return {
        "exercise": exercise,
        "own": own,
        "form": WhomForm(user, whom),
        "whom": whom,
        "verdict": judged,
        "sides": tuple(setups) if len(setups) > 1 else (),
        "side": side,
        "set_up": None if side is None else _set_up(setups[side], whom, side, exercise),
        "moving": address_of(exercise, drawn_for, kind="moving", side=side),
        "still": address_of(exercise, drawn_for, kind="still", side=side),
        "still_narrow": address_of(exercise, drawn_for, kind="still-narrow", side=side),
        "steps": tuple(_steps(exercise, known, whom)),
        "easier": easier(exercise),
        "harder": harder(exercise),
        "doses": tuple(
            (dose, dose_large(dose, exercise), _small(dose, exercise)) for dose in (*exercise.doses, *exercise.by_hand)
        ),
        "needs": needs_words(exercise.needs),
        "course_title": "" if exercise.course is None else layout_title(exercise.course),
    }


def _set_up(setup: ExerciseSetup, whom: ForWhom, side: Side, exercise: Exercise) -> SetUp:
    setups = {None if setup.exercise.sides == "together" else side: setup}
    has_curve = setup.peak is not None and setup.movement.share.size > 1
    return SetUp(
        side=side,
        large=large_facts(setup),
        facts=facts(setups),
        numbers=numbers(setups),
        notices=sides_together(replace(each, about="") for each in setup.notices),
        curve=address_of(exercise, whom, kind="curve", side=side) if has_curve else "",
        curve_narrow=address_of(exercise, whom, kind="curve-narrow", side=side) if has_curve else "",
        curve_words=f"{setup.exercise.loads} from start to end, largest {setup.peak}" if has_curve else "",
        try_out=setup.target is not None and setup.target.kind == "try-out",
    )


def large_facts(setup: ExerciseSetup) -> tuple[LargeFact, ...]:
    """Return what is measured out with a tape before the exercise begins, three facts at most."""
    band, found = setup.band, []
    if band is not None:
        doubled = ", folded double" if band.strands > 1 else ""
        found.append(LargeFact(value=f"{band.slack_length:.2f}", unit="m", about=f"mark on {band.band.name}{doubled}"))
        if band.height is not None and band.distance is not None:
            found.append(LargeFact(value=f"{band.height:.2f}", unit="m", about=f"high on {band.post}"))
            from_where = band.measured_from.removeprefix("the ")
            found.append(LargeFact(value=f"{band.distance:.2f}", unit="m", about=f"{from_where} to post"))
    if setup.ball is not None and len(found) < 3:
        found.append(LargeFact(value=f"{setup.ball.mass:g}", unit="kg", about=setup.ball.name))
    if contact_post(setup) is not None:
        height = float(setup.movement.skeleton.arms[setup.side].elbow[0, 2])
        found.append(LargeFact(value=f"{round(height / 0.05) * 0.05:.2f}", unit="m", about="elbow, high on the post"))
    if setup.pull is not None and setup.pull.ranged:
        value, _, unit = setup.pull.range_words.rpartition(" ")
        found.append(LargeFact(value=value, unit=unit, about="pull on a hand"))
    return tuple(found)


def _small(dose: DoseOption, exercise: Exercise) -> str:
    by_hand = "only by hand" if dose in exercise.by_hand else ""
    return " · ".join(filter(None, (dose_small(dose, exercise), "each side" if dose.per_side else "", by_hand)))


def _steps(exercise: Exercise, known: Mapping[str, Exercise], whom: ForWhom) -> list[Step]:
    found = []
    for word, id_ in (("Easier", exercise.easier_exercise), ("Harder", exercise.harder_exercise)):
        step = known.get(id_ or "")
        if step is not None:
            address = f"{reverse('exercise', kwargs={'slug': step.id})}{whom.query}"
            found.append(
                Step(word=word, exercise=step, address=address, figure=address_of(step, ForWhom(), kind="card"))
            )
    return found


def needs_words(needs: Needs) -> tuple[str, ...]:
    """Return what an exercise cannot do without, one clause each."""
    told = [
        (needs.elevation, f"lifts the arm to {degrees(needs.elevation):.0f}°"),
        (needs.external_rotation, f"turns the arm out to {degrees(needs.external_rotation):.0f}°"),
        (needs.elbow_extension, f"elbow extensors of grade {needs.elbow_extension} or more"),
        (needs.wrist_extension, f"wrist extensors of grade {needs.wrist_extension} or more"),
        (needs.grip != "none", f"{needs.grip} grip, or a cuff in its place"),
        (needs.hands > 1, "both hands"),
        (needs.post, "a post, wall bars or another fixed place"),
        (needs.cones, f"{needs.cones} cones"),
        (needs.floor_length, f"a floor {needs.floor_length:g} m long"),
        (needs.floor_width, f"a floor {needs.floor_width:g} m wide"),
    ]
    return tuple(words for needed, words in told if needed)
