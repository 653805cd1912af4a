"""Whether a page can be used by everybody: what the browser tests of several pages ask alike."""

from __future__ import annotations

from typing import TYPE_CHECKING

from axe_playwright_python.sync_playwright import Axe
from test_in_a_browser import SMALL

if TYPE_CHECKING:
    from playwright.sync_api import Page

RULES = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]


def usable(page: Page) -> None:
    """Fail when axe finds something in light or dark, a target is under 48 px, or the page is wider than 320 px."""
    for scheme in ("light", "dark"):
        page.emulate_media(color_scheme=scheme)  # type: ignore[arg-type]
        found = Axe().run(page, options={"runOnly": RULES})
        assert found.violations_count == 0, f"{page.url} {scheme}: {found.generate_report()}"
    assert page.evaluate(SMALL) == [], page.url
    for size in ("100%", "200%"):
        page.evaluate("size => { document.documentElement.style.fontSize = size }", size)
        wide = page.evaluate("document.documentElement.scrollWidth")
        assert wide <= 320, f"{page.url}: {wide} px wide at text of {size}"
    page.evaluate("() => { document.documentElement.style.fontSize = '' }")
