"""What was set aside: texts that came in and are no new entry, for somebody to look at."""

from __future__ import annotations

from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_POST, require_safe

from firstpush.web.access import MemberRequest, needs
from firstpush.web.oncourt.models import SetAside


@needs("read")
@require_safe
def set_aside(request: MemberRequest) -> HttpResponse:
    """List what was set aside, what nobody has seen yet first."""
    rows = SetAside.objects.filter(club=request.membership.club).select_related("against", "account", "athlete")
    context = {
        "club": request.membership.club,
        "unseen": rows.filter(seen_at=None),
        "seen": rows.exclude(seen_at=None)[:100],
    }
    return render(request, "oncourt/set_aside.html", context)


@needs("write")
@require_POST
def seen(request: MemberRequest, id_: int) -> HttpResponse:
    """Note that somebody has looked at it; it stays."""
    found = get_object_or_404(SetAside, pk=id_, club=request.membership.club)
    if found.seen_at is None:
        found.seen_at = timezone.now()
        found.save(update_fields=["seen_at"])
    return redirect("set_aside")
