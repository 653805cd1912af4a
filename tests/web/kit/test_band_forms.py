"""Bands, cupboards and venues typed into forms: what is sound is stored, what is not comes back with its reason."""

from __future__ import annotations

from typing import Any

import pytest
from club_people import ClubPeople, demo_document
from django.test import Client
from django.urls import reverse
from kit_pages import sent_by, text_of

from conftest import Visit
from firstpush.core.kit.kit_file import kit_from
from firstpush.web.kit.models import BandWithdrawal, KitRecord, VenueRecord


def band_url(people: ClubPeople, number: int = 1, name: str = "change_band") -> str:
    """Return the address of a page about a band, counted from 1."""
    return reverse(name, kwargs={"id_": people.kit.pk, "number": number})


@pytest.fixture
def owner(visit: Visit) -> Client:
    """Return the owner's browser."""
    return visit("owner")


def new_band(people: ClubPeople) -> str:
    """Return the address of the form for another band."""
    return reverse("new_band", kwargs={"id_": people.kit.pk})


NEW: dict[str, Any] = {
    "name": "grey roll",
    "material": "latex-free",
    "length_m": "5.5",
    "count": "",
    "pulls-TOTAL_FORMS": "3",
    "pulls-INITIAL_FORMS": "0",
    "pulls-0-elongation_percent": "100",
    "pulls-0-force": "24",
    "pulls-0-unit": "N",
}


def test_saving_a_form_as_it_is_changes_nothing(people: ClubPeople, owner: Client) -> None:
    """Every entry page, sent back as it came, stores the document that core reads as the same."""
    kit, venue = people.kit.read(), people.venue.read()
    urls = [band_url(people, number) for number in range(1, len(kit.bands) + 1)]
    for url in (
        *urls,
        reverse("change_kit", kwargs={"id_": people.kit.pk}),
        reverse("change_venue", kwargs={"id_": people.venue.pk}),
    ):
        assert owner.post(url, sent_by(owner, url)).status_code == 302, url
    people.kit.refresh_from_db()
    people.venue.refresh_from_db()
    assert people.kit.read() == kit
    assert people.venue.read() == venue
    assert people.kit.version == len(urls) + 2


def test_one_pull_is_enough(people: ClubPeople, owner: Client) -> None:
    """A band with one pull is stored, shown with its range, and the missing count is one."""
    before = len(people.kit.document["bands"])
    response = owner.post(new_band(people), NEW, follow=True)
    people.kit.refresh_from_db()
    band = people.kit.read().bands[-1]
    assert (len(people.kit.document["bands"]), band.name, band.count) == (before + 1, "grey roll", 1)
    assert [(pull.elongation, pull.force) for pull in band.pulls] == [(1.0, 24.0)]
    assert "One pull is known of it" in text_of(response)


def test_a_scale_in_kilograms(people: ClubPeople, owner: Client) -> None:
    """2.5 kg on the hook scale are 2.5 × 9.81 N; a decimal comma is a decimal point."""
    owner.post(new_band(people), NEW | {"pulls-0-force": "2,5", "pulls-0-unit": "kg"})
    people.kit.refresh_from_db()
    assert people.kit.read().bands[-1].pulls[0].force == pytest.approx(2.5 * 9.81)


def test_what_is_not_said_of_the_material_counts_as_latex(people: ClubPeople, owner: Client) -> None:
    """Not known is stored as not known, and core takes it for latex."""
    owner.post(new_band(people), NEW | {"material": "unknown"})
    people.kit.refresh_from_db()
    assert people.kit.document["bands"][-1]["material"] == "unknown"
    assert people.kit.read().bands[-1].material == "latex"


