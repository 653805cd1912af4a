"""Whether a page can be used by everybody: what the browser tests of several pages ask alike."""

from __future__ import annotations

from typing import TYPE_CHECKING

from axe_playwright_python.sync_playwright import Axe

if TYPE_CHECKING:
    from playwright.sync_api import Page

RULES = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]
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


def faultless(page: Page) -> None:
    """Fail when axe finds something in the page as it is."""
    found = Axe().run(page, options={"runOnly": RULES})
    assert found.violations_count == 0, f"{page.url}: {found.generate_report()}"


def fits(page: Page) -> None:
    """Fail when the page is wider than 320 px, with text as it is or twice as large."""
    for size in ("100%", "200%"):
        page.evaluate("size => { document.documentElement.style.fontSize = size }", size)
        wide = page.evaluate("document.documentElement.scrollWidth")
        assert wide <= 320, f"{page.url}: {wide} px wide at text of {size}"
    page.evaluate("() => { document.documentElement.style.fontSize = '' }")


def usable(page: Page) -> None:
    """Fail when, in light or dark, axe finds something, a target is under 48 px, or the page is wider than 320 px."""
    for scheme in ("light", "dark"):
        page.emulate_media(color_scheme=scheme)  # type: ignore[arg-type]
        faultless(page)
        assert page.evaluate(SMALL) == [], f"{page.url} {scheme}"
        fits(page)
