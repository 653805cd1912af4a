"""From entries to decisions to the next session: what the page proposes, what is kept, what the next session does."""

from __future__ import annotations

import json
import sys
from dataclasses import dataclass
from pathlib import Path
from typing import Any
from uuid import UUID

import pytest
from club_people import ClubPeople
from django.db import DatabaseError, transaction
from django.http import HttpResponse
from django.urls import reverse

from conftest import Visit
from firstpush.web.after.models import RuleNumbers, Word
from firstpush.web.after.proposals import behind, proposals, proposals_key
from firstpush.web.athletes.person import export_person
from firstpush.web.sessions.making import make_version, request_for
from firstpush.web.sessions.models import PlanVersion

sys.path.insert(0, str(Path(__file__).parents[1] / "sessions"))
from logged_sessions import DAYS, Pain, log_session
from made_sessions import Made, made_session

KEEP = ("low_row", "external_rotation_side", "anti_rotation_press")


@dataclass(frozen=True, kw_only=True)
class Logged:
    """A session of Runa with three strength exercises, and the club it belongs to."""

    made: Made
    people: ClubPeople

    def log(self, day: int, **said: Any) -> UUID:
        """Log it on one of `DAYS`."""
        return log_session(self.made.first, on=DAYS[day], by=self.people.owner, **said)

    def url(self, run: UUID) -> str:
        """Return the address of the page after a run."""
        return reverse("after_session", kwargs={"id_": self.people.runa.pk, "run": run})

    def rows(self, run: UUID) -> dict[str, dict[str, Any]]:
        """Return what is proposed, by exercise."""
        return {row["exercise"]: row for row in proposals(behind(self.people.runa, run))}

    def proposed(self, run: UUID, exercise: str) -> str:
        """Return what is proposed for one exercise."""
        row = self.rows(run)[exercise]
        return str(row["choices"][row["proposed"]]["name"])

    def answers(self, run: UUID, **other: str) -> dict[str, str]:
        """Return the form as it is sent, all as proposed but for `other`."""
        about = behind(self.people.runa, run)
        rows = proposals(about)
        sent = {f"choice-{row['exercise']}": str(row["proposed"]) for row in rows}
        return {"seen": proposals_key(about)[:16]} | sent | other

    def next_session(self) -> PlanVersion:
        """Make the next session as the page does."""
        from firstpush.core.session.asked import Asked

        ids = [word.exercise for word in Word.objects.all()]
        out = {row["exercise"] for word in Word.objects.all() for row in word.agreed if row["left_out"]}
        keep = tuple(id_ for id_ in KEEP if id_ in ids and id_ not in out)
        request = request_for(self.people.owner, self.people.runa, minutes=14, on=DAYS[1], asked=Asked(keep=keep))
        version = make_version(self.people.runa, request, by=self.people.owner)
        assert version is not None
        return version


@pytest.fixture
def logged(people: ClubPeople) -> Logged:
    """Return a session to be logged."""
    return Logged(made=made_session(people, minutes=14, keep=KEEP), people=people)


def test_one_easy_session_keeps_and_two_make_it_harder(logged: Logged) -> None:
    """Two sessions must agree before a step (common practice)."""
    first = logged.log(0, efforts={"low_row": 8})
    assert logged.proposed(first, "low_row") == "as done"
    assert "2 sessions in a row" in logged.rows(first)["low_row"]["because"]
    second = logged.log(1, efforts={"low_row": 8})
    assert logged.proposed(second, "low_row") == "harder"


def test_a_third_exercise_of_an_arm_is_not_made_harder_by_choice(logged: Logged, visit: Visit) -> None:
    """At most two in seven days (our choice), whoever chooses them; nothing is kept, and the sentence says so."""
    logged.log(0, effort=12)
    run = logged.log(1, effort=12)
    harder = {
        id_: next(index for index, choice in enumerate(row["choices"]) if choice["name"] == "harder")
        for id_, row in logged.rows(run).items()
        if any(choice["name"] == "harder" for choice in row["choices"])
    }
    assert set(KEEP) <= harder.keys()
    sent = {f"choice-{id_}": str(harder[id_]) for id_ in KEEP} | {f"reason-{id_}": "wishes it" for id_ in KEEP}
    answer = visit("owner").post(logged.url(run), logged.answers(run, **sent))
    assert answer.status_code == 422 and not Word.objects.exists()
    assert "more than the 2 exercises of one arm" in answer.content.decode()
    two = sent | {"choice-low_row": "0"}
    assert visit("owner").post(logged.url(run), logged.answers(run, **two)).status_code == 302


