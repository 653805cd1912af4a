"""Programmes on the page of an athlete: asked for, made, shown, printed, put into a calendar."""

from __future__ import annotations

import html
import re
import sys
from datetime import UTC, date, datetime, time, timedelta
from pathlib import Path
from typing import Any

import pytest
from club_people import ClubPeople
from django.http import QueryDict
from django.urls import reverse
from django.utils import timezone

from conftest import Visit
from firstpush.core.exercises.loader import library
from firstpush.core.programme.calendar import Calendar
from firstpush.core.progress.week_load import Carried
from firstpush.core.session.asked import Asked
from firstpush.sheets.make_programme import make_programme
from firstpush.web.exercises.own import copied, text_of_library
from firstpush.web.programme import making
from firstpush.web.programme.bending import Bent
from firstpush.web.programme.forms import ProgrammeForm, asked_document, initial_of
from firstpush.web.programme.models import Programme
from firstpush.web.sessions.making import make_version, request_for

sys.path.insert(0, str(Path(__file__).parents[1] / "after"))
from logged_sessions import log_session

MONDAY = "2026-03-02"
"""2 March 2026 is a Monday (a printed calendar); the Monday after it is the 9th."""


def typed(people: ClubPeople, **other: Any) -> dict[str, Any]:
    """Return the form as it is sent: two weeks with one training day each."""
    return {
        "start": MONDAY,
        "weeks": "2",
        "days": ["0"],
        "minutes": "12",
        "kind": "before training",
        "kit": people.kit.pk,
        "venue": people.venue.pk,
        "at": "17:30",
        "match_days": "",
        "match_minutes": "10",
        "breaks": "",
        "light_week": "0",
        "test_weeks": "",
        "back_to_front": "2",
    } | other


def make_url(people: ClubPeople) -> str:
    """Return the address that makes a programme for Runa."""
    return reverse("make_programme", kwargs={"id_": people.runa.pk})


def test_a_programme_is_made_shown_printed_and_put_into_a_calendar(people: ClubPeople, visit: Visit) -> None:
    """Two Mondays are two days of the table, two entries of the calendar and one PDF; the programme before stays."""
    owner = visit("owner")
    before = people.runa.programmes.get()
    response = owner.post(make_url(people), typed(people))
    assert response.status_code == 302, response.content.decode()[-3000:]
    assert response.url == reverse("programme", kwargs={"id_": people.runa.pk})
    made = people.runa.programmes.last()
    assert (made.number, made.made_by) == (before.number + 1, people.owner)
    page = html.unescape(owner.get(response.url).content.decode())
    table = page[page.index("week-table") : page.index("</table>")]
    assert re.findall(r"</span> (\d+ Mar) <strong>(Day \w)", table) == [("2 Mar", "Day A"), ("9 Mar", "Day A")]
    for day in made.document["training_week"]:
        for item in day["items"]:
            title = next(e["title"] for e in made.document["exercises"] if e["exercise"] == item["exercise"])
            assert title in page, "every exercise of the day stands on the page"
    where = {"id_": people.runa.pk, "number": made.number}
    calendar = owner.get(reverse("programme_calendar", kwargs=where))
    assert re.findall(r"DTSTART:(\w+)", calendar.content.decode()) == ["20260302T173000", "20260309T173000"]
    sheet = owner.get(reverse("programme_sheet", kwargs=where))
    assert sheet.content.startswith(b"%PDF-1.7")
    assert "number-7" in sheet["Content-Disposition"], "the file is named by the shirt, not by the person"
    assert "Velde" not in sheet["Content-Disposition"]
    figure = owner.get(reverse("programme_figure", kwargs=where | {"page": 0, "place": 0}))
    assert figure.status_code == 200
    assert figure.content.decode().startswith("<svg")
    assert owner.get(reverse("programme_figure", kwargs=where | {"page": 0, "place": 99})).status_code == 404
    assert owner.get(reverse("programme_earlier", kwargs=where | {"number": before.number})).status_code == 200
    # The reader sees it and is offered no form; the stranger finds nothing.
    read = visit("assistant").get(response.url).content.decode()
    assert "week-table" in read
    assert "Make the programme" not in read
    assert visit("stranger").get(reverse("programme_sheet", kwargs=where)).status_code == 404


