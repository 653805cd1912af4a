"""What a device fetches and sends: the page, its worker, packages, entries, the token; with a login or with a link."""

from __future__ import annotations

import gzip
import json
import re
import sys
from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest
from club_people import ClubPeople
from court_texts import OTHER_RUN, id_of, text
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from conftest import LOGIN_BACKEND, Visit
from firstpush.core.people.pain import FEELINGS, pain_answer
from firstpush.web.oncourt.links import make_link
from firstpush.web.oncourt.models import CourtEntry, CourtLink
from firstpush.web.oncourt.sender import SENDING_AFTER
from firstpush.web.oncourt.shell import FOLDER, STATIC, shell_files
from firstpush.web.sessions.models import PlanVersion

sys.path.insert(0, str(Path(__file__).parents[1] / "sessions"))
from made_sessions import made_session

ENTRIES = "/court/entries/"


@pytest.fixture
def version(people: ClubPeople) -> PlanVersion:
    """Return the version of Runa's session, kept without words."""
    found = people.plan.newest
    assert found is not None
    return found


@pytest.fixture
def link(people: ClubPeople) -> CourtLink:
    """Return a link to Runa's session that opens it today."""
    return make_link(people.plan, by=people.owner, holds="today")


def send(client: Client, *texts: str, **headers: str) -> Any:
    """Send entries as the page does."""
    body = json.dumps({"entries": texts})
    return client.post(ENTRIES, body, content_type="application/json", headers=headers)


# The page


def test_the_page_is_the_same_for_everybody(people: ClubPeople, visit: Visit) -> None:
    """Logged in or not, the same letters; drawings may come out of the device's own memory."""
    pages = {visit(who).get("/court/").content for who in ("owner", "athlete", "stranger", "anonymous")}
    assert len(pages) == 1
    response = visit("owner").get("/court/")
    assert "img-src 'self' blob:" in response["Content-Security-Policy"]
    assert "blob:" not in visit("owner").get("/athletes/")["Content-Security-Policy"]
    assert not response.cookies


def test_the_worker_names_every_file_of_the_page(people: ClubPeople, visit: Visit) -> None:
    """Its first line has the version and the files; each is there, and what page and modules name is listed."""
    response = visit("anonymous").get("/court/worker.js")
    assert response["Service-Worker-Allowed"] == "/court/"
    assert response["Cache-Control"] == "no-cache"
    first = response.content.decode().splitlines()[0]
    found = re.fullmatch(r'const VERSION = ("[^"]+"); const FILES = (\[.*\]);', first)
    assert found
    files = json.loads(found[2])
    assert files[0] == "/court/"
    assert len(set(files)) == len(files)
    assert all(path.is_file() for path in shell_files().values())
    page = visit("anonymous").get("/court/").content.decode()
    assert set(re.findall(r'"(/static/[^"]+)"', page)) <= set(files)
    for module in (STATIC / FOLDER).glob("*.js"):
        for name in re.findall(r'from "\./([^"]+)"', module.read_text(encoding="utf-8")):
            assert f"/static/{FOLDER}/{name}" in files, f"{module.name} needs {name}"


# Packages


