"""What each kind of session takes and leaves out; rules of common practice, see docs/why/session.md."""

from dataclasses import replace
from datetime import date

import numpy as np
import pytest

from firstpush.core.errors import UnknownNameError
from firstpush.core.exercises.definition import PARTS
from firstpush.core.exercises.loader import library
from firstpush.core.kit.kit_file import load_kit
from firstpush.core.kit.venue_file import load_venue
from firstpush.core.people.athlete_file import load_athlete
from firstpush.core.session import compose
from firstpush.core.session.kinds import CLOSED_DOOR, KIND_NAMES, ROOM, KindName, kind_named, venue_in
from firstpush.core.session.prepare import Prepared, prepare
from firstpush.core.session.session import Session
from firstpush.core.setup.circumstances import circumstances
from firstpush.demo import demo_file

ATHLETE, KIT, HALL = load_athlete(demo_file("athlete")), load_kit(demo_file("kit")), load_venue(demo_file("venue"))
MINUTES: dict[KindName, float] = {
    "before training": 18,
    "before a match": 9,
    "strength": 35,
    "home": 16,
    "travel": 12,
}


def made(
    kind: KindName, *, athlete: object = ATHLETE, kit: object = KIT, on: date | None = None
) -> tuple[Prepared, Session]:
    """Return what a session of this kind can be made of, and the session."""
    venue = HALL if kind_named(kind).with_others else ROOM
    case = circumstances(athlete, kit, venue, on=on)  # type: ignore[arg-type]
    prepared = prepare(case, library().values(), kind=kind)
    session = compose(prepared.candidates, minutes=MINUTES[kind], kind=kind, left_out=prepared.left_out)
    return prepared, session


@pytest.mark.parametrize("kind", KIND_NAMES)
def test_each_kind_has_its_parts_and_its_time(kind: KindName) -> None:
    """Parts in order, inside the minutes, proven best, and at home or on a journey nothing for the court."""
    _, session = made(kind)
    parts = [item.candidate.exercise.part for item in session.items]
    assert parts == sorted(parts, key=PARTS.index)
    assert set(parts) == ({"mobility", "strength", "control"} if kind in ("home", "travel") else set(PARTS))
    assert 0.9 * 60 * MINUTES[kind] < session.total_s <= 60 * MINUTES[kind]
    assert session.status == "proven best"
    assert "part-missing" not in {notice.id for notice in session.notices}
    assert "unusual-minutes" not in {notice.id for notice in session.notices}


def test_before_training_the_strength_part_has_one_or_two_sets() -> None:
    """Two sets of 8 to 12 are usual (common practice); never three."""
    _, session = made("before training")
    sets = [item.dose.sets for item in session.items if item.candidate.exercise.part == "strength"]
    assert set(sets) <= {1, 2}
    assert 2 in sets


def test_before_a_match_nothing_tires() -> None:
    """One set, loads at 60 % of those before training, no stretch held 8 s or longer."""
    prepared, session = made("before a match")
    usual, _ = made("before training")
    assert all(item.dose.sets == 1 for item in session.items if item.candidate.exercise.part == "strength")
    assert all(item.dose.hold_s < 8 for item in session.items if item.candidate.exercise.part == "mobility")
    compared = 0
    for key, setup in prepared.setups.items():
        # A chain names whichever link is nearest to its own wanted load, which may be another link today.
        if setup.target is not None and not setup.exercise.loaded_links:
            wanted = usual.setups[key].target
            assert wanted is not None
            assert setup.target.value == pytest.approx(0.6 * wanted.value)
            compared += 1
    assert compared > 20
    reasons = {out.exercise.id: out.reason for out in prepared.left_out}
    assert "after a match" in reasons["posterior_shoulder_stretch"]


def test_for_strength_each_exercise_has_two_or_three_sets() -> None:
    """Three sets for each major muscle group (Martin Ginis 2018)."""
    _, session = made("strength")
    strength = [item for item in session.items if item.candidate.exercise.part == "strength"]
    assert {item.dose.sets for item in strength} <= {2, 3}
    assert sum(item.dose.sets == 3 for item in strength) >= 2
    assert all(str(item.dose.name).startswith(("two", "three")) for item in strength)


def test_at_home_bands_are_held_tied_to_the_chair_or_shut_in_a_door() -> None:
    """Without a door anchor no post is used; with one the closed door is. Nobody else is needed."""
    prepared, session = made("home")
    assert {item.candidate.post for item in session.items if item.candidate.band} == {None}
    assert {setup.band.post for setup in prepared.setups.values() if setup.band is not None} == {None}
    reasons = {out.exercise.id: out.reason for out in prepared.left_out}
    assert "second person" in reasons["partner_hold"]
    assert "no court part" in reasons["slalom_cones"]
    assert "post" in reasons["seated_row"]
    with_door, _ = made("home", kit=replace(KIT, door_anchors=1))
    doors = {setup.band.post for setup in with_door.setups.values() if setup.band is not None}
    assert CLOSED_DOOR.name in doors
    assert ("seated_row", "right") in with_door.setups


def test_on_a_journey_only_what_was_packed_is_used() -> None:
    """One light band and nothing else: no ball, no cones, no other band."""
    light = KIT.bands[0]
    packed = replace(KIT, bands=(light,), balls=(), cones=0, cuffs=(), chocks=0, chock_height=None)
    prepared, session = made("travel", kit=packed)
    assert {item.candidate.band for item in session.items} <= {None, light.name}
    assert light.name in {item.candidate.band for item in session.items}
    assert all(setup.ball is None for setup in prepared.setups.values())


def test_a_junior_does_two_sets_at_most_and_begins_at_the_start_load() -> None:
    """In a session for strength too; strength that was tested changes nothing, nor are harder steps offered."""
    young = replace(ATHLETE, born=2013)
    prepared, session = made("strength", athlete=young, on=date(2026, 11, 25))
    assert {item.dose.sets for item in session.items if item.candidate.exercise.part == "strength"} == {2}
    kinds = {setup.target.kind for setup in prepared.setups.values() if setup.target is not None}
    assert kinds == {"try-out"}
    grown, _ = made("strength", on=date(2026, 11, 25))
    assert "strength" in {setup.target.kind for setup in grown.setups.values() if setup.target is not None}
    assert not any(each.exercise.advanced for each in prepared.candidates)


def test_a_harder_step_kept_by_hand_comes_with_a_caution() -> None:
    """The practitioner overrules: the step is offered, and told."""
    case = circumstances(ATHLETE, KIT, HALL)
    harder = next(each.id for each in library().values() if each.advanced)
    offered = {each.id: each for each in prepare(case, library().values(), keep=(harder,)).candidates}
    assert harder not in {each.id for each in prepare(case, library().values()).candidates}
    assert "harder-step-kept" in {notice.id for notice in offered[harder].notices}


def test_minutes_that_are_unusual_are_told() -> None:
    """Twenty minutes before a match are a lot."""
    prepared, _ = made("before a match")
    session = compose(prepared.candidates, minutes=20, kind="before a match")
    assert "unusual-minutes" in {notice.id for notice in session.notices}


def test_a_kind_or_a_door_that_is_there_already() -> None:
    """A venue that has the door keeps one; an unknown kind is told with those that exist."""
    home = kind_named("home")
    kit = replace(KIT, door_anchors=2)
    once = venue_in(home, ROOM, kit)
    assert venue_in(home, once, kit) == once
    assert np.all(np.diff(once.posts[0].heights) > 0)
    with pytest.raises(UnknownNameError, match="before a match"):
        kind_named("before a mach")
