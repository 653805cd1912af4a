"""What happened on court stands first and loud where the practitioner looks next: session, athlete, training day."""

from __future__ import annotations

import html
import json
import re
import sys
from datetime import date, timedelta
from pathlib import Path
from typing import Any

import pytest
from club_people import ClubPeople
from court_texts import OTHER_RUN, RUN, text
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse

from conftest import Visit
from firstpush.web.oncourt.entries import file_of, keep
from firstpush.web.oncourt.logged import runs_of_plan
from firstpush.web.oncourt.sender import sender_of
from firstpush.web.oncourt.stops import last_stops, with_stop
from firstpush.web.sessions.models import PlanVersion, Presence

sys.path.insert(0, str(Path(__file__).parents[1] / "sessions"))
from made_sessions import DAY, made_session

ITEMS = ("low_row", "scaption", "pull_apart", "wall_dribble", "chin_tuck", "seated_row", "high_row")


@pytest.fixture
def version(people: ClubPeople) -> PlanVersion:
    """Return a version of Runa with seven exercises, without words."""
    items = [{"exercise": each, "title": each.replace("_", " ").capitalize(), "part": "strength"} for each in ITEMS]
    found: PlanVersion = people.plan.add_version(
        request={}, document={"kind": "before training", "items": items}, by=people.owner
    )
    return found


def log(version: PlanVersion, people: ClubPeople, *said: dict[str, Any], run: str = RUN) -> None:
    """Keep these as the entries of one run, in their order."""
    texts = [text(version, place, run=run, **each) for place, each in enumerate(said, start=1)]
    answer = keep(texts, sender_of(people.owner))
    assert answer.new == len(texts), answer


def sharp(exercise: str, **more: Any) -> dict[str, Any]:
    """Return a sharp pain of 4 in front of the left shoulder, which stops the exercise."""
    whole = {"place": "shoulder front", "side": "left", "level_0_10": 4, "feeling": "sharp"}
    return {"kind": "pain", "exercise": exercise, "outcome": "stop the exercise"} | whole | more


def done(exercise: str, variant: str = "planned") -> dict[str, Any]:
    """Return an exercise that was done."""
    return {"kind": "done", "exercise": exercise, "as_planned": variant == "planned", "variant": variant}


DYSREFLEXIA = {
    "kind": "stopped",
    "card": "dysreflexia",
    "sign": "a pounding headache",
    "exercise": "seated_row",
}
ENDED = {"kind": "ended", "minutes": 14, "session_effort_0_10": 6}
BAD_DAY = (
    {"kind": "begin", "device": "phone"},
    {"kind": "before", "answers": {}, "pains": [], "effects": []},
    done("low_row"),
    done("scaption", "easier"),
    done("pull_apart"),
    {"kind": "effort", "exercise": "pull_apart", "effort_6_20": 17},
    sharp("wall_dribble"),
    {"kind": "skipped", "exercise": "chin_tuck", "reason": "no time"},
    DYSREFLEXIA,
    ENDED,
)


def test_what_stopped_and_what_hurt_come_first_in_their_gravity(version: PlanVersion, people: ClubPeople) -> None:
    """A card, a pain that stopped, an effort above 15 (common practice: 12 to 15 trains), each in one clause."""
    log(version, people, *BAD_DAY)
    (run,) = runs_of_plan(version.plan)
    assert [(each.level, each.words) for each in run.alarms] == [
        ("stop", "stopped: “Signs of autonomic dysreflexia” (a pounding headache), 18:05"),
        ("caution", "sharp pain, left shoulder front, 4 of 10, in Wall dribble"),
        ("caution", "effort 17, above 15, in Pull apart"),
    ]
    assert run.counts == "3 done, 1 left out, 2 stopped, 1 not reached"


@pytest.mark.parametrize(
    ("said", "counts"),
    [
        # Counted by hand from what was said; seven exercises in all.
        ([done(each) for each in ITEMS] + [ENDED], "7 done"),
        ([done("low_row")], "1 done"),  # still going on: nothing is "not reached" yet
        # Done after all (the easier one), so done; the pain is told all the same.
        ([sharp("low_row", outcome="easier"), done("low_row", "easier"), ENDED], "1 done, 6 not reached"),
        ([sharp("low_row"), ENDED], "1 stopped, 6 not reached"),
        (
            [sharp("low_row"), {"kind": "skipped", "exercise": "low_row", "reason": "pain"}, ENDED],
            "1 stopped, 6 not reached",
        ),
        ([done("seated_row"), DYSREFLEXIA, ENDED], "1 stopped, 6 not reached"),
        ([{"kind": "swapped", "exercise": "low_row", "to": "easier"}], "nothing done"),
        ([ENDED], "nothing done, 7 not reached"),
    ],
)
def test_counts_are_of_what_became_of_each_exercise(
    said: list[dict[str, Any]], counts: str, version: PlanVersion, people: ClubPeople
) -> None:
    """Each exercise once, by what holds in the end."""
    log(version, people, *said)
    (run,) = runs_of_plan(version.plan)
    assert run.counts == counts