@pytest.mark.parametrize(
    ("field", "value", "said"),
    [
        ("days", [], "Choose the days on which there is training"),
        ("match_days", "12 in March", "“12 in March” is no day. Allowed: year, month and day"),
        ("match_days", "2026-03-10\n2026-02-30", "“2026-02-30” is no day"),
        ("breaks", "2026-03-10 to 2026-03-03", "before it begins"),
        ("breaks", "2027-03-10", "does not touch this programme"),
        ("test_weeks", "one", "This is no list of weeks"),
        ("test_weeks", "3", "the test week 3 is no week of this programme"),
        ("light_week", "1", "a light week every 1 weeks"),
        ("minutes", "x", "Enter a number"),
        ("venue", "", "A session before training needs a venue"),
        ("kit", "999999", "Select a valid choice"),
    ],
)
def test_what_is_wrong_is_said_and_what_was_typed_stays(
    field: str, value: Any, said: str, people: ClubPeople, visit: Visit
) -> None:
    """422 with the reason, every other field as it was sent, and no programme more."""
    response = visit("colleague").post(make_url(people), typed(people, **{field: value}))
    page = html.unescape(response.content.decode())
    assert response.status_code == 422
    assert said.casefold() in page.casefold()
    assert 'name="start" value="2026-03-02"' in page
    if field in ("match_days", "breaks"):
        assert str(value) in page
    assert people.runa.programmes.count() == 1


def test_it_is_asked_for_by_its_form_alone(people: ClubPeople, visit: Visit) -> None:
    """Showing takes no form, making takes nothing else."""
    owner = visit("owner")
    assert owner.get(make_url(people)).status_code == 405
    assert owner.post(reverse("programme", kwargs={"id_": people.runa.pk})).status_code == 405


def test_another_clubs_cupboard_is_no_choice(people: ClubPeople, visit: Visit) -> None:
    """The stranger cannot lay a programme with it, even for an athlete of the own club."""
    from firstpush.web.athletes.models import AthleteRecord

    record = AthleteRecord(club=people.stranger.membership.club)
    record.save_document(people.runa.document, by=people.stranger)
    response = visit("stranger").post(reverse("make_programme", kwargs={"id_": record.pk}), typed(people))
    assert response.status_code == 422
    assert not record.programmes.exists()


def test_what_was_asked_is_asked_again(people: ClubPeople) -> None:
    """The form of the next programme holds the choices of the last, in whatever order they were typed."""
    sent = typed(
        people,
        match_days="2026-03-14\n2026-03-07",
        breaks="2026-03-10\n2026-03-12 to 2026-03-13",
        test_weeks="2, 1",
        days=["3", "0"],
    )
    query = QueryDict(mutable=True)
    for name, value in sent.items():
        query.setlist(name, value if isinstance(value, list) else [value])
    form = ProgrammeForm(query, user=people.owner)
    assert form.is_valid(), form.errors
    shown = initial_of(asked_document(form.cleaned_data), people.owner, people.runa)
    assert shown["match_days"] == "2026-03-07\n2026-03-14"
    assert shown["breaks"] == "2026-03-10\n2026-03-12 to 2026-03-13"
    assert shown["test_weeks"] == "1, 2"
    assert (shown["kit"], shown["venue"], shown["at"]) == (people.kit.pk, people.venue.pk, "17:30")


def test_the_athletes_page_leads_to_it(people: ClubPeople, visit: Visit) -> None:
    """The way there stands beside the one to a session."""
    page = visit("owner").get(reverse("athlete", kwargs={"id_": people.runa.pk})).content.decode()
    assert reverse("programme", kwargs={"id_": people.runa.pk}) in page


def test_a_programme_bends_to_what_was_done(people: ClubPeople, visit: Visit) -> None:
    """Two weeks over, one session done: the same exercises go on, and the done weeks count as they were done."""
    today = timezone.localdate()
    monday = today - timedelta(days=today.weekday() + 14)
    owner = visit("owner")
    asked = typed(people, start=monday.isoformat(), weeks="4")
    assert owner.post(make_url(people), asked).status_code == 302
    planned = people.runa.programmes.last()
    loaded = [each["exercise"] for each in planned.document["exercises"]]
    request = request_for(people.owner, people.runa, minutes=12, on=monday, asked=Asked(keep=tuple(loaded[:1])))
    version = make_version(people.runa, request, by=people.owner)
    assert version is not None
    log_session(version, on=monday, by=people.owner)
    page = owner.get(reverse("programme", kwargs={"id_": people.runa.pk})).content.decode()
    assert "Bend it to what was done" in page
    answer = owner.post(reverse("bend_programme", kwargs={"id_": people.runa.pk}))
    assert answer.status_code == 302, answer.content.decode()[-2000:]
    bent = people.runa.programmes.last()
    assert bent.number == planned.number + 1 and "2 weeks" in bent.why
    assert bent.document["training_week"] == planned.document["training_week"], "the same exercises on the same days"
    assert bent.document != planned.document
    assert people.runa.programmes.filter(number=planned.number).exists(), "the earlier one stays"


