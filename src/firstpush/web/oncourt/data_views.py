"""What the page on the device asks and sends, as JSON."""

from __future__ import annotations

import gzip
import json
from typing import Any

from django.http import Http404, HttpRequest, HttpResponse, JsonResponse
from django.middleware.csrf import get_token
from django.shortcuts import get_object_or_404
from django.utils import timezone
from django.utils.cache import patch_vary_headers
from django.views.decorators.http import require_POST, require_safe

from firstpush.web.oncourt.entries import MOST_AT_ONCE, NotKept, keep
from firstpush.web.oncourt.package import can_be_packed, checksum, package_text
from firstpush.web.oncourt.sender import HEADER, LOG_IN, Sender, login_or_link
from firstpush.web.oncourt.stops import last_stops, with_stop
from firstpush.web.sessions.models import Plan, PlanVersion

SESSIONS_LISTED = 40
"""The newest; an older one is reached from its own page."""

LONGEST_NUMBER = 16
"""More digits are no number of a session."""

NO_LIST = (
    'this is no list of entries. Allowed: {{"entries": [text, ...]}} with at most {most}. Send them in smaller lots.'
)


@require_safe
@login_or_link()
def packages(request: HttpRequest, sender: Sender) -> HttpResponse:
    """List the sessions that may be fetched, the newest first; with ``?plans=2,4,5`` these, in this order."""
    if "plans" in request.GET:
        asked = _plans_asked(request.GET["plans"])
        there = sender.plans().in_bulk(asked)
        plans = [there[pk] for pk in asked if pk in there]
    else:
        plans = list(sender.plans().order_by("-created_at", "-pk")[:SESSIONS_LISTED])
    newest = [version for plan in plans if (version := _newest(plan)) is not None and can_be_packed(version)]
    stops = last_stops((version.plan.athlete_id for version in newest), timezone.localdate())
    return JsonResponse([_listed(version) | _stopped(stops, version) for version in newest], safe=False)


@require_safe
@login_or_link()
def package(request: HttpRequest, sender: Sender, id_: int, number: int) -> HttpResponse:
    """Answer with the package of one version of a session."""
    plans = sender.plans()
    found = get_object_or_404(
        PlanVersion.objects.select_related("plan__athlete__club").filter(plan__in=plans), plan_id=id_, number=number
    )
    if not can_be_packed(found):
        raise Http404
    stops = last_stops([found.plan.athlete_id], timezone.localdate())
    text = with_stop(package_text(found), stops.get(found.plan.athlete_id)).encode()
    if "gzip" in request.headers.get("Accept-Encoding", ""):
        response = HttpResponse(gzip.compress(text, 5, mtime=0), content_type="application/json")
        response["Content-Encoding"] = "gzip"
    else:
        response = HttpResponse(text, content_type="application/json")
    patch_vary_headers(response, ("Accept-Encoding", "Cookie", HEADER))
    return response


@require_POST
@login_or_link(sending=True)
def entries(request: HttpRequest, sender: Sender) -> HttpResponse:
    """Take entries in, and say of each what became of it."""
    texts = _texts(request.body)
    if texts is None:
        return JsonResponse({"why": NO_LIST.format(most=MOST_AT_ONCE)}, status=400)
    answer = keep(texts, sender)
    return JsonResponse({"kept": answer.kept, "conflicts": _told(answer.conflicts), "refused": _told(answer.refused)})


@require_safe
@login_or_link()
def token(request: HttpRequest, sender: Sender) -> HttpResponse:
    """Answer with a fresh token, and who is logged in; a link needs no token."""
    if sender.account is None:
        return JsonResponse({"why": LOG_IN}, status=401)
    return JsonResponse({"token": get_token(request), "who": sender.account.get_username(), "club": sender.club.name})


def _plans_asked(text: str) -> list[int]:
    """Return the numbers of sessions that were asked for, each once; what is no number is left out."""
    numbers = [
        int(each) for each in text.split(",") if each.isascii() and each.isdigit() and len(each) < LONGEST_NUMBER
    ]
    return list(dict.fromkeys(numbers))[:SESSIONS_LISTED]


def _newest(plan: Plan) -> PlanVersion | None:
    return plan.versions.select_related("plan__athlete__club").order_by("-number").first()


def _listed(version: PlanVersion) -> dict[str, Any]:
    words = version.document["sheets"]["athlete"]
    return {
        "plan": version.plan_id,
        "version": version.number,
        "checksum": checksum(version),
        "athlete": version.plan.athlete.name,
        "number": version.plan.athlete.number,
        "title": words["kind"][:1].upper() + words["kind"][1:],
        "date": words["date"],
    }


def _stopped(stops: dict[int, dict[str, str]], version: PlanVersion) -> dict[str, Any]:
    stop = stops.get(version.plan.athlete_id)
    return {} if stop is None else {"stopped_today": stop}


def _texts(body: bytes) -> list[str] | None:
    try:
        given = json.loads(body)
    except (ValueError, RecursionError):
        return None
    texts = given.get("entries") if isinstance(given, dict) else None
    if not isinstance(texts, list) or len(texts) > MOST_AT_ONCE or not all(isinstance(text, str) for text in texts):
        return None
    return texts


def _told(those: tuple[NotKept, ...]) -> list[dict[str, str | bool | None]]:
    return [{"id": each.id, "why": each.why, "aside": each.aside} for each in those]
