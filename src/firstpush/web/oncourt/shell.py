"""The page for on court as files: the same for everybody, kept by the service worker under one version."""

from __future__ import annotations

import hashlib
import json
from functools import cache
from importlib.metadata import version
from pathlib import Path

from django.conf import settings
from django.template.loader import render_to_string
from django.templatetags.static import static

import firstpush.sheets
import firstpush.web

SHELL = "/court/"
STATIC = Path(firstpush.web.__file__).parent / "static"
FONTS = Path(firstpush.sheets.__file__).parent / "fonts"
FOLDER = "oncourt"
WORKER = "worker.js"
BESIDE = ("mark.svg", "firstpush.css")
"""Files of the whole application that the page uses too."""
KINDS = (".js", ".css", ".svg")


def shell_html() -> str:
    """Return the page; it is made without a request, so that nobody's data can get into it."""
    return render_to_string("oncourt/court.html")


def shell_files() -> dict[str, Path]:
    """Return the files that the page needs, by address; the page itself and the worker are not among them."""
    own = [path for path in sorted((STATIC / FOLDER).rglob("*")) if path.suffix in KINDS and path.name != WORKER]
    found = {static(path.relative_to(STATIC).as_posix()): path for path in own}
    found |= {static(name): STATIC / name for name in BESIDE}
    return found | {static(f"fonts/{path.name}"): path for path in sorted(FONTS.glob("*.ttf"))}


def shell_version() -> str:
    """Return the release with a hash of all that the page consists of: it changes when any of it does."""
    found = hashlib.sha256(shell_html().encode())
    for address, path in shell_files().items():
        found.update(address.encode() + b"\0" + path.read_bytes())
    found.update(_worker_text().encode())
    return f"{version('firstpush')}-{found.hexdigest()[:12]}"


def worker_text() -> str:
    """Return the service worker; its first line says the version and the files it keeps."""
    return _worker() if settings.FOLDER is not None else _made_worker()


@cache
def _worker() -> str:
    """Files of a release do not change while it runs."""
    return _made_worker()


def _made_worker() -> str:
    files = [SHELL, *shell_files()]
    return f"const VERSION = {json.dumps(shell_version())}; const FILES = {json.dumps(files)};\n{_worker_text()}"


def _worker_text() -> str:
    path = STATIC / FOLDER / WORKER
    return path.read_text(encoding="utf-8") if path.is_file() else ""