@pytest.mark.parametrize(
    ("typed", "row", "field", "says"),
    [
        ({"length_m": "250"}, None, "length_m", "did you mean 2.5"),
        ({"length_m": "two"}, None, "length_m", "This is not a number"),
        ({"name": ""}, None, "name", "Give it a name"),
        ({"name": "TAKEN"}, None, "name", "is taken by"),
        ({"count": "1.5"}, None, "count", "not a whole number"),
        ({"pulls-0-force": "2400"}, 0, "force", "0.2 to 1000 N"),
        ({"pulls-0-force": ""}, 0, "force", "what the hook scale showed"),
        ({"pulls-0-elongation_percent": "250"}, 0, "elongation_percent", "beyond the band"),
        ({"pulls-1-elongation_percent": "50", "pulls-1-force": "30", "pulls-1-unit": "N"}, 0, "force", "pulls harder"),
    ],
)
def test_a_fault_of_core_stands_beside_its_field(
    people: ClubPeople, owner: Client, typed: dict[str, str], row: int | None, field: str, says: str
) -> None:
    """Nothing is stored, everything typed is still there, and the reason stands at the field that is wrong."""
    if typed.get("name") == "TAKEN":
        typed = {"name": people.kit.document["bands"][0]["name"].upper()}
    response = owner.post(new_band(people), NEW | typed)
    assert response.status_code == 422
    entry = response.context["entry"]
    form = entry.form if row is None else entry.rows["pulls"].forms[row]
    assert says in str(form.errors.get(field)), (form.errors, entry.form.errors)
    for name, value in (NEW | typed).items():
        if name not in ("pulls-TOTAL_FORMS", "pulls-INITIAL_FORMS") and value:
            assert value in text_of(response), f"{name} was lost"
    people.kit.refresh_from_db()
    assert people.kit.version == 1


def test_all_faults_at_once(people: ClubPeople, owner: Client) -> None:
    """Two wrong fields, two reasons."""
    entry = owner.post(new_band(people), NEW | {"length_m": "900", "pulls-0-force": "5000"}).context["entry"]
    assert "length_m" in entry.form.errors
    assert "force" in entry.rows["pulls"].forms[0].errors


def test_what_cannot_be_read_hides_no_fault_of_core(people: ClubPeople, owner: Client) -> None:
    """A word where a number belongs, a number out of range and a row without its force are told together."""
    typed = {
        "count": "four",
        "length_m": "900",
        "pulls-0-elongation_percent": "900",
        "pulls-1-elongation_percent": "50",
    }
    response = owner.post(new_band(people), NEW | typed)
    entry = response.context["entry"]
    pulls = entry.rows["pulls"].forms
    assert response.status_code == 422
    assert "not a number" in str(entry.form.errors["count"])
    assert "0.15 to 50 m" in str(entry.form.errors["length_m"])
    assert "5 to 700 %" in str(pulls[0].errors["elongation_percent"])
    assert "hook scale showed" in str(pulls[1].errors["force"])
    assert len(pulls[1].errors["force"]) == 1, "what is missing is told once"
    people.kit.refresh_from_db()
    assert people.kit.version == 1


def test_two_who_change_the_same_cupboard(people: ClubPeople, owner: Client, visit: Visit) -> None:
    """Who comes second is told so and loses nothing; the first change stays."""
    url = band_url(people)
    first, second = sent_by(owner, url), sent_by(visit("colleague"), url)
    assert owner.post(url, first | {"count": "7"}).status_code == 302
    response = visit("colleague").post(url, second | {"count": "9"})
    assert response.status_code == 422
    assert "changed by somebody else meanwhile" in text_of(response)
    assert 'value="9"' in text_of(response)
    people.kit.refresh_from_db()
    assert people.kit.document["bands"][0]["count"] == 7


def test_why_stands_in_the_history(people: ClubPeople, owner: Client) -> None:
    """Who, why and what changed."""
    url = band_url(people)
    owner.post(url, sent_by(owner, url) | {"count": "7", "why": "three new ones"})
    page = text_of(owner.get(reverse("kit_history", kwargs={"id_": people.kit.pk})))
    assert "three new ones" in page
    assert "→ 7" in page
    assert "owner" in page


