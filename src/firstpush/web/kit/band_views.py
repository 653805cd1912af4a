"""One band: its curve, and its wear."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_POST, require_safe

from firstpush.web import access
from firstpush.web.access import MemberRequest, needs
from firstpush.web.kit.models import KitRecord
from firstpush.web.kit.shown import ShownBand, shown_band
from firstpush.web.kit.wear import CheckForm, WithdrawForm, bring_back, today

MOVED = "Somebody changed this cupboard meanwhile: nothing was written. Open the band again and enter it there."


def _page(request: MemberRequest, record: KitRecord, shown: ShownBand, **forms: Any) -> HttpResponse:
    """Show a band, with the form that has a fault, if any."""
    first = {"day": today(), "who": request.user.username}
    context = {
        "record": record,
        "shown": shown,
        "check": CheckForm(prefix="check", initial=first),
        "withdraw": WithdrawForm(prefix="withdraw", initial={"day": today(), "count": 1}, in_use=shown.in_use),
        **forms,
    }
    return render(request, "kit/band.html", context, status=422 if forms else 200)


@needs("read")
@require_safe
def band(request: MemberRequest, id_: int, number: int) -> HttpResponse:
    """Show a band."""
    record = access.kit_for(request.user, id_)
    return _page(request, record, shown_band(record, number))


@needs("do")
@require_POST
def check_band(request: MemberRequest, id_: int, number: int) -> HttpResponse:
    """Write down that a band was looked over."""
    record = access.kit_for(request.user, id_, to="do")
    shown = shown_band(record, number)
    form = CheckForm(request.POST, prefix="check")
    if request.POST.get("band", shown.band.name) != shown.band.name:
        messages.error(request, MOVED)
    elif not form.is_valid():
        return _page(request, record, shown, check=form)
    else:
        form.save(record, shown.band.name, by=request.user)
        messages.success(request, f"Written down: {shown.band.name} was looked over.")
    return redirect("band", id_, number)


@needs("do")
@require_POST
def withdraw_band(request: MemberRequest, id_: int, number: int) -> HttpResponse:
    """Take some of a band, or all, out of use."""
    record = access.kit_for(request.user, id_, to="do")
    shown = shown_band(record, number)
    form = WithdrawForm(request.POST, prefix="withdraw", in_use=shown.in_use)
    if request.POST.get("band", shown.band.name) != shown.band.name:
        messages.error(request, MOVED)
    elif not form.is_valid():
        return _page(request, record, shown, withdraw=form)
    else:
        made = form.save(record, shown.band.name, by=request.user)
        messages.success(request, f"{made.count} × {made.band} withdrawn: no session takes it any more.")
    return redirect("band", id_, number)


@needs("write")
@require_POST
def bring_back_band(request: MemberRequest, id_: int, number: int) -> HttpResponse:
    """Take a withdrawn band into use again; `number` is the withdrawal."""
    record = access.kit_for(request.user, id_, to="write")
    withdrawal = get_object_or_404(record.withdrawals, pk=number)
    if withdrawal.brought_back_on is None:
        bring_back(withdrawal, by=request.user)
        messages.success(request, f"{withdrawal.count} × {withdrawal.band} is in use again.")
    return redirect("kit", id_)
