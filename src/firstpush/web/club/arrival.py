"""The address by which somebody arrives in the demo without a password: one account, once, for a few minutes.

What opens it is kept in the memory of the process that serves, and nowhere else, so that it ends with the program.
"""

from __future__ import annotations

import logging
import re
import secrets
import threading
import time
from collections.abc import Callable

OPEN_MINUTES = 10
TRIES = 5
"""As many wrong ones as a name has at the log-in page; whoever mistypes has the passwords in the terminal."""
_IN_A_MESSAGE = re.compile(r"(/arrive/)[^/\s]+")


class Arrival:
    """A way in for one account; gone after its first use, after `OPEN_MINUTES`, or after `TRIES` wrong tries."""

    def __init__(self, account_name: str, *, clock: Callable[[], float] = time.monotonic) -> None:
        self.account_name = account_name
        self.token = secrets.token_urlsafe(32)
        self._clock = clock
        self._closes_at = clock() + OPEN_MINUTES * 60
        self._tries_left = TRIES
        self._lock = threading.Lock()

    def use(self, token: str) -> bool:
        """Return whether `token` opens it now; then it opens nothing any more."""
        # Of two requests at the same time one is let in.
        with self._lock:
            if not self.token or self._clock() >= self._closes_at:
                self.token = ""
                return False
            if secrets.compare_digest(token.encode(), self.token.encode()):
                self.token = ""
                return True
            self._tries_left -= 1
            if self._tries_left == 0:
                self.token = ""
            return False


_offered: Arrival | None = None


def offer(account_name: str) -> str:
    """Let `account_name` arrive once from now on; return the token that stands in the address."""
    # One process serves one folder, and nothing but its memory may hold this.
    global _offered
    _offered = Arrival(account_name)
    return _offered.token


def offered() -> Arrival | None:
    """Return what was offered, used up or not; None where nobody arrives without a password."""
    return _offered


class WithoutToken(logging.Filter):
    """Takes the token out of what is logged about a request: a wrong method or a wrong host names the address."""

    def filter(self, record: logging.LogRecord) -> bool:
        """Shorten the address in the message; every message passes."""
        message = record.getMessage()
        if _IN_A_MESSAGE.search(message):
            record.msg, record.args = _IN_A_MESSAGE.sub(r"\1...", message), ()
        return True
