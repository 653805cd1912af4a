"""Changing a session by hand, and what is told of its versions: the journey of each request."""

from __future__ import annotations

import html
import json
import re
from typing import Any

import pytest
from club_people import ClubPeople, demo_document
from django.urls import reverse
from made_sessions import made_session
from session_pages import change, ids, page, typed

from conftest import Visit
from firstpush.web.sessions.models import PlanVersion


def test_every_change_is_a_version_and_nothing_is_overwritten(people: ClubPeople, visit: Visit) -> None:
    """An exchange, a dose, keeping and leaving out: each adds a version that says why; the first stays as it was."""
    made = made_session(people)
    client, plan = visit("colleague"), made.plan
    first = json.dumps(made.first.document)
    shown = client.get(reverse("plan_item", kwargs={"id_": plan.pk, "slug": made.ids[1]})).content.decode()
    into, dose = re.findall(r'name="into" value="([^"]*)"><input type="hidden" name="dose" value="([^"]*)"', shown)[0]
    assert (
        change(client, plan, change="exchange", exercise=made.ids[1], into=into, dose=html.unescape(dose)).status_code
        == 302
    )
    assert into in ids(plan) and made.first.document["items"][1]["exercise"] not in ids(plan)
    assert change(client, plan, change="keep", exercise=ids(plan)[0]).status_code == 302
    gone = ids(plan)[-1]
    assert change(client, plan, change="leave out", exercise=gone).status_code == 302
    assert gone not in ids(plan)
    assert [version.number for version in plan.versions.all()] == [1, 2, 3, 4]
    assert all(version.why for version in plan.versions.all())
    again = plan.versions.get(number=1)
    assert json.dumps(again.document) == first
    listed = page(client, "plan_versions", id_=plan.pk)
    assert "left out" in listed and "in place of" in listed and "colleague" in listed
    assert "is gone" in listed and "is new" in listed


def test_undo_goes_back_and_redo_goes_on_as_versions(people: ClubPeople, visit: Visit) -> None:
    """Undo adds the first state again, redo the second; both stay in the list."""
    made = made_session(people)
    client, plan = visit("owner"), made.plan
    gone = made.ids[-1]
    change(client, plan, change="leave out", exercise=gone)
    changed_to = ids(plan)
    assert "Undo: back to version 1" in page(client, "plan", id_=plan.pk)
    client.post(reverse("back_to", kwargs={"id_": plan.pk, "number": 1}))
    assert ids(plan) == [item["exercise"] for item in made.first.document["items"]]
    shown = page(client, "plan", id_=plan.pk)
    assert "Redo: on to version 2" in shown
    assert "Undo: back" not in shown
    client.post(reverse("back_to", kwargs={"id_": plan.pk, "number": 2}))
    assert ids(plan) == changed_to
    assert plan.versions.count() == 4
    assert client.post(reverse("back_to", kwargs={"id_": plan.pk, "number": 9})).status_code == 404


def test_who_changed_it_meanwhile_is_not_written_over(people: ClubPeople, visit: Visit) -> None:
    """A change that began at an older version is not made, and the page says so."""
    made = made_session(people)
    change(visit("colleague"), made.plan, change="leave out", exercise=made.ids[-1])
    count = made.plan.versions.count()
    sent = {"based_on": 1, "change": "leave out", "exercise": made.ids[0]}
    response = visit("owner").post(reverse("change_plan", kwargs={"id_": made.plan.pk}), sent, follow=True)
    assert "Somebody else has changed this session" in response.content.decode()
    assert made.plan.versions.count() == count


@pytest.mark.parametrize(
    "how",
    [
        {},
        {"change": "dance"},
        {"change": "exchange", "exercise": "low_row"},
        {"change": "exchange", "exercise": "low_row", "into": "no_such", "dose": "x"},
        {"change": "leave out", "exercise": "no_such"},
    ],
)
def test_a_change_that_is_none_is_refused(how: dict[str, str], people: ClubPeople, visit: Visit) -> None:
    """400, and nothing kept."""
    made = made_session(people)
    assert change(visit("owner"), made.plan, **how).status_code == 400
    assert made.plan.versions.count() == 1


def test_a_dose_that_is_not_known_is_told(people: ClubPeople, visit: Visit) -> None:
    """The page says which doses there are, and nothing is kept."""
    made = made_session(people)
    how = {"change": "dose", "exercise": made.ids[0], "dose": "a thousand"}
    newest = made.newest
    response = visit("owner").post(
        reverse("change_plan", kwargs={"id_": made.plan.pk}), {"based_on": newest.number, **how}, follow=True
    )
    assert "a thousand" in html.unescape(response.content.decode())
    assert made.plan.versions.count() == 1


