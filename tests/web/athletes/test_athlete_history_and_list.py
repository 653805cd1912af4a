"""Every version with what changed in it, the way back, and the list of athletes."""

from __future__ import annotations

import re
from typing import Any

import pytest
from club_people import ClubPeople, demo_document
from django.urls import reverse

from conftest import Visit
from firstpush.web.athletes.read_out import changes


def test_the_history_says_who_changed_what_and_why(people: ClubPeople, visit: Visit) -> None:
    """Names and units as people say them, newest first."""
    changed = demo_document("athlete") | {"mass_kg": 59.5}
    people.runa.save_document(changed, by=people.colleague, why="weighed again")
    page = visit("assistant").get(reverse("athlete_history", kwargs={"id_": people.runa.pk})).content.decode()
    for words in ("Mass: 58 kg → 59.5 kg", "Weighed again", "colleague"):
        assert words in page
    assert page.index("59.5 kg") < page.index(">1<"), "newest first"
    assert "Back to 1" not in page, "an assistant reads"
    assert (
        "Back to 1" in visit("owner").get(reverse("athlete_history", kwargs={"id_": people.runa.pk})).content.decode()
    )


def test_going_back_makes_a_new_version(people: ClubPeople, visit: Visit) -> None:
    """Nothing of the history goes, and the state is the old one again."""
    people.runa.save_document(demo_document("athlete") | {"mass_kg": 59.5}, by=people.colleague)
    url = reverse("restore_athlete", kwargs={"id_": people.runa.pk})
    assert visit("owner").post(url, {"number": "1"}).status_code == 302
    people.runa.refresh_from_db()
    assert people.runa.document == demo_document("athlete")
    told = list(people.runa.versions.values_list("number", "document__mass_kg", "made_by__username", "why"))
    assert told[1:] == [(2, 59.5, "colleague", ""), (3, 58.0, "owner", "back to version 1")]


@pytest.mark.parametrize("number", ["", "0", "7", "one", "1e9", "99999999999"])
def test_there_is_no_way_back_to_what_never_was(number: str, people: ClubPeople, visit: Visit) -> None:
    """404, and nothing changes."""
    url = reverse("restore_athlete", kwargs={"id_": people.runa.pk})
    assert visit("owner").post(url, {"number": number}).status_code == 404
    assert visit("owner").get(url).status_code == 405
    assert people.runa.version == 1


@pytest.mark.parametrize(
    ("before", "after", "says"),
    [
        ({"mass_kg": 58}, {"mass_kg": 60}, ["Mass: 58 kg → 60 kg"]),
        ({}, {"health": {"latex": "avoid"}}, ["Latex: unknown → avoid"]),
        ({"chairs": [{"kind": "court"}]}, {"chairs": [{"kind": "daily"}]}, ["Chair 1, kind: court → daily"]),
        (
            {"function": {"left": {"grip": "full"}}},
            {"function": {"left": {"grip": "none"}}},
            ["Grip, left: full → none"],
        ),
        (
            {"active_range_deg": {"right": {"elevation": "full"}}},
            {"active_range_deg": {"right": {"elevation": 120}}},
            ["Active elevation, right: full → 120°"],
        ),
        ({"missing_limbs": "none"}, {"missing_limbs": ["left foot"]}, ["Missing limbs: none → left foot"]),
        ({"health": {"pain": "none"}}, {}, ["Pain: none → unknown"]),
        ({"colour": "red"}, {"colour": "red"}, []),
        ({}, {"colour": "red"}, ["colour: unknown → red"]),
    ],
)
def test_what_changed_is_told_in_words(before: dict[str, Any], after: dict[str, Any], says: list[str]) -> None:
    """One line for each key that differs; a key that no form knows is told by its name."""
    assert changes(before, after) == says


@pytest.mark.parametrize(
    ("asked", "found"),
    [("", {"Runa Velde", "Jon Brage"}), ("velde", {"Runa Velde"}), ("7", {"Runa Velde"}), ("zz", set()), ("%", set())],
)
def test_the_list_is_searched_by_name_and_number(asked: str, found: set[str], people: ClubPeople, visit: Visit) -> None:
    """Runa wears 7; what is asked stays in the field."""
    page = visit("assistant").get(reverse("athletes"), {"q": asked}).content.decode()
    assert {name for name in ("Runa Velde", "Jon Brage") if f">{name}</a>" in page} == found
    assert f'value="{asked}"' in page


def test_the_list_says_what_limits_whom(people: ClubPeople, visit: Visit) -> None:
    """Level, limbs and conditions in a few words; nothing known is unknown, never none."""
    plain = people.runa.document
    for health, limbs, says in (
        ({"spinal_level": "T4"}, None, "T4"),
        ({"spinal_level": "none", "conditions": ["hemiplegia"]}, None, "hemiplegia"),
        (
            {"spinal_level": "none"},
            ["left above knee", "right above knee"],
            "without left above knee, right above knee",
        ),
        ({"spinal_level": "none", "conditions": "none"}, "none", "no spinal cord injury"),
        ({}, None, "unknown"),
    ):
        document = {key: value for key, value in plain.items() if key not in ("health", "missing_limbs")}
        document |= ({"health": health} if health else {}) | ({"missing_limbs": limbs} if limbs else {})
        people.jon.save_document(document | {"name": "Jon Brage"}, by=people.owner, based_on=people.jon.version, why="")
        page = visit("colleague").get(reverse("athletes"), {"q": "jon brage"}).content.decode()
        assert f'data-label="Level or impairment">{says}</td>' in page


def test_who_is_put_aside_stands_aside(people: ClubPeople, visit: Visit) -> None:
    """Not in the table, still to be found, and back with one more press; no version is made."""
    owner, url = visit("owner"), reverse("withdraw_athlete", kwargs={"id_": people.jon.pk})
    assert owner.get(url).status_code == 405
    owner.post(url)
    page = owner.get(reverse("athletes")).content.decode()
    assert page.index("Put aside</h2>") < page.index(">Jon Brage</a>")
    assert "Take back into the list" in owner.get(reverse("athlete", kwargs={"id_": people.jon.pk})).content.decode()
    owner.post(url)
    assert "Put aside</h2>" not in owner.get(reverse("athletes")).content.decode()
    people.jon.refresh_from_db()
    assert (people.jon.withdrawn_at, people.jon.version) == (None, 1)


def test_the_page_says_what_is_known_and_where_it_comes_from(people: ClubPeople, visit: Visit) -> None:
    """A measured size stands open, a usual one is folded under what says so, the rest is listed as unknown."""
    document = demo_document("athlete")
    del document["chairs"][0]["seat_height_m"], document["health"]["latex"]
    people.runa.save_document(document, by=people.owner)
    page = " ".join(visit("assistant").get(reverse("athlete", kwargs={"id_": people.runa.pk})).content.decode().split())
    chair = page.split('id="chairs"', 1)[1].split("</section>", 1)[0]
    measured, usual = chair.split(
        '<details class="fold"><summary>1 usual size of a court chair, not measured</summary>'
    )
    assert "<dt>Seat height</dt><dd><span>0.52 m</span></dd>" in usual.split("</details>")[0]
    assert "<dt>Camber of each wheel</dt><dd><span>17°</span></dd>" in measured
    health = page.split('id="health"', 1)[1].split("</section>", 1)[0]
    assert re.search(r'<p class="unknown">Unknown: [^<]*\blatex\b', health)
    assert "<dt>Latex</dt>" not in page
    assert reverse("edit_body", kwargs={"id_": people.runa.pk}) not in page, "an assistant reads"
