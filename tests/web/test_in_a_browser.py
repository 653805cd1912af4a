"""The base look in a real browser: readable by machines, large enough for hands, and quiet under a strict policy."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

import pytest
from owners_browser import quiet_page
from served import Served
from usable import usable

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

PAGES = (
    "/",
    "/athletes/",
    "/athletes/1/",
    "/athletes/1/erase/",
    "/athletes/new/",
    "/athletes/list/",
    "/athletes/1/measure-next/",
    "/athletes/1/body/",
    "/athletes/1/function/",
    "/athletes/1/health/",
    "/athletes/1/strength/",
    "/athletes/1/chairs/",
    "/athletes/1/history/",
    "/kit-and-venue/",
    "/kit-and-venue/kit/1/",
    "/kit-and-venue/venue/1/",
    "/exercises/",
    "/exercises/seated_row/",
    "/sessions/1/",
    "/club/",
    "/account/",
    "/account/password/",
    "/account/second-step/",
    "/no-such-page/",
)


@pytest.fixture
def page(browser: Browser, login: dict[str, Any]) -> Iterator[Page]:
    """Return a page of the owner's browser on a small phone."""
    # What the console says of the page that is not there is no fault.
    with quiet_page(browser, login, but="404", viewport={"width": 320, "height": 640}) as opened:
        yield opened


@pytest.mark.parametrize("address", PAGES)
def test_a_page_can_be_used_by_everybody(address: str, page: Page, served_club: Served) -> None:
    """In light and dark: nothing leaves 320 px at text twice as large; axe finds nothing; every target has 48 px."""
    page.goto(served_club.url.rstrip("/") + address)
    usable(page)


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_the_keyboard_sees_where_it_is(page: Page, served_club: Served, scheme: Any) -> None:
    """The first stop leads past the menu, and every stop has an outline."""
    page.emulate_media(color_scheme=scheme)
    page.goto(f"{served_club.url}athletes/")
    page.keyboard.press("Tab")
    assert page.evaluate("document.activeElement.textContent") == "To the content"
    for _ in range(4):
        outline = page.evaluate("getComputedStyle(document.activeElement).outlineStyle")
        assert outline == "solid"
        page.keyboard.press("Tab")


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_nothing_is_asked_from_another_computer(page: Page, served_club: Served, scheme: Any) -> None:
    """Every request of a page goes to its own server, the typeface included."""
    page.emulate_media(color_scheme=scheme)
    asked: list[str] = []
    page.on("request", lambda request: asked.append(request.url))
    page.goto(f"{served_club.url}exercises/")
    page.evaluate("document.fonts.ready")
    assert any(url.endswith(".ttf") for url in asked), asked
    assert all(url.startswith(served_club.url) for url in asked), asked
    assert all(re.search(r"\.\w+$|/$", url.partition("?")[0]) for url in asked)


def test_without_script_the_forms_work(browser: Browser, login: dict[str, Any], served_club: Served) -> None:
    """A wrong entry comes back with its reason beside the field, and what was typed still in it."""
    context = browser.new_context(storage_state=login, java_script_enabled=False)  # type: ignore[arg-type]
    page = context.new_page()
    page.goto(f"{served_club.url}athletes/1/erase/")
    page.get_by_label("The athlete's name").fill("Runa")
    page.get_by_role("button", name="Erase everything").click()
    assert page.get_by_label("The athlete's name").input_value() == "Runa"
    assert "Type it as it stands here" in page.content()
    context.close()
