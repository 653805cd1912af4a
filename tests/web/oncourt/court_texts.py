"""Entries as a device makes them, for tests of what becomes of them."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Any
from uuid import NAMESPACE_OID, uuid5

if TYPE_CHECKING:
    from firstpush.web.sessions.models import PlanVersion

RUN = "0193657c-0000-7000-8000-000000000001"
OTHER_RUN = "0193657c-0000-7000-8000-000000000002"


def text(version: PlanVersion, sequence: int = 1, *, run: str = RUN, kind: str = "note", **values: Any) -> str:
    """Return an entry; without a kind a note with some words."""
    said: dict[str, Any] = {"words": f"Rad links, Luft fehlt – {sequence}"} if kind == "note" else {}
    head = {
        "format": "firstpush entry 1",
        "id": str(uuid5(NAMESPACE_OID, f"{run} {sequence}")),
        "run": run,
        "sequence": sequence,
        "plan": version.plan_id,
        "version": version.number,
        "athlete": version.plan.athlete_id,
        "at": "2026-11-25T18:05:00.000+01:00",
        "kind": kind,
    }
    return json.dumps(head | said | values, ensure_ascii=False)


def id_of(entry: str) -> str:
    """Return the id of an entry."""
    return str(json.loads(entry)["id"])
