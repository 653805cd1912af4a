"""What happens to devices: two tabs, two devices, a wrong clock, no room, a login that ran out, a lost database."""

from __future__ import annotations

import json
import shutil
from collections import Counter
from typing import TYPE_CHECKING, Any

from court_device import SETUP
from court_engines import new_home, two_devices  # noqa: F401
from court_servers import StandInServer

if TYPE_CHECKING:
    from court_device import Device
    from playwright.sync_api import Page

START = "async () => (await store.startRun({ plan: 1, version: 1, athlete: 7 })).run"
ADD = "([run, words]) => store.addEntry(run, 'note', { words })"
ADD_MANY = """
async ([run, first, many]) => {
  for (let number = first; number < first + many; number += 1) {
    await store.addEntry(run, "note", { words: String(number) });
  }
}
"""
WRONG_CLOCK = """
() => {
  const Right = Date;
  window.ahead = 9 * 86400000;
  window.Date = class extends Right {
    constructor(...given) {
      super(...(given.length ? given : [Date.now()]));
    }
    static now() {
      return Right.now() + window.ahead;
    }
  };
}
"""
SEND = "() => box.send()"
COUNTS = "() => store.counts()"


def sequences(server: StandInServer) -> dict[str, list[Any]]:
    """Return the sequence numbers at home, by run."""
    found: dict[str, list[Any]] = {}
    for each in server.entries():
        found.setdefault(str(each["run"]), []).append(each["sequence"])
    return found


def together(pages: list[Page], source: str, given: list[Any]) -> list[Any]:
    """Run something in several pages at the same time."""
    begun = "([source, given]) => { window.result = (0, eval)(source)(given); }"
    for page, each in zip(pages, given, strict=True):
        page.evaluate(begun, [source, each])
    return [page.evaluate("() => window.result") for page in pages]


def test_two_tabs_log_into_one_run(devices: list[Device], home: StandInServer) -> None:
    """At the same time, both sending: 1 to 121 without gap, each once; both tabs show the same count at the end."""
    device = devices[0]
    device.start()
    first = device.open(home.url, outbox=True)
    run = first.evaluate(START)
    second = device.open(home.url, outbox=True)
    together([first, second], ADD_MANY, [[run, 0, 60], [run, 1000, 60]])
    together([first, second], SEND, [None, None])
    assert sequences(home) == {run: list(range(1, 122))}
    words = Counter(each.get("words") for each in home.entries())
    assert words == Counter([None, *map(str, range(60)), *map(str, range(1000, 1060))])
    second.wait_for_function("() => store.counts().onDevice === 121 && store.counts().notHome === 0")
    first.wait_for_function("() => store.counts().onDevice === 121 && store.counts().notHome === 0")


def test_one_tab_hears_what_another_logs(devices: list[Device], home: StandInServer) -> None:
    """The count is true in a tab that did nothing."""
    device = devices[0]
    device.start()
    first, second = device.open(home.url), device.open(home.url)
    run = first.evaluate(START)
    first.evaluate(ADD, [run, "x"])
    second.wait_for_function("() => store.counts().onDevice === 2 && store.counts().notHome === 2")


def test_without_locks_a_lease_lets_one_tab_send(devices: list[Device], home: StandInServer) -> None:
    """A browser without Web Locks: while another tab holds the lease nothing is sent, and after it everything is."""
    device = devices[0]
    device.start()
    page = device.open(home.url)
    run = page.evaluate(START)
    page.evaluate(ADD_MANY, [run, 0, 5])
    page.evaluate("() => { box = m.makeOutbox(store, { locks: null }); }")
    held = "(until) => store.keepSetting('sending', { holder: 'other tab', untilMs: Date.now() + until })"
    page.evaluate(held, 20_000)
    assert page.evaluate(SEND)["phase"] == "waiting"
    assert home.texts() == []
    page.evaluate(held, -1)
    assert page.evaluate(SEND)["phase"] == "home"
    assert len(home.texts()) == 6
    page.evaluate(ADD, [run, "later"])
    page.evaluate(held, 9e9)
    assert page.evaluate(SEND)["phase"] == "home", "a lease of a clock that was wrong binds nobody"
    assert page.evaluate("() => store.setting('sending')") is None


def test_two_devices_with_a_run_each(devices: list[Device], home: StandInServer) -> None:
    """One athlete each, both numbered from 1: nothing is mixed up, and each has its own athlete."""
    runs = []
    for athlete, device in enumerate(devices, 7):
        device.start()
        page = device.open(home.url)
        started = page.evaluate("(athlete) => store.startRun({ plan: athlete, version: 1, athlete })", athlete)
        runs.append(started["run"])
        page.evaluate(ADD_MANY, [started["run"], 0, 25])
    for device in devices:
        assert device.pages[0].evaluate(SEND)["phase"] == "home"
    assert sequences(home) == {run: list(range(1, 27)) for run in sorted(runs)}
    assert Counter(each["athlete"] for each in home.entries()) == {7: 26, 8: 26}


