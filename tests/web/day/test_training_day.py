"""The training day: who is here, what holds for everybody, and a sheet for each."""

from __future__ import annotations

from datetime import timedelta
from html import unescape

import pytest
from club_people import ClubPeople
from day_sessions import MINUTES, Visit, session_today, undrawn  # noqa: F401
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from firstpush.web.errors import WebError
from firstpush.web.kit.models import KitRecord
from firstpush.web.sessions import day_jobs
from firstpush.web.sessions.models import DayPlan, Making, PlanVersion, Presence

CHOSEN = {"day-minutes": "9", "day-kind": "strength"}


def page(client: Client, day: str = "") -> str:
    """Return the page of a day as it is read."""
    response = client.get(reverse("training_day"), {"day": day} if day else {})
    assert response.status_code == 200
    return unescape(response.content.decode())


def chosen(people: ClubPeople, **other: object) -> dict[str, object]:
    """Return what is posted to choose for the day."""
    return {"day-venue": people.venue.pk, "day-kit": people.kit.pk, **CHOSEN, **other}


def test_everybody_is_said_to_be_here_in_one_tap(people: ClubPeople, visit: Visit) -> None:
    """Those of whom something was said stay as they are; everybody else is here."""
    client, today = visit("assistant"), timezone.localdate()
    client.post(reverse("day_presence_of", args=[people.jon.pk]), {"status": "absent"})
    client.post(reverse("day_presence"))
    said = {each.athlete.name: each.status for each in Presence.objects.filter(day=today)}
    assert said == {"Runa Velde": "present", "Jon Brage": "absent"}
    shown = page(client)
    runa, jon = (shown.index(f'id="athlete-{each.pk}"') for each in (people.runa, people.jon))
    assert runa < shown.index("<h2>Not here</h2>") < jon


@pytest.mark.parametrize("status", ["present", "absent", "guest"])
def test_whoever_comes_is_said_once(people: ClubPeople, visit: Visit, status: str) -> None:
    """The last word counts, and there is one for each day."""
    client = visit("colleague")
    for each in ("present", "absent", status):
        response = client.post(reverse("day_presence_of", args=[people.runa.pk]), {"status": each})
        assert response.url == f"/#athlete-{people.runa.pk}"
    (said,) = Presence.objects.filter(day=timezone.localdate())
    assert said.status == status


def test_what_is_no_presence_and_no_day_is_refused(people: ClubPeople, visit: Visit) -> None:
    """A word that is none, a day that is none: 404, and nothing is stored."""
    client = visit("owner")
    url = reverse("day_presence_of", args=[people.runa.pk])
    assert client.post(url, {"status": "late"}).status_code == 404
    assert client.post(url, {"status": "present", "day": "2026-02-30"}).status_code == 404
    assert client.get(url).status_code == 405
    assert client.get(reverse("training_day"), {"day": "soon"}).status_code == 404
    assert not Presence.objects.filter(day=timezone.localdate()).exists()


def test_another_day_has_its_own_people(people: ClubPeople, visit: Visit) -> None:
    """On the second of March Runa was there, with a remark; today nobody has said anything."""
    client = visit("owner")
    assert "late bus" in page(client, "2026-03-02")
    assert "late bus" not in page(client)
    client.post(reverse("day_presence_of", args=[people.jon.pk]), {"status": "guest", "day": "2026-03-02"})
    assert Presence.objects.get(athlete=people.jon).day.isoformat() == "2026-03-02"


def test_what_holds_for_everybody_is_chosen_once(people: ClubPeople, visit: Visit) -> None:
    """It is stored for the day, and the next day begins with it, not yet stored."""
    client = visit("colleague")
    assert "18 <" in page(client), "eighteen minutes are usual before anything was chosen"
    client.post(reverse("day_settings"), chosen(people))
    plan = DayPlan.objects.get()
    assert (plan.minutes, plan.kind, plan.kit, plan.venue) == (9, "strength", people.kit, people.venue)
    tomorrow = timezone.localdate() + timedelta(days=1)
    shown = page(client, tomorrow.isoformat())
    assert "9 <" in shown and "strength" in shown
    assert DayPlan.objects.count() == 1


