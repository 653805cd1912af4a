"""Courses of the club's own: written as tables, checked by core, every version kept, withdrawn and put back."""

from __future__ import annotations

import html
import re
from typing import Any

import pytest
from club_people import A_COURSE, ClubPeople
from django.urls import reverse

from conftest import Visit
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


def test_a_course_lies_where_it_was_clicked_if_it_fits_there(people: ClubPeople, visit: Visit) -> None:
    """Five metres into the hall it stays; with its start in the corner it is moved, and both are said."""
    inside = {"points_0_x_m": "5", "points_0_y_m": "5", "cones_0_x_m": "8", "cones_0_y_m": "7,5", "cones_2_x_m": "11"}
    inside |= {"cones_2_y_m": "9.5", "points_1_x_m": "14", "points_1_y_m": "9"}
    for given, says in ((inside, "It lies where it was clicked"), ({}, "It does not fit where it was clicked")):
        response = visit("owner").post(reverse("new_course"), sent(**given))
        text = visit("owner").get(response.url, {"athlete": people.runa.pk}).content.decode()  # type: ignore[attr-defined]
        assert says in text
        assert "<strong>Fits.</strong>" in text


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


def floor(text: str, kind: str = "wide") -> tuple[str, float, float, float, float, float]:
    """Return the address of a drawn floor, its size and margin [px], and the metres of its left and upper edge."""
    shown = re.search(r'data-shown="([^"]+)"', text)
    found = re.search(rf'name="at_{kind}" src="([^"]+)"[^>]*width="(\d+)" height="(\d+)" data-around="([\d.]+)"', text)
    assert shown is not None
    assert found is not None
    left, low, right, high = (float(each) for each in shown[1].split())
    width, around = float(found[2]), float(found[4])
    per_metre = (width - 2 * around) / (right - left)
    assert float(found[3]) == pytest.approx((high - low) * per_metre + 2 * around, abs=1.0)
    return html.unescape(found[1]), per_metre, around, left, high, low


def typed(response: Any) -> dict[str, str]:
    """Return the fields of a form as a browser would send them back."""
    form = response.context["form"]
    given = {name: form[name].value() for name in form.fields}
    shown = re.search(r'name="shown" value="([^"]+)"', response.content.decode())
    assert shown is not None
    return {name: str(value) for name, value in given.items() if value not in (None, "")} | {"shown": shown[1]}


def at(response: Any, x: float, y: float, kind: str = "wide") -> dict[str, str]:
    """Return a click on the drawing at a place of the floor [m]: pixels from its left upper corner, whole ones."""
    _, per_metre, around, left, high, _ = floor(response.content.decode(), kind)
    right, down = around + (x - left) * per_metre, around + (high - y) * per_metre
    return typed(response) | {f"at_{kind}.x": str(round(right)), f"at_{kind}.y": str(round(down))}


@pytest.mark.parametrize("kind", ["wide", "middle", "narrow"])
def test_a_course_is_clicked_together_without_script(kind: str, people: ClubPeople, visit: Visit) -> None:
    """Pixels of the image button become metres, on 5 cm; the rows show them, and saved it is the course.

    A whole pixel of the narrow drawing is 4.4 cm of a floor 12 m long, so that a click lies within 5 cm.
    """
    client, new = visit("colleague"), reverse("new_course")
    response = client.get(new)
    for x, y, puts in ((1.0, 1.0, "point"), (3.0, 2.5, "cone"), (6.0, 4.5, "cone"), (9.0, 4.0, "point")):
        response = client.post(new, at(response, x, y, kind) | {"puts": puts})
        assert response.status_code == 200
        assert "To correct" not in response.content.decode()
    given = typed(response)
    assert float(given["cones_0_x_m"]) == pytest.approx(3.0, abs=0.051)
    assert float(given["cones_1_y_m"]) == pytest.approx(4.5, abs=0.051)
    assert given["start"] == "A"
    for x, y, does in ((3.0, 2.5, "right"), (6.0, 4.5, "left"), (9.0, 4.0, "left")):
        response = client.post(new, at(response, x, y, kind) | {"does": does})
    assert "Order so far: <strong>1R, 2L, to B</strong>" in response.content.decode()
    saved = client.post(new, typed(response) | {"name": "Clicked"})
    assert saved.status_code == 302
    own = OwnCourse.objects.get(name="Clicked")
    assert own.document["order"] == ["1R", "2L", "to B"]
    assert own.document["cones"][0]["x_m"] * 20 == pytest.approx(round(own.document["cones"][0]["x_m"] * 20))


