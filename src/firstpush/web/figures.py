"""Drawings, made once and kept as files: the same content is never drawn twice.

For pages: ``figure_url(exercise, kind="card", athlete=record, kit=record, venue=record)`` goes into ``<img src>``;
kind is "still" (start and end, distance and height lettered), "moving", "card" (small, without lettering), "curve"
(the load over the movement; only where one is stated) or "curve-narrow" (the same for the width of a phone).
Without an athlete the reference body is drawn; without kit or venue the reference ones are used.  What cannot be set
up for the athlete is drawn as the bare movement.

For drawings that come from a set-up of your own (an item of a session): ``kept(content_key(...), draw, of=record)``
returns the SVG and calls `draw` only when nothing is kept under that key; ``svg_response`` answers with it.
Put everything the drawing is made from into the key; the program is in it already.

The files lie in the cache of the data folder, those of an athlete in a folder of their own that goes with the record.
All of it may be deleted at any time.
"""

from __future__ import annotations

import gzip
import hashlib
import os
import shutil
import tempfile
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from functools import cache
from importlib.metadata import version
from pathlib import Path
from typing import Any, Literal, get_args
from urllib.parse import urlencode

from django.conf import settings
from django.http import HttpRequest, HttpResponse
from django.urls import reverse
from django.utils.cache import patch_vary_headers
from django.utils.http import parse_etags

import firstpush
from firstpush.core.exercises.definition import Exercise
from firstpush.core.people.athlete import Side
from firstpush.web.athletes.models import AthleteRecord
from firstpush.web.drawn import in_both_schemes, rules_key
from firstpush.web.exercises.chosen import ForWhom
from firstpush.web.kit.models import KitRecord, VenueRecord

Kind = Literal["still", "still-narrow", "moving", "card", "curve", "curve-narrow"]
KINDS: tuple[Kind, ...] = get_args(Kind)
DRAWN_AT_ONCE = 2
"""More would keep pages waiting: a small laptop has two cores."""
MOST_BYTES = 400_000_000
EXERCISE_KEYS_KEPT = 512
_EXERCISE_KEYS: dict[int, tuple[Exercise, str]] = {}
"""By identity, with the exercise itself, so that no other can take its place; hashing one walks through all of it."""
WRITES_BETWEEN_LOOKS = 64
"""After so many new files it is looked whether the cache has grown too large."""
LASTING = "private, max-age=31536000, immutable"


def figure_url(
    exercise: Exercise,
    *,
    kind: Kind = "still",
    side: Side | None = None,
    athlete: AthleteRecord | None = None,
    kit: KitRecord | None = None,
    venue: VenueRecord | None = None,
) -> str:
    """Return the address of a drawing of `exercise`; it changes with the content, so that browsers may keep it.

    Parameters
    ----------
    exercise : Exercise
        Of the library, or the club's own.
    kind : str
    side : str, optional
        Working side; left out, the one that begins.
    athlete, kit, venue : records, optional
        Of the club that looks at it.
    """
    return address_of(exercise, ForWhom(athlete=athlete, kit=kit, venue=venue), kind=kind, side=side)


def address_of(exercise: Exercise, whom: ForWhom, *, kind: Kind, side: Side | None = None) -> str:
    """Return the address of a drawing of `exercise` for `whom`; for many drawings of one athlete, see `figure_url`."""
    asked: dict[str, Any] = {"side": side} if side else {}
    if whom.athlete is not None:
        records = {"athlete": whom.athlete, "kit": whom.kit, "venue": whom.venue}
        asked |= {name: record.pk for name, record in records.items() if record is not None}
    asked["v"] = figure_key(exercise, whom, kind=kind, side=side)[:16]
    return f"{reverse('figure', kwargs={'slug': exercise.id, 'kind': kind})}?{urlencode(asked)}"


def figure_key(exercise: Exercise, whom: ForWhom, *, kind: Kind, side: Side | None) -> str:
    """Return the key that a drawing of `exercise` is kept under."""
    return content_key(kind, side, exercise_key(exercise), *whom.contents)


def exercise_key(exercise: Exercise) -> str:
    """Return a key for the content of `exercise`; that of the same object is made once."""
    known = _EXERCISE_KEYS.get(id(exercise))
    if known is None or known[0] is not exercise:
        if len(_EXERCISE_KEYS) >= EXERCISE_KEYS_KEPT:
            _EXERCISE_KEYS.clear()
        known = _EXERCISE_KEYS[id(exercise)] = (exercise, content_key(exercise))
    return known[1]


def content_key(*parts: object) -> str:
    """Return one key for `parts` (values whose `repr` says all of them) and for the program that draws."""
    return hashlib.sha256(repr((program(), *parts)).encode()).hexdigest()


@cache
def program() -> str:
    """Return the version of the program, and what its drawings come from: a change of the code draws anew."""
    found = hashlib.sha256(version("firstpush").encode())
    package = Path(firstpush.__file__).parent
    for part in ("core", "sheets"):
        for path in sorted((package / part).rglob("*")):
            if path.suffix in (".py", ".csv"):
                found.update(path.read_bytes())
    return found.hexdigest()


