"""What to measure next, on the page of an athlete."""

from __future__ import annotations

import html
import re
from unittest.mock import patch

import pytest
from club_people import ClubPeople, demo_document
from django.urls import reverse

from conftest import Visit
from firstpush.core.exercises.loader import library
from firstpush.core.setup.measure_next import MeasureNext, Narrowed, measure_next
from firstpush.web.athletes import measuring
from firstpush.web.athletes.models import AthleteRecord


@pytest.fixture
def unmeasured(people: ClubPeople) -> AthleteRecord:
    """Return the demo's athlete with one range unknown on the right; nothing is worked out yet."""
    document = demo_document("athlete")
    del document["active_range_deg"]["right"]["external_rotation"]
    people.runa.save_document(document, by=people.owner)
    measuring._kept.clear()
    return people.runa


def test_the_page_does_not_wait(unmeasured: AthleteRecord, visit: Visit) -> None:
    """The athlete's page comes at once with a way to the answer; once it is worked out, it stands in the page."""
    page, part = (reverse(name, kwargs={"id_": unmeasured.pk}) for name in ("athlete", "measure_next"))
    with patch.object(measuring, "measure_next", side_effect=AssertionError("the page computes")):
        first = visit("owner").get(page).content.decode()
    assert f'href="{part}"' in first
    assert f'hx-get="{part}"' in first
    answer = visit("owner").get(part, headers={"HX-Request": "true"}).content.decode()
    assert "<html" not in answer, "a part of a page"
    assert "<html" in visit("owner").get(part).content.decode(), "a page of its own without script"
    second = visit("owner").get(page).content.decode()
    assert "hx-get" not in second
    assert "Active external rotation, right" in second
    assert reverse("edit_function", kwargs={"id_": unmeasured.pk}) in answer


def test_the_first_stands_open_and_all_else_is_folded(
    unmeasured: AthleteRecord, people: ClubPeople, visit: Visit
) -> None:
    """The athlete's page says in forty words at most what to look at first and what that decides."""
    found = measuring.proposals(measuring.whom_of(people.owner, unmeasured))
    page = html.unescape(visit("owner").get(reverse("athlete", kwargs={"id_": unmeasured.pk})).content.decode())
    section = page.split('id="next-head"', 1)[1].split("</section>", 1)[0]
    open_part, folded = section.split('<details class="fold">')
    words = re.sub(r"<[^>]+>", " ", open_part.partition(">")[2]).split()
    assert 10 < len(words) <= 40, words
    assert found[0].measure.what[1:] in open_part
    assert f"{found[0].brief[1:]}." in open_part
    for each in found[1:]:
        assert each.measure.what[1:] not in open_part
        assert f"{each.measure.words[1:]}." in folded


LOAD = Narrowed(title="High row", before=(5.0, 17.0), after=(8.0, 10.0), to_begin_with=True)
ROWS = ("Low row", "High row", "Chin tuck", "Lift")


@pytest.mark.parametrize(
    ("id_", "decides", "narrows", "says", "is_brief"),
    [
        ("trunk", ROWS, (), "decides whether the best set-ups of 4 exercises hold without added support", True),
        ("elevation", ROWS[:2], (LOAD,), "decides whether 2 exercises can be done", True),
        ("elevation", ROWS[:1], (), "decides whether Low row can be done", False),
        (
            "strength x",
            (),
            (LOAD,),
            "tells more closely with which load High row begins (8-10 N·m instead of 5-17)",
            False,
        ),
    ],
)
def test_several_exercises_are_counted_and_one_is_named(
    id_: str, decides: tuple[str, ...], narrows: tuple[Narrowed, ...], says: str, is_brief: bool
) -> None:
    """In one line: how many hang on it, or which one, or which load it narrows."""
    measure = MeasureNext(
        id=id_, what="it", keys=("strength",), between="", decides=decides, narrows=narrows, weight=1.0
    )
    proposal = measuring.Proposal(measure=measure, address="/")
    assert (proposal.brief, proposal.is_brief) == (says, is_brief)


def test_the_page_shows_what_core_ranks_first(unmeasured: AthleteRecord, people: ClubPeople, visit: Visit) -> None:
    """The five first of core with the club's own cupboard and hall, in its words and order."""
    whom = measuring.whom_of(people.owner, unmeasured)
    assert (whom.kit, whom.venue) == (people.kit, people.venue)
    expected = measure_next(whom.case(), library().values())
    assert len(expected) > measuring.SHOWN
    found = measuring.proposals(whom)
    assert [each.measure for each in found] == list(expected[: measuring.SHOWN])
    page = visit("assistant").get(reverse("measure_next", kwargs={"id_": unmeasured.pk})).content.decode()
    places = [page.index(each.measure.what[1:]) for each in found]
    assert places == sorted(places)
    assert people.kit.name in page


def test_a_new_measurement_is_worked_out_anew(unmeasured: AthleteRecord, people: ClubPeople) -> None:
    """What is kept is kept by content: with the range known it is not proposed any more."""
    before = measuring.proposals(measuring.whom_of(people.owner, unmeasured))
    assert "external_rotation" in {each.measure.id for each in before}
    unmeasured.save_document(demo_document("athlete"), by=people.owner)
    whom = measuring.whom_of(people.owner, unmeasured)
    assert measuring.known_already(whom) is None
    assert "external_rotation" not in {each.measure.id for each in measuring.proposals(whom)}


def test_each_proposal_leads_to_the_page_where_it_is_written_down(people: ClubPeople) -> None:
    """Function, strength, chairs and lengths each have their page."""
    document = {"name": "Liv Naust", "mass_kg": 60.0, "stature_m": 1.7, "chairs": [{"kind": "court"}]}
    record = AthleteRecord(club=people.club)
    record.save_document(document, by=people.owner)
    case = measuring.whom_of(people.owner, record).case()
    pages = {
        each.id.partition(" ")[0].partition("_")[0]: measuring._address(record, each).rsplit("/", 2)[1]
        for each in measure_next(case, library().values())
    }
    assert pages["trunk"] == pages["external"] == pages["grip"] == "function"
    assert pages["strength"] == "strength"
    assert pages["chair"] == "chairs"
    assert set(pages.values()) <= {"function", "strength", "chairs", "body"}
