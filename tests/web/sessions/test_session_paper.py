"""Printing a session, its drawings and its calendar, and who may read them."""

from __future__ import annotations

import io
import re
from typing import Any

import pytest
from club_people import ClubPeople, demo_document
from django.test import Client
from django.urls import reverse
from made_sessions import made_session
from pypdf import PdfReader
from session_pages import change, page, typed

from conftest import Visit
from firstpush.web.sessions.models import Plan


def text_of(response: Any) -> str:
    """Return the words of a PDF."""
    reader = PdfReader(io.BytesIO(response.content))
    return " ".join(page.extract_text() for page in reader.pages)


def printed(client: Client, made_plan: Plan, name: str, which: str, number: int = 1) -> Any:
    """Ask for a sheet or for cards."""
    return client.get(reverse(name, kwargs={"id_": made_plan.pk, "number": number, "which": which}))


def test_sheets_and_cards_are_printed_without_a_name_in_the_file_name(people: ClubPeople, visit: Visit) -> None:
    """The athlete's paper has no N·m, the practitioner's has; the file name tells the shirt's number at most."""
    made = made_session(people, minutes=8)
    client = visit("assistant")
    for name in ("session_sheet", "session_cards"):
        mine = printed(client, made.plan, name, "athlete")
        theirs = printed(client, made.plan, name, "practitioner")
        for response in (mine, theirs):
            assert response.status_code == 200
            assert response.content.startswith(b"%PDF-")
            named = response["Content-Disposition"]
            assert "number-7" in named
            assert "runa" not in named.casefold() and "velde" not in named.casefold()
        assert "N·m" not in text_of(mine)
        title = made.first.document["items"][0]["title"].split()[0]
        assert title in text_of(mine)
        assert title in text_of(theirs)
    assert "N·m" in text_of(printed(client, made.plan, "session_sheet", "practitioner"))
    assert printed(client, made.plan, "session_sheet", "coach").status_code == 404
    assert printed(client, made.plan, "session_sheet", "athlete", number=9).status_code == 404


def test_an_old_version_prints_as_it_was(people: ClubPeople, visit: Visit) -> None:
    """After a change and after the athlete changed, the first version still prints byte for byte the same."""
    made = made_session(people, minutes=8)
    client = visit("owner")
    before = printed(client, made.plan, "session_sheet", "both").content
    change(client, made.plan, change="leave out", exercise=made.ids[-1])
    people.runa.save_document(demo_document("athlete") | {"mass_kg": 80.0}, by=people.owner)
    assert printed(client, made.plan, "session_sheet", "both").content == before
    for number in (1, 2):
        paper = text_of(printed(client, made.plan, "session_sheet", "athlete", number=number))
        assert f"session {made.plan.number}, version {number} " in paper, "the two papers can be told apart"


def test_an_athlete_reads_the_own_sheet_and_nothing_more(people: ClubPeople, visit: Visit) -> None:
    """No N·m, no reasons, no way to change it; own paper only; a team mate's session is not there."""
    made = made_session(people)
    client = visit("athlete")
    shown = page(client, "plan", id_=made.plan.pk)
    assert made.first.document["items"][0]["title"] in shown
    assert "N·m" not in shown and "Why this one" not in shown and "Change" not in shown and "Undo" not in shown
    assert printed(client, made.plan, "session_sheet", "athlete").status_code == 200
    for which in ("practitioner", "both"):
        assert printed(client, made.plan, "session_sheet", which).status_code == 403
    for name in ("plan_versions", "make_again"):
        assert client.get(reverse(name, kwargs={"id_": made.plan.pk})).status_code == 403
    assert change(client, made.plan, change="leave out", exercise=made.ids[0]).status_code == 403
    version = reverse("plan_version", kwargs={"id_": people.plan_of_jon.pk, "number": 1})
    assert client.get(version).status_code == 404


def test_an_assistant_opens_and_prints_and_changes_nothing(people: ClubPeople, visit: Visit) -> None:
    """Read-only is 403 at everything that would change it, and no button offers it."""
    made = made_session(people)
    client = visit("assistant")
    assert "Change by hand" not in page(client, "plan", id_=made.plan.pk)
    item = {"id_": made.plan.pk, "slug": made.ids[0]}
    assert client.get(reverse("plan_item", kwargs=item)).status_code == 403
    assert change(client, made.plan, change="leave out", exercise=made.ids[0]).status_code == 403
    assert client.post(reverse("back_to", kwargs={"id_": made.plan.pk, "number": 1})).status_code == 403
    assert client.get(reverse("make_session", kwargs={"id_": people.runa.pk})).status_code == 403
    assert made.plan.versions.count() == 1


