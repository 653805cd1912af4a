"""The page of a programme in a real browser: the form tells that it works, and the page can be used at every size."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from served import Served
from usable import usable

if TYPE_CHECKING:
    from playwright.sync_api import Browser

LONG_MS = 120_000
"""A programme is made on a computer that may be doing other things [ms]."""
NOTED = """document.addEventListener("submit", () => setTimeout(() => sessionStorage.setItem("noted", JSON.stringify({
  locked: document.querySelector(".make-form button[type=submit]").disabled,
  told: !document.getElementById("making").hidden,
})), 50))"""
HIDING = """[...document.querySelectorAll("form")].flatMap(form => [...form.elements]).map(field => field.name)
  .filter(name => name && name in HTMLFormElement.prototype)"""


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
