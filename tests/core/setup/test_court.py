"""Court drills laid out before anything is chosen: what the library says of them, and what a floor makes of them."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import get_args

import pytest

import firstpush.demo
from firstpush.core.courses import LAYOUTS, athlete_speed, fit_sprint, splits_from_text
from firstpush.core.exercises.definition import CourseLayout, DoseOption
from firstpush.core.exercises.loader import library
from firstpush.core.kit.kit_file import load_kit
from firstpush.core.kit.venue import Venue
from firstpush.core.kit.venue_file import load_venue
from firstpush.core.people.athlete_file import load_athlete
from firstpush.core.session.prepare import Prepared, prepare
from firstpush.core.setup.circumstances import Circumstances, circumstances
from firstpush.core.setup.court import SHORTENED, shares_in

CLUB = Path(firstpush.demo.__file__).parent / "club"
DRILLS = ("half_circle_cones", "slalom_cones", "graded_push_lengths", "stop_and_turn")
LENGTH = re.compile(r"\d\s?m\b|\bmetres?\b")


def case(name: str = "runa_velde", venue: Venue | None = None) -> Circumstances:
    """Return an athlete of the demo club in its hall, or in another place."""
    return circumstances(
        load_athlete(CLUB / "athletes" / f"{name}.toml"),
        load_kit(CLUB / "kits" / "cupboard.toml"),
        venue if venue is not None else load_venue(CLUB / "venues" / "slipway_hall.toml"),
        on=date(2026, 3, 2),
    )


def made_ready(of: Circumstances) -> Prepared:
    """Return the drills of the library made ready."""
    return prepare(of, [library()[id_] for id_ in DRILLS])


def test_the_layouts_an_exercise_may_name_are_those_that_ship() -> None:
    """The list that exercise files are read by is the list of layouts."""
    assert set(get_args(CourseLayout)) == set(LAYOUTS)


@pytest.mark.parametrize("id_", DRILLS)
def test_no_file_guesses_what_is_reckoned(id_: str) -> None:
    """No spacing and no floor stand in the files: they would contradict what is laid out."""
    exercise = library()[id_]
    assert exercise.course is not None
    assert not LENGTH.search(exercise.on_the_floor)
    assert not LENGTH.search(exercise.summary)
    assert (exercise.needs.floor_length, exercise.needs.floor_width) == (0.0, 0.0)


@pytest.mark.parametrize("id_", DRILLS)
def test_walking_pace_is_timed_wherever_it_is_said(id_: str) -> None:
    """A caution that says so in its words has the mark that the times go by, and no other has it."""
    for caution in library()[id_].cautions:
        says = caution.effect == "care" and bool(re.search(r"(walking|talking) pace", caution.do))
        assert caution.walking_pace == says, caution.condition


def test_one_number_stands_for_exercise_floor_and_time() -> None:
    """Measures, needs and doses of the exercise chosen are those of the drill that it was laid from."""
    prepared = made_ready(case())
    assert {each.id for each in prepared.candidates} == set(DRILLS)
    for each in prepared.candidates:
        laid = prepared.courses[each.id]
        base = laid.of(each.exercise.doses[0])
        assert each.exercise.floor_facts[0][1] == f"{base.spacing:.2f} m"
        assert 0.0 <= each.exercise.needs.floor_length - base.length < 0.1 + 1e-9
        for dose in each.exercise.doses:
            assert dose.seconds == laid.of(dose).set_s


def test_who_is_told_to_go_at_walking_pace_gets_the_time_for_it() -> None:
    """Nothing holds the trunk of the athlete with an injury at C6: 28 m of slalom at 1.1 m/s take more than 25 s."""
    slow = made_ready(case("tovi_ankerlund"))
    fast = made_ready(case())
    dose = {each.id: each.exercise.doses[-1] for each in slow.candidates}["slalom_cones"]
    assert dose.seconds is not None
    assert dose.seconds > 28.0 / 1.1
    assert slow.courses["slalom_cones"].base.drill.walking
    assert not fast.courses["slalom_cones"].base.drill.walking
    # Pushing lanes is no matter of walking: there its cautions ask for other things.
    assert not slow.courses["graded_push_lengths"].base.drill.walking


def test_a_floor_too_small_leaves_drills_out_with_the_metres() -> None:
    """In a room nothing is laid, and each says what it needs and what there is."""
    room = Venue(name="boat shed", surface="concrete", floor_length=3.0, floor_width=2.5)
    prepared = made_ready(case(venue=room))
    assert not prepared.candidates
    reasons = {each.exercise.id: each.reason for each in prepared.left_out}
    for id_ in DRILLS:
        needed = [float(each) for each in re.findall(r"needs (\d+\.\d\d) m, has only (?:3\.00|2\.50) m", reasons[id_])]
        assert needed, reasons[id_]
        assert all(each > 2.5 for each in needed)


def test_a_short_floor_makes_a_drill_shorter_and_says_so() -> None:
    """On 17.4 by 9.1 m the lanes are shorter than 20 m, as a note tells; in the hall nothing is told."""
    quay = made_ready(case(venue=load_venue(CLUB / "venues" / "quay_court.toml")))
    lanes = next(each for each in quay.candidates if each.id == "graded_push_lengths")
    told = [notice for notice in lanes.notices if notice.id == SHORTENED]
    assert len(told) == 1
    assert "in place of 20.00 m" in told[0].what
    assert float(lanes.exercise.floor_facts[0][1].removesuffix(" m")) < 17.4
    assert SHORTENED not in {notice.id for each in made_ready(case()).candidates for notice in each.notices}


def test_what_is_not_known_of_the_floor_is_asked_for_as_it_is_laid() -> None:
    """Nobody measured the hall, no sport is played there: the floor that the drill takes is looked for before."""
    prepared = made_ready(case(venue=Venue(name="boat shed", surface="concrete")))
    slalom = next(each for each in prepared.candidates if each.id == "slalom_cones")
    needs = slalom.exercise.needs
    asked = f"not known whether {needs.floor_length:g} × {needs.floor_width:g} m of floor are free"
    assert asked in {notice.what for notice in slalom.notices}


def test_a_measured_speed_changes_the_times_and_not_the_spacing() -> None:
    """A slow sprint: the same cones, a longer set, and a bracket that is narrower for its length."""
    slow = fit_sprint(splits_from_text("5:3.6,10:6.3,20:11.4"), start_offset=0.0)
    of = case()
    before, after = made_ready(of), made_ready(replace(of, speed=athlete_speed(sprint=slow)))
    for id_ in ("slalom_cones", "stop_and_turn"):
        one, two = before.courses[id_].base, after.courses[id_].base
        assert one.spacing == two.spacing
        assert two.slowest > one.slowest


@pytest.mark.parametrize(
    ("words", "rounds", "shares"),
    [
        ("lengths at 25, 50, 75, 100 % of your fastest", 4, (0.25, 0.5, 0.75, 1.0)),
        ("lengths at 25 and 50 % of your fastest", 2, (0.25, 0.5)),
        ("lengths", 4, (0.25, 0.5, 0.75, 1.0)),
        ("lengths at 25 and 50 %", 3, (1 / 3, 2 / 3, 1.0)),
    ],
)
def test_efforts_are_those_that_the_dose_names(words: str, rounds: int, shares: tuple[float, ...]) -> None:
    """Where the words name as many as there are lengths; else even steps up to the fastest."""
    dose = DoseOption(name="x", sets=1, seconds=60, rounds=rounds, rounds_words=words)
    assert shares_in(dose) == pytest.approx(shares)
