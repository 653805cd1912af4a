"""The training day in a real browser: from nobody to printed sheets, with script and without."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest
from owners_browser import kept_login
from served import Served, filled, serving
from usable import SMALL, faultless, fits

if TYPE_CHECKING:
    from playwright.sync_api import Browser, BrowserContext, Page

MADE_WITHIN_MS = 240_000
"""For two sessions, on a machine that does much else."""


@pytest.fixture(scope="module")
def club(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Served]:
    """Serve a club of its own: what happens here is not seen by other tests."""
    folder: Path = tmp_path_factory.mktemp("day") / "club"
    filled(folder)
    with serving(folder) as served:
        yield served


@pytest.fixture(scope="module")
def login(browser: Browser, club: Served) -> dict[str, Any]:
    """Log the owner in; return what the browser keeps of it."""
    return kept_login(browser, club.url)


def opened(browser: Browser, login: dict[str, Any], club: Served, **options: Any) -> tuple[BrowserContext, Page]:
    """Return a browser of the owner at the day."""
    context = browser.new_context(storage_state=login, **options)  # type: ignore[arg-type]
    page = context.new_page()
    page.goto(club.url)
    return context, page


def test_without_script_everybody_gets_a_sheet(browser: Browser, login: dict[str, Any], club: Served) -> None:
    """The page comes again by itself while sessions are made, until both are ready to print."""
    context, page = opened(browser, login, club, java_script_enabled=False)
    page.get_by_role("button", name="Everybody is here").click()
    page.get_by_role("button", name="Make all 2 missing").click()
    page.get_by_role("button", name="Print all 2 sheets").wait_for(timeout=MADE_WITHIN_MS)
    assert page.locator(".doing").count() == 0
    assert page.locator(".athlete").count() == 2
    printed = context.request.get(f"{club.url}day/print/athletes/", timeout=MADE_WITHIN_MS)
    assert printed.headers["content-type"] == "application/pdf"
    context.close()


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_a_full_day_can_be_used_by_everybody(
    browser: Browser, login: dict[str, Any], club: Served, scheme: Any
) -> None:
    """With sheets on it and every form open: axe finds nothing, targets have 48 px, nothing leaves 320 px."""
    context, page = opened(browser, login, club, color_scheme=scheme, viewport={"width": 320, "height": 640})
    for summary in page.locator("main summary").all():
        summary.focus()
        page.keyboard.press("Enter")
    assert page.locator("main details[open]").count() == page.locator("main details").count() > 6, "opened by keyboard"
    assert page.locator("#together .clash").count() > 0, "two of one sheet clash"
    faultless(page)
    assert page.evaluate(SMALL) == []
    fits(page)
    context.close()


def test_a_taken_post_is_told_while_it_is_worked_in(browser: Browser, login: dict[str, Any], club: Served) -> None:
    """With script the page asks for news by itself: what changed appears beside the athlete, and undo takes it back."""
    context, page = opened(browser, login, club)
    said: list[str] = []
    page.on("console", lambda message: said.append(message.text) if message.type == "error" else None)
    page.get_by_text("A post is taken").click()
    page.locator("#id_taken-post").select_option("wall bars")
    page.get_by_role("button", name="Do without it").click()
    page.locator(".doing").first.wait_for(state="detached", timeout=MADE_WITHIN_MS)
    event = page.locator(".event").first
    assert "wall bars: taken" in event.inner_text()
    assert page.locator("#id_taken-post option", has_text="wall bars").count() == 0
    event.get_by_role("button", name="Undo").click()
    assert page.locator(".event").first.get_by_role("button", name="Undo").count() == 0
    assert page.get_by_role("button", name="Print all 2 sheets").count() == 1
    assert said == []
    context.close()
