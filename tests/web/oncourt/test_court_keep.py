"""Taking entries in: kept once and letter by letter, whatever is sent how often in whatever order."""

from __future__ import annotations

import json
import random
from typing import Any

import pytest
from club_people import ClubPeople
from court_texts import OTHER_RUN, id_of, text
from django.db import Error, connection, transaction
from django.urls import reverse
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from conftest import Visit
from firstpush.web.append_only import ENTRY_TABLES
from firstpush.web.athletes.person import erase_person, export_person
from firstpush.web.oncourt.entries import keep
from firstpush.web.oncourt.models import CourtEntry, SetAside
from firstpush.web.oncourt.sender import Sender, sender_of
from firstpush.web.sessions.models import PlanVersion


@pytest.fixture
def version(people: ClubPeople) -> PlanVersion:
    """Return the version of Runa's session."""
    found = people.plan.newest
    assert found is not None
    return found


@pytest.fixture
def colleague(people: ClubPeople) -> Sender:
    """Return the colleague as a sender."""
    return sender_of(people.colleague)


def stored() -> set[str]:
    """Return the letters of every entry at home, as the database has them."""
    with connection.cursor() as cursor:
        cursor.execute("SELECT text FROM oncourt_courtentry")
        return {row[0] for row in cursor.fetchall()}


def test_what_is_named_as_kept_is_there_letter_by_letter(version: PlanVersion, colleague: Sender) -> None:
    """Spaces, order of keys and letters beyond ASCII come back as they were made, with what stands beside them."""
    odd = text(version, 2).replace(": ", " :  ")
    answer = keep([text(version, 1), odd], colleague)
    assert answer.kept == (id_of(text(version, 1)), id_of(odd))
    assert (answer.new, answer.conflicts, answer.refused) == (2, (), ())
    assert stored() == {text(version, 1), odd}
    row = CourtEntry.objects.get(sequence=2)
    assert (row.kind, row.zone, row.athlete, row.version, row.account) == (
        "note",
        "+01:00",
        version.plan.athlete,
        version,
        colleague.account,
    )
    assert row.at.isoformat() == "2026-11-25T17:05:00+00:00"  # one hour before, by hand


def test_sending_again_changes_nothing(version: PlanVersion, colleague: Sender) -> None:
    """The second answer names the same as kept, and nothing is new."""
    texts = [text(version, number) for number in (1, 2, 3)]
    first = keep(texts, colleague)
    before = list(CourtEntry.objects.values())
    again = keep(texts[::-1] + texts, colleague)
    assert set(again.kept) == set(first.kept)
    assert (first.new, again.new) == (3, 0)
    assert list(CourtEntry.objects.values()) == before
    assert not SetAside.objects.exists()


def test_the_same_id_with_other_content_is_a_conflict_and_both_are_kept(
    version: PlanVersion, colleague: Sender
) -> None:
    """The first stays as it was, the second is set aside once beside it."""
    first, second = text(version, 1), text(version, 1, words="something else")
    keep([first], colleague)
    for _ in range(3):
        answer = keep([second], colleague)
        assert answer.kept == ()
        assert [each.id for each in answer.conflicts] == [id_of(first)]
        assert "another entry with this id" in answer.conflicts[0].why
    assert stored() == {first}
    aside = SetAside.objects.get()
    assert (aside.text, aside.why, str(aside.against_id)) == (second, "other content", id_of(first))


def test_the_same_place_with_another_id_is_a_conflict_and_both_are_kept(
    version: PlanVersion, colleague: Sender
) -> None:
    """Two devices that counted on from a copy of one memory."""
    first = text(version, 1)
    second = text(version, 1, id=id_of(text(version, 1, run=OTHER_RUN)))
    answer = keep([first, second], colleague)
    assert answer.kept == (id_of(first),)
    assert [each.id for each in answer.conflicts] == [id_of(second)]
    assert "at this place of the run" in answer.conflicts[0].why
    assert SetAside.objects.get().why == "place taken"
    assert str(SetAside.objects.get().against_id) == id_of(first)


