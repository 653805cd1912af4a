"""What somebody sees who holds the page on court first: dose and place on top, true words, a list that was read.

The packages are the club's own; what a test needs more of (a caution, a first-aid sign) is put into them on their way.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from itertools import pairwise
from typing import TYPE_CHECKING, Any

from page_club import MADE_WITHIN_MS, CourtClub, begin, heading, on_court, to_exercise, wait_home

if TYPE_CHECKING:
    from playwright.sync_api import Browser, BrowserContext, Page, Route

CAUTIONS = [
    {"level": "caution", "what": "with chest strap", "do": "On before the start; look at the skin afterwards"},
    {"level": "caution", "what": "no grip: the rim slips", "do": "Palms on the rim from outside; gloves on"},
]
STOP = {"level": "stop", "what": "the shoulder slips out", "do": "Leave it out"}
LEAST_PX = 56


def on_court_with(
    browser: Browser, club: CourtClub, change: Callable[[dict[str, Any]], None], **options: Any
) -> tuple[BrowserContext, Page]:
    """Return a device at the page whose package was changed on its way."""
    context, page = on_court(browser, club, **options)
    context.unroute(re.compile(r"/court/packages/\d+/\d+/"))

    def changed(route: Route) -> None:
        package = route.fetch(timeout=MADE_WITHIN_MS).json()
        package.pop("stopped_today", None)
        change(package)
        route.fulfill(json=package)

    context.route(re.compile(r"/court/packages/\d+/\d+/"), changed)
    page.goto("about:blank")
    page.goto(f"{club.served.url}court/#plan={club.plans[0]}")
    page.get_by_role("heading", name="Before we start").wait_for(timeout=MADE_WITHIN_MS)
    page.wait_for_function("location.hash === ''")
    return context, page


def with_cautions(package: dict[str, Any]) -> None:
    """Put a stop and two cautions on every exercise, as planned and otherwise."""
    for item in package["items"]:
        for variant in item["variants"].values():
            variant["notices"] = [*CAUTIONS, STOP]


def box(page: Page, selector: str) -> tuple[float, float]:
    """Return top and bottom of what stands first under a selector."""
    found = page.locator(selector).first.bounding_box()
    assert found is not None, selector
    return found["y"], found["y"] + found["height"]


def titles(club: CourtClub, holds: Callable[[dict[str, Any]], bool]) -> list[str]:
    """Return the titles of the exercises of which something holds."""
    return [item["variants"]["planned"]["title"] for item in club.packs[0]["items"] if holds(item)]


def test_dose_and_what_is_laid_come_first_and_cautions_push_nothing_away(browser: Browser, club: CourtClub) -> None:
    """At 390 x 844 dose, band, post, distance and every caution's line lie above the foot, in this order."""
    context, page = on_court_with(browser, club, with_cautions)
    begin(page)
    for title in titles(club, lambda item: item["variants"]["planned"]["bands"])[:2]:
        to_exercise(page, title)
        foot = box(page, ".oncourt-foot")[0]
        rows = [box(page, each) for each in (".told-stop", ".dose", ".laid", ".cautions", ".work img")]
        assert all(above[1] <= below[0] for above, below in pairwise(rows)), title
        assert rows[2][1] <= foot, f"{title}: what is laid lies under the foot"
        assert "Leave it out" in page.locator(".told-stop").inner_text(), "a stop is always whole"
    context.close()


def test_a_caution_is_a_line_that_says_something_alone_and_opens(browser: Browser, club: CourtClub) -> None:
    """What to do where that can be read alone, else what it is about; a press opens both, whole."""
    context, page = on_court_with(browser, club, with_cautions)
    begin(page)
    lines = page.locator(".cautions .line-of").all_inner_texts()
    assert lines == ["Caution With chest strap", "Caution Palms on the rim from outside"]
    summary = page.locator(".cautions summary").bounding_box()
    assert summary is not None
    assert summary["height"] >= LEAST_PX
    assert not page.locator(".cautions .told").first.is_visible()
    page.locator(".cautions summary").click()
    whole = page.locator(".cautions .told").all_inner_texts()
    for each, words in zip(CAUTIONS, whole, strict=True):
        assert each["what"].lower() in words.lower()
        assert each["do"].lower() in words.lower()
    context.close()


def test_what_was_read_before_the_first_set_is_one_line_before_the_second(browser: Browser, club: CourtClub) -> None:
    """Two cautions, two lines; after the first set one, which opens as before."""
    context, page = on_court_with(browser, club, with_cautions)
    begin(page)
    to_exercise(page, titles(club, lambda item: item["first_time"])[0])
    assert page.locator(".cautions .line-of").count() == 2
    page.get_by_role("button", name="One set done, no pain").click()
    page.get_by_role("button", name=re.compile("^13, ")).click()
    page.locator(".main-action", has_text="Set 2 of 2 done").wait_for()
    assert page.locator(".cautions .line-of").all_inner_texts() == [
        "Cautions as before: With chest strap; Palms on the rim from outside"
    ]
    page.locator(".cautions summary").click()
    assert page.locator(".cautions .told").count() == 2
    assert page.locator(".told-stop").is_visible()
    context.close()


