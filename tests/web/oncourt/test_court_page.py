"""The page on court as people use it: few presses, without signal, several athletes, pain, and what goes wrong."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

import pytest
from page_club import CourtClub, begin, counts, court_club, on_court, wait_home

if TYPE_CHECKING:
    from pathlib import Path

    from playwright.sync_api import Browser, Page

MOST_PRESSES = 15
COUNT_PRESSES = """
window.presses = 0;
document.addEventListener("click", (event) => {
  if (event.isTrusted && event.target.closest("button")) window.presses += 1;
}, true);
"""


@pytest.fixture(scope="module")
def club(browser: Browser, tmp_path_factory: pytest.TempPathFactory) -> Iterator[CourtClub]:
    """Serve a club of its own."""
    folder: Path = tmp_path_factory.mktemp("court") / "club"
    with court_club(browser, folder) as found:
        yield found


def to_the_end(page: Page) -> None:
    """Do everything as planned from here on, each effort in the middle."""
    for _ in range(40):
        heading = page.locator("#screen h1").inner_text()
        if "whole session" in heading:
            page.get_by_role("button", name="4 of 10").click()
            page.get_by_role("heading", name="The session is over").wait_for()
            return
        before = page.locator("#screen").inner_text()
        if "How hard was the" in heading:
            page.get_by_role("button", name=re.compile("^13, ")).click()
        else:
            page.get_by_role("button", name="As planned, no pain").click()
        page.wait_for_function("words => document.querySelector('#screen').innerText !== words", arg=before)
    raise AssertionError("the session does not end")


def test_a_plain_session_takes_at_most_fifteen_presses(browser: Browser, club: CourtClub) -> None:
    """From the first question to the end; every entry is at home then, once, and says what was pressed."""
    context, page = on_court(browser, club)
    page.evaluate(COUNT_PRESSES)
    begin(page)
    to_the_end(page)
    presses = page.evaluate("window.presses")
    assert presses <= MOST_PRESSES
    wait_home(page)
    said, _ = counts(page)
    run = [each for each in club.at_home() if each["athlete"] == club.packs[0]["athlete"]["id"]]
    assert [each["sequence"] for each in run] == list(range(1, said + 1))
    done = [each for each in run if each["kind"] == "done"]
    assert [each["exercise"] for each in done] == [each["exercise"] for each in club.packs[0]["items"]]
    # Beside the beginning, which the page says by itself, every press is one entry.
    assert said == presses + 1
    assert run[-1]["session_effort_0_10"] == 4
    context.close()


def test_a_whole_session_without_signal(browser: Browser, club: CourtClub) -> None:
    """Fetched, then cut off: reloaded in the middle, done to its end, sent when there is signal again."""
    context, page = on_court(browser, club, 1)
    page.evaluate("navigator.serviceWorker.ready.then(() => true)")
    page.reload()
    page.get_by_role("button", name="Begin").click()
    context.set_offline(True)
    begin(page)
    page.get_by_role("button", name="As planned, no pain").click()
    page.locator(".said", has_text="as planned").wait_for()
    second = page.locator("#screen h1").inner_text()
    page.reload()
    page.locator("#screen h1", has_text=second.splitlines()[-1]).wait_for()
    assert counts(page) == (3, 3), "begun, answered, one exercise"
    to_the_end(page)
    said, waiting = counts(page)
    assert said == waiting > 10
    before = len(club.at_home())
    context.set_offline(False)
    wait_home(page)
    assert len(club.at_home()) == before + said
    context.close()


def test_entries_never_land_with_the_wrong_athlete(browser: Browser, club: CourtClub) -> None:
    """Two athletes in turn on one device, the clock of one going on while the other is in hand; undo after that."""
    context, page = on_court(browser, club, 0, 1)
    names = [pack["athlete"]["name"] for pack in club.packs]
    before = len(club.at_home())
    begin(page)

    def to(which: int) -> None:
        page.locator(".others").get_by_role("button", name=names[which]).click()
        assert names[which] in page.locator(".who").inner_text()

    page.get_by_role("button", name="To the list of sessions").click()
    page.get_by_role("button", name=f"Begin: {names[0]}").click()
    begin(page)
    page.get_by_role("button", name="Start the timer").click()
    page.get_by_role("button", name=re.compile("^Next")).click()
    to(1)
    first = page.locator(f".others button:has-text('{names[0]}') small").inner_text()
    page.get_by_role("button", name="As planned, no pain").click()
    page.wait_for_timeout(1600)
    later = page.locator(f".others button:has-text('{names[0]}') small").inner_text()
    assert first != later, "the other clock stands still"
    to(0)
    page.get_by_role("button", name="To the exercise").click()
    page.get_by_role("button", name="As planned, no pain").click()
    page.locator(".said", has_text="as planned").wait_for()
    to(1)
    page.get_by_role("button", name="Undo").click()
    page.locator(".said", has_text="Answers before the start").wait_for()
    wait_home(page)
    new = club.at_home()
    mine = {athlete: [each for each in new if each["athlete"] == athlete] for athlete in
            (pack["athlete"]["id"] for pack in club.packs)}  # fmt: skip
    newest = {athlete: max(each["run"] for each in entries) for athlete, entries in mine.items()}
    kinds = {
        athlete: [each["kind"] for each in entries if each["run"] == newest[athlete]]
        for athlete, entries in mine.items()
    }
    assert kinds[club.packs[0]["athlete"]["id"]] == ["begin", "before", "done"]
    assert kinds[club.packs[1]["athlete"]["id"]] == ["begin", "before", "done", "undo"]
    assert len(new) == before + 7
    for entry in new:
        if entry["kind"] == "done":
            pack = next(each for each in club.packs if each["athlete"]["id"] == entry["athlete"])
            assert entry["exercise"] in {each["exercise"] for each in pack["items"]}
    context.close()


def say_pain(page: Page, place: str, side: str, feeling: str, level: int) -> None:
    """Say a pain with buttons."""
    page.locator("#screen").get_by_role("button", name="Pain", exact=True).click()
    other = page.get_by_role("button", name="Somewhere else")
    if other.count():
        other.click()
    page.get_by_role("button", name=place, exact=True).click()
    page.get_by_role("button", name=side, exact=True).click()
    page.get_by_role("button", name=feeling, exact=True).click()
    page.locator(".pain .numbers").get_by_role("button", name=str(level), exact=True).click()


@pytest.mark.parametrize(
    ("feeling", "level", "verdict", "outcome"),
    [
        ("As usual", 1, "Go on with care", "go on with care"),
        ("New", 1, "This exercise stops", "stop the exercise"),
        ("Sharp", 2, "This exercise stops", "stop the exercise"),
        ("As usual", 7, "Nothing loads this arm today", "stop the arm"),
    ],
)
def test_pain_has_the_answer_of_the_one_rule(
    browser: Browser, club: CourtClub, feeling: str, level: int, verdict: str, outcome: str
) -> None:
    """Common practice, edge by edge in the tests of the rule; here the page says and keeps the same."""
    context, page = on_court(browser, club)
    begin(page)
    title = page.locator("#screen h1").inner_text()
    say_pain(page, "Elbow outside", "Left", feeling, level)
    assert page.locator(".verdict").inner_text().startswith(verdict)
    page.locator(".actions .press-main").click()
    page.locator(".said", has_text=f"Pain {level}, left elbow outside").wait_for()
    if outcome == "stop the arm":
        assert "whole session" in page.locator("#screen h1").inner_text()
    elif outcome == "stop the exercise":
        assert page.locator("#screen h1").inner_text() != title, "never pushed on"
    else:
        assert page.locator("#screen h1").inner_text() == title
    wait_home(page)
    entry = [each for each in club.at_home() if each["kind"] == "pain"][-1]
    assert (entry["outcome"], entry["level_0_10"], entry["side"]) == (outcome, level, "left")
    context.close()


def test_what_is_seen_leads_to_its_card(browser: Browser, club: CourtClub) -> None:
    """Each sign opens the card it stands on, at once; undo brings back to where one was."""
    context, page = on_court(browser, club)
    begin(page)
    for card in club.packs[0]["cards"]:
        page.get_by_role("button", name="Something is wrong").click()
        page.get_by_role("button", name=card["signs"][0], exact=True).click()
        assert page.locator("#screen h1").inner_text() == card["title"]
        shown = [each.strip().rstrip(".") for each in page.locator(".aid li").all_inner_texts()]
        assert shown == [each.rstrip(".") for each in card["do"]]
        page.locator(".said", has_text="Stopped").wait_for()
        page.get_by_role("button", name="Undo").click()
        page.get_by_role("button", name="As planned, no pain").wait_for()
    context.close()


def test_a_card_comes_again_when_the_page_was_closed(browser: Browser, club: CourtClub) -> None:
    """Whoever opens the page again sees first what is to be done."""
    context, page = on_court(browser, club)
    begin(page)
    card = club.packs[0]["cards"][0]
    page.get_by_role("button", name="Something is wrong").click()
    page.get_by_role("button", name=card["signs"][0], exact=True).click()
    page.locator(".said", has_text="Stopped").wait_for()
    page.reload()
    page.get_by_role("heading", name=card["title"]).wait_for()
    context.close()


def test_what_could_not_be_kept_is_said_and_not_counted(browser: Browser, club: CourtClub) -> None:
    """The browser's database refuses: the page stays where it is, and the same press works when it can again."""
    context, page = on_court(browser, club)
    begin(page)
    title, before = page.locator("#screen h1").inner_text(), counts(page)
    page.evaluate(
        """() => {
          window.realAdd = IDBObjectStore.prototype.add;
          IDBObjectStore.prototype.add = function () { throw new DOMException("full", "QuotaExceededError"); };
        }"""
    )
    page.get_by_role("button", name="As planned, no pain").click()
    page.locator(".trouble", has_text="Not kept").wait_for()
    assert page.locator("#screen h1").inner_text() == title
    assert counts(page)[0] == before[0]
    page.evaluate("() => { IDBObjectStore.prototype.add = window.realAdd; }")
    page.get_by_role("button", name="As planned, no pain").click()
    page.locator(".said", has_text="as planned").wait_for()
    assert counts(page)[0] == before[0] + 1
    assert page.locator(".trouble").inner_text() == ""
    context.close()


