"""A stop that holds: first-aid cards with and without a way on, over a reload, on a second device; and a set less."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Any

from page_club import (
    CourtClub,
    begin,
    done_as_planned,
    heading,
    on_court,
    to_exercise,
    to_the_end_of_the_list,
    wait_home,
)

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page, Route

# Longer than a button rests on a new screen, and than a screen takes to be drawn.
REST_MS = 1600
DRAWN_MS = 300


def take_card(page: Page, sign: str, title: str) -> None:
    """Say what is seen, and wait until it is kept."""
    page.get_by_role("button", name="Stop: something is wrong").click()
    page.get_by_role("button", name=sign, exact=True).click()
    page.get_by_role("heading", name=title).wait_for()
    page.locator(".said", has_text="Stopped").wait_for()


def card_of(club: CourtClub, name: str) -> tuple[str, str]:
    """Return the first sign of a card, and its title."""
    card = next(each for each in club.packs[0]["cards"] if each["id"] == name)
    return card["signs"][0], card["title"]


def newest_run(club: CourtClub) -> list[dict[str, Any]]:
    """Return the entries of the run that was begun last."""
    entries = club.at_home()
    newest = max(each["run"] for each in entries)
    return [each for each in entries if each["run"] == newest]


def test_no_card_is_passed_over_against_its_own_words(browser: Browser, club: CourtClub) -> None:
    """A card that says “Stop for today” has no way on: not after a reload, and not by another card."""
    context, page = on_court(browser, club)
    begin(page)
    sign, title = card_of(club, "head-knock")
    take_card(page, sign, title)
    for _ in range(2):
        assert page.get_by_role("button", name=re.compile("passed|[Gg]o on")).count() == 0
        page.reload()
        page.get_by_role("heading", name=title).wait_for()
    page.get_by_role("button", name="Other signs").click()
    band, band_title = card_of(club, "band")
    page.get_by_role("button", name=band, exact=True).click()
    page.get_by_role("heading", name=band_title).wait_for()
    page.get_by_role("button", name=re.compile("^(Go on|This exercise is over)")).click()
    page.get_by_role("heading", name=title).wait_for()
    page.get_by_role("button", name="End the session").click()
    page.get_by_role("button", name="Close the card").wait_for()
    context.close()


def test_who_says_that_it_has_passed_is_kept_and_a_caution_stays(browser: Browser, club: CourtClub) -> None:
    """Asked once more, also after a reload; what follows stands under a caution."""
    context, page = on_court(browser, club)
    begin(page)
    sign, title = card_of(club, "faintness")
    take_card(page, sign, title)
    page.reload()
    page.get_by_role("heading", name=title).wait_for()
    page.get_by_role("button", name="It has passed").click()
    page.get_by_role("heading", name="Has all of it passed?").wait_for()
    page.get_by_role("button", name="The practitioner says so").click()
    page.locator(".main-action", has_text="no pain").wait_for()
    assert "faint from low blood pressure" in page.locator(".told").first.inner_text()
    wait_home(page)
    stopped, note = newest_run(club)[-2:]
    assert (stopped["kind"], note["kind"]) == ("stopped", "note")
    assert "the practitioner says so" in note["words"]
    context.close()


def test_a_press_is_kept_when_news_from_home_comes_under_the_finger(browser: Browser, club: CourtClub) -> None:
    """The list of sessions arrives while a button is held down: the press counts all the same."""
    context, page = on_court(browser, club)
    begin(page)
    take_card(page, *card_of(club, "faintness"))
    held: list[Route] = []
    page.route(re.compile("/packages/$"), lambda route: held.append(route))
    page.reload()
    passed = page.get_by_role("button", name="It has passed")
    passed.hover()
    page.wait_for_timeout(REST_MS)
    page.mouse.down()
    assert len(held) == 1
    with page.expect_response(re.compile("/packages/$")) as answer:
        held[0].continue_()
    answer.value.finished()
    page.wait_for_timeout(DRAWN_MS)
    page.mouse.up()
    page.get_by_role("heading", name="Has all of it passed?").wait_for()
    context.close()


def test_go_on_works_after_the_page_was_opened_again(browser: Browser, club: CourtClub) -> None:
    """A card of an exercise: one press closes it, whether the page was closed in between or not."""
    context, page = on_court(browser, club)
    begin(page)
    first = heading(page)
    sign, title = card_of(club, "band")
    take_card(page, sign, title)
    page.reload()
    page.get_by_role("heading", name=title).wait_for()
    page.get_by_role("button", name=re.compile("^(Go on|This exercise is over)")).click()
    page.locator(".main-action", has_text="no pain").wait_for()
    assert heading(page) != first
    context.close()


def test_a_damaged_band_is_told_wherever_it_comes_again(browser: Browser, club: CourtClub) -> None:
    """The first exercise with that band is over; each later one that is laid with it says so, and no other does."""
    items = club.packs[0]["items"]
    first, again, *_ = (place for place, each in enumerate(items) if each["variants"]["planned"]["bands"])
    name = items[first]["variants"]["planned"]["bands"][0]

    def with_one_band(route: Route) -> None:
        package = route.fetch().json()
        # What stopped the athlete in a test before is kept from this one.
        package.pop("stopped_today", None)
        package["items"][again]["variants"]["planned"]["bands"] = [name]
        route.fulfill(json=package)

    context, page = on_court(browser, club)
    page.route(re.compile(r"/packages/\d+/\d+/"), with_one_band)
    page.goto("about:blank")
    page.goto(f"{club.served.url}court/#plan={club.plans[0]}")
    page.get_by_role("heading", name="Before we start").wait_for()
    begin(page)
    to_exercise(page, items[first]["title"])
    take_card(page, *card_of(club, "band"))
    page.get_by_role("button", name=re.compile("^This exercise is over")).click()
    page.locator(".main-action", has_text="no pain").wait_for()
    for place in range(first + 1, len(items)):
        to_exercise(page, items[place]["title"])
        told = page.locator(".told-stop", has_text=f"The band “{name}” was damaged in")
        assert told.count() == (place == again), items[place]["title"]
        done_as_planned(page)
    context.close()


def test_an_open_card_and_its_athlete_outlast_the_page(browser: Browser, club: CourtClub) -> None:
    """Ended from its card, with another athlete on the device: opened again, the card is there until it is closed."""
    context, page = on_court(browser, club, 1, 0)
    page.get_by_role("button", name="To the list of sessions").click()
    page.get_by_role("button", name=f"Begin: {club.packs[1]['athlete']['name']}").click()
    begin(page)
    page.get_by_role("button", name="To the list of sessions").click()
    page.get_by_role("button", name=f"Begin: {club.packs[0]['athlete']['name']}").click()
    begin(page)
    sign, title = card_of(club, "heat")
    take_card(page, sign, title)
    page.get_by_role("button", name="End the session").click()
    page.get_by_role("button", name="Close the card").wait_for()
    page.reload()
    page.get_by_role("heading", name=title).wait_for()
    assert club.packs[0]["athlete"]["name"] in page.locator(".who").inner_text()
    page.get_by_role("button", name="Close the card").click()
    page.get_by_role("heading", name="The session is over").wait_for()
    page.reload()
    page.locator(".main-action", has_text="no pain").wait_for()
    assert club.packs[1]["athlete"]["name"] in page.locator(".who").inner_text()
    context.close()


def test_a_stop_is_known_to_the_list_the_session_page_and_a_second_device(browser: Browser, club: CourtClub) -> None:
    """No press that begins at once: every question is answered, and the stop stands first."""
    context, page = on_court(browser, club)
    begin(page)
    sign, title = card_of(club, "heart")
    take_card(page, sign, title)
    page.get_by_role("button", name="End the session").click()
    page.get_by_role("button", name="Close the card").click()
    page.get_by_role("button", name="To the list", exact=True).click()
    assert "chest, heart, breath" in page.locator(".oncourt-list .told").inner_text()
    wait_home(page)
    page.goto(f"{club.served.url}sessions/{club.plans[0]}/")
    words = page.locator(".on-court").inner_text()
    assert words.index("chest, heart, breath") < words.index("Take it on court all the same")
    context.close()
    context, page = on_court(browser, club, stopped=True)
    assert "chest, heart, breath" in page.locator("#screen .told").first.inner_text()
    to_the_end_of_the_list(page)
    assert page.get_by_role("button", name="All checked, all as usual: begin").count() == 0
    page.get_by_role("button", name="All checked: answer before the start").click()
    for question in club.packs[0]["before"]["questions"]:
        assert page.get_by_role("button", name=re.compile("^Begin")).count() == 0
        group = page.locator("fieldset", has_text=question["asks"])
        group.get_by_role("button").first.click()
    page.get_by_role("button", name=re.compile("^Begin")).click()
    page.locator(".main-action", has_text="no pain").wait_for()
    context.close()


def test_one_set_less_is_one_set_less(browser: Browser, club: CourtClub) -> None:
    """More tired than usual: dose, clock and entry have one set of two, and the largest effort of today is said."""
    item = next(each for each in club.packs[0]["items"] if each["variants"]["planned"]["dose_large"] == "2 × 8")
    context, page = on_court(browser, club)
    page.get_by_role("button", name="Something to say first").click()
    page.get_by_role("button", name="More tired than usual").click()
    page.get_by_role("button", name=re.compile("^Begin")).click()
    title = item["variants"].get("easier", item["variants"]["planned"])["title"]
    for _ in range(10):
        page.locator(".main-action button").or_(page.get_by_role("button", name=re.compile("^11, "))).first.wait_for()
        if heading(page) == title:
            break
        effort = page.get_by_role("button", name=re.compile("^11, "))
        (effort if effort.count() else page.locator(".main-action button:not([aria-disabled])")).first.click()
        page.wait_for_timeout(300)
    assert page.locator(".dose strong").inner_text() == "1 × 8"
    assert "one set less, nothing above effort 13" in page.locator(".told").first.inner_text()
    page.get_by_role("button", name="Timer").click()
    assert page.locator(".line-set").count() == 1
    page.get_by_role("button", name="To the card").click()
    page.get_by_role("button", name="One set less, no pain").click()
    page.locator(".said", has_text="One set less").wait_for()
    wait_home(page)
    done = newest_run(club)[-1]
    assert (done["sets"], done["as_planned"], done["reason"]) == (1, False, "one set less today")
    context.close()


def test_a_first_time_stops_its_clock_after_the_first_set(browser: Browser, club: CourtClub) -> None:
    """The answer says whether the second set comes; left at one set, one set is what is kept."""
    item = next(
        each
        for each in club.packs[0]["items"]
        if each["first_time"] and [s["kind"] for s in each["variants"]["planned"]["steps"]].count("set") == 2
        and any(s["kind"] == "pause" for s in each["variants"]["planned"]["steps"])
    )  # fmt: skip
    context, page = on_court(browser, club)
    begin(page)
    to_exercise(page, item["variants"]["planned"]["title"])
    page.get_by_role("button", name="Timer").click()
    assert page.locator(".line-set").count() == 1
    page.get_by_role("button", name="To the card").click()
    page.get_by_role("button", name="One set done, no pain").click()
    page.get_by_role("button", name=re.compile("^12, ")).click()
    page.get_by_role("button", name="Set 2 of 2 done, no pain").wait_for()
    assert "12 is right for a first time: keep it" in page.locator(".told").first.inner_text()
    page.reload()
    page.get_by_role("button", name="Leave it at that").click()
    page.locator(".said", has_text="Not as planned").wait_for()
    wait_home(page)
    done = newest_run(club)[-1]
    assert (done["sets"], done["as_planned"]) == (1, False)
    context.close()


def test_all_that_loads_an_arm_is_left_out_with_one_press(browser: Browser, club: CourtClub) -> None:
    """After a new pain: no easier one that loads the arm, the reason is the pain, and the end is a press away."""
    context, page = on_court(browser, club)
    begin(page)
    done_as_planned(page)
    page.locator(".oncourt-foot").get_by_role("button", name="Pain", exact=True).click()
    screen = page.locator("#screen")
    for name in ("Somewhere else", "Elbow outside", "Left", "4 of 10", "New"):
        screen.get_by_role("button", name=name, exact=True).click()
    page.locator(".main-action button").click()
    if page.get_by_role("button", name=re.compile("^13, ")).count() == 0:
        page.get_by_text("Rather not today").or_(page.get_by_role("button", name=re.compile("^13, "))).first.wait_for()
    if page.get_by_role("button", name=re.compile("^13, ")).count():
        page.get_by_role("button", name=re.compile("^13, ")).click()
    page.get_by_text("Rather not today").wait_for()
    assert page.get_by_role("button", name="The easier one").count() == 0
    assert page.get_by_role("button", name="End the session").count() == 1
    page.get_by_role("button", name="Leave out all that loads this arm").click()
    page.locator("#screen h1", has_text="How hard was the whole session?").wait_for()
    assert page.get_by_role("button", name="Back to the session").count() == 0, "there is nothing to go back to"
    wait_home(page)
    reasons = {each["reason"] for each in newest_run(club) if each["kind"] == "skipped"}
    assert reasons == {"pain earlier in the session"}
    context.close()
