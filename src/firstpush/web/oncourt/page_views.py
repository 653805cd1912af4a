"""The page for on court and its service worker: the same for everybody, with nobody's data."""

from __future__ import annotations

from csp.decorators import csp_update
from django.http import HttpRequest, HttpResponse
from django.views.decorators.http import require_safe

from firstpush.web.access import open_to_all
from firstpush.web.oncourt.shell import SHELL, shell_html, worker_text


@open_to_all
@require_safe
# Drawings come out of the device's own database, as blobs.
@csp_update({"img-src": ["blob:"]})
def court(request: HttpRequest) -> HttpResponse:
    """Show the page; what it shows comes out of the device."""
    response = HttpResponse(shell_html())
    response["Cache-Control"] = "no-cache"
    return response


@open_to_all
@require_safe
def worker(request: HttpRequest) -> HttpResponse:
    """Answer with the service worker for everything under /court/."""
    response = HttpResponse(worker_text(), content_type="text/javascript; charset=utf-8")
    response["Service-Worker-Allowed"] = SHELL
    response["Cache-Control"] = "no-cache"
    return response
