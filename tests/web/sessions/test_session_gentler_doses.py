"""A gentler dose on the page of one exercise: offered without being asked for, and done once it is taken."""

from __future__ import annotations

import copy
import re

import pytest
from club_people import ClubPeople
from made_sessions import Made, made_session
from session_pages import change, page

from conftest import Visit

LENGTHS, EASY, THREE = "graded_push_lengths", "two easy lengths, twice", "three lengths and back, once"


@pytest.fixture
def made(people: ClubPeople) -> Made:
    """Make a session with push lengths."""
    return made_session(people, minutes=20, keep=(LENGTHS,))


def how_much(shown: str) -> str:
    """Return the part of the page that offers doses."""
    return shown[shown.index("<h2>How much</h2>") : shown.index("<h2>When</h2>")]


def offered(shown: str) -> list[str]:
    """Return the names of the doses that can be taken, in the order of the page."""
    return re.findall(r'name="change" value="dose">.*?name="dose" value="([^"]*)"', how_much(shown))


def dose_now(made: Made) -> str:
    """Return the dose of the push lengths in the version that holds."""
    return next(item["dose"]["name"] for item in made.newest.document["items"] if item["exercise"] == LENGTHS)


@pytest.mark.parametrize("name", [EASY, THREE])
def test_a_gentler_dose_is_shown_by_its_name_and_done_when_taken(made: Made, visit: Visit, name: str) -> None:
    """With its row and its button; afterwards it is the present one, and the others are offered in its place."""
    client = visit("owner")
    before = dose_now(made)
    shown = page(client, "plan_item", id_=made.plan.pk, slug=LENGTHS)
    assert name in offered(shown) and before not in offered(shown)
    rows = re.sub(r"<[^>]*>", " ", how_much(shown))
    assert name in rows, "in words, not only in what is sent"
    answer = change(client, made.plan, change="dose", exercise=LENGTHS, dose=name)
    assert answer.status_code == 302
    assert dose_now(made) == name
    after = page(client, "plan_item", id_=made.plan.pk, slug=LENGTHS)
    assert name not in offered(after) and before in offered(after)
    assert {"two": "two, ", "thr": "three, "}[name[:3]] in after, "as many lanes as lengths"
    assert change(client, made.plan, change="dose", exercise=LENGTHS, dose=before).status_code == 302
    assert dose_now(made) == before


def test_held_to_the_careful_dose_nothing_else_is_offered(people: ClubPeople, visit: Visit) -> None:
    """A weak grip: the easy lengths are what is given, and the page has no other."""
    document = copy.deepcopy(people.runa.document)
    for side in ("left", "right"):
        document["function"][side]["grip"] = "weak"
    people.runa.save_document(document, by=people.owner)
    made = made_session(people, minutes=20, keep=(LENGTHS,))
    assert dose_now(made) == EASY
    shown = page(visit("owner"), "plan_item", id_=made.plan.pk, slug=LENGTHS)
    assert offered(shown) == []
    assert "It has one dose only in this kind of session." in how_much(shown)


def test_a_stranger_neither_sees_nor_takes_it(made: Made, visit: Visit) -> None:
    """The page is not there for another club, and nothing is changed."""
    before = dose_now(made)
    assert change(visit("stranger"), made.plan, change="dose", exercise=LENGTHS, dose=EASY).status_code == 404
    assert dose_now(made) == before
