"""Changing an athlete group by group: what was typed arrives, what was not touched stays, nobody is written over."""

from __future__ import annotations

import copy
from typing import Any

import pytest
from club_people import ClubPeople
from django.urls import reverse
from sent_form import values_of

from conftest import Visit

PAGES = ("edit_body", "edit_function", "edit_health", "edit_strength", "edit_chairs")


def shown(people: ClubPeople, visit: Visit, page: str) -> dict[str, Any]:
    """Return what a browser would send when nothing is changed on the page."""
    response = visit("colleague").get(reverse(page, kwargs={"id_": people.runa.pk}))
    return values_of(response.content.decode())


def sent(people: ClubPeople, visit: Visit, page: str, **change: Any) -> Any:
    """Return the answer to the page as it is shown, with `change`; double underscores stand for dots and brackets."""
    data = shown(people, visit, page) | change
    data = {key: value for key, value in data.items() if value is not None}
    response = visit("colleague").post(reverse(page, kwargs={"id_": people.runa.pk}), data)
    people.runa.refresh_from_db()
    return response


@pytest.mark.parametrize("page", PAGES)
def test_a_page_that_is_sent_back_untouched_changes_nothing(page: str, people: ClubPeople, visit: Visit) -> None:
    """Every value makes the way through the form and back without a loss, and no version is made."""
    before = copy.deepcopy(people.runa.document)
    response = sent(people, visit, page)
    assert response.status_code == 302, response.content.decode()
    assert people.runa.document == before
    assert people.runa.version == 1


def test_body(people: ClubPeople, visit: Visit) -> None:
    """A mass with a decimal comma, a length taken out, the number on the shirt; the version says who and why."""
    change = {"mass_kg": "60,5", "measured.hand_m": "", "number": "8", "why": "weighed"}
    response = sent(people, visit, "edit_body", **change)
    assert response.url == reverse("athlete", kwargs={"id_": people.runa.pk}) + "#body"
    document = people.runa.document
    assert (document["mass_kg"], people.runa.number) == (60.5, 8)
    assert "hand_m" not in document["measured"]
    assert document["measured"]["forearm_m"] == 0.241, "what was not touched stays"
    newest = people.runa.versions.get(number=2)
    assert (newest.made_by, newest.why) == (people.colleague, "weighed")


def test_a_number_on_the_shirt_alone_makes_no_version(people: ClubPeople, visit: Visit) -> None:
    """It stands beside the document."""
    assert sent(people, visit, "edit_body", number="").status_code == 302
    assert (people.runa.number, people.runa.version) == (None, 1)


def test_faults_of_core_stand_beside_the_fields(people: ClubPeople, visit: Visit) -> None:
    """All at once, with what was typed; nothing is saved."""
    response = sent(people, visit, "edit_body", **{"measured.forearm_m": "24.1", "born": "12", "name": "Runa V."})
    assert response.status_code == 422
    page = response.content.decode()
    assert "did you mean 0.241?" in page
    assert "12 is out of range" in page
    for typed in ("24.1", "12", "Runa V."):
        assert f'value="{typed}"' in page
    assert people.runa.version == 1


def test_two_do_not_write_over_each_other(people: ClubPeople, visit: Visit) -> None:
    """Whoever began from an older version is told, keeps what was typed, and changes nothing."""
    began = shown(people, visit, "edit_body")
    people.runa.save_document(people.runa.document | {"mass_kg": 61.0}, by=people.owner)
    url = reverse("edit_body", kwargs={"id_": people.runa.pk})
    response = visit("colleague").post(url, {**began, "mass_kg": "70"})
    assert response.status_code == 422
    page = response.content.decode()
    assert "version 2, yours began at 1" in page
    assert 'value="70"' in page
    people.runa.refresh_from_db()
    assert people.runa.document["mass_kg"] == 61.0


