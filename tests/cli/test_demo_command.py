"""`firstpush demo`: a sheet and a club to look at, made once and kept; served until it is ended."""

from __future__ import annotations

import json
import re
import signal
import sqlite3
import subprocess
import sys
import time
import urllib.error
import urllib.request
from collections.abc import Iterator
from contextlib import contextmanager
from http.cookiejar import CookieJar
from pathlib import Path

import pytest
from command_line import run

from firstpush.demo.club import club_files

ROLES = ("owner", "colleague", "assistant", "athlete")
READY_WITHIN_S = 90
"""For a machine that does much else; docs/why/performance.md says what it takes on a quiet one."""


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, subprocess.CompletedProcess[str]]:
    """Return the folder of `firstpush demo --once`, and what it printed."""
    folder = tmp_path_factory.mktemp("demo")
    return folder, run("demo", "--once", folder=folder)


def rows(folder: Path, query: str) -> list[tuple[object, ...]]:
    """Ask the database of the demo club, beside the application."""
    with sqlite3.connect(folder / "firstpush-demo" / "club" / "firstpush.sqlite3") as database:
        return database.execute(query).fetchall()


def test_the_demo_needs_nothing(made: tuple[Path, subprocess.CompletedProcess[str]]) -> None:
    """It writes the sheet into a folder of its own, the club beside it, and says what to open."""
    folder, done = made
    assert done.returncode == 0, done.stderr
    out = folder / "firstpush-demo"
    assert {"session.json", "session.pdf", "figures", "club"} == {path.name for path in out.iterdir()}
    assert "Open firstpush-demo/session.pdf" in done.stderr.replace("\\", "/")
    assert "/arrive/" not in done.stdout + done.stderr, "nothing is served"


def test_the_club_trains_today(made: tuple[Path, subprocess.CompletedProcess[str]]) -> None:
    """Every athlete, cupboard and venue of the demo club; one absent, one guest, all others with a session of today."""
    folder, _ = made
    files = club_files()
    assert rows(folder, "SELECT count(*) FROM athletes_athleterecord") == [(len(files["athletes"]),)]
    assert rows(folder, "SELECT count(*) FROM kit_venuerecord") == [(len(files["venues"]),)]
    said = dict(rows(folder, "SELECT status, count(*) FROM plans_presence GROUP BY status"))
    assert said == {"absent": 1, "guest": 1, "present": len(files["athletes"]) - 2}
    sessions = rows(
        folder,
        "SELECT DISTINCT plan.athlete_id FROM plans_plan plan "
        "JOIN plans_planversion version ON version.plan_id = plan.id "
        "JOIN plans_presence presence ON presence.athlete_id = plan.athlete_id "
        "WHERE presence.status = 'present' AND json_extract(version.request, '$.date') = presence.day",
    )
    assert len(sessions) == said["present"]
    assert rows(folder, "SELECT count(*) FROM plans_making") == [(0,)], "nothing is left half made"


def test_an_account_for_each_role_can_log_in(made: tuple[Path, subprocess.CompletedProcess[str]]) -> None:
    """The terminal shows name and password of four accounts; only their owner can read the file that keeps them."""
    folder, done = made
    kept = folder / "firstpush-demo" / "club" / "demo-accounts.json"
    accounts = json.loads(kept.read_text(encoding="utf-8"))
    assert [each["role"] for each in accounts] == list(ROLES)
    for each in accounts:
        assert re.search(rf"^{each['role']} +{each['name']} +{each['password']}$", done.stdout, re.M)
    if sys.platform != "win32":
        assert kept.stat().st_mode & 0o077 == 0


@contextmanager
def served(folder: Path, *options: str) -> Iterator[tuple[subprocess.Popen[str], str]]:
    """Serve the demo of `folder` on a free port; give the process and what it printed until it was ready."""
    process = subprocess.Popen(
        [
            sys.executable,
            "-c",
            "from firstpush.cli import main; main()",
            "demo",
            "--port",
            "0",
            "--no-browser",
            *options,
        ],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        cwd=folder,
    )
    assert process.stdout is not None
    printed, began = "", time.monotonic()
    try:
        while "ready" not in printed:
            line = process.stdout.readline()
            assert line and time.monotonic() - began < READY_WITHIN_S, printed
            printed += line
        yield process, printed
    finally:
        if process.poll() is None:
            process.send_signal(signal.SIGTERM)
        process.communicate(timeout=30)


