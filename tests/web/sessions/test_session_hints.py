"""What is told before a change by hand, where a session is made by default, and what a phone shows of it."""

from __future__ import annotations

import html
import re
from datetime import date, timedelta
from urllib.parse import unquote

import pytest
from club_people import ClubPeople, demo_document
from django.urls import reverse
from django.utils import timezone
from made_sessions import made_session
from session_pages import change, ids, page, typed

from conftest import Visit
from firstpush.core.session.asked import plan_of
from firstpush.core.session.compare import differences
from firstpush.core.session.first_set import first_set_of, first_set_words
from firstpush.web.athletes.measuring import whom_of
from firstpush.web.kit.models import KitRecord, VenueRecord
from firstpush.web.sessions.models import DayPlan, Presence
from firstpush.web.sessions.pages import rows_of
from firstpush.web.sessions.usual_place import usual_place


def test_what_makes_room_is_named_before_and_is_what_goes(people: ClubPeople, visit: Visit) -> None:
    """For each dose that is longer than there is time: what the page names is what the next version lacks."""
    made = made_session(people, minutes=15)
    client, plan, before = visit("owner"), made.plan, dict(plan_of(made.first.document))
    titles = {item["exercise"]: item["title"] for item in made.first.document["items"]}
    asked = "stop_and_turn" if "stop_and_turn" in before else made.ids[-1]
    shown = page(client, "plan_item", id_=plan.pk, slug=asked)
    address = re.search(r'hx-get="([^"]*makes-way/\?dose=([^"]*))" hx-trigger="load"', shown)
    assert address, "no dose of it takes longer than there is"
    told = html.unescape(client.get(address[1], headers={"HX-Request": "true"}).content.decode())
    assert "<html" not in told
    whole = html.unescape(client.get(address[1]).content.decode())
    assert "What makes room" in whole
    assert change(client, plan, change="dose", exercise=asked, dose=unquote(address[2])).status_code == 302
    gone = [titles[id_] for id_ in before if id_ not in ids(plan)]
    assert gone, "a dose that is too long moved nothing out"
    assert all(title in told for title in gone)
    assert f"{titles['easy_rolling']} would be left out" not in told, "the warm-up goes last"
    assert "easy_rolling" in ids(plan)


def test_nothing_is_told_of_what_is_not_in_the_session(people: ClubPeople, visit: Visit) -> None:
    """404 for an exercise that is not in it and for one that nobody knows; 405 for sending."""
    made = made_session(people)
    client = visit("owner")
    for slug, into in (("no_such", ""), (made.ids[0], "no_such")):
        where = reverse("what_makes_way", kwargs={"id_": made.plan.pk, "slug": slug})
        assert client.get(where, {"dose": "x", "into": into}).status_code == 404
    where = reverse("what_makes_way", kwargs={"id_": made.plan.pk, "slug": made.ids[0]})
    assert client.post(where).status_code == 405
    assert "cannot be made" in client.get(where, {"dose": "a thousand"}).content.decode()


@pytest.mark.parametrize(
    ("kind", "sets", "first"),
    [
        ("try-out", 2, "; first time a set of 5 to 8 slow ones, the second set by the answer"),
        # After the one set of a first time no set of twelve follows.
        ("try-out", 1, "; first time 5 to 8 slow ones in its place"),
        ("first", 2, ""),
        ("first", 1, ""),
    ],
)
def test_a_first_time_says_what_it_makes_of_the_dose(kind: str, sets: int, first: str) -> None:
    """Of a set-up that is tried out the change names the slow repetitions, of one that was not the dose alone."""

    def document(name: str, sets: int) -> dict[str, object]:
        setups = [{"side": "left", "target": {"kind": kind}}]
        dose = {"name": name, "sets": sets, "repetitions": 12}
        return {"items": [{"exercise": "low_row", "title": "Low row", "dose": dose, "setups": setups}]}

    (found,) = differences(document("as before", 2), document("as now", sets))
    assert found.words == f"Low row: as now instead of as before{first}"


@pytest.mark.parametrize("sets", [1, 2, 3])
def test_sheet_and_change_promise_the_same_sets_after_the_first(sets: int) -> None:
    """The answer decides of the sets that are left; of a dose of one set none is left, and none is promised."""
    left = {1: "", 2: "the second set by the answer", 3: "the other sets by the answer"}[sets]
    for words in (first_set_words(sets), first_set_of(sets)):
        assert words.endswith(left)
        assert ("by the answer" in words) == bool(left)
        assert "then one set" not in words


def test_how_much_says_what_a_first_time_makes_of_every_dose(people: ClubPeople, visit: Visit) -> None:
    """Beside the doses to choose from stands that 5 to 8 come first, and only where the exercise is a first time."""
    made = made_session(people, minutes=15)
    small = {item["exercise"]: row["dose_small"] for item, row in rows_of(made.first.document, "practitioner")}
    assert any("first time" in words for words in small.values()), "nothing of this session is a first time"
    assert not all("first time" in words for words in small.values()), "everything of this session is a first time"
    for id_, words in small.items():
        shown = page(visit("owner"), "plan_item", id_=made.plan.pk, slug=id_)
        assert ("First time: the first set is 5 to 8 slow ones" in shown) == ("first time" in words), id_


