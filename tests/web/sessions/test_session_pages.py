"""Making a session and what its form is asked: the journey of each request."""

from __future__ import annotations

import html
import json
import re

import pytest
from club_people import ClubPeople
from django.urls import reverse
from made_sessions import made_session
from session_pages import ids, page, typed

from conftest import Visit
from firstpush.core.session.kinds import KIND_NAMES
from firstpush.web.sessions.models import PlanVersion


def test_a_session_is_made_and_kept(people: ClubPeople, visit: Visit) -> None:
    """From the form to the page: a first version with its request, its document and the words of both sheets."""
    client = visit("colleague")
    before = people.runa.plans.count()
    response = client.post(reverse("make_session", kwargs={"id_": people.runa.pk}), typed(people))
    assert response.status_code == 302
    plan = people.runa.plans.last()
    assert plan is not None and people.runa.plans.count() == before + 1
    version = plan.newest
    assert version is not None
    assert response.url == reverse("plan", kwargs={"id_": plan.pk})
    assert version.made_by == people.colleague
    assert version.document["minutes"] == 12
    assert 0 < version.document["total_s"] <= 12 * 60
    assert version.request["inputs"]["athlete"] == people.runa.document
    assert set(version.document["sheets"]) == {"athlete", "practitioner"}
    shown = page(client, "plan", id_=plan.pk)
    for item in version.document["items"]:
        assert item["title"] in shown
        assert all(words[1:] in shown for words in re.split("; next best: |; (?=no other)", item["reason"]))
    assert "Proven best" in shown or "Best found" in shown


def test_wishes_are_held_to(people: ClubPeople, visit: Visit) -> None:
    """What must be there is there, what must not is not, and the page says so."""
    client = visit("owner")
    sent = typed(people, minutes="18", keep=["high_row"], without=["easy_rolling"], aims=["trunk turn"])
    response = client.post(reverse("make_session", kwargs={"id_": people.runa.pk}), sent)
    assert response.status_code == 302
    plan = people.runa.plans.last()
    assert plan is not None and plan.newest is not None
    assert "high_row" in ids(plan)
    assert "easy_rolling" not in ids(plan)
    assert any("trunk turn" in item["aims"] for item in plan.newest.document["items"])
    shown = page(client, "plan", id_=plan.pk)
    assert "High row must be there" in shown
    assert "Easy rolling is left out" in shown


@pytest.mark.parametrize(
    ("other", "says"),
    [
        ({"minutes": "0"}, "greater than or equal to 1"),
        ({"minutes": "soon"}, "Enter a number"),
        ({"on": "31 June"}, "valid date"),
        ({"kit": "77"}, "valid choice"),
        ({"venue": ""}, "needs a venue"),
        ({"kind": "after lunch"}, "not one of the available"),
        ({"minutes": "1", "kind": "strength"}, "the shortest session here takes"),
    ],
)
def test_a_form_that_does_not_do_keeps_what_was_typed(
    other: dict[str, str], says: str, people: ClubPeople, visit: Visit
) -> None:
    """422, the fault in words, the rest as it was typed, and nothing kept."""
    before = PlanVersion.objects.count()
    sent = typed(people, keep=["seated_row"] if "strength" not in other.values() else [], **other)
    response = visit("owner").post(reverse("make_session", kwargs={"id_": people.runa.pk}), sent)
    assert response.status_code == 422
    shown = html.unescape(response.content.decode())
    assert says.casefold() in shown.casefold()
    for name, value in other.items():
        if name in ("minutes", "on"):
            assert f'value="{value}"' in shown
    if sent["keep"]:
        assert re.search(r'value="seated_row"[^>]* checked', shown)
    assert PlanVersion.objects.count() == before


def test_a_session_at_home_needs_no_venue(people: ClubPeople, visit: Visit) -> None:
    """A room with nothing to tie a band to will do."""
    sent = typed(people, kind="home", venue="")
    assert visit("owner").post(reverse("make_session", kwargs={"id_": people.runa.pk}), sent).status_code == 302
    plan = people.runa.plans.last()
    assert plan is not None and plan.newest is not None
    assert plan.newest.document["kind"] == "home"
    assert plan.newest.document["venue"] == "a room"


