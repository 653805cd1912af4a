"""A new athlete: from a page with few fields to a document that core reads, or back with what was typed."""

from __future__ import annotations

import re
from typing import Any

import pytest
from club_people import ClubPeople
from django.urls import reverse

from conftest import Visit
from firstpush.web.athletes.csv_list import COLUMNS
from firstpush.web.athletes.models import AthleteRecord

TYPED: dict[str, Any] = {
    "name": "Mareike Tordal",
    "mass_kg": "49,5",
    "arm_span_m": "1.52",
    "chair": "daily",
    "number": "12",
}


def posted(visit: Visit, **change: Any) -> Any:
    """Return what the colleague is answered who types `TYPED`, changed."""
    return visit("colleague").post(reverse("new_athlete"), {**TYPED, **change})


def made() -> AthleteRecord:
    """Return the athlete that was made."""
    return AthleteRecord.objects.get(name=TYPED["name"])


def test_four_fields_make_an_athlete(people: ClubPeople, visit: Visit) -> None:
    """Nothing but what was typed is in the document; the page of the athlete comes next, with a way to a session."""
    response = posted(visit)
    record = made()
    assert record.document == {
        "name": "Mareike Tordal",
        "mass_kg": 49.5,
        "arm_span_m": 1.52,
        "chairs": [{"kind": "daily"}],
    }
    assert (record.number, record.club, record.version) == (12, people.club, 1)
    assert record.versions.get().made_by == people.colleague
    assert response.url == reverse("athlete", kwargs={"id_": record.pk})
    page = visit("colleague").get(response.url).content.decode()
    assert reverse("make_session", kwargs={"id_": record.pk}) in page
    for unknown in (
        "trunk control, grip, elbow extensors, wrist extensors, active elevation, active external rotation, feeling, "
        "spasticity",
        "sport, year of birth, sex, stature, missing limbs, upper arm, forearm, hand, shoulder height, shoulder width",
        "level of the spinal cord injury, completeness, usual blood pressure, health conditions, latex, pain",
        "anti-tip wheel, weight on the casters",
    ):
        assert f'<p class="unknown">Unknown: {unknown}.</p>' in page


@pytest.mark.usefixtures("people")
def test_everything_that_is_asked_arrives(visit: Visit) -> None:
    """Level, limbs, conditions, latex and pain stand in the document as the file has them."""
    response = posted(
        visit,
        **{
            "health.spinal_level": "T4",
            "missing_limbs": ["left above knee", "right above knee"],
            "health.conditions": "none",
            "health.latex": "tolerated",
            "pain_state": "here",
            "pain_place": "shoulder front",
            "pain_side": "right",
            "pain_now": "3",
            "pain_usual": "2",
        },
    )
    assert response.status_code == 302
    assert made().document["missing_limbs"] == ["left above knee", "right above knee"]
    assert made().document["health"] == {
        "spinal_level": "T4",
        "conditions": "none",
        "latex": "tolerated",
        "pain": [{"place": "shoulder front", "side": "right", "now": 3, "usual": 2}],
    }


@pytest.mark.usefixtures("people")
def test_what_is_usual_is_asked_before_what_is_now(visit: Visit) -> None:
    """Whoever says "now 4" first says of a usual 4 that it is new: the new form asks as the change page does."""
    page = visit("owner").get(reverse("new_athlete")).content.decode()
    asked = [page.index(f'name="{name}"') for name in ("pain_place", "pain_side", "pain_usual", "pain_now")]
    assert asked == sorted(asked)
    posted(visit, pain_state="here", pain_place="neck", pain_usual="1", pain_now="2")
    (pain,) = made().document["health"]["pain"]
    assert list(pain) == ["place", "usual", "now"]
    page = visit("owner").get(reverse("edit_health", kwargs={"id_": made().pk})).content.decode()
    usual, now = (re.search(rf'name="[^"]*{name}"', page) for name in ("usual", "now"))
    assert usual and now and usual.start() < now.start()
    columns = [each for each in COLUMNS if each.startswith("pain_")]
    assert columns.index("pain_usual") < columns.index("pain_now")


@pytest.mark.usefixtures("people")
def test_one_tap_answers_for_every_direction_and_for_every_hand_there_is(visit: Visit) -> None:
    """Trunk and grip are asked once; a hand that is missing has no grip, and what is not looked at stays unknown."""
    posted(visit, trunk="partly", grip="weak", missing_limbs=["left below elbow"])
    assert made().document["function"] == {
        "trunk": {"forward": "partly", "turn": "partly", "lean_left": "partly", "lean_right": "partly"},
        "right": {"grip": "weak"},
    }


