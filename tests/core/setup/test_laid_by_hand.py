"""A set-up laid by hand passes the same hard conditions as one that is searched, and is refused with its reason."""

from __future__ import annotations

from dataclasses import replace
from itertools import product

import numpy as np
import pytest
from setup_cases import (
    BANDED,
    CUPBOARD,
    EVEN,
    NO_STRAPS,
    RUNA,
    Laid,
    best,
    case_of,
    forces,
    laid,
    load,
    only,
    what_fails,
)

from firstpush.core.errors import OutOfRangeError
from firstpush.core.exercises.loader import exercise_named
from firstpush.core.kit.bands import fit_band
from firstpush.core.people.athlete import Athlete
from firstpush.core.setup.anchors import anchors
from firstpush.core.setup.by_hand import LaidByHand, SetupByHand, choices_by_hand, laid_as, setup_by_hand
from firstpush.core.setup.result import ExerciseSetup
from firstpush.core.setup.search import ways

CASE = case_of(RUNA, NO_STRAPS)
"""Without straps there are fewer ways to support the athlete, so that one second way judges what is laid."""


def at_hand(name: str) -> ExerciseSetup:
    """Return what the search found for an exercise, on the right."""
    setup: ExerciseSetup = best(name, case=CASE)
    return setup


def by_hand(name: str, **change: object) -> LaidByHand:
    """Return how the search laid an exercise, changed by hand."""
    found = laid_as(at_hand(name))
    assert found is not None
    return replace(found, **change)  # type: ignore[arg-type]


@pytest.mark.parametrize("name", BANDED)
def test_laid_as_it_was_found_it_is_the_same(name: str) -> None:
    """Whoever names what the search found gets its load, its pull and its trunk; only the note is new."""
    found = at_hand(name)
    answer = setup_by_hand(exercise_named(name), CASE, SetupByHand(laid=laid_as(found)), like=found)
    assert answer.refused == ()
    assert answer.setup is not None and answer.setup.band is not None and found.band is not None
    assert answer.setup.peak is not None and found.peak is not None
    assert answer.setup.peak.value == pytest.approx(found.peak.value, rel=1e-12)
    assert answer.setup.peak.ranged, "what is shown has its range"
    assert answer.setup.hold.smallest_factor == pytest.approx(found.hold.smallest_factor)
    assert {notice.id for notice in answer.setup.notices} - {notice.id for notice in found.notices} == {
        "set-up-by-hand"
    }


@pytest.mark.parametrize("name", BANDED)
def test_what_is_taken_or_refused_is_so_in_a_second_slow_way(name: str) -> None:
    """Of a hundred set-ups drawn from what can be named, just those are taken in which nothing fails.

    The second way: pulls by the law written out, loads by `core.body.moments`, clearance by points along the band.
    """
    found = at_hand(name)
    choices = choices_by_hand(found, CASE)
    assert choices is not None and found.exercise.band is not None and found.target is not None
    spots = anchors(found.exercise.band, found.movement.skeleton, CASE.chair, CASE.venue, side="right")
    one_way = len([way for way in ways(found.exercise, CASE, "right") if way[0].sides == found.exercise.sides]) == 1
    draws = np.random.default_rng(4)
    taken = refused = 0
    for _ in range(100):
        band, strands = choices.bands[draws.integers(len(choices.bands))]
        mark = choices.marks[draws.integers(len(choices.marks))]
        at = int(draws.integers(len(choices.places)))
        post, height, distance = choices.places[at]
        wanted = LaidByHand(band=band, strands=strands, slack_length=mark, post=post, height=height, distance=distance)
        answer = setup_by_hand(exercise_named(name), CASE, SetupByHand(laid=wanted), like=found)
        material = next(each for each in CASE.kit.bands if each.name == band)
        way: Laid = replace(laid(found), law=fit_band(material), strands=strands, mark=mark, anchor=spots.points[at])
        if answer.setup is not None:
            taken += 1
            way = replace(laid(answer.setup), anchor=spots.points[at])
            assert what_fails(CASE, way) == [], wanted
            curve = load(CASE, way, forces(way))
            assert 0 < curve.max() <= found.target.largest + 1e-9
            assert laid_as(answer.setup) == wanted
        elif one_way:
            refused += 1
            curve = load(CASE, way, forces(way))
            assert (
                what_fails(CASE, way)
                or curve.max() > found.target.largest
                or curve.min() < -0.25 * curve.max()
                or "too far out" in "".join(answer.refused)
            ), (wanted, answer.refused)
    assert taken > 0, "nothing was taken: the test would say nothing"
    assert refused > 0 or not one_way


