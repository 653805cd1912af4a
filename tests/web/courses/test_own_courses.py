"""Courses of the club's own: written as tables, checked by core, every version kept, withdrawn and put back."""

from __future__ import annotations

import re
from typing import Any

import pytest
from club_people import A_COURSE, ClubPeople
from conftest import Visit
from django.urls import reverse

from firstpush.web.courses.models import OwnCourse


def sent(**other: str) -> dict[str, str]:
    """Return a course of two cones as the form sends it."""
    rows = {
        "cones_0_name": "1",
        "cones_0_x_m": "3",
        "cones_0_y_m": "2,5",
        "cones_2_name": "2",
        "cones_2_x_m": "6",
        "cones_2_y_m": "4.5",
        "points_0_name": "A",
        "points_0_x_m": "0",
        "points_0_y_m": "0",
        "points_1_name": "B",
        "points_1_x_m": "9",
        "points_1_y_m": "4",
    }
    return {"name": "Mole head", "start": "A", "order": "1R, 2L\r\nto B"} | rows | other


def url(name: str, course: OwnCourse) -> str:
    """Return an address of an own course."""
    return reverse(name, kwargs={"id_": course.pk})


def test_a_course_is_written_and_laid_out(people: ClubPeople, visit: Visit) -> None:
    """An empty row between two cones does not count; commas and lines both part the order."""
    response = visit("colleague").post(reverse("new_course"), sent())
    own = OwnCourse.objects.get(name="Mole head")
    assert response.url == reverse("course", kwargs={"slug": own.slug})  # type: ignore[attr-defined]
    assert own.document["cones"] == [{"name": "1", "x_m": 3, "y_m": 2.5}, {"name": "2", "x_m": 6, "y_m": 4.5}]
    assert own.document["order"] == ["1R", "2L", "to B"]
    assert own.club == people.club
    text = visit("assistant").get(response.url, {"athlete": people.runa.pk}).content.decode()  # type: ignore[attr-defined]
    assert 'Order</dt><dd class="order">1R 2L' in text
    assert "Change it" not in text, "an assistant reads"


@pytest.mark.parametrize(
    ("wrong", "field", "said"),
    [
        ({"cones_2_y_m": "450"}, "cones_2_y_m", "Allowed: -100 to 100 m"),
        ({"cones_2_x_m": ""}, "cones_2_x_m", "It is missing"),
        ({"cones_2_x_m": "far"}, "cones_2_x_m", "This is not a number"),
        ({"start": "Z"}, "start", "There is no point"),
        ({"order": "1R 9L\nto B"}, "order", "is no word of an order"),
        ({"order": "1R\n9L\nto B"}, "order", "which does not stand there"),
        ({"order": "1R"}, "order", "and so nowhere"),
        ({"name": ""}, "name", "required"),
        ({"cones_2_x_m": "3", "cones_2_y_m": "2.5"}, None, "one inside the other"),
    ],
)
def test_what_is_wrong_stands_beside_its_field_and_what_was_typed_stays(
    wrong: dict[str, str], field: str | None, said: str, people: ClubPeople, visit: Visit
) -> None:
    """422, every field as it was, nothing kept; the fault of a row stands in that row."""
    given = sent(**wrong)
    response = visit("owner").post(reverse("new_course"), given)
    text = response.content.decode()
    assert response.status_code == 422
    form = response.context["form"]
    faults = form.errors[field or "__all__"]
    assert any(said in each for each in faults), faults
    assert said.split("'")[0] in text
    for name, value in given.items():
        assert form[name].value() == value, name
    assert OwnCourse.objects.count() == 1


def test_more_rows_are_given_and_nothing_is_judged_yet(people: ClubPeople, visit: Visit) -> None:
    """What was typed stays, four rows more, no fault said."""
    response = visit("owner").post(reverse("new_course"), sent(start="", more="cones"))
    text = response.content.decode()
    assert response.status_code == 200
    assert len(re.findall(r'name="cones_\d+_name"', text)) == 6 + 4
    assert 'value="Mole head"' in text
    assert "To correct" not in text
    assert OwnCourse.objects.count() == 1


def test_a_change_is_another_version_and_an_earlier_one_comes_back(people: ClubPeople, visit: Visit) -> None:
    """Version 2 is changed, version 3 is as version 1; times of another version are another course."""
    colleague = visit("colleague")
    assert 'value="Breakwater"' in colleague.get(url("change_course", people.course)).content.decode()
    given = sent(name="Breakwater", based_on="1", why="a wider gate")
    assert colleague.post(url("change_course", people.course), given).status_code == 302
    text = visit("owner").get(reverse("course", kwargs={"slug": people.course.slug})).content.decode()
    assert "a wider gate" in text
    assert colleague.post(url("take_back_course", people.course), {"number": "1"}).status_code == 302
    people.course.refresh_from_db()
    assert people.course.document == A_COURSE
    assert people.course.versions.count() == 3
    assert colleague.post(url("take_back_course", people.course), {"number": "9"}).status_code == 404


def test_two_who_change_it_do_not_write_over_each_other(people: ClubPeople, visit: Visit) -> None:
    """What began at version 1 is refused once there is a version 2, and stays typed."""
    change = url("change_course", people.course)
    assert visit("owner").post(change, sent(based_on="1")).status_code == 302
    second = visit("colleague").post(change, sent(based_on="1", name="Other name"))
    assert second.status_code == 422
    assert "changed by somebody else meanwhile" in second.content.decode()
    assert 'value="Other name"' in second.content.decode()


def test_it_is_withdrawn_and_put_back(people: ClubPeople, visit: Visit) -> None:
    """Withdrawn it stands apart in the list, and can still be read."""
    owner = visit("owner")
    owner.post(url("withdraw_course", people.course))
    assert '<h2 id="withdrawn-head">Withdrawn</h2>' in owner.get(reverse("courses")).content.decode()
    assert owner.get(reverse("course", kwargs={"slug": people.course.slug})).status_code == 200
    owner.post(url("put_back_course", people.course))
    assert "withdrawn-head" not in owner.get(reverse("courses")).content.decode()


@pytest.mark.parametrize("kind", ["plan", "moving"])
def test_the_club_alone_sees_it(kind: str, people: ClubPeople, visit: Visit) -> None:
    """Page and plan are not there for a stranger, and are for an assistant."""
    page = reverse("course", kwargs={"slug": people.course.slug})
    plan = reverse("course_plan", kwargs={"slug": people.course.slug, "kind": kind})
    for address in (page, plan):
        assert visit("stranger").get(address).status_code == 404
        assert visit("assistant").get(address).status_code == 200
        assert visit("athlete").get(address).status_code == 403


def test_cones_too_near_for_a_chair_are_told_in_metres(people: ClubPeople, visit: Visit) -> None:
    """Two cones 1.00 m apart on different hands: a chair of 0.77 m needs 2 × (0.385 + 0.10 + 0.15) = 1.27 m."""
    near: dict[str, Any] = A_COURSE | {
        "cones": [{"name": "1", "x_m": 3.0, "y_m": 2.0}, {"name": "2", "x_m": 4.0, "y_m": 2.0}]
    }
    people.course.save_document(near, by=people.owner)
    text = visit("owner").get(reverse("course", kwargs={"slug": people.course.slug}), {"athlete": people.runa.pk})
    assert people.runa.athlete().chair.overall_width == 0.77
    assert "needs 1.27 m" in text.content.decode()
    assert "Does not fit" in text.content.decode()
