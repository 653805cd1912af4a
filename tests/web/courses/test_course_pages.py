"""The page of a course: laid out for those chosen, with the metre value that works where it does not fit."""

from __future__ import annotations

import io
import math
import re
import wave
import xml.etree.ElementTree as ET
from typing import Any

import pytest
from club_people import ClubPeople, demo_document
from django.test import Client
from django.urls import reverse

from conftest import Visit
from firstpush.web.athletes.models import AthleteRecord
from firstpush.web.courses.models import CourseTime

CONE_M, MARGIN_M = 0.10, 0.15


def with_chair(people: ClubPeople, name: str, **sizes: float) -> AthleteRecord:
    """Add an athlete whose chair has the sizes given."""
    document = demo_document("athlete")
    document["name"] = name
    document["chairs"][0] |= sizes
    record = AthleteRecord(club=people.club)
    record.save_document(document, by=people.owner)
    return record


def page(client: Client, slug: str, **asked: Any) -> str:
    """Return the text of the page of a course."""
    response = client.get(reverse("course", kwargs={"slug": slug}), asked)
    assert response.status_code == 200, response.status_code
    return str(response.content.decode())


def test_the_list_names_every_layout_and_the_clubs_own(people: ClubPeople, visit: Visit) -> None:
    """Eight layouts ship, and the club has made one."""
    text = visit("owner").get(reverse("courses")).content.decode()
    for title in (
        "Half circle round the cones",
        "Half circle pulled to the centre",
        "Slalom",
        "Figure eight",
        "Square",
        "Push lanes",
        "Stop and turn",
        "Breakwater",
    ):
        assert f">{title}</a>" in text
    assert "Breakwater" not in visit("stranger").get(reverse("courses")).content.decode()


def test_a_chair_too_wide_for_the_usual_radius_gets_the_metre_value(people: ClubPeople, visit: Visit) -> None:
    """Half circle of five: ρ/sin(π/8) is the least radius, ρ half the width, the cone and the margin.

    Hand arithmetic for a chair 0.88 m wide: (0.44 + 0.10 + 0.15)/sin(22.5°) = 1.803 m; the swept floor confirms it to
    two or three centimetres, as docs/why/courses.md says.
    """
    wide = with_chair(people, "Odd Brygge", overall_width_m=0.88)
    text = page(visit("owner"), "half-circle", athlete=wide.pk, spacing_m="1,5")
    found = re.search(r"needs (\d\.\d\d) m, has only 1\.50 m", text)
    assert found, "the page says what is needed"
    by_hand = (0.88 / 2 + CONE_M + MARGIN_M) / math.sin(math.pi / 8)
    assert by_hand - 0.005 <= float(found[1]) <= by_hand + 0.03
    assert f"Lay it at {found[1]} m" in text
    assert "No time is told for what does not fit" in text
    works = page(visit("owner"), "half-circle", athlete=wide.pk, spacing_m=found[1])
    assert "<strong>Fits.</strong>" in works


def test_cones_so_near_that_no_way_leads_between_get_the_metre_value_too(people: ClubPeople, visit: Visit) -> None:
    """Half circle of 1.00 m radius: no way leads between centre and arc, and the page still says what would do."""
    text = page(visit("owner"), "half-circle", athlete=people.runa.pk, spacing_m="1.0")
    found = re.search(r"needs (\d\.\d\d) m, has only 1\.00 m", text)
    assert found
    assert f"Lay it at {found[1]} m" in text


def test_of_several_the_widest_chair_decides_and_is_named(people: ClubPeople, visit: Visit) -> None:
    """Three chairs, one 0.86 m wide: its owner is named, and everybody has a bracket of their own."""
    with_chair(people, "Odd Brygge", overall_width_m=0.86)
    text = page(visit("owner"), "slalom", athlete=[each.pk for each in AthleteRecord.objects.filter(club=people.club)])
    assert "Odd Brygge, whose chair decides, needs" in text
    assert text.count('data-label="Chair, width"') == 3


