"""What every template knows."""

from __future__ import annotations

from typing import Any

from django.http import HttpRequest

from firstpush.web.access import may, membership_or_none


def membership(request: HttpRequest) -> dict[str, Any]:
    """Return the membership of who asks (None for a stranger) and what it may do, as `may.write` and so on."""
    user = getattr(request, "user", None)
    found = None if user is None else membership_or_none(user)
    return {"membership": found, "may": may(found)}
