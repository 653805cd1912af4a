"""Several sheets of one day: what clashes, who starts when so that it does not, and what a torn band leaves."""

from __future__ import annotations

import re
from html import unescape
from io import BytesIO
from typing import Any

import pytest
from club_people import ClubPeople
from day_sessions import Visit, bands_of, session_today, undrawn  # noqa: F401
from django.test import Client
from django.urls import reverse
from django.utils import timezone
from pypdf import PdfReader

from firstpush.web.sessions.models import Plan, PlanVersion, Presence

pytestmark = pytest.mark.usefixtures("undrawn")


def shown(client: Client) -> str:
    """Return the page of today as it is read."""
    return unescape(client.get(reverse("training_day")).content.decode())


def section(page: str, id_: str) -> str:
    """Return a section of a page by its id, as words."""
    found = re.search(rf'<section[^>]*id="{id_}".*?</section>', page, re.S)
    return "" if found is None else " ".join(re.sub("<[^>]+>", " ", found.group()).split())


def same_sheet(people: ClubPeople, version: PlanVersion) -> PlanVersion:
    """Give Jon the session that Runa has: whatever she holds he holds at the same time."""
    inputs = version.request["inputs"] | {"athlete": people.jon.document}
    Presence.objects.create(club=people.club, day=timezone.localdate(), athlete=people.jon, status="present")
    return Plan.of(people.jon).add_version(
        request=version.request | {"inputs": inputs}, document=version.document, by=people.owner
    )


def stock(people: ClubPeople, *, bands: int, places: int, chocks: int = 8) -> None:
    """Let there be so many of each band, places at each post, and enough of all else for two."""
    kit, venue = people.kit.document, people.venue.document
    kit["bands"] = [band | {"count": bands} for band in kit["bands"]]
    kit["blocking"] = {"chocks": chocks, "chock_height_m": 0.08}
    venue["posts"] = [post | {"places": places} for post in venue["posts"]]
    people.kit.save_document(kit, by=people.owner)
    people.venue.save_document(venue, by=people.owner)


def at_post(version: PlanVersion) -> list[dict[str, Any]]:
    """Return the exercises of a session that stand at a post."""
    return [
        item
        for item in version.document["items"]
        if any(setup["band"] and setup["band"]["post"] for setup in item["setups"])
    ]


def meet(items: list[dict[str, Any]], minutes: int) -> bool:
    """Say second by second whether two with these exercises, one `minutes` later, want one post at the same time."""

    def held(second: int) -> set[str]:
        here = [item for item in items if item["start_s"] <= second < item["end_s"]]
        return {setup["band"]["post"] for item in here for setup in item["setups"]}

    return any(held(second) & held(second - 60 * minutes) for second in range(2400))


@pytest.fixture
def two(people: ClubPeople) -> tuple[PlanVersion, PlanVersion]:
    """Return the same session for two, with one place at each post and all else for both."""
    stock(people, bands=4, places=1)
    runa = session_today(people, people.runa)
    assert at_post(runa), "the test needs an exercise at a post"
    return runa, same_sheet(people, runa)


def test_one_sheet_has_nothing_to_clash_with(people: ClubPeople, visit: Visit) -> None:
    """The section begins with the second sheet."""
    session_today(people, people.runa)
    assert 'id="together"' not in shown(visit("owner"))


def test_where_there_is_enough_it_says_so_in_one_line(people: ClubPeople, visit: Visit) -> None:
    """Two places, four bands, eight chocks: two with the same sheet get along."""
    stock(people, bands=4, places=2)
    same_sheet(people, session_today(people, people.runa))
    words = section(shown(visit("owner")), "together")
    assert "2 sheets, nothing clashes" in words
    assert "1 place" not in words and "Start them so" not in words


