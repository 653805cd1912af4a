"""Trying an exercise out on its page: round by round, kept only by the practitioner's word."""

from __future__ import annotations

import sys
from datetime import timedelta
from pathlib import Path

import pytest
from club_people import ClubPeople
from django.urls import reverse
from django.utils import timezone

from conftest import Visit
from firstpush.web.after.holds import agreed_of
from firstpush.web.after.models import Said, Word

sys.path.insert(0, str(Path(__file__).parents[1] / "sessions"))
from logged_sessions import Pain, log_session
from made_sessions import Made, made_session


@pytest.fixture
def made(people: ClubPeople) -> Made:
    """Return a session of Runa with a row in it."""
    return made_session(people, minutes=12, keep=("low_row",))


def url_of(made: Made, exercise: str = "low_row", name: str = "try_out") -> str:
    """Return the address of the page, or of its drawing."""
    return reverse(name, kwargs={"id_": made.plan.pk, "slug": exercise})


def test_two_rounds_find_a_load_and_a_word_keeps_it(made: Made, people: ClubPeople, visit: Visit) -> None:
    """Too easy asks again with more; what fits is kept when it is said, and holds from then on."""
    owner = visit("owner")
    first = owner.get(url_of(made))
    assert "Round" not in first.content.decode() and first.context["now"]["number"] == 1
    second = owner.post(url_of(made), {"heard": "", "said": "8"})
    assert second.context["now"]["number"] == 2 and not Word.objects.exists()
    over = owner.post(url_of(made), {"heard": "8", "said": "12"})
    assert over.context["over"] and over.context["kept"] is not None and not Word.objects.exists()
    kept = owner.post(url_of(made), {"heard": "8.12", "keep": "1"})
    assert kept.status_code == 302
    rows = agreed_of(people.runa)
    assert [row["exercise"] for row in rows] == ["low_row"]
    assert rows[0]["sides"]["right"]["load_nm"] == pytest.approx(over.context["kept"].sides["right"].load)


def test_pain_ends_it_without_a_load(made: Made, visit: Visit) -> None:
    """Nothing can be kept then, whatever is sent."""
    owner = visit("owner")
    page = owner.post(url_of(made), {"heard": "8", "said": "pain"})
    assert page.context["over"] and page.context["kept"] is None
    owner.post(url_of(made), {"heard": "8.pain", "keep": "1"})
    assert not Word.objects.exists()


def kept_three_days_ago(made: Made, people: ClubPeople, visit: Visit) -> float:
    """Keep a load of a try-out that ended light, as if three days ago; return the load [N·m]."""
    kept = visit("owner").get(url_of(made), {"heard": "8.8.8"}).context["kept"]
    Word.objects.create(
        athlete=people.runa,
        exercise="low_row",
        title="Low row",
        on=timezone.localdate() - timedelta(days=3),
        said=Said.TRIED_OUT,
        agreed=[kept.document()],
        made_by=people.owner,
        made_at=timezone.now() - timedelta(days=3),
    )
    load: float = kept.sides["right"].load
    return load


@pytest.mark.parametrize(("effort", "goes_on"), [(9, True), (10, False)])
def test_it_goes_on_next_time_while_it_is_light(
    made: Made, people: ClubPeople, visit: Visit, effort: int, goes_on: bool
) -> None:
    """Done with effort 9 it begins with the load of last time; with 10 it goes by steps, and would begin anew."""
    load = kept_three_days_ago(made, people, visit)
    day = timezone.localdate() - timedelta(days=3)
    log_session(made.first, on=day, by=people.owner, efforts={"low_row": effort})
    page = visit("owner").get(url_of(made))
    text = page.content.decode()
    assert ("Session 2 of 3" in text) == goes_on
    assert ("begins with the lightest again" in text) != goes_on
    over = visit("owner").post(url_of(made), {"heard": "", "said": "12"})
    kept = over.context["kept"].sides["right"].load
    assert (kept == pytest.approx(load, rel=1e-3)) == goes_on and kept <= load * 1.001


def test_with_a_pain_in_it_it_never_goes_on(made: Made, people: ClubPeople, visit: Visit) -> None:
    """However light it was: a pain at the arm holds back for two weeks (our choice)."""
    kept_three_days_ago(made, people, visit)
    day = timezone.localdate() - timedelta(days=3)
    hurt = {"low_row": Pain(level=4, feeling="as usual", outcome="easier")}
    log_session(made.first, on=day, by=people.owner, efforts={"low_row": 8}, pains=hurt)
    text = visit("owner").get(url_of(made)).content.decode()
    assert "Session 2 of 3" not in text and "pain" in text


def test_each_round_is_drawn(made: Made, visit: Visit) -> None:
    """The second round is laid otherwise, and its drawing shows it."""
    owner = visit("owner")
    drawings = [owner.get(url_of(made, name="try_out_figure"), {"heard": heard}) for heard in ("", "8")]
    assert all(each.status_code == 200 and each.content.lstrip().startswith(b"<svg") for each in drawings)


@pytest.mark.parametrize("heard", ["21", "8.8.8.8", "quite"])
def test_what_is_no_answer_is_told(made: Made, visit: Visit, heard: str) -> None:
    """One sentence says what is allowed."""
    page = visit("owner").get(url_of(made), {"heard": heard})
    assert page.status_code == 422 and "is no answer" in page.content.decode()


def test_what_has_no_load_says_so(made: Made, visit: Visit) -> None:
    """An exercise by place and time is done as it is."""
    page = visit("owner").get(url_of(made, "easy_rolling"))
    assert page.status_code == 422 and "no load" in page.content.decode()
