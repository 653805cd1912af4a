"""Browser and application are killed at random, and every entry that the page had confirmed is at home, once.

Counted are the rows of the application's database against the entries whose promise the page had fulfilled.  A kill is
SIGKILL of the whole browser, or of the application, at a moment that a seeded generator draws.
"""

from __future__ import annotations

import random
import threading
import time
from collections import Counter
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from court_device import Device
from court_engines import playing
from court_servers import Application
from served import CHROMIUM, NO_CHROMIUM

if TYPE_CHECKING:
    from playwright.sync_api import Page

SEED = 20261125
KILLS = 100
"""Of browser and application together, at least."""
ENTRIES = 1000
LONGEST_LIFE_S = 0.8
BOTH = 0.65
"""Share of the lives of the browser in which the application is killed too."""
MOST_AT_ONCE = 60
PAGE = "static/firstpush.css"
"""An address of the application on which no other script runs; the modules come from the application too."""
pytestmark = pytest.mark.skipif(CHROMIUM is None, reason=NO_CHROMIUM)

WORDS_STORED = """
async () => {
  const entries = (await store.texts()).map((each) => JSON.parse(each));
  return entries.filter((each) => each.kind === "note").map((each) => each.words);
}
"""
LOG = """
async ([plan, athlete, first, many, anew]) => {
  let run = (await store.runs()).at(-1)?.run;
  if (!run || anew) ({ run } = await store.startRun({ plan, version: 1, athlete }));
  for (let number = first; number < first + many; number += 1) {
    await store.addEntry(run, "note", { words: String(number) });
    // Only now has the database said that it is written; what is said here is what a person would count on.
    console.debug(`confirmed ${number}`);
    if (number % 3 === 0) await new Promise((done) => setTimeout(done, 12));
  }
  await new Promise(() => {});
}
"""


class Reaper(threading.Thread):
    """Kills the browser, and mostly the application before it, each at its moment; then starts the latter anew.

    Where the application is left alone, it is one that has answered before, and much goes home.
    """

    def __init__(self, application: Application, device: Device, rng: random.Random) -> None:
        super().__init__(daemon=True)
        self.application, self.device = application, device
        self.life_s = rng.uniform(0.05, LONGEST_LIFE_S)
        self.application_life_s = rng.uniform(0.0, self.life_s)
        self.kills_both = rng.random() < BOTH

    def run(self) -> None:
        began = time.monotonic()
        back = threading.Thread(target=self.application.start, daemon=True)
        if self.kills_both:
            time.sleep(self.application_life_s)
            self.application.kill()
            back.start()
        time.sleep(max(0.0, self.life_s - (time.monotonic() - began)))
        self.device.kill()
        if self.kills_both:
            back.join()


def test_a_thousand_entries_and_a_hundred_kills(tmp_path: Path) -> None:
    """Lost 0, doubled 0, gaps 0."""
    began = time.monotonic()
    rng = random.Random(SEED)
    confirmed: set[str] = set()
    kills = kills_of_application = unseen = brought_back = 0
    application = Application(tmp_path / "club")
    application.start()
    cookies = [{"name": name, "value": value, "url": application.url} for name, value in application.login().items()]
    with playing() as playwright:
        device = Device(playwright, tmp_path / "profile")

        def seen(told: str) -> None:
            if told.startswith("confirmed "):
                confirmed.add(told.split()[1])

        def look(page: Page) -> list[str]:
            """Return the notes on the device after a life; what it kept at its last moment is seen only now."""
            nonlocal unseen, brought_back
            stored: list[str] = page.evaluate(WORDS_STORED)
            brought_back += page.evaluate("() => store.restored")
            assert confirmed <= set(stored), "lost on the device"
            assert len(stored) == len(set(stored)), "doubled on the device"
            unseen += len(set(stored) - confirmed)
            confirmed.update(stored)
            return stored

        try:
            while kills + kills_of_application < KILLS or len(confirmed) < ENTRIES:
                device.start()
                page = device.open_when_up(application.url, path=PAGE, cookies=cookies)
                stored = look(page)
                page.on("console", lambda told: seen(told.text))
                given = [application.plan, application.athlete, len(stored), MOST_AT_ONCE, kills % 10 == 0]
                reaper = Reaper(application, device, rng)
                reaper.start()
                device.run_until_killed(page, LOG, given)
                device.forget()
                reaper.join()
                kills += 1
                kills_of_application += reaper.kills_both
            at_home_before_end = len(application.texts())
            device.start()
            page = device.open_when_up(application.url, path=PAGE, cookies=cookies)
            look(page)
            state = page.evaluate("() => box.send()")
            texts = page.evaluate("() => store.texts()")
        finally:
            device.end()
            application.kill()

    entries = application.entries()
    notes = [str(each["words"]) for each in entries if each["kind"] == "note"]
    runs = Counter(str(each["run"]) for each in entries)
    print(
        f"seed {SEED}: {len(confirmed)} entries confirmed, {kills} kills of the browser, {kills_of_application} of the "
        f"application, {len(entries)} rows in {len(runs)} runs, {unseen} kept and not yet seen to be, {brought_back} "
        f"brought back from the second copy, {at_home_before_end} at home before the end, "
        f"{time.monotonic() - began:.0f} s"
    )
    assert len(confirmed) >= ENTRIES
    assert kills + kills_of_application >= KILLS
    assert state["phase"] == "home"
    assert confirmed - set(notes) == set(), "lost"
    assert set(notes) - confirmed == set(), "out of nowhere"
    assert len(notes) == len(set(notes)), "doubled"
    assert len({each["id"] for each in entries}) == len(entries), "doubled"
    for run in runs:
        assert [each["sequence"] for each in entries if each["run"] == run] == list(range(1, runs[run] + 1)), "gap"
    assert sorted(application.texts()) == sorted(texts), "the same letters at home and on the device"
    assert application.set_aside() == 0
