"""Push lanes for somebody of whom little is known: the same lengths, and nothing pulled backwards, on sheet and course.

Free-body of the floor, seen from above, of one lane between two walls:

    |<-room->|<- run-out ->[front][axle]====== lane ======[axle][front]<- run-out ->|<-room->|
    wall     .             .      .                       .      .                           wall
"""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest

import firstpush.demo
from firstpush.core.courses import outline_of
from firstpush.core.courses.course import CONE_RADIUS, MARGIN
from firstpush.core.exercises.loader import exercise_named
from firstpush.core.kit.kit_file import load_kit
from firstpush.core.kit.venue import Venue
from firstpush.core.people.athlete import Athlete, Grip, Health, Side, TrunkControl
from firstpush.core.people.athlete_file import load_athlete
from firstpush.core.setup.circumstances import circumstances
from firstpush.core.setup.court import laid_out
from firstpush.core.setup.readiness import readiness
from firstpush.core.setup.search import search_setup
from firstpush.sheets.course_sheet import course_content
from firstpush.sheets.make_course import MadeCourse, make_course

CLUB = Path(firstpush.demo.__file__).parent / "club"
HALL = Venue(name="hall", surface="wood", floor_length=32.0, floor_width=19.0)
EASY = (0.25, 0.5)
LADDER = (0.25, 0.5, 0.75, 1.0)
LANES = exercise_named("graded_push_lengths")


def runa(*, wheel: str = "there", forward: str | None = "yes", grip: Grip | None = "full") -> Athlete:
    """Return somebody with nothing to look after but what is named: the wheel "there", "none" or "unknown"."""
    base = load_athlete(CLUB / "athletes" / "runa_velde.toml")
    chair = base.chair
    fields = chair.measured - {"anti_tip"} if wheel == "unknown" else chair.measured | {"anti_tip"}
    chair = replace(chair, anti_tip=0.2 if wheel == "there" else None, measured=fields)
    arm = replace(base.arm("left"), grip=grip)
    trunk = TrunkControl(forward=forward, turn=forward, lean_left="yes", lean_right="yes")  # type: ignore[arg-type]
    return replace(
        base,
        chairs=(chair,),
        left=arm,
        right=arm,
        trunk=trunk,
        health=Health(no_spinal_injury=True, conditions=frozenset(), latex="tolerated", pain=()),
        missing_limbs=frozenset(),
    )


def on_page(athlete: Athlete) -> MadeCourse:
    """Return the course page's lanes."""
    return make_course("push-lanes", athletes=[athlete], venue=HALL)


def in_session(athlete: Athlete) -> tuple[tuple[float, ...], set[bool], str]:
    """Return lengths and legs of a session's first dose, and all that is told of it; with a chest strap at hand."""
    kit = replace(load_kit(CLUB / "kits" / "cupboard.toml"), chest_straps=1)
    case = circumstances(athlete, kit, HALL, on=date(2026, 3, 2))
    found = search_setup(LANES, case, side="right")
    assert found.setups, found.answer
    exercise = found.setups[0].exercise
    laid = laid_out(exercise, athlete=athlete, chair=case.chair, venue=HALL)
    assert laid is not None
    told = " ".join(
        [
            exercise.summary,
            exercise.on_the_floor,
            exercise.cue,
            *(f"{each.what}. {each.do}." for each in found.notices + found.setups[0].notices),
        ]
    )
    return laid.base.drill.shares, {leg.backward for leg in laid.base.course.legs}, told


@pytest.mark.parametrize(
    ("given", "shares", "backward"),
    [
        ({}, LADDER, True),
        ({"wheel": "unknown", "forward": None}, EASY, False),
        ({"wheel": "none", "forward": None}, EASY, False),
        ({"wheel": "unknown", "forward": "no"}, EASY, False),
        ({"wheel": "none", "forward": "no"}, EASY, False),
        ({"wheel": "unknown"}, LADDER, False),
        ({"grip": None}, EASY, True),
        ({"grip": "none"}, EASY, True),
        ({"wheel": "unknown", "forward": None, "grip": None}, EASY, False),
    ],
)
def test_session_and_course_page_lay_the_same_lanes(
    given: dict[str, str | None], shares: tuple[float, ...], backward: bool
) -> None:
    """Neither wheel nor trunk, or a hand that may not close: two easy lengths; no wheel known: nothing pulled back."""
    athlete = runa(**given)  # type: ignore[arg-type]
    made = on_page(athlete)
    lengths = tuple(lane.share for lane in made.lanes if not lane.backward)
    assert lengths == pytest.approx(shares)
    assert any(leg.backward for leg in made.course.legs) == backward
    of_session, pulled, told = in_session(athlete)
    assert of_session == pytest.approx(shares)
    assert (True in pulled) == backward
    said = " ".join((made.says, *course_content(made).cautions))
    for words in (told, said):
        assert ("pulled backwards, hands" in words or "short sides pulled" in words) == backward
        assert ("o backward pulls" in words) == (not backward)
    assert ("100 %" in made.says or "as fast as it goes" in made.says) == (shares == LADDER)