def test_a_wrong_choice_keeps_what_was_typed(people: ClubPeople, visit: Visit) -> None:
    """Too many minutes, and a cupboard of another club: the page says so, open at the form, and stores nothing."""
    foreign = KitRecord(club=people.stranger.membership.club)
    foreign.save_document(people.kit.document, by=people.stranger)
    client = visit("owner")
    for wrong in ({"day-minutes": "500"}, {"day-kit": foreign.pk}, {"day-kind": "home"}):
        response = client.post(reverse("day_settings"), chosen(people, **wrong))
        assert response.status_code == 422, wrong
        shown = response.content.decode()
        assert "<details open>" in shown
        assert "errorlist" in shown
        if "day-minutes" in wrong:
            assert 'value="500"' in shown
    assert not DayPlan.objects.exists()


def test_one_button_makes_the_session_of_the_day(people: ClubPeople, visit: Visit) -> None:
    """It is made as chosen for everybody, stands on the page with its time and its drawings, and is ready to print."""
    client = visit("owner")
    client.post(reverse("day_settings"), chosen(people, **{"day-kind": "before training"}))
    client.post(reverse("day_presence_of", args=[people.runa.pk]), {"status": "present"})
    assert "Make the session" in page(client)
    client.post(reverse("day_make_one", args=[people.runa.pk]))
    version = PlanVersion.objects.filter(plan__athlete=people.runa).latest("pk")
    assert version.request["date"] == timezone.localdate().isoformat()
    assert version.request["minutes"] == 9
    assert (version.request["kit_id"], version.request["venue_id"]) == (people.kit.pk, people.venue.pk)
    assert version.made_by == people.owner
    shown = page(client)
    total = version.document["total_s"]
    assert f"{total // 60}:{total % 60:02}" in shown
    assert "Print the sheet" in shown
    assert "Make the session" not in shown
    for place in range(1, len(version.document["items"]) + 1):
        url = reverse("day_figure", args=[version.plan_id, version.number, place])
        assert url in shown
    drawn = client.get(reverse("day_figure", args=[version.plan_id, version.number, 1]))
    assert drawn.headers["Content-Type"] == "image/svg+xml"
    assert b"<svg" in drawn.content
    assert client.get(reverse("day_figure", args=[version.plan_id, version.number, 99])).status_code == 404


