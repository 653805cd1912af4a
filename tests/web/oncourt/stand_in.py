"""A small application that keeps the contract of docs/why/on-court.md, quick to start and to kill: a process that
takes entries into a SQLite file, reads them back, and answers as the real one does.

Run as a program: ``stand_in.py FOLDER PORT``. Files in FOLDER steer it: "logged-out" (401), "who" (whose login it is),
"drop" (the next sending is kept and not answered), "version" (of the service worker), "redirects" (the page leads to
a login).
"""

from __future__ import annotations

import json
import sqlite3
import sys
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path

import firstpush

STATIC = Path(firstpush.__file__).parent / "web" / "static"
PAGE = """<!doctype html><html lang="en"><meta charset="utf-8"><title>On court</title><link rel="icon" href="data:,">
<p>On court"""
MODULES = (
    "ids",
    "entries",
    "database",
    "keeping",
    "second",
    "store",
    "outbox",
    "later",
    "eased",
    "firsttime",
    "today",
    "flow",
    "clockwork",
    "sound",
    "file",
    "update",
)
TABLE = (
    "CREATE TABLE IF NOT EXISTS entries (id TEXT PRIMARY KEY, run TEXT, sequence INTEGER, text TEXT, link TEXT,"
    " UNIQUE (run, sequence))"
)


class StandIn(BaseHTTPRequestHandler):
    """One request."""

    protocol_version = "HTTP/1.1"
    folder: Path

    def do_GET(self) -> None:
        path = self.path.partition("?")[0]
        if path == "/court/" and self.told("redirects") is not None:
            self.send_response(302)
            self.send_header("Location", "/account/login/")
            self.send_header("Content-Length", "0")
            self.end_headers()
        elif path in ("/court/", "/account/login/"):
            self.answer(200, PAGE.encode(), "text/html; charset=utf-8")
        elif path == "/court/worker.js":
            version = self.told("version") or "1"
            files = ["/court/", *(f"/static/oncourt/{name}.js" for name in MODULES)]
            head = f"const VERSION = {json.dumps(version)}; const FILES = {json.dumps(files)};\n"
            self.answer(200, (head + (STATIC / "oncourt/worker.js").read_text()).encode(), "text/javascript")
        elif path == "/court/token/":
            if self.told("logged-out") is not None:
                self.answer(401, b'{"why": "log in"}', "application/json")
            else:
                self.answer(
                    200, json.dumps({"token": "t0", "who": self.told("who") or "owner"}).encode(), "application/json"
                )
        elif path.startswith("/static/") and (STATIC / path[8:]).is_file():
            self.answer(200, (STATIC / path[8:]).read_bytes(), "text/javascript")
        else:
            self.answer(404, b"", "text/plain")

    def do_POST(self) -> None:
        body = self.rfile.read(int(self.headers["Content-Length"]))
        link = self.headers.get("X-Court-Link")
        if self.path != "/court/entries/" or (link is None and self.headers.get("X-CSRFToken") != "t0"):
            self.answer(403, b"{}", "application/json")
            return
        if self.told("logged-out") is not None or link == "withdrawn":
            self.answer(401, b"{}", "application/json")
            return
        said = self.keep(json.loads(body)["entries"], link)
        drop = self.folder / "drop"
        if drop.exists():
            # What was sent is kept; the answer goes lost on its way.
            drop.unlink()
            self.close_connection = True
            return
        self.answer(200, json.dumps(said).encode(), "application/json")

    def keep(self, texts: list[str], link: str | None) -> dict[str, list[object]]:
        database = connect(self.folder)
        kept: list[object] = []
        conflicts: list[object] = []
        with database:
            database.execute("BEGIN IMMEDIATE")
            for text in texts:
                entry = json.loads(text)
                row = (entry["id"], entry["run"], entry["sequence"], text, link)
                database.execute("INSERT OR IGNORE INTO entries VALUES (?, ?, ?, ?, ?)", row)
                there = database.execute("SELECT text FROM entries WHERE id = ?", (entry["id"],)).fetchone()
                if there == (text,):
                    kept.append(entry["id"])
                else:
                    conflicts.append({"id": entry["id"], "why": "taken", "aside": False})
        database.close()
        return {"kept": kept, "conflicts": conflicts, "refused": []}

    def told(self, name: str) -> str | None:
        path = self.folder / name
        return path.read_text() if path.exists() else None

    def answer(self, status: int, body: bytes, kind: str) -> None:
        self.send_response(status)
        for name, value in (("Content-Type", kind), ("Content-Length", str(len(body))), ("Cache-Control", "no-cache")):
            self.send_header(name, value)
        self.end_headers()
        self.wfile.write(body)

    def log_message(self, format: str, *args: object) -> None:  # noqa: A002
        return


def connect(folder: Path) -> sqlite3.Connection:
    """Return the database of `folder`, written through to the disk at each commit."""
    database = sqlite3.connect(folder / "entries.sqlite3", timeout=20, isolation_level=None)
    database.execute("PRAGMA synchronous = FULL")
    database.execute(TABLE)
    return database


def main(folder: Path, port: int) -> None:
    """Serve until killed."""
    StandIn.folder = folder
    connect(folder).close()
    ThreadingHTTPServer.daemon_threads = True
    ThreadingHTTPServer(("127.0.0.1", port), StandIn).serve_forever()


if __name__ == "__main__":
    main(Path(sys.argv[1]), int(sys.argv[2]))
