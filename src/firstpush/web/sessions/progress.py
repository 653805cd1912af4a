"""What is being done for whom while a session is made, for the page that waits for it."""

from __future__ import annotations

import threading
import time
from collections import OrderedDict
from dataclasses import dataclass

from django.utils.crypto import get_random_string

MOST = 64
"""Waiting pages remembered at once; an older one only stops telling."""

WORDS = {
    "waiting": "Waiting for another session that is being made",
    "setting up": "Setting every exercise up on each side",
    "choosing": "Choosing, ordering and timing",
    "ranges": "Working out the ranges of the loads",
    "writing": "Writing the sheet",
}

PAPER_WORDS = {
    "waiting": "Looking which sheets are ready",
    "drawing": "Drawing what was not drawn yet",
    "setting": "Setting the pages",
}
"""The same while sheets and cards are put on paper."""


@dataclass(frozen=True, kw_only=True)
class Stage:
    """What is being done, for which account, and since when [s of this process's clock]."""

    account_id: int
    name: str
    began: float


_STAGES: OrderedDict[str, Stage] = OrderedDict()
_GUARD = threading.Lock()


def tell(token: str, account_id: int, name: str) -> None:
    """Keep what is being done under the token of a page; nothing without one."""
    if not token:
        return
    with _GUARD:
        began = _STAGES[token].began if token in _STAGES else time.monotonic()
        _STAGES[token] = Stage(account_id=account_id, name=name, began=began)
        _STAGES.move_to_end(token)
        while len(_STAGES) > MOST:
            _STAGES.popitem(last=False)


def stage_of(token: str, account_id: int) -> Stage | None:
    """Return what is being done for a page of this account; None where nothing is."""
    with _GUARD:
        found = _STAGES.get(token)
    return found if found is not None and found.account_id == account_id else None


def end(token: str) -> None:
    """Forget a page whose session is made."""
    with _GUARD:
        _STAGES.pop(token, None)


def new_token() -> str:
    """Return a word under which a page can ask what is being done for it."""
    return get_random_string(20)