def test_too_hard_is_made_easier_at_once(logged: Logged) -> None:
    """Above 15 is easier at once (common practice), and nothing harder is offered beside it."""
    run = logged.log(0, efforts={"low_row": 17})
    row = logged.rows(run)["low_row"]
    assert logged.proposed(run, "low_row") == "easier"
    assert "harder" not in {choice["name"] for choice in row["choices"]}


def test_pain_stops_that_exercise_and_holds_the_arm_back(logged: Logged) -> None:
    """A sharp pain leaves the exercise out; on the same day nothing of that arm is made harder, though it was easy."""
    logged.log(0, efforts={"low_row": 8})
    run = logged.log(1, efforts={"low_row": 8}, pains={"anti_rotation_press": Pain(level=4)})
    assert logged.proposed(run, "anti_rotation_press") == "leave out"
    assert logged.proposed(run, "low_row") == "as done"
    assert "right shoulder front" in logged.rows(run)["low_row"]["because"]


def test_pain_before_the_start_holds_the_arm_back(logged: Logged) -> None:
    """Four of ten, new, said before the start: by the one rule too much, so nothing of that arm is made harder."""
    logged.log(0, efforts={"low_row": 8})
    run = logged.log(1, efforts={"low_row": 8}, before=[Pain(level=4, feeling="new")])
    assert logged.proposed(run, "low_row") == "as done"
    assert "before the start" in logged.rows(run)["low_row"]["because"]


def test_keeping_the_easier_variant_agrees_to_it(logged: Logged) -> None:
    """What was done last counts: keeping it means the variant, and the word says what differs."""
    run = logged.log(0, swapped={"low_row": "easier"})
    choice = logged.rows(run)["low_row"]["choices"][0]
    assert choice["name"] == "as done" and choice["words"]
    assert choice["agreed"][0]["change"] == choice["words"]


def test_what_was_left_out_for_time_is_not_decided(logged: Logged, visit: Visit) -> None:
    """It stands under what was not done, with the reason that was said."""
    run = logged.log(0, leave=["low_row"])
    assert "low_row" not in logged.rows(run)
    text = visit("owner").get(logged.url(run) + "?now=1").content.decode()
    assert "Not done" in text and "no time" in text.lower()


def test_what_was_cut_short_for_want_of_time_is_kept_and_says_so(logged: Logged, visit: Visit) -> None:
    """Half of the sets says nothing about the whole (common practice): no step either way, and the page says why."""
    logged.log(0, efforts={"low_row": 8})
    run = logged.log(1, efforts={"low_row": 8}, cut={"low_row": 3})
    assert logged.proposed(run, "low_row") == "as done"
    text = visit("owner").get(logged.url(run) + "?now=1").content.decode()
    row = text[text.index('id="low_row"') :].split("</section>")[0]
    assert "There was no time to finish it, so it does not count towards a step." in row
    assert "no time" in row.split("</div>")[0].lower()


def test_every_row_shows_its_drawing_and_how_it_is_laid(logged: Logged, visit: Visit) -> None:
    """What stays is told as what changes is: band and mark, post, distance and dose, beside the drawing."""
    run = logged.log(0, pains={"anti_rotation_press": Pain(level=4)}, efforts={"external_rotation_side": 17})
    text = visit("owner").get(logged.url(run) + "?now=1").content.decode()
    rows = {part.split('"')[0]: part.split("</section>")[0] for part in text.split('decided-row" id="')[1:]}
    assert rows.keys() == logged.rows(run).keys()
    laid = {item["exercise"]: item["setups"][0]["band"] for item in logged.made.first.document["items"]}
    for id_, row in rows.items():
        figure = reverse("after_figure", kwargs={"id_": logged.people.runa.pk, "run": run, "slug": id_, "index": 0})
        before = row.split('<details class="otherwise"')[0]
        assert figure in before and "Dose" in before, id_
        if laid[id_] is not None:
            assert laid[id_]["name"] in before and f"mark {laid[id_]['slack_length_m']:.2f} m" in before, id_
            assert laid[id_]["post"] is None or f"{laid[id_]['distance_m']:.2f} m" in before, id_
        assert visit("owner").get(figure).status_code == 200, id_
    assert "Next time the same" in rows["low_row"] and "As it was done" in rows["anti_rotation_press"]
    assert "Next time the same" not in rows["anti_rotation_press"] + rows["external_rotation_side"]


def test_the_warm_up_is_not_asked_to_be_harder(people: ClubPeople) -> None:
    """Its sheet asks for effort 9 to 11: nine said twice keeps it, without a question (its own cue)."""
    made = made_session(people, minutes=14, keep=("easy_rolling", "low_row"))
    logged = Logged(made=made, people=people)
    for day in (0, 1):
        run = logged.log(day, effort=9 + 2 * day, efforts={"low_row": 13})
        row = logged.rows(run)["easy_rolling"]
        assert logged.proposed(run, "easy_rolling") == "as done" and not row["ask"]


