"""How long the application's pages take in the demo club, and how soon the demo is ready; through the real server.

Run: uv run python benchmarks/web.py

The club is built in a temporary folder, its sessions and drawings are made, and then every page is asked for several
times over the network of this computer, logged in as its owner.  Beside the time on the clock, which other programs
lengthen, stands what the server took of a processor, where the system tells it (Linux).
"""

from __future__ import annotations

import http.cookiejar
import json
import os
import re
import statistics
import subprocess
import sys
import tempfile
import time
import urllib.parse
import urllib.request
from pathlib import Path

RUN = "from firstpush.cli import main; main()"
TIMES = 21
TARGET_MS = 100.0
PAGES = (
    ("training day", "/"),
    ("athletes", "/athletes/"),
    ("an athlete", "/athletes/{athlete}/"),
    ("measure next", "/athletes/{athlete}/measure-next/"),
    ("kit and venue", "/kit-and-venue/"),
    ("a cupboard", "/kit-and-venue/kit/1/"),
    ("a venue", "/kit-and-venue/venue/1/"),
    ("exercises", "/exercises/"),
    ("exercises for an athlete", "/exercises/?athlete={athlete}"),
    ("an exercise", "/exercises/low_row/"),
    ("an exercise for an athlete", "/exercises/low_row/?athlete={athlete}"),
    ("a session", "/sessions/{session}/"),
    ("what can be changed in it", "/sessions/{session}/items/{exercise}/"),
    ("its versions", "/sessions/{session}/versions/"),
    ("a drawing of the day", "{drawing}"),
    ("accounts of the club", "/club/"),
)
"""What is looked at most, by the address that is asked for; its first time, which may have to draw, is not counted."""


def started(folder: Path, *command: str) -> tuple[subprocess.Popen[str], str, float]:
    """Serve what is in `folder`; return the process, its address, and the seconds until it was ready."""
    began = time.perf_counter()
    command = (sys.executable, "-c", RUN, *command, "--port", "0", "--no-browser")
    process = subprocess.Popen(command, cwd=folder, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, text=True)
    assert process.stdout is not None
    for line in process.stdout:
        found = re.search(r"http://\S+/", line)
        if found:
            return process, found[0].rstrip("/"), time.perf_counter() - began
    raise SystemExit("the demo ended before it was ready")


def ended(process: subprocess.Popen[str]) -> None:
    """End the server."""
    process.terminate()
    process.wait(timeout=30)


class Visitor:
    """The owner of the demo club, logged in."""

    def __init__(self, folder: Path, address: str) -> None:
        cookies = urllib.request.HTTPCookieProcessor(http.cookiejar.CookieJar())
        self.opener, self.address = urllib.request.build_opener(cookies), address
        accounts = json.loads((folder / "firstpush-demo" / "club" / "demo-accounts.json").read_text(encoding="utf-8"))
        page = self.get("/account/login/")
        found = re.search(r'csrfmiddlewaretoken" value="([^"]+)', page)
        assert found, "the login page has no form"
        fields = {"login": accounts[0]["name"], "password": accounts[0]["password"], "csrfmiddlewaretoken": found[1]}
        url = f"{address}/account/login/"
        self.opener.open(urllib.request.Request(url, urllib.parse.urlencode(fields).encode(), headers={"Referer": url}))

    def get(self, path: str) -> str:
        """Return a page."""
        with self.opener.open(self.address + path) as answer:
            return str(answer.read().decode("utf-8", "replace"))

    def times_ms(self, path: str, process: subprocess.Popen[str]) -> tuple[float, float]:
        """Return the median time of a page on the clock, and the mean time of the server's processor [ms]."""
        self.get(path)
        times, before = [], processor_s(process.pid)
        for _ in range(TIMES):
            began = time.perf_counter()
            self.get(path)
            times.append(1000 * (time.perf_counter() - began))
        return statistics.median(times), 1000 * (processor_s(process.pid) - before) / TIMES


def processor_s(pid: int) -> float:
    """Return what a process has taken of a processor so far [s]; not a number where the system does not tell."""
    try:
        fields = Path(f"/proc/{pid}/stat").read_text(encoding="ascii").rpartition(")")[2].split()
        return (int(fields[11]) + int(fields[12])) / os.sysconf("SC_CLK_TCK")
    except OSError:
        return float("nan")


def main() -> None:
    """Print what is ready when, and the median time of every page."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        process, _, seconds = started(folder, "demo")
        used = processor_s(process.pid)
        print(f"first start: ready after {seconds:.1f} s (to reach: 10 s), {used:.1f} s of a processor", flush=True)
        ended(process)
        began = time.perf_counter()
        subprocess.run([sys.executable, "-c", RUN, "demo", "--once"], cwd=folder, check=True, capture_output=True)
        print(f"all sessions of the day, their drawings, and the sheet: {time.perf_counter() - began:.0f} s")
        process, _, seconds = started(folder, "demo")
        print(f"second start: ready after {seconds:.1f} s, {processor_s(process.pid):.1f} s of a processor", flush=True)
        ended(process)
        # Served without the demo's helpers, which would be measured too.
        process, address, _ = started(folder, "serve", "--folder", "firstpush-demo/club")
        try:
            visitor = Visitor(folder, address)
            day = visitor.get("/")
            session, drawing = re.search(r"/sessions/(\d+)/", day), re.search(r'src="(/day/figure[^"]+)"', day)
            athlete = re.search(r"athlete-(\d+)", day)
            assert session and drawing and athlete, "the day shows no session"
            of_session = visitor.get(f"/sessions/{session[1]}/")
            exercise = re.search(r"/items/([a-z0-9_]+)/", of_session)
            names = {
                "session": session[1],
                "drawing": drawing[1],
                "athlete": athlete[1],
                "exercise": exercise[1] if exercise else "low_row",
            }
            for title, path in PAGES:
                median, processor = visitor.times_ms(path.format(**names), process)
                missed = "" if median <= TARGET_MS else ", more than 100 ms"
                print(f"{title}: {median:.0f} ms on the clock{missed}; {processor:.0f} ms of a processor", flush=True)
            for title, path in (("all sheets as PDF", "/day/print/athletes/"), ("all cards", "/day/print/cards/")):
                for which in ("first", "second"):
                    began = time.perf_counter()
                    with visitor.opener.open(address + path) as answer:
                        answer.read()
                    print(f"{title}, {which} time: {time.perf_counter() - began:.1f} s", flush=True)
        finally:
            ended(process)


if __name__ == "__main__":
    main()