def test_clicks_are_undone_one_by_one(people: ClubPeople, visit: Visit) -> None:
    """Two cones, two undone; the name that was typed meanwhile stays, and a third undo has nothing."""
    client, new = visit("owner"), reverse("new_course")
    response = client.get(new)
    assert 'name="undo"' not in response.content.decode()
    for x in (2.0, 4.0):
        response = client.post(new, at(response, x, 3.0))
    counts = []
    for _ in range(2):
        response = client.post(new, typed(response) | {"undo": "1", "name": "Half done"})
        assert "The last click is undone." in response.content.decode()
        counts.append(sum(name.startswith("cones") and name.endswith("name") for name in typed(response)))
    assert counts == [1, 0]
    assert typed(response)["name"] == "Half done"
    last = client.post(new, typed(response) | {"undo": "1"}).content.decode()
    assert "There is no click to undo." in last


def test_what_cannot_be_read_stays_as_it_was_typed(people: ClubPeople, visit: Visit) -> None:
    """A row with "far" in it is not on the floor, and a click beside it does not lose it."""
    client, new = visit("owner"), reverse("new_course")
    response = client.get(new)
    half = {"cones_0_name": "gate", "cones_0_x_m": "far", "order": "1L, hop", "before": "{broken"}
    response = client.post(new, at(response, 2.0, 3.0) | half)
    given = typed(response)
    assert (given["cones_0_name"], given["cones_0_x_m"], given["order"]) == ("gate", "far", "1L, hop")
    assert given["cones_1_name"] == "1"


@pytest.mark.parametrize(
    "pixels", [{"at_wide.x": "0", "at_wide.y": "0"}, {"at_wide.x": "x", "at_wide.y": "9"}, {"click": "keys"}]
)
def test_a_click_beside_the_floor_is_told(pixels: dict[str, str], people: ClubPeople, visit: Visit) -> None:
    """The corner of the paper, no number, and the keys without a cross: said, and nothing put down."""
    client, new = visit("owner"), reverse("new_course")
    response = client.post(new, typed(client.get(new)) | pixels)
    assert "That was beside the floor" in response.content.decode()
    assert "cones_0_name" not in typed(response)


def test_the_keys_of_the_script_say_metres(people: ClubPeople, visit: Visit) -> None:
    """The cross is at 4.25 m, 3.10 m."""
    client, new = visit("owner"), reverse("new_course")
    sent = typed(client.get(new)) | {"click": "keys", "at_x_m": "4.25", "at_y_m": "3.1"}
    response = client.post(new, sent)
    assert "Cone 1 stands 4.25 m to the right, 3.10 m away." in response.content.decode()


def test_the_floor_is_a_drawing_of_what_stands_there(people: ClubPeople, visit: Visit) -> None:
    """The saved course is drawn to be changed; what is no course is not there; an athlete's account may not."""
    owner = visit("owner")
    text = owner.get(url("change_course", people.course)).content.decode()
    address = floor(text)[0]
    svg = owner.get(address).content.decode()
    assert svg.count('class="cone"') == len(A_COURSE["cones"])
    assert "point A at 0 m to the right and 0 m away" in svg
    assert visit("athlete").get(address).status_code == 403
    for wrong in ("?shown=0 0 12", "?shown=0 0 12 8&course=[1]", "?shown=0 0 12 8&course={", "?shown=5 0 1 8", ""):
        assert owner.get(reverse("own_floor", kwargs={"kind": "wide"}) + wrong).status_code == 404, wrong
    odd = '{"cones":[{"name":"<b>","x_m":"1","y_m":[2]},{"name":"1","x_m":1,"y_m":2}],"points":3,"order":"x"}'
    svg = owner.get(reverse("own_floor", kwargs={"kind": "narrow"}), {"shown": "0 0 12 8", "course": odd})
    assert svg.content.decode().count('class="cone"') == 1
    assert owner.get(reverse("own_floor", kwargs={"kind": "huge"}), {"shown": "0 0 12 8"}).status_code == 404


def test_another_piece_of_floor_is_shown(people: ClubPeople, visit: Visit) -> None:
    """The hall of the club to its walls; a cone beyond the piece makes the drawing larger."""
    client, new = visit("owner"), reverse("new_course")
    given = typed(client.get(new)) | {"show": "1", "piece": "32x19"}
    assert 'data-shown="0 0 32 19"' in client.post(new, given).content.decode()
    beyond = given | {"piece": "8x6", "cones_0_name": "1", "cones_0_x_m": "-1", "cones_0_y_m": "9"}
    assert 'data-shown="-1.5 0 8 9.5"' in client.post(new, beyond).content.decode()