def test_a_correction_cannot_reach_another_athlete(devices: list[Device], home: StandInServer) -> None:
    """Two athletes on one tablet: an entry of one cannot be undone in the run of the other."""
    device = devices[0]
    device.start()
    page = device.open(home.url)
    of_seven = page.evaluate("() => store.startRun({ plan: 1, version: 1, athlete: 7 })")
    of_eight = page.evaluate("() => store.startRun({ plan: 2, version: 1, athlete: 8 })")
    said = page.evaluate(
        "([run, corrects]) => store.addEntry(run, 'undo', { corrects }).catch((error) => error.name)",
        [of_eight["run"], of_seven["entry"]["id"]],
    )
    assert said == "EntryRefused"
    assert page.evaluate(COUNTS)["onDevice"] == 2
    assert (
        page.evaluate("() => store.addEntry('no such run', 'note', { words: 'x' }).catch((error) => error.kind)")
        == "unknown run"
    )


def test_a_clock_that_is_wrong_by_days(devices: list[Device], home: StandInServer) -> None:
    """Nine days ahead, then two behind, in the middle of a run: order and numbers stay, times are as they were told."""
    device = devices[0]
    device.start()
    page = device.open(home.url)
    page.evaluate(WRONG_CLOCK)
    run = page.evaluate(START)
    page.evaluate(ADD_MANY, [run, 0, 5])
    page.evaluate("() => { window.ahead = -2 * 86400000; }")
    page.evaluate(ADD_MANY, [run, 5, 5])
    assert page.evaluate(SEND)["phase"] == "home"
    entries = home.entries()
    assert [each["sequence"] for each in entries] == list(range(1, 12))
    assert [each["words"] for each in entries[1:]] == [str(number) for number in range(10)]
    assert str(entries[0]["at"]) > str(entries[-1]["at"])
    assert len({each["id"] for each in entries}) == 11


def test_a_device_without_room_says_so_and_keeps_what_was_confirmed(devices: list[Device], home: StandInServer) -> None:
    """The entry that has no room is refused in words and not counted; the same one is kept once there is room again."""
    device = devices[0]
    device.start()
    page = device.open(home.url, setup=False)
    session = page.context.new_cdp_session(page)
    origin = home.url.rstrip("/")
    # Before the first write: the browser looks at the room again only after it has used up what it last saw.
    session.send("Storage.overrideQuotaForOrigin", {"origin": origin, "quotaSize": 60_000})
    page.evaluate(SETUP, [home.url, False])
    run = page.evaluate(START)
    long = "x" * 500
    fill = """
    async ([run, words]) => {
      for (let number = 0; number < 400; number += 1) {
        try {
          await store.addEntry(run, "note", { words });
        } catch (error) {
          return [number, error.kind, error.message];
        }
      }
    }
    """
    kept, kind, words = page.evaluate(fill, [run, long])
    assert kind == "full"
    assert "no room" in words
    assert page.evaluate(COUNTS)["onDevice"] == kept + 1
    session.send("Storage.overrideQuotaForOrigin", {"origin": origin})
    page.evaluate(ADD, [run, "after"])
    assert page.evaluate(SEND)["phase"] == "home"
    assert sequences(home) == {run: list(range(1, kept + 3))}
    assert home.entries()[-1]["words"] == "after"


def test_a_login_that_ran_out_loses_nothing(devices: list[Device], home: StandInServer) -> None:
    """401 in between: everything stays, the page says to log in again, logging goes on; afterwards all goes home."""
    device = devices[0]
    device.start()
    page = device.open(home.url)
    run = page.evaluate(START)
    page.evaluate(ADD_MANY, [run, 0, 3])
    assert page.evaluate(SEND)["phase"] == "home"
    home.set("logged-out", "")
    page.evaluate(ADD_MANY, [run, 3, 3])
    state = page.evaluate(SEND)
    assert (state["phase"], state["counts"]["notHome"]) == ("login", 3)
    assert "Log in again" in state["words"]
    page.evaluate(ADD, [run, "while logged out"])
    home.set("logged-out", None)
    assert page.evaluate(SEND)["phase"] == "home"
    assert sequences(home) == {run: list(range(1, 9))}


def test_each_run_goes_home_with_the_link_it_was_opened_with(devices: list[Device], home: StandInServer) -> None:
    """Two links and a login on one phone; a link that was withdrawn is replaced by the login that is there."""
    device = devices[0]
    device.start()
    page = device.open(home.url)
    start = "([plan, link]) => store.startRun({ plan, version: 1, athlete: plan }, { link })"
    begun = {link: page.evaluate(start, [plan, link]) for plan, link in enumerate((None, "link one", "withdrawn"), 1)}
    for each in begun.values():
        page.evaluate(ADD, [each["run"], "x"])
    assert page.evaluate(SEND)["phase"] == "home"
    came = home.links()
    assert [came[begun[link]["entry"]["id"]] for link in begun] == [None, "link one", None]
    assert len(came) == 6