def test_more_than_usual_has_a_true_answer(browser: Browser, club: CourtClub) -> None:
    """3 where the usual is 1: known but more, new, or sharp; back at 1 it is asked again, with no worse in it."""
    (known,) = club.packs[0]["before"]["pains"]
    assert known["usual"] == 1
    context, page = on_court(browser, club)
    begin(page)
    title = heading(page)
    page.locator(".oncourt-foot").get_by_role("button", name="Pain", exact=True).click()
    page.locator("#screen").get_by_role("button", name=re.compile(known["words"], re.IGNORECASE)).click()
    page.get_by_role("button", name="3 of 10").click()
    choices = page.locator("#screen .choices button span")
    assert choices.all_inner_texts() == ["Known, but more than usual", "New", "Sharp"]
    page.get_by_role("button", name="Known, but more than usual").click()
    page.locator(".verdict").wait_for()
    assert "as usual" not in page.locator("#screen").inner_text().lower()
    assert page.locator(".verdict").inner_text().startswith("This exercise stops as it is")
    page.get_by_role("button", name="3 of 10: change").click()
    page.get_by_role("button", name="1 of 10").click()
    page.get_by_role("heading", name="What is it like?").wait_for()
    assert choices.all_inner_texts() == ["As usual here: known, no worse", "New", "Sharp"]
    page.get_by_role("button", name="1 of 10: change").click()
    page.get_by_role("button", name="3 of 10").click()
    page.get_by_role("button", name="Known, but more than usual").click()
    page.locator(".main-action button:not([aria-disabled])", has_text="Note it").click()
    page.locator(".said", has_text=re.compile("Pain 3|easier")).wait_for()
    wait_home(page)
    entry = [each for each in club.at_home() if each["kind"] == "pain"][-1]
    assert (entry["level_0_10"], entry["feeling"], entry["outcome"]) == (3, "more than usual", "easier")
    # It is told at the end, too: nobody reads it on a screen that was left.
    page.get_by_role("button", name="Other …").or_(page.get_by_role("button", name="Leave it out")).first.wait_for()
    if page.get_by_role("button", name="Other …").count():
        page.get_by_role("button", name="Other …").click()
        page.get_by_role("button", name="No time: end the session").click()
    else:
        page.get_by_role("button", name="End the session").click()
    page.get_by_role("button", name="Not asked: end it").click()
    keep = page.get_by_role("button", name="Keep these minutes")
    page.get_by_role("heading", name="The session is over").or_(keep).first.wait_for()
    if keep.count():
        keep.click()
    told = page.locator(".pains-said").inner_text()
    assert f"{known['words']}, 3 of 10, more than usual, in {title}" in told
    context.close()


def test_an_easier_one_is_named_only_where_one_is_prepared(browser: Browser, club: CourtClub) -> None:
    """Without one, the page that proposes to leave an exercise out says nothing of it."""

    def without_easier(package: dict[str, Any]) -> None:
        for item in package["items"]:
            item["variants"].pop("easier", None)

    context, page = on_court_with(browser, club, without_easier)
    begin(page)
    loaded = titles(club, lambda item: "right" in item["variants"]["planned"]["arms"])
    to_exercise(page, loaded[0])
    page.locator(".oncourt-foot").get_by_role("button", name="Pain", exact=True).click()
    page.locator("#screen").get_by_role("button", name="Somewhere else").click()
    for name in ("Elbow outside", "Right", "4 of 10", "Known, but more than usual"):
        page.locator("#screen").get_by_role("button", name=name, exact=True).click()
    page.locator(".main-action button:not([aria-disabled])", has_text="Note it: this exercise is over").click()
    page.get_by_text("Rather not today").wait_for()
    words = page.locator("#screen").inner_text()
    assert "4 of 10, more than usual" in words
    assert "easier" not in words.lower()
    context.close()


def test_nothing_says_all_checked_before_the_end_of_the_list_was_in_sight(browser: Browser, club: CourtClub) -> None:
    """On a phone the press goes on through the list, and keeps nothing; where all fits one press is enough."""
    context, page = on_court(browser, club, viewport={"width": 390, "height": 700})
    main = page.locator(".main-action button")
    pressed = 0
    while main.inner_text().startswith("More to check"):
        assert page.get_by_role("button", name=re.compile("^All checked")).count() == 0
        page.locator(".main-action button:not([aria-disabled])").click()
        pressed += 1
        page.wait_for_timeout(200)
        assert pressed < 10, "the list does not end"
    assert pressed >= 1
    end = box(page, "#screen li >> nth=-1")
    assert end[1] <= box(page, ".oncourt-foot")[0], "its last line lies under the foot"
    assert page.locator(".said").inner_text().strip() == "", "nothing was said yet"
    context.close()
    context, page = on_court(browser, club, viewport={"width": 390, "height": 2600})
    page.get_by_role("button", name="All checked, all as usual: begin").click()
    page.locator(".main-action", has_text="no pain").wait_for()
    context.close()


def test_a_torn_band_stands_higher_where_there_is_a_band(browser: Browser, club: CourtClub) -> None:
    """Right under what cannot wait; where no band is used it stands where it stood."""
    signs = {card["id"]: card["signs"] for card in club.packs[0]["cards"]}
    (band,) = signs["band"]

    def place(title: str) -> int:
        to_exercise(page, title)
        page.get_by_role("button", name="Stop: something is wrong").click()
        page.locator(".signs button").first.wait_for()
        found = page.locator(".signs button span").all_inner_texts()
        page.get_by_role("button", name="Back, nothing is wrong").click()
        assert sorted(found) == sorted(each for card in signs.values() for each in card), "a sign is lost"
        return found.index(band)

    context, page = on_court(browser, club)
    begin(page)
    with_band = titles(club, lambda item: bool(item["variants"]["planned"]["bands"]))[0]
    without = titles(club, lambda item: not item["variants"]["planned"]["bands"])[0]
    before, after = place(without), place(with_band)
    assert after < before
    waiting = [each for id_ in ("no-answer", "faintness", "dysreflexia") for each in signs.get(id_, [])]
    assert after >= len(waiting)
    context.close()
