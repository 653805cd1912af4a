"""Set-up facts that were read wrongly or not at all: which side to the post, which rail, how many sets, whose table.

What is expected is read off the floor: where the post stands (x ahead, y to the left), where the hands are, how far
the footplate reaches.  The wording is the trade's (common practice).
"""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from functools import cache

import pytest

from firstpush.core.exercises.definition import DoseOption
from firstpush.core.exercises.loader import library
from firstpush.core.figure.from_setup import BOUNCE
from firstpush.core.kit.kit_file import load_kit
from firstpush.core.kit.venue_file import load_venue
from firstpush.core.people.athlete import SIDES, Athlete, Side
from firstpush.core.people.athlete_file import load_athlete
from firstpush.core.setup.circumstances import circumstances
from firstpush.core.setup.result import ExerciseSetup
from firstpush.core.setup.search import search_setup
from firstpush.demo.club import club_files
from firstpush.sheets.make import make
from firstpush.sheets.words import MOVING_BALL, dose_large, facts, numbers

ATHLETES = {path.stem: load_athlete(path) for path in club_files()["athletes"]}
VENUES = {path.stem: load_venue(path) for path in club_files()["venues"]}
KIT = load_kit(club_files()["kits"][0])
NILO, EDDA, RUNA = (ATHLETES[each] for each in ("nilo_fyrvang", "edda_klipstrand", "runa_velde"))
DAY = date(2026, 11, 26)


@cache
def laid(athlete: Athlete, exercise: str, side: Side, venue: str = "slipway_hall") -> ExerciseSetup:
    """Return the best set-up of an exercise on one side."""
    case = circumstances(athlete, KIT, VENUES[venue], on=DAY)
    return search_setup(library()[exercise], case, side=side, best=1).setups[0]


def said(*setups: ExerciseSetup) -> dict[str, str]:
    """Return the facts of one side or of both, by label."""
    return {fact.label: fact.value for fact in facts({each.side: each for each in setups})}


class TestWhichSideToThePost:
    """A band beside the chair pulls the other way when the wrong side is to the post."""

    @pytest.mark.parametrize("side", SIDES)
    @pytest.mark.parametrize("exercise", ["anti_rotation_press", "external_rotation_side"])
    def test_of_one_side_it_is_where_the_post_stands(self, exercise: str, side: Side) -> None:
        """The band is tied left of the chair (y > 0) or right of it."""
        setup = laid(RUNA, exercise, side)
        assert setup.band is not None and setup.band.anchor is not None
        toward = "left" if setup.band.anchor[1] > 0 else "right"
        chair = said(setup)["Chair"]
        assert chair.startswith(f"{toward} side to the post, front casters level with it; ")
        assert "side-on" not in chair

    @pytest.mark.parametrize(
        ("exercise", "words"),
        [
            ("anti_rotation_press", "working side to the post, then turned round; "),
            ("external_rotation_side", "working side away from the post, then turned round; "),
        ],
    )
    def test_of_both_sides_the_chair_is_turned(self, exercise: str, words: str) -> None:
        """The post stands on the working side of each set-up, or on the other side of each."""
        both = [laid(RUNA, exercise, side) for side in SIDES]
        at_working = []
        for setup in both:
            assert setup.band is not None and setup.band.anchor is not None
            at_working.append((setup.band.anchor[1] > 0) == (setup.side == "left"))
        assert at_working == [words.startswith("working side to")] * 2
        assert said(*both)["Chair"].startswith(words)

    def test_a_strap_for_one_side_is_told_of_that_side_alone(self) -> None:
        """The chair stands the same on both, which is said once; the strap is closed for the left alone."""
        right, left = (
            replace(laid(RUNA, "anti_rotation_press", side), strap_counts=False) for side in ("right", "left")
        )
        strapped = replace(left, strap="waist", support=("waist strap",))
        words = said(right, strapped)["Chair"]
        assert words == said(right, left)["Chair"] + "; left waist strap"

    def test_who_faces_the_post_turns_to_no_side(self) -> None:
        """A row has the post in front, whichever arm pulls."""
        assert said(laid(RUNA, "low_row", "right"))["Chair"].startswith("facing the post")


class TestTrunkTurnsAtARail:
    """Which rail, how high, and where the chair stands; the hands are where the movement begins."""

    @pytest.mark.parametrize(("athlete", "bar"), [(NILO, "0.75"), (EDDA, "0.90"), (RUNA, "0.90")])
    def test_the_bar_of_the_hall_is_named(self, athlete: Athlete, bar: str) -> None:
        """Wall bars every 0.15 m: hands at 0.80 m take that at 0.75, hands at 0.88 and 0.90 m that at 0.90."""
        setups = [laid(athlete, "rail_trunk_turns", side) for side in SIDES]
        assert said(*setups)["Rail"] == f"wall bars, {bar} m high"

    def test_where_no_bar_is_so_high_any_rail_will_do(self) -> None:
        """A railing with bars at 0.45 and 1.05 m, and a lamp post, which is no rail: 0.90 m is what is looked for."""
        setup = laid(EDDA, "rail_trunk_turns", "right", "quay_court")
        assert said(setup)["Rail"] == "any that does not give, 0.90 m high"

    @pytest.mark.parametrize("athlete", [NILO, EDDA, RUNA], ids=lambda each: each.name)
    def test_the_chair_stands_with_the_footplate_under_it(self, athlete: Athlete) -> None:
        """How far the footplate reaches beyond the hands, both from the axle, laid in steps of 5 cm."""
        setup = laid(athlete, "rail_trunk_turns", "right")
        hands = [float(arm.hand[0, 0]) for arm in setup.movement.skeleton.arms.values()]
        beyond = setup.chair.footplate_reach - sum(hands) / 2
        words, _, past = said(setup)["Chair"].partition("footplate ")
        assert words == "facing the rail; feet under it, "
        assert float(past.removesuffix(" m past it")) == pytest.approx(beyond, abs=0.025)

    def test_the_feet_of_a_short_chair_stay_before_it(self) -> None:
        """A footplate that ends at the hands, or 0.10 m before them, goes under nothing."""
        setup = laid(EDDA, "rail_trunk_turns", "right")
        hands = float(setup.movement.skeleton.arms["right"].hand[0, 0])
        for reach, words in ((hands, "level with it"), (hands - 0.1, "0.10 m before it")):
            short = replace(setup, chair=replace(setup.chair, footplate_reach=reach))
            assert said(short)["Chair"] == f"facing the rail; footplate {words}"