def test_the_drawing_of_an_exercise_is_an_image_of_its_own(people: ClubPeople, visit: Visit) -> None:
    """SVG, the same again, and told as not changed to who has it; for others it is not there."""
    made = made_session(people, minutes=8)
    where = {"id_": made.plan.pk, "number": 1, "slug": made.ids[0]}
    url = reverse("session_figure", kwargs=where)
    client = visit("athlete")
    first = client.get(url)
    assert first.status_code == 200
    assert first["Content-Type"] == "image/svg+xml"
    assert first.content.startswith(b"<svg")
    assert client.get(url).content == first.content
    assert client.get(url, headers={"if-none-match": first["ETag"]}).status_code == 304
    assert visit("stranger").get(url).status_code == 404
    assert client.get(reverse("session_figure", kwargs=where | {"slug": "no-such"})).status_code == 404


def test_no_drawing_is_shown_that_the_words_do_not_tell(
    people: ClubPeople, visit: Visit, monkeypatch: pytest.MonkeyPatch
) -> None:
    """When a newer program sets it up otherwise, the words stay and the drawing is not there."""
    from firstpush.web.sessions import drawings

    made = made_session(people, minutes=8)
    told = drawings._place
    monkeypatch.setattr(drawings, "drawing_key", lambda *_: "0" * 64)
    monkeypatch.setattr(drawings, "_place", lambda setup: told(setup) | {"frames": len(setup)})
    monkeypatch.setattr(drawings, "setup_document", lambda setup: {"side": setup.side})
    url = reverse("session_figure", kwargs={"id_": made.plan.pk, "number": 1, "slug": made.ids[0]})
    assert visit("owner").get(url).status_code == 404


def test_a_session_goes_into_a_calendar(people: ClubPeople, visit: Visit) -> None:
    """On its day at the time asked, as long as it takes, where it is; the entry keeps its id over versions."""
    made = made_session(people, minutes=8)
    client = visit("athlete")
    url = reverse("session_calendar", kwargs={"id_": made.plan.pk, "number": 1})
    found = client.get(url, {"at": "17:30"}).content.decode()
    assert "DTSTART:20260302T173000" in found
    assert "DURATION:PT8M" in found
    assert f"LOCATION:{people.venue.name}" in found
    assert "Runa" not in found
    visit("owner").post(reverse("back_to", kwargs={"id_": made.plan.pk, "number": 1}))
    other = reverse("session_calendar", kwargs={"id_": made.plan.pk, "number": 2})
    uid = re.compile(r"UID:\S+")
    assert uid.findall(client.get(other).content.decode()) == uid.findall(found)
    assert "T180000" in client.get(url, {"at": "late"}).content.decode()


def test_while_it_is_made_only_its_own_page_is_told(people: ClubPeople, visit: Visit) -> None:
    """The word of a page is good for the account that sent it; for others nothing is being made."""
    from firstpush.web.sessions import progress

    progress.tell("abc", people.owner.pk, "choosing")
    url = reverse("making", kwargs={"token": "abc"})
    assert visit("owner").get(url).json() == {"stage": "choosing"}
    assert visit("colleague").get(url).json() == {"stage": None}
    progress.end("abc")
    assert visit("owner").get(url).json() == {"stage": None}


def test_a_version_without_words_is_shown_and_can_be_made_again(people: ClubPeople, visit: Visit) -> None:
    """Kept by another program: the list of its exercises, and one button."""
    client = visit("owner")
    shown = page(client, "plan", id_=people.plan.pk)
    assert "Seated row" in shown and "Make it again" in shown
    assert printed(client, people.plan, "session_sheet", "athlete").status_code == 404
    url = reverse("make_again", kwargs={"id_": people.plan.pk})
    assert client.get(url).status_code == 200
    assert client.post(url, typed(people)).status_code == 302
    assert people.plan.versions.count() == 2
    assert "Undo: back to version 1" in page(client, "plan", id_=people.plan.pk)


@pytest.mark.parametrize(
    ("name", "method"),
    [("change_plan", "get"), ("plan_versions", "post"), ("plan", "post"), ("ask_again", "get")],
)
def test_a_wrong_method_is_refused(name: str, method: str, people: ClubPeople, visit: Visit) -> None:
    """405."""
    which = people.runa.pk if name == "ask_again" else people.plan.pk
    response = getattr(visit("owner"), method)(reverse(name, kwargs={"id_": which}))
    assert response.status_code == 405
