"""The library as a whole: ladders lead upwards, openers come first, and a sore shoulder is not lifted against load.

The physiotherapist's rules stand here as sets of names or as geometry; they were not read off the files.
"""

from __future__ import annotations

from graphlib import TopologicalSorter
from itertools import chain, pairwise
from math import degrees

import numpy as np
import pytest

from firstpush.core.body.movement import movement
from firstpush.core.checks.bodies import grid_of_athletes, reference_kit, reference_venue
from firstpush.core.exercises.definition import PARTS, Exercise
from firstpush.core.exercises.loader import library
from firstpush.core.setup.circumstances import circumstances

LADDERS = (
    ("external_rotation_both", "external_rotation_side", "external_rotation_90"),
    ("low_row", "seated_row", "high_row", "row_rotation_press", "row_abduct_rotation_press"),
    ("high_row", "arm_out", "row_abduct_rotation_press"),
    ("anti_rotation_press", "anti_rotation_circles", "anti_rotation_turn_away"),
    ("ball_circles", "ball_circles_against_band"),
    ("scaption", "overhead_press"),
    ("pull_down", "diagonal_pull_down"),
)
"""Easier first: lower before higher, supported before free, in one piece before a chain (common practice)."""
POSSIBLE_WHEN_SORE = {
    "chin_tuck",
    "external_rotation_both",
    "external_rotation_side",
    "low_row",
    "shoulder_blade_clock",
}
"""Stays possible with a sore shoulder: elbow low, and nothing lifted (common practice)."""
SHOULDER_HEIGHT_DEG = 80.0
"""From here on the arm counts as held at shoulder height; the arc that hurts lies at 60-120 (common practice)."""


def effect(exercise: Exercise, condition: str) -> str | None:
    """Return what the exercise says about a condition or trait."""
    return next((each.effect for each in exercise.cautions if each.condition == condition), None)


def is_loaded(exercise: Exercise) -> bool:
    """Whether more than the arm itself is held: a band, a ball, or somebody's push."""
    return exercise.band is not None or exercise.ball is not None or exercise.contact == "partner"


def steps() -> dict[str, set[str]]:
    """Return for each exercise those that are easier, told from either end of the step."""
    easier: dict[str, set[str]] = {id_: set() for id_ in library()}
    for id_, exercise in library().items():
        if exercise.easier_exercise is not None:
            easier[id_].add(exercise.easier_exercise)
        if exercise.harder_exercise is not None:
            easier.setdefault(exercise.harder_exercise, set()).add(id_)
    return easier


def highest_deg(exercise: Exercise) -> float:
    """Return how high an arm that works is lifted, for a body of middle size."""
    athlete = next(each for each in grid_of_athletes() if each.name.startswith("1.66 m"))
    case = circumstances(athlete, reference_kit(), reference_venue())
    arms = movement(exercise, case.body, case.chair, side="right").skeleton.arms
    return degrees(max(float(np.max(arms[side].elevation)) for side in exercise.sides_of("right")))


def test_every_exercise_named_by_another_is_there() -> None:
    """Easier, harder and earlier exercises are ids of the library, and never the exercise itself."""
    for id_, exercise in library().items():
        named = [exercise.easier_exercise, exercise.harder_exercise, *exercise.after_any]
        for other in filter(None, named):
            assert other in library(), f"{id_} names {other}"
            assert other != id_, f"{id_} names itself"


def test_no_ladder_leads_back_to_where_it_began() -> None:
    """An order of all exercises exists in which every easier one comes first (the standard library sorts it)."""
    order = list(TopologicalSorter(steps()).static_order())  # raises CycleError with the circle
    for id_, easier in steps().items():
        assert all(order.index(each) < order.index(id_) for each in easier)


def test_what_opens_is_not_opened_by_what_follows() -> None:
    """`after_any` has no circle either, and names what can come before: an earlier part, or what opens the same."""
    known = library()
    list(TopologicalSorter({id_: set(each.after_any) for id_, each in known.items()}).static_order())
    for id_, exercise in known.items():
        for opener in (known[each] for each in exercise.after_any):
            earlier = PARTS.index(opener.part) < PARTS.index(exercise.part)
            assert earlier or (opener.part == exercise.part and opener.opens_part), f"{opener.id} before {id_}"


@pytest.mark.parametrize("ladder", LADDERS, ids=lambda ladder: ladder[0])
def test_each_ladder_goes_up(ladder: tuple[str, ...]) -> None:
    """Each step is reached from the one before it."""
    for lower, higher in pairwise(ladder):
        assert lower in steps()[higher], f"{lower} before {higher}"


