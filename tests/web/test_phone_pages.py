"""What a phone shows: a head of two rows, what is folded, and drawings that do not glare in the dark."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from club_people import PASSWORD, ClubPeople
from django.urls import reverse
from playwright.sync_api import Browser, Page, expect
from served import Served

from conftest import Visit
from firstpush.core.figure import palette
from firstpush.web.athletes.read_out import chairs_shown
from firstpush.web.athletes.table_form import NOTHING_TICKED
from firstpush.web.kit.models import KitRecord, VenueRecord
from firstpush.web.sessions import day_print, progress

STATIC = Path(palette.__file__).parents[2] / "web" / "static"
TARGET_PX = 48
TWO_ROWS_PX = 2 * TARGET_PX + 16
"""Two rows of targets, with the lines under and around them."""


def signed_in(page: Page, served: Served) -> None:
    """Log the owner in."""
    page.goto(served.url)
    page.get_by_label("Name").fill("owner")
    page.get_by_label("Password").fill(PASSWORD)
    page.get_by_role("button", name="Log in").click()
    page.wait_for_load_state()


@pytest.mark.parametrize("wide", [320, 390])
def test_the_head_of_a_phone_is_two_rows(wide: int, served_club: Served, browser: Browser) -> None:
    """Every target is 48 px or more; club and account come out of a word, without script and by keyboard."""
    context = browser.new_context(viewport={"width": wide, "height": 800}, java_script_enabled=False)
    page = context.new_page()
    signed_in(page, served_club)
    head = page.locator(".top").bounding_box()
    assert head is not None and head["height"] <= TWO_ROWS_PX
    more = page.locator(".top summary")
    expect(page.get_by_role("link", name="Harbour Wheels")).to_be_hidden()
    more.focus()
    page.keyboard.press("Enter")
    expect(page.get_by_role("link", name="Harbour Wheels")).to_be_visible()
    for each in page.locator(".top a:visible, .top summary").all():
        box = each.bounding_box()
        assert box is not None and min(box["width"], box["height"]) >= TARGET_PX
    assert page.evaluate("document.documentElement.scrollWidth") <= wide
    context.close()


def test_a_wide_screen_shows_club_and_account_once(served_club: Served, browser: Browser) -> None:
    """Beside the pages, in one row; the word for more is not there."""
    context = browser.new_context(viewport={"width": 1280, "height": 800})
    page = context.new_page()
    signed_in(page, served_club)
    expect(page.get_by_role("link", name="Harbour Wheels")).to_be_visible()
    expect(page.locator(".top summary")).to_be_hidden()
    context.close()


def test_the_wall_is_dark_in_the_dark() -> None:
    """The surface of a wall has a rule of its own, and is nearer to the dark page than to paper."""
    rule = re.search(
        rf'path\[fill="{palette.COURT_PALE}"\] \{{ fill: (#\w+); \}}',
        (STATIC / "drawn.css").read_text(encoding="utf-8"),
    )
    assert rule

    def level(colour: str) -> int:
        return sum(int(colour[at : at + 2], 16) for at in (1, 3, 5))

    page, paper = level("#141e22"), level(palette.PAPER)
    assert page < level(rule[1]) < page + (paper - page) / 4


def test_the_first_cupboard_and_venue_are_called_so(people: ClubPeople, visit: Visit) -> None:
    """Where there is one already it is another."""
    client = visit("owner")
    names = {"new_kit": "cupboard", "new_venue": "venue"}
    for name, word in names.items():
        assert f"<h1>Another {word}</h1>" in client.get(reverse(name)).content.decode()
    alone = visit("stranger")
    assert not KitRecord.objects.filter(club__name="Lake Rollers").exists()
    assert not VenueRecord.objects.filter(club__name="Lake Rollers").exists()
    for name, word in names.items():
        assert f"<h1>The first {word}</h1>" in alone.get(reverse(name)).content.decode()


def test_lengths_of_a_chair_have_the_same_digits(people: ClubPeople) -> None:
    """Every length in metres has two digits after the point, or more where it was measured finer."""
    rows = [row for chair in chairs_shown(people.runa.athlete()) for row in chair.rows]
    lengths = [row.value for row in rows if row.value.endswith(" m")]
    assert len(lengths) > 3
    assert all(re.fullmatch(r"\d+\.\d{2,} m", value) for value in lengths), lengths


def test_what_nothing_ticked_means_is_said_as_what_to_do(people: ClubPeople, visit: Visit) -> None:
    """The form of health says when to tick that there is none."""
    shown = visit("owner").get(reverse("edit_health", kwargs={"id_": people.runa.pk})).content.decode()
    assert NOTHING_TICKED in shown
    assert "when you asked and there is none" in NOTHING_TICKED


def test_the_same_paper_is_not_made_twice(people: ClubPeople, visit: Visit, monkeypatch: pytest.MonkeyPatch) -> None:
    """Asked for again it comes from what is kept; it is told what is being done, and one more athlete is another."""
    made, told = [], []

    def pdf(decks: list[object], **_: object) -> bytes:
        made.append(len(decks))
        return b"%PDF-1.7"

    monkeypatch.setattr(day_print, "cards_pdf", pdf)
    monkeypatch.setattr(day_print, "card_deck", lambda version: version)
    versions = [people.plan.newest, people.plan_of_jon.newest]
    day = versions[0].made_at.date()  # type: ignore[union-attr]
    for _ in range(2):
        day_print.day_pdf(versions, paper="cards", day=day, told=told.append)  # type: ignore[arg-type]
    assert made == [2]
    assert told == ["drawing", "setting"] and set(told) < set(progress.PAPER_WORDS)
    day_print.day_pdf(versions[:1], paper="cards", day=day)  # type: ignore[arg-type]
    assert made == [2, 1]