def laid_item(version: PlanVersion) -> dict[str, Any]:
    """Return an item with a band that is tied to a post."""
    return next(
        item for item in version.document["items"] if any((each["band"] or {}).get("post") for each in item["setups"])
    )


def test_a_set_up_by_hand_is_shown_before_it_is_taken(people: ClubPeople, visit: Visit) -> None:
    """What is chosen is reckoned on the page; taken over, it stands in the next version; then it can be let go."""
    made = made_session(people, keep=("seated_row",))
    client = visit("owner")
    item = laid_item(made.first)
    band = item["setups"][0]["band"]
    where = {"id_": made.plan.pk, "slug": item["exercise"]}
    chosen = {
        "side": "both" if len(item["setups"]) == 2 else item["setups"][0]["side"],
        "band": f"{band['strands']}|{band['name']}",
        "mark": f"{band['slack_length_m']:.3f}",
        "post": band["post"],
        "height": f"{band['anchor_height_m']:.3f}",
        "distance": f"{band['distance_m'] + 0.05:.3f}",
        "load_nm": "",
    }
    url = reverse("lay_by_hand", kwargs=where)
    assert client.get(url).status_code == 200
    shown = html.unescape(client.get(url, chosen).content.decode())
    assert f"{band['distance_m'] + 0.05:.2f} m" in shown
    assert "N·m" in shown and "Trunk" in shown and "Time:" in shown
    assert "Take it over" in shown
    assert made.plan.versions.count() == 1, "looking changes nothing"
    assert client.post(url, chosen).status_code == 302
    mine = next(each for each in made.newest.document["items"] if each["exercise"] == item["exercise"])
    assert mine["setups"][0]["band"]["distance_m"] == pytest.approx(band["distance_m"] + 0.05)
    assert "set-up-by-hand" in {notice["id"] for notice in mine["setups"][0]["notices"]}
    assert "is set up by hand" in page(client, "plan", id_=made.plan.pk)
    change(client, made.plan, change="let go", wish="setups", exercise=item["exercise"])
    mine = next(each for each in made.newest.document["items"] if each["exercise"] == item["exercise"])
    assert mine["setups"][0]["band"]["distance_m"] == pytest.approx(band["distance_m"])


def test_an_unsafe_set_up_by_hand_is_refused_with_its_reason(people: ClubPeople, visit: Visit) -> None:
    """A load far over the largest is cut by the search; a mark that jerks or breaks a limit cannot be taken over."""
    made = made_session(people, keep=("seated_row",))
    client = visit("owner")
    item = laid_item(made.first)
    band = item["setups"][0]["band"]
    chosen = {
        "side": "both" if len(item["setups"]) == 2 else item["setups"][0]["side"],
        "band": f"{band['strands']}|{band['name']}",
        "mark": "2.000" if band["strands"] == 1 else "1.000",
        "post": band["post"],
        "height": f"{band['anchor_height_m']:.3f}",
        "distance": f"{band['distance_m']:.3f}",
        "load_nm": "",
    }
    url = reverse("lay_by_hand", kwargs={"id_": made.plan.pk, "slug": item["exercise"]})
    shown = client.get(url, chosen)
    assert "cannot be taken over" in shown.content.decode()
    assert "Take it over" not in shown.content.decode()
    response = client.post(url, chosen)
    assert response.status_code == 422
    assert made.plan.versions.count() == 1


def test_the_page_of_an_exercise_that_is_not_in_it_is_not_there(people: ClubPeople, visit: Visit) -> None:
    """404, for an id that nobody has too."""
    made = made_session(people)
    outside = next(out["exercise"] for out in made.first.document["left_out"])
    for slug in (outside, "no-such"):
        for name in ("plan_item", "lay_by_hand"):
            assert visit("owner").get(reverse(name, kwargs={"id_": made.plan.pk, "slug": slug})).status_code == 404


def test_what_changed_since_is_said_and_taken_into_the_next_version(people: ClubPeople, visit: Visit) -> None:
    """The athlete was weighed: the sheet says that it is older, and making it again takes the new mass."""
    made = made_session(people)
    client = visit("owner")
    assert "changed since this session was made" not in page(client, "plan", id_=made.plan.pk)
    people.runa.save_document(demo_document("athlete") | {"mass_kg": 71.0}, by=people.owner)
    assert "Runa Velde changed since this session was made" in page(client, "plan", id_=made.plan.pk)
    response = client.post(reverse("make_again", kwargs={"id_": made.plan.pk}), typed(people, as_before="1"))
    assert response.status_code == 302
    assert made.newest.request["inputs"]["athlete"]["mass_kg"] == 71.0
    assert "changed since this session was made" not in page(client, "plan", id_=made.plan.pk)