def test_everybody_with_a_caution_has_a_line_and_walking_pace_is_said(people: ClubPeople, visit: Visit) -> None:
    """Somebody without trunk control or grip beside Runa: one line, a time at walking pace; no stop and turn."""
    document = demo_document("athlete")
    document["name"] = "Odd Brygge"
    document["function"]["trunk"] = dict.fromkeys(("forward", "turn", "lean_left", "lean_right"), "no")
    document["function"]["right"]["grip"] = "none"
    odd = AthleteRecord(club=people.club)
    odd.save_document(document, by=people.owner)
    both = [people.runa.pk, odd.pk]
    text = page(visit("owner"), "slalom", athlete=both)
    assert text.count("<strong>Odd Brygge:</strong>") == 1
    assert "at walking pace: no trunk control" in text
    text = page(visit("owner"), "stop-and-turn", athlete=both)
    assert "left out: weak grip, no trunk control" in text
    assert "Odd Brygge, whose chair decides" not in text
    url = reverse("log_course_time", kwargs={"slug": "stop-and-turn"}) + f"?athlete={people.runa.pk}&athlete={odd.pk}"
    given = {"time_s": "20", "on": "2026-03-02"}
    refused = visit("owner").post(url, given | {"who": str(odd.pk)})
    assert refused.status_code == 422, "who is left out has no time to be kept"
    assert visit("owner").post(url, given | {"who": str(people.runa.pk)}).status_code == 302
    alone = page(visit("owner"), "stop-and-turn", athlete=odd.pk)
    assert "Not for Odd Brygge: weak grip, no trunk control." in alone
    assert "Keep a time" not in alone
    assert "Keep a time" in page(visit("owner"), "stop-and-turn", athlete=people.runa.pk)


def test_an_exercise_leads_to_the_course_that_it_is(people: ClubPeople, visit: Visit) -> None:
    """The half circle of the library is the one pulled to the centre, and not the one round the cones."""
    text = visit("owner").get(reverse("exercise", args=["half_circle_cones"])).content.decode()
    assert f'href="{reverse("course", kwargs={"slug": "half-circle-back"})}"' in text
    assert "Half circle pulled to the centre" in text
    assert f'href="{reverse("course", kwargs={"slug": "half-circle"})}"' not in text


def test_a_time_is_always_a_bracket(people: ClubPeople, visit: Visit) -> None:
    """Two ends, the first below the second."""
    text = page(visit("owner"), "slalom", athlete=people.runa.pk)
    low, high = re.search(r"<dd>([\d.]+)-([\d.]+) s</dd>", text).groups()  # type: ignore[union-attr]
    assert float(low) < float(high)


def test_the_other_way_round_exchanges_left_and_right(people: ClubPeople, visit: Visit) -> None:
    """A half circle turns unevenly; mirrored, the two counts change places."""
    both = [
        re.search(r"Turns left / right</dt><dd>(\d+) / (\d+)", page(visit("owner"), "half-circle", first=first))
        for first in ("left", "right")
    ]
    assert both[0] is not None
    assert both[1] is not None
    assert both[0].groups() == both[1].groups()[::-1]
    assert both[0][1] != both[0][2], "otherwise nothing was exchanged"


def test_one_step_harder_turns_more_in_a_minute_on_a_shorter_spacing(people: ClubPeople, visit: Visit) -> None:
    """The spacing goes down, the turning load up."""
    text = page(visit("owner"), "slalom", athlete=people.runa.pk, step="harder")
    found = re.search(
        r"Harder: spacing (\d\.\d\d) m</strong> instead of (\d\.\d\d) m. Turning load (\d+) → (\d+)", text
    )
    assert found
    assert float(found[1]) < float(found[2])
    assert int(found[3]) < int(found[4])


def test_the_plan_is_a_drawing_and_the_chair_moves_on_the_other_one(people: ClubPeople, visit: Visit) -> None:
    """SVG that can be read; with motion it stops for those who ask for less."""
    for kind, moves in (("plan", False), ("narrow", False), ("small", False), ("moving", True)):
        url = reverse("course_plan", kwargs={"slug": "slalom", "kind": kind})
        text = visit("owner").get(url, {"athlete": people.runa.pk}).content.decode()
        assert ET.fromstring(text).tag.endswith("svg")
        assert ("@keyframes" in text) == moves
        assert ("prefers-reduced-motion:reduce" in text) == moves
    assert visit("owner").get(reverse("course_plan", kwargs={"slug": "slalom", "kind": "other"})).status_code == 404


