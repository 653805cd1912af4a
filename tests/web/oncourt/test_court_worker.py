"""The service worker: the page opens without the application, and a new release waits until the session is over."""

from __future__ import annotations

import time
from collections.abc import Callable
from typing import TYPE_CHECKING, Any

from court_engines import new_home, two_devices  # noqa: F401
from court_servers import StandInServer

if TYPE_CHECKING:
    from court_device import Device
    from playwright.sync_api import Page

WITH_WORKER = """
async (running) => {
  window.running = running;
  window.reloads = 0;
  window.fresh = await m.keepPageFresh({ isRunning: () => window.running, reload: () => { window.reloads += 1; } });
  await navigator.serviceWorker.ready;
}
"""
CACHES = "async () => (await caches.keys()).filter((each) => each.startsWith('firstpush-court-')).sort()"
VERSION = """
async () => {
  const { active } = await navigator.serviceWorker.getRegistration("/court/");
  const { port1, port2 } = new MessageChannel();
  const told = new Promise((done) => { port1.onmessage = (event) => done(event.data.version); });
  active.postMessage({ asks: "version" }, [port2]);
  return told;
}
"""
UPDATE = """
async () => {
  const registration = await navigator.serviceWorker.getRegistration("/court/");
  await registration.update();
  const coming = registration.installing ?? registration.waiting;
  if (!coming) return "nothing new";
  const changed = new Promise((done) => coming.addEventListener("statechange", done, { once: true }));
  if (coming.state === "installing") await changed;
  return coming.state;
}
"""


def test_the_page_opens_without_the_application(devices: list[Device], home: StandInServer) -> None:
    """Once opened, page and modules come from the device; what is logged goes home when the application is back."""
    device = devices[0]
    device.start()
    page = device.open(home.url)
    page.evaluate(WITH_WORKER, False)
    until(lambda: page.evaluate("async () => (await (await caches.open('firstpush-court-1')).keys()).length") > 5)
    home.kill()
    offline = device.open(home.url)
    run = offline.evaluate("async () => (await store.startRun({ plan: 1, version: 1, athlete: 7 })).run")
    offline.evaluate("(run) => store.addEntry(run, 'note', { words: 'without signal' })", run)
    assert offline.evaluate("() => box.send()")["phase"] == "waiting"
    home.start()
    assert offline.evaluate("() => box.send()")["phase"] == "home"
    assert [each.get("words") for each in home.entries()] == [None, "without signal"]


def test_nothing_of_anybody_comes_into_the_cache_of_the_page(devices: list[Device], home: StandInServer) -> None:
    """The cache has exactly the listed files, after a token was fetched and entries were sent through the worker."""
    device = devices[0]
    device.start()
    device.open(home.url).evaluate(WITH_WORKER, False)
    page = device.open(home.url)
    page.evaluate("() => store.startRun({ plan: 1, version: 1, athlete: 7 })")
    page.evaluate("() => box.send()")
    source = (
        "async () => (await (await caches.open('firstpush-court-1')).keys()).map((each) => new URL(each.url).pathname)"
    )
    kept = page.evaluate(source)
    assert all(path == "/court/" or path.startswith("/static/oncourt/") for path in kept)
    assert page.evaluate("() => Boolean(navigator.serviceWorker.controller)")


def test_a_page_to_log_in_is_not_kept_as_the_page(devices: list[Device], home: StandInServer) -> None:
    """A release whose page is answered by a redirect is not installed; the one before stays and works."""
    device = devices[0]
    device.start()
    page = device.open(home.url)
    page.evaluate(WITH_WORKER, False)
    home.set("redirects", "")
    home.set("version", "2")
    assert page.evaluate(UPDATE) in ("redundant", "nothing new")
    assert page.evaluate(VERSION) == "1"
    home.kill()
    assert device.open(home.url).evaluate("() => document.title") == "On court"


def test_a_new_release_waits_for_the_end_of_the_session(devices: list[Device], home: StandInServer) -> None:
    """It is fetched in mid-session and does not take over; not while another tab is in one; at the end it does."""
    device = devices[0]
    device.start()
    device.open(home.url).evaluate(WITH_WORKER, False)
    first = device.open(home.url)
    first.evaluate(WITH_WORKER, True)
    page = device.open(home.url)
    page.evaluate(WITH_WORKER, True)
    home.set("version", "2")
    assert page.evaluate(UPDATE) == "installed"
    still_old(page)
    page.evaluate("() => { window.running = false; fresh.check(); }")
    page.wait_for_timeout(700)
    still_old(page)
    first.evaluate("() => { window.running = false; fresh.check(); }")
    first.wait_for_function("() => window.reloads === 1")
    page.wait_for_function("() => window.reloads === 1")
    assert page.evaluate(VERSION) == "2"
    until(lambda: page.evaluate(CACHES) == ["firstpush-court-2"])


def until(holds: Callable[[], bool]) -> None:
    """Wait until something holds."""
    began = time.monotonic()
    while not holds():
        assert time.monotonic() - began < 20, "it did not come to hold"
        time.sleep(0.05)


def still_old(page: Page) -> None:
    """Assert that the release from before is the one in use."""
    told: Any = page.evaluate(VERSION)
    assert told == "1"
    assert page.evaluate(CACHES) == ["firstpush-court-1", "firstpush-court-2"]
    assert page.evaluate("() => window.reloads") == 0
