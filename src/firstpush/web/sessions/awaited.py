"""The one answer that most exercises of a session wait for, with the address of the field where it is given."""

from __future__ import annotations

from collections import OrderedDict
from dataclasses import dataclass
from threading import Lock
from typing import Any

from django.urls import reverse

from firstpush.core.session.one_answer import OpenAnswer, may_be_awaited, most_awaited
from firstpush.web import access
from firstpush.web.access import User
from firstpush.web.exercises.library import club_library
from firstpush.web.sessions.making import case_of, changed_inputs, planned_of
from firstpush.web.sessions.models import PlanVersion
from firstpush.web.sessions.request import read_request

KEPT = 200
_FIELDS = {
    "blocking.chocks": "chocks",
    "straps.chest": "chest_straps",
    "straps.waist": "waist_straps",
    "cones.count": "cones",
}
"""Fields of the form of a cupboard, by the key that they fill."""

_found: OrderedDict[int, OpenAnswer | None] = OrderedDict()
"""Of versions, which never change."""
_guard = Lock()
_one_at_a_time = Lock()


@dataclass(frozen=True, kw_only=True)
class Awaited:
    """A question, how many exercises wait for it, and where it is answered."""

    how_many: int
    asks: str
    address: str


def may_wait(user: User, version: PlanVersion) -> bool:
    """Whether something may be awaited; not where the documents have changed since, an answer perhaps among it."""
    reasons = (row["reason"] for row in version.document.get("left_out", ()))
    return may_be_awaited(reasons) and not changed_inputs(user, version)


def known_already(user: User, version: PlanVersion) -> tuple[bool, Awaited | None]:
    """Return whether it was worked out before, and what it is."""
    with _guard:
        known, found = version.pk in _found, _found.get(version.pk)
    return known, None if found is None else _shown(user, version, found)


def awaited(user: User, version: PlanVersion) -> Awaited | None:
    """Return what most exercises wait for; takes as long as setting those exercises up, the first time."""
    with _one_at_a_time:
        known, found = known_already(user, version)
        if known:
            return found
        request, planned = read_request(version.request), planned_of(version)
        answer = most_awaited(
            case_of(request),
            club_library(version.plan.athlete.club).values(),
            planned.prepared,
            kit_document=request.inputs["kit"],
            kind=request.kind,
            done_before=planned.asked.familiar or frozenset(),
        )
        with _guard:
            _found[version.pk] = answer
            while len(_found) > KEPT:
                _found.popitem(last=False)
    return known_already(user, version)[1]


def _shown(user: User, version: PlanVersion, answer: OpenAnswer) -> Awaited | None:
    address = _address(user, version, answer)
    return None if address is None else Awaited(how_many=len(answer.opens), asks=answer.asks, address=address)


def _address(user: User, version: PlanVersion, answer: OpenAnswer) -> str | None:
    if answer.whose == "athlete":
        return f"{reverse('edit_health', kwargs={'id_': version.plan.athlete_id})}#id_{answer.key}"
    request = read_request(version.request)
    kit = None if request.kit_id is None else access.kits_for(user).filter(pk=request.kit_id).first()
    if kit is None:
        return None
    if answer.key in _FIELDS:
        return f"{reverse('change_kit', kwargs={'id_': kit.pk})}#id_{_FIELDS[answer.key]}"
    # What is withdrawn is not in the document that a session is made from: the places in the list differ.
    list_, _, at = answer.key.removesuffix("].material").partition("[")
    name = request.inputs["kit"][list_][int(at)]["name"]
    rows: list[dict[str, Any]] = kit.document.get(list_, [])
    number = next((n for n, row in enumerate(rows) if row.get("name") == name), None)
    if number is None:
        return None
    if list_ == "bands":
        return f"{reverse('change_band', kwargs={'id_': kit.pk, 'number': number + 1})}#id_material"
    return f"{reverse('change_kit', kwargs={'id_': kit.pk})}#id_{list_}-{number}-material"
