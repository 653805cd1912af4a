"""The owner's browser: logged in once, and pages that fail when their console has something to say."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING, Any

from club_people import PASSWORD

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

SLOWEST_MS = 30_000
"""On a computer with much else to do."""


def log_in(page: Page, url: str) -> None:
    """Log the owner of `club_people` in, by keyboard only."""
    page.goto(f"{url}account/login/")
    page.get_by_label("Name to log in with").focus()
    page.keyboard.type("owner")
    page.keyboard.press("Tab")
    page.keyboard.type(PASSWORD)
    page.keyboard.press("Enter")
    page.wait_for_url(url)


def kept_login(browser: Browser, url: str) -> dict[str, Any]:
    """Log the owner in, and return what a browser keeps of it."""
    context = browser.new_context()
    page = context.new_page()
    page.set_default_timeout(SLOWEST_MS)
    log_in(page, url)
    state: dict[str, Any] = dict(context.storage_state())
    context.close()
    return state


@contextmanager
def quiet_page(browser: Browser, login: dict[str, Any], *, but: str | None = None, **options: Any) -> Iterator[Page]:
    """Lend a page that fails at its end when the console had something to say, other than about the answer `but`."""
    context = browser.new_context(storage_state=login, **options)  # type: ignore[arg-type]
    page = context.new_page()
    page.set_default_timeout(SLOWEST_MS)
    said: list[str] = []
    page.on("console", lambda message: said.append(message.text) if message.type in ("error", "warning") else None)
    page.on("pageerror", lambda error: said.append(str(error)))
    yield page
    context.close()
    assert [each for each in said if but is None or but not in each] == []