@pytest.mark.parametrize(("then", "leads_to"), [("session", "make_session"), ("", "athlete")])
@pytest.mark.usefixtures("people")
def test_a_new_athlete_leads_on(visit: Visit, then: str, leads_to: str) -> None:
    """To a first session, or to the athlete's page."""
    response = posted(visit, then=then)
    assert response.url == reverse(leads_to, kwargs={"id_": made().pk})


@pytest.mark.parametrize(
    ("change", "says"),
    [
        ({"mass_kg": "4950"}, "4950 kg is out of range"),
        ({"mass_kg": "heavy"}, "This is not a number"),
        ({"mass_kg": ""}, "Mass is needed"),
        ({"name": ""}, "Name is needed"),
        ({"arm_span_m": "152"}, "did you mean 1.52?"),
        ({"arm_span_m": ""}, "A size is missing"),
        ({"number": "-3"}, "no number of a shirt"),
        ({"missing_limbs": ["none", "left foot"]}, "contradict each other"),
        ({"pain_now": "3"}, "not said to be there"),
        ({"pain_usual": "2"}, "not said to be there"),
        ({"pain_state": "here", "pain_place": "neck", "pain_usual": "13"}, "13 is out of range"),
        ({"pain_state": "here", "pain_now": "3"}, "It is missing"),
        ({"pain_state": "here", "pain_place": "elbow inside", "pain_now": "3"}, "It is missing"),
        ({"pain_state": "here", "pain_place": "neck", "pain_now": "13"}, "13 is out of range"),
        ({"chair": "boat"}, "boat"),
        ({"trunk": "sometimes"}, "sometimes"),
    ],
)
@pytest.mark.usefixtures("people")
def test_what_is_wrong_stands_beside_its_field(change: dict[str, Any], says: str, visit: Visit) -> None:
    """Nothing is saved, the reason is told, and what was typed is still there."""
    response = posted(visit, **change)
    assert response.status_code == 422
    page = response.content.decode()
    assert says in page
    field = next(iter(change))
    for name, value in TYPED.items():
        if name not in ("chair", field):
            assert f'value="{value}"' in page, f"{name} was lost"
    assert not AthleteRecord.objects.filter(name=TYPED["name"]).exists()


@pytest.mark.usefixtures("people")
def test_all_that_is_wrong_is_told_at_once(visit: Visit) -> None:
    """What cannot be read does not hide what core would refuse."""
    page = posted(visit, mass_kg="5800", arm_span_m="wide", pain_now="3", name="").content.decode()
    for words in ("5800 kg is out of range", "This is not a number", "not said to be there", "Name is needed"):
        assert words in page
    assert page.count("<strong>To correct:</strong>") == 4


@pytest.mark.parametrize(
    ("change", "more", "pain"),
    [
        ({"mass_kg": "", "number": ""}, False, False),
        ({"mass_kg": ""}, True, False),
        ({"stature_m": "16", "number": ""}, True, False),
        ({"arm_span_m": "", "number": ""}, True, False),
        ({"number": "-3"}, True, False),
        ({"number": "", "pain_state": "none", "pain_now": "0"}, False, True),
        ({"number": "", "pain_state": "here"}, False, True),
    ],
)
@pytest.mark.usefixtures("people")
def test_what_has_to_be_corrected_is_not_folded(change: dict[str, Any], more: bool, pain: bool, visit: Visit) -> None:
    """Folded fields lie open when something stands in one, or when they can cure what is wrong."""
    response = posted(visit, **change)
    assert response.status_code == 422
    page = response.content.decode()
    assert ('<details class="fold" open>' in page) is more
    assert ("pain-open" in page) is pain


def test_a_stature_does_where_an_arm_span_cannot_be_measured(people: ClubPeople, visit: Visit) -> None:
    """An arm may be missing."""
    assert posted(visit, arm_span_m="", stature_m="1.60").status_code == 302
    assert made().athlete().stature == 1.60


def test_the_assistant_reads_and_makes_nobody(people: ClubPeople, visit: Visit) -> None:
    """A page without the button, and 403 behind it."""
    page = visit("assistant").get(reverse("athletes")).content.decode()
    assert reverse("new_athlete") not in page
    assert reverse("new_athlete") in visit("owner").get(reverse("athletes")).content.decode()
    assert visit("assistant").post(reverse("new_athlete"), TYPED).status_code == 403