def test_a_withdrawn_band_stays_withdrawn_under_another_name(people: ClubPeople, owner: Client) -> None:
    """Correcting what a band is called brings no torn one back; going back to the old name neither."""
    name = people.kit.document["bands"][0]["name"]
    count = people.kit.document["bands"][0]["count"]
    BandWithdrawal.objects.create(kit=people.kit, band=name, count=1, day="2026-03-02", reason="torn")
    url = band_url(people)
    owner.post(url, sent_by(owner, url) | {"name": "renamed"})
    people.kit.refresh_from_db()
    assert people.kit.kit().bands[0].name == "renamed"
    assert people.kit.kit().bands[0].count == count - 1
    owner.post(reverse("restore_kit", kwargs={"id_": people.kit.pk, "number": 1}))
    people.kit.refresh_from_db()
    assert people.kit.kit().bands[0].name == name
    assert people.kit.kit().bands[0].count == count - 1


def test_taken_off_the_list_and_back(people: ClubPeople, owner: Client) -> None:
    """A band goes off the list as a version, and undo brings it back as another."""
    before = people.kit.document
    owner.post(band_url(people, 2, "take_out_band"), {"based_on": "1"})
    people.kit.refresh_from_db()
    assert len(people.kit.document["bands"]) == len(before["bands"]) - 1
    owner.post(reverse("restore_kit", kwargs={"id_": people.kit.pk, "number": 1}))
    people.kit.refresh_from_db()
    assert people.kit.document == before
    assert people.kit.version == 3


def test_a_band_is_not_taken_off_a_list_that_moved(people: ClubPeople, owner: Client) -> None:
    """Another version came meanwhile: nothing goes, and the reason is said."""
    owner.post(band_url(people, 2, "take_out_band"), {"based_on": "1"})
    response = owner.post(band_url(people, 2, "take_out_band"), {"based_on": "1"}, follow=True)
    assert "meanwhile" in text_of(response)
    people.kit.refresh_from_db()
    assert people.kit.version == 2


@pytest.mark.parametrize("name", ["band", "change_band"])
def test_a_band_that_is_not_there(people: ClubPeople, owner: Client, name: str) -> None:
    """No band at this place: not found."""
    for number in (0, 99):
        assert owner.get(band_url(people, number, name)).status_code == 404


def test_a_new_cupboard_with_two_bands(people: ClubPeople, owner: Client) -> None:
    """Name and rows make a cupboard; a row left empty is no band; core reads it."""
    rows: dict[str, Any] = {"name": "Boathouse", "bands-TOTAL_FORMS": "4", "bands-INITIAL_FORMS": "0"}
    for number, (name, force) in enumerate((("thin", "9"), ("", ""), ("thick", ""))):
        rows |= {
            f"bands-{number}-name": name,
            f"bands-{number}-material": "unknown",
            f"bands-{number}-length_m": "2" if name else "",
            f"bands-{number}-elongation_percent": "100",
            f"bands-{number}-force": force,
            f"bands-{number}-unit": "N",
        }
    assert owner.post(reverse("new_kit"), rows).status_code == 302
    made = KitRecord.objects.get(name="Boathouse")
    assert [(band.name, len(band.pulls)) for band in made.read().bands] == [("thin", 1), ("thick", 0)]
    wrong = owner.post(reverse("new_kit"), rows | {"bands-0-length_m": "", "bands-2-length_m": "2000"})
    assert wrong.status_code == 422
    forms = wrong.context["entry"].rows["bands"].forms
    assert "laid slack" in str(forms[0].errors["length_m"])
    assert KitRecord.objects.filter(name="Boathouse").count() == 1
    far = owner.post(reverse("new_kit"), rows | {"bands-0-force": "5000", "bands-2-length_m": "2000"})
    forms = far.context["entry"].rows["bands"].forms
    assert "0.2 to 1000 N" in str(forms[0].errors["force"])
    assert "0.15 to 50 m" in str(forms[2].errors["length_m"])


