"""A new athlete in a real browser: what only some need is folded, with and without script, and nothing gets lost."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

import pytest
from owners_browser import quiet_page
from served import Served
from usable import usable

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

OPEN_ALL = "() => document.querySelectorAll('main details').forEach(each => { each.open = true; })"
MEASURED_WITHIN_MS = 120_000


@pytest.fixture
def narrow(browser: Browser, login: dict[str, Any]) -> Iterator[Page]:
    """Return a page on a small phone; a form with a fault in it is answered with 422."""
    with quiet_page(browser, login, but="422", viewport={"width": 320, "height": 640}) as opened:
        yield opened


@pytest.fixture(params=[True, False], ids=["script", "no script"])
def wide(request: pytest.FixtureRequest, browser: Browser, login: dict[str, Any]) -> Iterator[Page]:
    """Return a page on a laptop, with and without script."""
    options = {"viewport": {"width": 1280, "height": 900}, "java_script_enabled": request.param}
    with quiet_page(browser, login, but="422", **options) as opened:
        yield opened


def test_a_pain_is_asked_when_there_is_one_and_never_lost(wide: Page, served_club: Served) -> None:
    """Its fields come with the answer; what was typed and then contradicted comes back in sight, with the reason."""
    wide.goto(f"{served_club.url}athletes/new/")
    now = wide.get_by_label("How much now, 0 to 10")
    assert not now.is_visible()
    wide.get_by_label("pain, as follows").check()
    assert now.is_visible()
    now.fill("3")
    wide.get_by_label("no pain").check()
    assert not now.is_visible()
    wide.get_by_label("Name", exact=True).fill("Solvi Kaien")
    wide.get_by_label("Mass, kg").fill("61")
    wide.get_by_role("button", name="Add the athlete").click()
    wide.get_by_text("not said to be there").wait_for()
    assert now.is_visible()
    assert now.input_value() == "3"
    stature = wide.get_by_label("Stature, m")
    assert stature.is_visible(), "a size is missing, and this is one"
    stature.fill("1.68")
    now.fill("")
    wide.get_by_role("button", name="Add the athlete").click()
    wide.wait_for_url(re.compile(r"/athletes/\d+/$"))
    assert "Stature" in wide.locator("#body").inner_text()


def test_what_is_folded_can_be_used_by_everybody(narrow: Page, served_club: Served) -> None:
    """On a small phone, with every fold open: the form, and the page of somebody of whom little is known."""
    narrow.goto(f"{served_club.url}athletes/new/")
    narrow.get_by_label("pain, as follows").check()
    narrow.evaluate(OPEN_ALL)
    usable(narrow)
    narrow.get_by_label("no pain").check()
    narrow.get_by_label("Name", exact=True).fill("Jorid Skjaer")
    narrow.get_by_label("Mass, kg").fill("64")
    narrow.get_by_label("Arm span, m").fill("1.71")
    narrow.get_by_role("button", name="Add the athlete").click()
    narrow.wait_for_url(re.compile(r"/athletes/\d+/$"))
    narrow.locator("details", has_text="more").locator(".next").wait_for(state="attached", timeout=MEASURED_WITHIN_MS)
    usable(narrow)
    assert not narrow.get_by_text("Seat height").is_visible()
    narrow.evaluate(OPEN_ALL)
    assert narrow.get_by_text("Seat height").is_visible()
    usable(narrow)
