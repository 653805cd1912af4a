"""The page on court as people use it: few presses, without signal, several athletes, and what goes wrong."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Any

import pytest
from page_club import (
    CourtClub,
    begin,
    counts,
    done_as_planned,
    heading,
    on_court,
    say_effort,
    to_exercise,
    wait_home,
)

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

MOST_PRESSES = 15
COUNT_PRESSES = """
window.presses = 0;
document.addEventListener("click", (event) => {
  if (event.isTrusted && event.target.closest("button")) window.presses += 1;
}, true);
"""


def to_the_end(page: Page) -> None:
    """Do everything as planned from here on, each effort in the middle."""
    for _ in range(40):
        words = page.locator("#screen h1").inner_text()
        if "whole session" in words:
            page.get_by_role("button", name="4 of 10").click()
            keep = page.get_by_role("button", name="Keep these minutes")
            page.get_by_role("heading", name="The session is over").or_(keep).first.wait_for()
            if keep.count():
                keep.click()
            page.get_by_role("heading", name="The session is over").wait_for()
            return
        if "How hard was the" in words:
            say_effort(page)
        else:
            done_as_planned(page)
    raise AssertionError("the session does not end")


def sets_of_a_side(item: dict[str, Any]) -> int:
    """Return how many sets of one side an exercise has as planned."""
    steps = item["variants"]["planned"]["steps"]
    return sum(each["kind"] == "set" and each["side"] in (None, "left") for each in steps)


def test_a_plain_session_takes_at_most_fifteen_presses(browser: Browser, club: CourtClub) -> None:
    """From the first question to the end; every entry is at home then, once, and says what was pressed.

    A first time asks one thing more. The clock of the device goes on as it does in a session.
    """
    context, page = on_court(browser, club)
    page.clock.install()
    page.evaluate(COUNT_PRESSES)
    begin(page)
    page.clock.fast_forward(1000 * club.packs[0]["total_s"])
    to_the_end(page)
    presses = page.evaluate("window.presses")
    first_times = [each for each in club.packs[0]["items"] if each["first_time"]]
    # How hard the first set was, and the second set that follows where there is one.
    twice = [each for each in first_times if sets_of_a_side(each) > 1]
    assert presses <= MOST_PRESSES + len(first_times) + len(twice)
    wait_home(page)
    said, _ = counts(page)
    run = [each for each in club.at_home() if each["athlete"] == club.packs[0]["athlete"]["id"]]
    assert [each["sequence"] for each in run] == list(range(1, said + 1))
    done = [each for each in run if each["kind"] == "done"]
    assert [each["exercise"] for each in done] == [each["exercise"] for each in club.packs[0]["items"]]
    # Every press is one entry, but the one that ends a first set; the beginning has none.
    ends = [each for each in first_times if each not in twice]
    assert said == presses + 1 - len(first_times) + len(ends)
    sets = {each["exercise"]: each.get("sets") for each in done}
    assert all(sets[each["exercise"]] == (2 if each in twice else 1) for each in first_times)
    assert (run[-1]["session_effort_0_10"], run[-1]["minutes"]) == (4, round(club.packs[0]["total_s"] / 60))
    context.close()


def test_a_whole_session_without_signal(browser: Browser, club: CourtClub) -> None:
    """Fetched, then cut off: reloaded in the middle, done to its end, sent when there is signal again."""
    context, page = on_court(browser, club, 1)
    page.evaluate("navigator.serviceWorker.ready.then(() => true)")
    page.reload()
    page.get_by_role("button", name="Begin").click()
    context.set_offline(True)
    begin(page)
    done_as_planned(page)
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
    page.get_by_role("button", name="Timer").click()
    for _ in range(2):
        page.get_by_role("button", name=re.compile("^Next")).click()
    to(1)
    first = page.locator(f".others button:has-text('{names[0]}') small").inner_text()
    done_as_planned(page)
    page.wait_for_timeout(1600)
    later = page.locator(f".others button:has-text('{names[0]}') small").inner_text()
    assert first != later, "the other clock stands still"
    to(0)
    shown = page.locator(".clock-time").inner_text()
    assert shown in page.locator(f".others button:has-text('{names[0]}') small").inner_text(), "two clocks of one thing"
    page.get_by_role("button", name="To the card").click()
    done_as_planned(page)
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


def test_what_is_seen_leads_to_its_card(browser: Browser, club: CourtClub) -> None:
    """Each sign opens the card it stands on, at once; undo brings back to where one was."""
    context, page = on_court(browser, club)
    begin(page)
    for card in club.packs[0]["cards"]:
        page.get_by_role("button", name="Stop: something is wrong").click()
        page.get_by_role("button", name=card["signs"][0], exact=True).click()
        assert page.locator("#screen h1").inner_text() == card["title"]
        shown = [each.splitlines()[0].strip().rstrip(".") for each in page.locator(".aid li").all_inner_texts()]
        assert shown == [each.rstrip(".") for each in card["do"]]
        page.locator(".said", has_text="Stopped").wait_for()
        page.get_by_role("button", name="Undo").click()
        page.locator(".main-action", has_text="no pain").wait_for()
    context.close()


def test_a_card_comes_again_when_the_page_was_closed(browser: Browser, club: CourtClub) -> None:
    """Whoever opens the page again sees first what is to be done."""
    context, page = on_court(browser, club)
    begin(page)
    card = club.packs[0]["cards"][0]
    page.get_by_role("button", name="Stop: something is wrong").click()
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
    done_as_planned(page)
    assert counts(page)[0] == before[0] + 1
    assert page.locator(".trouble").inner_text() == ""
    context.close()


def test_stopped_before_the_start(browser: Browser, club: CourtClub) -> None:
    """Ill or feverish: no way into the exercises, only to the end."""
    context, page = on_court(browser, club)
    page.get_by_role("button", name="Something to say first").click()
    page.get_by_role("button", name="More tired than usual").click()
    assert "Today the easier ones" in page.locator(".outcome").inner_text()
    page.get_by_role("button", name="A mark that stays").click()
    effects = page.locator(".effect").all_inner_texts()
    assert effects == ["No session now."], "beside the gravest word the others say nothing"
    page.get_by_role("button", name="Ill or feverish").click()
    assert "No session now" in page.locator(".outcome").inner_text()
    assert page.get_by_role("button", name=re.compile("^Begin")).count() == 0
    main = page.locator(".oncourt-foot .told")
    assert "Ill or feverish" in main.inner_text(), "where the thumb is, the page is longer than a screen"
    page.get_by_role("button", name="No session today").click()
    page.get_by_role("heading", name="The session is over").wait_for()
    assert "Have it looked at" in page.locator("#screen .told").first.inner_text()
    wait_home(page)
    before, ended = [each for each in club.at_home() if each["run"] == max(e["run"] for e in club.at_home())][-2:]
    assert (before["kind"], before["answers"]["illness"], "stop" in before["effects"]) == (
        "before",
        "ill or feverish",
        True,
    )
    assert (ended["kind"], ended["minutes"]) == ("ended", 0)
    context.close()


def test_fewer_repetitions_are_kept_as_they_were(browser: Browser, club: CourtClub) -> None:
    """What was different: one repetition less, an effort, a fault; the words beside Undo say it was not as planned."""
    context, page = on_court(browser, club)
    begin(page)
    done_as_planned(page)
    page.get_by_role("button", name="Other …").click()
    page.get_by_role("button", name="Not as planned").click()
    page.get_by_role("button", name="One less, sets done").click()
    page.locator("fieldset", has_text="How hard").get_by_role("button", name=re.compile("^14, ")).click()
    page.locator("fieldset", has_text="Not clean").get_by_role("button").first.click()
    page.get_by_role("button", name="Save").click()
    page.locator(".said", has_text="Not as planned").wait_for()
    wait_home(page)
    entries = club.at_home()
    newest = max(each["run"] for each in entries)
    effort, done = [each for each in entries if each["run"] == newest][-2:]
    assert (effort["kind"], effort["effort_6_20"]) == ("effort", 14)
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
    to_exercise(page, items[number]["variants"]["planned"]["title"])
    page.get_by_role("button", name="Timer").click()
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


# A hand that grips little, an eye in the dark, and what must not get lost

UNDER_THE_FINGER = """
share => {
  const main = document.querySelector(".main-action button").getBoundingClientRect();
  const found = document.elementFromPoint(main.left + main.width / 2, main.top + main.height * share);
  return Boolean(found.closest(".main-action button"));
}
"""


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_nothing_lies_over_the_main_press(browser: Browser, club: CourtClub, scheme: Any) -> None:
    """At 10, 30, 50 and 70 % of its height a finger meets the main press, also scrolled, at every exercise."""
    context, page = on_court(browser, club, color_scheme=scheme)
    begin(page)
    for title in [each["variants"]["planned"]["title"] for each in club.packs[0]["items"]][:4]:
        to_exercise(page, title)
        for scrolled in (0, 120, 10_000):
            page.evaluate("y => window.scrollTo(0, y)", scrolled)
            assert [page.evaluate(UNDER_THE_FINGER, share) for share in (0.1, 0.3, 0.5, 0.7)] == [True] * 4
    context.close()


@pytest.mark.parametrize("after_ms", [250, 500, 800])
def test_a_second_tap_says_nothing_about_the_next_exercise(browser: Browser, club: CourtClub, after_ms: int) -> None:
    """The main press rests for a second after the screen has changed, and says so; then it works."""
    context, page = on_court(browser, club, has_touch=True)
    begin(page)
    page.locator(".main-action button:not([aria-disabled])").wait_for()
    box = page.locator(".main-action button").bounding_box()
    assert box is not None
    spot = (box["x"] + box["width"] / 2, box["y"] + box["height"] / 2)
    first, before = heading(page), counts(page)[0]
    page.touchscreen.tap(*spot)
    page.locator(".said", has_text=f"As planned: {first}").wait_for()
    page.wait_for_timeout(after_ms - 200)
    assert page.locator(".main-action button").get_attribute("aria-disabled") == "true"
    page.touchscreen.tap(*spot)
    page.wait_for_timeout(1500)
    assert counts(page)[0] == before + 1
    assert page.locator(".main-action button").get_attribute("aria-disabled") is None
    page.touchscreen.tap(*spot)
    page.locator(
        ".said", has_text=f"As planned: {club.packs[0]['items'][1]['variants']['planned']['title']}"
    ).wait_for()
    context.close()


def test_a_card_stays_when_the_session_ends(browser: Browser, club: CourtClub) -> None:
    """First aid is not pushed away by a question; how hard it was is not asked then."""
    context, page = on_court(browser, club)
    begin(page)
    card = club.packs[0]["cards"][0]
    page.get_by_role("button", name="Stop: something is wrong").click()
    page.get_by_role("button", name=card["signs"][0], exact=True).click()
    if any("every 2 to 5 minutes" in each for each in card["do"]):
        first = page.locator(".since").inner_text()
        page.wait_for_timeout(1500)
        assert page.locator(".since").inner_text() != first, "the clock since the card was opened stands"
    page.get_by_role("button", name="End the session").click()
    page.get_by_role("button", name="Close the card").wait_for()
    assert heading(page) == card["title"]
    wait_home(page)
    ended = [each for each in club.at_home() if each["kind"] == "ended"][-1]
    assert "session_effort_0_10" not in ended
    context.close()


def test_not_asked_is_remembered(browser: Browser, club: CourtClub) -> None:
    """An effort that was passed over is not asked again when the page was closed."""
    context, page = on_court(browser, club)
    begin(page)
    while "How hard was the" not in page.locator("#screen h1").inner_text():
        done_as_planned(page)
    page.get_by_role("button", name="Not asked").click()
    page.locator(".main-action", has_text="no pain").wait_for()
    title = heading(page)
    page.reload()
    page.get_by_role("heading", name=title).wait_for()
    context.close()


def test_minutes_far_from_the_plan_are_asked_again(browser: Browser, club: CourtClub) -> None:
    """A page left open for nine hours: the plan's minutes are proposed, and the clock's can be taken."""
    context, page = on_court(browser, club, 1)
    page.clock.install()
    begin(page)
    done_as_planned(page)
    page.clock.fast_forward("09:00:00")
    for each in club.packs[1]["items"][1:]:
        to_exercise(page, each["variants"]["planned"]["title"])
        done_as_planned(page)
    say_effort(page)
    page.get_by_role("button", name="4 of 10").click()
    page.get_by_role("heading", name="How long did it take?").wait_for()
    assert page.locator("output").inner_text() == str(round(club.packs[1]["total_s"] / 60))
    page.get_by_role("button", name="Keep these minutes").click()
    page.get_by_role("heading", name="The session is over").wait_for()
    context.close()


def test_the_clock_speaks_as_the_card_does(browser: Browser, club: CourtClub) -> None:
    """“2 × 30 s” is one of two and two of two; what is set up waits for a hand, and a clock that stands says so."""
    context, page = on_court(browser, club)
    begin(page)
    item = club.packs[0]["items"][0]["variants"]["planned"]
    assert item["dose_large"] == "2 × 30 s"
    page.get_by_role("button", name="Timer").click()
    for each in item["steps"]:
        if each["kind"] != "set":
            assert page.locator(".facts").is_visible(), "what is laid is seen while it is laid"
            assert page.locator(".clock-time").inner_text() == "as long as it takes"
            page.get_by_role("button", name=re.compile("^Next")).click()
    page.locator(".doing", has_text="1 of 2").wait_for()
    assert "set 1 of 1" not in page.locator("#screen").inner_text()
    page.get_by_role("button", name="Pause the clock").click()
    page.locator(".clock-time", has_text="paused").wait_for()
    page.get_by_role("button", name="Go on with the clock").click()
    page.locator(".clock-time", has_text="s").wait_for()
    assert "paused" not in page.locator(".clock-time").inner_text()
    assert re.match(r"then: .+ · about \d+ min left", page.locator(".ahead").text_content() or "")
    context.close()


@pytest.mark.parametrize(("status", "words"), [(401, "Log in again"), (410, "This link has run out"), (0, "No signal")])
def test_why_nothing_can_be_fetched_is_said_as_it_is(
    browser: Browser, club: CourtClub, status: int, words: str
) -> None:
    """No login, a link that has run out, and no signal are three things."""
    context = browser.new_context()
    page = context.new_page()
    answer = (lambda route: route.fulfill(status=status, json={})) if status else (lambda route: route.abort())
    page.route("**/court/packages/**", answer)
    page.goto(f"{club.served.url}court/#SECRET")
    page.locator(".trouble", has_text=words).wait_for()
    page.locator(".aside", has_text="run out" if status == 410 else "logged in" if status else "No signal").wait_for()
    assert page.get_by_role("link", name="Log in again").count() == (2 if status == 401 else 0)
    context.close()
