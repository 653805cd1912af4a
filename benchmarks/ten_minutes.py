"""How long a newcomer takes from the README to a printed session for an athlete of their own: reckoned, and where.

The way is gone in a real browser, in the demo club. What the hands do is reckoned by the keystroke-level model (Card,
Moran and Newell 1980, Communications of the ACM 23:396-410): a key 0.28 s, a pointing 1.1 s, a click 0.2 s, a hand to
the mouse or back 0.4 s, and 1.35 s of thought before each field or press. What is read is reckoned at 238 words a
minute, silent reading of non-fiction (Brysbaert 2019, Journal of Memory and Language 109:104047): every word that is
visible at that step, though few people read all. A drawing is looked at for 4 s (our own assumption). What the
computer takes is measured. An expert's model on a newcomer's way: what it cannot know is where somebody hesitates, so
each page is given another 5 s to look round (our own assumption).

Run it with `uv run python benchmarks/ten_minutes.py`; it needs chromium.
"""

from __future__ import annotations

import re
import signal
import subprocess
import sys
import tempfile
import time
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING
from urllib.parse import urljoin

from playwright.sync_api import sync_playwright

if TYPE_CHECKING:
    from playwright.sync_api import Locator, Page

KEY_S, POINT_S, CLICK_S, HOME_S, THINK_S = 0.28, 1.10, 0.20, 0.40, 1.35
WORDS_A_MINUTE = 238
DRAWING_S = 4.0
LOOK_ROUND_S = 5.0
LONG_MS = 120_000
CODE = "from firstpush.cli import main; main()"
README = Path(__file__).parents[1] / "README.md"
COMMAND = "uv run firstpush demo"

SHOWN_WORDS = """box => {
  const count = text => text.split(/\\s+/).filter(Boolean).length;
  const shown = [...box.querySelectorAll(".only-heard, svg, option:not(:checked)")].filter(
    each => (each.closest("select") ?? each).checkVisibility());
  return count(box.innerText) - shown.reduce((sum, each) => sum + count(each.innerText ?? each.textContent), 0);
}"""
"""Words that an eye can read: not what is only heard, not the entries of a list that are not chosen, and no scale."""
VISIBLE_DRAWINGS = """box => [...box.querySelectorAll("img, svg")].filter(each => {
  const { width, height } = each.getBoundingClientRect();
  return width > 90 && height > 60 && each.checkVisibility();
}).length"""


@dataclass(kw_only=True)
class Step:
    """One step of the way, and what it costs [s]."""

    name: str
    hands_s: float = 0.0
    read_s: float = 0.0
    words: int = 0
    drawings: int = 0
    waited_s: float = 0.0

    @property
    def total_s(self) -> float:
        """All that it costs [s]."""
        return self.hands_s + self.read_s + self.waited_s


@dataclass
class Newcomer:
    """Somebody at the computer: does what a page asks, and keeps how long it takes."""

    page: Page
    steps: list[Step] = field(default_factory=list)

    def begin(self, name: str) -> None:
        """Come to another page."""
        self.steps.append(Step(name=name, read_s=LOOK_ROUND_S))

    def read(self, where: Locator) -> None:
        """Read every visible word, and look at every drawing."""
        self.read_words(where.evaluate(SHOWN_WORDS))
        drawings = where.evaluate(VISIBLE_DRAWINGS)
        self.steps[-1].drawings += drawings
        self.steps[-1].read_s += drawings * DRAWING_S

    def read_words(self, words: int) -> None:
        """Read so many words."""
        self.steps[-1].words += words
        self.steps[-1].read_s += words * 60 / WORDS_A_MINUTE

    def press(self, target: Locator) -> None:
        """Think, point and click, and wait for the page that may come of it."""
        began = time.monotonic()
        target.click()
        self.wait(time.monotonic() - began)
        self.steps[-1].hands_s += THINK_S + POINT_S + CLICK_S

    def tick(self, target: Locator) -> None:
        """Think, point and tick."""
        target.check()
        self.steps[-1].hands_s += THINK_S + POINT_S + CLICK_S

    def write(self, target: Locator, text: str) -> None:
        """Think, click into the field, type, and go back to the mouse."""
        target.fill(text)
        self.type_keys(text)
        self.steps[-1].hands_s += POINT_S + CLICK_S + HOME_S

    def type_keys(self, text: str) -> None:
        """Think, go to the keys and type."""
        self.steps[-1].hands_s += THINK_S + HOME_S + KEY_S * len(text)

    def choose(self, target: Locator, **option: str) -> None:
        """Open a list and take an entry."""
        target.select_option(**option)
        self.steps[-1].hands_s += THINK_S + 2 * (POINT_S + CLICK_S)

    def wait(self, seconds: float) -> None:
        """Wait for the computer."""
        self.steps[-1].waited_s += seconds


def start_demo(folder: Path) -> tuple[subprocess.Popen[str], str, float]:
    """Start the demo; return the process, what it printed, and how long it took to be ready [s]."""
    began = time.monotonic()
    process = subprocess.Popen(
        [sys.executable, "-c", CODE, "demo", "--folder", str(folder), "--port", "0", "--no-browser"],
        stdout=subprocess.PIPE,
        stderr=subprocess.DEVNULL,
        text=True,
    )
    assert process.stdout is not None
    printed = ""
    while "/arrive/" not in printed:
        line = process.stdout.readline()
        if not line:
            raise SystemExit("the demo ended before it was ready")
        printed += line
    return process, printed, time.monotonic() - began