@pytest.mark.usefixtures("undrawn")
def test_all_that_are_missing_are_made_and_no_other(
    people: ClubPeople, visit: Visit, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Runa has a sheet, Jon has none: only Jon's is made; what cannot be made says why, and can be asked again."""
    client = visit("owner")
    client.post(reverse("day_settings"), chosen(people))
    session_today(people, people.runa)
    client.post(reverse("day_presence_of", args=[people.jon.pk]), {"status": "present"})

    def refused(*_: object, **__: object) -> None:
        raise WebError("the pier is under water")

    monkeypatch.setattr(day_jobs, "make_session", refused)
    client.post(reverse("day_make"))
    shown = page(client)
    assert "the pier is under water" in shown
    assert "Make again" in shown
    assert Making.objects.get().athlete == people.jon
    monkeypatch.undo()
    monkeypatch.setattr(day_jobs, "_draw", lambda version, draw: None)
    client.post(reverse("day_make"))
    assert not Making.objects.exists()
    assert people.jon.plans.last().newest.request["date"] == timezone.localdate().isoformat()
    assert people.runa.plans.last().versions.count() == 1


def test_a_fault_of_the_program_stops_nobody_else(
    people: ClubPeople, visit: Visit, monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture
) -> None:
    """The one whose session breaks is told, the next is asked all the same, and the terminal has the reason."""
    client, asked = visit("owner"), []

    def broken(record: object, *_: object, **__: object) -> None:
        asked.append(record)
        raise ZeroDivisionError("a band of no length")

    monkeypatch.setattr(day_jobs, "make_session", broken)
    client.post(reverse("day_presence"))
    client.post(reverse("day_make"))
    assert asked == [people.jon, people.runa]
    assert page(client).count("the terminal says why") == 2
    assert "a band of no length" in caplog.text


def test_when_nothing_fits_it_says_so_and_offers_no_sheet(people: ClubPeople, visit: Visit) -> None:
    """One minute is no session."""
    client = visit("owner")
    client.post(reverse("day_settings"), chosen(people, **{"day-minutes": "1"}))
    client.post(reverse("day_presence_of", args=[people.runa.pk]), {"status": "present"})
    client.post(reverse("day_make_one", args=[people.runa.pk]))
    shown = page(client)
    assert "No session for today could be made" in shown
    assert "Print" not in shown
    assert people.runa.plans.count() == 1, "the session of the spring alone"


def test_what_no_longer_holds_is_said_and_made_again(people: ClubPeople, visit: Visit) -> None:
    """After another choice for everybody a sheet is out of date; one made otherwise by hand afterwards is not."""
    client = visit("owner")
    client.post(
        reverse("day_settings"), chosen(people, **{"day-minutes": f"{MINUTES:g}", "day-kind": "before training"})
    )
    session_today(people, people.runa)
    assert "it was made" not in page(client)
    client.post(reverse("day_settings"), chosen(people))
    shown = page(client)
    assert f"it was made for {MINUTES:g} minutes" in shown
    assert "it was made as a session before training" in shown
    assert "Make the one missing" in shown and "Print" not in shown
    session_today(people, people.runa)
    assert "it was made" not in page(client), "made for other minutes after the choice: that was meant"


def test_a_changed_athlete_needs_a_new_sheet(people: ClubPeople, visit: Visit) -> None:
    """What was measured since the session was made is not in it."""
    client = visit("owner")
    session_today(people, people.runa)
    people.runa.save_document(people.runa.document | {"mass_kg": 61.0}, by=people.owner)
    assert "Runa Velde’s page was changed since" in page(client)


def test_the_gravest_notices_come_first(people: ClubPeople, visit: Visit) -> None:
    """A stop stands before a caution, a caution before a note, and the rest is counted."""
    version = session_today(people, people.runa)
    levels = ("note", "caution", "note", "stop")
    notices = [
        {"id": f"n-{number}", "level": level, "what": f"thing {number}", "do": "Look", "about": ""}
        for number, level in enumerate(levels)
    ]
    document = version.document
    document["sheets"]["practitioner"]["notices"] = notices
    for item in document["sheets"]["practitioner"]["items"]:
        item["notices"] = []
    version.plan.add_version(request=version.request, document=document, by=people.owner)
    shown = page(visit("owner"))
    assert shown.index("Thing 3") < shown.index("Thing 1")
    assert "Thing 0" not in shown
    assert "Session and 2 more notices" in shown


def test_while_sessions_are_made_the_page_asks_for_news(people: ClubPeople, visit: Visit) -> None:
    """With script only the moving part is asked for, without script the page comes again; then it is quiet."""
    client = visit("owner")
    client.post(reverse("day_presence_of", args=[people.runa.pk]), {"status": "present"})
    making = Making.objects.create(
        athlete=people.runa,
        day=timezone.localdate(),
        stage="choosing",
        asked_by=people.owner,
        touched_at=timezone.now(),
    )
    shown = page(client)
    assert 'http-equiv="refresh"' in shown and "hx-get" in shown
    assert "Choosing, ordering and timing" in shown
    news = client.get(reverse("training_day"), headers={"HX-Request": "true", "HX-Target": "the-day"}).content.decode()
    assert "<html" not in news and "Choosing, ordering and timing" in news
    making.touched_at = timezone.now() - timedelta(minutes=10)
    making.save()
    shown = page(client)
    assert "It was interrupted" in shown and 'http-equiv="refresh"' not in shown


def test_the_assistant_reads_and_the_athlete_has_the_own_sheets(people: ClubPeople, visit: Visit) -> None:
    """An assistant is offered no button that would be refused; an athlete is sent to the own sheets."""
    session_today(people, people.runa)
    shown = page(visit("assistant"))
    assert "day/settings" not in shown and "day/make" not in shown
    assert "day/happened/torn" in shown
    assert visit("athlete").get(reverse("training_day")).url == reverse("own_sheets")
    assert "Runa" not in page(visit("stranger"))