def test_what_is_reported_is_sent_again_for_another_person(devices: list[Device], home: StandInServer) -> None:
    """A conflict stays on the device and is told with its reason; it is not sent without end, nor called at home."""
    device = devices[0]
    device.start()
    page = device.open(home.url)
    run = page.evaluate(START)
    page.evaluate(ADD, [run, "here"])
    texts = page.evaluate("() => store.texts()")
    entry = json.loads(texts[1])
    other = json.dumps({**entry, "words": "there"}, separators=(",", ":"), ensure_ascii=False)
    there = """
    async ([base, text]) => {
      const body = JSON.stringify({ entries: [text] });
      await fetch(`${base}court/entries/`, { method: "POST", headers: { "X-CSRFToken": "t0" }, body });
    }
    """
    page.evaluate(there, [home.url, other])
    state = page.evaluate(SEND)
    assert (state["phase"], state["counts"]["notHome"]) == ("reported", 1)
    [told] = page.evaluate("() => store.reported()")
    assert (told["id"], told["state"], told["why"], told["home"]) == (entry["id"], "conflict", "taken", False)
    assert page.evaluate("() => store.waiting()") == []
    home.set("who", "colleague")
    page.evaluate(ADD, [run, "next"])
    page.evaluate(SEND)
    assert page.evaluate("() => store.setting('who')") == "colleague"
    assert len(home.texts()) == 3


def test_a_database_that_the_browser_threw_away_is_brought_back(devices: list[Device], home: StandInServer) -> None:
    """With IndexedDB gone, entries, run, link and package come out of the second copy, letter by letter."""
    device = devices[0]
    device.start()
    page = device.open(home.url)
    started = page.evaluate("() => store.startRun({ plan: 1, version: 1, athlete: 7 }, { link: 'link one' })")
    page.evaluate(ADD_MANY, [started["run"], 0, 30])
    page.evaluate("() => store.keepPackage({ plan: 1, version: 1, title: 'Before training' })")
    before = page.evaluate("() => store.texts()")
    device.end()
    shutil.rmtree(device.profile / "Default" / "IndexedDB")
    device.start()
    page = device.open(home.url)
    assert page.evaluate(COUNTS) == {"onDevice": 31, "notHome": 31}
    assert page.evaluate("() => store.texts()") == before
    assert page.evaluate("() => store.restored") == 31
    assert page.evaluate("() => store.packageOf(1, 1)") == {"plan": 1, "version": 1, "title": "Before training"}
    page.evaluate(ADD, [started["run"], "after"])
    assert page.evaluate(SEND)["phase"] == "home"
    assert sequences(home) == {started["run"]: list(range(1, 33))}
    assert set(home.links().values()) == {"link one"}


def test_a_browser_without_a_database_says_so(devices: list[Device], home: StandInServer) -> None:
    """In memory: the same calls, numbered and sent the same; the page is told that nothing outlasts it."""
    device = devices[0]
    device.start()
    page = device.open(home.url)
    page.evaluate(
        "async () => { window.store = await m.openStore({ name: 'none', factory: null }); box = m.makeOutbox(store); }"
    )
    assert page.evaluate("() => [store.lasting, store.words.includes('file')]") == [False, True]
    run = page.evaluate(START)
    page.evaluate(ADD_MANY, [run, 0, 12])
    assert page.evaluate("(run) => store.addEntry(run, 'hug', {}).catch((error) => error.name)", run) == "EntryRefused"
    assert page.evaluate(COUNTS) == {"onDevice": 13, "notHome": 13}
    assert page.evaluate(SEND)["phase"] == "home"
    assert sequences(home) == {run: list(range(1, 14))}


def test_a_run_goes_from_the_device_only_when_it_is_home_and_old(devices: list[Device], home: StandInServer) -> None:
    """Not before it has ended, not within 14 days, not with an entry that is not at home; then with its copies."""
    device = devices[0]
    device.start()
    page = device.open(home.url)
    clean = "([run, days]) => store.cleanAway(run, Date.now() + days * 86400000)"
    run = page.evaluate(START)
    page.evaluate(SEND)
    assert page.evaluate(clean, [run, 99]) is False, "it has not ended"
    ended = page.evaluate("(run) => store.addEntry(run, 'ended', { minutes: 16 })", run)
    assert page.evaluate(clean, [run, 99]) is False, "it is not at home"
    page.evaluate(SEND)
    assert page.evaluate(clean, [run, 13.9]) is False
    undone = "([run, corrects]) => store.addEntry(run, 'undo', { corrects })"
    taken_back = page.evaluate(undone, [run, ended["id"]])
    page.evaluate(SEND)
    assert page.evaluate(clean, [run, 99]) is False, "its end was undone"
    page.evaluate(undone, [run, taken_back["id"]])
    page.evaluate(SEND)
    assert page.evaluate(clean, [run, 14.1]) is True
    assert page.evaluate("async () => [store.counts(), await store.runs(), await store.second.keys('')]") == [
        {"onDevice": 0, "notHome": 0}, [], [],
    ]  # fmt: skip
    assert len(home.texts()) == 4, "and nothing of it from home"
