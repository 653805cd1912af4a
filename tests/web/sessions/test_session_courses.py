"""Drills of a session: plan on page and paper, the way to the course by itself, and a speed measured meanwhile."""

from __future__ import annotations

import re
from datetime import date
from html import unescape

import pytest
from club_people import ClubPeople
from django.urls import reverse
from django.utils import timezone
from made_sessions import Made, made_session
from session_pages import page

from conftest import Visit

pytestmark = pytest.mark.django_db
DRILL = "half_circle_cones"


@pytest.fixture(name="made")
def a_session_with_a_drill(people: ClubPeople) -> Made:
    """Return a session of Runa with the half circle in it."""
    return made_session(people, minutes=10, keep=(DRILL,))


def told(made: Made) -> dict[str, object]:
    """Return how the drill is laid, as it was kept."""
    item = next(each for each in made.first.document["items"] if each["exercise"] == DRILL)
    found: dict[str, object] = item["course"]
    return found


def plan_at(made: Made, kind: str = "plan", slug: str = DRILL) -> str:
    """Return the address of a plan."""
    return reverse("session_course", kwargs={"id_": made.plan.pk, "number": 1, "slug": slug, "kind": kind})


def test_a_drill_has_one_spacing_everywhere(people: ClubPeople, visit: Visit, made: Made) -> None:
    """Document, page, the course's own page with the athlete chosen, and the sheet say the same metres."""
    spacing = f"{told(made)['spacing_m']:.2f} m"
    client = visit("owner")
    shown = page(client, "plan", id_=made.plan.pk)
    assert spacing in shown
    link = re.search(r'href="(/courses/half-circle-back/\?[^"]*)"', shown)
    assert link is not None
    assert f"athlete={people.runa.pk}" in link[1]
    course = unescape(client.get(unescape(link[1])).content.decode())
    assert f"Radius {spacing}" in course
    assert people.runa.name in course
    assert client.get(reverse("plan_item", kwargs={"id_": made.plan.pk, "slug": DRILL})).status_code == 200


def test_the_plan_is_an_image_of_its_own(visit: Visit, made: Made) -> None:
    """To whoever may see the sheet; the chair moves on one kind and stands where less motion is asked for."""
    client = visit("athlete")
    still, moving = (client.get(plan_at(made, kind)) for kind in ("plan", "moving"))
    for each in (still, moving):
        assert each.status_code == 200
        assert each["Content-Type"] == "image/svg+xml"
        assert each.content.startswith(b"<svg")
    assert b"@keyframes" not in still.content
    assert b"@keyframes" in moving.content
    assert b"prefers-reduced-motion:reduce" in moving.content.replace(b" ", b"")
    assert visit("stranger").get(plan_at(made)).status_code == 404
    assert client.get(plan_at(made, "poster")).status_code == 404
    assert client.get(plan_at(made, slug="no_such")).status_code == 404
    other = next(each for each in made.ids if each != DRILL)
    assert client.get(plan_at(made, slug=other)).status_code == 404
    assert client.post(plan_at(made)).status_code == 405


def test_who_may_not_open_courses_gets_no_link(visit: Visit, made: Made) -> None:
    """An athlete sees the plan and how it is set out, and no button to a page that would be refused."""
    shown = page(visit("athlete"), "plan", id_=made.plan.pk)
    assert plan_at(made) in shown
    assert "Set out with two tapes" in shown
    assert "/courses/half-circle-back/" not in shown


def test_words_are_kept_without_drawings_and_print_the_same_again(visit: Visit, made: Made) -> None:
    """No SVG lies with the version; the sheet has the plan all the same, twice byte for byte."""
    words = made.first.document["sheets"]["athlete"]["items"]
    course = next(each["course"] for each in words if "course" in each)
    assert "plans" not in course
    assert "<svg" not in str(made.first.document)
    client = visit("owner")
    where = {"id_": made.plan.pk, "number": 1, "which": "both"}
    first = client.get(reverse("session_sheet", kwargs=where)).content
    assert first.startswith(b"%PDF-")
    assert client.get(reverse("session_sheet", kwargs=where)).content == first


def test_a_speed_measured_meanwhile_is_told(people: ClubPeople, visit: Visit, made: Made) -> None:
    """The session goes by the tests of its day: a sprint since then is named, and taken when it is made again."""
    from firstpush.core.session.asked import Asked
    from firstpush.web.courses.models import SpeedTest
    from firstpush.web.sessions.making import changed_inputs, make_version, request_for

    assert "speed" not in changed_inputs(people.owner, made.first)
    SpeedTest.objects.create(
        athlete=people.runa,
        kind="sprint",
        measured={"splits": [[5, 3.6], [10, 6.3], [20, 11.4]], "start_offset_m": 0.0, "timed_by": "stopwatch"},
        on=date(2026, 3, 2),
        made_by=people.owner,
        made_at=timezone.now(),
    )
    assert "speed" in changed_inputs(people.owner, made.first)
    assert "The measured speed changed" in page(visit("owner"), "plan", id_=made.plan.pk)
    asked = Asked(keep=(DRILL,))
    request = request_for(people.owner, people.runa, minutes=10, on=date(2026, 3, 2), asked=asked)
    again = make_version(people.runa, request, by=people.owner)
    assert again is not None
    item = next(each for each in again.document["items"] if each["exercise"] == DRILL)
    assert item["course"]["set_longest_s"] > told(made)["set_longest_s"]
    assert item["course"]["spacing_m"] == told(made)["spacing_m"]
