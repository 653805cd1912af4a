"""History, undo, copies and files of cupboards and venues."""

from __future__ import annotations

import tomllib
from pathlib import Path
from typing import Any

import pytest
from club_people import ClubPeople, demo_document
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse
from kit_pages import text_of

from conftest import Visit
from firstpush.core.kit.kit_file import load_kit
from firstpush.core.kit.venue_file import load_venue
from firstpush.web.kit.models import BandWithdrawal, KitRecord, VenueRecord

MODELS: dict[str, Any] = {"kit": KitRecord, "venue": VenueRecord}
LOADERS: dict[str, Any] = {"kit": load_kit, "venue": load_venue}
WHATS = ("kit", "venue")
FAULTY = """name = "Boathouse"

[[bands]]
name = "thin"
length_m = 250
pulls = [ { elongation_percent = 100, force_n = 9.0 },
          { elongation_percent = 150, force_n = 4.0 } ]

[cones]
cuont = 4
"""


def url(name: str, people: ClubPeople, what: str, **more: int) -> str:
    """Return an address about the club's cupboard or venue; {} in the name stands for which of the two."""
    return reverse(name.format(what), kwargs={"id_": getattr(people, what).pk, **more})


@pytest.mark.parametrize("what", WHATS)
def test_undo_is_a_new_version(people: ClubPeople, visit: Visit, what: str) -> None:
    """Going back writes the old state as the newest; nothing is taken away; who and why stand there."""
    record = getattr(people, what)
    before = record.document
    record.save_document(before | {"name": "Elsewhere"}, by=people.colleague, why="moved")
    owner = visit("owner")
    page = text_of(owner.get(url("{}", people, what)))
    assert "Undo" in page
    assert "name: " in page
    assert owner.post(url("restore_{}", people, what, number=1)).status_code == 302
    record.refresh_from_db()
    assert record.document == before
    versions = list(record.versions.all())
    assert [each.number for each in versions] == [1, 2, 3]
    assert (versions[2].made_by, versions[2].why) == (people.owner, "as in version 1")
    history = text_of(owner.get(url("{}_history", people, what)))
    assert "moved" in history
    assert "colleague" in history


@pytest.mark.parametrize("what", WHATS)
def test_a_version_that_is_not_there(people: ClubPeople, visit: Visit, what: str) -> None:
    """Not found, and nothing written."""
    assert visit("owner").post(url("restore_{}", people, what, number=7)).status_code == 404
    assert getattr(people, what).version == 1


@pytest.mark.parametrize("what", WHATS)
def test_a_copy_has_its_own_name_and_life(people: ClubPeople, visit: Visit, what: str) -> None:
    """Two copies have two names; changing one leaves the first as it is."""
    owner = visit("colleague")
    for _ in range(2):
        assert owner.post(url("copy_{}", people, what)).status_code == 302
    name = getattr(people, what).name
    names = sorted(MODELS[what].objects.filter(club=people.club).values_list("name", flat=True))
    assert names == [name, f"{name}, copy", f"{name}, copy 2"]
    made = MODELS[what].objects.get(name=f"{name}, copy")
    made.save_document(made.document | {"name": "Changed"}, by=people.owner)
    getattr(people, what).refresh_from_db()
    assert getattr(people, what).document["name"] == name


def test_what_is_withdrawn_is_not_copied(people: ClubPeople, visit: Visit) -> None:
    """A torn band lies in one cupboard only."""
    band = people.kit.document["bands"][0]
    BandWithdrawal.objects.create(
        kit=people.kit, band=band["name"], count=band["count"], day="2026-03-02", reason="torn"
    )
    visit("owner").post(url("copy_{}", people, "kit"))
    made = KitRecord.objects.get(name__endswith=", copy")
    assert band["name"] not in [each["name"] for each in made.document["bands"]]


@pytest.mark.parametrize("what", WHATS)
def test_out_of_use_and_back(people: ClubPeople, visit: Visit, what: str) -> None:
    """It stays readable, says so, and comes back."""
    owner = visit("owner")
    page = text_of(owner.post(url("use_{}", people, what), follow=True))
    assert "Out of use since" in page
    getattr(people, what).refresh_from_db()
    assert getattr(people, what).withdrawn_at is not None
    page = text_of(owner.post(url("use_{}", people, what), follow=True))
    assert "Out of use since" not in page


@pytest.mark.parametrize("what", WHATS)
def test_out_as_a_file_and_in_again(people: ClubPeople, visit: Visit, what: str, tmp_path: Path) -> None:
    """The file is one that the command line reads as the same, and taken in it is the same again."""
    owner = visit("owner")
    given = owner.get(url("{}_file", people, what))
    assert given["Content-Disposition"].startswith("attachment; filename=")
    path = tmp_path / "given.toml"
    path.write_bytes(given.content)
    record = getattr(people, what)
    assert LOADERS[what](path) == record.read()
    assert tomllib.loads(given.content.decode()) == record.document
    response = owner.post(
        reverse(f"new_{what}_from_file"), {"file": SimpleUploadedFile("given.toml", given.content), "text": ""}
    )
    assert response.status_code == 302
    made = MODELS[what].objects.exclude(pk=record.pk).get(club=people.club)
    assert made.document == record.document
    assert made.versions.get().why == "taken in from given.toml"


