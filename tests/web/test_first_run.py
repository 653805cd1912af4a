"""A club with nothing in it: every page leads on, and a session can be asked for before there is a cupboard."""

from __future__ import annotations

import html
from typing import Any

import pytest
from club_people import ClubPeople, demo_document
from django.test import Client
from django.urls import reverse

from conftest import Visit
from firstpush.web.athletes.models import AthleteRecord
from firstpush.web.first_steps import back_of
from firstpush.web.kit.models import KitRecord, VenueRecord

STEPS = "Three steps to the first sheet"


@pytest.fixture
def newcomer(people: ClubPeople, visit: Visit) -> Client:
    """Return the browser of the owner of the other club, which has nothing yet."""
    assert not KitRecord.objects.filter(club=club_of(people)).exists()
    return visit("stranger")


def club_of(people: ClubPeople) -> Any:
    """Return the club of the stranger."""
    return people.stranger.membership.club


def athlete_in(people: ClubPeople) -> AthleteRecord:
    """Put an athlete into the empty club."""
    record = AthleteRecord(club=club_of(people))
    record.save_document(demo_document("athlete") | {"name": "Tomas Lind"}, by=people.stranger)
    return record


def page(client: Client, url: str) -> str:
    """Return a page as it is read."""
    response = client.get(url)
    assert response.status_code == 200, response.status_code
    return html.unescape(response.content.decode())


@pytest.mark.parametrize("name", ["athletes", "kit_and_venue"])
def test_an_empty_club_is_led_on_in_three_steps(name: str, people: ClubPeople, newcomer: Client) -> None:
    """Each step has its button; what is done has the word and no button; with all done nothing is left of it."""
    here = reverse(name)
    shown = page(newcomer, here)
    assert STEPS in shown
    steps = shown.partition(STEPS)[2].partition("</section>")[0]
    for button in ("Add a cupboard", "Add a venue", "Add an athlete"):
        assert button in steps
    assert f"{reverse('new_kit')}?back={here.replace('/', '%2F')}" in steps
    kit = KitRecord(club=club_of(people))
    kit.save_document(demo_document("kit"), by=people.stranger)
    steps = page(newcomer, here).partition(STEPS)[2].partition("</section>")[0]
    assert "The cupboard</strong> – done" in steps
    assert "Add a cupboard" not in steps
    athlete_in(people)
    venue = VenueRecord(club=club_of(people))
    venue.save_document(demo_document("venue"), by=people.stranger)
    assert STEPS not in page(newcomer, here)


def test_who_only_reads_sees_the_steps_without_buttons(people: ClubPeople, visit: Visit) -> None:
    """An assistant may not add anything, and a club that has all is not led."""
    assert STEPS not in page(visit("owner"), reverse("athletes"))
    KitRecord.objects.filter(club=people.club).update(withdrawn_at="2026-01-01T00:00:00Z")
    steps = page(visit("assistant"), reverse("athletes")).partition(STEPS)[2].partition("</section>")[0]
    assert "The cupboard" in steps
    assert "button" not in steps


def test_a_session_without_a_cupboard_says_what_comes_first_and_comes_back(
    people: ClubPeople, newcomer: Client
) -> None:
    """What was typed waits while the cupboard is written down, and the page is there again after it."""
    here = reverse("make_session", kwargs={"id_": athlete_in(people).pk})
    shown = page(newcomer, here)
    assert "First add a cupboard" in shown
    assert "without one it is a room" in shown
    assert ">Make the session<" not in shown
    typed = {"first": "kit", "kind": "strength", "minutes": "33", "on": "2026-03-02", "aims": ["trunk turn"]}
    away = newcomer.post(here, typed)
    assert away.status_code == 302
    assert away.url.startswith(reverse("new_kit"))
    rows = {"bands-TOTAL_FORMS": "0", "bands-INITIAL_FORMS": "0"}
    back = newcomer.post(away.url, {"name": "Shed", **rows})
    assert back.status_code == 302
    assert back.url == here
    again = page(newcomer, here)
    assert "Shed is saved." in again
    assert 'value="33"' in again
    assert '<option value="strength" selected>' in again
    assert 'value="trunk turn" id="id_aims_' in again
    assert again.count("checked") == 1
    assert ">Make the session<" in again
    # Only once: the next visit begins as usual.
    assert 'value="33"' not in page(newcomer, here)


def test_without_any_venue_a_session_takes_place_in_a_room(people: ClubPeople, newcomer: Client) -> None:
    """A venue is optional while the club has none; once it has one, a session before training names it."""
    athlete = athlete_in(people)
    kit = KitRecord(club=club_of(people))
    kit.save_document(demo_document("kit"), by=people.stranger)
    here = reverse("make_session", kwargs={"id_": athlete.pk})
    sent = {"kind": "before training", "minutes": "8", "on": "2026-03-02", "back_to_front": "2", "kit": kit.pk}
    assert newcomer.post(here, sent).status_code == 302
    made = athlete.plans.get().newest
    assert made is not None
    assert made.document["venue"] == "a room"
    venue = VenueRecord(club=club_of(people))
    venue.save_document(demo_document("venue"), by=people.stranger)
    refused = newcomer.post(here, sent)
    assert refused.status_code == 422
    assert "needs a venue" in html.unescape(refused.content.decode())


def test_only_an_address_of_this_application_is_gone_back_to(rf: Any) -> None:
    """Another computer, another scheme and a path that is none are not."""
    assert back_of(rf.get("/x/?back=/athletes/")) == "/athletes/"
    for elsewhere in ("https://example.org/", "//example.org/", "javascript:alert(1)", "athletes/", ""):
        assert back_of(rf.get("/x/", {"back": elsewhere})) is None, elsewhere


def test_the_first_form_of_a_cupboard_asks_for_chocks_and_straps(people: ClubPeople, newcomer: Client) -> None:
    """They are saved where core reads them; chocks without a height come back in the page's words."""
    rows = {"bands-TOTAL_FORMS": "0", "bands-INITIAL_FORMS": "0"}
    wrong = newcomer.post(reverse("new_kit"), {"name": "Shed", "chocks": "4", "chest_straps": "1", **rows})
    told = html.unescape(wrong.content.decode())
    assert wrong.status_code == 422
    assert "chock_height" not in told.replace('"chock_height_m"', "").replace("id_chock_height_m", "")
    assert "It is missing." in told
    assert 'name="chocks" value="4"' in told
    right = {"name": "Shed", "chocks": "4", "chock_height_m": "0,08", "chest_straps": "1", **rows}
    assert newcomer.post(reverse("new_kit"), right).status_code == 302
    kit = KitRecord.objects.get(club=club_of(people)).read()
    assert (kit.chocks, kit.chock_height, kit.chest_straps, kit.waist_straps) == (4, 0.08, 1, 0)


def test_logging_in_is_called_as_the_account_was(client: Client, people: ClubPeople) -> None:
    """The label of the first page, and no sentence of a library."""
    shown = page(client, reverse("account_login"))
    assert "Name to log in with" in shown
    assert "Username" not in shown
