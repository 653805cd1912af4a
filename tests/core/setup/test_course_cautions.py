"""The cautions of a drill hold on the course that is the drill: the same pace, the same who is left out."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from firstpush.core.courses import LAYOUTS, course_from
from firstpush.core.exercises.loader import exercise_named, library
from firstpush.core.kit.venue_file import load_venue
from firstpush.core.people.athlete import SIDES, Athlete, Health, TrunkControl
from firstpush.core.people.athlete_file import load_athlete
from firstpush.core.setup.cautions import applying, excluding
from firstpush.core.setup.course_cautions import MATCHING, SAME_DRILL, course_cautions, matching_exercises
from firstpush.core.setup.court import laid_out

CLUB = Path(__file__).resolve().parents[3] / "src" / "firstpush" / "demo" / "club"
NAMES = sorted(path.stem for path in (CLUB / "athletes").glob("*.toml"))


def athlete(name: str) -> Athlete:
    """Return somebody of the invented club."""
    return load_athlete(CLUB / "athletes" / f"{name}.toml")


def test_the_drills_of_the_library_name_the_layouts_that_they_are() -> None:
    """Each drill on a course is the one its layout takes cautions from, and every layout has one."""
    named = {each.course: name for name, each in library().items() if each.course is not None}
    assert {layout: MATCHING[layout] for layout in named} == named
    assert set(named) == set(SAME_DRILL)
    assert set(MATCHING) == set(LAYOUTS)


@pytest.mark.parametrize("layout", SAME_DRILL)
@pytest.mark.parametrize("who", NAMES)
def test_who_walks_and_who_is_left_out_is_as_in_a_session(layout: str, who: str) -> None:
    """Walking pace as the drill of a session is laid; left out by the reasons that leave it out of a session."""
    one, exercise = athlete(who), exercise_named(MATCHING[layout])
    pace = course_cautions(layout, one).pace
    assert pace.is_out == bool(excluding(applying(exercise, one, SIDES), one))
    venue = load_venue(CLUB / "venues" / "slipway_hall.toml")
    laid = laid_out(exercise, athlete=one, chair=one.chair, venue=venue)
    assert laid is not None
    assert bool(pace.walking) == laid.base.drill.walking


def test_what_leaves_somebody_out_comes_first_and_says_what_to_do_instead() -> None:
    """A fresh operation stops every layout, and the notice is a stop."""
    base = athlete("runa_velde")
    fresh = replace(base, health=replace(base.health, conditions=frozenset({"recent shoulder operation"})))
    for layout in LAYOUTS:
        found = course_cautions(layout, fresh)
        assert found.pace.out == ("recent shoulder operation",)
        assert found.notices[0].level == "stop"
        assert "surgeon" in found.notices[0].do
        assert found.pace.at_walking_pace
        assert not course_cautions(layout, base).pace.is_out, "so that it was the operation"


def test_a_measured_sprint_tells_a_full_speed_beside_the_caution() -> None:
    """The caution stays, the time is not held to walking pace; who is left out gets no full speed for it."""
    tovi = athlete("tovi_ankerlund")
    guessed, timed = course_cautions("slalom", tovi), course_cautions("slalom", tovi, measured=True)
    assert guessed.pace.at_walking_pace
    assert not timed.pace.at_walking_pace
    assert timed.notices == guessed.notices
    assert any("At walking pace" in each.do for each in timed.notices)
    assert course_cautions("stop-and-turn", tovi, measured=True).pace.at_walking_pace


def test_a_light_front_is_told_on_every_course() -> None:
    """Two legs missing: a hard first push tips the chair, whatever comes after it."""
    for layout in LAYOUTS:
        told = [
            each for each in course_cautions(layout, athlete("bren_kollhaug")).notices if "light front" in each.what
        ]
        assert len(told) == 1, layout


def test_what_is_not_known_counts_as_the_worst() -> None:
    """Trunk control that nobody looked at asks for walking pace, and says that it is not known."""
    bare = replace(athlete("runa_velde"), trunk=TrunkControl(), health=Health())
    found = course_cautions("slalom", bare)
    assert found.pace.walking == ("trunk control not known",)
    assert any(each.id == "exercise-ask-first" for each in found.notices)


def test_a_course_of_ones_own_is_judged_by_what_is_done_on_it() -> None:
    """Cones round which it goes: a slalom; pulled back: the half circle; turned on the spot: stop and turn."""
    own = {
        "name": "corner",
        "cones": [{"name": "1", "x_m": 4, "y_m": 0}],
        "points": [{"name": "A", "x_m": 0, "y_m": -1}, {"name": "B", "x_m": 5, "y_m": 5}],
        "start": "A",
    }
    ways = {
        ("1L", "to B"): ("slalom_cones",),
        ("1L", "to B", "back to A"): ("slalom_cones", "half_circle_cones"),
        ("to B", "turn left", "to A"): ("stop_and_turn",),
        ("to B",): ("graded_push_lengths",),
    }
    for order, drills in ways.items():
        assert matching_exercises(course_from(own | {"order": list(order)}, where="corner")) == drills