def test_the_next_session_is_made_from_what_was_agreed(logged: Logged, visit: Visit) -> None:
    """Accepted, the easier set-up is that of the next session; its dose is the one agreed, and the sheet says so."""
    run = logged.log(0, efforts={"low_row": 17}, pains={"anti_rotation_press": Pain(level=4)})
    row = logged.rows(run)["low_row"]
    agreed = row["choices"][row["proposed"]]["agreed"][0]
    answer = visit("owner").post(logged.url(run), logged.answers(run))
    assert answer.status_code == 302
    version = logged.next_session()
    items = {item["exercise"]: item for item in version.document["items"]}
    assert "anti_rotation_press" not in items
    band = items["low_row"]["setups"][0]["band"]
    side = next(iter(agreed["sides"].values()))
    assert (band["slack_length_m"], band["distance_m"]) == (side["slack_length_m"], side["distance_m"])
    load = items["low_row"]["setups"][0]["peak_load_nm"]["value"]
    before = next(each for each in logged.made.first.document["items"] if each["exercise"] == "low_row")
    assert load < before["setups"][0]["peak_load_nm"]["value"]
    assert items["low_row"]["setups"][0]["target"]["kind"] == "agreed"
    reasons = {row["exercise"]: row["reason"] for row in version.document["left_out"]}
    assert reasons["anti_rotation_press"].startswith("left out since 2 March")


def test_the_training_day_says_that_a_sheet_is_older_than_what_was_agreed(logged: Logged, visit: Visit) -> None:
    """A sheet made before the word, and not yet done, is to be made again; the one that was done stays as it is."""
    from firstpush.web.after.holds import agreed_since

    run = logged.log(0, efforts={"low_row": 17})
    waiting = logged.next_session()
    assert agreed_since([waiting, logged.made.first]) == set()
    visit("owner").post(logged.url(run), logged.answers(run))
    assert agreed_since([waiting, logged.made.first]) == {waiting.pk}


def test_nothing_changes_without_the_practitioners_word(logged: Logged) -> None:
    """Entries alone leave the set-ups as they were."""
    logged.log(0, efforts={"low_row": 17})
    version = logged.next_session()
    request = version.request["inputs"]
    assert "agreed" not in request
    assert request["done"][0]["date"] == "2026-03-02"


def test_otherwise_than_proposed_needs_a_reason_and_loses_nothing(logged: Logged, visit: Visit) -> None:
    """The page comes back with what was chosen; nothing is kept until the reason is there."""
    run = logged.log(0, efforts={"low_row": 17})
    otherwise = {"choice-low_row": "nothing", "reason-external_rotation_side": "  "}
    answer = visit("owner").post(logged.url(run), logged.answers(run, **otherwise))
    assert answer.status_code == 422 and not Word.objects.exists()
    text = answer.content.decode()
    assert "without a reason" in text
    assert checked(text, "choice-low_row") == "nothing"
    answer = visit("owner").post(logged.url(run), logged.answers(run, **otherwise | {"reason-low_row": "slept badly"}))
    assert answer.status_code == 302
    word = Word.objects.get(exercise="low_row")
    assert (word.said, word.proposed, word.reason, word.agreed) == ("nothing", "easier", "slept badly", [])


def checked(text: str, name: str) -> str:
    """Return the value of the radio button of `name` that is checked."""
    import re

    found = [tag for tag in re.findall(r"<input[^>]*>", text) if f'name="{name}"' in tag and " checked" in tag]
    assert len(found) == 1, found
    value = re.search(r'value="([^"]*)"', found[0])
    assert value is not None
    return value[1]


def test_the_last_word_holds_and_every_word_is_kept(logged: Logged, visit: Visit) -> None:
    """Saying otherwise later adds a row; saying the same again adds none; the database refuses to change one."""
    run = logged.log(0, efforts={"low_row": 17})
    owner = visit("owner")
    owner.post(logged.url(run), logged.answers(run))
    count = Word.objects.count()
    owner.post(logged.url(run), logged.answers(run))
    assert Word.objects.count() == count
    owner.post(logged.url(run), logged.answers(run, **{"choice-low_row": "0", "reason-low_row": "was ill"}))
    assert Word.objects.count() == count + 1
    assert Word.objects.filter(exercise="low_row").last().said == "as done"  # type: ignore[union-attr]
    for refused in (lambda: Word.objects.update(said="harder"), lambda: Word.objects.all().delete()):
        with pytest.raises(DatabaseError, match="added, never changed"), transaction.atomic():
            refused()


