"""The page on court for every hand, eye and ear: axe, sizes, keys, switches, one thumb, small screens, large text."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import TYPE_CHECKING, Literal

import pytest
from page_club import PHONE, CourtClub, begin, done_as_planned, heading, on_court, say_effort
from usable import faultless, fits

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

SCHEMES: tuple[Literal["light", "dark"], ...] = ("light", "dark")
SMALL = """
() => [...document.querySelectorAll("button, a[href], input, select")]
  .filter(each => each.offsetParent !== null)
  .map(each => [each.textContent.slice(0, 60), each.getBoundingClientRect(), each.matches(".press-main") ? 88 : 56])
  .filter(([, box, least]) => box.width < least - 0.5 && box.width < 55.5 || box.height < least - 0.5)
  .map(([words, box, least]) => `${words}: ${box.width} × ${box.height}, least ${least}`)
"""
"""Every box a hand aims at that is smaller than 56 px, or 88 px for the main one."""


def at_start(page: Page) -> None:
    """Leave the page where it opens."""


def different_before(page: Page) -> None:
    """Open the questions before the start."""
    page.get_by_role("button", name="Something to say first").click()


def exercise(page: Page) -> None:
    """Go to the second exercise, so that something can be undone."""
    begin(page)
    done_as_planned(page)


def press_first(*names: str) -> Callable[[Page], None]:
    """Return what goes to the second exercise and presses buttons there, one after the other."""

    def go(page: Page) -> None:
        exercise(page)
        for name in names:
            at = page.locator("#screen, .oncourt-foot").get_by_role("button", name=re.compile(f"^{name}"))
            at.first.click()

    return go


def card(page: Page) -> None:
    """Open a first-aid card."""
    press_first("Stop: something is wrong")(page)
    page.locator(".signs button").first.click()
    page.locator(".aid").wait_for()


def effort(page: Page) -> None:
    """Go to the first question about effort."""
    begin(page)
    while "How hard was the" not in page.locator("#screen h1").inner_text():
        done_as_planned(page)


def verdict(page: Page) -> None:
    """Say a pain up to what it means."""
    press_first("Pain", "Somewhere else", "Neck", "3 of 10", "New")(page)
    page.locator(".verdict").wait_for()


def finish(page: Page) -> None:
    """Go to the last question, by a pain that stops an arm."""
    press_first("Pain", "Somewhere else", "Neck", "7 of 10", "New", "Note it, and end")(page)
    page.get_by_role("heading", name="How hard was the whole session?").wait_for()


def minutes(page: Page) -> None:
    """Go to the question about the minutes: the test was far quicker than the plan."""
    finish(page)
    page.get_by_role("button", name="4 of 10").click()
    page.get_by_role("heading", name="How long did it take?").wait_for()


def tried(page: Page) -> None:
    """Go to what follows from a first time that was too hard."""
    begin(page)
    while not page.locator(".main-action", has_text="One set done").count():
        if "How hard was the" in page.locator("#screen h1").inner_text():
            say_effort(page)
        else:
            done_as_planned(page)
    page.get_by_role("button", name="One set done, no pain").click()
    page.get_by_role("button", name=re.compile("^17, ")).click()
    page.get_by_role("heading", name="Effort 17").wait_for()


def over(page: Page) -> None:
    """End the session."""
    minutes(page)
    page.get_by_role("button", name="Keep these minutes").click()
    page.get_by_role("heading", name="The session is over").wait_for()


def sessions(page: Page) -> None:
    """Go to the list."""
    exercise(page)
    page.get_by_role("button", name="To the list of sessions").click()
    page.get_by_role("heading", name="On court").wait_for()


SCREENS: dict[str, Callable[[Page], None]] = {
    "start": at_start,
    "different before": different_before,
    "exercise": exercise,
    "timer": press_first("Timer"),
    "set up": press_first("Timer", "Next"),
    "other": press_first("Other"),
    "different": press_first("Other", "Not as planned"),
    "pain, where": press_first("Pain", "Somewhere else"),
    "pain, how much": press_first("Pain", "Somewhere else", "Neck"),
    "verdict": verdict,
    "leave out": press_first("Other", "Leave it out"),
    "signs": press_first("Stop: something is wrong"),
    "card": card,
    "effort": effort,
    "tried": tried,
    "finish": finish,
    "minutes": minutes,
    "over": over,
    "list": sessions,
}


@pytest.mark.parametrize("name", SCREENS)
def test_every_screen_can_be_used_by_everybody(browser: Browser, club: CourtClub, name: str) -> None:
    """Axe finds nothing in light and dark; targets have 56 and 88 px; nothing leaves 320 px, also at twice the text."""
    context, page = on_court(browser, club, reduced_motion="reduce")
    SCREENS[name](page)
    for scheme in SCHEMES:
        page.emulate_media(color_scheme=scheme)
        # So tall that nothing lies under the foot: what does can be scrolled clear of it, which axe does not see.
        page.set_viewport_size({"width": 390, "height": 2600})
        faultless(page)
        assert page.evaluate(SMALL) == [], scheme
        page.set_viewport_size({"width": 320, "height": 640})
        fits(page)
    context.close()


def test_one_thumb_reaches_what_is_pressed_most(browser: Browser, club: CourtClub) -> None:
    """On a phone the main press, undo and “something is wrong” lie in the lower half, at every exercise."""
    context, page = on_court(browser, club)
    exercise(page)
    for name in ("As planned, no pain", "Timer", "Pain", "Other …", "Undo", "Stop: something is wrong"):
        box = page.locator(".oncourt-foot").get_by_role("button", name=re.compile(f"^{name}")).bounding_box()
        assert box is not None
        assert box["y"] >= PHONE["height"] / 2
        assert box["y"] + box["height"] <= PHONE["height"]
    context.close()


def test_keys_and_switches_come_to_the_main_press_first(browser: Browser, club: CourtClub) -> None:
    """A whole way by keyboard: the heading has the focus, the first stop is the main press, every stop has a ring."""
    context, page = on_court(browser, club)
    begin(page)
    for _ in range(2):
        title = heading(page)
        page.locator(".main-action button:not([aria-disabled])").wait_for()
        assert page.evaluate("document.activeElement.matches('#screen h1')")
        page.keyboard.press("Tab")
        assert page.evaluate("document.activeElement.textContent") == "As planned, no pain"
        assert page.evaluate("getComputedStyle(document.activeElement).outlineStyle") == "solid"
        page.keyboard.press("Enter")
        page.locator(".said", has_text=f"As planned: {title}").wait_for()
        if "How hard was the" in page.locator("#screen h1").inner_text():
            page.keyboard.press("Tab")
            page.keyboard.press("Space")
            page.locator(".said", has_text="Effort 6").wait_for()
    context.close()


def test_the_foot_hides_no_stop_of_the_keyboard(browser: Browser, club: CourtClub) -> None:
    """Whatever gets the focus is scrolled clear of what sticks to the bottom."""
    context, page = on_court(browser, club)
    different_before(page)
    for _ in range(16):
        page.keyboard.press("Tab")
        hidden = page.evaluate(
            """() => {
              const now = document.activeElement;
              if (!now.closest("#screen")) return "";
              const bottom = now.getBoundingClientRect().bottom;
              const top = document.querySelector(".oncourt-foot").getBoundingClientRect().top;
              return bottom > top + 1 ? `${now.textContent}: ${bottom} below ${top}` : "";
            }"""
        )
        assert hidden == ""
    context.close()


def test_a_trembling_hand_says_a_thing_once(browser: Browser, club: CourtClub) -> None:
    """Five presses within a tenth of a second are one entry."""
    context, page = on_court(browser, club)
    begin(page)
    page.locator(".main-action button:not([aria-disabled])").wait_for()
    before = page.locator(".at-home").inner_text()
    page.evaluate(
        """() => {
          const main = document.querySelector(".main-action button");
          for (let i = 0; i < 5; i += 1) main.click();
        }"""
    )
    page.locator(".said", has_text="As planned: ").wait_for()
    page.wait_for_timeout(400)
    number = [int(re.findall(r"\d+", words)[0]) for words in (before, page.locator(".at-home").inner_text())]
    assert number[1] == number[0] + 1
    context.close()
