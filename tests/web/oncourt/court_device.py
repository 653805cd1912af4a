"""A device with chromium on it: a profile that stays, and a browser process that may be killed at any moment."""

from __future__ import annotations

import os
import signal
import subprocess
import time
from contextlib import suppress
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING, Any

from served import CHROMIUM

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page, Playwright

STARTS_WITHIN_S = 60
OPTIONS = (
    "--headless=new",
    "--no-sandbox",
    "--disable-gpu",
    "--remote-debugging-port=0",
    "--no-first-run",
    "--no-default-browser-check",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-extensions",
    "--disable-sync",
    "--disable-dev-shm-usage",
)

SETUP = """
async ([base, outbox]) => {
  const at = (name) => import(`${base}static/oncourt/${name}.js`);
  window.m = Object.assign({}, ...(await Promise.all(
    ["ids", "entries", "database", "store", "outbox", "eased", "firsttime", "today", "flow", "clockwork", "sound",
      "file", "update"].map(at))));
  window.store = await m.openStore();
  window.box = m.makeOutbox(store);
  if (outbox) box.start();
  return store.counts();
}
"""
"""Load the modules into a page as `m`, open the store, and begin to send when asked to."""


@dataclass
class Device:
    """One device. `pid` belongs to the process group of its browser while it runs."""

    playwright: Playwright
    profile: Path
    process: subprocess.Popen[bytes] | None = None
    browser: Browser | None = None
    pages: list[Page] = field(default_factory=list)

    def start(self) -> None:
        """Start the browser on the profile."""
        assert CHROMIUM is not None
        told = self.profile / "DevToolsActivePort"
        told.unlink(missing_ok=True)
        self.profile.mkdir(parents=True, exist_ok=True)
        for left in self.profile.glob("Singleton*"):
            left.unlink()
        self.process = subprocess.Popen(
            [CHROMIUM, *OPTIONS, f"--user-data-dir={self.profile}", "about:blank"],
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
            start_new_session=True,
        )
        began = time.monotonic()
        while not (told.exists() and told.read_text().count("\n") >= 1):
            assert time.monotonic() - began < STARTS_WITHIN_S, "chromium did not start"
            assert self.process.poll() is None, "chromium ended at its start"
            time.sleep(0.01)
        port = told.read_text().splitlines()[0]
        self.browser = self.playwright.chromium.connect_over_cdp(f"http://127.0.0.1:{port}")

    def open(self, url: str, *, outbox: bool = False, path: str = "court/", setup: bool = True) -> Page:
        """Open a page of the application with the modules loaded."""
        assert self.browser is not None
        page = self.browser.contexts[0].new_page()
        page.goto(url + path)
        if setup:
            page.evaluate(SETUP, [url, outbox])
        self.pages.append(page)
        return page

    def open_when_up(self, url: str, *, path: str, cookies: list[dict[str, str]]) -> Page:
        """Open a page with the modules and a sending outbox, as often as it takes: the application may be away now."""
        from playwright.sync_api import Error

        assert self.browser is not None
        self.browser.contexts[0].add_cookies(cookies)  # type: ignore[arg-type]
        began = time.monotonic()
        page = self.browser.contexts[0].new_page()
        while True:
            try:
                page.goto(url + path)
                page.evaluate(SETUP, [url, True])
            except Error:
                assert time.monotonic() - began < STARTS_WITHIN_S, "the application does not come back"
                time.sleep(0.1)
            else:
                return page

    @staticmethod
    def run_until_killed(page: Page, source: str, given: Any) -> None:
        """Run a function in the page that only the end of the browser ends."""
        from playwright.sync_api import Error

        with suppress(Error):
            page.evaluate(source, given)
            raise AssertionError("the browser was to be killed")

    def kill(self) -> None:
        """End the browser with everything that belongs to it, at once."""
        if self.process is not None:
            os.killpg(self.process.pid, signal.SIGKILL)
            self.process.wait()
            self.process = None

    def forget(self) -> None:
        """Let go of what Playwright still holds of a killed browser."""
        from playwright.sync_api import Error

        self.pages.clear()
        if self.browser is not None:
            with suppress(Error):
                self.browser.close()
            self.browser = None

    def end(self) -> None:
        """Kill and forget."""
        self.kill()
        self.forget()