def test_more_entries_while_the_page_is_open_are_looked_at_first(logged: Logged, visit: Visit) -> None:
    """What was proposed from less than is at home is not taken."""
    logged.log(0, efforts={"low_row": 8})
    run = logged.log(1, efforts={"low_row": 8})
    sent = logged.answers(run) | {"seen": "of another time"}
    answer = visit("owner").post(logged.url(run), sent, follow=True)
    assert "look at the proposals again" in answer.content.decode()
    assert not Word.objects.exists()


def test_a_step_waits_a_week_after_the_last(logged: Logged, visit: Visit) -> None:
    """One step an exercise in seven days: what was easy before the step counts no more either."""
    logged.log(0, efforts={"low_row": 8})
    run = logged.log(1, efforts={"low_row": 8})
    visit("owner").post(logged.url(run), logged.answers(run))
    made = logged.next_session()
    later = log_session(made, on=DAYS[1].replace(day=11), by=logged.people.owner, efforts={"low_row": 8})
    row = logged.rows(later)["low_row"]
    assert row["choices"][row["proposed"]]["name"] == "as done"
    assert "2 sessions in a row" in row["because"]


def test_what_is_agreed_can_be_taken_back(logged: Logged, visit: Visit) -> None:
    """Then the exercise is set up as if nothing were known, and the history still tells."""
    run = logged.log(0, efforts={"low_row": 17})
    owner = visit("owner")
    owner.post(logged.url(run), logged.answers(run))
    page = reverse("agreed", kwargs={"id_": logged.people.runa.pk})
    assert "Low row" in owner.get(page).content.decode()
    back = reverse("take_agreed_back", kwargs={"id_": logged.people.runa.pk, "slug": "low_row"})
    owner.post(back)
    rows = logged.next_session().request["inputs"]["agreed"]
    assert "low_row" not in {row["exercise"] for row in rows}
    assert "taken back" in owner.get(page).content.decode()


def test_other_numbers_of_the_rule_change_the_proposal(logged: Logged, visit: Visit) -> None:
    """An athlete who is kept up to 17 is not made easier at 17; numbers out of order are refused, and kept to see."""
    run = logged.log(0, efforts={"low_row": 17})
    url = reverse("rules", kwargs={"id_": logged.people.runa.pk})
    numbers = {
        "progress_below": 11,
        "control_progress_below": 12,
        "keep_from": 12,
        "keep_up_to": 17,
        "concordant": 2,
        "days_between_steps": 7,
        "weekly_rise_percent": 20,
        "asked_in": "numbers",
        "why": "tetraplegia: effort reads higher",
    }
    owner = visit("owner")
    wrong: HttpResponse = owner.post(url, numbers | {"keep_from": 18})  # type: ignore[assignment]
    assert wrong.status_code == 422 and "Put them in order" in wrong.content.decode()
    assert not RuleNumbers.objects.exists()
    assert owner.post(url, numbers).status_code == 302
    assert logged.proposed(run, "low_row") == "as done"
    assert "tetraplegia" in owner.get(url).content.decode()


def test_the_assistant_reads_and_does_not_decide(logged: Logged, visit: Visit) -> None:
    """Deciding is for those who change sessions; an athlete's account does not see the page."""
    run = logged.log(0)
    assistant = visit("assistant")
    assert assistant.get(logged.url(run) + "?now=1").status_code == 200
    assert assistant.post(logged.url(run), logged.answers(run)).status_code == 403
    assert visit("athlete").get(logged.url(run)).status_code == 403
    assert visit("stranger").get(logged.url(run)).status_code == 404


def test_drawings_show_what_would_be_laid(logged: Logged, visit: Visit) -> None:
    """Before and after are drawn; what is left out has no drawing, and no other number has one."""
    run = logged.log(0, efforts={"low_row": 17})
    owner = visit("owner")
    owner.get(logged.url(run) + "?now=1")
    chosen = logged.rows(run)["low_row"]["proposed"]
    place = {"id_": logged.people.runa.pk, "run": run, "slug": "low_row"}
    svgs = [owner.get(reverse("after_figure", kwargs=place | {"index": index})) for index in (0, chosen, 99)]
    assert [each.status_code for each in svgs] == [200, 200, 404]
    assert svgs[0].content != svgs[1].content


def test_all_of_it_is_handed_over_and_erased_with_the_person(logged: Logged, visit: Visit) -> None:
    """The export names what was said; erasing takes it with the rest."""
    import io
    from zipfile import ZipFile

    from firstpush.web.athletes.person import erase_person

    run = logged.log(0, efforts={"low_row": 17})
    visit("owner").post(logged.url(run), logged.answers(run))
    with ZipFile(io.BytesIO(export_person(logged.people.runa))) as archive:
        said = json.loads(archive.read("agreed.json"))["said"]
    assert {row["exercise"] for row in said} >= {"low_row"}
    erase_person(logged.people.runa)
    assert not Word.objects.exists()
