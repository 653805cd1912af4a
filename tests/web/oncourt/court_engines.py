"""The modules of on court in a browser, in two engines, and the stand-in of the application that they talk to.

A test module imports the fixtures that it uses: ``an_engine`` is "engine", ``new_home`` is "home", ``two_devices`` is
"devices".
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Any, Protocol

import pytest
from court_device import SETUP, Device
from court_servers import StandInServer, stand_in_server
from marionette import FIREFOX, NO_FIREFOX, Firefox
from one_playwright import the_playwright
from served import CHROMIUM, NO_CHROMIUM

if TYPE_CHECKING:
    from django.test import Client
    from playwright.sync_api import Playwright

# Tests import these from "conftest", which is whichever file of that name was read last.
LOGIN_BACKEND = "allauth.account.auth_backends.AuthenticationBackend"
Visit = Callable[[str], "Client"]


class Engine(Protocol):
    """What runs a function in a page with the modules loaded as `m`."""

    def evaluate(self, source: str, given: Any = None) -> Any: ...


@contextmanager
def playing() -> Iterator[Playwright]:
    """Lend the one Playwright of this process."""
    yield the_playwright()


@pytest.fixture(name="engine", scope="module", params=["chromium", "firefox"])
def an_engine(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Engine]:
    """Return a page with the modules loaded, in each engine that is installed."""
    folder: Path = tmp_path_factory.mktemp("engine")
    with stand_in_server(folder / "home") as server:
        if request.param == "firefox":
            if FIREFOX is None:
                pytest.skip(NO_FIREFOX)
            firefox = Firefox(folder / "profile")
            try:
                firefox.start()
                firefox.open(f"{server.url}court/")
                firefox.evaluate(SETUP, [server.url, False])
                yield firefox
            finally:
                firefox.end()
            return
        if CHROMIUM is None:
            pytest.skip(NO_CHROMIUM)
        with playing() as playwright:
            device = Device(playwright, folder / "profile")
            try:
                device.start()
                yield device.open(server.url)
            finally:
                device.end()


@pytest.fixture(name="home")
def new_home(tmp_path: Path) -> Iterator[StandInServer]:
    """Return the stand-in of the application, with nothing in it."""
    with stand_in_server(tmp_path / "home") as server:
        yield server


@pytest.fixture(name="devices")
def two_devices(tmp_path: Path) -> Iterator[list[Device]]:
    """Return two devices with chromium, which are not started yet."""
    if CHROMIUM is None:
        pytest.skip(NO_CHROMIUM)
    with playing() as playwright:
        made = [Device(playwright, tmp_path / name) for name in ("tablet", "phone")]
        yield made
        for each in made:
            each.end()
