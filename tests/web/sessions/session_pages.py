"""What is sent of the pages of a session, and how they are read."""

from __future__ import annotations

import html
from typing import Any

from club_people import ClubPeople
from django.test import Client
from django.urls import reverse

from firstpush.web.sessions.models import Plan

WHOLE = {"kind": "before training", "minutes": "12", "on": "2026-03-02", "back_to_front": "2"}


def typed(people: ClubPeople, **other: Any) -> dict[str, Any]:
    """Return the form of a session as it is sent."""
    return WHOLE | {"kit": people.kit.pk, "venue": people.venue.pk} | other


def page(client: Client, name: str, **where: Any) -> str:
    """Return a page as it is read."""
    response = client.get(reverse(name, kwargs=where))
    assert response.status_code == 200, response.status_code
    return html.unescape(response.content.decode())


def change(client: Client, plan: Plan, **how: Any) -> Any:
    """Send one change by hand of the version that holds."""
    newest = plan.newest
    assert newest is not None
    sent = {"based_on": newest.number, **how}
    return client.post(reverse("change_plan", kwargs={"id_": plan.pk}), sent)


def ids(plan: Plan) -> list[str]:
    """Return the exercises of the version that holds."""
    newest = plan.newest
    assert newest is not None
    return [item["exercise"] for item in newest.document["items"]]
