"""One Playwright for all tests of a process: a second one beside it would find the loop of the first in its way."""

from __future__ import annotations

import atexit
from functools import cache
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from playwright.sync_api import Playwright


@cache
def the_playwright() -> Playwright:
    """Return it, started at the first call and stopped when the process ends."""
    from playwright.sync_api import sync_playwright

    started = sync_playwright().start()
    atexit.register(started.stop)
    return started
