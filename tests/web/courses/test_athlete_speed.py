"""How fast an athlete is: tests are added and taken back, and the newest makes the bracket narrower."""

from __future__ import annotations

import io
import json
import math
import re
import zipfile
from typing import Any

import pytest
from club_people import ClubPeople
from django.db import Error, connection, transaction
from django.urls import reverse

from conftest import Visit
from firstpush.web.append_only import COURSE_TABLES
from firstpush.web.athletes.person import erase_person, export_person
from firstpush.web.courses.models import CourseTime, SpeedTest
from firstpush.web.courses.speeds import speed_of

V_MAX, TAU, OFFSET = 4.2, 1.15, 0.5


def clock(distance: float) -> float:
    """Return what gates show at a distance: x = v (t − τ (1 − e^(−t/τ))) by halving, from `OFFSET` behind them."""

    def time(x: float) -> float:
        low, high = 0.0, 60.0
        for _ in range(80):
            middle = (low + high) / 2
            gone = V_MAX * (middle - TAU * (1 - math.exp(-middle / TAU)))
            low, high = (middle, high) if gone < x else (low, middle)
        return low

    return time(distance + OFFSET) - time(OFFSET)


def sprint(**other: Any) -> dict[str, Any]:
    """Return a sprint as it is sent: 5, 10 and 20 m."""
    rows = {f"sprint-distance_{n}": str(d) for n, d in enumerate((5, 10, 20), start=1)}
    rows |= {f"sprint-time_{n}": f"{clock(d):.2f}" for n, d in enumerate((5, 10, 20), start=1)}
    given = {"start_offset_m": "0,5", "timed_by": "gates", "on": "2026-03-02", "remark": "tail wind"}
    return rows | {f"sprint-{name}": value for name, value in (given | other).items()}


def add(people: ClubPeople, kind: str) -> str:
    """Return the address that adds a test of Runa."""
    return reverse("add_speed_test", kwargs={"id_": people.runa.pk, "kind": kind})


def shown(people: ClubPeople, visit: Visit, who: str = "owner") -> str:
    """Return the text of the speed page of Runa."""
    return str(visit(who).get(reverse("athlete_speed", kwargs={"id_": people.runa.pk})).content.decode())


CIRCLE = {
    "circle-radius_m": "2",
    "circle-time_s": "4.6",
    "circle-rounds": "1",
    "circle-timed_by": "stopwatch",
    "circle-on": "2026-03-02",
}
BACKWARD = {"backward-distance_m": "5", "backward-time_s": "3.4", "backward-on": "2026-03-02"}


def test_a_sprint_gives_back_the_speed_it_was_made_from(people: ClubPeople, visit: Visit) -> None:
    """Splits made from 4.2 m/s and 1.15 s, rounded to 0.01 s, are fitted to about the same, each with its range."""
    assert visit("colleague").post(add(people, "sprint"), sprint()).status_code == 302
    speed = speed_of(list(people.runa.speed_tests.all()))
    assert speed.maximal_speed.value == pytest.approx(V_MAX, rel=0.03)
    assert speed.time_constant.value == pytest.approx(TAU, rel=0.06)
    text = shown(people, visit)
    assert "measured: 3 splits by gates" in text
    assert re.search(r"maximal speed 4\.\d \(\d\.\d-\d\.\d\) m/s", text)
    assert "0.5 m behind the line, by light gates" in text


def test_a_circle_gives_the_sideways_acceleration(people: ClubPeople, visit: Visit) -> None:
    """Hand arithmetic: 2 π × 2 m in 4.6 s are 2.73 m/s, and 2.73²/2 = 3.73 m/s²."""
    visit("owner").post(add(people, "circle"), CIRCLE)
    assert speed_of(list(people.runa.speed_tests.all())).lateral.value == pytest.approx(
        (2 * math.pi * 2 / 4.6) ** 2 / 2, abs=0.01
    )
    assert "sideways 3.7 (" in shown(people, visit)


def test_a_backward_pull_is_a_share_of_the_sprint_and_needs_one(people: ClubPeople, visit: Visit) -> None:
    """Without a sprint it is refused; with one it counts."""
    refused = visit("owner").post(add(people, "backward"), BACKWARD)
    assert refused.status_code == 422
    assert "a sprint comes first" in refused.content.decode()
    visit("owner").post(add(people, "sprint"), sprint())
    assert visit("owner").post(add(people, "backward"), BACKWARD).status_code == 302
    share = speed_of(list(people.runa.speed_tests.all())).backward_share
    by_hand = 5 / (V_MAX * (3.4 - TAU * (1 - math.exp(-3.4 / TAU))))
    assert share.known == "measured"
    assert share.value == pytest.approx(by_hand, rel=0.03)


def test_measuring_makes_the_bracket_narrower(people: ClubPeople, visit: Visit) -> None:
    """The same course before and after a sprint and a circle; taken back, it is as wide as before."""

    def width() -> float:
        text = visit("owner").get(reverse("course", kwargs={"slug": "half-circle"}), {"athlete": people.runa.pk})
        found = re.search(r"<dd>([\d.]+)-([\d.]+) s</dd>", text.content.decode())
        assert found
        return float(found[2]) - float(found[1])

    before = width()
    visit("owner").post(add(people, "sprint"), sprint())
    visit("owner").post(add(people, "circle"), CIRCLE)
    assert width() < 0.8 * before
    for test in list(people.runa.speed_tests.all()):
        url = reverse("take_speed_test_back", kwargs={"id_": people.runa.pk, "number": test.pk})
        assert visit("colleague").post(url).status_code == 302
    assert width() == before
    assert people.runa.speed_tests.count() == 4, "what was measured stays, beside the rows that take it back"