def test_stopped_before_the_start(browser: Browser, club: CourtClub) -> None:
    """Ill or feverish: no way into the exercises, only to the end."""
    context, page = on_court(browser, club)
    page.get_by_role("button", name="Something is different").click()
    page.get_by_role("button", name="Ill or feverish").click()
    assert "No session now" in page.locator(".outcome").inner_text()
    assert page.get_by_role("button", name=re.compile("^Begin")).count() == 0
    page.get_by_role("button", name="No session today").click()
    page.get_by_role("heading", name="The session is over").wait_for()
    context.close()


def test_fewer_repetitions_are_kept_as_they_were(browser: Browser, club: CourtClub) -> None:
    """What was different: one repetition less, an effort, a fault; the words beside Undo say it was not as planned."""
    context, page = on_court(browser, club)
    begin(page)
    page.get_by_role("button", name="As planned, no pain").click()
    page.get_by_role("button", name="Something was different").click()
    page.get_by_role("button", name="One less, sets done").click()
    page.locator("fieldset", has_text="How hard").get_by_role("button", name=re.compile("^17, ")).click()
    page.locator("fieldset", has_text="Not clean").get_by_role("button").first.click()
    page.get_by_role("button", name="Save").click()
    page.locator(".said", has_text="otherwise than planned").wait_for()
    wait_home(page)
    entries = club.at_home()
    newest = max(each["run"] for each in entries)
    effort, done = [each for each in entries if each["run"] == newest][-2:]
    assert (effort["kind"], effort["effort_6_20"]) == ("effort", 17)
    assert done["as_planned"] is False
    assert len(done["faults"]) == 1
    context.close()


