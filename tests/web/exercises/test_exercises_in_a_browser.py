"""Exercises in a real browser: the drawing follows the fields, with and without script, and everybody can use it."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

import pytest
from owners_browser import SLOWEST_MS, quiet_page
from served import Served
from usable import usable

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page


@pytest.fixture(scope="module")
def with_copy(browser: Browser, login: dict[str, Any], served_club: Served) -> dict[str, Any]:
    """Copy an exercise of the library, and return what the owner's browser keeps."""
    context = browser.new_context(storage_state=login)  # type: ignore[arg-type]
    page = context.new_page()
    page.set_default_timeout(SLOWEST_MS)
    page.goto(f"{served_club.url}exercises/low_row/")
    page.get_by_role("button", name="Copy and change it").click()
    page.wait_for_url("**/exercises/own/own_low_row/change/")
    context.close()
    return login


def quiet(browser: Browser, login: dict[str, Any], **options: Any) -> Iterator[Page]:
    """Yield a page of the owner's browser; a form with a fault in it is answered with 422."""
    with quiet_page(browser, login, but="422", **options) as opened:
        yield opened


@pytest.fixture
def wide(browser: Browser, with_copy: dict[str, Any]) -> Iterator[Page]:
    """Return a page on a laptop."""
    yield from quiet(browser, with_copy, viewport={"width": 1280, "height": 900})


@pytest.fixture
def narrow(browser: Browser, with_copy: dict[str, Any]) -> Iterator[Page]:
    """Return a page on a small phone."""
    yield from quiet(browser, with_copy, viewport={"width": 320, "height": 640})


@pytest.fixture
def scriptless(browser: Browser, with_copy: dict[str, Any]) -> Iterator[Page]:
    """Return a page without script."""
    yield from quiet(browser, with_copy, java_script_enabled=False)


def drawing(page: Page) -> str:
    """Return the drawing beside the fields."""
    return page.locator("[data-figure] svg").inner_html()


def test_the_drawing_follows_field_and_slider(wide: Page, served_club: Served) -> None:
    """A number typed moves the slider, a slider moved writes the number, and each draws anew; a fault says so."""
    wide.goto(f"{served_club.url}exercises/own/own_low_row/change/")
    field = wide.locator('input[name="poses[1].both.elbow_deg"]')
    slider = field.locator("xpath=following-sibling::input[@type='range']")
    before = drawing(wide)
    with wide.expect_response("**/preview/"):
        field.fill("60")
    assert slider.input_value() == "60"
    wide.wait_for_selector("[data-figure]:not([aria-busy])")
    after = drawing(wide)
    assert after != before
    slider.focus()
    with wide.expect_response("**/preview/"):
        wide.keyboard.press("ArrowRight")
    assert field.input_value() == "61"
    wide.wait_for_selector("[data-figure]:not([aria-busy])")
    assert drawing(wide) != after
    with wide.expect_response("**/preview/"):
        field.fill("bent")
    wide.wait_for_selector("[data-figure]:not([aria-busy])")
    assert "Poses 2, both, elbow bent" in wide.locator("[data-told]").inner_text()


def test_another_form_of_a_pose_brings_its_fields(wide: Page, served_club: Served) -> None:
    """Choosing a hand that is held somewhere asks where, and keeps what was typed before."""
    wide.goto(f"{served_club.url}exercises/own/own_low_row/change/")
    wide.locator('input[name="poses[0].name"]').fill("reaching")
    wide.locator('select[name="poses[0].both:posed"]').select_option("hand held somewhere")
    wide.wait_for_selector('select[name="poses[0].both.hand.at"]')
    assert wide.locator('input[name="poses[0].name"]').input_value() == "reaching"


def test_without_script_the_button_shows_the_drawing(scriptless: Page, served_club: Served) -> None:
    """No slider stands there without a use; the page comes back with the drawing of what was typed."""
    scriptless.goto(f"{served_club.url}exercises/own/own_low_row/change/")
    assert scriptless.locator("input[type=range]").count() == 0
    before = drawing(scriptless)
    scriptless.locator('input[name="poses[1].both.elbow_deg"]').fill("60")
    scriptless.get_by_role("button", name="Show the drawing").click()
    assert scriptless.locator('input[name="poses[1].both.elbow_deg"]').input_value() == "60"
    assert drawing(scriptless) != before


def test_choosing_changes_the_list_at_once(wide: Page, served_club: Served) -> None:
    """The list follows the choice, the address with it, and the way back leads to what was there."""
    wide.goto(f"{served_club.url}exercises/")
    wide.get_by_label("Part", exact=True).select_option("court")
    wide.wait_for_function("() => document.querySelectorAll('.plate').length < 10")
    assert "part=court" in wide.url


@pytest.mark.parametrize(
    "address",
    [
        "exercises/?athlete=1",
        "exercises/low_row/?athlete=1",
        "exercises/from-file/",
        "exercises/own/pier-row/",
        "exercises/own/own_low_row/",
        "exercises/own/own_low_row/change/",
        "exercises/own/own_low_row/text/",
    ],
)
def test_a_page_can_be_used_by_everybody(address: str, narrow: Page, served_club: Served) -> None:
    """In light and dark: nothing leaves 320 px at text twice as large; axe finds nothing; every target has 48 px."""
    narrow.goto(served_club.url + address, wait_until="domcontentloaded", timeout=60_000)
    narrow.evaluate("document.querySelectorAll('details').forEach(each => { each.open = true })")
    usable(narrow)
