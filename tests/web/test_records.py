"""What is stored: documents that core reads, versions that stay, and what is left of a person after erasing."""

from __future__ import annotations

import io
import json
import tomllib
from datetime import date
from zipfile import ZipFile

import pytest
from club_people import ClubPeople, demo_document
from django.apps import apps
from django.db import Error, connection, transaction
from django.urls import reverse

from conftest import Visit
from firstpush.core.errors import InputFileError
from firstpush.core.kit.kit_file import load_kit
from firstpush.core.kit.venue_file import load_venue
from firstpush.core.people.athlete_file import load_athlete
from firstpush.demo import demo_file
from firstpush.web.append_only import APPEND_ONLY_TABLES
from firstpush.web.athletes.person import erase_person
from firstpush.web.errors import ChangedMeanwhileError


def test_a_stored_document_reads_as_its_file(people: ClubPeople) -> None:
    """From file to database and back nothing is lost: core reads the same values."""
    for record in (people.runa, people.kit, people.venue):
        record.refresh_from_db()
    assert people.runa.athlete() == load_athlete(demo_file("athlete"))
    assert people.kit.kit() == load_kit(demo_file("kit"))
    assert people.venue.venue() == load_venue(demo_file("venue"))


def test_a_document_with_a_fault_is_not_kept(people: ClubPeople) -> None:
    """All faults are told, and neither record nor versions change."""
    wrong = demo_document("athlete") | {"mass_kg": 580, "sex": "women"}
    with pytest.raises(InputFileError) as caught:
        people.runa.save_document(wrong, by=people.owner)
    assert sorted(fault.key for fault in caught.value.faults) == ["mass_kg", "sex"]
    assert people.runa.document["mass_kg"] == 58.0, "the object in hand is as before too"
    people.runa.refresh_from_db()
    assert people.runa.document["mass_kg"] == 58.0
    assert people.runa.version == 1


def test_every_change_is_kept_with_who_and_why(people: ClubPeople) -> None:
    """The name follows the document, and the state before it can still be read."""
    changed = demo_document("athlete") | {"name": "Runa Holm", "mass_kg": 59.0}
    people.runa.save_document(changed, by=people.colleague, based_on=1, why="weighed again")
    people.runa.refresh_from_db()
    assert (people.runa.name, people.runa.version) == ("Runa Holm", 2)
    versions = list(people.runa.versions.values_list("number", "document__mass_kg", "made_by__username", "why"))
    assert versions == [(1, 58.0, "owner", ""), (2, 59.0, "colleague", "weighed again")]


def test_a_change_to_an_older_state_is_refused(people: ClubPeople) -> None:
    """Two who change the same athlete do not write over each other."""
    people.runa.save_document(demo_document("athlete") | {"mass_kg": 59.0}, by=people.owner, based_on=1)
    with pytest.raises(ChangedMeanwhileError, match="version 2, yours began at 1"):
        people.runa.save_document(demo_document("athlete") | {"mass_kg": 60.0}, by=people.colleague, based_on=1)
    people.runa.refresh_from_db()
    assert people.runa.document["mass_kg"] == 59.0


def test_withdrawn_bands_are_not_in_the_kit_that_is_used(people: ClubPeople) -> None:
    """Three "flat thin", one torn: two are left; with all three gone the band is gone, and the document keeps it."""
    withdraw = people.kit.withdrawals.create
    withdraw(band="flat thin", count=1, day=date(2026, 3, 2), reason="torn at the loop", made_by=people.assistant)
    counts = {band.name: band.count for band in people.kit.kit().bands}
    assert counts["flat thin"] == 3 - 1
    assert counts["flat 15"] == 3
    withdraw(band="flat thin", count=2, day=date(2026, 3, 9), reason="sticky", made_by=people.assistant)
    assert "flat thin" not in {band.name for band in people.kit.kit().bands}
    assert "flat thin" in {band.name for band in people.kit.read().bands}


def test_sessions_are_counted_for_each_athlete_and_versions_for_each_session(people: ClubPeople) -> None:
    """Numbers begin at 1 for every athlete; the newest version holds."""
    from firstpush.web.sessions.models import Plan

    second = Plan.of(people.runa)
    assert [people.plan.number, second.number, people.plan_of_jon.number] == [1, 2, 1]
    assert second.newest is None
    made = people.plan.add_version(request={}, document={"minutes": 20}, by=people.assistant)
    assert people.plan.newest == made
    assert people.plan.versions.count() == 2


