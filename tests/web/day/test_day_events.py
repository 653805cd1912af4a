"""A band tears, a post is taken, a shoulder is sore: only what stands on it is made again, and it can be undone."""

from __future__ import annotations

from html import unescape
from typing import Any

import pytest
from club_people import ClubPeople
from day_sessions import Visit, bands_of, session_today, undrawn, without_bands  # noqa: F401
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from firstpush.core.exercises.loader import library
from firstpush.core.session.affected import PostTaken, affected
from firstpush.core.session.compare import differences
from firstpush.web.athletes.person import erase_person
from firstpush.web.sessions.day_state import venue_document_on
from firstpush.web.sessions.models import DayEvent, DayOutcome, Making, PlanVersion

pytestmark = pytest.mark.usefixtures("undrawn")


def happened(client: Client, what: str, **given: Any) -> Any:
    """Tell the page what happened."""
    return client.post(reverse("day_happened", args=[what]), {f"{what}-{name}": value for name, value in given.items()})


def shown(client: Client) -> str:
    """Return the page as it is read."""
    return unescape(client.get(reverse("training_day")).content.decode())


def laid(item: dict[str, Any]) -> list[object]:
    """Return how every band of an exercise is laid."""
    names = ("name", "strands", "slack_length_m", "post", "anchor_height_m", "distance_m")
    return [setup["band"] and [setup["band"][name] for name in names] for setup in item["setups"]]


@pytest.fixture
def both(people: ClubPeople) -> tuple[PlanVersion, PlanVersion]:
    """Return the sessions of today: Runa's with bands at posts, and Jon's with none."""
    runa = session_today(people, people.runa)
    jon = session_today(people, people.jon)
    jon = jon.plan.add_version(request=jon.request, document=without_bands(jon), by=people.owner)
    return runa, jon


def test_a_taken_post_changes_only_what_stands_at_it(
    people: ClubPeople, visit: Visit, both: tuple[PlanVersion, PlanVersion]
) -> None:
    """Runa's session is made again without the post, the rest of it as it was; Jon's is left alone; undo brings it
    back.
    """
    runa, jon = both
    post = next(band["post"] for band in bands_of(runa.document) if band["post"])
    named = {each.exercise for each in affected(runa.document, PostTaken(post=post), exercises=library())}
    client = visit("owner")
    happened(client, "taken", post=post)
    newest = runa.plan.newest
    assert newest is not None and newest.number == 2
    assert jon.plan.newest == jon
    assert all(band["post"] != post for band in bands_of(newest.document)), "it is not to be had"
    after = {item["exercise"]: item for item in newest.document["items"]}
    for item in runa.document["items"]:
        if item["exercise"] not in named:
            assert laid(after[item["exercise"]]) == laid(item), f"{item['title']} was not touched"
            assert after[item["exercise"]]["dose"] == item["dose"]
    (outcome,) = DayOutcome.objects.filter(event__day=timezone.localdate())
    assert outcome.changes == [each.words for each in differences(runa.document, newest.document)]
    page = shown(client)
    assert f"{post}: taken" in page
    assert all(words[:1].upper() + words[1:] in page for words in outcome.changes)
    assert "Make it again before it is done" not in page

    client.post(reverse("day_undo", args=[outcome.event_id]))
    back = runa.plan.newest
    assert back is not None and back.number == 3
    assert back.document == runa.document
    assert venue_document_on(people.venue, timezone.localdate()) == people.venue.document
    assert "Its session is as before" in shown(client)


def test_a_session_that_was_changed_since_stays(
    people: ClubPeople, visit: Visit, both: tuple[PlanVersion, PlanVersion]
) -> None:
    """Undo takes the post back and leaves alone what somebody has changed by hand after it."""
    runa, _ = both
    post = next(band["post"] for band in bands_of(runa.document) if band["post"])
    event = DayEvent.objects.create(club=people.club, day=timezone.localdate(), kind="taken", words="taken", post=post)
    after = runa.plan.add_version(request=runa.request, document=runa.document, by=people.owner)
    DayOutcome.objects.create(event=event, athlete=people.runa, before=runa, after=after)
    by_hand = runa.plan.add_version(request=runa.request, document=runa.document, by=people.colleague, why="by hand")
    page = visit("owner").post(reverse("day_undo", args=[event.pk]), follow=True).content.decode()
    assert "was changed since and stays as it is" in page
    assert runa.plan.newest == by_hand


def test_a_torn_band_goes_to_the_withdrawn_ones(
    people: ClubPeople, visit: Visit, both: tuple[PlanVersion, PlanVersion]
) -> None:
    """The last band of its name is out of use with day and reason, and Runa's session goes without it."""
    runa, jon = both
    name = bands_of(runa.document)[0]["name"]
    count = next(band.get("count", 1) for band in people.kit.document["bands"] if band["name"] == name)
    client = visit("assistant")
    happened(client, "torn", band=name, count=count, reason="a nick at the knot")
    (withdrawal,) = people.kit.withdrawals.all()
    assert (withdrawal.band, withdrawal.count, withdrawal.reason) == (name, count, "a nick at the knot")
    assert withdrawal.day == timezone.localdate()
    newest = runa.plan.newest
    assert newest is not None and newest != runa
    assert all(band["name"] != name for band in bands_of(newest.document))
    assert newest.made_by == people.assistant
    assert jon.plan.newest == jon
    event = DayEvent.objects.get(day=timezone.localdate())
    client.post(reverse("day_undo", args=[event.pk]))
    assert any(band.name == name for band in people.kit.kit().bands), "an assistant takes back what is their own"


