"""Trying an exercise out on its page: round by round, kept only by the practitioner's word."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest
from club_people import ClubPeople
from conftest import Visit
from django.urls import reverse

from firstpush.web.after.holds import agreed_of
from firstpush.web.after.models import Word

sys.path.insert(0, str(Path(__file__).parents[1] / "sessions"))
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
