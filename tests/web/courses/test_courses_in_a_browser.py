"""A course of one's own in a real browser: clicked together by mouse, by keys and without script; courses by axe."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

import pytest
from owners_browser import quiet_page
from served import Served
from usable import faultless

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page


@pytest.fixture(params=[True, False], ids=["script", "no script"])
def page(request: pytest.FixtureRequest, browser: Browser, login: dict[str, Any]) -> Iterator[Page]:
    """Return a page on a laptop, with script and without."""
    wide = {"width": 1280, "height": 900}
    with quiet_page(browser, login, viewport=wide, java_script_enabled=request.param) as opened:
        yield opened


@pytest.fixture
def phone(browser: Browser, login: dict[str, Any]) -> Iterator[Page]:
    """Return a page on a phone, in the dark."""
    with quiet_page(browser, login, viewport={"width": 390, "height": 844}, color_scheme="dark") as opened:
        yield opened


def click_at(page: Page, x: float, y: float, said: str) -> None:
    """Click at a place of a floor of 12 by 8 m whose drawing has 6 mm of paper (6/25.4 × 96 px) round it.

    Without script each click brings a new page; of its three drawings the style sheet leaves one, once it is there.
    """
    around = 6 / 25.4 * 96
    page.wait_for_load_state("load")
    floor = page.locator(".floor-drawing:visible")
    width = float(floor.get_attribute("width") or 0)
    per_metre = (width - 2 * around) / 12
    floor.click(position={"x": around + x * per_metre, "y": around + (8 - y) * per_metre})
    page.locator("[data-says]", has_text=said).wait_for()


def test_a_course_is_clicked_together(page: Page, served_club: Served) -> None:
    """Start, two cones, finish, the order, one click undone; the tables show the metres; saved it is laid out."""
    page.goto(f"{served_club.url}courses/own/new/")
    page.get_by_label("a point to start, stop or finish on").check()
    click_at(page, 1, 1, "Point A lies 1.00 m to the right, 1.00 m away: the chair starts there.")
    click_at(page, 10, 5, "Point B lies 10.00 m to the right, 5.00 m away.")
    page.get_by_label("a cone", exact=True).check()
    click_at(page, 4, 3, "Cone 1 stands 4.00 m to the right, 3.00 m away.")
    click_at(page, 7, 5, "Cone 2 stands 7.00 m to the right, 5.00 m away.")
    click_at(page, 9, 7, "Cone 3 stands")
    page.get_by_role("button", name="Undo the last click").click()
    page.locator("[data-says]", has_text="The last click is undone.").wait_for()
    click_at(page, 4, 3, "Step 1: past cone 1, on the left hand.")
    page.get_by_label("is next: a cone on the right hand, a point pushed to").check()
    click_at(page, 7, 5, "Step 2: past cone 2, on the right hand.")
    click_at(page, 10, 5, "Step 3: pushed to point B, and stop.")
    assert page.get_by_label("Cone 2, to the right (m)").input_value() == "7.00"
    page.get_by_label("Name", exact=True).fill("By mouse")
    page.get_by_role("button", name="Check and save").last.click()
    page.get_by_role("heading", name="By mouse", level=1).wait_for()
    assert page.get_by_text("1L 2R").first.is_visible()


def test_keys_move_a_cross_and_set_it(phone: Page, served_club: Served) -> None:
    """From the middle of 12 by 8 m: right 5 cm, with Shift down half a metre; Enter puts a cone, and focus stays."""
    phone.goto(f"{served_club.url}courses/own/new/")
    phone.locator(".floor-drawing:visible").focus()
    phone.keyboard.press("Enter")
    phone.locator("[data-says]", has_text="Move the cross with the arrows first.").wait_for()
    phone.keyboard.press("ArrowRight")
    phone.keyboard.press("Shift+ArrowDown")
    phone.keyboard.press("Enter")
    phone.locator("[data-says]", has_text="Cone 1 stands 6.05 m to the right, 3.50 m away.").wait_for()
    assert "floor-drawing" in str(phone.evaluate("document.activeElement.className"))
    assert phone.evaluate("document.documentElement.scrollWidth <= innerWidth")


@pytest.mark.parametrize("path", ["courses/", "courses/own/new/", "courses/push-lanes/"])
def test_everybody_can_use_it(phone: Page, served_club: Served, path: str) -> None:
    """No fault that axe can find, on a phone in the dark."""
    phone.goto(f"{served_club.url}{path}")
    faultless(phone)
