"""A club with two athletes whose sessions are made and packed, served for the tests of the page on court."""

from __future__ import annotations

import json
import re
import shutil
import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Any

from once import once_in_a_run
from owners_browser import log_in
from served import Served, filled, serving

if TYPE_CHECKING:
    from playwright.sync_api import Browser, BrowserContext, Page, Route

MADE_WITHIN_MS = 240_000
"""For two sessions and their packages, on a machine that does much else."""
PHONE = {"width": 390, "height": 844}


@dataclass(frozen=True, kw_only=True)
class CourtClub:
    """A served club, what a browser keeps of its owner's log-in, and the plans of its two athletes."""

    served: Served
    folder: Path
    login: dict[str, Any]
    plans: tuple[int, int]
    packs: tuple[dict[str, Any], dict[str, Any]]

    def at_home(self) -> list[dict[str, Any]]:
        """Return the entries of the application's own database, in the order in which they came."""
        database = sqlite3.connect(f"file:{self.folder / 'firstpush.sqlite3'}?mode=ro", uri=True)
        rows = database.execute("SELECT text FROM oncourt_courtentry ORDER BY run, sequence").fetchall()
        database.close()
        return [json.loads(row[0]) for row in rows]


def _pack(browser: Browser, folder: Path) -> None:
    """Make a club with two sessions and their packages, and keep them with the log-in beside it."""
    filled(folder / "club")
    with serving(folder / "club") as served:
        context = browser.new_context()
        page = context.new_page()
        log_in(page, served.url)
        page.get_by_role("button", name="Everybody is here").click()
        page.get_by_role("button", name="Make all 2 missing").click()
        page.get_by_role("button", name="Print all 2 sheets").wait_for(timeout=MADE_WITHIN_MS)
        offered = page.request.get(f"{served.url}court/packages/").json()
        packs = []
        for each in offered[:2]:
            address = f"{served.url}court/packages/{each['plan']}/{each['version']}/"
            packs.append(page.request.get(address, timeout=MADE_WITHIN_MS).json())
        (folder / "packs.json").write_text(json.dumps(packs), encoding="utf-8")
        (folder / "login.json").write_text(json.dumps(context.storage_state()), encoding="utf-8")
        context.close()


@contextmanager
def court_club(browser: Browser, folder: Path) -> Iterator[CourtClub]:
    """Serve such a club for as long as the block lasts: a copy, so that what happens in it is not seen by others."""
    packed = once_in_a_run("packed", partial(_pack, browser))
    shutil.copytree(packed / "club", folder)
    first, second = json.loads((packed / "packs.json").read_text(encoding="utf-8"))
    with serving(folder) as served:
        yield CourtClub(
            served=served,
            folder=folder,
            login=json.loads((packed / "login.json").read_text(encoding="utf-8")),
            plans=(first["plan"], second["plan"]),
            packs=(first, second),
        )


def on_court(
    browser: Browser, club: CourtClub, *which: int, stopped: bool = False, **options: Any
) -> tuple[BrowserContext, Page]:
    """Return a new device of the owner at the page, with the sessions of the athletes 0 and 1 on it.

    What stopped an athlete in the test before is kept from it, unless `stopped` asks for it.
    """
    context = browser.new_context(**({"storage_state": club.login, "viewport": PHONE} | options))
    if not stopped:
        context.route(re.compile(r"/court/packages/\d+/\d+/"), _without_stop)
    page = context.new_page()
    for each in which or (0,):
        page.goto("about:blank")
        page.goto(f"{club.served.url}court/#plan={club.plans[each]}")
        page.get_by_role("heading", name="Before we start").wait_for(timeout=MADE_WITHIN_MS)
    return context, page


def _without_stop(route: Route) -> None:
    package = route.fetch(timeout=MADE_WITHIN_MS).json()
    package.pop("stopped_today", None)
    route.fulfill(json=package)


def to_the_end_of_the_list(page: Page) -> None:
    """Read what is looked at before the start: until its end was in sight nothing says that all was checked."""
    page.locator(".main-action button").wait_for()
    page.evaluate("window.scrollTo(0, document.documentElement.scrollHeight)")
    page.locator(".main-action", has_text="All checked").wait_for()


def begin(page: Page) -> None:
    """Answer plainly before the start."""
    to_the_end_of_the_list(page)
    plain = page.get_by_role("button", name="All checked, all as usual: begin")
    if plain.count():
        plain.click()
    else:
        page.get_by_role("button", name="All checked: answer before the start").click()
        page.get_by_role("button", name="Begin").click()
    page.locator(".main-action", has_text="no pain").wait_for()


def heading(page: Page) -> str:
    """Return what the screen is about."""
    return page.locator("#screen h1").inner_text().splitlines()[-1]


def done_as_planned(page: Page) -> None:
    """Say of the exercise in hand that it went as planned; after the first set of a first time effort 13."""
    title = heading(page)
    page.locator(".main-action button", has_text="no pain").click()
    asked = page.get_by_role("heading", name="How hard were they?")
    page.locator(".said", has_text=f"As planned: {title}").or_(asked).first.wait_for()
    if asked.count():
        page.get_by_role("button", name=re.compile("^13, ")).click()
        second = page.locator(".main-action button:not([aria-disabled])", has_text="Set 2 of 2 done")
        page.locator(".said", has_text=f"As planned: {title}").or_(second).first.wait_for()
        if second.count():
            second.click()
        page.locator(".said", has_text=f"As planned: {title}").wait_for()
    # What is kept is said before the next screen stands: pressed again at once, the next one would be done too.
    page.wait_for_function("words => !document.querySelector('#screen h1').innerText.endsWith(words)", arg=title)


def say_effort(page: Page) -> None:
    """Answer how hard a part was."""
    part = page.locator("#screen h1").inner_text()
    page.get_by_role("button", name=re.compile("^13, ")).click()
    page.wait_for_function("words => document.querySelector('#screen h1').innerText !== words", arg=part)


def to_exercise(page: Page, title: str) -> None:
    """Go on as planned until this exercise is in hand."""
    for _ in range(40):
        if heading(page) == title:
            return
        if "How hard was the" in page.locator("#screen h1").inner_text():
            say_effort(page)
        else:
            done_as_planned(page)
    raise AssertionError(f"{title} does not come")


def counts(page: Page) -> tuple[int, int]:
    """Return how many entries the page says it has, and how many are not at home."""
    words = page.locator(".at-home").inner_text()
    numbers = [int(word) for word in words.replace(",", "").split() if word.isdigit()]
    return numbers[0], numbers[1]


def wait_home(page: Page) -> None:
    """Wait until the page says that everything is at home."""
    page.locator(".at-home", has_text=", 0 not yet at home").wait_for(timeout=30_000)