def test_a_package_holds_what_the_session_says(people: ClubPeople, visit: Visit) -> None:
    """Words are those of the sheet, steps those of the time line, answers about pain those of core.

    A drill on its course says its one length beside the plan, as the sheet has it, and not a second time.
    """
    made = made_session(people, minutes=8)
    version = PlanVersion.objects.get(pk=made.first.pk)
    client = visit("assistant")
    (listed,) = client.get("/court/packages/").json()
    url = reverse("court_package", kwargs={"id_": version.plan_id, "number": version.number})
    response = client.get(url, headers={"accept-encoding": "gzip"})
    assert response["Cache-Control"] == "private, no-store"
    package = json.loads(gzip.decompress(response.content))
    assert {name: package[name] for name in ("plan", "version", "checksum")} == {
        name: listed[name] for name in ("plan", "version", "checksum")
    }
    assert listed["athlete"] == package["athlete"]["name"] == "Runa Velde"
    words = version.document["sheets"]["athlete"]
    assert [item["exercise"] for item in package["items"]] == made.ids
    for item, row, kept in zip(package["items"], words["items"], version.document["items"], strict=True):
        planned = item["variants"]["planned"]
        assert (planned["title"], planned["dose_large"], planned["cue"]) == (
            row["title"],
            row["dose_large"],
            row["cue"],
        )
        laid = planned.get("course", {"facts": []})["facts"][:1]
        assert planned["facts"] == [
            fact for fact in row["facts"] if fact["label"] not in {each["label"] for each in laid}
        ]
        assert planned["figure"].startswith("<svg")
        assert sum(step["seconds"] for step in planned["steps"]) >= kept["end_s"] - kept["start_s"]
        sets = [step for step in planned["steps"] if step["kind"] == "set"]
        assert len(sets) == kept["dose"]["sets"] * (
            1 if {step["side"] for step in sets} == {None} else len(kept["sides"])
        )
        for name, variant in item["variants"].items():
            assert bool(variant["change"]) == (name != "planned")
            assert {step["kind"] for step in variant["steps"]} >= {"set"}
    athlete = people.runa.athlete()
    pain = package["pain"]
    known = {"": None} | {
        " ".join(filter(None, (each.side, each.place))): each.usual for each in athlete.health.pain or ()
    }
    assert set(pain["tables"]) == set(known)
    for place, usual in known.items():
        for feeling in FEELINGS:
            for before, level in ((0, 0), (0, 2), (1, 2), (2, 1), (0, 5), (3, 6)):
                answer = pain_answer(
                    level, feeling=feeling, usual=usual, limit=athlete.health.pain_limit, before=before
                )
                told = pain["answers"][pain["tables"][place][feeling][before][level]]
                assert told == [answer.outcome, answer.because]
    assert "N·m" not in json.dumps(package["items"][0]["variants"]["planned"]["facts"], ensure_ascii=False)
    for who, status in (("athlete", 200), ("owner", 200), ("stranger", 404), ("anonymous", 401)):
        assert visit(who).get(url).status_code == status, who
    people.runa.save_document(people.runa.document | {"mass_kg": 60.0}, by=people.owner)
    (changed,) = client.get("/court/packages/").json()
    assert changed["checksum"] != listed["checksum"], "what is known of the athlete is in it"


# Entries


def test_entries_come_in_with_a_login_and_its_token(version: PlanVersion, people: ClubPeople) -> None:
    """Without the token another site could send them; with a fresh one they are kept."""
    client = Client(enforce_csrf_checks=True)
    client.force_login(people.assistant, backend=LOGIN_BACKEND)
    refused = send(client, text(version))
    assert refused.status_code == 403
    assert "token" in refused.json()["why"]
    assert not CourtEntry.objects.exists()
    fresh = client.get("/court/token/").json()
    assert fresh["who"] == "assistant"
    answer = send(client, text(version), "rubbish", **{"X-CSRFToken": fresh["token"]})
    assert answer.json()["kept"] == [id_of(text(version))]
    assert answer.json()["conflicts"] == []
    assert [each["id"] for each in answer.json()["refused"]] == [None]
    assert answer["Cache-Control"] == "private, no-store"


def test_without_a_login_nothing_is_said_and_nothing_lost(version: PlanVersion, visit: Visit) -> None:
    """401 as JSON, which the page can tell from a page to log in."""
    for response in (send(visit("anonymous"), text(version)), visit("anonymous").get("/court/token/")):
        assert response.status_code == 401
        assert "stays on this device" in response.json()["why"]


@pytest.mark.parametrize("body", ["", "[]", "7", '{"entries": 3}', '{"entries": [3]}', "[" * 100_000])
def test_what_is_no_list_is_told_what_would_be_one(body: str, people: ClubPeople, visit: Visit) -> None:
    """One sentence, and 400."""
    response = visit("owner").post(ENTRIES, body, content_type="application/json")
    assert response.status_code == 400
    assert '{"entries": [text, ...]} with at most 200' in response.json()["why"]


def test_at_most_200_at_once(version: PlanVersion, visit: Visit) -> None:
    """200 are kept, 201 are told to come in smaller lots."""
    lot = [text(version, number) for number in range(1, 202)]
    assert send(visit("owner"), *lot).status_code == 400
    assert len(send(visit("owner"), *lot[:200]).json()["kept"]) == 200


# Links


def test_a_link_opens_its_session_and_nothing_else(
    link: CourtLink, version: PlanVersion, people: ClubPeople, visit: Visit
) -> None:
    """Entries of its session are kept, those of a team mate refused; it is no login for any other page."""
    of_jon = people.plan_of_jon.newest
    assert of_jon is not None
    client = Client(enforce_csrf_checks=True)
    answer = send(client, text(version), text(of_jon, run=OTHER_RUN), **{"X-Court-Link": link.pk.hex})
    assert answer.json()["kept"] == [id_of(text(version))]
    assert [each["id"] for each in answer.json()["refused"]] == [id_of(text(of_jon, run=OTHER_RUN))]
    row = CourtEntry.objects.get()
    assert (row.link, row.account) == (link, None)
    other = reverse("court_package", kwargs={"id_": people.plan_of_jon.pk, "number": 1})
    assert client.get(other, headers={"X-Court-Link": link.pk.hex}).status_code == 404
    assert client.get("/athletes/", headers={"X-Court-Link": link.pk.hex}).status_code == 302
    assert client.get("/court/packages/", headers={"X-Court-Link": link.pk.hex}).status_code == 200