class TestABallAgainstAWall:
    """The chair faces a wall; the elbow is bent, the upper arm below shoulder height."""

    @pytest.mark.parametrize("athlete", [NILO, RUNA, ATHLETES["bren_kollhaug"]], ids=lambda each: each.name)
    @pytest.mark.parametrize("side", SIDES)
    def test_how_far_the_chair_stands_from_the_wall_that_is_drawn(self, athlete: Athlete, side: Side) -> None:
        """Hand, ball and bounce before the footplate, to 5 cm; the ball reaches the wall and the footplate does not."""
        setup = laid(athlete, "wall_dribble", side)
        assert setup.ball is not None
        hand = float(setup.movement.skeleton.arms[side].hand[:, 0].max())
        far, measured_from = said(setup)["Distance"].split(" m, ")
        assert measured_from == "footplate to wall"
        wall = setup.chair.footplate_reach + float(far)
        assert wall - hand == pytest.approx(setup.ball.diameter + BOUNCE.value, abs=0.025 + 0.001)
        assert float(far) > 0

    def test_a_footplate_that_reaches_the_wall_is_said_to(self) -> None:
        """No distance of 0.00 m, and none below it."""
        setup = laid(RUNA, "wall_dribble", "right")
        far = float(said(setup)["Distance"].split(" ")[0])
        long = replace(setup, chair=replace(setup.chair, footplate_reach=setup.chair.footplate_reach + far + 0.1))
        assert said(long)["Distance"] == "footplate at the wall"

    def test_a_chair_that_is_held_says_how(self) -> None:
        """Nothing stands there of a chair that is not."""
        setup = laid(RUNA, "wall_dribble", "right")
        assert "Chair" not in said(setup)
        assert said(replace(setup, blocking="brakes"))["Chair"] == "brakes on"

    def test_the_bent_arm_is_not_called_straight(self) -> None:
        """Its poses bend the elbow by 44 and 74 degrees; the circles hold the arm out at 88 degrees, elbow at 4."""
        assert "Arm" not in said(laid(RUNA, "wall_dribble", "right"))
        assert said(laid(RUNA, "ball_circles", "right"))["Arm"] == "straight, at shoulder height"

    def test_the_numbers_say_why_there_is_no_load(self) -> None:
        """Moments are those of an arm held still; a ball that is held has one."""
        of = {
            id_: {fact.label: fact.value for fact in numbers({"right": laid(RUNA, id_, "right")})}
            for id_ in ("wall_dribble", "ball_circles")
        }
        assert of["wall_dribble"]["Load"] == MOVING_BALL
        assert "N·m" in of["ball_circles"]["Load"]


@pytest.mark.parametrize("exercise", ["external_rotation_both", "pull_apart"])
def test_a_band_between_the_hands_loads_no_trunk(exercise: str) -> None:
    """Action and reaction: its two pulls sum to nothing, and what the trunk holds is the arms; a row does pull."""
    cancel = "(the band's two pulls cancel)"
    setup = laid(RUNA, exercise, "right")
    assert abs(sum(setup.forces.values())).max() == pytest.approx(0.0, abs=0.01)
    words = {fact.label: fact.value for fact in numbers({"right": setup})}["Trunk"]
    assert cancel in words
    assert "predicted" not in words
    row = {fact.label: fact.value for fact in numbers({"right": laid(RUNA, "low_row", "right")})}["Trunk"]
    assert cancel not in row
    assert "predicted" in row


@pytest.mark.parametrize(
    ("sets", "repetitions", "seconds", "words"),
    [(1, None, 20.0, "1 × 20 s"), (2, None, 20.0, "2 × 20 s"), (1, 12, None, "1 × 12"), (3, 12, None, "3 × 12")],
)
def test_one_set_is_counted_in_seconds_as_in_repetitions(
    sets: int, repetitions: int | None, seconds: float | None, words: str
) -> None:
    """Beside "2 × 20 s" a bare "20 s" would leave open how often."""
    dose = DoseOption(name="", sets=sets, repetitions=repetitions, seconds=seconds)
    assert dose_large(dose, library()["ball_circles"]) == words


def test_a_juniors_copy_says_whose_table_the_masses_are_from() -> None:
    """De Leva 1996 measured young adults (as the table says of itself): the copy says it of Nilo, 13, his sheet not."""
    case = circumstances(NILO, KIT, VENUES["slipway_hall"], on=DAY)
    mine, theirs = make(case, minutes=6).contents
    (told,) = [each for each in theirs.notices if each.id == "tables-of-adults"]
    assert told.level == "note"
    assert "de Leva 1996" in told.what
    assert all(each.id != "tables-of-adults" for each in mine.notices)