def test_two_strands_pull_twice_as_much() -> None:
    """Two strands at the same mark and place pull just twice (they lie side by side)."""
    name = "anti_rotation_press"
    like = at_hand(name)
    one = setup_by_hand(
        exercise_named(name), CASE, SetupByHand(laid=by_hand(name, band="flat thin", strands=1)), like=like
    )
    two = setup_by_hand(
        exercise_named(name), CASE, SetupByHand(laid=by_hand(name, band="flat thin", strands=2)), like=like
    )
    assert one.setup is not None and two.setup is not None, (one.refused, two.refused)
    assert one.setup.pull is not None and two.setup.pull is not None
    assert two.setup.pull.value == pytest.approx(2 * one.setup.pull.value, rel=1e-9)


@pytest.mark.parametrize(
    ("change", "said"),
    [
        ({"slack_length": 0.47}, "there is no tape mark at 0.47 m; the nearest is 0.50 m"),
        ({"height": 9.0}, "no place 9.00 m high"),
        ({"post": "flag pole"}, "at flag pole"),
        ({"band": "rope"}, "there is no band rope here"),
        ({"slack_length": 2.0, "strands": 2}, "too far out"),
    ],
)
def test_what_cannot_be_laid_is_refused_with_what_would_do(change: dict[str, object], said: str) -> None:
    """A mark, a place or a band that is not there is named, and nothing is laid."""
    like = at_hand("seated_row")
    answer = setup_by_hand(
        exercise_named("seated_row"), CASE, SetupByHand(laid=by_hand("seated_row", **change)), like=like
    )
    assert answer.setup is None
    assert any(said in reason for reason in answer.refused), answer.refused


def test_a_band_that_was_never_pulled_is_refused_by_hand() -> None:
    """Nothing can be checked of it; the reason says what to measure."""
    unknown = replace(CUPBOARD, bands=tuple(replace(band, pulls=()) for band in only("flat 24").bands))
    like = at_hand("seated_row")
    mine = by_hand("seated_row", band="flat 24", strands=1)
    answer = setup_by_hand(exercise_named("seated_row"), case_of(RUNA, unknown), SetupByHand(laid=mine), like=like)
    assert answer.setup is None
    assert any("never measured" in reason for reason in answer.refused)


def test_a_load_asked_by_hand_moves_the_set_up_towards_it() -> None:
    """More is asked and more comes, never beyond the largest of the exercise."""
    name = "external_rotation_90"
    like = at_hand(name)
    exercise = exercise_named(name)
    assert exercise.start_load is not None
    found = []
    for wanted in (2.0, 4.0, 8.0):
        answer = setup_by_hand(exercise, CASE, SetupByHand(target=wanted), like=like)
        assert answer.setup is not None and answer.setup.peak is not None and answer.setup.target is not None
        assert answer.setup.target.kind == "given"
        found.append(answer.setup.peak.value)
        assert found[-1] <= answer.setup.target.largest
    assert found == sorted(found)
    assert found[0] < found[-1]


@pytest.mark.parametrize(("athlete", "do"), [(EVEN, "Ask how hard the first set was"), (RUNA, "More repetitions")])
def test_a_lighter_load_is_made_up_for_only_where_the_load_is_known(athlete: Athlete, do: str) -> None:
    """Laid by hand lighter than wanted: a first set is only asked after, a tested arm does more of it."""
    case, exercise = case_of(athlete, NO_STRAPS), exercise_named("external_rotation_90")
    found = best(exercise.id, case=case)
    laid_now = laid_as(found)
    choices = choices_by_hand(found, case)
    assert laid_now is not None and choices is not None and found.target is not None
    assert (found.target.kind == "try-out") == (athlete is EVEN)
    told = []
    for (band, strands), mark in product(choices.bands, choices.marks):
        other = replace(laid_now, band=band, strands=strands, slack_length=mark)
        answer = setup_by_hand(exercise, case, SetupByHand(laid=other), like=found)
        if answer.setup is not None:
            told += [each for each in answer.setup.notices if each.id.startswith("lighter-")]
    assert told
    assert all(each.do.startswith(do) for each in told)


def test_a_load_asked_before_a_match_is_not_made_lighter_again() -> None:
    """Before a match loads are 60 %; a load typed for that session is meant as it is typed."""
    name = "external_rotation_90"
    like = at_hand(name)
    answer = setup_by_hand(exercise_named(name), replace(CASE, load_share=0.6), SetupByHand(target=3.0), like=like)
    assert answer.setup is not None and answer.setup.target is not None
    assert answer.setup.target.value == pytest.approx(3.0)


@pytest.mark.parametrize("asked", [{}, {"target": 3.0, "laid": by_hand}, {"target": 0.0}, {"target": -2.0}])
def test_a_set_up_by_hand_names_one_thing(asked: dict[str, object]) -> None:
    """Either how the band is laid or a load above zero."""
    if "laid" in asked:
        asked = asked | {"laid": by_hand("seated_row")}
    with pytest.raises(OutOfRangeError, match="load"):
        SetupByHand(**asked)  # type: ignore[arg-type]