@pytest.mark.parametrize(
    ("sent", "id_"),
    [
        ("", None),
        ("no entry", None),
        ("[" * 7000, None),
        ('{"id": "0193657c-0000-7000-8000-000000000009"}', "0193657c-0000-7000-8000-000000000009"),
        ('{"format": "firstpush entry 1", "words": "\ud800"}', None),
        ("\x00", None),
        ("x" * 9000, None),
    ],
)
def test_what_cannot_be_read_is_refused_and_kept_with_the_reason(
    sent: str, id_: str | None, version: PlanVersion, colleague: Sender
) -> None:
    """It is set aside once, and what was sent with it is kept all the same."""
    for _ in range(2):
        answer = keep([sent, text(version)], colleague)
        assert answer.kept == (id_of(text(version)),)
        assert [each.id for each in answer.refused] == [id_]
        assert answer.refused[0].why.endswith(".")
    aside = SetAside.objects.get()
    assert (aside.why, aside.said) == ("unreadable", answer.refused[0].why)


@pytest.mark.parametrize("who", ["owner", "colleague", "assistant", "athlete"])
def test_whoever_does_sessions_may_log(who: str, version: PlanVersion, people: ClubPeople) -> None:
    """Those who do sessions, and the athlete of the session itself."""
    account = people.named(who)
    assert account is not None
    assert keep([text(version)], sender_of(account)).new == 1


def test_an_athlete_logs_no_team_mates_session(people: ClubPeople) -> None:
    """It is refused, set aside for the club to see, and the own entry beside it is kept."""
    own, of_jon = people.plan.newest, people.plan_of_jon.newest
    assert own is not None and of_jon is not None
    answer = keep([text(of_jon), text(own, run=OTHER_RUN)], sender_of(people.athlete))
    assert [each.id for each in answer.refused] == [id_of(text(of_jon))]
    assert answer.new == 1
    assert SetAside.objects.get().why == "not allowed"


def test_another_clubs_session_looks_as_if_it_were_not_there(version: PlanVersion, people: ClubPeople) -> None:
    """A stranger is told the same about it as about a session that does not exist."""
    there = text(version)
    nowhere = text(version, run=OTHER_RUN, plan=10**9)
    answer = keep([there, nowhere], sender_of(people.stranger))
    assert {each.why for each in answer.refused} == {answer.refused[0].why}
    assert len(answer.refused) == 2
    assert stored() == set()


def test_an_entry_never_lands_with_the_wrong_athlete(
    version: PlanVersion, colleague: Sender, people: ClubPeople
) -> None:
    """An entry that names another athlete than its session's is refused."""
    answer = keep([text(version, athlete=people.jon.pk)], colleague)
    assert len(answer.refused) == 1
    assert stored() == set()


@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    sendings=st.lists(st.lists(st.integers(min_value=1, max_value=12), max_size=8), max_size=10),
    order=st.randoms(use_true_random=False),
)
def test_any_sendings_in_any_order_end_in_the_same_table(
    sendings: list[list[int]], order: random.Random, version: PlanVersion, colleague: Sender
) -> None:
    """Whatever was sent, how often and in which lots: at home is exactly what was sent, each once."""
    with transaction.atomic():
        confirmed: set[str] = set()
        order.shuffle(sendings)
        for lot in sendings:
            answer = keep([text(version, number) for number in lot], colleague)
            confirmed |= set(answer.kept)
            assert set(answer.kept) == {id_of(text(version, number)) for number in lot}
        sent = {text(version, number) for lot in sendings for number in lot}
        assert stored() == sent
        assert confirmed == {id_of(each) for each in sent}
        assert CourtEntry.objects.count() == len(sent)
        assert not SetAside.objects.exists()
        transaction.set_rollback(True)


