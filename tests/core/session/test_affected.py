"""What must be set up again: everything the search answers otherwise for, and little else."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import date
from functools import cache
from typing import Any

import pytest

from firstpush.core.exercises.loader import library
from firstpush.core.kit.kit import Kit
from firstpush.core.kit.kit_file import load_kit
from firstpush.core.kit.venue import Venue
from firstpush.core.kit.venue_file import load_venue
from firstpush.core.people.athlete import SIDES, Athlete, Pain
from firstpush.core.people.athlete_file import load_athlete
from firstpush.core.session.affected import BandGone, Event, PostTaken, SoreShoulder, affected, bands_needed
from firstpush.core.session.document import session_document
from firstpush.core.session.plan import plan_session
from firstpush.core.session.prepare import Prepared
from firstpush.core.setup.circumstances import Circumstances, circumstances
from firstpush.core.setup.result import ExerciseSetup
from firstpush.core.setup.search import search_setup
from firstpush.demo.club import club_files

DAY = date(2026, 3, 2)
ATHLETES = ("edda_klipstrand", "ylva_rorgang")
"""One with both arms at the cupboard's heavier bands; one with hemiplegia: one arm, the other hand on the frame."""
PLAIN = {"title": "Row", "sides": ["right"]}


def people() -> dict[str, Athlete]:
    """Return the athletes by the name of their file."""
    return {path.stem: load_athlete(path) for path in club_files()["athletes"] if path.stem in ATHLETES}


def place() -> tuple[Kit, Venue]:
    """Return cupboard and hall."""
    files = club_files()
    hall = next(path for path in files["venues"] if path.stem == "slipway_hall")
    return load_kit(files["kits"][0]), load_venue(hall)


@cache
def session_of(name: str) -> tuple[Circumstances, Prepared, dict[str, Any]]:
    """Return an athlete of the demo club without pain in the hall, and the session made for them."""
    person = people()[name]
    calm = replace(person, health=replace(person.health, pain=()))
    case = circumstances(calm, *place(), on=DAY)
    planned = plan_session(case, library().values(), minutes=18)
    document = session_document(
        planned.session, planned.prepared, athlete=name, venue="hall", notices=(), checksum="", on=DAY
    )
    return case, planned.prepared, document


def laid(setup: ExerciseSetup | None) -> object:
    """Return what is laid out for a set-up, and what load it is for; None where it cannot be done."""
    if setup is None:
        return None
    band, ball = setup.band, setup.ball
    return (
        band and (band.band.name, band.strands, band.slack_length, band.post, band.height, band.distance),
        ball and ball.name,
        setup.target,
        setup.strap,
        setup.support,
        setup.attach,
    )


def set_up_otherwise(name: str, case: Circumstances) -> set[str]:
    """Return which exercises of a session the search lays out otherwise in other circumstances, or not at all.

    The search is asked for what is most like the set-up there is.  In the circumstances of the session itself that is
    this set-up: what would change is counted as cost, and changes obey the triangle inequality.
    """
    _, prepared, document = session_of(name)
    found = set()
    for item in document["items"]:
        for side in ("left", "right"):
            old = prepared.setups.get((item["exercise"], side))
            if old is None or not (len(old.arms) == 2 or side in item["sides"]):
                continue
            exercise = library()[item["exercise"]]
            new = search_setup(exercise, case, side=side, best=1, like=old.band, ranges=False).best
            if laid(new) != laid(old):
                found.add(item["exercise"])
    return found


def events(name: str) -> Iterator[tuple[Event, Circumstances]]:
    """Yield everything that can happen to the session of an athlete, with the circumstances it leaves."""
    case, _, document = session_of(name)
    kit, venue = place()
    used = {setup["band"]["name"] for item in document["items"] for setup in item["setups"] if setup["band"]}
    for band in sorted(used):
        for left in (0, 1):
            bands = tuple(replace(each, count=left) if each.name == band else each for each in kit.bands)
            rest = replace(kit, bands=tuple(each for each in bands if each.count))
            yield BandGone(band=band, left=left), circumstances(case.athlete, rest, venue, on=DAY)
    for post in venue.posts:
        without = replace(venue, posts=tuple(each for each in venue.posts if each is not post))
        yield PostTaken(post=post.name), circumstances(case.athlete, kit, without, on=DAY)
    for side in SIDES:
        for now in (4, 7):
            pain = (Pain(place="shoulder top", side=side, usual=0, now=now),)
            sore = replace(case.athlete, health=replace(case.athlete.health, pain=pain))
            yield SoreShoulder(side=side), circumstances(sore, kit, venue, on=DAY)