def test_no_step_stands_outside_the_ladders() -> None:
    """A step that is added is thought about here too."""
    pairs = {pair for ladder in LADDERS for pair in pairwise(ladder)}
    assert {(lower, higher) for higher, lowers in steps().items() for lower in lowers} == pairs


def test_a_chain_that_ends_above_the_head_is_no_first_exercise() -> None:
    """Several links and an arm lifted beyond 120 degrees: a harder step, with an easier one below it."""
    chains = [each for each in library().values() if each.loaded_links and degrees(each.needs.elevation) > 120]
    assert {each.id for each in chains} == {"row_rotation_press", "row_abduct_rotation_press"}
    assert all(each.advanced and each.easier_exercise for each in chains)


def test_what_is_hard_on_the_floor_does_not_come_cold() -> None:
    """Turning and braking drills follow easy rolling or lengths that begin slowly, which open their parts."""
    known = library()
    for id_ in ("stop_and_turn", "slalom_cones", "half_circle_cones"):
        assert set(known[id_].after_any) == {"easy_rolling", "graded_push_lengths"}
    assert {id_ for id_, each in known.items() if each.opens_part} == {"easy_rolling", "graded_push_lengths"}


def test_a_sore_shoulder_is_not_loaded_at_shoulder_height() -> None:
    """By the geometry of the movement: a band or a ball with the arm from 80 degrees up is left out on that day."""
    for id_, exercise in library().items():
        if is_loaded(exercise) and highest_deg(exercise) >= SHOULDER_HEIGHT_DEG:
            assert effect(exercise, "sore shoulder") == "exclude", f"{id_} lifts the arm to shoulder height"


def test_a_sore_shoulder_still_works_low() -> None:
    """What is low and at the back is not taken away."""
    for id_ in POSSIBLE_WHEN_SORE:
        assert effect(library()[id_], "sore shoulder") is None, id_
    # It begins with long arms, nearly where a sore shoulder hurts; what was asked instead is its easier step.
    assert effect(library()["seated_row"], "sore shoulder") == "exclude"
    assert library()["seated_row"].easier_exercise == "low_row"


def test_the_arc_that_hurts_is_never_passed_over_in_silence() -> None:
    """Every exercise with a band, a ball or a partner and the arm above 70 degrees has its word on a painful arc."""
    for id_, exercise in library().items():
        if is_loaded(exercise) and highest_deg(exercise) > 70:
            assert effect(exercise, "painful arc") in ("care", "exclude"), id_


@pytest.mark.parametrize(
    ("exercise", "trait"),
    [
        ("stop_and_turn", "sore shoulder"),
        ("stop_and_turn", "weak grip"),
        ("stop_and_turn", "no trunk control"),
        ("anti_rotation_circles", "sore shoulder"),
        ("anti_rotation_turn_away", "no trunk control"),
        ("trunk_turn_band", "no trunk control"),
        ("rail_trunk_turns", "no trunk control"),
        ("rail_trunk_turns", "foot missing"),
        ("wrist_extension", "leg missing above knee"),
        ("pull_apart", "weak elbow extensors"),
        ("anti_rotation_press", "weak elbow extensors"),
        ("pull_apart", "hemiplegia"),
        ("diagonal_lift", "hemiplegia"),
    ],
)
def test_what_the_body_cannot_follow_is_left_out(exercise: str, trait: str) -> None:
    """Cues that ask for fingers, trunk, knee or foot are not for those who have none."""
    assert effect(library()[exercise], trait) == "exclude"


def test_who_turns_and_brakes_unevenly_is_warned_on_the_floor() -> None:
    """Hemiplegia is told in every court drill; where the advice was not to stop, the drill of stops is left out."""
    court = {id_: effect(each, "hemiplegia") for id_, each in library().items() if each.part == "court"}
    assert court == {
        "graded_push_lengths": "care",
        "half_circle_cones": "care",
        "slalom_cones": "care",
        "stop_and_turn": "exclude",
    }


def test_every_caution_says_why_and_what_to_do() -> None:
    """Two different sentences, without a full stop: the sheet sets it."""
    cautions = list(chain.from_iterable(each.cautions for each in library().values()))
    for each in cautions:
        assert each.why != each.do
        assert not each.why.endswith(".") and not each.do.endswith("."), each
        assert each.why[0].islower() and not each.do[0].islower(), each
