"""Who asks an address under /court/: a login of the club, or a link that opens one session."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import timedelta
from functools import wraps
from typing import Concatenate, ParamSpec, cast
from uuid import UUID

from django.contrib.auth.decorators import login_not_required
from django.core.exceptions import PermissionDenied
from django.db.models import QuerySet
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.middleware.csrf import CsrfViewMiddleware
from django.utils import timezone
from django.views.decorators.csrf import csrf_exempt

from firstpush.web import access
from firstpush.web.access import membership_or_none
from firstpush.web.club.models import Account, Club, Role
from firstpush.web.oncourt.models import CourtLink
from firstpush.web.sessions.models import Plan

HEADER = "X-Court-Link"
SENDING_AFTER = timedelta(days=14)
"""A link that has run out opens nothing, and still takes what was logged with it: a phone may come home late."""

LOG_IN = "Nobody is logged in. Log in again: everything logged stays on this device until it is at home."
LINK_OVER = "This link has run out or was withdrawn. Ask for a new one: everything logged stays on this device."
FORGED = "The token of this page is too old. Fetch a new one and send again: everything logged stays on this device."


@dataclass(frozen=True, kw_only=True)
class Sender:
    """Who asks or sends: an account with its club, or a link."""

    club: Club
    account: Account | None = None
    link: CourtLink | None = None

    @property
    def own_athlete_id(self) -> int | None:
        """The one athlete whom this sender can be about; None for those who look after the whole club."""
        if self.link is not None:
            return self.link.plan.athlete_id
        found = None if self.account is None else membership_or_none(self.account)
        return None if found is None else found.athlete_id

    def plans(self) -> QuerySet[Plan]:
        """Return the sessions that this sender may do."""
        if self.link is not None:
            return Plan.objects.filter(pk=self.link.plan_id).select_related("athlete")
        assert self.account is not None, "either an account or a link"
        return access.plans_for(self.account)


def sender_of(account: Account) -> Sender:
    """Return an account as a sender.

    Raises
    ------
    PermissionDenied
        When it has no membership, or one that neither does sessions nor is an athlete's own.
    """
    membership = membership_or_none(account)
    if membership is None or not (membership.role == Role.ATHLETE or access.may(membership).do):
        raise PermissionDenied
    return Sender(club=membership.club, account=account)


Arguments = ParamSpec("Arguments")
CourtView = Callable[Concatenate[HttpRequest, Sender, Arguments], HttpResponse]


def login_or_link(
    *, sending: bool = False
) -> Callable[[CourtView[Arguments]], Callable[Concatenate[HttpRequest, Arguments], HttpResponse]]:
    """Let a login or a link into the view, which is given the sender; everybody else is answered in JSON.

    That is 401, and 410 where a link opens nothing any more.

    Parameters
    ----------
    sending : bool
        Whether entries are sent: then a link that has run out is still taken for a while.
    """

    def decorate(view: CourtView[Arguments]) -> Callable[Concatenate[HttpRequest, Arguments], HttpResponse]:
        @wraps(view)
        def guarded(request: HttpRequest, *args: Arguments.args, **kwargs: Arguments.kwargs) -> HttpResponse:
            found = _sender(request, sending=sending)
            if isinstance(found, HttpResponse):
                return private(found)
            return private(view(request, found, *args, **kwargs))

        # A link is sent by hand in a header, which another site cannot do; a login is checked in `_sender`.
        opened = login_not_required(csrf_exempt(guarded))
        opened.needs = "login or link"  # type: ignore[attr-defined]
        return cast("Callable[Concatenate[HttpRequest, Arguments], HttpResponse]", opened)

    return decorate


def private(response: HttpResponse) -> HttpResponse:
    """Let nothing on the way, and no browser, keep an answer with somebody's data."""
    response["Cache-Control"] = "private, no-store"
    return response


def _sender(request: HttpRequest, *, sending: bool) -> Sender | HttpResponse:
    if HEADER in request.headers:
        link = _link(request.headers[HEADER], sending=sending)
        if link is None:
            # The page sends with the login instead after 401; a package it cannot have is gone.
            return JsonResponse({"why": LINK_OVER}, status=401 if sending else 410)
        return Sender(club=link.plan.athlete.club, link=link)
    user = request.user
    if not isinstance(user, Account) or membership_or_none(user) is None:
        return JsonResponse({"why": LOG_IN}, status=401)
    if CsrfViewMiddleware(_answer).process_view(request, _answer, (), {}) is not None:
        return JsonResponse({"why": FORGED}, status=403)
    return sender_of(user)


def _answer(_request: HttpRequest) -> HttpResponse:
    """Stand for a view that is not exempt from the token."""
    return HttpResponse()


def _link(given: str, *, sending: bool) -> CourtLink | None:
    try:
        secret = UUID(given)
    except ValueError:
        return None
    links = CourtLink.objects.select_related("plan__athlete__club").filter(withdrawn_at=None)
    limit = timezone.now() - (SENDING_AFTER if sending else timedelta())
    return links.filter(pk=secret, expires_at__gt=limit).first()
