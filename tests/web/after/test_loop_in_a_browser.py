"""The loop in a real browser: a session is done, decided about, and the next one is laid as was agreed."""

from __future__ import annotations

import re
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from owners_browser import log_in
from served import Served, filled, serving

sys.path.insert(0, str(Path(__file__).parents[1] / "sessions"))
from test_sessions_in_a_browser import LONG_MS, SHEET
from usable import usable

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

STEP = re.compile(r"(distance|slack mark) (\d\.\d\d) → (\d\.\d\d) m")
"""A step of the band's place or mark, before and after."""


@pytest.fixture
def club(tmp_path: Path) -> Iterator[Served]:
    """Serve a club of its own: what happens here is not seen by other tests."""
    filled(tmp_path / "club")
    with serving(tmp_path / "club") as served:
        yield served


@pytest.fixture
def page(browser: Browser, club: Served) -> Iterator[Page]:
    """Return a page of the owner's browser, as narrow as a page must bear."""
    context = browser.new_context(viewport={"width": 320, "height": 640})
    opened = context.new_page()
    opened.set_default_timeout(LONG_MS)
    wrong: list[str] = []
    opened.on("pageerror", lambda error: wrong.append(str(error)))
    log_in(opened, club.url)
    yield opened
    context.close()
    assert wrong == []


def made_with_a_row(page: Page, club: Served) -> str:
    """Make a session of Runa with a low row in it; return its address."""
    page.goto(f"{club.url}sessions/make/1/")
    page.locator("main summary").click()
    page.get_by_label("Minutes").fill("15")
    page.get_by_role("group", name="Exercises that must be there").get_by_label("Low row", exact=True).check()
    page.get_by_role("button", name="Make the session").click()
    page.wait_for_url(SHEET)
    return page.url


def typed_in(page: Page, *, title: str, effort: int) -> None:
    """Type in the ticked sheet: all as planned, and one exercise with its effort."""
    page.get_by_role("link", name="Type in a ticked sheet").click()
    page.get_by_label("Began at").fill("0000")
    for planned in page.locator("input[type=radio][value=planned]").all():
        planned.check()
    page.get_by_role("group", name=re.compile(title)).get_by_label(re.compile("^Effort")).fill(str(effort))
    page.get_by_label(re.compile("^Minutes")).fill("15")
    page.get_by_role("button", name="Keep it").click()
    page.wait_for_url(SHEET)


def test_too_hard_is_easier_in_the_next_session(page: Page, club: Served) -> None:
    """Effort 17: the page proposes easier in numbers and drawing; agreed, the next session lays exactly that."""
    address = made_with_a_row(page, club)
    typed_in(page, title="Low row", effort=17)
    page.get_by_role("link", name="After this session: what comes next").first.click()
    row = page.locator("#low_row")
    row.locator(".what", has_text="Easier").wait_for()
    assert "Effort 17 is above 15" in row.inner_text()
    step = STEP.search(row.locator(".step").inner_text().lower())
    assert step is not None, row.locator(".step").inner_text()
    page.evaluate("document.querySelectorAll('img').forEach(each => { each.loading = 'eager' })")
    page.wait_for_load_state("networkidle")
    drawn = page.evaluate("[...document.querySelectorAll('#low_row .before-after img')].map(i => i.naturalWidth)")
    assert len(drawn) >= 2 and all(width > 0 for width in drawn[:2]), "before and after are drawn"
    usable(page)

    other = page.locator(".decided-row", has=page.locator(".what", has_text="Keep")).first
    other.locator("summary").first.click()
    other.get_by_label(re.compile("Nothing changes")).check()
    page.get_by_role("button", name="Agree to all as chosen").click()
    page.get_by_text("without a reason").first.wait_for()
    assert other.get_by_label(re.compile("Nothing changes")).is_checked(), "what was chosen is kept"
    other.get_by_label("Why otherwise than proposed").fill("looked different from the side")
    page.get_by_role("button", name="Agree to all as chosen").click()
    page.get_by_text("The next session is made from it").wait_for()
    usable(page)

    page.get_by_role("link", name="what holds, and everything that was said before").click()
    assert page.get_by_text("looked different from the side").is_visible()
    usable(page)
    page.get_by_role("link", name="Numbers of the rule").click()
    usable(page)

    made_with_a_row(page, club)
    assert page.url != address
    # On a phone the notes are folded.
    item = page.locator("#item-low_row").text_content() or ""
    assert f"{step[3]} m" in item, f"the new {step[1]} of {step[0]}, not in: {item}"
    assert "changed as agreed" in item.lower()
    page.get_by_role("link", name=re.compile("Change.*Low row")).click()
    page.get_by_role("link", name="Try it out in three rounds").click()
    page.get_by_role("button", name="8", exact=True).click()
    page.get_by_text("Round 1").wait_for()
    usable(page)