def test_what_was_undone_is_no_alarm(version: PlanVersion, people: ClubPeople) -> None:
    """An entry that does not hold says nothing, and a familiar pain that goes on is no alarm but is told."""
    first = sharp("low_row")
    wrong = json.loads(text(version, 1, **first))["id"]
    log(version, people, first, {"kind": "undo", "corrects": wrong}, done("low_row"))
    (run,) = runs_of_plan(version.plan)
    assert run.alarms == [] and run.pain == ""
    mild = sharp("scaption", level_0_10=2, feeling="as usual", outcome="go on with care")
    log(version, people, mild, done("scaption"), run=OTHER_RUN)
    run = next(each for each in runs_of_plan(version.plan) if str(each.id) == OTHER_RUN)
    assert run.alarms == []
    assert run.pain == "pain up to 2 of 10, left shoulder front"


def test_answers_that_said_no_session_are_loud_too(version: PlanVersion, people: ClubPeople) -> None:
    """The session was not begun: that is what its line says."""
    pain = {"place": "neck", "side": None, "level_0_10": 7, "feeling": "new"}
    log(
        version, people, {"kind": "before", "answers": {}, "pains": [pain], "effects": ["stop"]}, ENDED | {"minutes": 0}
    )
    (run,) = runs_of_plan(version.plan)
    assert [(each.level, each.words) for each in run.alarms] == [
        ("stop", "no session: the answers before the start said stop"),
        ("stop", "new pain, neck, 7 of 10, before the start"),
    ]


def test_how_it_felt_in_words_is_told(version: PlanVersion, people: ClubPeople) -> None:
    """Said in place of a number, and never turned into one."""
    log(version, people, {"kind": "effort", "exercise": "low_row", "feel": "hard"}, done("low_row"))
    (run,) = runs_of_plan(version.plan)
    assert run.exercises[0].said == ["felt hard", "as planned"]


def test_the_pages_show_it_first(people: ClubPeople, visit: Visit) -> None:
    """Session page and athlete's page: the alarm stands before the counts and is not folded away."""
    version = made_session(people, minutes=12).first
    first, second, third = [item["exercise"] for item in version.document["items"]][:3]
    stopped = DYSREFLEXIA | {"exercise": third}
    log(version, people, done(first), sharp(second), stopped, ENDED)
    left = len(version.document["items"]) - 3
    counts = "1 done, 2 stopped" + (f", {left} not reached" if left else "")
    for who, address in (
        ("owner", reverse("plan", kwargs={"id_": version.plan_id})),
        ("colleague", reverse("athlete", kwargs={"id_": people.runa.pk})),
    ):
        page = html.unescape(visit(who).get(address).content.decode())
        shown = page.split('id="logged-head"', 1)[1]
        open_part = re.sub(r"<details>.*?</details>", "", shown, flags=re.DOTALL)
        card = open_part.index("Stopped: “Signs of autonomic dysreflexia”")
        assert card < open_part.index("Sharp pain, left shoulder front") < open_part.index(counts), address
    assert visit("stranger").get(reverse("plan", kwargs={"id_": version.plan_id})).status_code == 404


def test_the_training_day_has_it_on_the_athletes_line(version: PlanVersion, people: ClubPeople, visit: Visit) -> None:
    """Of the day alone, the gravest in one line; of another day nothing."""
    day = date(2026, 11, 25)
    for record in (people.runa, people.jon):
        Presence.objects.create(club=record.club, day=day, athlete=record, status="present")
    log(version, people, *BAD_DAY)
    page = html.unescape(visit("owner").get(f"{reverse('training_day')}?day=2026-11-25").content.decode())
    line = page.split(f'id="athlete-{people.runa.pk}"', 1)[1].split("</summary>", 1)[0]
    assert "Stopped: “Signs of autonomic dysreflexia” (a pounding headache), 18:05, and 2 more" in line
    line = page.split(f'id="athlete-{people.jon.pk}"', 1)[1].split("</summary>", 1)[0]
    assert "Stopped" not in line and "done" not in line
    other = visit("owner").get(f"{reverse('training_day')}?day=2026-11-24").content.decode()
    assert "autonomic dysreflexia" not in other


def test_a_plain_session_says_on_the_day_how_much_was_done(
    version: PlanVersion, people: ClubPeople, visit: Visit
) -> None:
    """No alarm: the counts alone."""
    Presence.objects.create(club=people.club, day=date(2026, 11, 25), athlete=people.runa, status="present")
    log(version, people, *(done(each) for each in ITEMS), ENDED)
    page = visit("assistant").get(f"{reverse('training_day')}?day=2026-11-25").content.decode()
    line = page.split(f'id="athlete-{people.runa.pk}"', 1)[1].split("</summary>", 1)[0]
    assert "7 done" in line