def test_the_plan_is_printed(people: ClubPeople, visit: Visit) -> None:
    """One page for athletes; for nobody there is none."""
    url = reverse("course_sheet", kwargs={"slug": "slalom"})
    assert visit("owner").get(url, {"athlete": people.runa.pk}).content.startswith(b"%PDF")
    assert visit("owner").get(url).status_code == 404


def test_push_lanes_have_their_sounds(people: ClubPeople, visit: Visit) -> None:
    """A sound file as long as the lanes at the likely speed, and the cues in words; slaloms have none."""
    url = reverse("course_sound", kwargs={"slug": "push-lanes"})
    with wave.open(io.BytesIO(visit("owner").get(url).content)) as file:
        seconds = file.getnframes() / file.getframerate()
    text = page(visit("owner"), "push-lanes")
    low, high = re.search(r"<dd>([\d.]+)-([\d.]+) s</dd>", text).groups()  # type: ignore[union-attr]
    count_in, last_tone = 3.0, 1.0
    assert float(low) < seconds < float(high) + count_in + last_tone
    assert "seen from the right" in text
    assert "seen from the left" in text
    assert visit("owner").get(reverse("course_sound", kwargs={"slug": "slalom"})).status_code == 404


@pytest.mark.parametrize(
    ("asked", "said"),
    [
        ({"spacing_m": "two"}, "This is not a number"),
        ({"spacing_m": "600"}, "allowed is 0.1 m to 60 m"),
        ({"count": "99"}, "allowed is 2 to 20"),
        ({"count": "2.5"}, "not a whole number"),
        ({"floor": "ice rink"}, "ice rink"),
    ],
)
def test_what_cannot_be_laid_is_said_and_what_was_typed_stays(
    asked: dict[str, str], said: str, people: ClubPeople, visit: Visit
) -> None:
    """422, the reason, and the field as it was."""
    response = visit("owner").get(reverse("course", kwargs={"slug": "slalom"}), asked)
    text = response.content.decode()
    assert response.status_code == 422
    assert said in text
    if "floor" not in asked:
        assert f'value="{next(iter(asked.values()))}"' in text


def without_floor(people: ClubPeople, **other: Any) -> int:
    """Return the venue with a floor that nobody measured."""
    document = {key: value for key, value in people.venue.document.items() if not key.startswith("floor_")} | other
    people.venue.save_document(document, by=people.owner)
    return int(people.venue.pk)


def test_a_venue_without_a_measured_floor_is_its_court_and_that_is_said(people: ClubPeople, visit: Visit) -> None:
    """28 by 15 m and a run-off of 2 m all round (FIBA rules, article 2); a sport without a court needs measures."""
    venue = without_floor(people, sport="wheelchair basketball")
    for floor in ("", "wheelchair basketball"):
        text = page(visit("owner"), "slalom", venue=venue, floor=floor)
        assert "is not measured: see that the wheelchair basketball court with run-off is free" in text
        assert "32.00" in text, "28 m and a run-off of 2 m at both ends"
        assert "19.00" in text, "15 m and a run-off of 2 m at both sides"
    assert "28.00 by 15.00 m" in text
    inside = page(visit("owner"), "slalom", venue=venue, floor="wheelchair basketball lines")
    assert "Length of the wheelchair basketball court" in inside
    assert "32.00" not in inside
    without_floor(people, sport="bowls")
    url = reverse("course", kwargs={"slug": "slalom"})
    assert visit("owner").get(url, {"venue": people.venue.pk}).status_code == 422


