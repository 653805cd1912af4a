"""The ticked sheet, typed in afterwards: by keyboard only, in few presses, as late entries; and what the pages show."""

from __future__ import annotations

import html
import json
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest
from club_people import PASSWORD, ClubPeople
from django.urls import reverse
from served import Served, filled, serving

from conftest import Visit
from firstpush.core.progress.entries import Entry, read_entry
from firstpush.web.oncourt.models import CourtEntry, SetAside

sys.path.insert(0, str(Path(__file__).parents[1] / "sessions"))
from made_sessions import Made, made_session

if TYPE_CHECKING:
    from playwright.sync_api import Browser

MOST_PRESSES = 60
"""At one press a second, which is slow, this is a minute."""
MAKE = """
import sys
from pathlib import Path
from firstpush.web.serve import set_up_django
set_up_django(Path(sys.argv[1]))
from firstpush.web.athletes.models import AthleteRecord
from firstpush.web.club.models import Account
from firstpush.web.sessions.making import make_version, request_for
from datetime import date
owner, runa = Account.objects.get(username="owner"), AthleteRecord.objects.get(name="Runa Velde")
print(make_version(runa, request_for(owner, runa, minutes=15, on=date(2026, 3, 2)), by=owner).plan_id)
"""


@pytest.fixture
def made(people: ClubPeople) -> Made:
    """Return a session of Runa with its words."""
    return made_session(people, minutes=8)


def url_of(made: Made) -> str:
    """Return the address of the form."""
    return reverse("court_paper", kwargs={"id_": made.plan.pk, "number": 1})


def ticked(made: Made, **other: str) -> dict[str, str]:
    """Return the form as it is sent, everything done as planned."""
    rows = {f"how_{number}": "planned" for number in range(1, len(made.ids) + 1)}
    whole = {"run": "0193657c-0000-4000-8000-0000000000aa", "day": "2026-03-02", "at": "1805", "minutes": "17"}
    return whole | rows | other


def test_a_ticked_sheet_becomes_late_entries(made: Made, people: ClubPeople, visit: Visit) -> None:
    """One entry an exercise, effort and pain where ticked, in the club's zone, all marked late."""
    client = visit("assistant")
    sent = ticked(
        made,
        how_1="easier",
        how_2="not done",
        effort_1="12",
        session_effort="4",
        pain_place_1="left shoulder top",
        pain_level_1="2",
        pain_exercise_1="1",
    )
    assert client.post(url_of(made), sent).status_code == 302
    entries = [read_entry(each) for each in CourtEntry.objects.order_by("sequence").values_list("text", flat=True)]
    rest = [("done", id_) for id_ in made.ids[2:]]
    assert [(each.kind, each.exercise) for each in entries] == [
        ("begin", None),
        ("done", made.ids[0]),
        ("effort", made.ids[0]),
        ("skipped", made.ids[1]),
        *rest,
        ("pain", made.ids[0]),
        ("ended", None),
    ]
    assert entries[1].values["variant"] == "easier"
    assert (entries[-2].values["place"], entries[-2].values["side"]) == ("shoulder top", "left")
    assert entries[-1].values["session_effort_0_10"] == 4
    assert set(CourtEntry.objects.values_list("late", "came_by", "account__username")) == {(True, "paper", "assistant")}
    page = html.unescape(client.get(reverse("plan", kwargs={"id_": made.plan.pk})).content.decode())
    assert "The easier variant; effort 12; pain 2 of 10, left shoulder top, as usual, then: " in page
    assert "Pain up to 2 of 10, left shoulder top." in page.split("<summary>What was said")[0]
    assert "Not done: other." in page
    assert "17 min, session effort 4." in page
    assert "Typed in afterwards" in page
    page = visit("colleague").get(reverse("athlete", kwargs={"id_": people.runa.pk})).content.decode()
    assert "17 min, session effort 4, typed in afterwards" in page
    page = visit("colleague").get(reverse("athlete", kwargs={"id_": people.jon.pk})).content.decode()
    assert "session effort 4" not in page