@pytest.mark.parametrize(
    ("wheel", "says"),
    [
        ("unknown", "Is there an anti-tip wheel on the chair of Runa Velde? Until that is known no hard starts"),
        ("none", "No anti-tip wheel on the chair of Runa Velde: no hard starts"),
    ],
)
def test_a_wheel_that_is_not_known_is_not_said_to_be_absent(wheel: str, says: str) -> None:
    """Asked for in one case, told in the other."""
    cautions = course_content(on_page(runa(wheel=wheel))).cautions
    assert [each for each in cautions if "nti-tip" in each] == [f"{says}, no backward pulls."]
    _, _, told = in_session(runa(wheel=wheel))
    assert ("anti-tip wheel not known" in told) == (wheel == "unknown")


def test_stop_and_turn_is_left_out_on_the_course_page_as_in_a_session() -> None:
    """It leans and brakes backwards: with neither wheel nor trunk known it waits until one of them is written down."""
    kit = load_kit(CLUB / "kits" / "cupboard.toml")
    sides: tuple[Side, ...] = ("right",)
    for given in ({}, {"wheel": "unknown", "forward": None}, {"wheel": "none", "forward": None}, {"wheel": "unknown"}):
        athlete = runa(**given)
        made = make_course("stop-and-turn", athletes=[athlete], venue=HALL)
        out = [readiness(exercise_named("stop_and_turn"), athlete, kit, side=side).reason for side in sides]
        assert made.pace.is_out == (out[0] is not None), given


def test_the_way_straight_on_is_free_of_marks() -> None:
    """No mark within half a chair and the margin of the line of any lane; and a turn on the spot keeps the margin."""
    for wheel in ("there", "unknown"):
        made = on_page(runa(wheel=wheel))
        outline = outline_of(runa().chair)
        course = made.course
        along_x = abs(course.legs[0].to.x - course.start.x) > abs(course.legs[0].to.y - course.start.y)
        lanes = {round(leg.to.y if along_x else leg.to.x, 6) for leg in course.legs}
        for cone in course.cones:
            for lane in lanes:
                aside = abs((cone.y if along_x else cone.x) - lane)
                assert aside >= outline.width / 2 + MARGIN.value + CONE_RADIUS.value - 1e-6
        assert made.on_floor.line.is_clear


def test_the_run_out_is_what_is_left_of_the_floor() -> None:
    """One lane there and back: its two ends lie alike, but for the back of the chair at the start.

    The hall of 32 m, half a metre kept before each wall; the swept floor reaches from the back of a turn at one end to
    the front of the chair at the other, and lies in the middle.
    """
    athlete = runa(wheel="unknown", forward=None)
    made = on_page(athlete)
    line, outline = made.on_floor.line, outline_of(athlete.chair)
    (value,) = [each.value for each in course_content(made).facts if each.label == "Run-out"]
    xs = sorted({made.course.start.x, made.course.legs[0].to.x})
    by_hand = min(xs[0] - 0.5, 32.0 - 0.5 - xs[1]) - outline.front
    assert abs(float(value.split(" m ")[0]) - by_hand) <= 0.1
    assert float(value.split(" m ")[0]) <= by_hand
    assert line.course.spacing == 20.0
    laid = laid_out(LANES, athlete=athlete, chair=athlete.chair, venue=HALL)
    assert laid is not None and laid.base.run_out is not None


def test_no_lane_ends_with_rolling_out() -> None:
    """A lane has an end: whoever does not brake hard slows early, in the same words everywhere."""
    for caution in LANES.cautions:
        assert "oll out" not in caution.do + caution.cue, caution.condition
    for condition in ("weak grip", "no trunk control", "sore shoulder"):
        (told,) = [each for each in LANES.cautions if each.condition == condition]
        assert "top pushing early, palms slow the rims" in told.do
        assert told.doses == ("two easy lengths, twice",)
