"""Whatever happens, in whatever order: what is at home is what the page had confirmed, no more and no less.

A state machine logs, corrects, undoes, sends, lets answers go lost, kills browser and server, logs out, and carries
files; hypothesis looks for an order in which something is lost or doubled.
"""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pytest
from court_device import Device
from court_engines import playing
from court_servers import StandInServer, stand_in_server
from hypothesis import HealthCheck, Phase, seed, settings
from hypothesis import strategies as st
from hypothesis.stateful import (
    RuleBasedStateMachine,
    initialize,
    invariant,
    precondition,
    rule,
    run_state_machine_as_test,
)
from served import CHROMIUM, NO_CHROMIUM

SEED = 20261125
EXAMPLES = 14
STEPS = 16
MOST_KILLS = 2
"""In one example: a browser takes a second to start."""
pytestmark = pytest.mark.skipif(CHROMIUM is None, reason=NO_CHROMIUM)

SEND_ONCE = "() => { box.failures = 0; return box.send().then((state) => { clearTimeout(box.timer); return state; }); }"


class Place:
    """One device, and one application with a new folder for each example."""

    def __init__(self, device: Device, folder: Path) -> None:
        self.device, self.folder = device, folder
        self.examples = 0
        self.seen: Counter[str] = Counter()
        self.server: StandInServer

    @contextmanager
    def anew(self) -> Iterator[None]:
        self.examples += 1
        with stand_in_server(self.folder / f"home {self.examples}") as self.server:
            yield


def machine(place: Place) -> type[RuleBasedStateMachine]:
    """Return the machine at a place; hypothesis makes one anew for each example."""

    class Court(RuleBasedStateMachine):
        @initialize()
        def begin(self) -> None:
            self.around = place.anew()
            self.around.__enter__()
            self.confirmed: dict[str, dict[str, Any]] = {}
            self.files: list[str] = []
            self.kills = 0
            self.page = self.opened()
            # Another port is another origin: the device begins empty.
            assert self.page.evaluate("() => store.counts()") == {"onDevice": 0, "notHome": 0}
            started = self.page.evaluate("() => store.startRun({ plan: 1, version: 1, athlete: 7 })")
            self.run_id: str = started["run"]
            self.confirm(started["entry"])

        def opened(self) -> Any:
            if place.device.process is None:
                place.device.start()
            return place.device.open(place.server.url)

        def confirm(self, entry: dict[str, Any]) -> None:
            assert entry["id"] not in self.confirmed
            self.confirmed[entry["id"]] = entry

        def add(self, kind: str, values: dict[str, Any]) -> None:
            place.seen[kind] += 1
            given = [self.run_id, kind, values]
            self.confirm(self.page.evaluate("([run, kind, values]) => store.addEntry(run, kind, values)", given))

        @rule(words=st.text(min_size=1, max_size=40))
        def log(self, words: str) -> None:
            self.add("note", {"words": words})

        @rule(data=st.data())
        def correct(self, data: st.DataObject) -> None:
            before = data.draw(st.sampled_from(sorted(self.confirmed)))
            self.add("effort", {"effort_6_20": 13, "part": "strength", "corrects": before})

        @rule(data=st.data())
        def undo(self, data: st.DataObject) -> None:
            self.add("undo", {"corrects": data.draw(st.sampled_from(sorted(self.confirmed)))})

        @rule()
        def send(self) -> None:
            place.seen["send"] += 1
            state = self.page.evaluate(SEND_ONCE)
            assert state["phase"] == ("login" if self.is_out and state["counts"]["notHome"] else "home")

        @rule()
        def send_and_lose_the_answer(self) -> None:
            place.seen["lost answer"] += 1
            place.server.set("drop", "")
            self.page.evaluate(SEND_ONCE)
            place.server.set("drop", None)

        @rule()
        def log_out(self) -> None:
            place.seen["log out"] += 1
            place.server.set("logged-out", "")

        @rule()
        def log_in(self) -> None:
            place.server.set("logged-out", None)

        @precondition(lambda self: self.kills < MOST_KILLS)
        @rule(while_it_logs=st.booleans(), server=st.booleans())
        def kill(self, while_it_logs: bool, server: bool) -> None:
            place.seen["kill"] += 1
            self.kills += 1
            if while_it_logs:
                # Nobody waits for this one: it may be kept or not, and nothing was confirmed.
                given = [self.run_id, "note", {"words": "cut off"}]
                self.page.evaluate("([run, kind, values]) => void store.addEntry(run, kind, values)", given)
            place.device.kill()
            place.device.forget()
            if server:
                place.server.kill()
                place.server.start()
            self.page = self.opened()
            for entry in self.page.evaluate("(run) => store.entriesOf(run)", self.run_id):
                if entry["id"] not in self.confirmed:
                    assert entry["words"] == "cut off", "nothing comes out of nowhere"
                    self.confirm(entry)

        @rule()
        def give_out_a_file(self) -> None:
            self.files.append(self.page.evaluate("async () => m.fileOfEntries(await store.texts())"))

        @precondition(lambda self: self.files)
        @rule(data=st.data())
        def take_a_file_in(self, data: st.DataObject) -> None:
            place.seen["file"] += 1
            content = data.draw(st.sampled_from(self.files))
            done = self.page.evaluate("(content) => store.takeIn(m.entriesOfFile(content))", content)
            assert (done["added"], done["conflicts"]) == ([], []), "all of it was here already"
            assert len(done["known"]) == len(json.loads(content)["entries"])

        @property
        def is_out(self) -> bool:
            return (place.server.folder / "logged-out").exists()

        @invariant()
        def what_is_shown_is_true(self) -> None:
            counts = self.page.evaluate("() => store.counts()")
            there = {str(each["id"]) for each in place.server.entries()}
            assert counts["onDevice"] == len(self.confirmed)
            assert there <= set(self.confirmed)
            assert counts["notHome"] >= len(set(self.confirmed) - there), "never called at home before it is"

        def teardown(self) -> None:
            if not hasattr(self, "page"):
                return
            place.server.set("logged-out", None)
            state = self.page.evaluate(SEND_ONCE)
            texts = place.server.texts()
            assert state["phase"] == "home"
            assert [json.loads(each) for each in texts] == sorted(
                self.confirmed.values(), key=lambda each: each["sequence"]
            )
            assert [json.loads(each)["sequence"] for each in texts] == list(range(1, len(self.confirmed) + 1))
            assert texts == self.page.evaluate("() => store.texts()")
            self.page.close()
            self.around.__exit__(None, None, None)

    return Court


def test_the_application_has_what_the_page_confirmed(tmp_path: Path) -> None:
    """Set and letters are the same after every order of events that was tried."""
    with playing() as playwright:
        place = Place(Device(playwright, tmp_path / "profile"), tmp_path)
        try:
            wanted = settings(
                max_examples=EXAMPLES,
                stateful_step_count=STEPS,
                deadline=None,
                database=None,
                phases=(Phase.generate,),
                suppress_health_check=list(HealthCheck),
            )
            run_state_machine_as_test(seed(SEED)(machine(place)), settings=wanted)
        finally:
            place.device.end()
    print(f"seed {SEED}: {place.examples} sessions, {dict(place.seen)}")
    assert {"note", "effort", "undo", "send", "lost answer", "log out", "kill", "file"} <= set(place.seen)