def test_two_at_one_place_clash_until_one_starts_later(
    people: ClubPeople, visit: Visit, two: tuple[PlanVersion, PlanVersion]
) -> None:
    """Tried minute by minute: the second waits until the first is at no post that is wanted; kept, nothing
    clashes, and page and sheet tell the start; undone, both start together and clash again.
    """
    runa, _ = two
    first = at_post(runa)[0]
    client = visit("owner")
    words = section(shown(client), "together")
    minutes, seconds = divmod(first["start_s"], 60)
    assert f"2 wanted at once from {minutes}:{seconds:02}, 1 place" in words
    assert "Runa Velde" in words and "Jon Brage" in words
    assert "Nothing clashes with these starts" in words
    wait = next(minutes for minutes in range(1, 18) if not meet(at_post(runa), minutes))
    page = shown(client)
    fields = dict(re.findall(r'name="(start-\d+)" value="(\d+)"', page))
    assert sorted(map(int, fields.values())) == [0, wait]
    response = client.post(reverse("day_starts"), fields)
    assert response.url == "/#together"
    later = Presence.objects.get(start_min=wait)
    page = shown(client)
    words = section(page, "together")
    assert "nothing clashes with these starts" in words and f"+{wait} min {later.athlete.name}" in words
    line = re.search(rf'id="athlete-{later.athlete_id}".*?</summary>', page, re.S)
    assert line is not None and f"+{wait} " in line.group()
    pdf = client.get(reverse("day_print", args=["athletes"])).content
    text = " ".join(" ".join(each.extract_text() for each in PdfReader(BytesIO(pdf)).pages).split())
    assert text.count(f"start {wait} min after the first") == 1
    client.post(reverse("day_starts"))
    assert not Presence.objects.exclude(start_min=0).exists()
    assert "2 wanted at once" in section(shown(client), "together")


def test_starts_that_are_none_are_refused(
    people: ClubPeople, visit: Visit, two: tuple[PlanVersion, PlanVersion]
) -> None:
    """A word, a fraction, a day later: 404 and nothing is kept; a stranger's post touches no athlete of the club."""
    name = f"start-{people.jon.pk}"
    for wrong in ("soon", "1.5", "-3", "1440", "³"):
        assert visit("owner").post(reverse("day_starts"), {name: wrong}).status_code == 404
    assert visit("owner").get(reverse("day_starts")).status_code == 405
    visit("stranger").post(reverse("day_starts"), {name: "5"})
    assert not Presence.objects.exclude(start_min=0).exists()
    visit("assistant").post(reverse("day_starts"), {name: "5"})
    assert Presence.objects.get(athlete=people.jon).start_min == (5 if two else 0)


def test_after_a_band_tore_it_counts_the_sheets_that_name_it(
    people: ClubPeople, visit: Visit, two: tuple[PlanVersion, PlanVersion]
) -> None:
    """Two sheets that each need it, enough left for one at a time: each session alone can stay, both at once cannot."""
    runa, _ = two
    item = at_post(runa)[0]
    band = item["setups"][0]["band"]
    pair = len(item["setups"][0]["arms"]) == 2 and not band["one_band_for_both_hands"]
    client = visit("owner")
    client.post(
        reverse("day_happened", args=["torn"]),
        {"torn-band": band["name"], "torn-count": "2" if pair else "3", "torn-reason": "torn"},
    )
    words = section(shown(client), "what-happened")
    left = 2 if pair else 1
    assert (
        f"2 sheets use {band['name']}, {left} left: enough for one athlete at a time (Jon Brage, Runa Velde)." in words
    )
    assert runa.plan.newest == runa
    assert f"{band['name']}: 2 wanted" in section(shown(client), "together") or f"with {band['name']}" in section(
        shown(client), "together"
    )


def test_a_sheet_made_before_cupboard_or_venue_changed_is_marked(people: ClubPeople, visit: Visit) -> None:
    """A band measured anew, a post moved: the sheet is not ready and can be made again there; what it does not use and
    is gone makes no work.
    """
    version = session_today(people, people.runa)
    client = visit("owner")
    assert "it was made before" not in shown(client)
    used = {band["name"] for band in bands_of(version.document)}
    kit = people.kit.document
    kit["bands"] = [band for band in kit["bands"] if band["name"] in used]
    people.kit.save_document(kit, by=people.owner)
    assert "it was made before" not in shown(client)
    kit["bands"][0]["length_m"] = 1.9
    people.kit.save_document(kit, by=people.owner)
    page = shown(client)
    assert f"it was made before the cupboard changed: {kit['bands'][0]['name']}" in page
    assert f'id="make-{people.runa.pk}"' in page and "Make again" in page and "Print the sheet" not in page
    kit["bands"][0]["length_m"] = 2.5
    people.kit.save_document(kit, by=people.owner)
    venue = people.venue.document
    venue["posts"][0]["room_in_front_m"] = 2.0
    people.venue.save_document(venue, by=people.owner)
    assert f"it was made before the venue changed: {venue['posts'][0]['name']}" in shown(client)
