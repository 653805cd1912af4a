"""The session pages in a real browser: from the form to a changed session, by keyboard, readable at every size."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Any

import pytest
from served import Served
from usable import usable

if TYPE_CHECKING:
    from playwright.sync_api import Browser, BrowserContext, Page

SHEET = re.compile(r"/sessions/\d+/$")
LONG_MS = 90_000
"""A session is made on a computer that may be doing other things [ms]."""


def opened(browser: Browser, login: dict[str, Any], **how: Any) -> tuple[BrowserContext, Page]:
    """Return a page of the owner's browser, as narrow as a page must bear."""
    context = browser.new_context(
        storage_state=login,  # type: ignore[arg-type]
        viewport={"width": 320, "height": 640},
        **how,
    )
    page = context.new_page()
    page.set_default_timeout(LONG_MS)
    return context, page


def test_a_session_is_made_and_changed_and_every_page_of_it_can_be_used(
    browser: Browser, login: dict[str, Any], served_club: Served
) -> None:
    """Made with its stages told, changed by keyboard alone, set up by hand with what it brings beside it, undone."""
    context, page = opened(browser, login)
    said: list[str] = []
    page.on("pageerror", lambda error: said.append(str(error)))
    page.on("console", lambda message: said.append(message.text) if "Content Security" in message.text else None)
    told: list[str] = []
    page.on("request", lambda request: told.append(request.url) if "/sessions/making/" in request.url else None)

    page.goto(f"{served_club.url}sessions/make/1/")
    page.locator("main summary").click()
    usable(page)
    page.get_by_label("Minutes").fill("15")
    page.get_by_role("group", name="Exercises that must be there").get_by_label("Seated row", exact=True).check()
    page.get_by_role("button", name="Make the session").click()
    page.wait_for_url(SHEET)
    assert told, "the page asked what was being done while it waited"
    assert page.locator("#item-seated_row").is_visible()
    for closed in page.locator("main summary").all():
        closed.click()
    page.evaluate("document.querySelectorAll('img').forEach(each => { each.loading = 'eager' })")
    page.wait_for_load_state("networkidle")
    drawn = page.evaluate("[...document.querySelectorAll('main img')].map(each => each.naturalWidth)")
    assert drawn and all(width > 0 for width in drawn), "every exercise has its drawing"
    usable(page)

    page.get_by_role("link", name=re.compile("Change.*Seated row")).focus()
    page.keyboard.press("Enter")
    page.wait_for_url(re.compile("/items/"))
    usable(page)
    page.locator(".exchanges summary").first.click()
    page.locator(".exchanges .made-way").first.wait_for()
    page.locator(".more-exchanges > summary").click()
    usable(page)
    page.get_by_role("link", name="Set it up by hand").click()
    page.get_by_label("Distance").select_option(index=0)
    page.wait_for_function("document.querySelector('#brings').textContent.trim().length > 60")
    usable(page)

    page.go_back()
    page.get_by_role("button", name="Leave it out").focus()
    page.keyboard.press("Enter")
    page.wait_for_url(SHEET)
    assert not page.locator("#item-seated_row").is_visible()
    assert page.get_by_text("Seated row is gone.").is_visible()
    page.get_by_role("link", name="2 versions").click()
    usable(page)
    page.go_back()
    page.get_by_role("button", name="Undo: back to version 1").click()
    page.wait_for_load_state()
    assert page.locator("#item-seated_row").is_visible()
    assert said == []
    context.close()


def test_a_collision_can_be_read_and_solved(browser: Browser, login: dict[str, Any], served_club: Served) -> None:
    """What does not fit stands in plain words; one button, and it does."""
    context, page = opened(browser, login)
    page.goto(f"{served_club.url}sessions/make/1/")
    page.locator("main summary").click()
    page.get_by_label("Minutes").fill("9")
    must = page.get_by_role("group", name="Exercises that must be there")
    for title in ("Seated row", "External rotation at 90° abduction", "Anti-rotation press", "Hugging press"):
        must.get_by_label(title, exact=True).check()
    page.get_by_role("button", name="Make the session").click()
    page.get_by_role("heading", name="This does not fit together").wait_for()
    usable(page)
    page.get_by_role("button", name=re.compile("^Give ")).click()
    page.wait_for_url(SHEET)
    assert page.locator("#item-hugging_press").is_visible()
    context.close()


def test_without_script_a_session_is_made_and_set_up_by_hand(
    browser: Browser, login: dict[str, Any], served_club: Served
) -> None:
    """The form waits by itself, and a button shows what a set-up by hand brings."""
    context, page = opened(browser, login, java_script_enabled=False)
    page.goto(f"{served_club.url}sessions/make/1/")
    page.locator("main summary").click()
    page.get_by_role("group", name="Exercises that must be there").get_by_label("Seated row", exact=True).check()
    page.get_by_role("button", name="Make the session").click()
    page.wait_for_url(SHEET)
    page.get_by_role("link", name=re.compile("Change.*Seated row")).click()
    page.get_by_role("link", name="Set it up by hand").click()
    page.get_by_role("button", name="See what it brings").click()
    assert page.locator("#brings").get_by_text("N·m").count() > 0
    page.get_by_role("button", name="Take it over").click()
    page.wait_for_url(SHEET)
    assert page.get_by_text("is set up by hand").count() > 0
    context.close()


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_the_timeline_is_to_scale(browser: Browser, login: dict[str, Any], served_club: Served, scheme: str) -> None:
    """Every bar stands at its share of the time and is as wide as it lasts, measured on the screen."""
    context, page = opened(browser, login, color_scheme=scheme)
    page.goto(f"{served_club.url}sessions/make/1/")
    page.get_by_role("button", name="Make the session").click()
    page.wait_for_url(SHEET)
    words = page.locator("svg.time").get_attribute("aria-label") or ""
    total = page.locator(".figures dd").nth(1).inner_text()
    minutes, seconds = total.split(":")
    whole_s = 60 * int(minutes) + int(seconds)
    frame = page.locator("svg.time .frame").bounding_box()
    assert frame is not None
    starts = re.findall(r"(\d+) from (\d+):(\d\d) to", words)
    marks = page.locator("svg.time line.start").all()
    assert len(starts) == len(marks) > 2
    for (_, at_min, at_s), mark in zip(starts, marks, strict=True):
        box = mark.bounding_box()
        assert box is not None
        share = (60 * int(at_min) + int(at_s)) / whole_s
        assert box["x"] + box["width"] / 2 - frame["x"] == pytest.approx(share * frame["width"], abs=1.5)
    context.close()


def test_of_the_venue_only_what_is_true_for_the_kind_is_shown(
    browser: Browser, login: dict[str, Any], served_club: Served
) -> None:
    """Before training it is needed and not called empty; at home it may stay empty: the choice changes the words."""
    context, page = opened(browser, login)
    page.goto(f"{served_club.url}sessions/make/1/")
    of_venue = page.locator("div.field", has=page.get_by_label("Venue"))
    for kind, alone in (("before training", False), ("home", True), ("strength", False), ("travel", True)):
        page.get_by_label("Kind of session").select_option(value=kind)
        assert of_venue.get_by_text("needs one.").is_visible() != alone, kind
        assert of_venue.get_by_text("can do without one.").is_visible() == alone, kind
        assert of_venue.get_by_text("(may stay empty)").is_visible() == alone, kind
    usable(page)
    context.close()
