"""Making a session, changing it by hand, looking at its versions, printing it: the journey of each request."""

from __future__ import annotations

import html
import io
import json
import re
from typing import Any

import pytest
from club_people import ClubPeople, demo_document
from conftest import Visit
from django.test import Client
from django.urls import reverse
from made_sessions import made_session
from pypdf import PdfReader

from firstpush.web.sessions.models import Plan, PlanVersion

WHOLE = {"kind": "before training", "minutes": "12", "on": "2026-03-02", "back_to_front": "2"}


def typed(people: ClubPeople, **other: Any) -> dict[str, Any]:
    """Return the form of a session as it is sent."""
    return WHOLE | {"kit": people.kit.pk, "venue": people.venue.pk} | other


def page(client: Client, name: str, **where: Any) -> str:
    """Return a page as it is read."""
    response = client.get(reverse(name, kwargs=where))
    assert response.status_code == 200, response.status_code
    return html.unescape(response.content.decode())


def change(client: Client, plan: Plan, **how: Any) -> Any:
    """Send one change by hand of the version that holds."""
    newest = plan.newest
    assert newest is not None
    sent = {"based_on": newest.number, **how}
    return client.post(reverse("change_plan", kwargs={"id_": plan.pk}), sent)


def ids(plan: Plan) -> list[str]:
    """Return the exercises of the version that holds."""
    newest = plan.newest
    assert newest is not None
    return [item["exercise"] for item in newest.document["items"]]


# Making


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
        assert item["reason"][1:] in shown
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


# Changing by hand


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


# Paper


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