def test_the_time_of_a_first_time_is_that_of_its_whole_dose(people: ClubPeople) -> None:
    """The second set may come by the answer, so its time and the pause before it are kept free."""
    made = made_session(people, minutes=15)
    firsts = [
        item
        for item in made.first.document["items"]
        if item["dose"]["repetitions"] and any((s["target"] or {}).get("kind") == "try-out" for s in item["setups"])
    ]
    assert firsts
    for item in firsts:
        steps = [each for each in made.first.document["timeline"] if each["exercise"] == item["exercise"]]
        dose = item["dose"]
        a_set = dose["repetitions"] * (dose["out_s"] + dose["hold_s"] + dose["back_s"])
        sets = [each["end_s"] - each["start_s"] for each in steps if each["kind"] == "set"]
        together = any(len(setup["arms"]) == 2 for setup in item["setups"])
        assert sets == [pytest.approx(a_set, abs=1.0)] * dose["sets"] * (1 if together else len(item["sides"]))


def test_the_place_is_that_of_the_day_then_the_last_then_the_first(people: ClubPeople, visit: Visit) -> None:
    """What the training day has goes before what the athlete had, and that before the first in the list."""
    day = timezone.localdate()
    kit, venue = KitRecord(club=people.club), VenueRecord(club=people.club)
    kit.save_document(demo_document("kit") | {"name": "Zinc locker"}, by=people.owner)
    venue.save_document(demo_document("venue") | {"name": "Zander hall"}, by=people.owner)
    assert usual_place(people.owner, people.jon).venue == people.venue
    people.jon.plans.first().add_version(  # type: ignore[union-attr]
        request={"minutes": 15, "kit_id": kit.pk, "venue_id": venue.pk}, document={}, by=people.owner
    )
    assert usual_place(people.owner, people.jon).venue == venue
    assert usual_place(people.owner, people.runa).venue == people.venue
    DayPlan.objects.create(club=people.club, day=day, kit=kit, venue=venue, minutes=18, kind="before training")
    for record in (people.runa, people.jon):
        assert usual_place(people.owner, record).venue == venue
        assert whom_of(people.owner, record).venue == venue
    assert usual_place(people.owner, people.runa, day - timedelta(days=30)).venue == people.venue
    form = visit("owner").get(reverse("make_session", kwargs={"id_": people.runa.pk})).content.decode()
    assert re.search(rf'value="{venue.pk}" selected', form)
    venue.withdraw()
    assert usual_place(people.owner, people.runa).venue == people.venue


def test_a_session_made_for_today_says_that_the_athlete_is_here(people: ClubPeople, visit: Visit) -> None:
    """Made with the others and for today; not for another day, not at home, and not against what was said."""
    client, day = visit("owner"), timezone.localdate()

    def make(**how: object) -> str:
        sent = typed(people, **how)
        made = client.post(reverse("make_session", kwargs={"id_": people.runa.pk}), sent)
        assert made.status_code == 302, made.content.decode()
        said = Presence.objects.filter(athlete=people.runa, day=how["on"]).first()
        return "" if said is None else said.status

    assert make(on=date(2026, 3, 4)) == ""
    assert make(on=day, kind="home") == ""
    listed = page(client, "training_day")
    assert "Session of this day" in listed, "what was made is listed where nobody said that they are here"
    assert make(on=day) == "present"
    assert "Make the one missing" not in page(client, "training_day")
    Presence.objects.filter(athlete=people.runa, day=day).update(status="absent")
    assert make(on=day) == "absent"


def test_both_sides_alike_are_told_once(people: ClubPeople, visit: Visit) -> None:
    """A set-up by hand for both sides that is the same on both: one list, and no caution twice."""
    made = made_session(people, minutes=18, keep=("external_rotation_90",))
    item = next(each for each in made.first.document["items"] if each["exercise"] == "external_rotation_90")
    band = item["setups"][0]["band"]
    chosen = {
        "side": "both",
        "band": f"{band['strands']}|{band['name']}",
        "mark": f"{band['slack_length_m']:.3f}",
        "post": band["post"],
        "height": f"{band['anchor_height_m']:.3f}",
        "distance": f"{band['distance_m']:.3f}",
    }
    client, where = visit("owner"), {"id_": made.plan.pk, "slug": item["exercise"]}
    shown = html.unescape(client.get(reverse("lay_by_hand", kwargs=where), chosen).content.decode())
    brings = shown[shown.index('id="brings"') : shown.index("as-it-is")]
    told = re.findall(r"<dl class=\"facts\">.*?</dl>", brings, flags=re.DOTALL)
    assert told and len(told) == len(set(told))
    notices = re.findall(r'<div class="notice.*?</div>', brings, flags=re.DOTALL)
    assert len(notices) == len({re.sub(r"left|right", "side", each) for each in notices})


def test_on_the_page_the_court_comes_before_the_printer(people: ClubPeople, visit: Visit) -> None:
    """The way on court stands before what is printed; numbers are folded, all else is in sight."""
    made = made_session(people)
    shown = page(visit("owner"), "plan", id_=made.plan.pk)
    assert shown.index("Take it on court") < shown.index("Print the athlete’s sheet")
    items = re.findall(r'<section class="court item".*?</section>', shown, flags=re.DOTALL)
    assert len(items) > 4
    for item in items:
        folded = "".join(re.findall(r"<details.*?</details>", item, flags=re.DOTALL))
        open_words = ("Why this one", "Watch for", 'class="dose"', 'class="item-figure"')
        assert [each for each in open_words if each not in item or each in folded] == []
        assert item.count("facts numbers") == folded.count("facts numbers")
    assert "facts numbers" in shown
