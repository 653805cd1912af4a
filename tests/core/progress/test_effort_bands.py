"""What effort is meant of an exercise: every edge as a table, against the words of its own file and the zones read."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path
from typing import Any

import pytest

from firstpush.core.errors import InputFileError
from firstpush.core.exercises.loader import exercise_from, exercise_named, library
from firstpush.core.people.athlete import Athlete
from firstpush.core.people.athlete_file import load_athlete
from firstpush.core.progress.decide import Decision, decide
from firstpush.core.progress.effort import effort_zone
from firstpush.core.progress.effort_bands import TABLE, effort_band, is_held_back
from firstpush.core.progress.history import Done
from firstpush.core.progress.rules import Rules
from firstpush.core.toml_file import parse_toml
from firstpush.demo import demo_file

RULES = Rules()
DAY = date(2026, 11, 2)
PAGE = (Path(__file__).parents[3] / "docs" / "why" / "progress.md").read_text(encoding="utf-8")


def twice(name: str, effort: Any, *, rules: Rules = RULES, held: bool = False, **more: Any) -> Decision:
    """Return what is decided after two sessions that say the same."""
    dones = [Done(exercise=name, on=DAY + timedelta(days=days), effort=effort, **more) for days in (0, 3)]
    return decide(dones, band=effort_band(exercise_named(name), rules, held=held), rules=rules)


@pytest.mark.parametrize(
    ("name", "effort", "what", "asks"),
    [
        # A warm-up is light, 9 to 11 (its own cue; zone "light" of Garber 2011, read), and stays as it is when it was.
        ("easy_rolling", 6, "keep", ""),
        ("easy_rolling", 9, "keep", ""),
        ("easy_rolling", 10, "keep", ""),
        ("easy_rolling", 11, "keep", ""),
        ("easy_rolling", "easy", "keep", ""),
        # One zone above, "moderate" 12 to 13 (read): slower; beyond it fewer minutes (our choice).
        ("easy_rolling", 12, "keep", "for a slower pace: effort 9 to 11 is meant"),
        ("easy_rolling", 13, "keep", "for a slower pace: effort 9 to 11 is meant"),
        ("easy_rolling", 14, "regress", ""),
        # Mobility without a band is there to move (common practice); above 15 is too hard, as everywhere.
        ("open_book_turn", 7, "keep", ""),
        ("open_book_turn", 11, "keep", ""),
        ("chest_stretch_post", 9, "keep", ""),
        ("chin_tuck", 15, "keep", ""),
        ("chin_tuck", 16, "regress", ""),
        # Drills by what their file means (our choice), in the grammar of the trade: exactly one below asks.
        ("graded_push_lengths", 10, "progress", ""),
        ("graded_push_lengths", 11, "keep", "whether it could be harder"),
        ("graded_push_lengths", 12, "keep", ""),
        ("graded_push_lengths", 16, "regress", ""),
        ("slalom_cones", 9, "progress", ""),
        ("slalom_cones", 10, "keep", "whether it could be harder"),
        ("slalom_cones", 11, "keep", ""),
        ("slalom_cones", 15, "keep", ""),
        ("slalom_cones", 16, "regress", ""),
        # What trains keeps the rule of the trade.
        ("low_row", 10, "progress", ""),
        ("low_row", 11, "keep", "whether it could be harder"),
        ("partner_hold", 11, "progress", ""),
    ],
)
def test_every_edge(name: str, effort: Any, what: str, asks: str) -> None:
    """Twice in a row, finished and clean, so that effort alone decides."""
    found = twice(name, effort)
    assert (found.what, found.ask) == (what, asks)
    assert f"{effort}" in found.because and not found.because.endswith(".")


@pytest.mark.parametrize("effort", [6, 9, 11, "easy"])
def test_nothing_that_warms_or_moves_is_made_harder_because_it_was_easy(effort: Any) -> None:
    """Of the whole library, whatever is mobility without a band."""
    moves = [each for each in library().values() if each.part == "mobility" and each.band is None]
    assert len(moves) > 5
    for each in moves:
        found = twice(each.id, effort)
        assert (found.what, found.ask) == ("keep", "")


def test_mobility_with_a_band_is_loaded_and_goes_by_the_rule_of_strength() -> None:
    """The same stretch with the band of a row."""
    banded = replace(exercise_named("open_book_turn"), band=exercise_named("low_row").band)
    assert effort_band(banded, RULES) == effort_band(exercise_named("low_row"), RULES)


def test_pain_and_what_was_not_finished_still_count_in_a_warm_up() -> None:
    """The one rule about pain knows no part (evidence: common practice)."""
    assert twice("easy_rolling", 9, pain="stop the exercise").what == "stop"
    assert twice("open_book_turn", 9, pain="easier").what == "regress"
    assert twice("open_book_turn", 9, finished=False).what == "regress"


def test_the_file_means_what_its_cue_says() -> None:
    """A cue that names an effort names the one that the exercise is judged by."""
    named = 0
    for each in library().values():
        for cue in (each.cue, *(caution.cue for caution in each.cautions)):
            for low, high in re.findall(r"effort (\d+) to (\d+)", cue):
                assert each.effort == (int(low), int(high)), each.id
                named += 1
    assert named >= 2
    assert {effort_zone(each) for each in (9, 11)} == {"light"}
    assert {effort_zone(each) for each in (12, 13)} == {"moderate"}
    assert effort_zone(14) == "vigorous"


def test_who_is_held_to_walking_pace_is_not_asked_for_more() -> None:
    """Hemiplegia: the slalom at walking pace; a dose that is there for care alone holds anybody."""
    slalom = exercise_named("slalom_cones")
    athlete: Athlete = load_athlete(demo_file("athlete"))
    free = replace(athlete, health=replace(athlete.health, conditions=()))
    weak = replace(athlete, health=replace(athlete.health, conditions=("hemiplegia",)))
    assert is_held_back(slalom, weak, slalom.doses[0])
    assert not is_held_back(exercise_named("low_row"), free, exercise_named("low_row").doses[0])
    care = next(each for each in exercise_named("graded_push_lengths").doses if each.only_with_care)
    assert is_held_back(exercise_named("low_row"), free, care)
    assert twice("slalom_cones", 7).what == "progress"
    held = twice("slalom_cones", 7, held=True)
    assert (held.what, held.ask) == ("keep", "")
    assert twice("slalom_cones", 16, held=True).what == "regress"


@pytest.mark.parametrize("name", ["low_row", "ball_circles", "open_book_turn", "easy_rolling", "slalom_cones"])
@pytest.mark.parametrize("held", [False, True])
def test_more_effort_is_never_bolder(name: str, held: bool) -> None:
    """From 6 to 20, in every band."""
    order = ("progress", "keep", "regress")
    said = [order.index(twice(name, effort, held=held).what) for effort in range(6, 21)]
    assert said == sorted(said)


def test_a_lower_number_of_one_athlete_holds_for_drills_and_warm_ups_too() -> None:
    """Kept up to 13: a slalom at 14 is too hard for this athlete, though its file goes to 15."""
    careful = Rules(keep_up_to=13)
    assert twice("slalom_cones", 14).what == "keep"
    assert twice("slalom_cones", 14, rules=careful).what == "regress"
    assert twice("open_book_turn", 14, rules=careful).what == "regress"


@pytest.mark.parametrize("given", [[11, 9], [9], [5, 9], [9.5, 11], [9, 21]])
def test_a_range_that_is_none_is_refused(given: list[float]) -> None:
    """With the place, and what is allowed."""
    path = Path(__file__).parents[3] / "src/firstpush/core/exercises/library/easy_rolling.toml"
    text = path.read_text(encoding="utf-8").replace("effort_6_20 = [9, 11]", f"effort_6_20 = {given}")
    assert f"effort_6_20 = {given}" in text
    with pytest.raises(InputFileError, match="effort_6_20"):
        exercise_from(parse_toml(text, name="easy_rolling.toml"), id_="easy_rolling")


def test_the_table_stands_in_the_docs() -> None:
    """Row by row."""
    for row in TABLE:
        assert f"| {row.of} | {row.low} | {row.meant} | {row.high} | {row.source} | {row.known} |" in PAGE, row.of