def test_a_link_that_ran_out_opens_nothing_and_takes_entries_for_two_weeks(
    link: CourtLink, version: PlanVersion
) -> None:
    """What was logged with it still comes home; after that, and once withdrawn, nothing does."""
    client, header = Client(), {"X-Court-Link": link.pk.hex}
    now = timezone.now()
    for over, opens, takes in (
        (-timedelta(minutes=1), 200, 200),
        (timedelta(minutes=1), 410, 200),
        (SENDING_AFTER + timedelta(minutes=1), 410, 401),
    ):
        CourtLink.objects.filter(pk=link.pk).update(expires_at=now - over)
        assert client.get("/court/packages/", headers=header).status_code == opens
        assert send(client, text(version), **header).status_code == takes
    CourtLink.objects.filter(pk=link.pk).update(expires_at=now + timedelta(days=1), withdrawn_at=now)
    assert client.get("/court/packages/", headers=header).status_code == 410
    assert send(client, text(version, 2), **header).status_code == 401


@pytest.mark.parametrize("secret", ["", "x", "0" * 32, "' OR 1=1"])
def test_a_guessed_link_opens_nothing(secret: str, link: CourtLink) -> None:
    """It is told the same as one that ran out."""
    response = Client().get("/court/packages/", headers={"X-Court-Link": secret})
    assert response.status_code == 410


def test_who_writes_makes_and_withdraws_links(people: ClubPeople, visit: Visit) -> None:
    """Until midnight or for seven days, by the club's clock; anything else is told what is allowed."""
    make = reverse("make_court_link", kwargs={"id_": people.plan.pk})
    for who, status in (("assistant", 403), ("athlete", 403), ("stranger", 404)):
        assert visit(who).post(make, {"holds": "today"}).status_code == status
    assert visit("colleague").get(make).status_code == 405
    visit("colleague").post(make, {"holds": "for ever"})
    assert not people.plan.court_links.exists()
    for holds, days in (("today", 1), ("week", 7)):
        visit("colleague").post(make, {"holds": holds})
        ends = timezone.localtime(people.plan.court_links.last().expires_at)
        assert (ends.hour, ends.minute) == (0, 0)
        assert (ends.date() - timezone.localdate()).days == days
    first = people.plan.court_links.first()
    url = reverse("withdraw_court_link", kwargs={"id_": people.plan.pk, "link": first.pk})
    assert visit("stranger").post(url).status_code == 404
    assert visit("colleague").post(url).status_code == 302
    first.refresh_from_db()
    assert not first.opens
    wrong = reverse("withdraw_court_link", kwargs={"id_": people.plan_of_jon.pk, "link": first.pk})
    assert visit("colleague").post(wrong).status_code == 404


def test_the_session_page_says_whether_a_phone_can_reach_it(people: ClubPeople, visit: Visit, settings: Any) -> None:
    """On this computer alone it offers the file and shows no code; under a name it shows one, on the paper too."""
    import io

    from pypdf import PdfReader

    made = made_session(people, minutes=8)
    make_link(made.plan, by=people.owner, holds="week")
    url = reverse("plan", kwargs={"id_": made.plan.pk})
    sheet = reverse("session_sheet", kwargs={"id_": made.plan.pk, "number": 1, "which": "athlete"})
    page = visit("owner").get(url).content.decode()
    assert f'href="/court/#plan={made.plan.pk}"' in page
    assert "A phone cannot reach this computer" in page
    assert 'class="qr"' not in page
    plain = PdfReader(io.BytesIO(visit("owner").get(sheet).content))
    settings.COURT_ADDRESS = "https://harbour.example"
    page = visit("owner").get(url).content.decode()
    secret = made.plan.court_links.get().pk.hex
    assert f"https://harbour.example/court/#{secret}" in page
    assert 'class="qr"' in page
    assert secret not in visit("assistant").get(url).content.decode()
    assert secret not in visit("athlete").get(url).content.decode()
    coded = PdfReader(io.BytesIO(visit("owner").get(sheet).content))
    said = " ".join(coded.pages[-1].extract_text().split())
    assert "This code opens the session on a phone until" in said
    assert len(coded.pages) == len(plain.pages)
    assert "This code" not in " ".join(page.extract_text() for page in plain.pages)
