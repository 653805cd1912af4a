"""The base look in a real browser: readable by machines, large enough for hands, and quiet under a strict policy."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

import pytest
from axe_playwright_python.sync_playwright import Axe
from club_people import PASSWORD
from served import Served

if TYPE_CHECKING:
    from playwright.sync_api import Browser, BrowserContext, Page

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
SMALL = """
() => [...document.querySelectorAll('a[href], button, input:not([type=hidden]), select, textarea, summary')]
  .filter(each => !each.closest('p') || each.matches('.button'))
  .map(each => {
    const target = each.matches('input[type=radio], input[type=checkbox]') ? each.closest('label') || each : each;
    const box = target.getBoundingClientRect();
    return [each.outerHTML.slice(0, 90), box.width, box.height, box.right];
  })
  .filter(([, width, height, right]) => width > 1 && right > 0 && (width < 47.5 || height < 47.5))
"""
"""Every box a hand would aim at that is smaller than 48 px; words within a sentence are none."""


@pytest.fixture(scope="module")
def login(browser: Browser, served_club: Served) -> dict[str, Any]:
    """Log the owner in, by keyboard only, and return what the browser keeps of it."""
    context = browser.new_context()
    page = context.new_page()
    page.goto(f"{served_club.url}account/login/")
    page.get_by_label("Name to log in with").focus()
    page.keyboard.type("owner")
    page.keyboard.press("Tab")
    page.keyboard.type(PASSWORD)
    page.keyboard.press("Enter")
    page.wait_for_url(served_club.url)
    state: dict[str, Any] = dict(context.storage_state())
    context.close()
    return state


@pytest.fixture(params=["light", "dark"])
def page(request: pytest.FixtureRequest, browser: Browser, login: dict[str, Any]) -> Iterator[Page]:
    """Return a page of the owner's browser that fails when the console has something to say."""
    context: BrowserContext = browser.new_context(
        storage_state=login,  # type: ignore[arg-type]
        color_scheme=request.param,
        viewport={"width": 320, "height": 640},
    )
    opened = context.new_page()
    said: list[str] = []
    opened.on("console", lambda message: said.append(message.text) if message.type in ("error", "warning") else None)
    opened.on("pageerror", lambda error: said.append(str(error)))
    yield opened
    context.close()
    unexpected = [each for each in said if "404" not in each]
    assert unexpected == []


@pytest.mark.parametrize("address", PAGES)
def test_a_page_can_be_used_by_everybody(address: str, page: Page, served_club: Served) -> None:
    """At 320 px and with text twice as large nothing leaves the screen; axe finds nothing; every target has 48 px."""
    page.goto(served_club.url.rstrip("/") + address)
    found = Axe().run(page, options={"runOnly": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]})
    assert found.violations_count == 0, found.generate_report()
    assert page.evaluate(SMALL) == []
    for size in ("100%", "200%"):
        page.evaluate("size => { document.documentElement.style.fontSize = size }", size)
        wide = page.evaluate("document.documentElement.scrollWidth")
        assert wide <= 320, f"{wide} px wide at text of {size}"


def test_the_keyboard_sees_where_it_is(page: Page, served_club: Served) -> None:
    """The first stop leads past the menu, and every stop has an outline."""
    page.goto(f"{served_club.url}athletes/")
    page.keyboard.press("Tab")
    assert page.evaluate("document.activeElement.textContent") == "To the content"
    for _ in range(4):
        outline = page.evaluate("getComputedStyle(document.activeElement).outlineStyle")
        assert outline == "solid"
        page.keyboard.press("Tab")


def test_nothing_is_asked_from_another_computer(page: Page, served_club: Served) -> None:
    """Every request of a page goes to its own server, the typeface included."""
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