@pytest.mark.parametrize(
    ("kind", "content", "wrong", "said"),
    [
        ("sprint", sprint(), {"sprint-time_2": "1.0"}, "distances and times both rise"),
        ("sprint", sprint(), {"sprint-time_1": "quick"}, "This is not a number"),
        ("sprint", sprint(), {"sprint-start_offset_m": ""}, "required"),
        ("sprint", sprint(), {"sprint-start_offset_m": "50"}, "allowed is 0 m to 3 m"),
        ("sprint", sprint(), {"sprint-timed_by": ""}, "required"),
        ("sprint", sprint(), {"sprint-distance_2": ""}, "no distance"),
        ("sprint", sprint(), {"sprint-on": "2999-01-01"}, "still to come"),
        ("circle", CIRCLE, {"circle-radius_m": "200"}, "allowed is 0.3 to 15 m"),
        ("circle", CIRCLE, {"circle-time_s": "1"}, "allowed is up to 6 m/s"),
    ],
)
def test_what_cannot_be_is_refused_and_stays_typed(
    kind: str, content: dict[str, str], wrong: dict[str, str], said: str, people: ClubPeople, visit: Visit
) -> None:
    """422, the reason in words, every field as it was, and no row."""
    response = visit("owner").post(add(people, kind), content | wrong)
    text = response.content.decode()
    assert response.status_code == 422
    assert said in text
    for name, value in (content | wrong).items():
        if value and not name.endswith("timed_by"):
            assert re.search(rf'name="{name}"[^>]*value="{re.escape(value)}"', text), name
    assert not SpeedTest.objects.exists()


def test_who_may_add_and_take_back(people: ClubPeople, visit: Visit) -> None:
    """An assistant reads (403 for changing), the stranger finds nothing, the athlete's account may not."""
    visit("owner").post(add(people, "sprint"), sprint())
    test = people.runa.speed_tests.get()
    back = reverse("take_speed_test_back", kwargs={"id_": people.runa.pk, "number": test.pk})
    for url, data in ((add(people, "sprint"), sprint()), (back, {})):
        assert visit("assistant").post(url, data).status_code == 403
        assert visit("athlete").post(url, data).status_code == 403
        assert visit("stranger").post(url, data).status_code == 404
        assert visit("owner").get(url).status_code == 405
    assert "Add a sprint" not in shown(people, visit, "assistant")
    other = reverse("take_speed_test_back", kwargs={"id_": people.jon.pk, "number": test.pk})
    assert visit("owner").post(other).status_code == 404, "a test of somebody else"
    assert visit("owner").post(add(people, "jump"), {}).status_code == 404
    for _ in range(2):
        assert visit("owner").post(back).status_code == 302
    assert people.runa.speed_tests.count() == 2, "taken back once, however often it is asked"


def with_rows(people: ClubPeople, visit: Visit) -> None:
    """Let there be a test and a time of Runa, and one test of Jon."""
    visit("owner").post(add(people, "sprint"), sprint())
    jons = reverse("add_speed_test", kwargs={"id_": people.jon.pk, "kind": "sprint"})
    visit("owner").post(jons, sprint(remark="Jon alone"))
    url = f"{reverse('log_course_time', kwargs={'slug': 'slalom'})}?athlete={people.runa.pk}"
    visit("owner").post(url, {"who": people.runa.pk, "time_s": "9.5", "on": "2026-03-02", "remark": "new tyres"})
    assert CourseTime.objects.count() == 1


def test_a_time_is_listed_and_taken_back(people: ClubPeople, visit: Visit) -> None:
    """It stands on the page with a link to its course, and goes from there by another row."""
    with_rows(people, visit)
    text = shown(people, visit)
    link = re.search(r'href="(/courses/slalom/[^"]*)#times">Slalom, spacing 2.00 m', text)
    assert link
    assert "9.50 s" in visit("owner").get(link[1].replace("&amp;", "&")).content.decode()
    row = CourseTime.objects.get()
    url = reverse("take_course_time_back", kwargs={"id_": people.runa.pk, "number": row.pk})
    assert visit("stranger").post(url).status_code == 404
    assert visit("assistant").post(url).status_code == 302
    assert "9.50 s" not in shown(people, visit)
    assert CourseTime.objects.count() == 2


@pytest.mark.parametrize("table", COURSE_TABLES)
@pytest.mark.parametrize("change", ["UPDATE {table} SET remark = 'other'", "DELETE FROM {table}"])
def test_the_database_refuses_to_change_what_was_measured(
    table: str, change: str, people: ClubPeople, visit: Visit
) -> None:
    """Past all our code, SQLite itself says no."""
    with_rows(people, visit)
    with connection.cursor() as cursor:
        with pytest.raises(Error, match="never changed"), transaction.atomic():
            cursor.execute(change.format(table=table))
        cursor.execute(f"SELECT count(*) FROM {table}")
        assert cursor.fetchone()[0] > 0


def test_all_of_it_is_handed_over_and_erased_with_the_person(people: ClubPeople, visit: Visit) -> None:
    """The export holds both; erasing leaves the team mate's."""
    with_rows(people, visit)
    with zipfile.ZipFile(io.BytesIO(export_person(people.runa))) as archive:
        found = json.loads(archive.read("speed-and-courses.json"))
        assert "speed-and-courses.json" in archive.read("README.txt").decode()
    assert found["speed_tests"][0]["measured"]["start_offset_m"] == 0.5
    assert found["course_times"][0]["time_s"] == 9.5
    assert "Jon alone" not in json.dumps(found)
    erase_person(people.runa)
    assert not CourseTime.objects.exists()
    assert [each.remark for each in SpeedTest.objects.all()] == ["Jon alone"]