def go(page: Page, printed: str, ready_s: float, *, level: str, trunk: str) -> list[Step]:
    """Go the whole way, from the README to the printed sheet, for an athlete with this injury and trunk control."""
    person = Newcomer(page)
    address = re.search(r"http://\S+/", printed)
    arriving = re.search(r"http://\S+/arrive/\S+", printed)
    assert address
    assert arriving

    person.begin("the README, up to its command")
    person.read_words(len(README.read_text(encoding="utf-8").split(COMMAND)[0].split()))
    person.type_keys(f"pip install uv && {COMMAND}")
    person.wait(ready_s)

    # The browser opens by itself, on the page that is looked at next.
    person.steps.append(Step(name="arrive"))
    began = time.monotonic()
    page.goto(arriving[0])
    page.wait_for_url(address[0])
    person.wait(time.monotonic() - began)

    person.begin("the training day: where to go")
    menu = page.get_by_role("navigation", name="Pages")
    person.read(menu)
    person.press(menu.get_by_role("link", name="Athletes"))
    person.press(page.get_by_role("link", name="New athlete"))

    person.begin("the new athlete")
    page.get_by_label("Name", exact=True).wait_for()
    person.read(page.locator("main"))
    person.write(page.get_by_label("Name", exact=True), "Ilse Tarn")
    person.write(page.get_by_label("Mass, kg"), "64")
    person.write(page.get_by_label("Arm span, m"), "1.71")
    person.choose(page.get_by_label("Level of the spinal cord injury"), label=level)
    person.tick(page.get_by_role("group", name="Missing limbs").get_by_label("none of these"))
    person.tick(page.get_by_role("group", name="Health conditions").get_by_label("none of these"))
    person.tick(page.get_by_role("group", name="Trunk control").get_by_label(trunk, exact=True))
    person.tick(page.get_by_role("group", name="Grip").get_by_label("full"))
    person.tick(page.get_by_role("group", name="Spasticity").get_by_label("none"))
    person.tick(page.get_by_role("group", name="Latex").get_by_label("tolerated"))
    person.tick(page.get_by_role("group", name="Pain today").get_by_label("no pain"))
    person.press(page.get_by_role("button", name="Add, and make a session"))

    person.begin("what session it shall be")
    page.get_by_label("Kind of session").wait_for()
    person.read(page.locator("main"))
    person.choose(page.get_by_label("Kind of session"), value="before training")
    person.write(page.get_by_label("Minutes"), "15")
    person.press(page.get_by_role("button", name="Make the session"))
    began = time.monotonic()
    page.wait_for_url(re.compile(r"/sessions/\d+/$"))
    person.wait(time.monotonic() - began)

    person.begin("the session: every reason and every drawing")
    page.wait_for_load_state()
    person.read(page.locator("main"))
    items = page.get_by_role("link", name=re.compile("^Change by hand"))
    for place in range(items.count()):
        if place:
            page.wait_for_url(re.compile(r"/sessions/\d+/$"))
        items.nth(place).click()
        offers = page.get_by_role("button", name=re.compile("^Take it"))
        page.wait_for_load_state()
        if offers.count() and offers.first.is_visible():
            break
        page.go_back()
    person.press(page.locator("h1"))

    person.begin("one exercise: what could stand in its place")
    person.read(page.locator("main"))
    person.press(offers.first)
    began = time.monotonic()
    page.get_by_role("heading", name=re.compile("^Changed against version")).wait_for()
    person.wait(time.monotonic() - began)

    person.begin("what the change changed")
    person.read(page.locator(".changes"))
    print_it = page.get_by_role("link", name="Print the athlete’s sheet")
    person.press(page.locator("h1"))
    began = time.monotonic()
    answer = page.request.get(urljoin(page.url, print_it.get_attribute("href")), timeout=LONG_MS)
    assert answer.body().startswith(b"%PDF-")
    person.wait(time.monotonic() - began)
    return person.steps


ATHLETES = (("L2", "full"), ("T6", "none"))
"""Level of the injury and trunk control: somebody of whom little must be said, and somebody of whom much must."""


def main() -> None:
    """Go the way once for each of `ATHLETES`, and print what each step takes."""
    for level, trunk in ATHLETES:
        print(f"an athlete with an injury at {level}, trunk control {trunk}")
        _gone(level, trunk)


def _gone(level: str, trunk: str) -> None:
    with tempfile.TemporaryDirectory() as scratch, sync_playwright() as playwright:
        process, printed, ready_s = start_demo(Path(scratch) / "club")
        try:
            browser = playwright.chromium.launch(executable_path="/usr/bin/chromium", args=["--no-sandbox"])
            page = browser.new_page(viewport={"width": 1280, "height": 800})
            page.set_default_timeout(LONG_MS)
            steps = go(page, printed, ready_s, level=level, trunk=trunk)
            browser.close()
        finally:
            process.send_signal(signal.SIGTERM)
            process.wait(timeout=20)
    print(f"{'step':46s} {'words':>6s} {'drawn':>6s} {'read s':>7s} {'hands s':>8s} {'waited s':>9s} {'all s':>6s}")
    for each in [*steps, _sum(steps)]:
        print(
            f"{each.name:46s} {each.words:6d} {each.drawings:6d} {each.read_s:7.0f} {each.hands_s:8.0f}"
            f" {each.waited_s:9.1f} {each.total_s:6.0f}"
        )


def _sum(steps: list[Step]) -> Step:
    return Step(
        name="all together",
        **{
            name: sum(getattr(each, name) for each in steps)
            for name in ("hands_s", "read_s", "words", "drawings", "waited_s")
        },
    )


if __name__ == "__main__":
    main()
