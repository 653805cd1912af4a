"""Firefox, driven over the socket that it has built in (Marionette): a second engine without another package.

A message is its length in bytes, a colon and JSON: ``[0, number, command, parameters]`` asks, ``[1, number, error,
result]`` answers.
"""

from __future__ import annotations

import json
import os
import shutil
import signal
import socket
import subprocess
import time
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

FIREFOX = shutil.which("firefox-esr") or shutil.which("firefox")
NO_FIREFOX = "no firefox on this computer: install Debian's package firefox-esr to run the tests in a second engine"
STARTS_WITHIN_S = 60
ANSWERS_WITHIN_S = 90
PREFERENCES = {
    "marionette.port": 0,
    "browser.shell.checkDefaultBrowser": False,
    "browser.startup.page": 0,
    "browser.startup.homepage_override.mstone": "ignore",
    # A browser that was killed often asks next time whether to start in safe mode.
    "toolkit.startup.max_resumed_crashes": -1,
    "browser.sessionstore.resume_from_crash": False,
    "datareporting.policy.dataSubmissionEnabled": False,
    "app.update.disabledForTesting": True,
    "network.captive-portal-service.enabled": False,
    "network.connectivity-service.enabled": False,
    "services.settings.server": "data:,none",
    # What a start can do without.
    "browser.newtab.preload": False,
    "dom.ipc.processPrelaunch.enabled": False,
    "extensions.enabledScopes": 0,
    "fission.autostart": False,
    "gfx.webrender.software": True,
}
CALL = """
const [source, given, answer] = arguments;
const name = `court-answer-${Math.random()}`;
document.addEventListener(name, () => {
  answer(document.documentElement.getAttribute("data-court-answer"));
}, { once: true });
const script = document.createElement("script");
script.type = "module";
script.textContent = `
  let said;
  try { said = { value: await (${source})(${given}) }; } catch (error) { said = { fault: String(error) }; }
  document.documentElement.setAttribute("data-court-answer", JSON.stringify(said));
  document.dispatchEvent(new Event(${JSON.stringify(name)}));`;
document.head.append(script);
"""
"""Run a function as a module of the page: only there may it import others."""


class FirefoxGoneError(Exception):
    """The browser ended."""


@dataclass
class Firefox:
    """A device with Firefox on it; it has the calls of `court_device.Device` that the tests need."""

    profile: Path
    process: subprocess.Popen[bytes] | None = None
    link: socket.socket | None = None
    number: int = 0
    unread: bytes = field(default=b"")

    def start(self) -> None:
        """Start the browser on the profile."""
        assert FIREFOX is not None
        self.profile.mkdir(parents=True, exist_ok=True)
        lines = [f'user_pref("{key}", {json.dumps(value)});' for key, value in PREFERENCES.items()]
        (self.profile / "user.js").write_text("\n".join(lines))
        told = self.profile / "MarionetteActivePort"
        for left in ("MarionetteActivePort", "lock", ".parentlock"):
            (self.profile / left).unlink(missing_ok=True)
        self.process = subprocess.Popen(
            [FIREFOX, "--headless", "--marionette", "--no-remote", "--profile", str(self.profile), "about:blank"],
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
            start_new_session=True,
            env={**os.environ, "MOZ_CRASHREPORTER_DISABLE": "1", "HOME": str(self.profile)},
        )
        began = time.monotonic()
        while not (told.exists() and told.read_text().strip()):
            assert time.monotonic() - began < STARTS_WITHIN_S, "firefox did not start"
            time.sleep(0.02)
        self.link = socket.create_connection(("127.0.0.1", int(told.read_text())), timeout=ANSWERS_WITHIN_S)
        self.unread = b""
        self._message()
        self.ask("WebDriver:NewSession", {"capabilities": {"alwaysMatch": {"timeouts": {"script": 80_000}}}})

    def ask(self, command: str, parameters: dict[str, Any]) -> Any:
        """Send a command and return its result."""
        assert self.link is not None
        self.number += 1
        text = json.dumps([0, self.number, command, parameters]).encode()
        try:
            self.link.sendall(b"%d:%s" % (len(text), text))
            kind, number, error, result = self._message()
        except OSError as broken:
            raise FirefoxGoneError(str(broken)) from broken
        assert (kind, number) == (1, self.number)
        if error is not None:
            raise FirefoxGoneError(error["message"]) if "Window" in str(error) else AssertionError(error)
        return result

    def open(self, url: str) -> None:
        """Open an address."""
        self.ask("WebDriver:Navigate", {"url": url})

    def evaluate(self, source: str, given: Any = None) -> Any:
        """Return what a function returns that runs as a module of the page."""
        asked = {"script": CALL, "args": [source, json.dumps(given)], "newSandbox": True}
        said = json.loads(self.ask("WebDriver:ExecuteAsyncScript", asked)["value"])
        assert "fault" not in said, said
        return said.get("value")

    def kill(self) -> None:
        """End the browser with everything that belongs to it, at once."""
        if self.process is not None:
            os.killpg(self.process.pid, signal.SIGKILL)
            self.process.wait()
            self.process = None

    def end(self) -> None:
        """Kill it and let go of the socket."""
        self.kill()
        if self.link is not None:
            self.link.close()
            self.link = None

    def _message(self) -> Any:
        assert self.link is not None
        while b":" not in self.unread:
            self._read()
        length, _, rest = self.unread.partition(b":")
        self.unread = rest
        while len(self.unread) < int(length):
            self._read()
        text, self.unread = self.unread[: int(length)], self.unread[int(length) :]
        return json.loads(text)

    def _read(self) -> None:
        assert self.link is not None
        got = self.link.recv(65536)
        if not got:
            raise ConnectionError("firefox closed the socket")
        self.unread += got