def test_what_was_done_counts_over_the_first_load() -> None:
    """By hand: 12 N·m over a first load of 10 is 1.2; both arms of one exercise on one day are one piece of work."""
    arms = [
        Carried(on=date(2026, 3, 3), exercise="row", side=side, load=load, seconds=120.0)  # type: ignore[arg-type]
        for side, load in (("left", 11.0), ("right", 13.0))
    ]
    other = Carried(on=date(2026, 3, 10), exercise="press", side="left", load=5.0, seconds=60.0)
    done = Bent(asked={"start": MONDAY}, weeks=2, carried=(*arms, other)).done({"row": 10.0})
    assert [(each.week, each.exercise, each.sides, each.set_seconds) for each in done.work] == [
        (1, "row", ("left", "right"), 120)
    ]
    assert done.work[0].load_share == pytest.approx(1.2)
    assert done.weeks == 2


def test_the_clubs_own_exercises_are_among_those_to_choose_from(
    people: ClubPeople, visit: Visit, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A programme is chosen from what a session is chosen from: the library, and the own exercises in use."""
    own = copied(text_of_library("low_row"), title="Low row", slug="low_row", club=people.club)
    own.save_text(own.text, accepted=True, by=people.owner)
    asked: list[set[str]] = []
    real = making.make_programme

    def noted(*args: Any, exercises: Any, **kwargs: Any) -> Any:
        chosen_from = tuple(exercises)
        asked.append({each.id for each in chosen_from})
        return real(*args, exercises=chosen_from, **kwargs)

    monkeypatch.setattr(making, "make_programme", noted)
    assert visit("owner").post(make_url(people), typed(people)).status_code == 302
    assert asked == [set(library()) | {own.slug}]


def test_a_programme_takes_nothing_that_is_not_to_choose_from(people: ClubPeople) -> None:
    """Without the low row, there is no low row; the rest of the library still makes a programme."""
    request = request_for(people.owner, people.runa, minutes=12)
    left = [each for each in library().values() if each.id != "low_row"]
    made = make_programme(
        making.case_of(request),
        calendar=Calendar(start=date(2026, 3, 2), weeks=2, weekdays=(0,)),
        minutes=12,
        exercises=left,
        at=time(17, 30),
        made_at=datetime(2026, 3, 1, tzinfo=UTC),
    )
    ids = {row["exercise"] for row in made.document["exercises"]}
    assert ids
    assert "low_row" not in ids


def test_the_page_carries_the_cautions_of_every_exercise(people: ClubPeople, visit: Visit) -> None:
    """What the kept words tell of an exercise, and when to stop, stands on the page beside its drawing."""
    people.runa.save_document(
        people.runa.document
        | {"function": {"trunk": dict.fromkeys(("forward", "turn", "lean_left", "lean_right"), "no")}},
        by=people.owner,
    )
    owner = visit("owner")
    assert owner.post(make_url(people), typed(people)).status_code == 302
    words = people.runa.programmes.last().words
    page = html.unescape(owner.get(reverse("programme", kwargs={"id_": people.runa.pk})).content.decode()).casefold()
    cautions = [n for day in words["pages"] for item in day["items"] for n in item["notices"] if n["level"] != "note"]
    assert any("no trunk control" in each["what"] for each in cautions)
    for notice in cautions:
        assert notice["what"].casefold() in page
        assert notice["do"].casefold() in page
    for day in words["pages"]:
        for line in (*day["stop_rules"], *day["before_we_start"]):
            assert line.casefold() in page


def test_the_next_day_leads_to_its_session(people: ClubPeople, visit: Visit) -> None:
    """The form is filled in with what the programme asks of that day; once the session stands, the page leads there."""
    owner = visit("owner")
    tomorrow = timezone.localdate() + timedelta(days=1)
    day = {"start": tomorrow.isoformat(), "days": [str(tomorrow.weekday())], "minutes": "13", "kind": "strength"}
    assert owner.post(make_url(people), typed(people, **day)).status_code == 302
    url = reverse("programme", kwargs={"id_": people.runa.pk})
    page = html.unescape(owner.get(url).content.decode())
    link = re.search(r'href="([^"]+)">Make the session of this day<', page)
    assert link is not None
    form = owner.get(link[1]).context["form"]
    planned = people.runa.programmes.last().document["weeks"][0]["sessions"][0]["items"]
    asked = {name: form.initial[name] for name in ("on", "kind", "minutes", "kit", "venue")}
    assert asked == {
        "on": tomorrow,
        "kind": "strength",
        "minutes": "13",
        "kit": people.kit.pk,
        "venue": people.venue.pk,
    }
    assert form.initial["keep"] == [item["exercise"] for item in planned]
    assert "Make the session" not in visit("assistant").get(url).content.decode(), "who only reads makes none"
    version = make_version(
        people.runa, request_for(people.owner, people.runa, minutes=13, on=tomorrow), by=people.owner
    )
    assert version is not None
    page = owner.get(url).content.decode()
    assert "Make the session of this day" not in page
    assert page.count(f'href="{reverse("plan", kwargs={"id_": version.plan_id})}"') == 2, "above, and in the table"
    assert "Go to its session" in visit("assistant").get(url).content.decode()


@pytest.mark.parametrize("query", ["on=2026-13-45&kind=x&minutes=nan&kit=a&venue=-1&keep=none", "minutes=1e9", "on=x"])
def test_a_link_that_cannot_be_read_fills_in_nothing(query: str, people: ClubPeople, visit: Visit) -> None:
    """The form of a session is as without it."""
    url = reverse("make_session", kwargs={"id_": people.runa.pk})
    owner = visit("owner")
    assert owner.get(f"{url}?{query}").context["form"].initial == owner.get(url).context["form"].initial


def test_weeks_that_are_over_or_far_are_folded(people: ClubPeople, visit: Visit) -> None:
    """Of four weeks with one over, the second and third stand open; the first and the last are folded, in order."""
    today = timezone.localdate()
    monday = today - timedelta(days=today.weekday() + 7)
    owner = visit("owner")
    asked = typed(people, start=monday.isoformat(), weeks="4", days=["0", "3"])
    assert owner.post(make_url(people), asked).status_code == 302
    page = owner.get(reverse("programme", kwargs={"id_": people.runa.pk}))
    groups = [(group["folded"], [row["number"] for row in group["rows"]]) for group in page.context["weeks"]]
    assert groups == [(True, [1]), (False, [2, 3]), (True, [4])]
    assert page.content.decode().count('<details class="fold"><summary><span><strong>Week') == 2


def test_it_begins_where_the_athlete_trained_last(people: ClubPeople, visit: Visit) -> None:
    """Not the first venue by name: the one of the last session."""
    from firstpush.web.kit.models import VenueRecord

    other = VenueRecord(club=people.club)
    other.save_document(people.venue.document | {"name": "A hall before the others"}, by=people.owner)
    assert VenueRecord.objects.filter(club=people.club).first() == other, "by name it would come first"
    request = request_for(people.owner, people.runa, minutes=12, kit_id=people.kit.pk, venue_id=people.venue.pk)
    assert make_version(people.runa, request, by=people.owner) is not None
    shown = initial_of(None, people.owner, people.runa)
    assert (shown["kit"], shown["venue"]) == (people.kit, people.venue)


def test_a_programme_that_was_kept_before_is_shown(people: ClubPeople, visit: Visit) -> None:
    """Words without notices, and days of matches under the name they were kept by."""
    kept = people.runa.programmes.last()
    assert "notices" not in kept.words
    made = {name: getattr(kept, name) for name in ("document", "words", "figures", "sheet", "calendar")}
    Programme.add(people.runa, by=people.owner, made=made | {"asked": kept.asked | {"matches": ["2026-03-07"]}})
    page = visit("owner").get(reverse("programme", kwargs={"id_": people.runa.pk}))
    assert page.status_code == 200
    assert page.context["form"].initial["match_days"] == "2026-03-07"