@pytest.mark.parametrize("table", ENTRY_TABLES)
@pytest.mark.parametrize("change", ["UPDATE {table} SET text = 'other'", "DELETE FROM {table}"])
def test_the_database_refuses_to_change_an_entry(
    table: str, change: str, version: PlanVersion, colleague: Sender
) -> None:
    """Past all our code, SQLite itself says no."""
    keep([text(version), "no entry"], colleague)
    with connection.cursor() as cursor:
        cursor.execute(f"SELECT * FROM {table}")
        before = cursor.fetchall()
        assert before, "there must be a row to change"
        with pytest.raises(Error, match="entries are added, never changed"), transaction.atomic():
            cursor.execute(change.format(table=table))
        cursor.execute(f"SELECT * FROM {table}")
        assert cursor.fetchall() == before


def test_every_column_but_one_of_what_was_set_aside_is_guarded(version: PlanVersion, colleague: Sender) -> None:
    """Only that somebody has looked at it may be written."""
    keep(["no entry"], colleague)
    for field in SetAside._meta.concrete_fields:
        with connection.cursor() as cursor:
            change = f"UPDATE oncourt_setaside SET {field.column} = {field.column}"
            if field.name == "seen_at":
                cursor.execute(change)
            else:
                with pytest.raises(Error, match="never changed"), transaction.atomic():
                    cursor.execute(change)


def test_erasing_a_person_takes_what_was_logged_along(version: PlanVersion, people: ClubPeople) -> None:
    """Entries, conflicts, what the own account sent and what names them go; the team mate's stay."""
    of_jon = people.plan_of_jon.newest
    assert of_jon is not None
    keep([text(version), text(version, words="Runa says otherwise")], sender_of(people.colleague))
    keep([text(of_jon, run=OTHER_RUN), "rubbish of Runa", text(version, 2)], sender_of(people.athlete))
    keep([text(of_jon, 5, run=OTHER_RUN), f'{{"athlete": {people.runa.pk}, "half'], sender_of(people.owner))
    assert SetAside.objects.count() == 4
    erase_person(people.runa)
    assert stored() == {text(of_jon, 5, run=OTHER_RUN)}
    left = SetAside.objects.get()
    assert (left.athlete, left.account) == (people.jon, None)
    with pytest.raises(Error, match="never changed"), transaction.atomic():
        CourtEntry.objects.all().delete()


def test_a_person_is_handed_what_was_logged(version: PlanVersion, colleague: Sender, people: ClubPeople) -> None:
    """The export holds every entry letter by letter, and what was set aside, and nothing of a team mate."""
    import io
    from zipfile import ZipFile

    of_jon = people.plan_of_jon.newest
    assert of_jon is not None
    other = text(version, words="other")
    keep([text(version), other, text(of_jon, run=OTHER_RUN)], colleague)
    found: dict[str, Any] = json.loads(ZipFile(io.BytesIO(export_person(people.runa))).read("on-court.json"))
    assert found["entries"] == [text(version)]
    assert [each["text"] for each in found["set_aside"]] == [other]
    assert found["received"][0]["account__username"] == "colleague"


def test_a_colleague_marks_what_was_set_aside_as_seen(version: PlanVersion, people: ClubPeople, visit: Visit) -> None:
    """It is told to everybody who reads; owner and colleague put it among what was looked at; the stranger has none."""
    keep([text(version), text(version, words="other than before")], sender_of(people.owner))
    aside = SetAside.objects.get()
    url = reverse("set_aside_seen", kwargs={"id_": aside.pk})
    page = visit("assistant").get(reverse("set_aside")).content.decode()
    assert "other than before" in page
    assert "Same id with other content" in page
    assert url not in page
    assert visit("assistant").post(url).status_code == 403
    assert visit("stranger").post(url).status_code == 404
    assert "other than before" not in visit("stranger").get(reverse("set_aside")).content.decode()
    assert url in visit("colleague").get(reverse("set_aside")).content.decode()
    assert visit("colleague").get(url).status_code == 405
    assert visit("colleague").post(url).status_code == 302
    aside.refresh_from_db()
    assert aside.seen_at is not None
    assert "Nothing is to be looked at" in visit("colleague").get(reverse("set_aside")).content.decode()