def test_pain_by_place(people: ClubPeople, visit: Visit) -> None:
    """A second place is added, the first taken out, then none is said; unknown takes the key out."""
    added = {"health.pain-1-place": "neck", "health.pain-1-now": "2"}
    assert sent(people, visit, "edit_health", **added).status_code == 302
    assert [each["place"] for each in people.runa.document["health"]["pain"]] == ["shoulder front", "neck"]
    assert sent(people, visit, "edit_health", **{"health.pain-0-take_out": "on"}).status_code == 302
    assert people.runa.document["health"]["pain"] == [{"place": "neck", "now": 2}]
    gone = {"health.pain-0-take_out": "on", "pain_state": "none"}
    assert sent(people, visit, "edit_health", **gone).status_code == 302
    assert people.runa.document["health"]["pain"] == "none"
    assert sent(people, visit, "edit_health", pain_state="").status_code == 302
    assert "pain" not in people.runa.document["health"]
    assert people.runa.document["health"]["spinal_level"] == "T10"


@pytest.mark.parametrize(
    ("change", "says"),
    [
        ({"pain_state": "none"}, "not said to be there"),
        ({"health.pain-0-take_out": "on"}, "No place is described"),
        ({"health.pain-1-place": "elbow inside"}, "It is missing"),
        ({"health.pain-1-now": "12", "health.pain-1-place": "neck"}, "12 is out of range"),
        ({"health.spinal_level": "none"}, "contradicts “Level of the spinal cord injury”"),
    ],
)
def test_pain_and_health_that_contradict_themselves(
    change: dict[str, str], says: str, people: ClubPeople, visit: Visit
) -> None:
    """The page comes back with the reason."""
    response = sent(people, visit, "edit_health", **change)
    assert response.status_code == 422
    assert says in response.content.decode()
    assert people.runa.version == 1


def test_strength_tests(people: ClubPeople, visit: Visit) -> None:
    """One more test is added to the two; half a test is refused with what is missing."""
    test = {"side": "left", "movement": "elevation", "moment_nm": "21,5", "position": "seated", "test": "make"}
    row = {f"strength-2-{key}": value for key, value in test.items()}
    assert sent(people, visit, "edit_strength", **(row | {"strength-2-test": ""})).status_code == 422
    assert sent(people, visit, "edit_strength", **row).status_code == 302
    assert people.runa.document["strength"][2] == test | {"moment_nm": 21.5}
    assert len(people.runa.athlete().strength) == 3


def test_chairs(people: ClubPeople, visit: Visit) -> None:
    """A second chair with two sizes; it is used from now on; then the other is taken out."""
    second = {"chairs-1-kind": "daily", "chairs-1-seat_height_m": "0.48", "chairs-1-anti_tip_m": "none"}
    assert sent(people, visit, "edit_chairs", **second, used_chair="1").status_code == 302
    chairs = people.runa.athlete().chairs
    assert [chair.kind for chair in chairs] == ["daily", "court"]
    assert chairs[0].measured == {"seat_height", "anti_tip"}
    assert chairs[1].camber == pytest.approx(0.2967, abs=1e-4), "17 degrees, as before"
    assert sent(people, visit, "edit_chairs", **{"chairs-1-take_out": "on"}).status_code == 302
    assert people.runa.document["chairs"] == [{"kind": "daily", "seat_height_m": 0.48, "anti_tip_m": "none"}]
    response = sent(people, visit, "edit_chairs", **{"chairs-0-take_out": "on"})
    assert response.status_code == 422
    assert "There is no chair" in response.content.decode()


def test_a_fault_of_the_second_chair_stands_in_its_row_though_it_is_put_first(people: ClubPeople, visit: Visit) -> None:
    """The order of the rows on the page is not the order in the document."""
    second = {"chairs-1-kind": "daily", "chairs-1-camber_deg": "170"}
    page = sent(people, visit, "edit_chairs", **second, used_chair="1").content.decode()
    place, fault = page.index('name="chairs-1-camber_deg"'), page.index("170 degrees is out of range")
    assert page.index("<legend>Chair 2") < fault < place


@pytest.mark.parametrize("page", ["edit_health", "edit_strength", "edit_chairs"])
def test_one_more_row_saves_nothing_and_loses_nothing(page: str, people: ClubPeople, visit: Visit) -> None:
    """The page comes back longer by one, with what was typed."""
    data = shown(people, visit, page) | {"why": "half way"}
    (name,) = (key for key in data if key.endswith("-count"))
    url = reverse(page, kwargs={"id_": people.runa.pk})
    response = visit("colleague").post(url, {**data, "more": name.removesuffix("-count")})
    assert response.status_code == 200
    after = values_of(response.content.decode())
    assert int(after[name]) == int(data[name]) + 1
    assert after["why"] == "half way"
    assert people.runa.version == 1