def test_it_serves_the_same_club_again(made: tuple[Path, subprocess.CompletedProcess[str]]) -> None:
    """A second start keeps club and passwords, answers at the address it prints, and ends cleanly on SIGTERM."""
    folder, _ = made
    before = rows(folder, "SELECT count(*) FROM plans_planversion")
    with served(folder) as (process, printed):
        address = re.search(r"http://\S+/", printed)
        assert address
        with urllib.request.urlopen(f"{address[0]}account/login/", timeout=30) as page:
            assert page.status == 200
            assert b"<form" in page.read()
        process.send_signal(signal.SIGTERM)
        _, said = process.communicate(timeout=30)
    assert process.returncode == 0
    assert "everything is kept" in said
    for each in json.loads((folder / "firstpush-demo" / "club" / "demo-accounts.json").read_text(encoding="utf-8")):
        assert each["password"] in printed
    assert rows(folder, "SELECT count(*) FROM plans_planversion") == before, "sessions of today are not made twice"


def answered(request: str | urllib.request.Request, cookies: CookieJar) -> tuple[int, str, str]:
    """Ask as a browser with `cookies` does; return status, the address it ended at, and the page."""
    opener = urllib.request.build_opener(urllib.request.HTTPCookieProcessor(cookies))
    try:
        with opener.open(request, timeout=60) as page:
            return page.status, page.url, page.read().decode()
    except urllib.error.HTTPError as error:
        with error:
            return error.code, error.url, error.read().decode()


def files_with(secret: str, folder: Path) -> list[Path]:
    """Return the files below `folder` that hold `secret`."""
    return [path for path in folder.rglob("*") if path.is_file() and secret.encode() in path.read_bytes()]


def test_the_printed_address_lets_its_owner_in_once(made: tuple[Path, subprocess.CompletedProcess[str]]) -> None:
    """One step leads from the terminal to the training day; the secret of it stands in no file and in no log."""
    folder, _ = made
    with served(folder) as (process, printed):
        assert process.stdout is not None
        line = process.stdout.readline()
        address = re.search(r"http://\S+/", printed)
        found = re.fullmatch(r"You are in as owner, once and within 10 minutes, at: (\S+/arrive/([\w-]{43})/)\n", line)
        assert address
        assert found, line
        arriving, token = found[1], found[2]
        assert arriving == f"{address[0]}arrive/{token}/"
        # What only looks (HEAD), sends (POST) or calls the computer by a wrong name is refused and uses nothing up.
        for refused, status in (
            (urllib.request.Request(arriving, method="HEAD"), 405),
            (urllib.request.Request(arriving, data=b"", method="POST"), 403),
            (urllib.request.Request(arriving, headers={"Host": "evil.example"}), 400),
        ):
            assert answered(refused, CookieJar())[0] == status
        status, url, page = answered(arriving, CookieJar())
        assert (status, url) == (200, address[0])
        assert "Runa Velde" in page
        status, url, page = answered(arriving, CookieJar())
        assert (status, url) == (200, f"{address[0]}account/login/")
        assert "That address is used up" in page
        assert files_with(token, folder) == []
        assert files_with("Slipway Wheels", folder), "files are looked into"
        process.send_signal(signal.SIGTERM)
        _, said = process.communicate(timeout=30)
    assert "/arrive/.../" in said, "the refused ones are logged"
    assert token not in said


def test_another_clubs_folder_is_left_alone(
    made: tuple[Path, subprocess.CompletedProcess[str]], tmp_path: Path
) -> None:
    """A folder with accounts that the demo did not make is refused, with what to do instead."""
    folder, _ = made
    club = tmp_path / "club"
    club.mkdir()
    for name in ("firstpush.sqlite3", "secret-key"):
        (club / name).write_bytes((folder / "firstpush-demo" / "club" / name).read_bytes())
    done = run("demo", "--once", "--folder", str(club), folder=tmp_path)
    assert done.returncode == 2
    assert "holds another club than the demo's" in done.stderr
    assert not (tmp_path / "firstpush-demo").exists()