def test_everything_else_in_the_cupboard(people: ClubPeople, owner: Client) -> None:
    """Counts go to their tables, an emptied row goes, and what is wrong stands beside its field."""
    url = reverse("change_kit", kwargs={"id_": people.kit.pk})
    sent = sent_by(owner, url)
    balls = len(people.kit.read().balls)
    changed = sent | {"cones": "31", "door_anchors": "2", "chest_straps": "", "chocks": "4", "chock_height_m": "0,09"}
    changed |= {name: "" for name in sent if name.startswith("balls-0-")}
    assert owner.post(url, changed).status_code == 302
    people.kit.refresh_from_db()
    kit = people.kit.read()
    assert (kit.cones, kit.door_anchors, kit.chest_straps, kit.chocks, kit.chock_height) == (31, 2, 0, 4, 0.09)
    assert len(kit.balls) == balls - 1
    wrong = sent_by(owner, url) | {"cones": "900", "chocks": "4", "chock_height_m": "", "waist_straps": "many"}
    response = owner.post(url, wrong)
    assert response.status_code == 422
    assert "not a number" in str(response.context["entry"].form.errors["waist_straps"])
    response = owner.post(url, wrong | {"waist_straps": "2"})
    errors = response.context["entry"].form.errors
    assert "0 to 500 pieces" in str(errors["cones"])
    assert "0.02 to 0.3 m" in str(errors["chock_height_m"])


def test_a_new_venue(people: ClubPeople, owner: Client) -> None:
    """Heights as a range or as a list; what stays empty is not known."""
    rows = {
        "name": "Sail loft",
        "surface": "sprung wood",
        "posts-TOTAL_FORMS": "2",
        "posts-INITIAL_FORMS": "0",
        "posts-0-name": "bars",
        "posts-0-height_from_m": "0.2",
        "posts-0-height_to_m": "0.5",
        "posts-0-height_step_m": "0.15",
        "posts-0-room_in_front_m": "3",
        "posts-0-places": "2",
        "posts-1-name": "railing",
        "posts-1-heights": "0,45; 1,05",
        "posts-1-room_in_front_m": "2.5",
    }
    assert owner.post(reverse("new_venue"), rows).status_code == 302
    venue = VenueRecord.objects.get(name="Sail loft").read()
    assert [post.heights for post in venue.posts] == [(0.2, 0.35, 0.5), (0.45, 1.05)]
    assert (venue.floor_length, venue.helpers, venue.posts[1].places) == (None, None, 1)
    for typed, row, field, says in (
        ({"posts-0-height_from_m": "0.9"}, 0, "height_from_m", "above"),
        ({"posts-0-height_to_m": ""}, 0, "height_to_m", "from where to where"),
        ({"posts-0-heights": "0.5"}, 0, "heights", "leave the other empty"),
        ({"posts-1-heights": "0.5; 45"}, 1, "heights", "0 to 4 m"),
        ({"posts-1-room_in_front_m": ""}, 1, "room_in_front_m", "how much floor is free"),
        ({"posts-1-name": "Bars"}, 1, "name", "is taken by"),
    ):
        response = owner.post(reverse("new_venue"), rows | typed)
        assert response.status_code == 422, typed
        assert says in str(response.context["entry"].rows["posts"].forms[row].errors.get(field)), typed
    assert VenueRecord.objects.filter(name="Sail loft").count() == 1


def test_a_floor_that_core_does_not_know_stays(people: ClubPeople, owner: Client) -> None:
    """A word of a file that is in no list is kept until somebody chooses another."""
    document = demo_document("venue") | {"surface": "pontoon planks"}
    people.venue.save_document(document, by=people.owner)
    url = reverse("change_venue", kwargs={"id_": people.venue.pk})
    owner.post(url, sent_by(owner, url) | {"helpers": "3"})
    people.venue.refresh_from_db()
    assert (people.venue.document["surface"], people.venue.document["helpers"]) == ("pontoon planks", 3)


def test_pulls_are_stored_by_rising_elongation(people: ClubPeople, owner: Client) -> None:
    """Rows may be typed in any order."""
    typed = {"pulls-1-elongation_percent": "50", "pulls-1-force": "15", "pulls-1-unit": "N"}
    owner.post(new_band(people), NEW | typed)
    people.kit.refresh_from_db()
    assert [each["elongation_percent"] for each in people.kit.document["bands"][-1]["pulls"]] == [50, 100]
    kit_from(people.kit.document, where="test")
