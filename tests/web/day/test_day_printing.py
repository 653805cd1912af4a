"""Everything of a day on paper: one document with all sheets, one with all cards."""

from __future__ import annotations

import io

from club_people import ClubPeople
from day_sessions import Visit, only_some, session_today
from django.urls import reverse
from pypdf import PdfReader


def test_all_sheets_and_cards_are_one_document_each(people: ClubPeople, visit: Visit) -> None:
    """Sheets of both athletes, in the order of their names; a card for each exercise with the own name at its foot."""
    sessions = []
    for record in (people.runa, people.jon):
        whole = session_today(people, record)
        # Two exercises each: drawing takes its time.
        short = only_some(whole, lambda at, _: at < 2)
        sessions.append(whole.plan.add_version(request=whole.request, document=short, by=people.owner))
    client = visit("assistant")
    response = client.get(reverse("day_print", args=["athletes"]))
    assert response.headers["Content-Type"] == "application/pdf"
    pages = [page.extract_text() for page in PdfReader(io.BytesIO(response.content)).pages]
    jon, runa = ([at for at, text in enumerate(pages) if name in text] for name in ("Jon Brage", "Runa Velde"))
    assert jon and runa and max(jon) < min(runa)
    cards = PdfReader(io.BytesIO(client.get(reverse("day_print", args=["cards"])).content)).pages
    assert len(cards) == sum(len(version.document["items"]) for version in sessions)
    assert "Jon Brage" in cards[0].extract_text()
    assert "Runa Velde" in cards[-1].extract_text()
    assert "Jon Brage" not in cards[-1].extract_text()


def test_only_what_is_ready_is_printed(people: ClubPeople, visit: Visit) -> None:
    """A sheet that is out of date stays out; with none that is ready the day says so."""
    session_today(people, people.runa)
    people.runa.save_document(people.runa.document | {"mass_kg": 61.0}, by=people.owner)
    client = visit("owner")
    response = client.get(reverse("day_print", args=["athletes"]), follow=True)
    assert "no sheet was given to print" in response.content.decode()
    assert client.get(reverse("day_print", args=["posters"])).status_code == 404
    assert client.post(reverse("day_print", args=["athletes"])).status_code == 405
