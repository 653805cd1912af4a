"""Links that open one session on a phone, and the address under which a phone reaches the application."""

from __future__ import annotations

import io
import ipaddress
from datetime import datetime, time, timedelta
from typing import Literal

import segno
from django.conf import settings
from django.http import HttpRequest
from django.utils import timezone
from django.utils.formats import date_format
from django.utils.safestring import SafeString, mark_safe

from firstpush.sheets.session_sheet import CourtCode
from firstpush.web.club.models import Account
from firstpush.web.oncourt.models import CourtLink
from firstpush.web.oncourt.shell import SHELL
from firstpush.web.sessions.models import Plan

Days = Literal[1, 7]
DAYS: dict[str, tuple[int, str]] = {"today": (1, "until midnight"), "week": (7, "for 7 days")}
"""How long a link may open its session: by name, the days that it holds, today counted, and the same in words."""


def make_link(plan: Plan, *, by: Account, holds: str) -> CourtLink:
    """Make a link to a session.

    Parameters
    ----------
    plan : Plan
    by : Account
    holds : str
        Of `DAYS`.
    """
    days, _ = DAYS[holds]
    midnight = datetime.combine(timezone.localdate() + timedelta(days=days), time())
    return CourtLink.objects.create(plan=plan, made_by=by, expires_at=timezone.make_aware(midnight))


def newest_open_link(plan: Plan) -> CourtLink | None:
    """Return the link to a session that opens it longest; None when none does."""
    links = plan.court_links.filter(withdrawn_at=None, expires_at__gt=timezone.now())
    return links.order_by("-expires_at", "-made_at").first()


def phone_address(request: HttpRequest) -> str | None:
    """Return the address under which a phone reaches the application, without a slash; None when it cannot."""
    if settings.COURT_ADDRESS:
        return str(settings.COURT_ADDRESS)
    host = request.get_host()
    if not (settings.HTTPS or request.is_secure()) or _is_this_computer(host):
        return None
    return f"https://{host}"


def link_address(link: CourtLink, address: str) -> str:
    """Return what a link says; behind the ``#`` it stays out of what browsers send."""
    return f"{address}{SHELL}#{link.pk.hex}"


def code_svg(words: str) -> SafeString:
    """Return a code that a phone's camera reads, as SVG to stand in a page."""
    return mark_safe(segno.make_qr(words, error="m").svg_inline(scale=4, border=2, omitsize=True))


def code_file(words: str) -> str:
    """Return the same as an SVG document for paper, without a rim of its own."""
    written = io.BytesIO()
    segno.make_qr(words, error="l").save(written, kind="svg", border=0, xmldecl=False, omitsize=True)
    return written.getvalue().decode()


def court_code(request: HttpRequest, plan: Plan) -> CourtCode | None:
    """Return the code for the foot of the athlete's sheet; None without an open link or an address to reach."""
    address, link = phone_address(request), newest_open_link(plan)
    if address is None or link is None:
        return None
    until = date_format(timezone.localtime(link.expires_at), "j F, H:i")
    return CourtCode(
        svg=code_file(link_address(link, address)), words=f"This code opens the session on a phone until {until}."
    )


def _is_this_computer(host: str) -> bool:
    name = host.rsplit(":", 1)[0].strip("[]") if not host.endswith("]") else host.strip("[]")
    try:
        return ipaddress.ip_address(name).is_loopback
    except ValueError:
        return name == "localhost"