def test_each_word_about_the_venue_is_true_of_the_kinds_it_is_shown_for(people: ClubPeople, visit: Visit) -> None:
    """Needed before training, before a match and for strength; at home and on a journey it may stay empty.

    Which kinds can do without is marked at the choice, so that the style sheet shows one of the two.
    """
    address = reverse("make_session", kwargs={"id_": people.runa.pk})
    shown = visit("owner").get(address).content.decode()
    alone = set(re.findall(r'<option value="([^"]*)"[^>]* data-alone', shown))
    assert alone == {"home", "travel"}
    for kind in KIND_NAMES:
        refused = (
            "needs a venue"
            in visit("owner").post(address, typed(people, kind=kind, venue="", minutes="0")).content.decode()
        )
        assert refused == (kind not in alone), kind
    (needed,) = re.findall(r'<span class="kind-with-others">(.*?)</span>', shown)
    (empty, may_stay) = re.findall(r'<span class="(?:optional )?kind-alone">(.*?)</span>', shown)
    assert needed == "A session before training, before a match or for strength needs one."
    assert (empty, may_stay) == ("(may stay empty)", "A session at home or on a journey can do without one.")


def test_without_a_kit_the_form_says_so(people: ClubPeople, visit: Visit) -> None:
    """A club that has withdrawn its cupboard can open the form, and is told what is missing when it sends it."""
    people.kit.withdraw()
    client = visit("owner")
    url = reverse("make_session", kwargs={"id_": people.jon.pk})
    assert client.get(url).status_code == 200
    assert client.post(url, typed(people)).status_code == 422


def test_what_collides_is_told_with_a_button_for_each_way_out(people: ClubPeople, visit: Visit) -> None:
    """Nothing is kept; the button of the minutes makes what was asked, in more minutes."""
    client = visit("owner")
    asked = ["seated_row", "external_rotation_90", "anti_rotation_press", "hugging_press"]
    before = PlanVersion.objects.count()
    response = client.post(
        reverse("make_session", kwargs={"id_": people.runa.pk}), typed(people, keep=asked, minutes="9")
    )
    assert response.status_code == 422
    shown = html.unescape(response.content.decode())
    assert "too short" in shown
    assert shown.count("must be there.") >= 2
    assert PlanVersion.objects.count() == before
    requests = re.findall(r'name="request" value="([^"]*)"', response.content.decode())
    words = re.findall(r'name="words" value="([^"]*)"', response.content.decode())
    assert len(requests) == len(words) == shown.count("data-working") >= 2
    (more,) = [text for text, said in zip(requests, words, strict=True) if said.startswith("give")]
    sent = {"request": html.unescape(more), "words": "give more"}
    done = client.post(reverse("ask_again", kwargs={"id_": people.runa.pk}), sent)
    assert done.status_code == 302
    plan = people.runa.plans.last()
    assert plan is not None
    assert set(asked) <= set(ids(plan))


@pytest.mark.parametrize("sent", [{}, {"request": "[]"}, {"request": "{"}, {"request": '{"minutes": "x"}'}])
def test_a_request_that_cannot_be_read_is_refused(sent: dict[str, str], people: ClubPeople, visit: Visit) -> None:
    """400, and nothing kept."""
    before = PlanVersion.objects.count()
    response = visit("owner").post(reverse("ask_again", kwargs={"id_": people.runa.pk}), sent)
    assert response.status_code == 400
    assert PlanVersion.objects.count() == before


def test_a_request_cannot_reach_another_clubs_kit(people: ClubPeople, visit: Visit) -> None:
    """The id of a kit that belongs to others looks as if it were not there."""
    made = made_session(people)
    stranger = visit("stranger")
    url = reverse("ask_again", kwargs={"id_": people.runa.pk})
    assert stranger.post(url, {"request": json.dumps(made.newest.request)}).status_code == 404
    foreign = made.newest.request | {"kit_id": 10**9}
    assert visit("owner").post(url, {"request": json.dumps(foreign)}).status_code == 404
