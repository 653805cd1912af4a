"""Pain on court as it is said: one question after the other, nothing taken for granted, nothing lost."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

import pytest
from page_club import CourtClub, begin, heading, on_court, to_exercise, wait_home

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page


def say_pain(page: Page, place: str, side: str, feeling: str, level: int) -> None:
    """Say a pain, one question after the other."""
    page.locator(".oncourt-foot").get_by_role("button", name="Pain", exact=True).click()
    answer_pain(page, place, side, feeling, level)


def answer_pain(page: Page, place: str, side: str, feeling: str, level: int) -> None:
    """Answer the questions about a pain."""
    page.get_by_role("heading", name="Where is it?").wait_for()
    other = page.get_by_role("button", name="Somewhere else")
    if other.count():
        other.click()
    screen = page.locator("#screen")
    screen.get_by_role("button", name=place, exact=True).click()
    screen.get_by_role("button", name=side, exact=True).click()
    screen.get_by_role("button", name=f"{level} of 10", exact=True).click()
    screen.get_by_role("button", name=re.compile(f"^{feeling}")).click()


@pytest.mark.parametrize(
    ("feeling", "level", "verdict", "outcome"),
    [
        ("As usual", 1, "Go on with care", "go on with care"),
        ("New", 1, "This exercise stops", "stop the exercise"),
        ("Sharp", 2, "This exercise stops", "stop the exercise"),
        ("Known, but more than usual", 1, "This exercise stops", "easier"),
        ("As usual", 7, "Nothing loads this arm today", "stop the arm"),
    ],
)
def test_pain_has_the_answer_of_the_one_rule(
    browser: Browser, club: CourtClub, feeling: str, level: int, verdict: str, outcome: str
) -> None:
    """Common practice, edge by edge in the tests of the rule; here the page says and keeps the same."""
    context, page = on_court(browser, club)
    begin(page)
    title = page.locator("#screen h1").inner_text()
    say_pain(page, "Elbow outside", "Left", feeling, level)
    assert page.locator(".verdict").inner_text().startswith(verdict)
    page.locator(".main-action button").click()
    if outcome == "stop the arm":
        page.get_by_role("heading", name="How hard was the whole session?").wait_for()
        back = page.get_by_role("button", name="Back to the session")
        # Where every exercise loads the arm there is nothing to go back to.
        if back.count():
            back.click()
    page.locator(".said", has_text=f"Pain {level}, left elbow outside").wait_for()
    if outcome == "stop the arm":
        assert heading(page) != title.splitlines()[-1], "the arm is loaded no more"
    elif outcome in ("stop the exercise", "easier"):
        assert page.locator("#screen h1").inner_text() != title, "never pushed on"
    else:
        assert page.locator("#screen h1").inner_text() == title
    wait_home(page)
    entry = [each for each in club.at_home() if each["kind"] == "pain"][-1]
    assert (entry["outcome"], entry["level_0_10"], entry["side"]) == (outcome, level, "left")
    context.close()


def test_half_a_pain_is_asked_for_and_not_lost(browser: Browser, club: CourtClub) -> None:
    """A place without a level, then back and Begin: the page asks on where it was left."""
    context, page = on_court(browser, club)
    page.get_by_role("button", name="Something to say first").click()
    page.locator("#screen").get_by_role("button", name=re.compile("^(Another pain|Pain)$")).click()
    other = page.get_by_role("button", name="Somewhere else")
    other.or_(page.get_by_role("button", name="Neck", exact=True)).first.wait_for()
    if other.count():
        other.click()
    page.get_by_role("button", name="Neck", exact=True).click()
    page.get_by_role("heading", name="How much is it?").wait_for()
    page.get_by_role("button", name="Back").click()
    page.get_by_role("button", name=re.compile("^Begin")).click()
    page.get_by_role("heading", name="How much is it?").wait_for()
    page.get_by_role("button", name="1 of 10").click()
    page.get_by_role("button", name=re.compile("^As usual")).click()
    assert "null" not in page.locator("#court").inner_text()
    page.get_by_role("button", name="Note it").click()
    page.locator(".said-pains", has_text="Neck, 1 of 10").wait_for()
    assert "null" not in page.locator("#court").inner_text()
    page.get_by_role("button", name=re.compile("^Begin")).click()
    page.locator(".said", has_text="Answers before the start").wait_for()
    wait_home(page)
    entry = [each for each in club.at_home() if each["kind"] == "before"][-1]
    assert entry["pains"] == [{"place": "neck", "level_0_10": 1, "feeling": "as usual"}]
    context.close()


def test_nothing_is_chosen_beforehand_of_a_pain(browser: Browser, club: CourtClub) -> None:
    """What it is like is asked, never taken for as usual."""
    context, page = on_court(browser, club)
    begin(page)
    page.locator(".oncourt-foot").get_by_role("button", name="Pain", exact=True).click()
    page.get_by_role("button", name="Somewhere else").click()
    page.get_by_role("button", name="Neck", exact=True).click()
    page.get_by_role("button", name="1 of 10").click()
    page.get_by_role("heading", name="What is it like?").wait_for()
    assert page.locator("#screen [aria-pressed=true]").count() == 0
    assert page.get_by_role("button", name="Undo").count() == 0, "where “keep it” is looked for"
    context.close()


def test_leaving_out_for_pain_asks_for_the_pain(browser: Browser, club: CourtClub) -> None:
    """Where, which side, how much and what kind; then the pain and the leaving out are kept, in this order."""
    context, page = on_court(browser, club)
    begin(page)
    page.get_by_role("button", name="Other …").click()
    page.get_by_role("button", name="Leave it out").click()
    page.locator("#screen").get_by_role("button", name="Pain", exact=True).click()
    answer_pain(page, "Forearm", "Right", "As usual", 1)
    page.get_by_role("button", name="Note it, and leave the exercise out").click()
    page.locator(".said", has_text="Left out").wait_for()
    wait_home(page)
    entries = club.at_home()
    newest = max(each["run"] for each in entries)
    pain, skipped = [each for each in entries if each["run"] == newest][-2:]
    assert (pain["kind"], pain["place"], pain["side"], pain["outcome"]) == (
        "pain",
        "forearm",
        "right",
        "go on with care",
    )
    assert (skipped["kind"], skipped["reason"]) == ("skipped", "pain")
    context.close()


def test_a_pain_lasts_for_the_same_arm(browser: Browser, club: CourtClub) -> None:
    """A new pain of the left elbow: the next exercise of that arm is not shown as planned until somebody asks."""
    context, page = on_court(browser, club)
    begin(page)
    items = club.packs[0]["items"]
    to_exercise(page, items[2]["variants"]["planned"]["title"])
    say_pain(page, "Elbow outside", "Left", "New", 2)
    page.locator(".main-action button").click()
    page.get_by_text("Rather not today").wait_for()
    words = page.locator(".told").inner_text()
    where = f"New pain of 2 of 10 in {items[2]['variants']['planned']['title']}, left elbow outside"
    assert f"{where}: nothing that loads this arm today" in words
    assert page.locator("#screen img").count() == 0
    page.get_by_role("button", name="Leave it out").click()
    page.locator(".said", has_text="Left out").wait_for()
    wait_home(page)
    assert club.at_home()[-1]["reason"] == "pain earlier in the session"
    context.close()