def test_a_band_of_which_enough_remain_changes_no_session(people: ClubPeople, visit: Visit) -> None:
    """One of several tears: it is written down, every session stays as it is, and it says who uses what is left."""
    document = people.kit.document
    document["bands"] = [band | {"count": 6} for band in document["bands"]]
    people.kit.save_document(document, by=people.owner)
    version = session_today(people, people.runa)
    client = visit("owner")
    name = bands_of(version.document)[0]["name"]
    happened(client, "torn", band=name, count=1, reason="torn")
    assert version.plan.newest == version
    page = shown(client)
    assert f"1 sheet uses {name}, 5 left: enough for it (Runa Velde)." in page
    assert "made before the cupboard changed" not in page, "five left are as good as six to two hands"


@pytest.mark.parametrize(
    ("what", "given", "told"),
    [
        ("torn", {"band": "flat 24", "count": 99, "reason": "salt"}, "are not there"),
        ("torn", {"band": "rope", "count": 1, "reason": "salt"}, "rope"),
        ("torn", {"band": "flat 24", "count": 1, "reason": ""}, "errorlist"),
        ("taken", {"post": "lighthouse"}, "lighthouse"),
        ("sore", {"side": "left", "place": "shoulder top", "now": 4}, "errorlist"),
        ("sore", {"side": "left", "place": "knee", "now": 12}, "errorlist"),
    ],
)
def test_what_cannot_have_happened_is_refused(
    people: ClubPeople, visit: Visit, what: str, given: dict[str, Any], told: str
) -> None:
    """The form says what is wrong, stands open with what was typed, and nothing has happened."""
    response = happened(visit("owner"), what, **given)
    assert response.status_code == 422
    page = unescape(response.content.decode())
    assert "<details open>" in page and "errorlist" in page and told in page
    if given.get("reason"):
        assert 'value="salt"' in page
    assert not DayEvent.objects.filter(day=timezone.localdate()).exists()
    assert not people.kit.withdrawals.exists()


def test_what_nobody_knows_cannot_happen(people: ClubPeople, visit: Visit) -> None:
    """There is no such event; a GET makes nothing happen; the athlete of another club is no choice."""
    client = visit("owner")
    assert happened(client, "flood").status_code == 404
    assert client.get(reverse("day_happened", args=["torn"])).status_code == 405
    stranger = happened(visit("stranger"), "sore", athlete=people.runa.pk, side="left", place="shoulder top", now=4)
    assert stranger.status_code == 422


def test_a_sore_shoulder_is_written_down_and_lightens_that_side(
    people: ClubPeople, visit: Visit, both: tuple[PlanVersion, PlanVersion]
) -> None:
    """Pain now stands in the athlete's document with the usual level as it was; nobody else's session is touched;
    undo takes it back.
    """
    runa, jon = both
    before = people.runa.document["health"].get("pain")
    client = visit("owner")
    happened(client, "sore", athlete=people.runa.pk, side="left", place="shoulder top", now=7)
    people.runa.refresh_from_db()
    assert {"place": "shoulder top", "side": "left", "now": 7} in people.runa.document["health"]["pain"]
    version = people.runa.versions.last()
    assert version.why == "Runa Velde: left shoulder top, pain 7 of 10 now"
    newest = runa.plan.newest
    assert newest is not None and newest.number == 2
    for item in newest.document["items"]:
        assert "left" not in {arm for setup in item["setups"] for arm in setup["arms"]}, "pain of 7 stops that arm"
    assert jon.plan.newest == jon
    client.post(reverse("day_undo", args=[DayEvent.objects.get(day=timezone.localdate()).pk]))
    people.runa.refresh_from_db()
    assert people.runa.document["health"].get("pain") == before
    assert runa.plan.newest.document == runa.document


def test_only_its_maker_and_who_writes_undo_an_event(people: ClubPeople, visit: Visit) -> None:
    """An assistant cannot bring a band back that somebody else has taken out."""
    event = people.event
    assert visit("assistant").post(reverse("day_undo", args=[event.pk])).status_code == 403
    event.refresh_from_db()
    assert event.undone_at is None
    visit("colleague").post(reverse("day_undo", args=[event.pk]))
    event.refresh_from_db()
    assert event.undone_by == people.colleague


def test_an_erased_athlete_leaves_nothing_on_any_day(people: ClubPeople) -> None:
    """What was said of the shoulder, what it changed and what is waited for go with the person; other events stay."""
    version = session_today(people, people.runa)
    sore = DayEvent.objects.create(
        club=people.club, day=timezone.localdate(), kind="sore", words="Runa Velde: left", athlete=people.runa
    )
    for event in (sore, people.event):
        outcome = DayOutcome.objects.create(event=event, athlete=people.runa, before=version, after=version)
        Making.objects.create(
            athlete=people.runa,
            day=event.day,
            outcome=outcome,
            asked_by=people.owner,
            touched_at=timezone.now(),
        )
    erase_person(people.runa)
    assert list(DayEvent.objects.all()) == [people.event]
    assert not DayOutcome.objects.exists()
    assert not Making.objects.exists()