def test_sending_the_form_twice_adds_nothing(made: Made, visit: Visit) -> None:
    """The same again is known; the same form with another number is set aside and told."""
    client = visit("owner")
    client.post(url_of(made), ticked(made))
    count = CourtEntry.objects.count()
    assert "typed in already" in client.post(url_of(made), ticked(made), follow=True).content.decode()
    assert "set aside" in client.post(url_of(made), ticked(made, minutes="18"), follow=True).content.decode()
    assert CourtEntry.objects.count() == count
    assert SetAside.objects.count() == 1
    new = ticked(made, run="0193657c-0000-4000-8000-0000000000ab")
    client.post(url_of(made), new)
    assert CourtEntry.objects.count() == 2 * count, "the session was done a second time"


def entries_of() -> list[Entry]:
    """Return what is at home, in its order."""
    return [read_entry(each) for each in CourtEntry.objects.order_by("sequence").values_list("text", flat=True)]


def test_why_it_was_left_out_is_kept(made: Made, visit: Visit) -> None:
    """The reasons are those of the page; without one it is another; and what was done has none."""
    sent = ticked(made, how_1="not done", why_1="no time", how_2="not done", how_3="planned", why_3="pain")
    assert visit("owner").post(url_of(made), sent).status_code == 302
    skipped = {each.exercise: each.values["reason"] for each in entries_of() if each.kind == "skipped"}
    assert skipped == {made.ids[0]: "no time", made.ids[1]: "other"}


def test_a_sharp_pain_is_no_exercise_as_planned_and_has_what_it_means(made: Made, visit: Visit) -> None:
    """Outcome by the one rule, with the athlete's own usual and limit; a familiar one of 1 leaves it as planned."""
    sent = ticked(
        made,
        pain_place_1="left shoulder front",
        pain_level_1="4",
        pain_feeling_1="sharp",
        pain_exercise_1="1",
        pain_place_2="right wrist",
        pain_level_2="1",
        pain_exercise_2="2",
        pain_place_3="right wrist",
        pain_level_3="2",
        pain_exercise_3="3",
    )
    visit("owner").post(url_of(made), sent)
    found = entries_of()
    outcomes = [each.values["outcome"] for each in found if each.kind == "pain"]
    # By hand: sharp stops the exercise; 1 of 10 goes on; from 1 it rose to 2 in the same session: the easier one.
    assert outcomes == ["stop the exercise", "go on with care", "easier"]
    planned = {each.exercise: each.values["as_planned"] for each in found if each.kind == "done"}
    assert [planned[each] for each in made.ids[:3]] == [False, True, False]
    page = visit("owner").get(reverse("plan", kwargs={"id_": made.plan.pk})).content.decode()
    assert "Sharp pain, left shoulder front, 4 of 10, in" in page.split("<summary>What was said")[0]


def test_a_card_that_was_used_can_be_typed_in(made: Made, visit: Visit) -> None:
    """By the sign that was seen: its card follows, and the exercise was not as planned."""
    form = visit("owner").get(url_of(made)).context["form"]
    groups = dict(each for each in form.fields["sign"].choices if isinstance(each[1], list | tuple))
    sign = groups["Faint from low blood pressure"][0][0]
    assert visit("owner").post(url_of(made), ticked(made, sign=sign, sign_exercise="2")).status_code == 302
    (stopped,) = [each for each in entries_of() if each.kind == "stopped"]
    assert (stopped.values["card"], stopped.values["sign"], stopped.exercise) == ("faintness", sign, made.ids[1])
    (second,) = [each for each in entries_of() if each.kind == "done" and each.exercise == made.ids[1]]
    assert second.values["as_planned"] is False
    refused = visit("owner").post(url_of(made), ticked(made, sign="a bad day"))
    assert refused.status_code == 422
    assert "a bad day is not one of the available choices" in html.unescape(refused.content.decode())