def test_the_table_of_versions_is_complete() -> None:
    """Every model that is a version is guarded by triggers."""
    from firstpush.web.documents import Version

    tables = {model._meta.db_table for model in apps.get_models() if issubclass(model, Version)}
    assert tables == set(APPEND_ONLY_TABLES)


@pytest.mark.parametrize("table", APPEND_ONLY_TABLES)
@pytest.mark.parametrize("change", ["UPDATE {table} SET why = 'other'", "DELETE FROM {table}"])
def test_the_database_refuses_to_change_a_version(table: str, change: str, people: ClubPeople) -> None:
    """Past all our code, SQLite itself says no."""
    with connection.cursor() as cursor:
        cursor.execute(f"SELECT count(*), min(why) FROM {table}")
        before = cursor.fetchone()
        assert before[0] > 0, "there must be a row to change"
        with pytest.raises(Error, match="never changed"), transaction.atomic():
            cursor.execute(change.format(table=table))
        cursor.execute(f"SELECT count(*), min(why) FROM {table}")
        assert cursor.fetchone() == before


def everything_stored() -> str:
    """Return every value of every table."""
    with connection.cursor() as cursor:
        cursor.execute("SELECT name FROM sqlite_master WHERE type = 'table'")
        tables = [row[0] for row in cursor.fetchall()]
        values = []
        for table in tables:
            cursor.execute(f'SELECT * FROM "{table}"')
            values += [str(value) for row in cursor.fetchall() for value in row]
    return "\n".join(values)


def test_of_an_erased_person_nothing_is_left(people: ClubPeople, visit: Visit) -> None:
    """Name, versions, sessions, days and the account go; the team mate's stay, and versions are guarded again."""
    visit("athlete")
    assert "Runa Velde" in everything_stored()
    erase_person(people.runa)
    left = everything_stored()
    assert "Runa" not in left
    assert "late bus" not in left
    assert "Jon Brage" in left
    assert people.plan_of_jon.versions.count() == 1
    assert not type(people.owner).objects.filter(username="athlete").exists()
    with pytest.raises(Error, match="never changed"), transaction.atomic():
        people.plan_of_jon.versions.all().delete()


@pytest.mark.parametrize(("typed", "status"), [("Runa", 422), ("", 422), (" runa velde ", 302)])
def test_erasing_asks_for_the_name(typed: str, status: int, people: ClubPeople, visit: Visit) -> None:
    """Only who types the name erases; a wrong one keeps everything."""
    url = reverse("erase_athlete", kwargs={"id_": people.runa.pk})
    response = visit("owner").post(url, {"name": typed})
    assert response.status_code == status
    assert (people.runa.name in everything_stored()) == (status == 422)


def test_a_person_can_be_handed_everything(people: ClubPeople, visit: Visit) -> None:
    """The export opens as a zip; its athlete file reads as the athlete, and every version and session is in it."""
    people.runa.save_document(demo_document("athlete") | {"mass_kg": 59.0}, by=people.colleague, why="weighed\nagain")
    response = visit("colleague").get(reverse("export_athlete", kwargs={"id_": people.runa.pk}))
    assert response["Content-Disposition"] == 'attachment; filename="runa-velde.zip"'
    archive = ZipFile(io.BytesIO(response.content))
    assert archive.testzip() is None
    assert sorted(archive.namelist()) == [
        "README.txt",
        "agreed.json",
        "athlete.toml",
        "on-court.json",
        "presence.json",
        "programmes/0001.json",
        "record.json",
        "sessions/0001-0001.json",
        "speed-and-courses.json",
        "versions/0001.toml",
        "versions/0002.toml",
    ]
    assert tomllib.loads(archive.read("athlete.toml").decode())["mass_kg"] == 59.0
    assert tomllib.loads(archive.read("versions/0001.toml").decode()) == demo_document("athlete")
    assert json.loads(archive.read("presence.json")) == [
        {"day": "2026-03-02", "status": "present", "remark": "late bus"}
    ]
    assert json.loads(archive.read("record.json"))["account"] == "athlete"
    assert json.loads(archive.read("sessions/0001-0001.json"))["why"] == "first one"
    assert "Jon Brage" not in "".join(archive.read(name).decode() for name in archive.namelist())


@pytest.mark.django_db
def test_migrations_say_what_the_models_are() -> None:
    """No change to a model is without its migration."""
    from django.core.management import call_command

    call_command("makemigrations", check=True, dry_run=True, verbosity=0)
