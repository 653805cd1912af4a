"""People and a browser for the tests of the application."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest
from club_people import ClubPeople, build
from django.test import Client
from one_playwright import the_playwright
from owners_browser import kept_login
from served import CHROMIUM, NO_CHROMIUM, Served, filled, serving

if TYPE_CHECKING:
    from page_club import CourtClub
    from playwright.sync_api import Browser

# Playwright leaves an event loop in the thread of the worker, which Django would take for asynchronous code; every
# test of that worker after the first one in a browser would fail.
os.environ["DJANGO_ALLOW_ASYNC_UNSAFE"] = "true"

LOGIN_BACKEND = "allauth.account.auth_backends.AuthenticationBackend"

Visit = Callable[[str], Client]


@pytest.fixture
def people(db: None) -> ClubPeople:
    """Return the club, its people, and the stranger of another club."""
    return build()


@pytest.fixture
def visit(people: ClubPeople) -> Visit:
    """Return a function that gives the browser of "owner", "colleague", "assistant", "athlete", "stranger" or
    "anonymous", logged in.
    """

    def client(who: str) -> Client:
        found = Client()
        account = people.named(who)
        if account is not None:
            found.force_login(account, backend=LOGIN_BACKEND)
        return found

    return client


@pytest.fixture(scope="session")
def served_club(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Served]:
    """Serve the club of `club_people`; everybody's password is `club_people.PASSWORD`."""
    folder: Path = tmp_path_factory.mktemp("served") / "club"
    filled(folder)
    with serving(folder) as served:
        yield served


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    """Return Debian's chromium; where there is none, the test is skipped and says so."""
    if CHROMIUM is None:
        pytest.skip(NO_CHROMIUM)
    started = the_playwright().chromium.launch(executable_path=CHROMIUM, args=["--no-sandbox"])
    yield started
    started.close()


@pytest.fixture(scope="session")
def login(browser: Browser, served_club: Served) -> dict[str, Any]:
    """Log the owner of the served club in, and return what a browser keeps of it."""
    return kept_login(browser, served_club.url)


@pytest.fixture(scope="module")
def club(browser: Browser, tmp_path_factory: pytest.TempPathFactory) -> Iterator[CourtClub]:
    """Serve a club of its own to the tests of the page on court."""
    from page_club import court_club

    with court_club(browser, tmp_path_factory.mktemp("court") / "club") as found:
        yield found
