"""What every request passes: the first account comes before anything else, and no page stays in a shared cache."""

from __future__ import annotations

from collections.abc import Callable

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.urls import reverse
from django.utils.cache import patch_cache_control

from firstpush.web.club.models import Account

Answer = Callable[[HttpRequest], HttpResponse]


def first_account_middleware(get_response: Answer) -> Answer:
    """Send everybody to the page of the first account for as long as there is none."""

    def middleware(request: HttpRequest) -> HttpResponse:
        page = reverse("first_account")
        # Whoever is logged in is an account: only strangers cost the look into the database.
        if not request.user.is_authenticated and request.path != page and not Account.objects.exists():
            return redirect(page)
        return get_response(request)

    return middleware


def nothing_kept_middleware(get_response: Answer) -> Answer:
    """Let browsers and caches on the way keep no page with somebody's data, unless the view says otherwise."""

    def middleware(request: HttpRequest) -> HttpResponse:
        response = get_response(request)
        if not response.has_header("Cache-Control"):
            patch_cache_control(response, private=True, no_cache=True)
        return response

    return middleware