def test_what_is_withdrawn_in_a_file(people: ClubPeople, visit: Visit) -> None:
    """The whole file says what is withdrawn; the file of what is in use has it no longer."""
    band = people.kit.document["bands"][0]
    BandWithdrawal.objects.create(kit=people.kit, band=band["name"], count=1, day="2026-03-02", reason="torn\nat knot")
    owner = visit("owner")
    whole = owner.get(url("{}_file", people, "kit")).content.decode()
    in_use = owner.get(url("{}_file", people, "kit") + "?in-use").content.decode()
    assert f"# 1 x {band['name']}, 2 March 2026: torn at knot" in whole
    assert tomllib.loads(whole)["bands"][0]["count"] == band["count"]
    assert tomllib.loads(in_use) == people.kit.document_in_use()


@pytest.mark.parametrize("how", ["file", "text"])
@pytest.mark.parametrize("where", ["new", "in its place"])
def test_a_file_with_faults_tells_all_with_their_lines(people: ClubPeople, visit: Visit, how: str, where: str) -> None:
    """Nothing is saved; every fault has its line and what to do; the text is there to be corrected."""
    owner = visit("owner")
    address = reverse("new_kit_from_file") if where == "new" else url("{}_from_file", people, "kit")
    sent = {"file": SimpleUploadedFile("boat.toml", FAULTY.encode())} if how == "file" else {"text": FAULTY}
    response = owner.post(address, sent)
    assert response.status_code == 422
    assert [each.fault.line for each in response.context["faults"]] == [5, 7, 10]
    page = text_of(response)
    assert "did you mean 2.5" in page
    assert "did you mean count" in page
    assert "length_m = 250" in page.partition("<textarea")[2], "the text was lost"
    assert KitRecord.objects.filter(club=people.club).count() == 1
    people.kit.refresh_from_db()
    assert people.kit.version == 1
    corrected = FAULTY.replace("250", "2.5").replace("4.0", "11.7").replace("cuont", "count")
    assert owner.post(address, {"text": corrected}).status_code == 302
    assert KitRecord.objects.get(name="Boathouse").read().cones == 4


@pytest.mark.parametrize(
    ("sent", "says"),
    [
        ({}, "Choose a file"),
        ({"file": SimpleUploadedFile("a.toml", b'name = "\xff"')}, "not UTF-8"),
        ({"file": SimpleUploadedFile("a.toml", b"#" * 300_000)}, "too long"),
        ({"text": "name = Boathouse"}, "Put words in quotation marks"),
        ({"text": 'name = "' + "x" * 130 + '"'}, "Shorten it"),
    ],
)
def test_what_is_no_file(people: ClubPeople, visit: Visit, sent: dict[str, Any], says: str) -> None:
    """What cannot be read is told with what to do."""
    response = visit("owner").post(reverse("new_kit_from_file"), sent)
    assert response.status_code == 422
    assert says in text_of(response)
    assert KitRecord.objects.filter(club=people.club).count() == 1


def test_a_venue_is_no_cupboard(people: ClubPeople, visit: Visit) -> None:
    """The wrong kind of file is refused by what core does not know in it."""
    text = visit("owner").get(url("{}_file", people, "venue")).content.decode()
    response = visit("owner").post(reverse("new_kit_from_file"), {"text": text})
    assert response.status_code == 422
    assert "posts" in text_of(response)


@pytest.mark.parametrize("what", WHATS)
def test_who_only_reads_gets_no_way_to_write(people: ClubPeople, visit: Visit, what: str) -> None:
    """The assistant sees the page without buttons that would be refused."""
    page = text_of(visit("assistant").get(url("{}", people, what)))
    assert "Copy" not in page
    assert "Change" not in page
    assert "Save as a file" in page


@pytest.mark.parametrize("name", ["copy_{}", "use_{}", "restore_{}"])
def test_what_writes_takes_no_get(people: ClubPeople, visit: Visit, name: str) -> None:
    """Following a link changes nothing."""
    more = {"number": 1} if name.startswith("restore") else {}
    for what in WHATS:
        assert visit("owner").get(url(name, people, what, **more)).status_code == 405


def test_an_empty_club(people: ClubPeople, visit: Visit) -> None:
    """A club without cupboard and venue is told what it lacks, and how to begin."""
    page = text_of(visit("stranger").get(reverse("kit_and_venue")))
    assert "No cupboard yet" in page
    assert "No venue yet" in page
    assert demo_document("kit")["name"] not in page, "another club's cupboard"