def test_what_came_in_a_file_is_told_by_whom_it_is(version: PlanVersion, people: ClubPeople, visit: Visit) -> None:
    """After a file was taken in: whose session, what stopped it, how much was done, and where to go on."""
    texts = [text(version, place, **each) for place, each in enumerate(BAD_DAY, start=1)]
    file = SimpleUploadedFile("entries-7-2026-11-25.json", file_of(texts).encode())
    page = html.unescape(visit("owner").post(reverse("court_back"), {"chosen": [file]}).content.decode())
    assert "Everything in it is at home now." in page
    assert "Runa Velde, 25 November 2026" in page
    assert page.index("Stopped: “Signs of autonomic dysreflexia”") < page.index("3 done, 1 left out, 2 stopped")
    assert reverse("plan", kwargs={"id_": version.plan_id}) in page
    strangers = SimpleUploadedFile("entries.json", file_of(texts).encode())
    page = visit("stranger").post(reverse("court_back"), {"chosen": [strangers]}).content.decode()
    assert "Runa" not in page


def test_the_day_opens_all_its_ready_sheets_on_court(people: ClubPeople, visit: Visit) -> None:
    """One button with the number of every ready sheet, and the way back for files; without a ready sheet that alone."""
    url = f"{reverse('training_day')}?day=2026-03-02"
    Presence.objects.filter(day=DAY).delete()
    Presence.objects.create(club=people.club, day=DAY, athlete=people.runa, status="present")
    assert "on court</a>" not in visit("owner").get(url).content.decode()
    plan = made_session(people, minutes=8).plan
    page = visit("owner").get(url).content.decode()
    shown = re.search(r'href="([^"]*#plans=[^"]*)">([^<]*)<', page)
    if shown is None:
        pytest.fail("no button; " + html.unescape(page.split('id="the-day"')[1][:1500]))
    assert (shown[1], shown[2]) == (f"{reverse('court')}#plans={plan.pk}", "Take the sheet on court")
    assert reverse("court_back") in page


def test_only_sessions_that_were_asked_for_are_listed(people: ClubPeople, visit: Visit) -> None:
    """In the order in which they are named; what is not there, not the club's or no number is left out."""
    first, second = (made_session(people, minutes=minutes).plan.pk for minutes in (8, 8))
    assert first != second

    def listed(who: str, query: str) -> list[int]:
        return [each["plan"] for each in visit(who).get(f"/court/packages/{query}").json()]

    assert listed("owner", f"?plans={second},{first},{second},99999,x,-1,{'9' * 40}") == [second, first]
    assert listed("owner", f"?plans={first}") == [first]
    assert listed("owner", "?plans=") == []
    assert set(listed("owner", "")) == {first, second}
    assert listed("stranger", f"?plans={first}") == []


def test_why_there_was_no_session_is_an_alarm(version: PlanVersion, people: ClubPeople) -> None:
    """What was answered stands first at home: "stop" as a stop, "first" as a caution, in the words pressed."""
    ill = {"kind": "before", "answers": {"illness": "ill or feverish"}, "pains": [], "effects": ["stop"]}
    log(version, people, ill, {"kind": "ended", "minutes": 0})
    first = {"kind": "before", "answers": {"bladder": "not yet"}, "pains": [], "effects": ["first"]}
    log(version, people, first, {"kind": "ended", "minutes": 0}, run=RUN[:-1] + "7")
    found = {each.level: each.words for run in runs_of_plan(version.plan) for each in run.alarms}
    assert found == {
        "stop": "no session: how do you feel today: ill or feverish",
        "caution": "not begun, to be put right first: bladder emptied, bag tube free: not yet",
    }
    assert [run.alarms[0].level for run in runs_of_plan(version.plan)] == ["stop", "caution"], "of one day the gravest"


def test_the_last_stop_of_the_day_is_told(version: PlanVersion, people: ClubPeople) -> None:
    """A card that ends a session, with its time; a torn band stops nobody's day, nor does what was undone."""
    torn = {"kind": "stopped", "card": "band", "sign": "torn", "exercise": "low_row"}
    log(version, people, torn)
    athlete, day = version.plan.athlete_id, runs_of_plan(version.plan)[0].began.date()
    assert last_stops([athlete], day) == {}
    log(version, people, DYSREFLEXIA, ENDED, run=RUN[:-1] + "7")
    told = {"date": f"{day:%Y-%m-%d}", "at": "18:05", "what": "signs of autonomic dysreflexia"}
    assert last_stops([athlete], day) == {athlete: told}
    assert last_stops([athlete], day - timedelta(days=1)) == {}
    assert json.loads(with_stop('{"format":"x"}', told)) == {"format": "x", "stopped_today": told}
    assert with_stop('{"format":"x"}', None) == '{"format":"x"}'
    stop = json.loads(text(version, 1, run=RUN[:-1] + "8", **DYSREFLEXIA))["id"]
    log(version, people, DYSREFLEXIA, {"kind": "undo", "corrects": stop}, run=RUN[:-1] + "8")
    assert last_stops([athlete], day) == {athlete: told}