@pytest.mark.parametrize("name", ATHLETES)
def test_what_is_not_named_would_be_set_up_as_it_is(name: str) -> None:
    """Brute force: for every exercise that is not named, the search in the new circumstances lays out the same."""
    case, _, document = session_of(name)
    assert set_up_otherwise(name, case) == set(), "nothing has happened yet"
    touched = 0
    for event, after in events(name):
        named = {each.exercise for each in affected(document, event, exercises=library())}
        changed = set_up_otherwise(name, after)
        assert changed <= named, f"{event}: {sorted(changed - named)} would be set up otherwise and are not named"
        touched += bool(changed)
    assert touched > 3, "too little happened to this session to show anything"


@pytest.mark.parametrize("name", ATHLETES)
def test_what_is_named_can_no_longer_be_done_as_it_was(name: str) -> None:
    """A torn band or a taken post is named for just the exercises whose set-up stands on it, read by hand."""
    _, _, document = session_of(name)
    for event, _ in events(name):
        if isinstance(event, SoreShoulder):
            continue
        stands_on_it = set()
        for item in document["items"]:
            for setup in item["setups"]:
                band = setup["band"] or {"name": None, "post": None}
                if isinstance(event, PostTaken) and band["post"] == event.post:
                    stands_on_it.add(item["exercise"])
                if isinstance(event, BandGone) and event.left == 0 and band["name"] == event.band:
                    stands_on_it.add(item["exercise"])
        if not (isinstance(event, BandGone) and event.left):
            named = {each.exercise for each in affected(document, event, exercises=library())}
            assert named == stands_on_it, event


def test_two_hands_with_a_band_each_need_two() -> None:
    """One band left is enough for one hand, for a loop round a post and for both hands on one band; else two."""
    band = {"name": "flat 24", "post": "wall bars", "one_band_for_both_hands": False}
    both = {"side": "right", "arms": ["left", "right"], "band": band}
    low_row, pull_apart = library()["low_row"], library()["pull_apart"]
    assert low_row.band is not None and low_row.band.grip == "each"
    assert pull_apart.band is not None and pull_apart.band.fixed_to == "other hand"
    assert bands_needed(both, low_row) == 2
    assert bands_needed(both, None) == 2
    assert bands_needed(both, pull_apart) == 1
    assert bands_needed(both | {"band": band | {"one_band_for_both_hands": True}}, low_row) == 1
    assert bands_needed(both | {"arms": ["right"]}, low_row) == 1
    assert bands_needed(both | {"band": None}, low_row) == 0


def test_a_band_that_remains_in_number_touches_nobody() -> None:
    """Two of three bands are left: each hand still has one. Of one that is left, a row of both arms is set up anew."""
    band = {"name": "flat 24", "post": "wall bars", "one_band_for_both_hands": False}
    setup = {"side": "right", "arms": ["left", "right"], "band": band}
    session = {"items": [{"exercise": "low_row", **PLAIN, "sides": ["left", "right"], "setups": [setup]}]}
    assert affected(session, BandGone(band="flat 24", left=2), exercises=library()) == ()
    (one,) = affected(session, BandGone(band="flat 24", left=1), exercises=library())
    assert one.because == "it is done with 2 of flat 24, and 1 is left"
    assert affected(session, BandGone(band="flat 15", left=0), exercises=library()) == ()


def test_the_hand_on_the_frame_has_a_part_in_it() -> None:
    """A sore left shoulder touches right-armed work only where the left hand holds the frame or the same band."""
    alone = {"side": "right", "arms": ["right"], "band": None, "support": []}
    on_frame = alone | {"support": ["one arm, the other hand on the frame"]}
    strapped = alone | {"support": ["chest strap"]}

    def touched(exercise: str, setup: dict[str, Any], side: Any = "left") -> bool:
        session = {"items": [{"exercise": exercise, **PLAIN, "setups": [setup]}]}
        return bool(affected(session, SoreShoulder(side=side), exercises=library()))

    assert library()["arm_out"].needs.hands == 1
    assert library()["anti_rotation_press"].needs.hands == 2
    assert not touched("arm_out", alone)
    assert not touched("arm_out", strapped)
    assert touched("arm_out", on_frame)
    assert touched("anti_rotation_press", alone)
    assert touched("arm_out", alone, side="right")


def test_a_side_that_is_not_done_is_passed_over() -> None:
    """A set-up of the left arm that stands in the document and is not done says nothing."""
    sides = [{"side": side, "arms": [side], "band": {"name": f"band {side}", "post": "bars"}} for side in SIDES]
    session = {"items": [{"exercise": "arm_out", **PLAIN, "setups": sides}]}
    assert affected(session, BandGone(band="band left"), exercises=library()) == ()
    assert [each.title for each in affected(session, BandGone(band="band right"), exercises=library())] == ["Row"]