@pytest.mark.parametrize("asked", [{"athlete": "runa"}, {"venue": "kit"}, {"athlete": 10**9}, {"athlete": "x"}])
def test_what_is_of_another_club_is_not_there(asked: dict[str, Any], people: ClubPeople, visit: Visit) -> None:
    """The stranger's page takes no athlete and no venue of the club; nor does anybody's one that nobody has."""
    given = {"runa": people.runa.pk, "kit": people.venue.pk}
    data = {name: given.get(value, value) for name, value in asked.items()}
    url = reverse("course", kwargs={"slug": "slalom"})
    assert visit("stranger").get(url, data).status_code == 404
    assert visit("owner").get(url, data).status_code == (200 if set(asked.values()) & set(given) else 404)


@pytest.mark.parametrize("slug", ["no-such", "own-999999", "own-x"])
def test_a_course_that_is_not_there(slug: str, people: ClubPeople, visit: Visit) -> None:
    """404 for the page and the plan."""
    assert visit("owner").get(reverse("course", kwargs={"slug": slug})).status_code == 404
    assert visit("owner").get(reverse("course_plan", kwargs={"slug": slug, "kind": "plan"})).status_code == 404


def times_url(slug: str, people: ClubPeople) -> str:
    """Return the address that keeps a time of Runa."""
    return f"{reverse('log_course_time', kwargs={'slug': slug})}?athlete={people.runa.pk}"


def sent(people: ClubPeople, **other: Any) -> dict[str, Any]:
    """Return a time as it is sent."""
    return {"who": people.runa.pk, "time_s": "10.0", "touches": "1", "on": "2026-03-02", "remark": "wet floor"} | other


def test_times_are_kept_and_compared_with_earlier_ones(people: ClubPeople, visit: Visit) -> None:
    """10.0 s, then 9.9 s, then 8.0 s.

    By hand: chance makes 1.96 √2 × 2.5 % of 10 s = 0.69 s between two single times; 0.1 s is less.  Against the mean
    9.95 s of both, 1.96 √2 × 2.5 % × √(½ (1 + ½)) × 9.95 = 0.60 s; 1.95 s is more.
    """
    assistant = visit("assistant")
    for time in ("10,0", "9.9", "8.0"):
        assert assistant.post(times_url("slalom", people), sent(people, time_s=time)).status_code == 302
    text = page(visit("owner"), "slalom", athlete=people.runa.pk)
    assert "first time" in text
    assert "no difference beyond the error" in text
    assert "-0.10 s; chance alone makes 0.69 s" in text
    assert "-1.95 s; chance alone makes 0.60 s" in text
    assert "Runs kept: 3 this way round, 0 the other: 3 the other way round are due." in text
    other = page(visit("owner"), "slalom", athlete=people.runa.pk, first="right")
    assert "first time" not in other, "the other way round is another course"
    assert "Runs kept: 0 this way round, 3 the other: 3 this way round are due." in other
    row = CourseTime.objects.first()
    assert row is not None
    assert (row.touches, row.remark, row.club) == (1, "wet floor", people.club)


@pytest.mark.parametrize(
    ("wrong", "said"),
    [
        ({"time_s": "fast"}, "This is not a number"),
        ({"time_s": "0"}, "allowed is above 0 s"),
        ({"time_s": ""}, "required"),
        ({"touches": "-1"}, "Allowed: 0 to 100"),
        ({"on": "2999-01-01"}, "still to come"),
        ({"who": "10000"}, "Select a valid choice"),
    ],
)
def test_a_time_that_cannot_be_is_not_kept_and_stays_typed(
    wrong: dict[str, str], said: str, people: ClubPeople, visit: Visit
) -> None:
    """422, the reason, the remark as it was typed, and no row."""
    response = visit("owner").post(times_url("slalom", people), sent(people, **wrong))
    assert response.status_code == 422
    assert said in response.content.decode()
    assert 'value="wet floor"' in response.content.decode()
    assert not CourseTime.objects.exists()


def test_times_of_another_clubs_athlete_are_not_kept(people: ClubPeople, visit: Visit) -> None:
    """404 for the stranger; an athlete's own account may not (403)."""
    assert visit("stranger").post(times_url("slalom", people), sent(people)).status_code == 404
    assert visit("athlete").post(times_url("slalom", people), sent(people)).status_code == 403
    assert visit("owner").get(times_url("slalom", people)).status_code == 405