@pytest.mark.parametrize(
    ("wrong", "says"),
    [
        ({"effort_1": "5"}, "5 is not on this scale. Allowed: whole numbers 6 to 20"),
        ({"effort_1": "12.5"}, "12.5 is not on this scale"),
        ({"session_effort": "11"}, "Allowed: whole numbers 0 to 10"),
        ({"minutes": ""}, "required"),
        ({"minutes": "many"}, "This is not a number"),
        ({"how_1": "well"}, "well is not one of the available choices"),
        ({"at": "25:00"}, "Enter a valid time"),
        ({"day": "2999-01-01"}, "has not come yet"),
        ({"pain_place_1": "neck"}, "How much is missing"),
        ({"pain_level_1": "3"}, "Where it hurt is missing"),
    ],
)
def test_what_is_wrong_is_told_and_what_was_typed_stays(
    wrong: dict[str, str], says: str, made: Made, visit: Visit
) -> None:
    """422, the reason, and the other fields as they were; nothing is kept."""
    response = visit("owner").post(url_of(made), ticked(made, effort_2="13") | wrong)
    assert response.status_code == 422
    page = html.unescape(response.content.decode())
    assert says in page
    assert 'value="13"' in page
    assert not CourtEntry.objects.exists()


def test_who_may_type_a_sheet_in(made: Made, people: ClubPeople, visit: Visit) -> None:
    """Those who do sessions and the athlete; what belongs to others is not there."""
    for who, status in (("owner", 200), ("assistant", 200), ("athlete", 200), ("stranger", 404), ("anonymous", 302)):
        assert visit(who).get(url_of(made)).status_code == status, who
    assert visit("owner").put(url_of(made)).status_code == 405
    people.athlete.membership.athlete = people.jon
    people.athlete.membership.save()
    assert visit("athlete").get(url_of(made)).status_code == 404


@pytest.fixture(scope="module")
def with_session(tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[Served, int]]:
    """Serve the club with a session of 15 minutes, and return its number."""
    folder = tmp_path_factory.mktemp("paper") / "club"
    filled(folder)
    done = subprocess.run([sys.executable, "-c", MAKE, str(folder)], check=True, capture_output=True, text=True)
    with serving(folder) as served:
        yield served, int(done.stdout)


def test_a_sheet_is_typed_in_by_keyboard_in_under_a_minute(browser: Browser, with_session: tuple[Served, int]) -> None:
    """From the page to the kept sheet without a mouse: one effort, one not done, session effort, minutes."""
    served, plan = with_session
    context = browser.new_context()
    page = context.new_page()
    page.goto(f"{served.url}account/login/")
    page.locator("[name=login]").fill("owner")
    page.locator("[name=password]").fill(PASSWORD)
    page.keyboard.press("Enter")
    page.wait_for_url(served.url)
    page.goto(f"{served.url}sessions/{plan}/versions/1/paper/")
    presses = 0

    def press(*keys: str) -> None:
        nonlocal presses
        for key in keys:
            page.keyboard.press(key)
            presses += 1

    def name() -> str:
        found: Any = page.evaluate("document.activeElement.name || document.activeElement.localName")
        return str(found)

    assert name() == "at", "typing can begin at once"
    press(*"1805", "Tab")
    seen = []
    while name() != "session_effort":
        now = name()
        seen.append(now)
        assert seen.count(now) == 1, f"one stop each: {seen}"
        if now == "how_2":
            press("ArrowDown", "ArrowDown")
        if now == "effort_1":
            press("1", "3")
        press("Tab")
    press("4", "Tab", *"15", "Enter")
    page.wait_for_url(f"{served.url}sessions/{plan}/")
    assert "The sheet is typed in." in page.content()
    assert page.get_by_text("15 min, session effort 4.").is_visible()
    context.close()
    print(json.dumps({"presses": presses, "exercises": sum(each.startswith("how_") for each in seen)}))
    assert presses <= MOST_PRESSES
