"""A second engine: Firefox is killed at random while it logs and sends, and everything confirmed is at home, once."""

from __future__ import annotations

import random
import threading
import time
from collections import Counter
from contextlib import suppress
from pathlib import Path

import pytest
from court_device import SETUP
from court_servers import stand_in_server
from marionette import FIREFOX, NO_FIREFOX, Firefox, FirefoxGoneError

SEED = 20261125
KILLS = 20
ENTRIES = 200
LONGEST_LIFE_S = 0.5
pytestmark = pytest.mark.skipif(FIREFOX is None, reason=NO_FIREFOX)

WORDS_STORED = """
async () => {
  const entries = (await store.texts()).map((each) => JSON.parse(each));
  return entries.filter((each) => each.kind === "note").map((each) => each.words);
}
"""
LOG_TWO = """
async ([run, first]) => {
  for (const number of [first, first + 1]) await store.addEntry(run, "note", { words: String(number) });
}
"""


def test_two_hundred_entries_and_twenty_kills_of_firefox(tmp_path: Path) -> None:
    """Lost 0, doubled 0, gaps 0: rows of the server against what the page had answered for."""
    rng = random.Random(SEED)
    began = time.monotonic()
    confirmed: set[str] = set()
    kills = brought_back = 0
    with stand_in_server(tmp_path / "home") as server:
        device = Firefox(tmp_path / "profile")
        try:
            while True:
                device.start()
                device.open(f"{server.url}court/")
                device.evaluate(SETUP, [server.url, True])
                stored = device.evaluate(WORDS_STORED)
                assert confirmed <= set(stored), "lost on the device"
                assert len(stored) == len(set(stored)), "doubled on the device"
                brought_back += device.evaluate("() => store.restored")
                confirmed |= set(stored)
                runs = device.evaluate("() => store.runs()")
                run = runs[-1]["run"] if runs else None
                if run is None:
                    run = device.evaluate("async () => (await store.startRun({ plan: 1, version: 1, athlete: 7 })).run")
                number = len(stored)
                if kills == KILLS:
                    while number < ENTRIES:
                        device.evaluate(LOG_TWO, [run, number])
                        confirmed |= {str(number), str(number + 1)}
                        number += 2
                    assert device.evaluate("() => box.send()")["phase"] == "home"
                    texts = device.evaluate("() => store.texts()")
                    break
                killer = threading.Timer(rng.uniform(0.05, LONGEST_LIFE_S), device.kill)
                killer.start()
                with suppress(FirefoxGoneError):
                    while True:
                        device.evaluate(LOG_TWO, [run, number])
                        confirmed |= {str(number), str(number + 1)}
                        number += 2
                killer.join()
                device.end()
                kills += 1
        finally:
            device.end()
        entries = server.entries()
        at_home = server.texts()
    notes = Counter(str(each["words"]) for each in entries if each["kind"] == "note")
    took_s = time.monotonic() - began
    print(f"seed {SEED}: {len(confirmed)} confirmed, {kills} kills, {brought_back} brought back, {took_s:.0f} s")
    assert len(confirmed) >= ENTRIES
    assert set(notes) == confirmed
    assert set(notes.values()) == {1}
    assert [each["sequence"] for each in entries] == list(range(1, len(entries) + 1))
    assert at_home == texts
