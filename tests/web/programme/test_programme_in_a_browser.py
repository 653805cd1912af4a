"""The page of a programme in a real browser: the form tells that it works, and the page can be used at every size."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from axe_playwright_python.sync_playwright import Axe
from served import Served
from test_in_a_browser import SMALL, login

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

__all__ = ["login"]

RULES = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]
LONG_MS = 120_000
"""A programme is made on a computer that may be doing other things [ms]."""
NOTED = """document.addEventListener("submit", () => setTimeout(() => sessionStorage.setItem("noted", JSON.stringify({
  locked: document.querySelector(".make-form button[type=submit]").disabled,
  told: !document.getElementById("making").hidden,
})), 50))"""
HIDING = """[...document.querySelectorAll("form")].flatMap(form => [...form.elements]).map(field => field.name)
  .filter(name => name && name in HTMLFormElement.prototype)"""


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


def test_the_form_locks_and_tells_while_a_programme_is_made(
    browser: Browser, login: dict[str, Any], served_club: Served
) -> None:
    """The button is locked, the stages are shown, and no field hides what a form is called by in a browser."""
    context = browser.new_context(
        storage_state=login,  # type: ignore[arg-type]
        viewport={"width": 320, "height": 640},
    )
    page = context.new_page()
    page.set_default_timeout(LONG_MS)
    said: list[str] = []
    page.on("pageerror", lambda error: said.append(str(error)))
    page.goto(f"{served_club.url}athletes/1/programme/")
    if page.get_by_text("Make another").count():
        page.get_by_text("Make another").click()
    assert page.evaluate(HIDING) == []
    usable(page)
    page.get_by_label("Weeks", exact=True).fill("4")
    page.get_by_label("Minutes a training day").fill("12")
    page.locator("select[name=venue]").select_option(index=1)
    page.evaluate(NOTED)
    page.get_by_role("button", name="Make the programme").click()
    page.get_by_text("The programme is made.").wait_for()
    assert page.evaluate("JSON.parse(sessionStorage.getItem('noted'))") == {"locked": True, "told": True}
    assert said == []

    # Narrow: the weeks that are far are folded; wide: all of them stand open as one table, in line.
    folded = page.locator(".fold .week-table")
    assert folded.count() == 2
    assert not folded.first.is_visible()
    for closed in page.locator("main summary").all():
        closed.click()
    usable(page)
    page.reload()
    page.set_viewport_size({"width": 1280, "height": 900})
    assert folded.first.is_visible()
    lefts = page.evaluate(
        "[...document.querySelectorAll('.week-table tbody td:nth-child(2)')].map(td => td.getBoundingClientRect().left)"
    )
    assert max(lefts) - min(lefts) < 1
    context.close()
