"""The application and its stand-in, as processes that tests start, kill and read."""

from __future__ import annotations

import json
import os
import random
import signal
import socket
import sqlite3
import subprocess
import sys
import time
import urllib.parse
import urllib.request
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from http.cookiejar import CookieJar
from pathlib import Path
from typing import Any

import stand_in
from club_people import PASSWORD
from served import CODE, filled

UP_WITHIN_S = 30


def free_port() -> int:
    """Return a port that nobody uses now, below those that the system gives to outgoing connections: it must still be
    free when the server comes back.
    """
    for _ in range(100):
        port = random.SystemRandom().randrange(20_000, 32_000)
        with socket.socket() as probe:
            try:
                probe.bind(("127.0.0.1", port))
            except OSError:
                continue
            return port
    raise AssertionError("no free port was found")


def wait_until_up(port: int) -> None:
    """Wait until something answers at the port."""
    began = time.monotonic()
    while time.monotonic() - began < UP_WITHIN_S:
        with socket.socket() as probe:
            if probe.connect_ex(("127.0.0.1", port)) == 0:
                return
        time.sleep(0.01)
    raise AssertionError(f"nothing answers at port {port}")


@dataclass
class StandInServer:
    """The stand-in with its folder, at one port for all its lives."""

    folder: Path
    port: int = field(default_factory=free_port)
    process: subprocess.Popen[bytes] | None = None

    @property
    def url(self) -> str:
        return f"http://127.0.0.1:{self.port}/"

    def start(self) -> None:
        program = [sys.executable, stand_in.__file__, str(self.folder), str(self.port)]
        self.process = subprocess.Popen(program, stderr=subprocess.DEVNULL)
        wait_until_up(self.port)

    def kill(self) -> None:
        """End it as a loss of power would, without a word to it."""
        if self.process is not None:
            os.kill(self.process.pid, signal.SIGKILL)
            self.process.wait()
            self.process = None

    def set(self, name: str, value: str | None) -> None:
        """Steer it by a file; None takes the file away."""
        path = self.folder / name
        if value is None:
            path.unlink(missing_ok=True)
        else:
            path.write_text(value)

    def texts(self) -> list[str]:
        """Return the entries at home, by run and sequence."""
        database = stand_in.connect(self.folder)
        rows = database.execute("SELECT text FROM entries ORDER BY run, sequence").fetchall()
        database.close()
        return [row[0] for row in rows]

    def links(self) -> dict[str, str | None]:
        """Return with which link each entry came, by id."""
        database = stand_in.connect(self.folder)
        rows = database.execute("SELECT id, link FROM entries").fetchall()
        database.close()
        return dict(rows)

    def entries(self) -> list[dict[str, object]]:
        return [json.loads(text) for text in self.texts()]


@contextmanager
def stand_in_server(folder: Path) -> Iterator[StandInServer]:
    """Serve a new folder for as long as the block lasts."""
    folder.mkdir(parents=True, exist_ok=True)
    server = StandInServer(folder)
    server.start()
    try:
        yield server
    finally:
        server.kill()


class Application:
    """The application itself, serving the club of `club_people`; it is killed and started again as the stand-in is."""

    def __init__(self, folder: Path) -> None:
        filled(folder)
        self.folder = folder
        self.port = free_port()
        self.process: subprocess.Popen[bytes] | None = None
        rows = self._rows("SELECT id, athlete_id FROM plans_plan ORDER BY id LIMIT 1")
        self.plan, self.athlete = rows[0]

    @property
    def url(self) -> str:
        return f"http://127.0.0.1:{self.port}/"

    def start(self) -> None:
        options = ("serve", "--folder", str(self.folder), "--port", str(self.port), "--no-browser")
        self.process = subprocess.Popen(
            [sys.executable, "-c", CODE, *options], stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL
        )
        wait_until_up(self.port)

    kill = StandInServer.kill

    def login(self) -> dict[str, str]:
        """Log the owner in as a browser does, and return the cookies."""
        jar = CookieJar()
        opener = urllib.request.build_opener(urllib.request.HTTPCookieProcessor(jar))
        address = f"{self.url}account/login/"
        opener.open(address, timeout=30).read()
        token = next(each.value for each in jar if each.name == "firstpush_csrf")
        form = {"login": "owner", "password": PASSWORD, "csrfmiddlewaretoken": token}
        opener.open(urllib.request.Request(address, urllib.parse.urlencode(form).encode()), timeout=30).read()
        found = {each.name: str(each.value) for each in jar}
        assert "firstpush_session" in found, "the owner could not log in"
        return found

    def texts(self) -> list[str]:
        """Return the entries at home, by run and sequence."""
        return [row[0] for row in self._rows("SELECT text FROM oncourt_courtentry ORDER BY run, sequence")]

    def entries(self) -> list[dict[str, object]]:
        return [json.loads(text) for text in self.texts()]

    def set_aside(self) -> int:
        """Return how many texts were not taken in."""
        return int(self._rows("SELECT count(*) FROM oncourt_setaside")[0][0])

    def _rows(self, query: str) -> list[tuple[Any, ...]]:
        database = sqlite3.connect(self.folder / "firstpush.sqlite3", timeout=20)
        try:
            return database.execute(query).fetchall()
        finally:
            database.close()
