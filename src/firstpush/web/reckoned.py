"""What was reckoned or read, kept in memory by the content it came from: the same is not reckoned twice.

``KEPT = Reckoned[Options](most=8)``, then ``KEPT.of(key, reckon)``.  Put everything the answer comes from into the
key: as long as that is so, nothing has to be thrown away when something changes, for it is then asked by another key.
Versions of a document never change, so that a version's key stands for all that is in it (`version_key`).  What is too
large to make a key of goes in as ``Same(thing)``.  Drawings are kept as files, by `firstpush.web.figures`.
"""

from __future__ import annotations

import json
import threading
from collections import OrderedDict
from collections.abc import Callable, Hashable
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any, Generic, TypeVar, cast

if TYPE_CHECKING:
    from firstpush.web.documents import Version

Value = TypeVar("Value")
_NOTHING: Any = object()


@dataclass(eq=False)
class _Place:
    """One answer, or where it will stand; whoever holds the lock reckons it."""

    lock: threading.Lock = field(default_factory=threading.Lock)
    value: Any = _NOTHING


class Reckoned(Generic[Value]):
    """The answers asked for last, at most `most` of them.

    Parameters
    ----------
    most : int
        How many are kept.
    """

    def __init__(self, *, most: int) -> None:
        self._most = most
        self._places: OrderedDict[Hashable, _Place] = OrderedDict()
        self._guard = threading.Lock()

    def of(self, key: Hashable, reckon: Callable[[], Value]) -> Value:
        """Return what is kept under `key`; when nothing is, call `reckon` once, however many ask at the same time.

        What `reckon` raises is raised, and nothing is kept.  Of a value that is kept nothing may be changed.
        """
        with self._guard:
            place = self._places.setdefault(key, _Place())
            self._places.move_to_end(key)
            while len(self._places) > self._most:
                self._places.popitem(last=False)
        with place.lock:
            if place.value is _NOTHING:
                place.value = reckon()
            return cast("Value", place.value)

    def holds(self, key: Hashable) -> bool:
        """Whether something is kept under `key`."""
        with self._guard:
            place = self._places.get(key)
        return place is not None and place.value is not _NOTHING


class Same:
    """A thing as part of a key: equal to itself alone, and kept alive, so that no other can take its place."""

    __slots__ = ("thing",)

    def __init__(self, thing: object) -> None:
        self.thing = thing

    def __eq__(self, other: object) -> bool:
        """Whether it is about the same thing."""
        return isinstance(other, Same) and other.thing is self.thing

    def __hash__(self) -> int:
        """Go by identity: to hash a large thing is to walk through all of it."""
        return id(self.thing)


def version_key(version: Version) -> Hashable:
    """Return what stands for all that is in a version: the database lets no version be changed."""
    return (type(version).__name__, version.pk, version.number, version.made_at)


def document_key(document: Any) -> str:
    """Return a document as a key: the same content, the same key."""
    return json.dumps(document, sort_keys=True)
