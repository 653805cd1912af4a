"""From entries to what was done: efforts of parts and exercises, what was broken off, what was undone."""

from __future__ import annotations

import json
from datetime import date
from typing import Any

from firstpush.core.progress.entries import FORMAT, Entry, read_entry
from firstpush.core.progress.history import Done, Planned, by_exercise, done_in, runs_of

PLANNED = {
    "low_row": Planned(part="strength", sets=2, repetitions=10),
    "open_book_turn": Planned(part="mobility", sets=1, repetitions=5),
    "wall_dribble": Planned(part="control", sets=2),
}
TODAY = date(2026, 11, 25)


def run(*said: tuple[str, dict[str, Any]], number: int = 1) -> list[Entry]:
    """Return the entries of one run, numbered from 1."""
    entries = []
    for sequence, (kind, values) in enumerate(said, start=1):
        head = {
            "format": FORMAT,
            "id": f"0193657c-0000-7000-8000-{1000 * number + sequence:012d}",
            "run": f"0193657c-0000-7000-8000-{number:012d}",
            "sequence": sequence,
            "at": f"2026-11-{24 + number:02d}T18:{sequence:02d}:00+01:00",
            "kind": kind,
            "plan": 3,
            "version": 1,
            "athlete": 7,
        }
        entries.append(read_entry(json.dumps(head | values)))
    return entries


def as_planned(exercise: str, **more: Any) -> tuple[str, dict[str, Any]]:
    """Return what one press says."""
    return "done", {"exercise": exercise, "as_planned": True, "variant": "planned"} | more


def test_one_press_an_exercise_and_one_effort_a_part() -> None:
    """The effort of a part is that of each exercise of it; of a part that was not asked it is unknown."""
    found = done_in(
        run(as_planned("open_book_turn"), as_planned("low_row"), ("effort", {"part": "strength", "effort_6_20": 13})),
        PLANNED,
    )
    assert found == (
        Done(exercise="open_book_turn", on=TODAY),
        Done(exercise="low_row", on=TODAY, effort=13),
    )
    assert all(each.clean for each in found)


def test_an_exercises_own_effort_goes_before_that_of_its_part() -> None:
    """Said later or earlier."""
    own, part = (
        ("effort", {"exercise": "low_row", "effort_6_20": 17}),
        ("effort", {"part": "strength", "effort_6_20": 12}),
    )
    for said in ((own, part), (part, own)):
        (found,) = done_in(run(as_planned("low_row"), *said), PLANNED)
        assert found.effort == 17


def test_how_it_felt_stays_a_word() -> None:
    """Easy, right and hard are never turned into a number; an exercise's own word goes before that of its part."""
    found = done_in(
        run(
            as_planned("low_row"),
            ("effort", {"exercise": "low_row", "feel": "hard"}),
            as_planned("wall_dribble"),
            ("effort", {"part": "control", "feel": "easy"}),
        ),
        PLANNED,
    )
    assert [each.effort for each in found] == ["hard", "easy"]


def test_fewer_sets_or_repetitions_are_not_finished() -> None:
    """10 times in 2 sets were asked for; more is finished too."""
    for more, finished in (
        ({"sets": 2, "repetitions": 10}, True),
        ({"sets": 3, "repetitions": 12}, True),
        ({"sets": 1}, False),
        ({"repetitions": 9}, False),
        ({}, True),
    ):
        (found,) = done_in(run(as_planned("low_row", **more)), PLANNED)
        assert found.finished == finished


def test_a_pain_that_stops_is_the_end_of_an_exercise() -> None:
    """Unless its easier variant was done after it; the gravest pain counts."""
    pain = {"exercise": "low_row", "place": "wrist", "side": "left", "feeling": "as usual"}
    grave = ("pain", pain | {"level_0_10": 4, "outcome": "easier"})
    mild = ("pain", pain | {"level_0_10": 1, "outcome": "go on with care"})
    (broken,) = done_in(run(mild, grave), PLANNED)
    assert (broken.stopped, broken.finished, broken.pain) == (False, False, "easier")
    (went_on,) = done_in(
        run(grave, ("swapped", {"exercise": "low_row", "to": "easier"}), as_planned("low_row", variant="easier"), mild),
        PLANNED,
    )
    assert (went_on.stopped, went_on.variant, went_on.pain) == (False, "easier", "easier")


def test_a_first_aid_card_ends_it_and_leaving_out_for_pain_too() -> None:
    """Left out for want of time is no session of it at all."""
    (carded,) = done_in(run(("stopped", {"exercise": "low_row", "card": "band", "sign": "torn"})), PLANNED)
    assert carded.stopped
    (left,) = done_in(run(("skipped", {"exercise": "low_row", "reason": "pain"})), PLANNED)
    assert left.stopped
    pain = (
        "pain",
        {"exercise": "low_row", "place": "neck", "level_0_10": 4, "feeling": "as usual", "outcome": "easier"},
    )
    (both,) = done_in(run(pain, ("stopped", {"exercise": "low_row", "card": "band", "sign": "torn"})), PLANNED)
    assert both.stopped, "a card has the last word"
    (hurt,) = done_in(run(pain, ("skipped", {"exercise": "low_row", "reason": "pain"})), PLANNED)
    assert (hurt.stopped, hurt.pain) == (False, "easier"), "the pain says what is asked for"
    assert done_in(run(("skipped", {"exercise": "low_row", "reason": "no time"})), PLANNED) == ()


def test_what_was_undone_was_not_done() -> None:
    """Undo, and a correction that takes the place of what was said."""
    entries = run(as_planned("low_row"), ("undo", {"corrects": "0193657c-0000-7000-8000-000000001001"}))
    assert done_in(entries, PLANNED) == ()
    corrected = run(
        as_planned("low_row"), as_planned("low_row", sets=1, corrects="0193657c-0000-7000-8000-000000001001")
    )
    (found,) = done_in(corrected, PLANNED)
    assert not found.finished


def test_many_sessions_stand_in_their_order() -> None:
    """The oldest first, by exercise; entries of several runs are told apart first."""
    later, earlier = (
        run(as_planned("low_row"), number=3),
        run(as_planned("low_row"), as_planned("wall_dribble"), number=1),
    )
    runs = runs_of([*later, *earlier])
    assert len(runs) == 2
    found = by_exercise([done_in(each, PLANNED) for each in runs.values()])
    assert [each.on.day for each in found["low_row"]] == [25, 27]
    assert len(found["wall_dribble"]) == 1