# Kept files


def kept(key: str, draw: Callable[[], str], *, of: AthleteRecord | None = None) -> str:
    """Return what is kept under `key`; when nothing is, call `draw` once, however many ask at the same time.

    Parameters
    ----------
    key : str
        From `content_key`.
    draw : callable
        Returns the text to keep, for example an SVG.
    of : AthleteRecord, optional
        Whose it is: it goes with the record.
    """
    path = _folder(of) / f"{key}.gz"
    found = _read(path)
    if found is None:
        with _alone(key):
            found = _read(path)
            if found is None:
                with _DRAWING:
                    found = draw()
                _write(path, found)
    return found


def known(key: str, *, of: AthleteRecord | None = None) -> str | None:
    """Return what is kept under `key`; None where nothing is."""
    return _read(_folder(of) / f"{key}.gz")


def forget(athlete_id: int) -> None:
    """Delete every drawing of one athlete."""
    shutil.rmtree(cache_folder() / f"athlete-{athlete_id}", ignore_errors=True)


def cache_folder() -> Path:
    """Return where drawings are kept; without a data folder a place that goes with the process."""
    return _of_this_process() if settings.FOLDER is None else settings.FOLDER / "cache" / "figures"


@cache
def _of_this_process() -> Path:
    import atexit

    folder = Path(tempfile.mkdtemp(prefix="firstpush-figures-"))
    atexit.register(shutil.rmtree, folder, ignore_errors=True)
    return folder


def _folder(of: AthleteRecord | None) -> Path:
    return cache_folder() / ("nobody" if of is None else f"athlete-{of.pk}")


def _read(path: Path) -> str | None:
    """Return what is kept in `path`; None where nothing is, or not a whole file."""
    try:
        return gzip.decompress(path.read_bytes()).decode()
    except (OSError, EOFError, ValueError):
        return None


_writes = 0


def _write(path: Path, text: str) -> None:
    """Put `text` in place whole or not at all; a full disk keeps nothing and fails nobody."""
    global _writes
    with suppress(OSError):
        path.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
        descriptor, making = tempfile.mkstemp(dir=path.parent, prefix=".making-")
        try:
            with os.fdopen(descriptor, "wb") as file:
                file.write(gzip.compress(text.encode(), 6, mtime=0))
            os.replace(making, path)
        except OSError:
            Path(making).unlink(missing_ok=True)
            raise
    _writes += 1
    if _writes % WRITES_BETWEEN_LOOKS == 0:
        drop_oldest(MOST_BYTES)


def drop_oldest(most_bytes: int) -> None:
    """Delete the files written longest ago until the cache holds `most_bytes` or less."""
    with suppress(OSError):
        files = [(path, path.stat()) for path in cache_folder().rglob("*.gz")]
        total = sum(stat.st_size for _, stat in files)
        for path, stat in sorted(files, key=lambda each: each[1].st_mtime):
            if total <= most_bytes:
                return
            path.unlink(missing_ok=True)
            total -= stat.st_size


_DRAWING = threading.BoundedSemaphore(DRAWN_AT_ONCE)
_GUARD = threading.Lock()
_ASKED: dict[str, tuple[threading.Lock, int]] = {}
"""For each key that is being made: its lock, and how many hold or wait for it."""


@contextmanager
def _alone(key: str) -> Iterator[None]:
    """Let one thread at a time work on `key`."""
    with _GUARD:
        lock, waiting = _ASKED.get(key, (threading.Lock(), 0))
        _ASKED[key] = (lock, waiting + 1)
    try:
        with lock:
            yield
    finally:
        with _GUARD:
            lock, waiting = _ASKED.pop(key)
            if waiting > 1:
                _ASKED[key] = (lock, waiting - 1)


# Answers


def svg_response(request: HttpRequest, svg: str, *, key: str, lasting: bool) -> HttpResponse:
    """Answer with a drawing.

    Parameters
    ----------
    request : HttpRequest
    svg : str
    key : str
        Its key: browsers that have it are told "not changed".
    lasting : bool
        Whether the address names the content, so that it may be kept without asking again.
    """
    tag = f'"{key[:32]}-{rules_key()}"'
    if tag in parse_etags(request.headers.get("If-None-Match", "")):
        response = HttpResponse(status=304)
    elif "gzip" in request.headers.get("Accept-Encoding", ""):
        response = HttpResponse(gzip.compress(in_both_schemes(svg).encode(), 1, mtime=0), content_type="image/svg+xml")
        response["Content-Encoding"] = "gzip"
    else:
        response = HttpResponse(in_both_schemes(svg), content_type="image/svg+xml")
    response["ETag"] = tag
    response["Cache-Control"] = LASTING if lasting else "private, no-cache"
    # A moving drawing brings its own style sheet: as an image it is allowed, and it can do nothing else.
    response["Content-Security-Policy"] = "default-src 'none'; style-src 'unsafe-inline'"
    patch_vary_headers(response, ("Accept-Encoding", "Cookie"))
    return response
