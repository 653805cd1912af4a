"""Making and withdrawing links to a session."""

from __future__ import annotations

from uuid import UUID

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_POST

from firstpush.web import access
from firstpush.web.access import MemberRequest, needs
from firstpush.web.oncourt.links import DAYS, make_link


@needs("write")
@require_POST
def make_court_link(request: MemberRequest, id_: int) -> HttpResponse:
    """Make a link that opens one session without a login."""
    plan = access.plan_for(request.user, id_, to="write")
    holds, opened = request.POST.get("holds", ""), ""
    if holds not in DAYS:
        messages.error(
            request, f"{holds or 'Nothing'} is no time that a link can hold. Allowed: {' or '.join(DAYS)}. Choose one."
        )
    else:
        link = make_link(plan, by=request.user, holds=holds)
        until = timezone.localtime(link.expires_at).strftime("%d %B, %H:%M")
        opened = "?link=made#court-code"
        messages.success(request, f"The link opens this session until {until}. Withdraw it below at any time.")
    return redirect(reverse("plan", kwargs={"id_": plan.pk}) + opened)


@needs("write")
@require_POST
def withdraw_court_link(request: MemberRequest, id_: int, link: UUID) -> HttpResponse:
    """Let a link open nothing any more."""
    plan = access.plan_for(request.user, id_, to="write")
    found = get_object_or_404(plan.court_links, pk=link)
    if found.withdrawn_at is None:
        found.withdrawn_at = timezone.now()
        found.save(update_fields=["withdrawn_at"])
    messages.success(request, "The link is withdrawn: it opens nothing and takes nothing any more.")
    return redirect("plan", id_=plan.pk)