def spoken(page: Page) -> list[Any]:
    """Return what the live region said, in its order."""
    found: list[Any] = page.evaluate("window.spoken")
    return found


def test_the_clock_tells_a_rest_as_it_goes(browser: Browser, club: CourtClub) -> None:
    """Sets, sides and rests are told in the live region; the clock itself is silent for a screen reader."""
    context, page = on_court(browser, club)
    page.clock.install()
    page.reload()
    page.get_by_role("button", name=re.compile("^(Begin|Go on)")).first.click()
    begin(page)
    page.evaluate(
        """() => {
          window.spoken = [];
          const region = document.querySelector("p[aria-live=polite]");
          new MutationObserver(() => window.spoken.push(region.textContent)).observe(region, { childList: true });
        }"""
    )
    items = club.packs[0]["items"]
    number = next(
        i
        for i, each in enumerate(items)
        if sum(s["seconds"] >= 30 for s in each["variants"]["planned"]["steps"] if s["kind"] == "pause")
    )
    for _ in range(60):
        if items[number]["variants"]["planned"]["title"] in page.locator("#screen h1").inner_text():
            break
        if "How hard" in page.locator("#screen h1").inner_text():
            page.get_by_role("button", name="Not asked").click()
            page.get_by_role("button", name="As planned, no pain").wait_for()
        else:
            title = page.locator("#screen h1").inner_text().splitlines()[-1]
            page.get_by_role("button", name="As planned, no pain").click()
            page.locator(".said", has_text=f"{title}: as planned").wait_for()
    page.get_by_role("button", name="Start the timer").click()
    assert page.get_by_role("timer").get_attribute("aria-live") == "off"
    steps = items[number]["variants"]["planned"]["steps"]
    for step in steps:
        if step["kind"] not in ("set", "pause"):
            page.get_by_role("button", name=re.compile("^Next")).click()
        page.clock.run_for(1000 * step["seconds"] if step["kind"] in ("set", "pause") else 100)
    page.clock.run_for(2000)
    said = spoken(page)
    # What is due at one moment is one sentence; the rest begins with how long it is.
    begins = next((number for number, words in enumerate(said) if "30 seconds left" in words), None)
    assert begins is not None, said
    assert said[begins + 1 : begins + 5] == ["10 seconds left", "3", "2", "1"]
    assert said[begins + 5].lower().startswith("rest over")
    assert said[-1] == "Done"
    context.close()
