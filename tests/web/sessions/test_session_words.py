"""What a practitioner reads on the page of a session and of one exercise: each thing once, and in plain words."""

from __future__ import annotations

import copy
import html
import re
from typing import Any

import pytest
from club_people import ClubPeople, demo_document
from django.test import Client
from django.urls import reverse
from made_sessions import DAY, Made, made_session

from conftest import Visit
from firstpush.core.kit.kit_file import kit_from
from firstpush.web.athletes.models import AthleteRecord
from firstpush.web.sessions.making import make_version, request_for
from firstpush.web.sessions.pages import wishes_of


def page(client: Client, name: str, **where: Any) -> str:
    """Return a page as it is read."""
    response = client.get(reverse(name, kwargs=where))
    assert response.status_code == 200, response.status_code
    return html.unescape(response.content.decode())


@pytest.fixture
def latex_is_out(people: ClubPeople) -> Made:
    """Return a session of an athlete with spina bifida, in a club whose only band is of unknown material."""
    kit = copy.deepcopy(people.kit.document)
    kit["bands"] = [kit["bands"][0] | {"name": "Green band", "material": "unknown"}]
    people.kit.save_document(kit, by=people.owner)
    document = demo_document("athlete")
    document["health"] = document["health"] | {"conditions": ["spina bifida"], "latex": "avoid"}
    people.runa.save_document(document, by=people.owner)
    return made_session(people)


def test_the_answer_that_exercises_wait_for_stands_at_the_top(
    latex_is_out: Made, people: ClubPeople, visit: Visit
) -> None:
    """One line with the question and the very field; answered there, it is gone, and made again the bands are in."""
    client, plan = visit("owner"), latex_is_out.plan
    where = reverse("what_waits", kwargs={"id_": plan.pk})
    assert f'hx-get="{where}"' in page(client, "plan", id_=plan.pk)
    part = client.get(where, headers={"HX-Request": "true"}).content.decode()
    told = re.search(r"(\d+) exercises wait for one answer: .*href=\"([^\"#]+)#(\w+)\"[^>]*>([^<]+)<", part)
    assert told, part
    how_many, address, field, asks = int(told[1]), told[2], told[3], html.unescape(told[4])
    assert asks == "is “Green band” free of latex?"
    assert f'id="{field}"' in client.get(address).content.decode()
    assert f"{how_many} exercises wait" in page(client, "plan", id_=plan.pk).partition("On court")[0]
    before = {each["exercise"] for each in latex_is_out.newest.document["left_out"]}
    kit = copy.deepcopy(people.kit.document)
    kit["bands"][0]["material"] = "latex-free"
    assert kit_from(kit, where="kit").bands[0].material == "latex-free"
    people.kit.save_document(kit, by=people.owner)
    assert "wait for one answer" not in page(client, "plan", id_=plan.pk)
    request = request_for(people.owner, AthleteRecord.objects.get(pk=people.runa.pk), minutes=12, on=DAY)
    again = make_version(people.runa, request, by=people.owner)
    assert again is not None
    still = [each for each in again.document["left_out"] if "latex, left out" in each["reason"]]
    assert still == []
    assert len(before) >= how_many


def test_only_who_writes_is_asked(latex_is_out: Made, visit: Visit) -> None:
    """An assistant cannot answer it, and an athlete is not told."""
    for who in ("assistant", "athlete"):
        assert "what_waits" not in page(visit(who), "plan", id_=latex_is_out.plan.pk)
        assert "/waits/" not in page(visit(who), "plan", id_=latex_is_out.plan.pk)


@pytest.fixture
def made(people: ClubPeople) -> Made:
    """Return a session of twelve minutes with a row in it."""
    return made_session(people, keep=("low_row",))


def test_what_is_reached_has_its_unit(made: Made) -> None:
    """A figure alone says nothing to who reads it."""
    for wish in wishes_of(made.newest.document):
        assert re.fullmatch(r"[\d.]+ [a-z]+|\d+:\d\d min", wish.reached), wish


def test_a_dose_can_be_typed(made: Made, visit: Visit) -> None:
    """It is held to, told by its name, and can be let go like every other wish."""
    client, plan = visit("owner"), made.plan
    sent = {"based_on": "1", "change": "dose by hand", "exercise": "low_row", "sets": "1", "amount": "7"}
    response = client.post(reverse("change_plan", kwargs={"id_": plan.pk}), sent)
    assert response.status_code == 302
    item = next(each for each in made.newest.document["items"] if each["exercise"] == "low_row")
    assert (item["dose"]["name"], item["dose"]["sets"], item["dose"]["repetitions"]) == ("1 set of 7, by hand", 1, 7)
    assert "Low row in 1 set of 7, by hand" in page(client, "plan", id_=plan.pk)


@pytest.mark.parametrize(
    ("sets", "amount", "says"),
    [("9", "8", "allowed are 1 to 3"), ("1", "800", "allowed are 1 to"), ("many", "8", "whole numbers")],
)
def test_a_dose_that_is_not_allowed_comes_back_as_typed(
    sets: str, amount: str, says: str, made: Made, visit: Visit
) -> None:
    """Nothing is kept, and the page says what is allowed."""
    sent = {"based_on": "1", "change": "dose by hand", "exercise": "low_row", "sets": sets, "amount": amount}
    response = visit("owner").post(reverse("change_plan", kwargs={"id_": made.plan.pk}), sent)
    told = html.unescape(response.content.decode())
    assert response.status_code == 422
    assert says in told
    assert f'name="sets" inputmode="numeric" autocomplete="off" value="{sets}"' in told
    assert f'name="amount" inputmode="numeric" autocomplete="off" value="{amount}"' in told
    assert made.plan.versions.count() == 1


def test_an_exchange_tells_its_sides_and_only_what_is_new(made: Made, people: ClubPeople, visit: Visit) -> None:
    """With grip unknown the row has its caution; no exercise in its place says it once more."""
    document = copy.deepcopy(people.runa.document)
    for side in ("left", "right"):
        document["function"][side].pop("grip", None)
    people.runa.save_document(document, by=people.owner)
    again = made_session(people, keep=("low_row",))
    shown = page(visit("owner"), "plan_item", id_=again.plan.pk, slug="low_row")
    above, _, below = shown.partition("In place of it")
    assert len(re.findall(r"[Nn]ot known:[^.<]*\bgrip\b", above)) == 1
    assert not re.search(r"[Nn]ot known:[^.<]*\bgrip\b", below)
    assert re.search(r'class="sides">(both arms|each side)', below)
    assert "instead of" not in below.partition("How much")[0]
